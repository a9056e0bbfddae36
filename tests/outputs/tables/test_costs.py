"""Costs by the owner's prices: each item's, and a sum that says of how many items it is."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date

import pypdf
import pytest
from scene_specimens import cut_out

from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Purchase
from sketcher.analysis.findings import Length, Mass, Phrase, Volume
from sketcher.model.cutting import NO_PRICES, Prices
from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.fields.cutting_fields import PRICES
from sketcher.model.fields.reading import Item
from sketcher.outputs.paper.booklet import booklet, scene_fingerprint
from sketcher.outputs.paper.build_files import tables
from sketcher.outputs.tables.costs import Costs, costs_of

EPOXY = Purchase(
    item=Phrase("mixed-epoxy"),
    amount=Volume(0.0095),
    note=Phrase("epoxy-with-hardener", {"mass": Mass(10.5), "hardener": "slow"}),
)
TAPE = Purchase(item=Phrase("tape-to-buy", {"kind": "woven", "width": Length(0.1)}), amount=Length(12.0))
STRIP = Purchase(item=Phrase("foam-strip", {"thickness": Length(0.006)}), amount=Length(3.0))
BOUGHT = (EPOXY, TAPE, STRIP)


def read(text: str) -> Prices:
    document = compose(f"prices: {text}\n", "")
    found = PRICES.read(Item(document, document.root.entries[0][1], "prices", "mm"))
    assert isinstance(found, Prices)
    return found


@pytest.mark.closed_form
def test_an_item_costs_its_amount_times_its_price() -> None:
    """9.5 litres at 24 are 228, 12 m at 1.8 are 21.60; foam strip has no price, so the sum is of 2 of 3 items."""
    found = costs_of(BOUGHT, read('{currency: EUR, "epoxy, mixed": 24, Woven tape 100 mm wide: 1.8, nails: 3}'), "mm")
    assert found.each == (228.0, 21.6, None)
    assert found.summed == "sum of 2 of 3 items: 249.60 EUR"
    assert found.nowhere == ("nails",)


@pytest.mark.closed_form
def test_a_price_is_for_a_foot_where_the_scene_is_in_inches() -> None:
    """12 m are 39.37 ft; at 1 a foot, 39.37."""
    assert costs_of((TAPE,), Prices(of=(("woven tape 3 15/16 in wide", 1.0),)), "in").each == pytest.approx(
        (12.0 / 0.3048,), abs=0.005
    )


@pytest.mark.closed_form
def test_a_name_from_a_list_in_other_units_has_its_price_by_what_is_sold_there() -> None:
    """The millimetre list sells tape by the metre, whatever the scene's unit: 12 m at 1 are 12."""
    assert costs_of((TAPE,), Prices(of=(("woven tape 100 mm wide", 1.0),)), "in").each == (12.0,)


@pytest.mark.example
def test_a_price_by_name_and_note_goes_before_one_by_name() -> None:
    """Two items of one name are told apart by what stands in their notes."""
    prices = Prices(of=(("epoxy, mixed", 10.0), ("epoxy, mixed, 10.5 kg with its slow hardener", 20.0)))
    assert costs_of((EPOXY,), prices, "mm").each == (190.0,)


@pytest.mark.property
@pytest.mark.parametrize("text", ["{}", "{currency: EUR}", '{currency: "kr.", "epoxy, mixed": 24.5, screws: 0}'])
def test_prices_are_read_as_they_are_written(text: str) -> None:
    """Written and read again they are the same."""
    assert read(PRICES.write(read(text), "mm")) == read(text)


@pytest.mark.example
@pytest.mark.parametrize("text", ["{screws: -1}", "{screws: dear}", "12"])
def test_what_is_no_price_is_refused(text: str) -> None:
    """Below 0, no number, or no list of names: told with the key."""
    with pytest.raises(SketchError, match=r"bounds|is not"):
        read(text)


@pytest.fixture(scope="module")
def plan() -> BuildPlan:
    return cut_out("pellwick-bows")


def priced(plan: BuildPlan, prices: Prices) -> BuildPlan:
    boat = plan.evaluation
    return replace(plan, evaluation=replace(boat, scene=replace(boat.scene, prices=prices)))


@pytest.mark.example
def test_list_and_booklet_show_costs_and_their_sum(plan: BuildPlan) -> None:
    """The price of epoxy fills one cost; list and page say the sum is of one item; without prices the list has no such column."""
    mine = priced(plan, Prices(currency="EUR", of=(("epoxy, mixed", 20.0), ("nails", 1.0))))
    rows = list(csv.DictReader(io.StringIO(dict(tables(mine))["shopping list"])))
    (epoxy,) = [row for row in rows if row["item"] == "epoxy, mixed"]
    assert float(epoxy["cost"]) == pytest.approx(20.0 * float(epoxy["amount"]), abs=0.02)
    assert rows[-1]["item"] == f"sum of 1 of {len(plan.purchases)} items: {float(epoxy['cost']):.2f} EUR"
    assert sum(row["cost"] != "" for row in rows) == 2
    assert "cost" not in next(csv.reader(io.StringIO(dict(tables(plan))["shopping list"])))
    pages = pypdf.PdfReader(io.BytesIO(booklet(mine, "a4", "mm", date(2026, 5, 4)))).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    assert f"Sum of 1 of {len(plan.purchases)} items" in text
    assert "no item is called so here: nails." in text


@pytest.mark.example
def test_prices_change_no_layout_code(plan: BuildPlan) -> None:
    """Patterns already printed stay good when the owner learns what epoxy costs."""
    scene = plan.evaluation.scene
    assert scene_fingerprint(replace(scene, prices=Prices(of=(("screws", 1.0),)))) == scene_fingerprint(
        replace(scene, prices=NO_PRICES)
    )


@pytest.mark.example
def test_a_sum_of_nothing_is_said_to_be_of_nothing() -> None:
    """No price known: of 0 items."""
    assert Costs(each=(None, None), currency="", nowhere=()).summed == "sum of 0 of 2 items: 0.00"
