"""The steps from points to a hull, each on shapes of which the answer is known."""

import numpy as np
import pytest

from sketcher.analysis.scan.ends import settled_profile, transom_of
from sketcher.analysis.scan.faces import FacePoints, PlaneAcross, faces_meet, section_face
from sketcher.analysis.scan.holes import holes_of
from sketcher.analysis.scan.knuckles import Knuckle, corners_of, running, settled_knuckles
from sketcher.analysis.scan.scale import SPREAD, likely_units, spread_over
from sketcher.analysis.scan.sections import cut_at, row_end, top_edge
from sketcher.analysis.scan.sheer import Sheer, settled_sheer
from sketcher.analysis.scan.skin import ANGLES, Skin, skin_of
from sketcher.analysis.scan.smoothing import lining, smoothed
from sketcher.analysis.scan.stations import SkinLines, measured_station, rounded
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


def _keel(x: Floats) -> Floats:
    """The prism's."""
    return np.zeros((len(x), 2))


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
    """The knuckle's place and turn (57.5 degrees), the upper edge within 8 mm."""
    polar = skin.polar(prism())
    cut = cut_at(skin, polar.some(skin.on_it(polar, 0.025)), 2.0)
    top = top_edge(cut, skin.noise)
    girth = float(np.hypot(0.6, 0.2) + np.hypot(0.2, 0.8))
    assert top == pytest.approx(girth, abs=0.008)
    (corner,) = corners_of(cut, top)
    assert corner.place == pytest.approx((0.6, 0.2), abs=0.006)
    assert corner.turn == pytest.approx(np.degrees(np.arctan2(0.8, 0.2) - np.arctan2(0.2, 0.6)), abs=8.0)


@pytest.mark.closed_form
def test_a_station_has_the_prisms_corners(skin: Skin) -> None:
    """Keel, knuckle and sheer stand among its points, the knuckle marked."""
    polar = skin.polar(prism())
    polar = polar.some(skin.on_it(polar, 0.025))
    x = [0.8, 1.2, 1.6, 2.0]
    cuts = [cut_at(skin, polar, at) for at in x]
    faces = FacePoints.of(prism(), skin.noise)
    knuckles = settled_knuckles(
        running([corners_of(cut, 1.4) for cut in cuts], x), faces, lambda at: cut_at(skin, polar, at), _keel, (0.5, 3.5)
    )
    station = measured_station(cuts[2], faces, SkinLines(_keel, tuple(knuckles), lambda _: 1.0), None, np.zeros(3), "mm")
    (knuckle,) = station.knuckles
    assert station.points[0] == pytest.approx((0.0, 0.0), abs=0.003)
    assert station.points[knuckle - 1] == pytest.approx((0.6, 0.2), abs=0.003)
    assert station.points[-1] == pytest.approx((0.8, 1.0), abs=0.003)
    short = SkinLines(_keel, tuple(knuckles), lambda _: 0.27)
    low = measured_station(cuts[2], faces, short, None, np.zeros(3), "mm")
    assert np.hypot(*np.diff(low.points, axis=0).T).min() > 0.01
    for y, z in station.points[1 : knuckle - 1]:
        assert abs(z - y / 3.0) * np.cos(np.arctan(1 / 3)) < 0.002


@pytest.mark.closed_form
def test_faces_are_fitted_on_each_side_of_a_line_and_meet_on_it() -> None:
    """Both sides of the prism's knuckle, told 20 mm too low: neither face has the other's points, and they meet within 2 mm."""
    points = FacePoints.of(prism(), 0.004)
    told = Knuckle(np.array([0.0, 4.0]), np.array([[0.6, 0.18], [0.6, 0.18]])).line
    place, at = np.array([0.6, 0.18]), PlaneAcross(2.0)
    below = section_face(points, at, place, np.array([3.0, 1.0]), None, told, 0.2, unsure=0.03)
    above = section_face(points, at, place, np.array([1.0, 4.0]), told, None, 0.2, unsure=0.03)
    assert below is not None
    assert above is not None
    s, t = faces_meet(below, above)
    assert below.at(s) == pytest.approx((0.6, 0.2), abs=0.002)
    assert below.at(s) == pytest.approx(above.at(t), abs=1e-6)
    assert below.error(s) < 0.002


@pytest.mark.closed_form
def test_where_a_row_ends_is_told_without_a_bias() -> None:
    """200 places drawn 60 times over 300 mm with a noise of 5 mm: the mean end is right to three of its standard errors."""
    rng = np.random.default_rng(6)
    ends = [row_end(np.sort(rng.uniform(0.0, 0.3, 200) + rng.normal(0.0, 0.005, 200)), 0.0, 0.005) for _ in range(60)]
    assert np.std(ends) < 0.004
    assert abs(np.mean(ends) - 0.3) < 3.0 * np.std(ends) / 60**0.5


@pytest.mark.closed_form
def test_the_upper_edge_is_settled_by_the_points_below_it() -> None:
    """The prism's is level at 1 m; begun up to 12 mm too low: to 3 mm all along and 1 in the mean, three standard errors."""
    x = np.arange(0.2, 3.8, 0.05)
    found = settled_sheer(Sheer(x, 0.988 + 0.004 * x), FacePoints.of(prism(), 0.004))
    assert found.z == pytest.approx(1.0, abs=0.003)
    assert found.z.mean() == pytest.approx(1.0, abs=0.001)


@pytest.mark.closed_form
def test_a_stem_is_where_both_sides_meet() -> None:
    """Two planes at 22 degrees to the centreline meet in a stem raked 30: begun 20 mm aft of it, head too.

    A face fitted to some 300 points on one side is told to 1 mm, so the stem to 3: 2 in the mean, thrice that anywhere.
    """
    rng = np.random.default_rng(8)
    z, back = rng.uniform(0.0, 1.2, 20_000), rng.uniform(0.0, 0.6, 20_000)
    stem = 0.5 - z * np.tan(np.radians(30.0))
    points = np.column_stack([stem + back, 0.4 * back * rng.choice([-1.0, 1.0], len(z)), z]) + rng.normal(0.0, 0.004, (20_000, 3))
    rough = [(0.52 - h * np.tan(np.radians(30.0)), h) for h in np.arange(0.1, 1.21, 0.1).tolist()]
    found = np.array(settled_profile(rough, FacePoints.of(points, 0.004), forward=True))
    off = np.abs(found[:, 0] - 0.5 + found[:, 1] * np.tan(np.radians(30.0)))
    assert off.mean() < 0.002
    assert off.max() < 0.006


@pytest.mark.closed_form
def test_a_boat_alike_at_both_ends_has_her_plane_along_her() -> None:
    """Her other plane of symmetry lies across her length, and is none that a boat is built by."""
    points = prism(20_000)
    points[:, 1] *= 1.0 - ((points[:, 0] - 2.0) / 2.5) ** 2
    assert abs(symmetry_plane(points, 4.0).normal[1]) > 0.999


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
