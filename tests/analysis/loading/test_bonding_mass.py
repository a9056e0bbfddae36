"""What resin, glass and putty weigh, against closed forms in boxes and against what the booklet buys."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.rules import EPOXY_DENSITY, epoxy_for_cloth, epoxy_for_coats
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.evaluate import judged
from sketcher.analysis.loading.bonding_mass import bonding_weight
from sketcher.analysis.loading.panel_masses import boards_by_usual_plywood, panel_weights, unweighed_panels
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Bonding
from sketcher.model.scene import Bulkhead, Lid
from sketcher.outputs.tables.json_figures import figures
from sketcher.outputs.tables.weight_changes import loads
from sketcher.outputs.wording.sentences import message

FORM = box_form()
MAIN = Bulkhead(name="main", at=2.0, thickness=0.012, material="plywood")
TOP = Lid(name="bunk", height=0.5, start="stem", end="main", thickness=0.012, material="plywood")


@pytest.mark.closed_form
def test_a_bulkhead_in_a_box_takes_its_edges_and_its_faces() -> None:
    """Twelve metres of square corners: 0.45 m of glass of 600 g/m2 a metre and its resin, a 25 mm fillet; 4 m2 of coats."""
    layout = lay_out(layout_scene(FORM, bulkheads=(MAIN,)), FORM)
    found = bonding_weight(layout, {"main"})
    assert found is not None
    glass = 12.0 * 0.45 * 0.6
    resin = epoxy_for_cloth(12.0 * 0.45, 0.6, "woven", 0.0) * EPOXY_DENSITY
    putty = 12.0 * 0.025**2 * (1.0 - pi / 4) * 0.8 * EPOXY_DENSITY * 1.2
    assert found.kg == pytest.approx(glass + resin + putty + epoxy_for_coats(4.0, 3, 0.0) * EPOXY_DENSITY, rel=1e-6)
    assert found.at == pytest.approx((2.006, 0.0, 0.5), abs=1e-6)
    assert bonding_weight(layout, ()) is None


@pytest.mark.closed_form
def test_a_bolted_hull_takes_no_resin_along_its_skin() -> None:
    """In steel the bulkhead's faces are coated and nothing else."""
    scene = layout_scene(FORM, bulkheads=(MAIN,))
    found = bonding_weight(lay_out(replace(scene, hull=replace(scene.hull, material="steel")), FORM), {"main"})
    assert found is not None
    assert found.kg == pytest.approx(epoxy_for_coats(4.0, 3, 0.0) * EPOXY_DENSITY, rel=1e-6)


@pytest.mark.property
@pytest.mark.parametrize("rake", [0.0, 12.0, -25.0])
@pytest.mark.parametrize("angle", [0.0, 20.0])
def test_it_is_what_the_booklet_buys_less_its_waste(rake: float, angle: float) -> None:
    """Cloth, its resin and putty of panels at any angle, every seam reached: by edges the same as by the boards' outlines."""
    how = replace(Bonding(), waste=0.0, coats=1)
    scene = layout_scene(FORM, bulkheads=(replace(MAIN, rake=rake, angle=angle),), lids=(TOP,), bonding=how)
    layout = lay_out(scene, FORM)
    bought = bonding_list(layout, panel_patterns(layout, None), (), seams(layout))
    found = bonding_weight(layout, {"main", "bunk"})
    assert found is not None
    assert bought is not None
    booklet = bought.cloth_mass + bought.filler_mass + (bought.resin_for_cloth + bought.resin_for_fillets) * EPOXY_DENSITY
    faces = sum(2 * (weight.kg / 6.6) for weight in panel_weights(layout) if weight.name in ("main", "bunk"))
    assert found.kg - epoxy_for_coats(faces, 1, 0.0) * EPOXY_DENSITY == pytest.approx(booklet, rel=0.01)


@pytest.mark.example
def test_what_is_planned_is_marked_and_what_stands_adds_nothing() -> None:
    """Report and JSON mark board and bonding; what stands adds nothing; unstated material is told, 5.4 kg a square metre."""
    boat = judged(lay_out(layout_scene(FORM, bulkheads=(MAIN,), waterline=None), FORM))
    assert any(line.startswith("main, planned ") for line in loads(boat, "mm", 100))
    weights = figures(boat)["with_changes"]["weights"]
    assert [(each["name"], each["planned"]) for each in weights] == [("main", True), ("resin, glass and putty", True)]
    standing = lay_out(layout_scene(FORM, bulkheads=(replace(MAIN, built="already"),)), FORM)
    assert panel_weights(standing) == ()
    assert unweighed_panels(standing.scene) == ()
    bare = lay_out(layout_scene(FORM, bulkheads=(replace(MAIN, material=None),)), FORM)
    assert panel_weights(bare) == ()
    note = next(each for each in judged(bare).findings if each.code == "panels-not-weighed")
    assert message(note, "mm").startswith("main adds nothing to her weight here, though the boards alone come to about 11 kg")
    assert note.measured == pytest.approx(5.4 * 2.0)
    thick = lay_out(layout_scene(FORM, bulkheads=(replace(MAIN, material=None, thickness=0.030),)), FORM)
    assert boards_by_usual_plywood(thick, {"main"}) is None
