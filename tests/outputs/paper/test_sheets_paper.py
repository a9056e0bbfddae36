"""A sheet drawn with its boards."""

from __future__ import annotations

import pytest
from scene_specimens import cut_out

from sketcher.analysis.cut.boards.straight_cuts import corner_places
from sketcher.outputs.drawing.recording import Line, Words
from sketcher.outputs.palette import ACCENT
from sketcher.outputs.paper.sheets_paper import sheet_drawing


@pytest.mark.closed_form
def test_corners_have_their_letters_where_the_list_places_them() -> None:
    """Each corner of the list has a dot at its place to scale, and its letter within 3 mm of paper."""
    plan = cut_out("quillet-forepeak")
    patterns = {pattern.name: pattern for pattern in plan.patterns}
    layout = plan.sheets[0]
    drawing = sheet_drawing(layout, 0, 180.0, "mm", plan.patterns)
    dots = {item.points[0] for item in drawing.items if isinstance(item, Line) and item.stroke.colour == ACCENT}
    letters = [item for item in drawing.items if isinstance(item, Words) and item.colour == ACCENT]
    assert drawing.placing is not None
    listed = [
        place for placed in layout.nesting.placed if placed.sheet == 0 for place in corner_places(patterns[placed.piece], placed)
    ]
    assert len(letters) == len(dots) > 3
    for spot in dots:
        near = [place for place in listed if drawing.placing.spot(place.along, place.up) == pytest.approx(spot, abs=1e-6)]
        assert len(near) == 1
        beside = [word for word in letters if abs(word.at[0] - spot[0]) < 3.0 and abs(word.at[1] - spot[1]) < 4.0]
        assert near[0].letter in {word.text for word in beside}
