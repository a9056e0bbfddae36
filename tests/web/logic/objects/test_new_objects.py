"""Objects added where the owner points."""

from __future__ import annotations

import pytest
from driven_sketch import DrivenSketch

from sketcher.analysis.evaluate import evaluate
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.scene3d.objects import ObjectRef


@pytest.mark.property
@pytest.mark.parametrize("kind", ["bulkhead", "partition", "lid", "berth", "stringer", "opening", "weight", "fitting"])
def test_every_kind_of_thing_is_added_selected_and_undone(sketch: DrivenSketch, kind: str) -> None:
    """Something new has sensible figures at once: it can be evaluated, saved and read again."""
    before = sketch.scene
    sketch.ask("add", value=kind)
    sketch.ask("place")
    assert sketch.notice is None
    assert sketch.selected is not None
    assert sketch.selected.kind == kind
    sketch.ask("save")
    assert read_scene(sketch.session.opened.path).name == before.name
    assert evaluate(read_scene(sketch.session.opened.path)).layout.compartments
    sketch.ask("undo")
    assert sketch.scene == before


@pytest.mark.example
def test_a_thing_is_added_where_the_owner_points_in_a_drawing(sketch: DrivenSketch) -> None:
    """A bulkhead goes to the distance aft that was pointed to in the profile, in whole steps."""
    pane = sketch.sheet.panes[0]
    x, up = pane.placing.spot(1.503, 0.4)
    sketch.ask("add", value="bulkhead")
    sketch.ask("press", where="drawing", at=[x, sketch.sheet.size[1] - up])
    sketch.ask("release")
    added = sketch.scene.bulkheads[-1]
    assert added.at == pytest.approx(1.505)
    assert sketch.selected == ObjectRef("bulkhead", added.name)
