"""What stands behind each verdict: the lengths that must stay above 0 for it to be a good one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.chain import CLEAR_BELOW_PIPE
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import OUTSIDE

Margins = Mapping[str, Mapping[str, float]]
"""By a verdict's path in the report's JSON, and by what each is of."""
STABLE = "metacentric height"
NEAR = 0.1
"""[m] An inner flow path further over the water than this is not asked what would follow if the water crossed it."""


def margins_of(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> Margins:
    """The margins of who and what fits, limits that are met, where spaces lie, boats that float and lids that stay dry.

    Of a flooded boat those of every flow path between wet and dry: how far it stands over the water, below 0 by how much the
    water stood over it when it crossed.
    """
    named = evaluation.contents.lying if evaluation.contents is not None else ()
    found: dict[str, Mapping[str, float]] = {}
    for place in (*evaluation.lying_as_stated, *named):
        spare = {one.name or f"{k + 1}": one.length - one.needed for k, one in enumerate(place.each) if one.length is not None}
        if place.fits is not None and spare and len(spare) == len(place.each):
            found[f"berths.{place.berth}.fits"] = spare
            if place in named:
                found[f"people.{place.berth}.fits"] = spare
                found.update({f"people.{place.berth}.each.{name}.fits": {name: length} for name, length in spare.items()})
    for limit in evaluation.limits:
        if limit.margin is not None:
            found[f"limits.{limit.stated.name}.met"] = {limit.stated.figure: limit.margin}
    found.update(_of_contents(evaluation))
    found.update(_of_spaces(evaluation))
    for head, state in flooded_states(cases):
        found[f"{head}verdict"] = _of_paths(state)
        found.update({f"{head}lids.{lid.name}.dry": {lid.name: lid.clear_of_water} for lid in state.lids})
    return found


def critical(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> dict[str, tuple[str, ...]]:
    """By which of its margins each verdict turns; a verdict that turns by none that is known is left out.

    A boat that floats no longer does so where she loses her stability, the sea finds a way in, or water goes on within her to
    where she is lost. One that was lost after water crossed flow paths is saved by the one it only just crossed.
    """
    margins = margins_of(evaluation, cases)
    turning = {path: tuple(each) for path, each in margins.items() if not path.endswith(("verdict", "position"))}
    for path in (path for path in margins if path.endswith("position")):
        turning[path] = tuple(name for name, margin in margins[path].items() if margin > 0.0)
    for head, state in flooded_states(cases):
        if state.verdict == "floats":
            turning[f"{head}verdict"] = tuple(_ways_to_be_lost(evaluation, state))
        elif state.crossed:
            turning[f"{head}verdict"] = (min(state.crossed, key=lambda crossing: crossing.head).path,)
    return turning


def _of_contents(evaluation: Evaluation) -> Iterator[tuple[str, Mapping[str, float]]]:
    """Of chain how much further it falls than it must; of a box that is asked for how much longer it could be, as a share."""
    if evaluation.contents is None:
        return
    for stow in evaluation.contents.chains:
        yield f"chains.{stow.name}.stows_itself", {stow.name: stow.fall - CLEAR_BELOW_PIPE}
    for room in evaluation.contents.rooms:
        if room.wanted is not None and room.proportioned is not None:
            sides = zip(sorted(room.proportioned.size), sorted(room.wanted), strict=True)
            yield f"stowage.{room.name}.fits", {room.name: min(have / want for have, want in sides) - 1.0}


def _of_spaces(evaluation: Evaluation) -> Iterator[tuple[str, Mapping[str, float]]]:
    """How far the top and the bottom of a space are over or under the water: two of the four are above 0."""
    if evaluation.water is None:
        return
    for space in evaluation.layout.compartments:
        over = evaluation.water.plane.over(space.mesh.vertices)
        top, bottom = float(over.max()), float(over.min())
        found = {"top over": top, "top under": -top, "bottom over": bottom, "bottom under": -bottom}
        yield f"compartments.{space.name}.position", found


def flooded_states(cases: Sequence[FloodingCase]) -> Iterator[tuple[str, FloodingCase]]:
    """Each case in both its states, with the beginning of its paths; estimates left out."""
    for case in cases:
        for state, more in zip(case.states, ("", "emptiest."), strict=False):
            if not state.estimated:
                yield f"flooding.{' and '.join(case.holed)}.{more}", state


def _of_paths(state: FloodingCase) -> dict[str, float]:
    wet = {*state.floods, OUTSIDE}
    found = {} if state.gm is None else {STABLE: state.gm}
    for level in state.openings:
        if len(wet.intersection(level.between)) == 1:
            found[level.name] = min(level.clear_of_water, found.get(level.name, level.clear_of_water))
    return found | {crossing.path: -crossing.head for crossing in state.crossed}


def _ways_to_be_lost(evaluation: Evaluation, state: FloodingCase) -> Iterator[str]:
    yield STABLE
    wet = {*state.floods, OUTSIDE}
    for level in state.openings:
        dry = [name for name in level.between if name not in wet]
        if OUTSIDE in level.between and dry:
            yield level.name
        elif len(dry) == 1 and level.clear_of_water < NEAR:
            boat = evaluation.layout, evaluation.water, evaluation.floating
            (then,) = flooding_cases(*boat, (*state.floods, dry[0]))
            if any(each.verdict != "floats" for each in then.states):
                yield level.name
