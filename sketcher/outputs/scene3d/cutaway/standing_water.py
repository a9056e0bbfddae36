"""Water as a body with its surface: below the waterline as she floats, and in flooded spaces as high as it stands there."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Compartment, WaterPlane
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.crossing import ring_part
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, frame_on, section
from sketcher.outputs import palette
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.cutaway.cut_faces import plane_outline
from sketcher.outputs.scene3d.cutaway.flat_faces import Area, face_triangles
from sketcher.outputs.scene3d.shapes import Colour, Shapes, Surface

SURFACE, WATER = shade(palette.WATER_SURFACE), shade(palette.WATER_BODY)
OPACITY, DEEP = 0.5, 0.4
"""Of the surface below the waterline; of water at a cut."""
FAINT = 0.4
"""Share of that while another thing is looked at."""
REACH = 100.0
"""[m]: farther than any boat extends."""
AS_FINE = 0.001
"""[m] The outline of the water in the picture is so near to that of the space."""


@kept_with_owner(4)
def water_surface(mesh: TriMesh, plane: Plane) -> tuple[Floats, Ints]:
    """The level water inside a space, points (n, 3) and triangles (m, 3); none where the water does not stand in it."""
    frame = frame_on(plane)
    try:
        cut = section(mesh, frame)
    except GeometryError:
        return np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)
    return face_triangles(cut.simplify(AS_FINE), frame)


def add_water_inside(shapes: Shapes, form: HullForm, water: WaterPlane, cut: Plane | None, *, faint: bool) -> None:
    """Add what of her inside lies below the water: its surface, and its face at a cut. Panels cover their part of both."""
    share = FAINT if faint else 1.0
    surface = _surface_inside(form, water.plane)
    if len(surface[1]):
        shapes.surfaces["inside/water"] = _sheet(surface, SURFACE, share * OPACITY, (form, water, faint))
    if cut is not None:
        _add_wet_face(shapes, "inside/water at the cut", _face_inside(form, cut, water.plane), frame_on(cut), share * DEEP)


def add_standing_water(shapes: Shapes, space: Compartment, water: WaterPlane, cut: Plane | None) -> None:
    """Add the water that stands in a flooded space: its surface, if it is not full, and its face at a cut."""
    surface = water_surface(space.mesh, water.plane)
    if len(surface[1]):
        shapes.surfaces[f"standing/{space.name}"] = _sheet(surface, SURFACE, DEEP, (space.mesh, water))
    if cut is not None:
        face = wet_face(plane_outline(space.mesh, frame_on(cut)), cut, water.plane)
        _add_wet_face(shapes, f"standing/{space.name} at the cut", face, frame_on(cut), DEEP)


def wet_face(outline: Area, cut: Plane, water: Plane) -> shapely.Geometry:
    """The part below the water of an outline in a cut's plane, in the coordinates of its frame."""
    frame = frame_on(cut)
    square = np.array([[-REACH, -REACH], [REACH, -REACH], [REACH, REACH], [-REACH, REACH]])
    below = ring_part(square, water.over(frame.space(square)), under=True)
    return shapely.intersection(outline, shapely.Polygon(below)) if len(below) >= 3 else shapely.Polygon()


def _add_wet_face(shapes: Shapes, key: str, face: shapely.Geometry, frame: Frame, opacity: float) -> None:
    sheet = _wet_sheet(face, frame, opacity)
    if len(sheet.triangles):
        shapes.surfaces[key] = sheet


@remembered(16)
def _wet_sheet(face: shapely.Geometry, frame: Frame, opacity: float) -> Surface:
    return _sheet(face_triangles(face, frame), WATER, opacity, (face.wkb, frame, opacity), whole=True)


@kept_with_owner(1)
def _surface_inside(form: HullForm, plane: Plane) -> tuple[Floats, Ints]:
    return water_surface(form.inside, plane)


@kept_with_owner(2)
def _face_inside(form: HullForm, cut: Plane, water: Plane) -> shapely.Geometry:
    return wet_face(plane_outline(form.inside, frame_on(cut)), cut, water)


def _sheet(face: tuple[Floats, Ints], colour: Colour, opacity: float, source: object, *, whole: bool = False) -> Surface:
    """Points and triangles seen from both sides, and through."""
    return Surface(
        points=face[0],
        triangles=face[1],
        colours=np.array([colour], dtype=np.uint8),
        owner_of=np.array([-1]),
        culling="none",
        opacity=opacity,
        lit=False,
        whole=whole,
        source=source,
    )
