"""Screws, glue, coats and what is used up, by arithmetic on boards in a box."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import pytest
from specimens import box_form, filled, layout_scene

from sketcher.analysis.cut.berth_boards import LEDGE, ledges_of
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.analysis.cut.bonding.consumables import consumables
from sketcher.analysis.cut.bonding.glue import glue_volume
from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.rules import epoxy_for_coats
from sketcher.analysis.cut.bonding.screws import screw_length, screw_purchases
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.plan import build_plan
from sketcher.analysis.cut.results import BondingList
from sketcher.analysis.cut.timber.bearer_patterns import stringer_patterns
from sketcher.analysis.evaluate import judged
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Bonding, Cutting
from sketcher.model.scene import Berth, Bulkhead, Infill, Lid, Stringer
from sketcher.outputs.wording.sentences import words

FORM = box_form()
MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)
TOP = Lid(name="bunk", height=0.5, start="stem", end="main", thickness=0.012)
BEARER = Stringer(name="bearer", under="bunk", side="both", start="stem", end="main", width=0.03, depth=0.045)


def bonded(reached: float = 1.0, material: str | None = None, **blocks: object) -> BondingList:
    """The bonding of a scene in the box, this share of each seam within reach."""
    scene = layout_scene(FORM, **blocks)
    layout = lay_out(replace(scene, hull=replace(scene.hull, material=material)), FORM)
    all_seams = tuple(replace(seam, reached=reached * seam.length) for seam in seams(layout))
    found = bonding_list(layout, panel_patterns(layout, None), stringer_patterns(layout), all_seams)
    assert found is not None
    return found


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("through", "into", "length"),
    [
        (0.012, 0.012, 0.020),
        (0.018, 0.018, 0.030),
        (0.009, 0.009, 0.016),
        (0.012, 0.025, 0.030),
        (0.018, 0.025, 0.040),
        (0.018, 0.045, 0.045),
        (0.006, 0.006, None),
    ],
)
def test_a_screw_is_as_long_as_its_joint_takes(through: float, into: float, length: float | None) -> None:
    """The longest sold that is no more than 2.5 times the board and ends 2 mm short of the far face; 6 mm on 6 mm takes none."""
    assert screw_length(through, into) == length


@pytest.mark.property
@pytest.mark.parametrize("through", [k / 1000 for k in range(3, 41)])
@pytest.mark.parametrize("into", [0.006, 0.009, 0.012, 0.018, 0.025, 0.045])
def test_no_screw_comes_out_on_the_far_face(through: float, into: float) -> None:
    """It bites 6 mm or more and stays 2 mm inside, or there is none."""
    length = screw_length(through, into)
    if length is not None:
        assert through + 0.006 <= length + 1e-9
        assert length <= through + into - 0.002 + 1e-9


@pytest.mark.closed_form
def test_screws_and_glue_of_a_lid_on_two_bearers() -> None:
    """2 m each: a screw every 150 mm and one at the end, 30 mm through 12 into 45; 3 mm of putty under 45 mm and under 30."""
    found = bonded(bulkheads=(MAIN,), lids=(TOP,), stringers=(BEARER,))
    (joint,) = found.screws
    assert (joint.board, joint.to, joint.screw, joint.count) == ("bunk", "bearers", 0.030, 30)
    assert found.glue_volume == pytest.approx(1.15 * 4.0 * 0.003 * (0.045 + 0.030), rel=1e-3)
    (bought,) = screw_purchases(found.screws)
    assert words(bought.item) == "screws, stainless or bronze, 30 mm long"
    assert bought.note is not None
    assert words(bought.note) == "every 150 mm: bearers, through 12 mm into 45 mm"


@pytest.mark.closed_form
def test_nothing_is_glued_to_a_hull_that_is_bolted() -> None:
    """In steel the bearers' faces on the hull take no glue; the lid is bedded on them all the same."""
    blocks = {"bulkheads": (MAIN,), "lids": (TOP,), "stringers": (BEARER,)}
    glued, bolted = bonded(**blocks), bonded(material="steel", **blocks)
    assert bolted.glue_volume == pytest.approx(glued.glue_volume * 0.030 / (0.045 + 0.030))


@pytest.mark.closed_form
def test_glue_of_cleats() -> None:
    """A bulkhead of which nothing is reached: 8 m of straight cleats on the hull, 4 on the deck, 3 mm under each and under it."""
    found = bonded(reached=0.0, bulkheads=(MAIN,))
    assert found.cleats == pytest.approx(12.0)
    assert found.glue_volume == pytest.approx(1.15 * 12.0 * LEDGE * 0.006, rel=1e-6)
    assert [(joint.to, joint.screw, joint.count) for joint in found.screws] == [("cleats", 0.040, 2 * (28 + 15))]


@pytest.mark.example
def test_glue_and_screws_of_straps_and_scarfs() -> None:
    """Half a millimetre under each strap, two rows of screws; a scarf's slope is eight times as long as the board is thick."""
    boat = filled()
    plan = build_plan(boat)
    assert plan.bonding is not None
    straps = [each for each in plan.patterns if each.kind == "butt strap"]
    assert straps
    screwed = [joint for joint in plan.bonding.screws if joint.to == "straps"]
    rows = [each.blank.bounds[2] - each.blank.bounds[0] for each in straps for _ in range(2)]
    assert sum(joint.run for joint in screwed) == pytest.approx(sum(rows))
    assert sum(joint.count for joint in screwed) == sum(ceil(row / 0.15) + 1 for row in rows)
    without = bonding_list(
        boat.layout,
        [each for each in plan.patterns if each.kind != "butt strap"],
        plan.stringers,
        plan.bonding.seams,
        supports=plan.supports,
    )
    assert without is not None
    assert plan.bonding.glue_volume - without.glue_volume == pytest.approx(1.15 * 0.0005 * sum(each.area for each in straps))
    scarfed = bonding_list(
        boat.layout,
        panel_patterns(boat.layout, None),
        plan.stringers,
        plan.bonding.seams,
        [replace(each, kind="scarf", width=8 * 0.01, ratio=8.0, line=((0.0, 0.0), (1.0, 0.0))) for each in plan.joints[:1]],
        plan.supports,
    )
    assert scarfed is not None
    assert scarfed.glue_volume - without.glue_volume == pytest.approx(1.15 * 0.0005 * (0.08**2 + 0.01**2) ** 0.5)


@pytest.mark.closed_form
def test_sawn_edges_are_coated_twice_over() -> None:
    """A board of 1.988 x 0.988 m, 18 mm thick: two faces, its edge twice, and 12 m of tape 200 mm wide with its waste."""
    found = bonded(bulkheads=(MAIN,), cutting=Cutting(gap=0.006))
    edge = 2 * (1.988 + 0.988) * 0.018
    assert found.edge_area == pytest.approx(edge, rel=1e-6)
    whole = 2 * 1.988 * 0.988 + 2 * edge + 12.0 * 0.2 * 1.15
    assert found.resin_for_coats == pytest.approx(epoxy_for_coats(whole, 3, 0.15), rel=1e-6)


@pytest.mark.closed_form
def test_what_is_used_up_follows_the_mixes() -> None:
    """A pair of gloves and a pot a mix, a brush for each of cloth; 2.76 m2 under tape take 12 coarse discs at a quarter each."""
    found = bonded(bulkheads=(MAIN,))
    bought = {each.item.values["what"]: each for each in found.purchases if each.item.code == "consumable"}
    mixes = {batch.purpose: batch.count for batch in found.batches}
    assert bought["gloves"].amount == bought["pots"].amount == sum(mixes.values())
    assert (bought["brushes"].amount, bought["rollers"].amount, bought["bags"].amount) == (
        mixes["cloth"],
        mixes["coats"],
        mixes["fillets"],
    )
    assert bought["coarse discs"].amount == 12
    assert bought["solvent"].amount.cubic_metres == pytest.approx(2.76 * 0.0001 + sum(mixes.values()) * 0.00002)  # type: ignore[union-attr]
    assert all(each.source == "consumables" for each in bought.values())


@pytest.mark.closed_form
def test_lay_up_is_told_by_panel_and_adds_up() -> None:
    """The bulkhead has its 12 m, the bunk its own: three tapes of 100 to 200 mm each, and the shares make the whole."""
    found = bonded(bulkheads=(MAIN,), lids=(TOP,))
    by_panel = {each.panel: each for each in found.lay_ups}
    assert by_panel["main"].seam_length == pytest.approx(12.0, abs=0.05)
    assert by_panel["bunk"].tapes == pytest.approx([by_panel["bunk"].seam_length * 1.15] * 3)
    assert by_panel["bunk"].cloth_area == pytest.approx(0.45 * by_panel["bunk"].seam_length * 1.15)
    for share, whole in (
        ("seam_length", found.seam_length),
        ("bedded", found.bedded),
        ("cloth_area", found.cloth_area),
        ("putty", found.fillet_volume),
        ("resin_for_cloth", found.resin_for_cloth),
    ):
        assert sum(getattr(each, share) for each in found.lay_ups) == pytest.approx(whole)


@pytest.mark.closed_form
def test_a_berths_boards_are_screwed_to_ledges_that_are_bought() -> None:
    """Boards 12 mm thick, 1 to 2 m: ledges as on their page, once for parts too, 30 mm screws, a twentieth more timber."""
    berth = Berth(name="berth", height=0.4, start=1.0, end=2.0, thickness=0.012)
    scene = layout_scene(FORM, bulkheads=(MAIN,), berths=(berth,), bonding=Bonding())
    plan = build_plan(judged(lay_out(scene, FORM)))
    assert plan.bonding is not None
    (joint,) = [joint for joint in plan.bonding.screws if joint.to == "ledges"]
    assert joint.screw == 0.030
    (timber,) = [each for each in plan.bonding.purchases if each.note is not None and each.note.code == "for-ledges"]
    assert timber.amount.metres == pytest.approx(1.05 * joint.run)  # type: ignore[union-attr]
    assert joint.run > 1.9
    (board,) = [each for each in plan.patterns if each.kind == "berth board"]
    parts = [replace(board, name=f"berth, part {k} of 2") for k in (1, 2)]
    assert sum(run for _, run in ledges_of(parts)) == pytest.approx(joint.run)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("to", "strips", "thick"), [("hull", 1, 0.006), ("main", 1, 0.0035), ("hull", 4, 0.0075), ("deck", None, 0.006)]
)
def test_a_cleat_is_glued_to_what_bears_it_and_of_its_strips(to: str, strips: int | None, thick: float) -> None:
    """A metre of 25 mm: 3 mm on the hull or half a millimetre on a board, 3 mm under what lies on it, half between strips."""
    cleat = Cleat(panel="bunk", to=to, length=1.0, strips=strips)
    assert glue_volume(layout_scene(FORM), (), (), (cleat,), ()) == pytest.approx(0.025 * thick)


@pytest.mark.example
def test_where_nothing_is_mixed_nothing_is_used_up() -> None:
    """No mixes, no gloves and no solvent."""
    assert list(consumables((), 1.0, 1.0)) == []


@pytest.mark.closed_form
def test_an_infill_lies_on_two_ledges_twice_as_wide() -> None:
    """A loose board in boards from 1 to 2 m: two ledges a metre long less gaps, 50 mm wide, bought with a twentieth more."""
    infill = Infill(start=1.0, width=(0.5, 0.5))
    berth = Berth(name="berth", height=0.4, start=1.0, end=2.0, thickness=0.012, infill=infill)
    plan = build_plan(judged(lay_out(layout_scene(FORM, bulkheads=(MAIN,), berths=(berth,)), FORM)))
    assert plan.bonding is not None
    bought = {words(each.item): each.amount for each in plan.bonding.purchases if each.note and each.note.code == "for-ledges"}
    assert bought["timber 50 mm × 25 mm"].metres == pytest.approx(1.05 * 2.0, abs=0.03)  # type: ignore[union-attr]
