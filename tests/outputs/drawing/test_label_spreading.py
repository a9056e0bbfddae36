"""Labels beside a boat: never over each other, never over her, their leaders never across each other."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.outputs.drawing.label_spreading import LabelBox, Spot, SpreadLabel, labels_beside, spread_labels

BOAT = LabelBox(200.0, 0.0, 1400.0, 400.0)
PLACES = st.floats(0.0, 1000.0, allow_nan=False)


@st.composite
def named(draw: st.DrawFn) -> tuple[list[Spot], list[Spot]]:
    """Anchors inside the boat and label sizes."""
    count = draw(st.integers(0, 24))
    anchors = draw(
        st.lists(
            st.tuples(st.floats(200, 1400), st.floats(0, 400)), min_size=count, max_size=count, unique_by=lambda p: round(p[0])
        )
    )
    sizes = draw(st.lists(st.tuples(st.floats(60, 320), st.floats(40, 110)), min_size=count, max_size=count))
    return anchors, sizes


def touching(labels: list[SpreadLabel]) -> list[tuple[SpreadLabel, SpreadLabel]]:
    """Pairs of labels that stand over each other."""
    return [(a, b) for a, b in combinations(labels, 2) if a.box.overlaps(b.box)]


@pytest.mark.property
@given(st.lists(st.tuples(PLACES, st.floats(1.0, 80.0)), min_size=1, max_size=20), st.floats(0.0, 9.0))
def test_spread_boxes_keep_their_order_and_their_distance(boxes: list[tuple[float, float]], gap: float) -> None:
    """Boxes in a row stand at least the gap apart and in the order of their places."""
    places, widths = [place for place, _ in boxes], [width for _, width in boxes]
    moved = spread_labels(places, widths, gap)
    order = sorted(range(len(places)), key=lambda i: places[i])
    for i, j in pairwise(order):
        assert moved[j] - moved[i] >= (widths[i] + widths[j]) / 2 + gap - 1e-6


@pytest.mark.property
@given(st.lists(PLACES, min_size=1, max_size=20, unique_by=lambda place: round(place / 30)))
def test_boxes_that_have_room_stay_where_they_are(places: list[float]) -> None:
    """Nothing is moved that need not be."""
    apart = all(abs(a - b) >= 12.0 for a, b in combinations(places, 2))
    if apart:
        assert spread_labels(places, [10.0] * len(places), 2.0) == pytest.approx(places, abs=1e-9)


@pytest.mark.closed_form
def test_two_boxes_in_one_place_share_the_way() -> None:
    """Two boxes 10 wide at the same place, 2 apart, each give way by 6."""
    assert spread_labels([50.0, 50.0], [10.0, 10.0], 2.0) == pytest.approx([44.0, 56.0])


@pytest.mark.closed_form
def test_a_row_stays_inside_its_bounds() -> None:
    """Two boxes at the very edge move inwards together."""
    assert spread_labels([0.0, 1.0], [10.0, 10.0], 2.0, (0.0, 100.0)) == pytest.approx([5.0, 17.0])


@pytest.mark.property
@given(named(), st.booleans())
def test_no_label_stands_over_another_or_over_the_boat(case: tuple[list[Spot], list[Spot]], upright: bool) -> None:
    """However many spaces and however long their names."""
    anchors, sizes = case
    bounds = (0.0, 400.0) if upright else (0.0, 1600.0)
    labels = labels_beside(anchors, sizes, BOAT, 16.0, bounds, upright)
    assert len(labels) == len(anchors)
    assert touching(labels) == []
    assert not any(label.box.overlaps(BOAT) for label in labels)


@pytest.mark.property
@given(named())
def test_labels_stay_on_the_sheet(case: tuple[list[Spot], list[Spot]]) -> None:
    """Rows grow in number rather than past the edges."""
    labels = labels_beside(*case, BOAT, 16.0, (20.0, 1580.0))
    assert all(label.box.left >= 20.0 - 1e-6 and label.box.right <= 1580.0 + 1e-6 for label in labels)


@pytest.mark.property
@given(named())
def test_each_leader_joins_its_label_to_what_it_names(case: tuple[list[Spot], list[Spot]]) -> None:
    """A leader begins on the edge of its own box and ends at the space; the box keeps its size."""
    anchors, sizes = case
    for label, anchor, (wide, high) in zip(labels_beside(anchors, sizes, BOAT, 16.0, (0.0, 1600.0)), anchors, sizes, strict=True):
        assert label.end == anchor
        assert label.box.left <= label.start[0] <= label.box.right
        assert label.start[1] in (label.box.top, label.box.bottom)
        assert (label.box.right - label.box.left, label.box.bottom - label.box.top) == pytest.approx((wide, high))


@pytest.mark.property
@given(st.lists(st.tuples(st.floats(200, 330), st.floats(5, 395)), min_size=2, max_size=7, unique_by=lambda p: round(p[0])))
def test_leaders_of_one_row_do_not_cross(anchors: list[Spot]) -> None:
    """Crowded at one end, with a single row on each side, no two leaders on the same side cross."""
    labels = labels_beside(anchors, [(150.0, 60.0)] * len(anchors), BOAT, 16.0, (0.0, 1600.0))
    for a, b in combinations(labels, 2):
        if a.start[1] == b.start[1]:
            assert not crossing(a, b), (a, b)


@pytest.mark.closed_form
def test_two_labels_change_places_where_their_leaders_would_cross() -> None:
    """At the left edge a deep space left of a shallow one: the shallow one takes the nearer label."""
    deep, shallow, low = (210.0, 200.0), (212.0, 20.0), (600.0, 399.0)
    labels = labels_beside([deep, shallow, low], [(150.0, 60.0)] * 3, BOAT, 16.0, (200.0, 1600.0))
    assert labels[1].start[0] < labels[0].start[0]


def crossing(a: SpreadLabel, b: SpreadLabel) -> bool:
    """Whether two leaders cross well inside both."""

    def at(label: SpreadLabel, y: float) -> float:
        (x0, y0), (x1, y1) = label.start, label.end
        return x0 + (x1 - x0) * (y - y0) / (y1 - y0)

    low, high = sorted((a.start[1], min(a.end[1], b.end[1]) if a.start[1] < a.end[1] else max(a.end[1], b.end[1])))
    first, last = at(a, low + 1e-6) - at(b, low + 1e-6), at(a, high - 1e-6) - at(b, high - 1e-6)
    return first * last < -1e-3
