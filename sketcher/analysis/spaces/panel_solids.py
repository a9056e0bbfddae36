"""Panels in place: each a solid between its two faces, cut short by what it is tied to and running past the hull elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import PanelFace, PanelKind, PanelShape
from sketcher.analysis.spaces.coincident_faces import parted_faces
from sketcher.analysis.spaces.panel_limits import PanelEdges, panel_edges
from sketcher.analysis.spaces.panel_planes import BACK, FRONT, Faces, faces_by_name
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.convex import convex_solid, joined_halves
from sketcher.geometry.tolerances import BEYOND_HULL, FAR_OUT
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, Panel, Partition, Scene

BEYOND = "beyond"
"""The sides of the box, beyond the hull, where a panel that runs to the hull ends."""
MIDDLE = "middle"
"""The face where the two halves of a panel with a knuckle on the centreline meet; it is inside the panel and not in its mesh."""
_NONE: Mapping[str, PanelShape] = MappingProxyType({})
_SQUARES: tuple[tuple[float, float, float], ...] = (
    (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (0.0, 0.0, 1.0),
)  # fmt: skip


Known = Callable[[str, Sequence[Plane]], TriMesh | None]
"""The solid of the panel of that name within planes, where it is known without looking for its corners; else None."""


def _unknown(_name: str, _planes: Sequence[Plane]) -> TriMesh | None:
    return None


@dataclass(frozen=True, slots=True)
class PlacedPanels:
    """The scene's panels in place, sorted by name.

    empty: the names of those of which nothing is left between their limits; astray: of those far outside the hull. leaning: by
    panel the others whose faces moved one of its own, or an edge, by a micrometre.
    """

    shapes: tuple[PanelShape, ...]
    empty: tuple[str, ...]
    astray: tuple[str, ...]
    leaning: Mapping[str, frozenset[str]]


def kind_of(panel: Panel) -> PanelKind:
    """The kind of a panel."""
    return "bulkhead" if isinstance(panel, Bulkhead) else "partition" if isinstance(panel, Partition) else "lid"


@kept_with_owner(2)
def hull_box(form: HullForm, margin: float = BEYOND_HULL) -> tuple[PanelFace, ...]:
    """The six sides of the box that panels are kept within, a margin [m] beyond the inside of the hull."""
    low, high = form.inside.bounds
    reach = np.where(np.arange(6) % 2 == 0, -np.repeat(low, 2), np.repeat(high, 2)) + margin
    return tuple(PanelFace(BEYOND, Plane.of(normal, float(d))) for normal, d in zip(_SQUARES, reach, strict=True))


def place_panels(
    scene: Scene, form: HullForm, known: Mapping[str, PanelShape] = _NONE, solid_known: Known = _unknown
) -> PlacedPanels:
    """Every panel that is there (not removed) as a solid, sorted by name; those `known` are taken as they are.

    Raises SketchError where a panel is tied to one that does not exist or is of the wrong kind, or has no thickness.
    """
    faces = faces_by_name(scene, form)
    placed = _placed(scene, form, faces, faces, known, solid_known)
    parted, gave_way = parted_faces(faces, placed.shapes)
    if gave_way:
        again = {name: shape for name, shape in known.items() if name not in gave_way}
        placed = _placed(scene, form, parted, faces, again, solid_known)
    leaning = {name: placed.leaning.get(name, frozenset()) | gave_way.get(name, set()) for name in {*placed.leaning, *gave_way}}
    return replace(placed, leaning=leaning)


def _placed(
    scene: Scene,
    form: HullForm,
    faces: dict[str, Faces],
    stated: dict[str, Faces],
    known: Mapping[str, PanelShape],
    solid_known: Known,
) -> PlacedPanels:
    box = hull_box(form)
    shapes: list[PanelShape] = []
    missing: dict[bool, list[str]] = {True: [], False: []}
    leaning: dict[str, frozenset[str]] = {}
    for panel in sorted(scene.panels, key=lambda p: p.name):
        edges = panel_edges(panel, scene, faces, form.inside.bounds, stated)
        if panel.built == "removed":
            continue
        if edges.touching:
            leaning[panel.name] = edges.touching
        if panel.name in known:
            shapes.append(known[panel.name])
            continue
        shape = _shape(panel, faces[panel.name], edges, box, solid_known)
        if shape is None:
            missing[_shape(panel, faces[panel.name], edges, hull_box(form, FAR_OUT)) is None].append(panel.name)
        else:
            shapes.append(shape)
    return PlacedPanels(tuple(shapes), tuple(missing[True]), tuple(missing[False]), leaning)


def _shape(
    panel: Panel, faces: Faces, edges: PanelEdges, box: tuple[PanelFace, ...], known: Known = _unknown
) -> PanelShape | None:
    kind = kind_of(panel)
    split = 0 not in faces or any(0 not in edge for edge in edges.halves)
    halves: list[PanelFace] = []
    pieces: list[tuple[int, ...]] = []
    meshes: list[TriMesh] = []
    for side in (-1, 1) if split else (0,):
        front, back = faces[side] if side in faces else faces[0]
        piece = [PanelFace(FRONT[kind], front), PanelFace(BACK[kind], back)]
        piece += [edge[side] if side in edge else edge[0] for edge in edges.halves]
        piece += box
        if side:
            piece.append(PanelFace(MIDDLE, Plane.of((0.0, float(-side), 0.0), 0.0)))
        start = len(halves)
        mesh = _solid(piece, start, panel.name, known)
        if mesh is not None:
            pieces.append(tuple(range(start, start + len(piece))))
            halves += piece
            meshes.append(mesh)
    if not meshes:
        return None
    return PanelShape(
        panel=panel,
        kind=kind,
        mesh=joined_halves(meshes) if len(meshes) == 2 else meshes[0],
        faces=tuple(halves),
        depends_on=tuple(sorted(edges.tied_to)),
        pieces=tuple(pieces),
    )


def _solid(piece: list[PanelFace], start: int, name: str, known: Known) -> TriMesh | None:
    """The convex solid of one piece; its labels count the piece's faces from `start`."""
    planes = [half.plane for half in piece]
    same = known(name, planes)
    if same is not None:
        return same
    middle = next((start + k for k, half in enumerate(piece) if half.name == MIDDLE), None)
    try:
        return _within(HalfSpaces.within(planes), start, middle)
    except GeometryError as error:
        raise SketchError(f"{name!r} cannot be built: {error}", "check its place, angles and limits") from error


@remembered(64)
def _kept_within(normals: Floats, distances: Floats, start: int, open_label: int | None) -> TriMesh | None:
    return convex_solid(HalfSpaces(normals, distances), np.arange(start, start + len(distances)), open_label=open_label)


def _within(spaces: HalfSpaces, start: int, open_label: int | None) -> TriMesh | None:
    """Kept: of many panels few move."""
    return _kept_within(spaces.normals, spaces.distances, start, open_label)
