"""Seams, fillets, cloth, resin and mixes against closed forms and a published estimator."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.rules import epoxy_for_cloth, epoxy_for_coats, fillet_section, pot_life
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import BondingList
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Bonding
from sketcher.model.scene import Bulkhead, Lid, Opening

MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)
GALLON, SQUARE_FOOT, OUNCE_PER_SQUARE_YARD = 0.003785411784, 0.09290304, 0.0339057


def bonding(**blocks: object) -> BondingList:
    form = box_form()
    layout = lay_out(layout_scene(form, bulkheads=(MAIN,), **blocks), form)
    found = bonding_list(layout, panel_patterns(layout, None), ())
    assert found is not None
    return found


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("angle", "radius", "millilitres"),
    [(90, 20, 86), (90, 25, 134), (90, 30, 193), (60, 25, 428), (120, 25, 34), (30, 25, 1514), (8, 25, 8000)],
)
def test_a_fillet_takes_what_its_section_holds(angle: float, radius: float, millilitres: float) -> None:
    """Millilitres a metre by r2 (cot(A/2) - (pi - A)/2), worked out by hand for five corners."""
    assert float(fillet_section(np.radians(angle), radius / 1000)) * 1e6 == pytest.approx(millilitres, abs=0.5)


@pytest.mark.published
@pytest.mark.parametrize(("feet", "ounces", "gallons"), [(56, 12, 0.99), (61, 6, 0.77)])
def test_epoxy_for_cloth_agrees_with_the_printed_examples(feet: float, ounces: float, gallons: float) -> None:
    """56 ft2 at 12 oz take 0.99 US gallons, 61 ft2 at 6 oz 0.77, waste and three coats included (Epoxyworks, read in excerpt)."""
    area = feet * SQUARE_FOOT
    found = epoxy_for_cloth(area, ounces * OUNCE_PER_SQUARE_YARD, "woven", 0.15) + epoxy_for_coats(area, 3, 0.15)
    assert found / GALLON == pytest.approx(gallons, abs=0.005)


@pytest.mark.published
def test_a_mix_lives_twice_as_long_ten_degrees_colder() -> None:
    """Slow hardener: 20 minutes at 21 deg C, 40 at 11, 10 at 31; fast 8 at 21 (resin makers' tables)."""
    assert [pot_life(t, "slow") / 60 for t in (21.0, 11.0, 31.0)] == pytest.approx([20.0, 40.0, 10.0])
    assert pot_life(21.0, "fast") / 60 == pytest.approx(8.0)


@pytest.mark.closed_form
def test_seams_of_a_bulkhead_in_a_box_are_its_edges() -> None:
    """On each face 2 x 1 + 2 m of hull and 2 m of deck, every corner square."""
    form = box_form()
    found = seams(lay_out(layout_scene(form, bulkheads=(MAIN,)), form))
    assert {(s.face, s.to): round(s.length, 6) for s in found} == {
        (face, to): length for face in ("forward", "after") for to, length in (("hull", 4.0), ("deck", 2.0))
    }
    assert [s.angle for s in found] == pytest.approx([90.0] * 4)
    assert sum(s.fillet for s in found) == pytest.approx(12.0 * 0.025**2 * (1 - np.pi / 4), rel=1e-6)


@pytest.mark.closed_form
def test_a_raked_bulkhead_has_a_sharp_and_a_blunt_corner() -> None:
    """Raked by 10 degrees top aft: 80 and 100 degrees against the bottom, the other way round on the other face."""
    form = box_form()
    scene = layout_scene(form, bulkheads=(replace(MAIN, rake=10.0),))
    found = {(s.face, s.to): s for s in seams(lay_out(scene, form))}
    assert found["after", "hull"].least_angle == pytest.approx(80.0, abs=0.01)
    assert found["forward", "hull"].greatest_angle == pytest.approx(100.0, abs=0.01)
    assert found["after", "deck"].angle == pytest.approx(100.0, abs=0.01)


@pytest.mark.closed_form
def test_a_doorway_has_no_seam() -> None:
    """A doorway 0.6 m wide through the deck's edge leaves 1.4 of 2 m to bond there."""
    form = box_form()
    door = Opening(name="door", through="main", at=(0.0, 0.8), size=(0.6, 1.0))
    found = seams(lay_out(layout_scene(form, bulkheads=(MAIN,), openings=(door,)), form))
    assert [s.length for s in found if s.to == "deck"] == pytest.approx([1.4, 1.4], abs=1e-4)


@pytest.mark.closed_form
def test_a_lid_is_bonded_to_the_bulkhead_above_and_below() -> None:
    """A lid that ends at a bulkhead has a seam of 2 m with it on each face."""
    form = box_form()
    lid = Lid(name="lid", height=0.5, start="stem", end="main", thickness=0.012)
    found = seams(lay_out(layout_scene(form, bulkheads=(MAIN,), lids=(lid,)), form))
    assert [(s.face, round(s.length, 5)) for s in found if s.to == "main"] == [("top", 2.0), ("under", 2.0)]


@pytest.mark.closed_form
def test_tapes_widen_and_cover_every_seam() -> None:
    """12 m of seams: layers of 100, 150 and 200 mm, each 13.8 m with 15 % waste; 6.21 m2 of 600 g weigh 3.726 kg."""
    found = bonding()
    assert [round(tape.width, 6) for tape in found.tapes] == [0.100, 0.150, 0.200]
    assert [tape.length for tape in found.tapes] == pytest.approx([13.8] * 3)
    assert (found.cloth_area, found.cloth_mass) == pytest.approx((6.21, 3.726), rel=1e-6)


@pytest.mark.property
@pytest.mark.parametrize("temperature", [10.0, 20.0, 35.0])
def test_mixes_are_used_up_before_they_go_off(temperature: float) -> None:
    """At any temperature of the table every mix is worked in within its pot life and none is larger than stays cool."""
    found = bonding(bonding=Bonding(temperature=temperature))
    for batch in found.batches:
        assert batch.count * batch.each == pytest.approx(batch.total)
        assert batch.each <= 0.0005 + 1e-12
        assert batch.each / (0.10e-3 if batch.purpose == "fillets" else 0.06e-3) * 60 <= batch.pot_life


@pytest.mark.example
def test_resin_adds_up() -> None:
    """What is bought is what fillets, cloth and coats take; without tabbing and fillets only coats are left."""
    found = bonding()
    assert found.resin_volume == pytest.approx(
        found.resin_for_fillets + found.resin_for_glue + found.resin_for_cloth + found.resin_for_coats
    )
    bare = bonding(bonding=Bonding(fillet=0.0, layers=0))
    assert (bare.fillet_volume, bare.cloth_area) == (0.0, 0.0)
    assert bare.resin_volume == pytest.approx(bare.resin_for_coats)
    assert [batch.purpose for batch in bare.batches] == ["coats"]


@pytest.mark.closed_form
def test_where_no_seam_is_reached_the_lid_is_bedded_and_only_coated() -> None:
    """A lid 1.98 by 2 m between bulkheads that stand, no opening anywhere: 15.92 m of seams on cleats, no tape, no fillet."""
    form = box_form()
    built = (replace(MAIN, at=1.0, thickness=0.02, built="already"), replace(MAIN, name="after", at=3.0, built="already"))
    lid = Lid(name="lid", height=0.5, start="main", end="after", thickness=0.012)
    layout = lay_out(layout_scene(form, bulkheads=built, lids=(lid,), bonding=Bonding()), form)
    unreached = tuple(replace(seam, reached=0.0) for seam in seams(layout))
    found = bonding_list(layout, panel_patterns(layout, None), (), unreached)
    assert found is not None
    assert (found.seam_length, found.bedded, found.cloth_area) == (0.0, pytest.approx(15.92, abs=1e-3), 0.0)
    assert found.cleats == pytest.approx(15.92, abs=1e-3)
    assert [batch.purpose for batch in found.batches] == ["glue", "coats"]


@pytest.mark.example
def test_nothing_planned_needs_no_bonding() -> None:
    """Where every panel is built already there is nothing to bond."""
    form = box_form()
    layout = lay_out(layout_scene(form, bulkheads=(replace(MAIN, built="already"),)), form)
    assert bonding_list(layout, panel_patterns(layout, None), ()) is None
