"""The cut edges of shell and panels in their own thickness: true sections by the plane that a part of her is taken away at."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout, PanelShape
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, convex_section, frame_on, section
from sketcher.outputs import palette
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.cutaway.flat_faces import Area, face_and_edge
from sketcher.outputs.scene3d.cutaway.openings import PanelHole, holes
from sketcher.outputs.scene3d.objects import Appearance, ObjectRef
from sketcher.outputs.scene3d.shapes import Colour, Shapes, Strokes, Surface

INK, ACCENT, SHELL, PANEL = (shade(colour) for colour in (palette.INK, palette.ACCENT, palette.SHELL_CUT, palette.PANEL_CUT))
BEFORE_WALLS = 0.004
"""[m] So far before what ends at the cut its faces are drawn."""
STRAIGHT = 1e-6
"""[m] An edge no more bent than that is one."""


def panels_at_cut(form: HullForm, panels: Sequence[PanelShape], frame: Frame) -> list[Area]:
    """Where a frame's plane cuts each panel, kept within the hull, and where they cross clear of those that run through."""
    found: dict[str, Area] = {}
    taken: list[Area] = []
    for panel in sorted(panels, key=lambda panel: panel.rank):
        outline = _within(panel.mesh, form, frame, len(panel.pieces) == 1)
        if not outline.is_empty:
            for other in taken:
                if shapely.intersects(outline, other):
                    outline = _sound(shapely.difference(outline, other))
            taken.append(outline)
        found[panel.name] = outline
    return [found[panel.name] for panel in panels]


def add_cut_faces(
    shapes: Shapes,
    number: Callable[[ObjectRef], int],
    layout: Layout,
    plane: Plane,
    look: Appearance,
    selected: ObjectRef | None,
) -> None:
    """Add the faces of shell and panels at a cut, and their edges in ink; number: gives a part its number."""
    frame = frame_on(plane)
    panels, through = layout.panels, holes(layout)
    outlines = panels_at_cut(layout.hull, panels, frame)
    shell = _shell(layout.hull, frame, (*through.get("deck", ()), *through.get("hull", ())))
    add_face(shapes, "cut/shell", shell, frame, SHELL, -1)
    for panel, outline in zip(panels, outlines, strict=True):
        part = ObjectRef(panel.kind, panel.name)
        if not outline.is_empty and part not in look.hidden:
            left = _without(outline, through.get(panel.name, ()), frame)
            add_face(shapes, f"cut/{part.key}", left, frame, ACCENT if part == selected else PANEL, number(part))


def add_face(
    shapes: Shapes,
    key: str,
    outline: Area,
    frame: Frame,
    colour: Colour,
    owner: int,
    opacity: float = 1.0,
) -> None:
    """Add what is cut through, by its outline in a frame's plane, and its edge in ink; owner: the number of its part, or -1."""
    face, edges = _drawn_face(outline, frame, colour, owner, opacity)
    if len(face.triangles):
        shapes.surfaces[key] = face
    shapes.strokes[key] = edges


@remembered(64)
def _drawn_face(outline: Area, frame: Frame, colour: Colour, owner: int, opacity: float) -> tuple[Surface, Strokes]:
    """A face in the plane, and its edge."""
    points, triangles, segments = face_and_edge(outline, frame)
    source = (points.tobytes(), triangles.tobytes(), colour, owner, opacity)
    face = Surface(
        points=points,
        triangles=triangles,
        colours=np.array([colour], dtype=np.uint8),
        owner_of=np.array([owner]),
        culling="none",
        lift=BEFORE_WALLS,
        opacity=opacity,
        lit=False,
        whole=True,
        source=source,
        cut=(frame, colour, owner, opacity),
    )
    edges = Strokes(
        points=points,
        segments=segments,
        colour=INK,
        width=1.2,
        lift=2 * BEFORE_WALLS,
        owner=owner,
        whole=True,
        source=source,
        cut=(frame, owner),
    )
    return face, edges


def _without(outline: Area, through: Sequence[PanelHole], frame: Frame) -> Area:
    """What openings leave of an outline where a plane cuts them."""
    for hole in through:
        outline = _sound(shapely.difference(outline, plane_outline(hole.solid, frame)))
    return outline


@kept_with_owner(2)
def _within(mesh: TriMesh, form: HullForm, frame: Frame, convex: bool) -> Area:
    """Where a plane cuts a panel, kept within the hull."""
    outline = convex_section(mesh, frame) if convex else plane_outline(mesh, frame)
    return _sound(shapely.intersection(outline, plane_outline(form.inside, frame)))


@kept_with_owner(2)
def plane_outline(mesh: TriMesh, frame: Frame) -> Area:
    """Where a plane cuts a closed mesh, made valid, without points in the middle of straight edges."""
    return _sound(section(mesh, frame).simplify(STRAIGHT))


@kept_with_owner(2)
def _shell(form: HullForm, frame: Frame, through: tuple[PanelHole, ...]) -> Area:
    """The cut through shell, deck and coachroof, between the faces of the hull, that openings leave."""
    whole = _sound(shapely.difference(plane_outline(form.outside, frame), plane_outline(form.inside, frame)))
    return _without(whole, through, frame)


def _sound(geometry: shapely.Geometry) -> Area:
    """The polygons of a geometry, made valid."""
    whole = geometry if shapely.is_valid(geometry) else shapely.make_valid(geometry)
    return whole if isinstance(whole, shapely.Polygon | shapely.MultiPolygon) else shapely.MultiPolygon(polygons(whole))
