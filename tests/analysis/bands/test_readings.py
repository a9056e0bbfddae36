"""The readings that a boat rests on, and the boat as another tape would have shown her."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from box_boat import box_boat
from scene_specimens import demo

from sketcher.analysis.bands.readings import readings_of, remeasured
from sketcher.model.scene import KnownTo, Weight

ANCHOR = Weight(name="anchor", kg=40.0, at=(0.3, 0.0, 0.9), known_to=0.2)
CHAIN = Weight(name="chain", kg=-80.0, at=(0.5, 0.0, 0.5))


@pytest.mark.example
def test_every_number_that_was_read_is_a_reading() -> None:
    """Of the box: two places, each with a height on the centreline and two points; two of the water, and gravity."""
    readings = readings_of(box_boat())
    assert [reading.what for reading in readings[:6]] == ["station", "height", "half-breadth", "height", "half-breadth", "height"]
    assert [reading.what for reading in readings[12:]] == ["waterline", "waterline", "gravity"]
    assert {reading.error for reading in readings[:14]} == {0.005}


@pytest.mark.example
def test_what_the_files_say_of_errors_counts() -> None:
    """A point's own comes before its station's, a station's before the hull's; a guess errs six times as much."""
    scene = box_boat()
    first, last = scene.hull.stations
    first = replace(first, measured_to=0.01, points_measured_to=((3, 0.001),), at_measured_to=0.002)
    hull = replace(scene.hull, measured_to=0.003, stations=(first, replace(last, guessed=(2,))))
    known = KnownTo(waterline=(0.001, 0.02), centre_of_gravity=0.1, weights=0.1)
    readings = readings_of(replace(scene, hull=hull, known_to=known, weights=(ANCHOR, CHAIN)))
    errors = [reading.error for reading in readings]
    assert errors[:6] == [0.002, 0.01, 0.01, 0.01, 0.001, 0.001]
    assert errors[6:12] == pytest.approx([0.003, 0.003, 0.018, 0.018, 0.003, 0.003], rel=1e-12)
    assert errors[12:] == pytest.approx([0.001, 0.02, 0.1, 8.0, 8.0], rel=1e-12)


@pytest.mark.property
@pytest.mark.parametrize("name", ["marram-forepeak", "pellwick-bows", "ternholm-forepeak"])
def test_a_boat_that_errs_by_nothing_is_the_boat(name: str) -> None:
    """Whatever parts her hull has."""
    scene = demo(name).scene
    readings = readings_of(scene)
    assert remeasured(scene, readings, np.zeros(len(readings)).tolist()) == scene


@pytest.mark.example
def test_a_boat_errs_where_its_readings_do() -> None:
    """Each number by its own deviation; the stem's keel end goes with the first station's point that it is."""
    scene = demo("marram-forepeak").scene
    readings = readings_of(scene)
    by = [1.0 if reading.place in (("station", 0, 0), ("point", 0, 0), ("gravity", 0, 0)) else 0.0 for reading in readings]
    other = remeasured(scene, readings, by)
    assert other.hull.stations[0].at == scene.hull.stations[0].at + 0.005
    assert other.hull.stem[0] == pytest.approx((0.305, 1.045), rel=1e-12)
    assert other.hull.stem[1:] == scene.hull.stem[1:]
    assert other.hull.stations[1:] == scene.hull.stations[1:]
