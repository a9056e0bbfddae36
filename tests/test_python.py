"""The same from Python, as in a notebook."""

from __future__ import annotations

import pytest

import sketcher
from sketcher.model.demos import demo_folder

SCENE = demo_folder() / "scenes" / "quillet-forepeak.yaml"


@pytest.mark.example
def test_three_lines_give_the_compartments() -> None:
    """Import, evaluate, read: names and volumes; printed they are figures, not meshes."""
    boat = sketcher.evaluate(SCENE)
    assert {"forepeak", "berth space"} <= {space.name for space in boat.layout.compartments}
    assert "volume=" in str(boat.layout.compartments)
    assert "array(" not in str(boat.layout.compartments)


@pytest.mark.example
def test_a_scene_in_hand_is_evaluated_like_its_file() -> None:
    """A scene that was read, or made in Python, gives the figures of the file."""
    assert sketcher.figures(sketcher.evaluate(sketcher.read_scene(SCENE))) == sketcher.figures(sketcher.evaluate(str(SCENE)))


@pytest.mark.example
def test_the_report_is_text_in_the_unit_asked_for() -> None:
    """`report` gives what the command prints."""
    boat = sketcher.evaluate(SCENE)
    assert "millimetres" in sketcher.report(boat)
    assert "inches" in sketcher.report(boat, "in")


@pytest.mark.example
def test_errors_are_words_in_python_too() -> None:
    """A missing file is a SketchError that names it."""
    with pytest.raises(sketcher.SketchError, match=r"nowhere\.yaml"):
        sketcher.evaluate("nowhere.yaml")


@pytest.mark.example
def test_all_that_is_offered_is_there() -> None:
    """Every name in `__all__` can be used."""
    assert all(callable(getattr(sketcher, name)) for name in sketcher.__all__)
