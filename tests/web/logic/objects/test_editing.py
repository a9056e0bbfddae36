"""What is typed or chosen on the page changes the scene as one named step, or is refused in words."""

from __future__ import annotations

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.outputs.scene3d.objects import ObjectRef


@pytest.mark.property
@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("at", "soon", "soon"),
        ("thickness", "-3", "-3"),
        ("top", "no such lid", "no such lid"),
        ("rake", "91", "91"),
        ("at", "", "not a length"),
        ("at", "-4265", "collision lies wholly outside the hull"),
        ("at", "9 m", "collision lies wholly outside the hull"),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_changes_nothing(sketch: DrivenSketch, field: str, text: str, words: str) -> None:
    """The last good figures stay, and the page says what was wrong with the value as typed."""
    before, figures = sketch.scene, sketch.evaluation
    sketch.ask("set", part=COLLISION, field=field, value=text)
    assert sketch.notice is not None
    assert sketch.notice.refused
    assert words.casefold() in (sketch.notice.text + sketch.notice.remedy).casefold()
    assert sketch.scene is before
    assert sketch.evaluation is figures


@pytest.mark.property
@pytest.mark.parametrize("text", ["-500", "0", "5000"])
def test_a_lid_under_the_keel_or_over_the_deck_is_refused(sketch: DrivenSketch, text: str) -> None:
    """The page names the lid and the last good figures stay, also where an opening is left beside it."""
    figures = sketch.evaluation
    sketch.ask("set", part="lid/berth top", field="height", value=text)
    assert sketch.notice is not None
    assert sketch.notice.text.startswith("Berth top lies wholly outside the hull")
    assert sketch.evaluation is figures


@pytest.mark.example
def test_renaming_takes_ties_along(sketch: DrivenSketch) -> None:
    """What is tied to a bulkhead follows its new name."""
    sketch.ask("rename", part=COLLISION, value="crash")
    assert sketch.scene.lids[0].start == "crash"
    assert sketch.selected == ObjectRef("bulkhead", "crash")
    assert sketch.session.history.undo_name == "Rename collision bulkhead to crash"


@pytest.mark.example
def test_deleting_asks_where_others_are_tied(sketch: DrivenSketch) -> None:
    """A bulkhead that carries a lid's edge is not deleted without asking; freed, the lid keeps its place."""
    sketch.ask("delete", part=COLLISION)
    assert sketch.dialog is not None
    assert "tied to" in sketch.dialog.problem
    sketch.ask("delete", part=COLLISION, free="yes")
    assert sketch.dialog is None
    assert [bulkhead.name for bulkhead in sketch.scene.bulkheads] == ["main"]
    assert sketch.scene.lids[0].start == pytest.approx(0.712)


@pytest.mark.example
def test_a_space_is_named_by_clicking_it(sketch: DrivenSketch) -> None:
    """A space without a name gets one with a use; the point it is known by lies inside it."""
    sketch.ask("add", value="bulkhead")
    sketch.ask("place")
    unnamed = next(space for space in sketch.evaluation.layout.compartments if not space.named)
    sketch.ask("select", part=f"compartment/{unnamed.name}")
    sketch.ask("dialog", name="name space")
    sketch.ask("name_space", name="sail bin", use="stowage")
    named = next(space for space in sketch.evaluation.layout.compartments if space.name == "sail bin")
    assert named.volume == pytest.approx(unnamed.volume)
    assert named.use == "stowage"
    assert sketch.dialog is None
