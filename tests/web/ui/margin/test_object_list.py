"""The list of all objects."""

from __future__ import annotations

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.model.scene import FromPanel
from sketcher.web.ui.margin.object_list import object_list

pytestmark = pytest.mark.example


def test_the_list_of_parts_says_where_a_tied_bulkhead_stands(sketch: DrivenSketch) -> None:
    """Aft of the hull's zero like any other: 700 mm, typed or as 2000 mm forward of main at 2700."""
    before = str(object_list(sketch.state()))
    sketch.ask("set", part=COLLISION, field="at", value="main - 2000")
    assert sketch.scene.bulkheads[0].at == FromPanel("main", -2.0)
    assert str(object_list(sketch.state())) == before
    assert ">700<" in before
