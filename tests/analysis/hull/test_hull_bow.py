"""A flared bow with a swept stem, known by its equation: what a forepeak's figures and panels rest on.

Half-breadth Y(x, z) = 1.5 (1 - exp(-0.8 (x - s(z)))) (1 + z / 4H) / 1.25 behind the stem and keel s(z) = 3 (1 - z/H)^2.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.model.hull import Hull, Station

HEIGHT, REACH = 1.7, 3.0
STATIONS = (0.3, 0.6, 0.9, 1.2, 1.6, 2.0, 2.5, 3.0)


def _stem(z: Floats) -> Floats:
    return REACH * (1.0 - np.asarray(z) / HEIGHT) ** 2


def _keel(x: float) -> float:
    return HEIGHT * (1.0 - float(np.sqrt(x / REACH)))


def _half_breadth(x: float, z: Floats) -> Floats:
    return 1.5 * (1.0 - np.exp(-0.8 * np.maximum(x - _stem(z), 0.0))) * (1.0 + 0.25 * z / HEIGHT) / 1.25


def _section(x: float) -> shapely.Polygon:
    z = np.linspace(_keel(x), HEIGHT, 400)
    y = _half_breadth(x, z)
    return shapely.Polygon(np.concatenate([np.column_stack([y, z]), np.column_stack([-y, z])[::-1]])).buffer(0.0)


@pytest.fixture(scope="module")
def bow() -> HullForm:
    stations = []
    for x in STATIONS:
        z = _keel(x) + (HEIGHT - _keel(x)) * np.linspace(0.0, 1.0, 7) ** 1.2
        half_breadths = _half_breadth(x, z)
        points = ((0.0, float(z[0])), *((float(y), float(h)) for y, h in zip(half_breadths[1:], z[1:], strict=True)))
        stations.append(Station(at=x, points=points))
    profile = [(float(_stem(z)), float(z)) for z in np.linspace(_keel(STATIONS[0]), HEIGHT, 5)]
    stem = ((STATIONS[0], _keel(STATIONS[0])), *profile[1:])
    return form_hull(Hull(name="bow", units="m", stations=tuple(stations), stem=stem, open_aft=True))


@pytest.mark.closed_form
@pytest.mark.parametrize("x", [0.1, 0.2, 0.4, 0.5, 0.7, 0.8, 1.05, 1.4, 1.8])
def test_sections_between_stations_follow_the_true_bow(bow: HullForm, x: float) -> None:
    """From the stem aft every section lies within 2 mm of the true one, also between the stem and the first stations."""
    ring = np.asarray(bow.section_at(x, "inside").geoms[0].exterior.coords)
    assert shapely.distance(shapely.points(ring), _section(x).exterior).max() < 0.002


@pytest.mark.closed_form
@pytest.mark.parametrize("bulkhead", [0.3, 0.6, 0.9, 1.5])
def test_volume_ahead_of_a_bulkhead(bow: HullForm, bulkhead: float) -> None:
    """The volume ahead of a bulkhead, down to the 28 litres ahead of the first station, within 0.1 %."""
    places = np.linspace(0.0, bulkhead, 401)[1:]
    areas = np.concatenate([[0.0], [_section(float(x)).area for x in places]])
    expected = float(np.trapezoid(areas, np.linspace(0.0, bulkhead, 401)))
    assert volume_under(bow.inside, Plane.of((1.0, 0.0, 0.0), bulkhead)) == pytest.approx(expected, rel=1e-3)
