"""A boat measured out of level must come out as the boat measured level."""

from __future__ import annotations

from math import cos, radians, sin, tan

import numpy as np
import pytest
from specimens import aftmost

from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.model.hull import Deck, Hull, Station

LENGTH = 8.0
UP = np.array([0.0, 0.0, 1.0])
STATIONS, POINTS = 13, 11


def _shape(x: float, share: float) -> tuple[float, float]:
    """Half-breadth and height of an invented round boat at a share of her girth, x from the bow."""
    u = min(x / LENGTH, 1.0)
    half_breadth = 1.3 * (1.0 - (1.0 - u) ** 2.2) * (1.0 - 0.35 * u**3)
    keel, sheer = 0.75 * (1.0 - u) ** 2 + 0.35 * u**3, 1.45 + 0.3 * (1.0 - u) ** 2
    angle = share * np.pi / 2
    return half_breadth * float(np.sin(angle)), keel + (sheer - keel) * float(1.0 - np.cos(angle))


def _tilted(x: float, y: float, z: float, trim: float, heel: float) -> tuple[float, float, float]:
    """Where a place of the boat stands, plumb and level, when she is heeled to starboard about her length and then trimmed."""
    t, h = radians(trim), radians(heel)
    across, up = y * cos(h) + z * sin(h), z * cos(h) - y * sin(h)
    return x * cos(t) - up * sin(t), across, up * cos(t) + x * sin(t)


def _found_at(at: float, slope: float, share: float, trim: float, heel: float) -> tuple[float, float]:
    """What a tape reads, half-breadth and height, on the line of a share of girth, where x = at + slope x height."""
    x = at
    for _ in range(40):
        y, z = _shape(x, share)
        there, across, up = _tilted(x, y, z, trim, heel)
        x += at + slope * up - there
    return (0.0 if share == 0.0 else float(across)), float(up)


def _measured(trim: float, heel: float) -> Hull:
    """The boat as measured in plumb planes while she stands tilted; her plumb transom then stands raked by the trim."""
    shares = np.linspace(0.0, 1.0, POINTS)
    stations = []
    for place in np.linspace(0.35, LENGTH, STATIONS)[:-1]:
        at = float(_tilted(float(place), 0.0, _shape(place, 0.0)[1], trim, heel)[0])
        stations.append(Station(at=at, points=tuple(_found_at(at, 0.0, float(share), trim, heel) for share in shares)))
    base, slope = LENGTH / cos(radians(trim)), -tan(radians(trim))
    points = tuple(_found_at(base, slope, float(share), trim, heel) for share in shares)
    stations.append(Station(at=base + slope * min(z for _, z in points), points=points))
    foot, head = _shape(0.0, 0.0)[1], _shape(0.0, 1.0)[1]
    stem = [_tilted(0.0, 0.0, float(z), trim, heel)[::2] for z in np.linspace(foot, head, 4)]
    return Hull(
        name="tilted",
        units="mm",
        stations=tuple(stations),
        stem=tuple(stem),
        transom_rake=-trim,
        measured_trim=trim,
        measured_heel=heel,
        deck=Deck(camber=0.06),
    )


@pytest.fixture(scope="module")
def level() -> HullForm:
    return form_hull(_measured(0.0, 0.0))


TILTS = [(1.3, 0.0), (-1.3, 0.0), (0.0, 1.3), (2.5, -1.0), (-3.0, 2.0)]


@pytest.mark.property
@pytest.mark.parametrize(("trim", "heel"), TILTS)
def test_volume_does_not_know_the_tilt(level: HullForm, trim: float, heel: float) -> None:
    """The space inside agrees within 0.005 % (measured 0.002: the deck's ends), what lies under a waterline within 1e-6."""
    form = form_hull(_measured(trim, heel))
    assert form.inside.volume == pytest.approx(level.inside.volume, rel=5e-5)
    for height in (0.5, 0.8):
        upright = volume_under(level.inside, Plane(UP, height))
        assert volume_under(form.inside, Plane(UP, height)) == pytest.approx(upright, rel=1e-6)


@pytest.mark.property
@pytest.mark.parametrize(("trim", "heel"), TILTS)
def test_surface_does_not_know_the_tilt(level: HullForm, trim: float, heel: float) -> None:
    """Half-breadths of the sections agree within 2 mm at every height, and the stem and transom stand where they stood."""
    form = form_hull(_measured(trim, heel))
    for x in np.linspace(0.6, LENGTH - 0.1, 12):
        ours, theirs = form.section_at(float(x)), level.section_at(float(x))
        assert ours.hausdorff_distance(theirs) < 0.002
    for height in (0.9, 1.1, 1.3):
        assert form.stem_at(height) == pytest.approx(level.stem_at(height), abs=0.002)
        assert aftmost(form, height) == pytest.approx(aftmost(level, height), abs=0.002)
