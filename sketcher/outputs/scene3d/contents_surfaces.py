"""What is in the spaces, in the picture, as solids to see and to point at: cushions, people, bottles, chain, foam, boxes.

Where the boat is cut people and bottles are left whole or taken away; all else is cut with her and shows a face.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.bottles import BottleStow
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.results import BerthFigures
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.packing.heap import between
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, frame_z
from sketcher.geometry.vectors import cross
from sketcher.model.scene import Berth
from sketcher.outputs import palette
from sketcher.outputs.contents_shapes import Shape, ShapeKind, cylinders, fitting_mesh, shapes_of
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.cutaway.cut_faces import add_face, plane_outline
from sketcher.outputs.scene3d.cutaway.flat_faces import Area, face_and_edge
from sketcher.outputs.scene3d.objects import Appearance, ObjectKind, ObjectRef
from sketcher.outputs.scene3d.shapes import Colour, Shapes, Surface

COLOURS: dict[ShapeKind, str] = {
    "bottles": palette.BOTTLE,
    "sleeper": palette.CUSHION,
    "chain": palette.INK,
    "stowage": palette.TIMBER,
    "foam": palette.FOAM,
    "tank": palette.WATER,
}
PARTS: dict[ShapeKind, ObjectKind] = {
    "bottles": "bottles",
    "sleeper": "person",
    "chain": "chain",
    "stowage": "stowage",
    "foam": "foam",
    "tank": "tank",
}
ACCENT, FITTING = shade(palette.ACCENT), shade(palette.PENCIL)
CUSHION, BOARDS = shade(palette.UPHOLSTERY), shade(palette.TIMBER)
FAINT = 0.25
"""Opacity of what is still to follow something that moves."""
SHADED = 0.45
"""How dark the faces turned away from the light become: without it a stack of bottles is one patch of colour."""
LIGHT = np.array([-0.45, -0.35, 0.82])
"""From where light falls on what stands in a space: from ahead, to port and above."""
REACH = 100.0
"""[m] Farther than any boat extends."""
IN_PLAN = frame_z(0.0)
ON_THE_CUT = 0.01
"""[m] Who lies on the centreline, as far as this off it, lies on the side that is kept."""


@dataclass(frozen=True, eq=False)
class ContentsPainter:
    """What all contents' shapes are made with. number: gives a part its number; cut: where the boat is cut."""

    shapes: Shapes
    number: Callable[[ObjectRef], int]
    look: Appearance
    selected: ObjectRef | None
    cut: Plane | None

    def add(self, evaluation: Evaluation) -> None:
        """Add all that is not hidden."""
        for fitting in evaluation.scene.fittings:
            self._add(ObjectRef("fitting", fitting.name), "", fitting_mesh(fitting), FITTING)
        stated = {berth.name: berth for berth in evaluation.scene.berths}
        for room in evaluation.berths:
            if room.name in stated:
                self._add_berth(room, stated[room.name])
        for count, shape in enumerate([] if evaluation.contents is None else _solids(evaluation.contents, self.cut)):
            part = ObjectRef(PARTS[shape.kind], shape.name)
            whole = shape.kind in ("sleeper", "bottles")
            self._add(part, f"/{count}", shape.mesh, shade(COLOURS[shape.kind]), whole=whole)

    def _add_berth(self, room: BerthFigures, berth: Berth) -> None:
        """Its cushion, and boards of its own beneath."""
        part, low = ObjectRef("berth", room.name), room.surface - berth.cushion
        if berth.cushion > 0.0:
            self._add_slab(part, "", room, (low, room.surface), CUSHION)
        if berth.lies_on is None and berth.thickness:
            self._add_slab(part, "/boards", room, (low - berth.thickness, low), BOARDS)

    def _add_slab(self, part: ObjectRef, which: str, room: BerthFigures, between: tuple[float, float], colour: Colour) -> None:
        if part not in self.look.hidden:
            face = None if self.cut is None else slab_face(room, *between, self.cut)
            self._add(part, which, berth_slab(room, *between), colour, face=face)

    def _add(
        self, part: ObjectRef, which: str, mesh: TriMesh, colour: Colour, *, whole: bool = False, face: Area | None = None
    ) -> None:
        """whole: it is not cut with her; face: where it is cut, if that is known."""
        if part in self.look.hidden or not len(mesh.triangles):
            return
        colour, faded = ACCENT if part == self.selected else colour, part in self.look.faded
        self.shapes.surfaces[f"{part.key}{which}"] = Surface(
            points=mesh.vertices,
            triangles=mesh.triangles,
            colours=_shaded(mesh, colour),
            owner_of=np.array([self.number(part)]),
            culling="back",
            opacity=FAINT if faded else 1.0,
            whole=whole,
            source=(mesh, colour, faded, whole),
            cut=(colour, faded) if part.kind == "berth" else None,
        )
        if self.cut is not None and not whole:
            frame = frame_on(self.cut)
            outline = plane_outline(mesh, frame) if face is None else face
            if not outline.is_empty:
                opacity = FAINT if faded else 1.0
                add_face(self.shapes, f"cut/{part.key}{which}", outline, frame, colour, self.number(part), opacity=opacity)


def _solids(contents: Contents, cut: Plane | None) -> Iterator[Shape]:
    """All that stands or lies somewhere, of foam and tanks what fills their spaces; of people and bottles those that are kept."""
    for shape in shapes_of(contents):
        if shape.kind not in ("bottles", "foam", "tank") and (shape.kind != "sleeper" or _kept(shape.mesh, cut)):
            yield shape
    for stow in (stow for space in contents.bottles for stow in space.stows if stow.count):
        kept = stow if cut is None else _bottles_kept(stow, cut)
        if kept.count:
            yield Shape("bottles", stow.name, cylinders(kept))
    meshes = {space.name: space.mesh for space in contents.spaces}
    for fill in contents.foams:
        yield Shape("foam", fill.name, _filled(meshes[fill.space], fill.top))
    for tank in contents.tanks:
        yield Shape("tank", tank.name, _filled(meshes[tank.space], tank.level))


def _kept(mesh: TriMesh, cut: Plane | None) -> bool:
    """Whether the middle of a body lies on the side of a cut that is kept."""
    return cut is None or float(cut.over(mesh.vertices.mean(axis=0))) > -ON_THE_CUT


@kept_with_owner(2)
def _bottles_kept(stow: BottleStow, cut: Plane) -> BottleStow:
    """Those bottles whose middle lies on the side of a cut that is kept."""
    base = stow.base[cut.over(stow.base + stow.length / 2 * stow.direction) > -ON_THE_CUT]
    return replace(stow, base=base, count=len(base))


@kept_with_owner(2)
def _filled(space: TriMesh, level: float) -> TriMesh:
    """The part of a space below a level [m]."""
    return between(space, float(space.bounds[0][2]) - 1.0, level)


@kept_with_owner(1)
def _ground(room: BerthFigures) -> Area:
    """A berth's outline in plan, its holes left out."""
    outline = shapely.Polygon(room.outline, room.holes) if len(room.outline) > 2 else shapely.Polygon()
    return outline if outline.is_valid else shapely.MultiPolygon(polygons(shapely.make_valid(outline)))


@kept_with_owner(4)
def berth_slab(room: BerthFigures, low: float, high: float) -> TriMesh:
    """What a berth's outline, its holes left out, sweeps from one height to another [m]."""
    flat, triangles = _prism(_ground(room))
    vertices = np.concatenate([np.column_stack([flat, np.full(len(flat), level)]) for level in (low, high)])
    return TriMesh(vertices, triangles, np.zeros(len(triangles), dtype=np.int64))


def slab_face(room: BerthFigures, low: float, high: float, cut: Plane) -> Area:
    """Where a plane cuts the same, in the plane's frame."""
    frame = frame_on(cut)
    if cut.normal[2] != 0.0:
        return plane_outline(berth_slab(room, low, high), frame)
    across, along = cut.normal * cut.distance, np.array(frame.u) * REACH
    met = shapely.get_parts(
        shapely.intersection(_ground(room), shapely.linestrings([(across - along)[:2], (across + along)[:2]]))
    )
    ends = [
        frame.flat(np.column_stack([shapely.get_coordinates(part)[[0, -1]], (low, high)])) for part in met if part.length > 0.0
    ]
    return shapely.MultiPolygon([shapely.box(*np.sort(corners, axis=0).ravel()) for corners in ends])


@remembered(4)
def _prism(outline: Area) -> tuple[Floats, Ints]:
    """The corners (n, 2) of an outline, and the triangles (m, 3) round what it sweeps: of those, and again of those above."""
    flat, top, segments = face_and_edge(outline, IN_PLAN)
    (here, after), count = segments.T, len(flat)
    sides = [np.stack([here, after, after + count], axis=1), np.stack([here, after + count, here + count], axis=1)]
    return flat[:, :2], np.concatenate([top[:, ::-1], top + count, *sides])


@kept_with_owner(2)
def _shaded(mesh: TriMesh, colour: Colour) -> NDArray[np.uint8]:
    """The colour of each triangle (m, 3), darker where it is turned away from the light."""
    a, b, c = mesh.vertices[mesh.triangles.T]
    normal = cross(b - a, c - a)
    facing = normal @ LIGHT / np.maximum(np.linalg.norm(normal, axis=1), 1e-18)
    shares = 1.0 - SHADED * np.clip(0.5 - 0.5 * facing, 0.0, 1.0)
    shades: NDArray[np.uint8] = np.round(np.array(colour) * shares[:, None]).astype(np.uint8)
    return shades
