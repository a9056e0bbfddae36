"""The booklet's pages for the pot and the pump: seams, cloth, batches, what to buy, and the leak test of each space."""

from __future__ import annotations

from functools import partial
from math import inf

from sketcher.analysis.cut.bonding.rules import fillet_reach
from sketcher.analysis.cut.leak_tests import UNDER, hardest_first
from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import BondingList, LayUp, LeakTest
from sketcher.analysis.sources import SOURCES
from sketcher.outputs.palette import PENCIL
from sketcher.outputs.paper.page_flow import BODY, LARGE, Pages
from sketcher.outputs.tables.costs import costs_of, sold
from sketcher.outputs.wording.quantities import (
    area,
    area_unit,
    hole_found,
    length,
    length_with_unit,
    litres,
    mass_number,
    mass_unit,
    plain,
    pressure_number,
    pressure_unit,
    run_length,
    run_unit,
    unit_called,
    waited,
)
from sketcher.outputs.wording.sentences import capitalized, words

_KGF = 9.80665
"""[N] of a kilogram-force, by definition."""

_WATER = 9806.65
"""[Pa] under a metre of water, a thousand kilograms to the cubic metre."""


def bonding_pages(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """Seams with their fillets, tapes, batches and the shopping list with the sources of its amounts."""
    bonding = plan_.bonding
    if bonding is None:
        return
    pages.heading("Bonding", keep=60.0)
    radius = length_with_unit(bonding.fillet_radius, units)
    by = run_unit(units)
    pages.text(
        f"{run_length(bonding.seam_length, units)} {by} of seams to fillet and tape; fillets of {radius} radius, "
        f"{_volume(bonding.fillet_volume)} of putty. For {bonding.temperature:g} °C; {100 * bonding.waste:.0f} % waste is in the "
        "totals.",
        LARGE,
    )
    if bonding.bolted > 0.0:
        pages.text(
            f"{run_length(bonding.bolted, units)} {by} of edges at hull and deck are bolted to flats, and not in these figures."
        )
    if bonding.bedded > 0.0:
        pages.text(
            f"{run_length(bonding.bedded, units)} {by} more lie inside closed spaces where nobody reaches: bedded in putty "
            "on cleats or bearers, as the order of work says. Their fillets are not counted."
        )
    pages.text(
        f"{_volume(bonding.glue_volume)} of the same putty glue straps, scarfs, bearers and cleats. Sawn edges, "
        f"{area(bonding.edge_area, units)} {area_unit(units)} with the holes', are coated twice over."
    )
    _seams(pages, bonding, units)
    _lay_up(pages, bonding, units)
    _screws(pages, bonding, units)
    pages.need(45.0)
    pages.text("Mixes that go into the work before they go off", bold=True)
    rows = [[b.purpose, str(b.count), _volume(b.each), _volume(b.total), f"{b.pot_life / 60:.0f} min"] for b in bonding.batches]
    pages.table(["for", "mixes", "each", "total", "pot life"], rows, "<>>>>", LARGE)


def _seams(pages: Pages, bonding: BondingList, units: str) -> None:
    """Each seam, how far its fillet lies on both sides, and where that is further than the first tape."""
    by, first = run_unit(units), min((tape.width for tape in bonding.tapes), default=inf) / 2
    rows, wide = [], dict[str, None]()
    for s in bonding.seams:
        reach = fillet_reach(s.least_angle, bonding.fillet_radius)
        if reach > first and s.reached > 0.0:
            wide[f"{s.panel}, {s.face}, to {s.to}"] = None
        angles, filled = f"{s.least_angle:.0f} to {s.greatest_angle:.0f}", _volume(s.fillet * s.reached / s.length)
        sizes = [run_length(s.length, units, 2), angles, run_length(s.reached, units, 2)]
        sizes += [length(reach, units), filled] if s.reached > 0.0 else ["", ""]
        rows.append([s.panel, s.face, s.to, *sizes])
    head = ["panel", "face", "to", by, "corner °", f"{by} reached", f"reach, {unit_called(units)}", "fillet"]
    pages.table(head, rows, "<<<>>>>>")
    pages.text("Reach: how far the fillet lies on each side of the corner where that is sharpest.")
    if wide:
        pages.text(
            f"The fillet reaches further than the first tape, {length_with_unit(first, units)}, at {'; '.join(wide)}. Take the "
            "second tape first there, or a smaller fillet, so that tape ends on board and hull."
        )


def _lay_up(pages: Pages, bonding: BondingList, units: str) -> None:
    """The tapes, and what of them each panel takes."""
    if not bonding.tapes:
        return
    by = run_unit(units)
    pages.need(35.0)
    pages.text("Lay-up, panel by panel, waste included", bold=True)
    reach = length_with_unit(max(tape.width for tape in bonding.tapes) / 2, units)
    pages.text(
        f"Tape of {plain(bonding.tapes[0].weight * 1000.0, 0)} g/m², centred in the corner, narrowest first; the last reaches "
        f"{reach} onto each side."
    )
    head = ["panel", f"seams, {by}", *(f"{length(tape.width, units)} wide, {by}" for tape in bonding.tapes)]
    head += [f"cloth, {area_unit(units)}", "its resin", "putty"]
    rows = [_of_panel(each, units) for each in bonding.lay_ups if each.tapes]
    total = [run_length(tape.length, units) for tape in bonding.tapes]
    sums = [area(bonding.cloth_area, units), _volume(bonding.resin_for_cloth), _volume(bonding.fillet_volume)]
    rows.append(["total", run_length(bonding.seam_length, units), *total, *sums])
    pages.table(head, rows, "<".ljust(len(head), ">"))


def _of_panel(each: LayUp, units: str) -> list[str]:
    taken = [area(each.cloth_area, units), _volume(each.resin_for_cloth), _volume(each.putty)]
    return [each.panel, *(run_length(run, units) for run in (each.seam_length, *each.tapes)), *taken]


def _screws(pages: Pages, bonding: BondingList, units: str) -> None:
    """The screws of each joint."""
    if not bonding.screws:
        return
    pages.need(30.0)
    pages.text(f"Screws, in {unit_called(units)}", bold=True)
    rows = [
        [
            each.board,
            each.to,
            length(each.through, units),
            length(each.into, units),
            "none: weigh down" if each.screw is None else length(each.screw, units),
            "" if each.screw is None else str(each.count),
        ]
        for each in bonding.screws
    ]
    pages.table(["board", "to its", "through", "into", "screw", "how many"], rows, "<<>>>>")


def shopping_pages(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """One list of all that is bought, with how its amounts are known."""
    if not plan_.purchases:
        return
    pages.heading("Shopping list", 5.0)
    scene = plan_.evaluation.scene
    costs = costs_of(plan_.purchases, scene.prices, scene.units)
    rows = []
    for purchase, cost in zip(plan_.purchases, costs.each, strict=True):
        source = SOURCES.get(purchase.source) if purchase.source else None
        amount, by = sold(purchase.amount, units)
        note = "" if purchase.note is None else words(purchase.note, units)
        known = source.standing if source else ""
        paid = "" if cost is None else f"{cost:.2f}"
        rows.append([words(purchase.item, units), _amount(amount), by or purchase.things, paid, note, known])
    pages.table(["item", "amount", "", f"cost {costs.currency}".rstrip(), "", "how known"], rows, "<><><<")
    if not scene.prices.of:
        pages.text(_HOW_PRICED)
        return
    pages.text(f"{capitalized(costs.summed)}.", LARGE, bold=True)
    pages.text("By the prices in the scene's file. What has none is not in the sum, nor are tools, freight and paint.")
    if costs.nowhere:
        pages.text(f"Priced in the file, but no item is called so here: {'; '.join(costs.nowhere)}.")


_HOW_PRICED = (
    "For costs, write prices into the scene's file by the names here, each for one of what stands behind its amount: "
    'prices: {currency: EUR, "epoxy, mixed": 24}.'
)


def _volume(cubic_metres: float) -> str:
    """Litres where there is one, else millilitres.

    >>> _volume(0.00125), _volume(0.0003)
    ('1.2 L', '300 mL')
    """
    return f"{cubic_metres * 1000:.1f} L" if cubic_metres >= 0.001 else f"{cubic_metres * 1e6:.0f} mL"


def _amount(value: float) -> str:
    return plain(value, 0) if value >= 100 or value == int(value) else plain(value, 2 if value < 1 else 1)


def leak_test_pages(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """A form for each space: what to close, how far to blow, what it does to the lids, and lines for the readings."""
    if not plan_.leak_tests:
        return
    pages.heading("Leak tests", keep=90.0)
    sources = dict.fromkeys(SOURCES[test.source] for test in plan_.leak_tests if test.source in SOURCES)
    for source in sources:
        pages.text(f"{source.title} ({source.standing}; {source.binding})", 2.6, PENCIL)
    pages.text("Nobody stands over a lid under pressure. Test only what is bonded as the order of work says, and cured.", LARGE)
    for test in plan_.leak_tests:
        pages.kept(partial(_leak_test, pages, test, units))
        pages.space(3.0)


def _leak_test(pages: Pages, test: LeakTest, units: str) -> None:
    pages.heading(f"{test.space}, {litres(test.volume)} litres", 4.8, 70.0)
    if not test.closed:
        pages.text("Open now, so it cannot be tested as it is. Close for the test:", bold=True)
        for closing in test.closings:
            pages.ticked(f"{words(closing, units)}.")
    columns = (test.water_column, test.pass_column, test.relief_column)
    blown = f"{pressure_number(test.pressure, units, 2)} {pressure_unit(units)}"
    column, left, relief = (length_with_unit(height, units) for height in columns)
    pages.text(
        f"Blow to {column} of water in a clear tube ({blown}). After {test.hold:.0f} s it must "
        f"still stand at {left} or more. Above {relief} the tube blows off: fit it before you blow.",
        LARGE,
    )
    under, passed, sought = (length_with_unit(size, units) for size in (UNDER, test.passed_hole, test.sought))
    found = hole_found(passed, sought, test.hold, test.sought_hold)
    pages.text(
        f"That is a dinghy tank's line. {found}, air and space at an even temperature. Through a hole that just passes in these "
        f"{litres(test.volume)} litres come {plain(1000 * test.passed_flow, 0)} litres an hour under {under} of water.",
        BODY,
    )
    rows = [[name, way, area(shown, units), mass_number(force / _KGF, units)] for name, way, force, shown in hardest_first(test)]
    pages.columns(["pushed on", "which way", area_unit(units), f"{mass_unit(units)} of push"], rows, "<<>>", BODY)
    rise = length_with_unit(test.warmth / _WATER, units)
    pages.text(f"A degree of warming alone adds {rise}: test in the shade, out of the wind.", BODY)
    pages.blanks(("Date, tested by", "Witness", "Water tube, height"), columns=3)
    holds = [test.hold, *([test.sought_hold] if test.sought_hold > test.hold else [])]
    times = ("blown up", *(f"after {waited(hold)}" for hold in holds), *["mended, again"] * 2)
    log = [[when, *[""] * 5] for when in times]
    pages.table(["reading", "clock", "column", "air °C", "in the space °C", "leaks found at"], log, size=LARGE, wide=True)
