"""Closed meshes cut by a plane, against closed forms."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import box, cylinder, ellipsoid, upright, wedge, wigley

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import area_under, clip, clip_body, depth_load, face_areas, volume_under

FACETS = 4e-4
"""Relative error of the volumes of curved meshes here: chords of 160 facets lie inside the curve by about (pi/160)^2."""


SNAPPED = 2e-8
"""A plane within a nanometre of a corner is moved to it: by 15 m2 of section that is this much volume."""
LEVEL = np.eye(3)


def _second(cut):
    """Second moments of a level cut's section about its centroid: along x, and along y."""
    along, across, _ = cut.along(LEVEL).second
    return along, across


@pytest.mark.closed_form
@pytest.mark.parametrize(("trim", "heel"), [(0, 0), (2, 0), (0, 8), (-1.5, 5)])
def test_a_box_inclined_keeps_the_wall_sided_volume_and_centroid(trim, heel):
    """Wall-sided: volume is area by the depth at the middle; the centroid moves by L^2/12T tan(trim), B^2/12T tan(heel)."""
    length, breadth, depth = 8.0, 2.4, 0.5
    body = box((0, -breadth / 2, 0), (length, breadth / 2, 2.0))
    normal = upright(trim, heel)
    cut = clip(body, Plane(normal, normal @ [length / 2, 0, depth]))
    slope, lean = -np.tan(np.radians(trim)), np.tan(np.radians(heel))
    along, across = length**2 / (12 * depth) * slope, breadth**2 / (12 * depth) * lean
    up = depth / 2 + length**2 / (24 * depth) * slope**2 + breadth**2 / (24 * depth) * lean**2
    assert cut.volume == pytest.approx(length * breadth * depth, rel=1e-12)
    assert cut.centroid == pytest.approx([length / 2 + along, across, up], abs=1e-12)


@pytest.mark.closed_form
def test_a_level_box_has_its_waterplane_and_second_moments():
    """Area LB, second moments LB^3/12 and L^3B/12 about the centre."""
    cut = clip(box((0, -1.2, 0), (8, 1.2, 2)), Plane(upright(), 0.5))
    assert cut.section_area == pytest.approx(19.2, rel=1e-12)
    assert cut.section_centroid == pytest.approx([4, 0, 0.5], abs=1e-12)
    assert _second(cut) == pytest.approx((8**3 * 2.4 / 12, 8 * 2.4**3 / 12), rel=1e-12)


@pytest.mark.closed_form
def test_a_level_wedge_meets_its_closed_form():
    """V prism: LBT/2, waterplane LB, centroid 2T/3 up, second moment B^2/6T times the volume."""
    cut = clip(wedge(8, 4.8, 1.0), Plane(upright(), 0.5))
    assert cut.volume == pytest.approx(8 * 2.4 * 0.5 / 2, rel=1e-12)
    assert cut.centroid == pytest.approx([4, 0, 1 / 3], abs=1e-12)
    assert _second(cut)[1] / cut.volume == pytest.approx(2.4**2 / (6 * 0.5), rel=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize("heel", [5.0, 12.0, 18.0])
def test_a_wedge_heeled_about_its_apex_line_loses_the_triangle_of_the_sines(heel):
    """The immersed section is a triangle of apex angle 2a cut at `heel`: d^2 sin(2a) / (2 cos(a-h) cos(a+h)), d plumb depth."""
    body = wedge(8, 4.8, 1.6)
    apex, lean, depth = np.arctan2(2.4, 1.6), np.radians(heel), 0.6
    cut = clip(body, Plane(upright(0, heel), depth))
    assert cut.volume == pytest.approx(
        8 * depth**2 * np.sin(2 * apex) / (2 * np.cos(apex - lean) * np.cos(apex + lean)), rel=1e-12
    )


@pytest.mark.closed_form
def test_wigley_hull_at_its_waterline():
    """Volume 4LBT/9, KB 5T/8, BM 3B^2/35T and 3L^2/40T, waterplane 2LB/3 (the hull's own top face lies a hair above)."""
    body = wigley(8, 2.4, 0.5)
    cut = clip(body, Plane(upright(), 0.5 - 1e-7))
    along, across = _second(cut)
    assert cut.volume == pytest.approx(4.266667, rel=FACETS)
    assert cut.section_area == pytest.approx(12.8, rel=FACETS)
    assert cut.centroid[2] == pytest.approx(0.3125, rel=FACETS)
    assert across / cut.volume == pytest.approx(0.987429, rel=2 * FACETS)
    assert along / cut.volume == pytest.approx(9.6, rel=FACETS)
    assert area_under(body, Plane(upright(), 0.5 - 1e-7)) == pytest.approx(16.335073, rel=FACETS)


@pytest.mark.closed_form
@pytest.mark.parametrize("trim", [0.0, 1.0, -2.0])
def test_wigley_hull_trimmed_meets_the_integral_of_its_polynomial(trim):
    """Volume and centroid under a trimmed plane, integrated exactly along the length by Gauss points."""
    length, breadth, draft, middle = 8.0, 2.4, 0.5, 0.30
    normal = upright(trim)
    cut = clip(wigley(length, breadth, draft, 240, 120), Plane(normal, normal @ [0, 0, middle]))
    nodes, weights = np.polynomial.legendre.leggauss(20)
    x, dx = nodes * length / 2, weights * length / 2
    deep = draft - (middle - np.tan(np.radians(trim)) * x)
    section = breadth * (1 - (2 * x / length) ** 2) * ((draft - draft / 3) - (deep - deep**3 / (3 * draft**2)))
    assert cut.volume == pytest.approx(section @ dx, rel=FACETS)
    assert cut.centroid[0] == pytest.approx((section * x) @ dx / (section @ dx), abs=FACETS)


@pytest.mark.closed_form
@pytest.mark.parametrize(("trim", "heel", "at"), [(0, 0, 0.0), (3, 0, -0.1), (0, 20, 0.15), (-4, 12, 0.05)])
def test_an_ellipsoid_cut_at_any_trim_and_heel_is_a_cap_of_the_sphere_it_was_stretched_from(trim, heel, at):
    """pi abc (1+h)^2 (2-h) / 3 with h the plane's distance over the stretched normal's length; its centroid likewise."""
    axes = np.array([4.0, 1.2, 0.5])
    normal = upright(trim, heel)
    stretch = np.linalg.norm(axes * normal)
    h = at / stretch
    cut = clip(ellipsoid(*axes), Plane(normal, at))
    offset = -0.75 * (1 - h) ** 2 / (2 - h)
    assert cut.volume == pytest.approx(np.pi * axes.prod() * (1 + h) ** 2 * (2 - h) / 3, rel=2 * FACETS)
    assert cut.section_area == pytest.approx(np.pi * axes.prod() * (1 - h**2) / stretch, rel=2 * FACETS)
    assert cut.centroid == pytest.approx(offset * axes**2 * normal / stretch, abs=2 * FACETS)


@pytest.mark.closed_form
def test_half_an_ellipsoid_meets_its_row_of_the_table():
    """Semi-axes 4, 1.2, 0.5 at the middle: V 5.026548, centroid 0.1875 under the plane, BM 1.08 and 12.0."""
    cut = clip(ellipsoid(4, 1.2, 0.5), Plane(upright(), 0.0))
    along, across = _second(cut)
    assert cut.volume == pytest.approx(5.026548, rel=FACETS)
    assert cut.centroid[2] == pytest.approx(-0.1875, rel=FACETS)
    assert (across / cut.volume, along / cut.volume) == pytest.approx((1.08, 12.0), rel=2 * FACETS)


@pytest.mark.closed_form
@pytest.mark.parametrize("heel", [0.0, 30.0, 75.0])
def test_a_log_looks_the_same_at_any_heel(heel):
    """Half cylinder: pi r^2 L / 2, and the centroid 4r/(3 pi) plumb below the axis."""
    normal = upright(0, heel)
    cut = clip(cylinder(6, 0.8), Plane(normal, 0.0))
    assert cut.volume == pytest.approx(np.pi * 0.8**2 * 6 / 2, rel=2e-5)
    assert cut.centroid @ normal == pytest.approx(-4 * 0.8 / (3 * np.pi), rel=2e-5)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.floats(-30, 30), st.floats(-60, 60), st.floats(-0.6, 0.6))
def test_what_is_under_and_what_is_over_make_the_whole(trim, heel, at):
    """Both sides of a plane add up in volume and moment and share one section."""
    body = ellipsoid(4, 1.2, 0.5, 24, 24)
    normal = upright(trim, heel)
    under, over = clip(body, Plane(normal, at)), clip(body, Plane(-normal, -at))
    everything = clip(body, Plane(np.array([0.0, 0.0, 1.0]), 9.0))
    assert under.volume + over.volume == pytest.approx(everything.volume, abs=SNAPPED)
    assert under.moment + over.moment == pytest.approx(everything.moment, abs=SNAPPED)
    assert under.section_area == pytest.approx(over.section_area, abs=SNAPPED)
    assert under.section_centroid == pytest.approx(over.section_centroid, abs=1e-6)
    assert volume_under(body, Plane(normal, at)) == pytest.approx(under.volume, abs=SNAPPED)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.floats(-10, 10), st.floats(-40, 40), st.floats(-0.4, 0.4))
def test_the_section_is_the_rate_of_change_of_the_volume(trim, heel, at):
    """dV/dd is the section's area, and that of the moment is the section's own moment."""
    body, step = ellipsoid(4, 1.2, 0.5, 24, 24), 1e-5
    normal = upright(trim, heel)
    low, middle, high = (clip(body, Plane(normal, at + k * step)) for k in (-1, 0, 1))
    slope = (high.moment - low.moment) / (2 * step)
    assert (high.volume - low.volume) / (2 * step) == pytest.approx(middle.section_area, abs=1e-4)
    assert slope == pytest.approx(middle.section_area * middle.section_centroid, abs=1e-3)


@pytest.mark.closed_form
def test_a_face_in_the_plane_counts_as_just_above():
    """A box filled exactly to its lid has all its volume under, its lid as section and no wet lid."""
    body = box((0, -1, 0), (3, 1, 1.3))
    cut = clip(body, Plane(upright(), 1.3))
    assert (cut.volume, cut.section_area) == pytest.approx((7.8, 6.0), rel=1e-12)
    assert area_under(body, Plane(upright(), 1.3)) == pytest.approx(6.0 + 2 * 1.3 * 5.0, rel=1e-12)
    assert clip(body, Plane(upright(), 0.0)).section_area == 0.0


@pytest.mark.closed_form
@pytest.mark.parametrize(("level", "volume"), [(-0.5, 0.0), (5.0, 6.0)])
def test_wholly_dry_and_wholly_under_have_no_section(level, volume):
    """Above the water nothing counts; far under it everything does, and the plane cuts nothing."""
    cut = clip(box((0, -1, 0), (3, 1, 1)), Plane(upright(3, 4), level))
    assert (cut.volume, cut.section_area) == pytest.approx((volume, 0.0), abs=1e-12)


@pytest.mark.example
def test_a_body_counted_for_a_share_and_two_bodies_add_up():
    """Cuts are linear: two halves make the whole, and a factor scales every figure but not the centroid."""
    normal, at = upright(2, 3), 0.4
    whole = clip(box((0, -1, 0), (3, 1, 1)), Plane(normal, at))
    halves = [clip(box((start, -1, 0), (end, 1, 1)), Plane(normal, at)) for start, end in ((0, 1), (1, 3))]
    both = halves[0] + halves[1]
    assert both.sums == pytest.approx(whole.sums, abs=1e-12)
    assert (0.3 * whole).volume == pytest.approx(0.3 * whole.volume, rel=1e-12)
    assert (0.3 * whole).centroid == pytest.approx(whole.centroid, rel=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize(("level", "load", "depth"), [(0.6, 2 * 0.6**2 / 2, 0.6), (1.5, 2 * (1.5 - 0.5), 1.5), (-0.1, 0.0, 0.0)])
def test_load_on_a_wall_is_the_depth_integrated_over_it(level, load, depth):
    """On a wall 2 wide and 1 high: width by half the square of the water's height, or width by height by the mean depth."""
    body = box((0, -1, 0), (3, 1, 1))
    ahead = (body.vertices[body.triangles][:, :, 0] == 0).all(axis=1)
    wall = TriMesh(body.vertices, body.triangles[ahead], body.labels[ahead])
    assert depth_load(wall, Plane(upright(), level)) == pytest.approx((load, depth), abs=1e-12)


@pytest.mark.example
def test_an_empty_mesh_has_nothing_under_any_plane():
    """No triangles: no volume, no section, no centroid."""
    empty = TriMesh(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64), np.zeros(0, dtype=np.int64))
    cut = clip(empty, Plane(upright(), 0.3))
    assert (cut.volume, cut.section_area, cut.centroid, cut.section_centroid) == (0.0, 0.0, None, None)
    assert volume_under(empty, Plane(upright(), 0.3)) == 0.0


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(st.floats(-20, 20), st.floats(-50, 50), st.floats(-0.5, 0.5))
def test_axes_in_the_plane_give_the_same_figures_as_the_boats_axes(trim, heel, at):
    """Volume, moment, area and centroid turned into the plane's axes and back are the same."""
    cut, normal = clip(ellipsoid(4, 1.2, 0.5, 24, 24), Plane(upright(trim, heel), at)), upright(trim, heel)
    across = np.cross(normal, [1.0, 0.0, 0.0])
    across /= np.linalg.norm(across)
    axes = np.array([np.cross(across, normal), across, normal])
    cut_in = cut.along(axes)
    assert (cut_in.volume, cut_in.area) == pytest.approx((cut.volume, cut.section_area), abs=1e-12)
    assert np.array(cut_in.moment) @ axes == pytest.approx(cut.moment, abs=1e-12)
    if cut.section_centroid is not None:
        assert np.array([*cut_in.centre, at]) @ axes == pytest.approx(cut.section_centroid, abs=1e-9)


@pytest.mark.example
def test_the_whole_of_a_body_and_its_box_are_known_without_a_cut():
    """Volume and box of the blocks equal those of the mesh, and the area vectors of a closed mesh sum to nothing."""
    mesh = wigley(8, 2.4, 0.5)
    body = clip_body(mesh)
    assert body.volume == pytest.approx(mesh.volume, rel=1e-12)
    assert np.array(body.bounds) == pytest.approx(np.array(mesh.bounds), abs=1e-12)
    assert face_areas(mesh).sum(axis=1) == pytest.approx(np.zeros(3), abs=1e-12)
