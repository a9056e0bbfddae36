"""Cutting closed surfaces along a plane."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import box, wigley

from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface, divided, solid_of
from sketcher.geometry.solid.half_space import FaceCut, beyond

HULL = wigley(8.0, 2.4, 0.5, columns=60, rows=30)


def surface(mesh: TriMesh) -> TracedSurface:
    count = len(mesh.triangles)
    return TracedSurface(mesh.vertices, mesh.triangles, np.zeros(count, dtype=np.int64), np.arange(count))


def cut(whole: TracedSurface, normal: Floats, distance: float) -> TracedSurface:
    """What lies over the plane normal . p = distance, its cap known as number 3 of solid 7."""
    return beyond(whole, FaceCut(Plane(normal, distance), 7, 3, whole.vertices @ normal - distance))


@pytest.mark.closed_form
def test_a_box_cut_aslant() -> None:
    """A unit cube cut in two by the plane x + z = 1: half of it, closed by a face of area sqrt 2."""
    normal = np.array([1.0, 0.0, 1.0]) / np.sqrt(2)
    half = cut(surface(box((0, 0, 0), (1, 1, 1))), normal, 1 / np.sqrt(2))
    assert divided(half).volume == pytest.approx([0.5], abs=1e-12)
    cap = half.triangles[half.origin == 7]
    a, b, c = half.vertices[cap.T]
    area = np.cross(b - a, c - a).sum(axis=0) / 2
    assert area == pytest.approx(-np.sqrt(2) * normal, abs=1e-12)
    assert set(half.face[half.origin == 7].tolist()) == {3}


@pytest.mark.property
@settings(max_examples=50, deadline=None)
@given(
    st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1),
    st.tuples(st.floats(-3.9, 3.9), st.floats(-0.5, 0.5), st.floats(0.05, 0.45)),
)
def test_the_two_sides_of_a_cut_make_the_whole(direction: tuple[float, float, float], point: tuple[float, float, float]) -> None:
    """Both closed, to the kernel too, and their volumes add up, whatever the plane."""
    normal = np.array(direction) / np.linalg.norm(direction)
    whole = surface(HULL)
    distance = float(normal @ np.array(point))
    sides = [cut(whole, sign * normal, sign * distance) for sign in (1.0, -1.0)]
    volumes = [float(divided(side).volume.sum()) if len(side.triangles) else 0.0 for side in sides]
    assert sum(volumes) == pytest.approx(HULL.volume, rel=1e-12)
    for side, volume in zip(sides, volumes, strict=True):
        if volume > 1e-9:
            assert solid_of(side).volume() == pytest.approx(volume, rel=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize("station", [0, 10, 30, 59])
def test_a_cut_through_vertices_is_closed(station: int) -> None:
    """In the plane of a whole ring of the mesh's own vertices."""
    x = float(np.unique(HULL.vertices[:, 0])[station])
    whole = surface(HULL)
    aft, fore = cut(whole, np.array([1.0, 0, 0]), x), cut(whole, np.array([-1.0, 0, 0]), -x)
    volumes = [float(divided(side).volume.sum()) if len(side.triangles) else 0.0 for side in (aft, fore)]
    s = abs(x) / 8
    ahead = 0.5 - 1.5 * s + 2 * s**3
    assert volumes[1 if x <= 0 else 0] / HULL.volume == pytest.approx(ahead, abs=3e-4)
    assert sum(volumes) == pytest.approx(HULL.volume, rel=1e-12)


@pytest.mark.closed_form
def test_a_plane_beside_a_surface_leaves_all_or_nothing() -> None:
    """Unchanged on one side, empty on the other."""
    whole = surface(HULL)
    assert len(cut(whole, np.array([0, 0, 1.0]), -1.0).triangles) == len(HULL.triangles)
    assert len(cut(whole, np.array([0, 0, 1.0]), 1.0).triangles) == 0


@pytest.mark.example
def test_a_surface_with_a_hole_in_the_plane_is_refused() -> None:
    """Its cut does not close."""
    holed = TriMesh(HULL.vertices, HULL.triangles[HULL.vertices[HULL.triangles][:, :, 1].min(axis=1) < 0.5], HULL.labels)
    with pytest.raises(GeometryError, match="not closed"):
        cut(surface(holed), np.array([1.0, 0, 0]), 0.013)
