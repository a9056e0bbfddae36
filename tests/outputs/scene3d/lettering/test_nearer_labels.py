"""Labels brought nearer to what they name."""

from __future__ import annotations

import pytest
import shapely

from sketcher.outputs.drawing.label_spreading import LabelBox, SpreadLabel
from sketcher.outputs.scene3d.lettering.nearer_labels import nearer

pytestmark = pytest.mark.closed_form

SLOPE = shapely.Polygon([(0, 100), (100, 0), (100, 200), (0, 200)])
"""A boat whose top falls to the left, 1 in 1."""


def test_a_label_comes_down_to_the_outline_and_no_nearer() -> None:
    """Over a slope of 1 in 1 a box from 20 to 40 meets it at its right edge and the gap: at 100 - 40 - 5, less the gap again."""
    (moved,) = nearer([SpreadLabel(LabelBox(20, -60, 40, -40), (30, -40), (30, 150))], SLOPE, 5.0)
    assert moved.box == LabelBox(20, 30, 40, 50)
    assert (moved.start, moved.end) == ((30, 50), (30, 150))


def test_a_label_from_below_comes_up() -> None:
    """Under a level foot at 200 it stops 5 short."""
    (moved,) = nearer([SpreadLabel(LabelBox(20, 260, 40, 280), (30, 260), (30, 150))], SLOPE, 5.0)
    assert moved.box == LabelBox(20, 205, 40, 225)


def test_a_label_stays_where_it_would_come_to_lie_on_a_leader() -> None:
    """One leader runs slanting under another label: that label stays; so do the ends."""
    slanting = SpreadLabel(LabelBox(-60, -60, -40, -40), (-50, -40), (60, 150))
    high = SpreadLabel(LabelBox(0, -80, 20, -60), (10, -60), (10, 150))
    assert nearer([slanting, high], SLOPE, 5.0)[1] == high
