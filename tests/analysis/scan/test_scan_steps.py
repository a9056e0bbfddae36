"""The steps from points to a hull, each on shapes of which the answer is known."""

import numpy as np
import pytest

from sketcher.analysis.scan.ends import transom_of
from sketcher.analysis.scan.holes import holes_of
from sketcher.analysis.scan.knuckles import corners_of, running
from sketcher.analysis.scan.scale import SPREAD, likely_units, spread_over
from sketcher.analysis.scan.sections import cut_at, skin_point, top_edge
from sketcher.analysis.scan.skin import ANGLES, Skin, skin_of
from sketcher.analysis.scan.smoothing import lining, smoothed
from sketcher.analysis.scan.stations import measured_station, rounded
from sketcher.analysis.scan.surfels import surfels_of
from sketcher.analysis.scan.symmetry import symmetry_plane
from sketcher.geometry.mesh import Floats

SIDES = np.array([[0.0, 0.0], [0.6, 0.2], [0.8, 1.0]])
"""A prism's section: a bottom that rises 1 in 3, a knuckle, and topsides."""


def prism(count: int = 40_000, noise: float = 0.004) -> Floats:
    """Points on both sides of a prism 4 m long, evenly over its girth."""
    rng = np.random.default_rng(2)
    girth = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(SIDES, axis=0).T))])
    along = rng.uniform(0.0, girth[-1], count)
    flat = np.stack([np.interp(along, girth, SIDES[:, k]) for k in (0, 1)], axis=1)
    flat[:, 0] *= rng.choice([-1.0, 1.0], count)
    return np.column_stack([rng.uniform(0.0, 4.0, count), flat]) + rng.normal(0.0, noise, (count, 3))


@pytest.fixture(scope="module")
def skin() -> Skin:
    return skin_of(prism(), "inside", 0.2, 3.8)


@pytest.mark.closed_form
def test_pieces_of_a_plane_have_its_normal() -> None:
    """Points on x + 2 y + 2 z = 3 with a few strays: normals within a degree of (1, 2, 2) / 3, the strays left out."""
    rng = np.random.default_rng(0)
    flat = rng.uniform(-1.0, 1.0, (20_000, 2))
    points = np.column_stack([3.0 - 2.0 * flat.sum(axis=1), flat])
    surfels = surfels_of(np.concatenate([points, rng.uniform(-8.0, 8.0, (200, 3))]), 0.2)
    assert np.abs(surfels.normals @ np.array([1.0, 2.0, 2.0]) / 3.0).min() > np.cos(np.radians(1.0))
    assert np.abs(surfels.centres @ np.array([1.0, 2.0, 2.0]) - 3.0).max() < 1e-9


@pytest.mark.closed_form
def test_the_plane_of_symmetry_of_a_tapering_prism_is_its_middle() -> None:
    """However it lies: within a tenth of a degree and 1 mm."""
    turn, _ = np.linalg.qr(np.random.default_rng(3).normal(size=(3, 3)))
    points = prism(20_000)
    points[:, 1] *= 0.5 + points[:, 0] / 8.0
    mirror = symmetry_plane(points @ turn.T, 4.0)
    assert abs(mirror.normal @ turn[:, 1]) > np.cos(np.radians(0.1))
    assert abs(mirror.offset) < 0.001
    assert mirror.share > 0.9


@pytest.mark.closed_form
def test_smoothing_leaves_a_parabola_and_runs_on_as_one() -> None:
    """Third differences of a parabola are 0: no value of it moves, and beyond what is known it goes on."""
    x = np.linspace(0.0, 2.0, 41)
    parabola = (1.0 + 0.5 * x - 0.3 * x**2)[None]
    known = (x < 1.5).astype(float)[None]
    assert smoothed(parabola * known, known, 0.05, 1.0) == pytest.approx(parabola, abs=1e-5)


@pytest.mark.closed_form
def test_a_lining_goes_behind_what_stands_before_it() -> None:
    """A row of 1.0 with a locker 0.3 further in over a quarter of its length stays at 1.0."""
    row = np.ones((1, 80))
    row[0, 30:50] = 0.7
    assert lining(row, np.ones((1, 80)), 0.05, (4.0, 2.0, 1.0), (0.2, 0.1, 0.05)) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.closed_form
def test_a_section_of_a_prism_has_its_sides_its_knuckle_and_its_edge(skin: Skin) -> None:
    """Points within 2 mm, the knuckle's place and turn (57.5 degrees), the upper edge within 8 mm."""
    polar = skin.polar(prism())
    cut = cut_at(skin, polar.some(skin.on_it(polar, 0.025)), 2.0)
    top = top_edge(cut, skin.noise)
    girth = float(np.hypot(0.6, 0.2) + np.hypot(0.2, 0.8))
    assert top == pytest.approx(girth, abs=0.008)
    (corner,) = corners_of(cut, top)
    assert corner.place == pytest.approx((0.6, 0.2), abs=0.006)
    assert corner.turn == pytest.approx(np.degrees(np.arctan2(0.8, 0.2) - np.arctan2(0.2, 0.6)), abs=8.0)
    found = skin_point(cut, 0.3, 0.0, corner.along)
    assert found is not None
    assert abs((found.place[1] - found.place[0] / 3.0) * np.cos(np.arctan(1 / 3))) < 0.002


@pytest.mark.closed_form
def test_a_station_has_the_prisms_corners(skin: Skin) -> None:
    """Keel, knuckle and sheer stand among its points, the knuckle marked."""
    polar = skin.polar(prism())
    polar = polar.some(skin.on_it(polar, 0.025))
    x = [0.8, 1.2, 1.6, 2.0]
    cuts = [cut_at(skin, polar, at) for at in x]
    knuckles = running([corners_of(cut, 1.4) for cut in cuts], x)
    station = measured_station(cuts[2], lambda _: 1.0, knuckles, None, np.zeros(3), "mm", skin.noise)
    (knuckle,) = station.knuckles
    assert station.points[0] == pytest.approx((0.0, 0.0), abs=0.004)
    assert station.points[knuckle - 1] == pytest.approx((0.6, 0.2), abs=0.006)
    assert station.points[-1] == pytest.approx((0.8, 1.0), abs=0.004)


@pytest.mark.closed_form
def test_a_hole_is_where_no_point_lies() -> None:
    """Rows of a half round 1 m in radius, none seen below half a metre between 1 and 1.6 m aft."""
    x = np.linspace(0.0, 3.0, 61)
    seen = np.full((len(ANGLES), len(x)), 20)
    low = np.sin(ANGLES) < -0.5
    seen[np.ix_(low, (x > 0.99) & (x < 1.61))] = 0
    skin = Skin(x, np.full(len(x), 1.0), np.ones((len(ANGLES), len(x))), seen, 0.005)
    (hole,) = holes_of(skin, lambda _: None, lambda _: 1.2, lambda z: np.full_like(z, 3.0), np.zeros(3))
    assert (hole.start, hole.end, hole.bottom) == (pytest.approx(1.0, abs=0.06), pytest.approx(1.6, abs=0.06), None)
    assert hole.top == pytest.approx(0.5, abs=0.1)


@pytest.mark.closed_form
def test_a_transom_is_a_face_and_not_the_edge_of_a_scan() -> None:
    """A raked flat end is found with its rake; the same prism left open has none."""
    rng = np.random.default_rng(4)
    y, z = rng.uniform(-0.6, 0.6, 6000), rng.uniform(0.2, 1.0, 6000)
    end = np.column_stack([4.0 + 0.2 * z, y, z]) + rng.normal(0.0, 0.004, (6000, 3))
    closed = np.concatenate([prism(), end])
    transom = transom_of(surfels_of(closed, 0.08), closed)
    assert transom is not None
    assert (transom.x, transom.lean) == pytest.approx((4.0, 0.2), abs=0.004)
    assert transom_of(surfels_of(prism(), 0.08), prism()) is None


@pytest.mark.closed_form
def test_points_spread_over_a_mesh_lie_evenly_on_it() -> None:
    """Of two triangles, one three times as large, it has three quarters of the points; a cloud stays what it is."""
    corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [3, 0, 0], [3, 1, 0], [6, 0, 0]])
    points = spread_over(corners, np.array([[0, 1, 2], [3, 4, 5]]))
    assert len(points) == SPREAD[0]
    assert (points[:, 0] > 2.0).mean() == pytest.approx(0.75, abs=0.005)
    assert spread_over(corners, np.zeros((0, 3), dtype=np.int64)) is corners


@pytest.mark.example
def test_units_are_told_by_how_far_a_scan_reaches() -> None:
    """The likeliest first; none where no unit makes a small boat of it. Numbers are written to the steps of a tape."""
    assert likely_units(8.9) == ("m", "ft")
    assert likely_units(8900.0) == ("mm",)
    assert likely_units(1e6) == ()
    assert rounded(1.23456, "mm") == 1.235
