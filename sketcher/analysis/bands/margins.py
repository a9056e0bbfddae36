"""What stands behind each verdict: the lengths that must stay above 0 for it to be a good one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import OUTSIDE

Margins = Mapping[str, tuple[float, ...]]
"""By a verdict's path in the report's JSON; it is good where all are above 0."""


def margins_of(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> Margins:
    """The margins of berths that fit, limits that are met, boats that float and lids that stay dry.

    Verdicts that rest on no length (she founders, a space is tight) have none.
    """
    named = evaluation.contents.lying if evaluation.contents is not None else ()
    found: dict[str, tuple[float, ...]] = {}
    for place in (*evaluation.lying_as_stated, *named):
        lacking = [(one.length, one.needed) for one in place.each]
        if place.fits is not None and lacking and all(length is not None for length, _ in lacking):
            found[f"berths.{place.berth}.fits"] = tuple(length - needed for length, needed in lacking if length is not None)
    for limit in evaluation.limits:
        if limit.margin is not None:
            found[f"limits.{limit.stated.name}.met"] = (limit.margin,)
    for case in cases:
        for state, more in zip(case.states, ("", "emptiest."), strict=False):
            found.update(_of_state(state, f"flooding.{' and '.join(case.holed)}.{more}"))
    return found


def _of_state(case: FloodingCase, head: str) -> Iterator[tuple[str, tuple[float, ...]]]:
    if case.estimated:
        return
    if case.verdict == "floats" and case.gm is not None:
        outer = tuple(level.clear_of_water for level in case.openings if OUTSIDE in level.between)
        yield f"{head}verdict", (case.gm, *outer)
    for lid in case.lids:
        yield f"{head}lids.{lid.name}.dry", (lid.clear_of_water,)
