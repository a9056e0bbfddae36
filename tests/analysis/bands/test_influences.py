"""What figures feel of the hull."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from box_boat import box_boat
from scene_specimens import demo

from sketcher.analysis.bands.influences import influences
from sketcher.analysis.bands.readings import readings_of
from sketcher.analysis.evaluate import evaluate
from sketcher.model.hull import with_heights_as_in

BY_HAND = {
    ("height", 1): -0.9,
    ("height", 0): -0.9,
    ("half-breadth", 1): 1.0,
    ("half-breadth", 2): 1.0,
    ("height", 2): 1.8,
}
"""[m] What the area of the box's section gains for a metre of each reading, both sides: the bottom 1.8 m wide, the side 1 m."""


@pytest.mark.closed_form
def test_litres_go_with_the_readings_as_worked_out_by_hand() -> None:
    """The peak, a metre of the box's four: its first station counts 7/8, its last 1/8, and its length as its area, 1.8 m2."""
    readings = readings_of(box_boat())
    rows = influences(evaluate(box_boat()), readings)
    wanted = np.zeros(len(readings))
    for k, reading in enumerate(readings):
        if reading.what in ("half-breadth", "height"):
            wanted[k] = BY_HAND[reading.what, reading.point] * (0.875 if reading.number == 0 else 0.125)
        elif reading.what == "station" and reading.number == 0:
            wanted[k] = -1.8
    wanted /= np.linalg.norm(wanted)
    best = max(float(row @ wanted / np.linalg.norm(row)) for row in rows)
    assert best > 0.999


@pytest.mark.property
@pytest.mark.parametrize("name", ["pellwick-bows", "ternholm-forepeak"])
def test_what_is_felt_is_the_hull_s(name: str) -> None:
    """Every sum is of length 1 or less in the hull's readings, and feels no water, weight or gravity."""
    readings = readings_of(demo(name).scene)
    rows = influences(demo(name), readings)
    assert len(rows) >= 10
    assert (np.linalg.norm(rows, axis=1) <= 1.0 + 1e-12).all()
    other = [k for k, reading in enumerate(readings) if reading.what in ("waterline", "gravity", "weight")]
    assert not rows[:, other].any()


@pytest.mark.property
@pytest.mark.parametrize("down", [False, True])
def test_heights_read_downwards_count_the_other_way(down: bool) -> None:
    """The same boat from a string over her: what a height gives is turned round, a half-breadth's stays."""
    scene = box_boat()
    hull = with_heights_as_in(scene.hull, replace(scene.hull, heights_from=1.5, heights_down=True)) if down else scene.hull
    readings = readings_of(scene)
    rows = influences(evaluate(replace(scene, hull=hull)), readings)
    plain = influences(evaluate(scene), readings)
    sign = np.array([-1.0 if down and reading.what == "height" else 1.0 for reading in readings])
    assert rows == pytest.approx(plain * sign, abs=1e-6)
