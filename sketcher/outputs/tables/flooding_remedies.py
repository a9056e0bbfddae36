"""Remedies for a flooding case: other fills of a space, a pump, and the time there is."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.filling import MARKS, Filling, filling
from sketcher.analysis.flooding.permeability_trials import compare_fills
from sketcher.analysis.flooding.pumping import emptying
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Compartment
from sketcher.model.errors import SketchError, nearest
from sketcher.outputs.tables.report import WIDTH
from sketcher.outputs.wording.quantities import UNKNOWN, length, length_with_unit, litres, plain, table, wrap


def fills_compared(evaluation: Evaluation, case: FloodingCase, space: str, condition: str | None, unit: str) -> list[str]:
    """The case with one space empty, with bottles and with foam, a row each. Raises SketchError on a name that is no space."""
    _space(evaluation, space)
    cases = compare_fills(evaluation.layout, evaluation.water, evaluation.floating, case.holed, space, condition)
    rows = [
        (
            fill,
            plain(each.shares[space], 2) if space in each.shares else UNKNOWN,
            litres(each.water_volume),
            length(each.water.forward if each.water else None, unit),
            length(each.water.after if each.water else None, unit),
            length(each.least_freeboard, unit),
            each.verdict,
        )
        for fill, each in cases.items()
    ]
    head = (f"{space} WITH", "water fills", "takes in, L", "bow", "stern", "least freeboard", "verdict")
    note = (
        f"As in the scene: the share that water fills by what the scene puts into {space}, or by its use. Usual: the shares of "
        "the table of permeabilities for bottles and foam, whatever the scene puts there; what really goes in may differ."
    )
    return [*table(head, rows, "<>>>>><"), *wrap(note, WIDTH)]


def pumped_out(
    evaluation: Evaluation, case: FloodingCase, pump_in: str, litres_per_minute: float, unit: str, width: int
) -> list[str]:
    """How long a pump at the lowest point of a space takes once the hole is stopped, and what each space keeps.

    Raises SketchError on a name that is no space, on a space that is not flooded and on a rate of nothing.
    """
    space = _space(evaluation, pump_in)
    assert evaluation.water is not None
    x, y, z = space.mesh.vertices[int(np.argmin(space.mesh.vertices[:, 2]))].tolist()
    done = emptying(evaluation.layout, case, evaluation.water.plane, pump_in, (x, y, z), litres_per_minute)
    rows = [
        (
            each.space,
            litres(each.held),
            litres(each.left),
            "nothing lets it run" if each.drains_at is None else length(each.drains_at, unit),
        )
        for each in done.spaces
    ]
    said = (
        f"A pump of {plain(litres_per_minute, 0)} litres a minute at the lowest point of {pump_in} takes "
        f"{plain(done.minutes, 0)} minutes once the hole is stopped. What lies under the last drain of a space stays in it."
    )
    return [*table(("PUMPED OUT", "holds, L", "keeps, L", "down to"), rows, "<>>>"), *wrap(said, width)]


def filling_times(
    evaluation: Evaluation, case: FloodingCase, hole: float, litres_per_minute: float, condition: str | None, unit: str
) -> list[str]:
    """How long she takes to fill through a hole of that diameter [m], and with a pump; 0 litres a minute: without one.

    Raises SketchError on a hole or a pump of less than nothing.
    """
    if hole <= 0.0 or litres_per_minute < 0.0:
        raise SketchError(
            "a hole or a pump of nothing, or less than nothing, does nothing", "Give a diameter, and a rate or none."
        )
    rows: list[tuple[str, ...]] = []
    remarks: list[str] = []
    for state in case.states:
        free = filling(evaluation.layout, evaluation.water, state, hole, 0.0, condition)
        if free is None:
            remarks.append("Not known: that takes her weight, her centre of gravity and the whole of the spaces that flood.")
            break
        pumped = filling(evaluation.layout, evaluation.water, state, hole, litres_per_minute / 60_000.0, condition)
        assert pumped is not None
        empty = "" if state is case else ", when empty"
        for mark, slower in zip(free.marks, pumped.marks, strict=True) if free.first > 0.0 else ():
            cells = (f"{_OF_ALL[mark.share]}{empty}", litres(mark.volume), _minutes(mark.seconds))
            rows.append((*cells, _minutes(slower.seconds)) if litres_per_minute else cells)
        if len(case.holed) > 1 and any(mark.seconds is None for mark in free.marks) and free.first > 0.0:
            others = " and ".join(case.holed[1:])
            remarks.append(f"The hole is in {case.holed[0]} alone: not all of the water finds a way from there into {others}.")
        remarks += [f"{said[0].upper()}{said[1:]}." for said in _of_filling(free, pumped, empty.removeprefix(", "))]
    note = (
        f"An estimate: the hole at the lowest place of {case.holed[0]}, 0.6 A sqrt(2 g h) through it and on through every way "
        "the water takes, in calm water."
    )
    head = [f"FILLS THROUGH {length_with_unit(hole, unit)}", "litres", "minutes"]
    head += [f"{plain(litres_per_minute, 0)} L a minute pumped"] if litres_per_minute else []
    lines = table(tuple(head), rows, "<>>>"[: len(head)]) if rows else []
    return [*lines, *wrap(" ".join([*dict.fromkeys(remarks), note]), WIDTH)]


_OF_ALL = dict(zip(MARKS, ("half of it", "nine tenths", "as good as all"), strict=True))


def _of_filling(free: Filling, pumped: Filling, empty: str) -> list[str]:
    """What is to be said of one state beside the times."""
    begins = f"{empty}, " if empty else ""
    if free.first <= 0.0:
        return [f"{begins}the hole lies above the water: nothing comes in while she floats level"]
    said = [f"{begins}the hole lets in {plain(free.first * 60_000, 0)} litres a minute at first"]
    if free.lost:
        said.append(f"{begins}she does not come to rest: that is the time in which she is lost")
    if pumped.pump and pumped.held is not None:
        dry = pumped.held <= 1e-3
        said.append(f"{begins}the pump {'keeps her dry' if dry else f'holds the water at {litres(pumped.held)} litres'}")
    return said


def _minutes(seconds: float | None) -> str:
    return "never" if seconds is None else plain(seconds / 60.0, 0 if seconds >= 600.0 else 1)


def _space(evaluation: Evaluation, name: str) -> Compartment:
    spaces = {space.name: space for space in evaluation.layout.compartments}
    if name not in spaces:
        close = nearest(name, spaces)
        remedy = f"Did you mean {close!r}?" if close else f"The compartments are: {', '.join(spaces)}."
        raise SketchError(f"there is no compartment {name!r}", remedy, evaluation.scene.file)
    return spaces[name]
