"""Her spaces and panels pulled apart, along the boat and up, out of what is left of her as lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Compartment
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats, TriMesh, bounds_of
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.rays import crossings_above
from sketcher.geometry.solid.section import frame_on
from sketcher.outputs import palette
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.cutaway.cut_faces import plane_outline
from sketcher.outputs.scene3d.cutaway.flat_faces import edge_lines
from sketcher.outputs.scene3d.cutaway.openings import PanelHole, holes, with_holes
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, Surface, WaterMarks, label_edges

ALONG, UP = 0.45, 1.4
"""Pulled fully apart, places along the boat are so much further from her middle, and heights from her lowest point."""
STAYS = ("edges", "sections", "keel and after end", "sheer/port", "sheer/starboard", "cut/shell")
"""What is left of her where it is."""
INK, PANEL = shade(palette.INK), shade(palette.TIMBER)


def pulled(evaluation: Evaluation, middle: Floats | tuple[float, float, float], apart: float) -> Floats:
    """How far (3,) [m] something with its middle there is moved; apart: 0 not at all, 1 fully."""
    low, high = evaluation.layout.hull.outside.bounds
    along, up = middle[0] - (low[0] + high[0]) / 2, middle[2] - low[2]
    return apart * np.array([ALONG * along, 0.0, UP * up])


def extent_apart(evaluation: Evaluation, apart: float) -> Floats:
    """Points (n, 3) round all that is drawn of her pulled apart."""
    skin = evaluation.layout.hull.outside.vertices
    corners = [
        np.array(np.meshgrid(*np.stack(space.mesh.bounds).T)).reshape(3, -1).T + pulled(evaluation, space.centroid, apart)
        for space in evaluation.layout.compartments
    ]
    return np.concatenate([skin, *corners]) if apart else skin


def pulled_apart(shapes: Shapes, evaluation: Evaluation, parts: tuple[ObjectRef, ...], apart: float, cut: Plane | None) -> Shapes:
    """The shapes, those of spaces and of what is in them moved with them, panels as solids; the rest but her lines left out."""
    moved = Shapes(panels=shapes.panels)
    spaces = {space.name: space for space in evaluation.layout.compartments}
    panels = {ObjectRef(shape.kind, shape.name).key for shape in evaluation.layout.panels}
    for key, surface in shapes.surfaces.items():
        by = _moved_by(key, surface, evaluation, spaces, panels, apart)
        if by is not None:
            moved.surfaces[key] = _moved(surface, by)
    for key, strokes in shapes.strokes.items():
        by = _moved_by(key, strokes, evaluation, spaces, panels, apart)
        if by is not None:
            moved.strokes[key] = replace(strokes, points=strokes.points + by, source=(strokes.source, apart), cut=None)
    for name, space in spaces.items():
        if cut is not None and f"space/{name}" in moved.surfaces:
            moved.strokes[f"cut/{name}"] = _cut_edge(space, cut, pulled(evaluation, space.centroid, apart))
    open_here = holes(evaluation.layout)
    for shape in evaluation.layout.panels:
        part = ObjectRef(shape.kind, shape.name)
        if shape.reaches_in and part in parts:
            by = pulled(evaluation, _middle(shape.trimmed), apart)
            _add_panel(moved, part, shape.trimmed, open_here.get(shape.name, ()), parts.index(part), by)
    return moved


def _moved_by(
    key: str,
    shape: Surface | Strokes,
    evaluation: Evaluation,
    spaces: dict[str, Compartment],
    panels: set[str],
    apart: float,
) -> Floats | None:
    """How far a shape is moved (3,) [m]; None: it is left out."""
    if key in STAYS:
        return np.zeros(3)
    kind, _, name = key.removeprefix("cut/").partition("/")
    if kind in ("space", "corners", "fill"):
        return pulled(evaluation, spaces[name].centroid, apart)
    if kind in ("water", "inside", "standing", "path", "hull", "behind") or key.removeprefix("cut/") in panels:
        return None
    if not name or not len(shape.points):
        return None
    holder = _holder(np.mean(bounds_of(shape.points), axis=0), tuple(spaces.values()))
    return None if holder is None else pulled(evaluation, holder.centroid, apart)


@remembered(64)
def _holder(point: Floats, spaces: tuple[Compartment, ...]) -> Compartment | None:
    """The space that a point lies in."""
    for space in spaces:
        mesh = space.mesh
        if crossings_above(mesh.vertices, mesh.triangles, np.zeros(len(mesh.triangles), dtype=np.int64), 1, point)[0]:
            return space
    return None


def _moved(surface: Surface, by: Floats) -> Surface:
    water = surface.water
    if water is not None:
        water = WaterMarks(water.plane.moved(float(water.plane.normal @ by)), water.pitch)
    return replace(surface, points=surface.points + by, water=water, source=(surface.source, by.tobytes()), cut=None)


def _cut_edge(space: Compartment, cut: Plane, by: Floats) -> Strokes:
    """Where a space ends at the cut, moved with it."""
    frame = frame_on(cut)
    points, segments = edge_lines(plane_outline(space.mesh, frame), frame)
    return Strokes(
        points=points + by, segments=segments, colour=INK, width=1.2, whole=True, source=(space.mesh, cut, by.tobytes())
    )


def _add_panel(shapes: Shapes, part: ObjectRef, mesh: TriMesh, through: tuple[PanelHole, ...], owner: int, by: Floats) -> None:
    """A panel as the solid that it is in her, with its openings."""
    source = (mesh, through, by.tobytes())
    points, triangles, _ = with_holes(mesh.vertices, mesh.triangles, mesh.labels, through)
    shapes.surfaces[f"panel/{part.key}"] = Surface(
        points=points + by,
        triangles=triangles,
        colours=np.array([PANEL], dtype=np.uint8),
        owner_of=np.array([owner]),
        culling="back",
        source=source,
    )
    shapes.strokes[f"panel/{part.key}"] = Strokes(
        points=mesh.vertices + by, segments=label_edges(mesh), colour=INK, width=1.0, source=source
    )


def _middle(mesh: TriMesh) -> Floats:
    """The middle of a mesh's bounds."""
    return np.asarray(np.mean(mesh.bounds, axis=0))
