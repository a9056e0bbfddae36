"""Names in outlines: inside, or not at all."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sketcher.outputs.drawing.lettering import LEADING, SIZES, clear_of, fit, spot_inside
from sketcher.outputs.drawing.recording import text_width


def block(middle: tuple[float, float], size: float, lines: list[str]) -> shapely.Polygon:
    """The paper that a block of lines takes."""
    wide, high = max(text_width(line, size) for line in lines), len(lines) * size * LEADING
    x, y = middle
    return shapely.box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


CORNERS = st.lists(st.tuples(st.floats(0, 120), st.floats(0, 60)), min_size=3, max_size=9, unique=True)


@pytest.mark.property
@given(CORNERS, st.lists(st.text("abcdefgh ", min_size=1, max_size=14), min_size=1, max_size=3))
def test_words_lie_inside_their_outline(corners: list[tuple[float, float]], lines: list[str]) -> None:
    """Whatever the outline, words that are placed do not stick out of it."""
    hull = shapely.MultiPoint(corners).convex_hull
    if not isinstance(hull, shapely.Polygon) or hull.area < 1.0:
        return
    notched = hull.difference(shapely.box(40, 20, 60, 40))
    outline = shapely.MultiPolygon(
        [p for p in getattr(notched, "geoms", [notched]) if isinstance(p, shapely.Polygon) and not p.is_empty]
    )
    if outline.is_empty:
        return
    found = fit(outline, lines)
    if found is not None:
        assert block(found.middle, found.size, lines).difference(outline).area < 1e-9


@pytest.mark.closed_form
def test_a_roomy_box_takes_the_largest_lettering_near_its_middle() -> None:
    """In a box of 100 x 40 mm words are as large as can be, and centred."""
    found = fit(shapely.MultiPolygon([shapely.box(0, 0, 100, 40)]), ["tank", "300 L"])
    assert found is not None
    assert found.size == SIZES[0]
    assert found.middle == pytest.approx((50.0, 20.0))


@pytest.mark.closed_form
def test_what_does_not_fit_is_not_squeezed_in() -> None:
    """A strip lower than the smallest lettering takes no words."""
    assert fit(shapely.MultiPolygon([shapely.box(0, 0, 100, 1.5)]), ["tank"]) is None


@pytest.mark.closed_form
def test_a_number_stands_inside_even_a_hooked_outline() -> None:
    """In an L the middle of the bounding box lies outside; the number's place does not."""
    hook = shapely.MultiPolygon([shapely.box(0, 0, 40, 40).difference(shapely.box(4, 4, 40, 40))])
    assert hook.contains(shapely.Point(spot_inside(hook)))


@pytest.mark.example
def test_a_place_that_cannot_be_worked_out_is_left_to_a_number() -> None:
    """What is taken crosses itself: no place for words is claimed, and the number still stands inside the outline."""
    outline = shapely.MultiPolygon([shapely.box(0, 0, 40, 40)])
    bow_tie = shapely.MultiPolygon([shapely.Polygon([(0, 0), (40, 40), (40, 0), (0, 40)]), shapely.box(10, 10, 30, 30)])
    free = clear_of(outline, bow_tie)
    assert free.is_valid
    assert shapely.Point(spot_inside(outline if free.is_empty else free)).within(outline)
