"""One flooding case in full: lids and openings over the water, what the water weighs on panels, what runs through holes."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import TYPE_CHECKING

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.lid_heights import reached
from sketcher.analysis.flooding.panel_loads import hole_flows, panel_loads
from sketcher.analysis.flooding.results import LID_MARGIN, FloodingCase
from sketcher.analysis.flooding.worst import lids_under_water
from sketcher.analysis.results import Layout
from sketcher.outputs.wording.quantities import (
    FOOT,
    UNKNOWN,
    area_unit,
    length,
    length_with_unit,
    mass_number,
    mass_unit,
    plain,
    share,
    table,
    wrap,
)
from sketcher.outputs.wording.say import listed

if TYPE_CHECKING:
    from sketcher.analysis.flooding.bottle_loads import BottlePush


def case_detail(evaluation: Evaluation, case: FloodingCase, unit: str, width: int) -> list[str]:
    """Paragraphs on one case, then on its emptiest state, an empty line between them; nothing where she finds no rest."""
    lines = _state_detail(evaluation, case, unit, width)
    emptied = [] if case.emptiest is None else _state_detail(evaluation, case.emptiest, unit, width)
    return [*lines, *([f"WHEN EMPTY: {' and '.join(case.holed)}", *emptied] if emptied else [])]


def _state_detail(evaluation: Evaluation, case: FloodingCase, unit: str, width: int) -> list[str]:
    if case.water is None:
        return []
    parts = [
        _course(case, unit, width),
        _levels(case, unit),
        _loads(evaluation, case, unit, width),
        _flows(evaluation, case, unit, width),
        _by_hand(evaluation.layout, case, unit, width),
    ]
    lines: list[str] = []
    for part in parts:
        lines += [*part, ""] if part else []
    return lines


NOT_JUDGED = (
    "Still water only. How far a panel bends, what waves add and whether it is strong enough is not judged: ask a designer."
)


def lid_heights(layout: Layout, cases: Sequence[FloodingCase], unit: str, width: int) -> list[str]:
    """For each lid the case that asks most of it, of those whose water comes to it, and where that is not known.

    A lid that stands clear wherever that is known, but of which a space holed by itself gives no figure, has none.
    """
    rows, remarks = [], []
    for shape in layout.panels:
        states = [state for case in cases for state in case.states] if shape.kind == "lid" else []
        wet = reached(layout, shape.name, states)
        known = [(lid, state) for state in wet for lid in state.lids if lid.name == shape.name]
        lost = _least_holed([state for state in wet if state.water is None])
        worst = max(known, key=lambda each: _asks(each[0]), default=None)
        alone = next((state for state in lost if len(state.holed) == 1), None)
        if alone is not None and (worst is None or worst[0].clear_of_water >= LID_MARGIN):
            rows.append((shape.name, UNKNOWN, UNKNOWN, _holed(alone, cases)))
        elif worst is not None:
            lid, state = worst
            heights = (length(lid.clear_of_water, unit), length(lid.lowest_safe_height, unit))
            rows.append((shape.name, *heights, _holed(state, cases)))
        if lost:
            said = "; or ".join(_holed(state, cases) for state in lost)
            words = f"{shape.name}: not known where she comes to no rest, with {said} holed."
            remarks += wrap(words, width, "    ", "  ")
    return [*table(("LIDS AT THEIR WORST", "over the water", "safe height", "if holed"), rows, "<>><"), *remarks] if rows else []


def _holed(state: FloodingCase, cases: Sequence[FloodingCase]) -> str:
    return " and ".join(state.holed) + (" (empty)" if any(state is case.emptiest for case in cases) else "")


def _least_holed(lost: Sequence[FloodingCase]) -> list[FloodingCase]:
    """Of states without a rest those that take the fewest holes: each set of spaces once, none that holds another."""
    few = {frozenset(state.holed): state for state in reversed(lost)}
    return [state for names, state in reversed(few.items()) if not any(other < names for other in few)]


def _asks(lid: LidLevel) -> float:
    """How high a lid would have to be; where no height is enough, higher than all."""
    return inf if lid.lowest_safe_height is None else lid.lowest_safe_height


def _course(case: FloodingCase, unit: str, width: int) -> list[str]:
    """Which flow paths the water took, in order."""
    steps = [
        f"through {crossing.path} into {crossing.into}, {length_with_unit(crossing.head, unit)} over its sill"
        for crossing in case.crossed
    ]
    lines = wrap(f"The water's way: {'; then '.join(steps)}.", width, "    ", "  ") if steps else []
    if case.before is not None:
        before = case.before.water
        lines += wrap(
            f"Before the sea came in through {', '.join(dict.fromkeys(case.through))}: water at the bow "
            f"{length_with_unit(before.forward, unit)}, at the stern {length_with_unit(before.after, unit)}.",
            width,
            "    ",
            "  ",
        )
    return lines


def _levels(case: FloodingCase, unit: str) -> list[str]:
    rows = [(lid.name, "lid", length(lid.clear_of_water, unit), length(lid.lowest_safe_height, unit)) for lid in case.lids]
    rows += [(opening.name, " - ".join(opening.between), length(opening.clear_of_water, unit), "") for opening in case.openings]
    return table(("OVER THE WATER", "", "lowest place", "safe height"), rows, "<<>>") if rows else []


def _loads(evaluation: Evaluation, case: FloodingCase, unit: str, width: int) -> list[str]:
    loads = panel_loads(evaluation.layout, case)
    pushes = _pushes(evaluation, case)
    if not loads and not pushes:
        return []
    rows = [
        (load.panel, load.face, length(load.head, unit), _per_area(load.pressure, unit), mass_number(load.load, unit))
        for load in loads
    ]
    for push in pushes:
        wet = "all under" if push.share > 0.995 else f"{share(push.share, 1.0)} under"
        rows.append(
            (listed(push.lids) or f"what holds down {push.space}", f"bottles, {wet}", "", "", mass_number(push.load, unit))
        )
    lines = table(
        ("WATER AGAINST PANELS", "wet side", "deepest", f"{mass_unit(unit)}/{area_unit(unit)}", f"{mass_unit(unit)}, total"),
        rows,
        "<<>>>",
    )
    if pushes:
        lines += wrap("Bottles under water push up beside the water: what closes their space above must hold both.", width)
    elif any(load.kind == "lid" and load.face == "under" for load in loads):
        lines += wrap(
            f"A lid wet on its under side is lifted with these {_CALLED[mass_unit(unit)]}: its fastenings must hold them.", width
        )
    return [*lines, *wrap(NOT_JUDGED, width)]


def _pushes(evaluation: Evaluation, case: FloodingCase) -> Sequence[BottlePush]:
    if evaluation.contents is None or not evaluation.contents.bottles:
        return ()
    from sketcher.analysis.flooding.bottle_loads import bottle_pushes

    return bottle_pushes(evaluation.contents.bottles, case, evaluation.scene.water_density)


def _flows(evaluation: Evaluation, case: FloodingCase, unit: str, width: int) -> list[str]:
    rows = [
        (flow.name, " to ".join(flow.between), length(flow.head, unit), plain(flow.litres_per_minute, 0))
        for flow in hole_flows(evaluation.layout, case)
    ]
    if not rows:
        return []
    note = "The head: from the water she has settled to when it first comes over, to the middle of the hole's wet part."
    return [*table(("RUNS AT FIRST", "between", "head", "litres a minute"), rows, "<<>>"), *wrap(note, width)]


def _by_hand(layout: Layout, case: FloodingCase, unit: str, width: int) -> list[str]:
    if case.hand is None:
        return []
    forward, after = (length_with_unit(value, unit) for value in case.hand)
    words = (
        f"By hand, parallel sinkage and then the moment to trim of what is left: water at the bow {forward}, at the stern "
        f"{after}. A check, not the answer: it takes the waterplane to stay as it is, so the deeper she goes the further it "
        "is out."
    )
    under = [lid.level.name for lid in lids_under_water(layout, case) if lid.lift > 0.0]
    if under:
        words += (
            f" Here it is far out: it takes the flooded space to reach up to the water, while {listed(under)} closes it "
            "below, and the dry space over that carries her."
        )
    lines = wrap(words, width, "    ", "  ")
    if case.residual is not None:
        lines += wrap(
            f"At rest: her weight and what the water carries agree to {_grams(case.residual, unit)}.", width, "    ", "  "
        )
    return lines


_CALLED = {"kg": "kilograms", "lb": "pounds"}


def _per_area(pressure: float, unit: str) -> str:
    """A pressure [kg/m2] as what weighs on a square metre or foot."""
    each = 1.0 if area_unit(unit) == "m²" else FOOT**2
    return mass_number(pressure * each, unit)


def _grams(kilograms: float, unit: str) -> str:
    """A balance's remainder [kg] in words; what is under a gram, or a hundredth of a pound, is only rounding."""
    grams = abs(1000 * kilograms)
    if mass_unit(unit) == "lb":
        return "less than 0.01 lb" if grams < 4.0 else f"{mass_number(grams / 1000.0, unit, 2)} lb"
    return "less than a gram" if grams < 1.0 else f"{grams:.0f} g"
