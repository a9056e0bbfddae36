"""The first steps in a new scene."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from driven_sketch import DrivenSketch, driven

pytestmark = pytest.mark.example

AFTERWARDS: dict[str, list[tuple[str, dict[str, str]]]] = {
    "State": [("set", {"field": "bow", "value": "268"}), ("set", {"field": "stern", "value": "262"})],
    "Place": [("place", {})],
    "Close": [("place", {})],
    "Add": [("place", {})],
    "Name": [("name_space", {"name": "forepeak", "use": "void"})],
    "Hole": [("close_holes", {})],
    "Save": [],
}
"""What an owner does after pressing each step's button, by the step's first word, in their order."""


def steps(sketch: DrivenSketch) -> dict[str, bool]:
    """The steps by their first word, and whether each is ticked."""
    items = re.findall(r"<li( class=\"done\")?><(?:button|span)[^>]*>(\w+)", sketch.parts()["steps"])
    return {word: bool(ticked) for ticked, word in items}


def press(sketch: DrivenSketch, word: str) -> None:
    """Send the message of a step's button."""
    (attributes,) = re.findall(rf"<button([^>]*)>{word}", sketch.parts()["steps"])
    values = {key: unescape(value) for key, value in re.findall(r'data-(\w+)="([^"]*)"', attributes)}
    sketch.ask(values.pop("do"), **values)


def test_each_step_begins_what_it_says_and_is_ticked_once_done(boats: Path) -> None:
    """From a bare hull to a saved layout by the buttons of the list alone; then it is gone, and a full scene has none."""
    scene = boats / "scenes" / "bare.yaml"
    scene.write_text("scene: Bare\nhull: ../hulls/quillet-21.yaml\nunits: mm\n", encoding="utf-8")
    sketch = driven(scene)
    assert steps(sketch) == dict.fromkeys(AFTERWARDS, False)
    for number, (word, messages) in enumerate(AFTERWARDS.items(), 1):
        press(sketch, word)
        for do, values in messages:
            sketch.ask(do, **values)
        if word != "Save":
            assert [each for each, ticked in steps(sketch).items() if ticked] == list(AFTERWARDS)[:number]
    assert steps(sketch) == {}
    assert "berths:" in scene.read_text("utf-8")
    assert steps(driven(scene)) == {}


def test_the_list_can_be_put_away(boats: Path) -> None:
    """It does not come back while the scene is open."""
    scene = boats / "scenes" / "bare.yaml"
    scene.write_text("scene: Bare\nhull: ../hulls/quillet-21.yaml\nunits: mm\n", encoding="utf-8")
    sketch = driven(scene)
    sketch.ask("put_steps_away")
    sketch.ask("undo")
    assert steps(sketch) == {}
