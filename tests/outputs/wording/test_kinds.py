"""What a remedy is called that can be made at once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from specimens import PANELS, box_form, layout_scene

from sketcher.model.edits.actions import Edit, MoveBulkhead, SetValue
from sketcher.model.scene import Berth
from sketcher.outputs.wording.kinds import deed

DEEDS: list[tuple[tuple[Edit, ...], str, str]] = [
    ((MoveBulkhead("collision", 0.958),), "Move collision 42 mm forward", "Move collision 1 5/8 in forward"),
    ((SetValue("lids", "top", "height", 0.55),), "Raise top to 550 mm", "Raise top to 21 5/8 in"),
    ((SetValue("berths", "bunk", "height", 0.275),), "Lower bunk by 25 mm", "Lower bunk by 1 in"),
    ((SetValue("lids", "top", "to", "transom"),), "Extend the after end of top to the transom", ""),
    ((SetValue("lids", "top", "span", (None, "web")),), "Extend the starboard edge of top to web", ""),
    ((SetValue("openings", "port", "cover", "tight"),), "Make port tight", ""),
    (
        (SetValue("bulkheads", "collision", "material", "plywood"), SetValue("lids", "top", "material", "plywood")),
        "Weigh collision and top as plywood",
        "",
    ),
]


@pytest.mark.example
@pytest.mark.parametrize(("edits", "metric", "inches"), DEEDS)
def test_a_remedy_is_called_by_what_it_does_and_by_how_much(edits: tuple[Edit, ...], metric: str, inches: str) -> None:
    """In millimetres, or in fractions of an inch where there is a length in it."""
    blocks = PANELS | {"berths": (Berth(name="bunk", height=0.3, start="collision", end="main"),)}
    scene = layout_scene(box_form(), **blocks)
    assert deed(edits, scene) == metric
    assert deed(edits, replace(scene, units="in")) == (inches or metric)
