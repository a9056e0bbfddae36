"""Fields as the page shows them, and as they may be typed."""

from __future__ import annotations

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.model.scene import FromPanel
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.objects.typed_fields import field_rows


@pytest.mark.property
@pytest.mark.parametrize(
    ("text", "metres"), [("820", 0.82), ("2 ft 6 in", 0.762), ("30 1/4 in", 0.76835), ("0.81 m", 0.81), ("81.5cm", 0.815)]
)
def test_a_number_is_typed_in_any_unit(sketch: DrivenSketch, text: str, metres: float) -> None:
    """An owner types as the tape says."""
    sketch.ask("set", part=COLLISION, field="at", value=text)
    assert sketch.collision_at == pytest.approx(metres, abs=1e-9)
    assert sketch.notice is None


@pytest.mark.property
@pytest.mark.parametrize("text", ["main - 2000", "from: main, distance: -2000", "main -2 m", "{from: main, distance: -2000}"])
def test_a_bulkhead_is_tied_as_an_owner_would_write_it(sketch: DrivenSketch, text: str) -> None:
    """So far from another, with or without the file's braces."""
    sketch.ask("set", part=COLLISION, field="at", value=text)
    assert sketch.scene.bulkheads[0].at == FromPanel("main", -2.0)


@pytest.mark.property
@pytest.mark.parametrize(("part", "text"), [(COLLISION, "main - 2000"), ("bulkhead/main", "collision + 1987.5")])
def test_a_tied_bulkhead_is_shown_as_it_is_typed(sketch: DrivenSketch, part: str, text: str) -> None:
    """Not in the file's braces; typed again as it is shown, it changes nothing."""
    sketch.ask("set", part=part, field="at", value=text)
    scene = sketch.scene
    assert any(isinstance(bulkhead.at, FromPanel) for bulkhead in scene.bulkheads)
    assert sketch.field_texts(part)["at"] == text
    sketch.ask("set", part=part, field="at", value=sketch.field_texts(part)["at"])
    assert sketch.scene == scene


@pytest.mark.example
def test_a_centre_of_gravity_is_a_height_alone_and_can_be_taken_out(sketch: DrivenSketch) -> None:
    """Typed again as shown, it changes nothing; nothing typed, none is stated."""
    water = "waterline/waterline"
    sketch.ask("set", part=water, field="centre_of_gravity", value="425")
    scene = sketch.scene
    assert sketch.field_texts(water)["centre_of_gravity"] == "425"
    for key, kept in sketch.field_texts(water).items():
        sketch.ask("set", part=water, field=key, value=kept)
    assert sketch.scene == scene
    assert scene.centre_of_gravity_height == 0.425
    sketch.ask("set", part=water, field="centre_of_gravity", value="")
    assert sketch.scene.centre_of_gravity_height is None


@pytest.mark.example
def test_rows_and_truths_are_shown_in_words_and_typed_as_shown(sketch: DrivenSketch) -> None:
    """No bracket, `true` or `[]` stands in a field, and what is shown can be typed back, changed or not."""
    part = next(ObjectRef("bulkhead", bulkhead.name) for bulkhead in sketch.scene.bulkheads)
    sketch.workspace.selection.select(part)
    shown = {row.key: row.text for row in field_rows(sketch.scene, part)}
    assert shown["span"] == "hull, hull"
    assert shown["carries"] == ""
    side = "".join(sketch.parts().values())
    assert ">yes</option>" in side
    assert "[" not in "".join(shown.values())
    before = sketch.scene
    sketch.workspace.editor.set(part, "span", shown["span"])
    assert sketch.scene == before
    sketch.workspace.editor.set(part, "carries", "mast")
    assert {row.key: row.text for row in field_rows(sketch.scene, part)}["carries"] == "mast"
