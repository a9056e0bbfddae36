"""Water as a body: its surface in a space, and its face where the boat is cut."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from scene_specimens import demo
from shapes import box

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, section
from sketcher.outputs.scene3d.cutaway.cut_faces import plane_outline
from sketcher.outputs.scene3d.cutaway.standing_water import AS_FINE, water_surface, wet_face

pytestmark = pytest.mark.closed_form


def area(face: tuple[Floats, Ints]) -> float:
    """Area of points and triangles."""
    a, b, c = face[0][face[1].T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def test_level_water_covers_the_section_of_its_space() -> None:
    """A box of 4 x 2 m: 8 m2 of water; in a space of a demo the area of its section, to the 1 mm that its outline may be off."""
    assert area(water_surface(box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0)), Plane.of((0.0, 0.0, 1.0), 0.4))) == pytest.approx(8.0)
    plane = Plane.of((0.0, 0.0, 1.0), 0.5)
    for space in demo("marram-two-tanks").layout.compartments:
        cut = section(space.mesh, frame_on(plane))
        face = water_surface(space.mesh, plane)
        assert area(face) == pytest.approx(cut.area, abs=cut.length * AS_FINE + 1e-12)
        assert face[0][:, 2] == pytest.approx(0.5)


@pytest.mark.parametrize("height", [-0.1, 0.0, 0.4, 1.0, 1.3])
def test_water_at_a_cut_stands_as_high_as_outside(height: float) -> None:
    """A box 4 m long and 1 m deep cut on the centreline: 4 m times the depth of water in it, at most 4 m2."""
    cut = Plane.of((0.0, 1.0, 0.0), 0.0)
    face = wet_face(plane_outline(box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0)), frame_on(cut)), cut, Plane.level(height))
    assert face.area == pytest.approx(4.0 * min(max(height, 0.0), 1.0))


def test_water_at_a_cut_follows_trim() -> None:
    """A water that falls by 0.1 m in each metre aft from 0.5 m: a trapezium of 0.5 and 0.1 m over 4 m, 1.2 m2."""
    cut, water = Plane.of((0.0, -1.0, 0.0), 0.0), Plane.through((0.0, 0.0, 0.5), (0.1, 0.0, 1.0))
    face = wet_face(plane_outline(box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0)), frame_on(cut)), cut, water)
    assert shapely.area(face) == pytest.approx(1.2)
