"""The waterline's boxes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from driven_sketch import DrivenSketch

from sketcher.analysis.afloat.waterplane import freeboards_at, water_plane
from sketcher.model.scene import Waterline

WATER = "waterline/waterline"


def typed(sketch: DrivenSketch, **boxes: str) -> None:
    for key, text in boxes.items():
        sketch.ask("set", part=WATER, field=key, value=text)


@pytest.mark.property
@pytest.mark.parametrize("water", [Waterline(forward=0.268, after=0.262), Waterline(forward=0.2, after=0.3, heel=-4.0)])
def test_the_same_water_is_stated_by_its_freeboards(sketch: DrivenSketch, water: Waterline) -> None:
    """Found plumb at bow and stern, they state the plane that they were found of; heeled, on the side that is deeper."""
    scene, form = replace(sketch.scene, waterline=water), sketch.evaluation.layout.hull
    plane = water_plane(scene, form)
    assert plane is not None
    bow, stern = freeboards_at(form, plane)
    again = water_plane(replace(scene, waterline=Waterline(bow_freeboard=bow, stern_freeboard=stern, heel=water.heel)), form)
    assert again is not None
    assert (again.forward, again.after, again.heel) == pytest.approx((plane.forward, plane.after, plane.heel), abs=1e-12)


@pytest.mark.example
def test_a_mark_waits_for_the_other_and_nothing_is_stated_before(sketch: DrivenSketch) -> None:
    """From nothing: one freeboard stays in its box, the second states both; one taken out, none is stated and one stays."""
    typed(sketch, bow="", stern="", stated="freeboards", heel="1,5")
    assert sketch.scene.waterline is None
    typed(sketch, bow="890")
    assert sketch.scene.waterline is None
    assert sketch.field_texts(WATER) | {"bow": "890", "stern": "", "stated": "freeboards"} == sketch.field_texts(WATER)
    typed(sketch, stern="68 cm")
    assert sketch.scene.waterline == Waterline(bow_freeboard=0.89, stern_freeboard=0.68, heel=1.5)
    sketch.ask("undo")
    assert (sketch.field_texts(WATER)["bow"], sketch.field_texts(WATER)["stern"]) == ("", "")
    sketch.ask("redo")
    typed(sketch, bow="")
    assert sketch.scene.waterline is None
    assert sketch.field_texts(WATER)["stern"] == "680"


@pytest.mark.example
def test_heights_become_freeboards_of_the_same_water_and_back(sketch: DrivenSketch) -> None:
    """To a whole millimetre of each mark, so that she floats as before to that; chosen again, nothing changes."""
    before = sketch.evaluation.water
    assert before is not None
    for way, keys in (("freeboards", ("bow_freeboard", "stern_freeboard")), ("heights", ("forward", "after"))):
        typed(sketch, stated=way)
        water, now = sketch.scene.waterline, sketch.evaluation.water
        assert now is not None
        assert all(getattr(water, key) is not None for key in keys)
        assert (now.forward, now.after) == pytest.approx((before.forward, before.after), abs=0.0012)
        scene = sketch.scene
        typed(sketch, stated=way, **{key: sketch.field_texts(WATER)[key] for key in ("heel", "bow", "stern")})
        assert sketch.scene == scene


@pytest.mark.example
def test_what_was_refused_is_told_beside_its_box_and_not_at_the_foot(sketch: DrivenSketch) -> None:
    """Each box that a text is no value for: marked, and described by the reason; turned away from, it is told at the foot."""
    for key, text in (("bow", "low"), ("heel", "a little"), ("stern", "aft"), ("centre_of_gravity", "high")):
        sketch.ask("select", part=WATER)
        scene = sketch.scene
        typed(sketch, **{key: text})
        assert sketch.scene == scene
        parts = sketch.parts()
        assert f'aria-invalid="true" aria-describedby="refused-{key}' in parts["selected"]
        assert f'id="refused-{key}"' in parts["selected"]
        assert parts["notice"] == ""
        sketch.ask("tab", tab="spaces")
        assert 'class="card refused"' in sketch.parts()["notice"]
    sketch.ask("select", part="bulkhead/collision")
    sketch.ask("rename", part="bulkhead/collision", value="main")
    assert 'id="refused-name"' in sketch.parts()["selected"]
    sketch.ask("set", part="bulkhead/collision", field="at", value="710")
    assert "refused-" not in sketch.parts()["selected"]
