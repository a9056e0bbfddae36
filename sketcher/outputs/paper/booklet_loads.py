"""The booklet's load sheet: what one sends to a designer, who answers for strength; this page does not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.cut.leak_tests import hardest_first
from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.timber.supports import APART
from sketcher.analysis.flooding.cases import single_cases
from sketcher.analysis.flooding.clear_spans import clear_span, loads_by_panel
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.leaks.orifice_flow import GRAVITY
from sketcher.analysis.spaces.leaks.shut_in_air import CLOSED_AT, SUN, pressure_gained, sealed_spaces
from sketcher.outputs.paper.page_flow import LARGE, Pages
from sketcher.outputs.wording.quantities import (
    UNKNOWN,
    force_unit,
    length,
    length_with_unit,
    mass_number,
    pressure_number,
    pressure_unit,
    run_length,
    run_unit,
    unit_called,
)
from sketcher.outputs.wording.say import listed

NOT_JUDGED = (
    "For a designer, who says whether boards, bearers and bonds are strong enough. The loads are those of still water at rest. "
    "How far a panel bends, waves and slamming, the mast, grounding, and people standing on it are not worked out and not judged."
)

LEAST = 0.5
"""[kg] A smaller load is none."""


def load_sheet_page(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """A page of its own: what presses on each panel with a space holed, its sealed air warmed or tested, and how it is held."""
    evaluation = plan_.evaluation
    cases = single_cases(evaluation.layout, evaluation.water, evaluation.floating)
    rows = [*_water_rows(plan_, cases, units), *_air_rows(plan_, units), *_test_rows(plan_, units)]
    if not rows:
        return
    pages.new_page()
    pages.heading("Load sheet")
    pages.text(NOT_JUDGED, LARGE)
    head = ["panel", "pressed by", "on", f"head, {unit_called(units)}"]
    head += [f"{pressure_unit(units)} at most", f"total {force_unit(units)}"]
    pages.table(head, rows, "<<<>>>")
    lost = [state.holed[0] for case in cases for state in case.states if state.water is None]
    if lost:
        pages.text(
            f"Not known with {listed(list(dict.fromkeys(lost)), 'or')} holed, where she comes to no rest: take water to the deck."
        )
    loaded = {row[0] for row in rows}
    held = [_held(plan_, number, shape, units) for number, shape in enumerate(evaluation.layout.panels) if shape.name in loaded]
    pages.table(["panel", "board", "clear span", "borne by", "bonded"], held, "<<><<")
    pages.text("Clear span: the largest circle between edges and panels that stand against it; bearers and supports left out.")
    _supports(pages, plan_, cases, units)
    pages.blanks(("Designer", "Boards, bearers and fastenings"), columns=1)


def _water_rows(plan_: BuildPlan, cases: Sequence[FloodingCase], units: str) -> Iterator[list[str]]:
    """Each panel with the water that each space holed by itself puts against it, the greatest first."""
    for panel, loads in loads_by_panel(plan_.evaluation.layout, cases).items():
        for each in loads:
            load = each.load
            if load.load < LEAST:
                continue
            by = f"{listed(each.holed, 'or')} holed{', empty' if each.emptied else ''}"
            pressed = pressure_number(load.pressure * GRAVITY, units)
            yield [panel, by, load.face, length(load.head, units), pressed, mass_number(load.load, units)]


def _air_rows(plan_: BuildPlan, units: str) -> Iterator[list[str]]:
    """Lids that sealed air in the sun presses on."""
    gained = pressure_gained(CLOSED_AT, SUN)
    for space, panel, area in sealed_spaces(plan_.evaluation.layout):
        by = f"air sealed in {space}, {CLOSED_AT:.0f} to {SUN:.0f} °C"
        yield [panel, by, "all of it", "", pressure_number(gained, units), mass_number(gained * area / GRAVITY, units)]


def _test_rows(plan_: BuildPlan, units: str) -> Iterator[list[str]]:
    """What each space's air test pushes on, the hardest pushed first."""
    for test in plan_.leak_tests:
        head, pressed = length(test.water_column, units), pressure_number(test.pressure, units)
        for panel, way, force, _ in hardest_first(test):
            yield [panel, f"leak test of {test.space}", f"pushed {way}", head, pressed, mass_number(force / GRAVITY, units)]


def _supports(pages: Pages, plan_: BuildPlan, cases: Sequence[FloodingCase], units: str) -> None:
    """How far each support spans, and the most that its share of the lid can press it with."""
    if not plan_.supports:
        return
    alike: dict[tuple[str, ...], list[str]] = {}
    for support in plan_.supports:
        by, pressed = max(_on_lid(plan_, cases, support.lid), key=lambda each: each[1], default=("", 0.0))
        share = (APART + support.width) * support.length
        size = f"{length(support.width, units)} × {length(support.depth, units)}"
        load = mass_number(pressed * share / GRAVITY, units) if by else UNKNOWN
        told = (support.lid, size, length(support.length, units), by or UNKNOWN, load)
        alike.setdefault(told, []).append(support.name.removeprefix(f"{support.lid}, support "))
    rows = [[f"{lid}: {listed(numbers)}", *rest] for (lid, *rest), numbers in alike.items()]
    head = [
        "supports",
        f"timber, {unit_called(units)}",
        "from end to end",
        "lid pressed most by",
        f"at most, {force_unit(units)}",
    ]
    pages.table(head, rows, "<<><>")
    pages.text(
        f"At most: that pressure on the support's whole length and on {length_with_unit(APART, units)} of lid beside it, half on "
        "either side, as if it were as great all over. Water and a test below push up: a support then holds the lid only by what "
        "fastens the lid to it and it to what it ends at. Whether timber and fastenings are strong enough is not judged."
    )


def _on_lid(plan_: BuildPlan, cases: Sequence[FloodingCase], lid: str) -> Iterator[tuple[str, float]]:
    """What presses on a lid, with the pressure [Pa] where that is greatest."""
    layout = plan_.evaluation.layout
    for each in loads_by_panel(layout, cases).get(lid, ()):
        yield f"{listed(each.holed, 'or')} holed", each.load.pressure * GRAVITY
    for space, panel, _ in sealed_spaces(layout):
        if panel == lid:
            yield f"air sealed in {space}", pressure_gained(CLOSED_AT, SUN)
    for test in plan_.leak_tests:
        if lid in {panel for panel, _, _ in test.uplift}:
            yield f"leak test of {test.space}", test.pressure


def _held(plan_: BuildPlan, number: int, shape: PanelShape, units: str) -> list[str]:
    """One panel: its board, how far it spans, what it is bonded to, and how much of each face's seams can be taped."""
    layout, panel = plan_.evaluation.layout, shape.panel
    faces = dict.fromkeys(face for space in layout.compartments for name, face in space.bounds if name == shape.name)
    span = min((clear_span(layout, number, face) for face in faces), default=0.0)
    every = plan_.bonding.seams if plan_.bonding else ()
    seams = [seam for seam in every if seam.panel == shape.name]
    borne = dict.fromkeys(seam.to for seam in seams) | dict.fromkeys(seam.panel for seam in every if seam.to == shape.name)
    borne |= dict.fromkeys(each.name for each in layout.scene.stringers if each.under == shape.name)
    taped = [
        f"{face} {run_length(sum(s.reached for s in seams if s.face == face), units)} of "
        f"{run_length(sum(s.length for s in seams if s.face == face), units)}"
        for face in dict.fromkeys(seam.face for seam in seams)
    ]
    bonded = (
        f"taped, {run_unit(units)}: {'; '.join(taped)}" if taped else "stands already" if panel.built == "already" else UNKNOWN
    )
    board = f"{length_with_unit(panel.thickness, units)} {panel.material or ''}".strip()
    return [shape.name, board, length_with_unit(span, units), ", ".join(borne) or UNKNOWN, bonded]
