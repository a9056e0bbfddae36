"""What to measure again: forecasts against the boat whose file says that it was."""

from __future__ import annotations

from dataclasses import replace

import pytest
from box_boat import box_boat, box_known, known_of

from sketcher.analysis.bands.again import WorthMeasuring, worth_measuring
from sketcher.model.scene import KnownTo, Scene

PEAK, BOW = "compartments.peak.volume_m3", "floating.forward_freeboard_m"


def read_again(scene: Scene, worth: WorthMeasuring) -> Scene:
    """The scene as its files say it once a place was read again to 1 mm."""
    reading = worth.reading
    if reading.what == "waterline":
        return replace(scene, known_to=KnownTo(waterline=(0.001, 0.005) if reading.number == 0 else (0.005, 0.001)))
    stations = list(scene.hull.stations)
    station = stations[reading.number]
    if reading.what == "station":
        stations[reading.number] = replace(station, at_measured_to=0.001)
    else:
        stations[reading.number] = replace(station, points_measured_to=((reading.point + 1, 0.001),))
    return replace(scene, hull=replace(scene.hull, stations=tuple(stations)))


@pytest.mark.property
@pytest.mark.parametrize("path", [PEAK, BOW])
def test_a_band_narrows_as_forecast(path: str) -> None:
    """Each of the places told, taken again at 1 mm: by what it was said to, within a fifth."""
    told = worth_measuring(box_known(), path)
    assert 2 <= len(told) <= 3
    for worth in told[:2]:
        half = known_of(read_again(box_boat(), worth)).half(path)
        assert half is not None
        assert worth.now - half == pytest.approx(worth.now - worth.then, rel=0.2)


@pytest.mark.closed_form
def test_the_place_that_matters_most_is_told_first() -> None:
    """The peak's length, 1.8 m2 of its 2.93, as worked out by hand; the freeboard's sheer point and water alike, and no third."""
    first = worth_measuring(box_known(), PEAK)[0]
    assert first.reading.what == "station"
    assert first.reading.number == 0
    assert {each.reading.what for each in worth_measuring(box_known(), BOW)} == {"waterline", "half-breadth"}
    assert worth_measuring(box_known(), "compartments.peak.nothing") == ()
