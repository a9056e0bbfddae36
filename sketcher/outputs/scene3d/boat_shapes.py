"""An evaluation as shapes to draw and to point at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.analysis.results import BerthRoom, Compartment, PanelShape, WaterPlane
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.crossing import crossed_at, met
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.outputs import palette
from sketcher.outputs.scene3d.contents_surfaces import add_contents, add_fittings
from sketcher.outputs.scene3d.loose_things import add_loose_things, shade
from sketcher.outputs.scene3d.objects import WATERLINE, Appearance, ObjectRef
from sketcher.outputs.scene3d.shapes import FIRST_PANEL, Colour, CutPlane, Cutter, Shapes, Strokes, Surface, label_edges, polyline
from sketcher.outputs.scene3d.standing_water import standing_walls, standing_water
from sketcher.outputs.wording.known_spaces import known, relation

INK, ACCENT, WATER, PANEL = shade(palette.INK), shade(palette.ACCENT), shade(palette.WATER), shade(palette.TIMBER)
HULL = shade(palette.FAINT)
PENCIL = shade(palette.PENCIL)
FLOODED = shade(palette.FLOODED)
SURFACE = shade(palette.WATER_SURFACE)
Tint = Literal["below", "above", "crosses", "unknown", "flooded"]
TINTS: dict[Tint, Colour] = {**{shown: shade(colour) for shown, colour in palette.TINTS.items()}, "flooded": FLOODED}

SELECTED_SHARE = 0.55
"""How much of the accent colour a selected thing takes on."""
PANEL_SHARE = 0.62
"""How much of a panel's face is its own colour, the rest the tint of the space it bounds."""
VEILED = 0.35
"""Opacity of the dry spaces of a holed boat: what floods is seen through them."""
VEIL_RESOLUTION = 0.25
"""Of the hull as she is drawn; figures and lines are of the hull as she is reckoned."""
WATER_MARGIN = 0.2
"""The sheet of water stands out round the boat by this much [m], to be seen and to be taken hold of."""


@dataclass(frozen=True, eq=False, kw_only=True)
class BoatShapes:
    """Shapes with the parts that their owners' numbers stand for, and the planes that cut them."""

    shapes: Shapes
    parts: tuple[ObjectRef, ...]
    planes: tuple[CutPlane, ...]

    def part(self, owner: int) -> ObjectRef:
        return self.parts[owner]


class _Owners:
    """Numbers given to parts as they come."""

    def __init__(self) -> None:
        self._numbers: dict[ObjectRef, int] = {}

    @property
    def parts(self) -> tuple[ObjectRef, ...]:
        return tuple(self._numbers)

    def number(self, part: ObjectRef) -> int:
        return self._numbers.setdefault(part, len(self._numbers))


def boat_shapes(
    evaluation: Evaluation, look: Appearance, selected: ObjectRef | None, flood: FloodingCase | None = None
) -> BoatShapes:
    """Everything that is drawn of a boat. Arrays of a space that did not change are the same objects as before.

    flood: what happens with spaces holed: those that flood are tinted so, and the water is drawn where it then stands.
    """
    owners, shapes = _Owners(), Shapes()
    panels = tuple(ObjectRef(shape.kind, shape.name) for shape in evaluation.layout.panels)
    shapes.cutters.update({shape.name: _cutter(shape) for shape in evaluation.layout.panels})
    for space, wet in zip(evaluation.layout.compartments, evaluation.wet, strict=True):
        shown: Tint = relation(known(space, wet))
        if flood is not None and flood.water is not None and space.name in flood.floods:
            surface = standing_water(space, flood.water, SURFACE)
            if surface is not None:
                shapes.surfaces[f"standing/{space.name}"] = surface
                walls = standing_walls(space, flood.water, FLOODED)
                if walls is not None:
                    shapes.surfaces[f"wetted/{space.name}"] = walls
            elif flood.water.height(*space.centroid[:2]) > space.centroid[2]:
                shown = "flooded"
        dry = flood is not None and flood.water is not None and space.name not in flood.floods
        _add_space(shapes, owners, space, shown, panels, look, selected, VEILED if dry else 1.0)
    _add_hull(shapes, evaluation, look)
    for room in evaluation.berths:
        _add_berth(shapes, owners, room, look, selected)
    _add_ways(shapes, owners, evaluation, selected)
    water = evaluation.water if flood is None or flood.water is None else flood.water
    if water is not None:
        _add_water(shapes, owners, evaluation, water, selected)
    if flood is not None and flood.intact is not None:
        met = waterline_segments(evaluation.layout.hull.outside, flood.intact.plane)
        ends = np.arange(len(met)).reshape(-1, 2)
        shapes.strokes["waterline before"] = Strokes(points=met, segments=ends, colour=PENCIL, width=1.2, source=flood.intact)
    add_loose_things(shapes, owners.number, evaluation, look, selected)
    add_fittings(shapes, owners.number, evaluation.scene, look, selected)
    if evaluation.contents is not None:
        add_contents(shapes, owners.number, evaluation.contents, look, selected)
    return BoatShapes(shapes=shapes, parts=owners.parts, planes=cut_planes(look))


def _cutter(shape: PanelShape) -> Cutter:
    """A panel as what the walls of spaces are cut by."""
    if len(shape.pieces) > 1:
        return Cutter(mesh=shape.mesh, planes=None)
    return Cutter(mesh=shape.mesh, planes=HalfSpaces.within([plane for _, plane in shape.faces]))


def cut_planes(look: Appearance) -> tuple[CutPlane, ...]:
    """The plane that the look's cut stands for: a point on it and the normal towards what is kept."""
    at = look.cut.at
    planes: dict[str, CutPlane] = {
        "forward": ((at, 0.0, 0.0), (1.0, 0.0, 0.0)),
        "after": ((at, 0.0, 0.0), (-1.0, 0.0, 0.0)),
        "above": ((0.0, 0.0, at), (0.0, 0.0, -1.0)),
        "port": ((0.0, at, 0.0), (0.0, 1.0, 0.0)),
        "starboard": ((0.0, at, 0.0), (0.0, -1.0, 0.0)),
    }
    plane = planes.get(look.cut.kind)
    return () if plane is None else (plane,)


def mixed(colour: Colour, other: Colour, share: float) -> NDArray[np.uint8]:
    """A colour with a share of another, as an array (3,)."""
    blend = np.array(colour) * (1 - share) + np.array(other) * share
    return blend.round().astype(np.uint8)


def _add_space(
    shapes: Shapes,
    owners: _Owners,
    space: Compartment,
    shown: Tint,
    panels: tuple[ObjectRef, ...],
    look: Appearance,
    selected: ObjectRef | None,
    opacity: float = 1.0,
) -> None:
    """One compartment's walls, each triangle in the tint of the space or the colour of the panel, and its corners in ink."""
    part = ObjectRef("compartment", space.name)
    if part in look.hidden:
        return
    chosen = [number for number, panel in enumerate(panels) if panel == selected]
    paints = _paints(shown, len(panels), chosen[0] if chosen else -1, selected == part)
    hidden = bytes([0, *(panel in look.hidden for panel in panels)])
    triangles, kinds = _walls(space.mesh, hidden)
    shapes.surfaces[f"space/{space.name}"] = Surface(
        points=space.mesh.vertices,
        triangles=triangles,
        colours=np.frombuffer(paints, dtype=np.uint8).reshape(-1, 3),
        owner_of=np.array([owners.number(part), *(owners.number(panel) for panel in panels)]),
        kinds=kinds,
        opacity=opacity,
        source=(space.mesh, paints, hidden, opacity),
        cut=(paints, hidden, opacity),
    )
    edges = label_edges(space.mesh)
    if len(edges):
        shapes.strokes[f"corners/{space.name}"] = Strokes(
            points=space.mesh.vertices, segments=edges, colour=INK, width=1.0, source=space.mesh, cut=INK
        )


@remembered(128)
def _paints(shown: Tint, panels: int, chosen: int, space_chosen: bool) -> bytes:
    """The colours of a space's own walls and of each panel's faces in it, three bytes each."""
    tint = TINTS[shown]
    own = mixed(tint, ACCENT, SELECTED_SHARE) if space_chosen else np.array(tint, dtype=np.uint8)
    faces = np.tile(own if space_chosen else mixed(tint, PANEL, PANEL_SHARE), (panels, 1))
    if chosen >= 0:
        faces[chosen] = mixed(PANEL, ACCENT, SELECTED_SHARE)
    return own.tobytes() + faces.tobytes()


@kept_with_owner(4)
def _walls(mesh: TriMesh, hidden: bytes) -> tuple[Ints, Ints]:
    """A space's triangles without those of hidden panels, and 0 for skin and deck or 1 + i for the i-th panel."""
    kinds = np.where(mesh.labels >= FIRST_PANEL, mesh.labels - FIRST_PANEL + 1, 0)
    triangles = mesh.triangles
    if any(hidden):
        kept = ~np.frombuffer(hidden, dtype=bool)[kinds]
        triangles, kinds = triangles[kept], kinds[kept]
    return triangles, kinds


def _add_ways(shapes: Shapes, owners: _Owners, evaluation: Evaluation, selected: ObjectRef | None) -> None:
    """Outlines of openings and gaps, where water has a way and where a tight cover closes it."""
    for way in (*evaluation.layout.ways, *evaluation.layout.closed):
        if way.kind not in ("opening", "gap") or len(way.outline) < 2:
            continue
        part = ObjectRef("opening", way.name)
        colour = ACCENT if selected == part or way.kind == "gap" else INK
        shapes.strokes[f"way/{way.name}/{'/'.join(way.between)}"] = Strokes(
            points=way.outline,
            segments=polyline(way.outline, closed=True),
            colour=colour,
            width=2.0,
            owner=owners.number(part) if way.kind == "opening" else -1,
            source=(way.outline.tobytes(), colour),
        )


def _add_hull(shapes: Shapes, evaluation: Evaluation, look: Appearance) -> None:
    """The near side of the hull as a veil, and the deck's edge and keel as lines."""
    form = evaluation.layout.hull
    if look.see_through < 1.0:
        skin = _veil(form)
        shapes.surfaces["hull"] = Surface(
            points=skin.vertices,
            triangles=skin.triangles,
            colours=np.array([HULL], dtype=np.uint8),
            owner_of=np.array([-1]),
            culling="back",
            opacity=1.0 - look.see_through,
            source=(skin, look.see_through),
        )
    for side, sign in (("starboard", 1.0), ("port", -1.0)):
        sheer = form.sheer * np.array([1.0, sign, 1.0])
        shapes.strokes[f"sheer/{side}"] = Strokes(points=sheer, segments=polyline(sheer), colour=INK, width=1.6, source=form)


@kept_with_owner(1)
def _veil(form: HullForm) -> TriMesh:
    """The hull's outside as it is drawn: with a third of the triangles, up to 4 mm off in the demos, it takes half the time."""
    return form_hull(form.hull, VEIL_RESOLUTION).outside


def _add_berth(shapes: Shapes, owners: _Owners, room: BerthRoom, look: Appearance, selected: ObjectRef | None) -> None:
    """The outline of the cushion's top and the longest clear line on it."""
    part = ObjectRef("berth", room.name)
    if part in look.hidden or len(room.outline) < 3:
        return
    colour = ACCENT if selected == part else INK
    ring = np.column_stack([room.outline, np.full(len(room.outline), room.surface)])
    number = owners.number(part)
    shapes.strokes[f"berth/{room.name}"] = Strokes(
        points=ring, segments=polyline(ring, closed=True), colour=colour, width=2.0, owner=number, source=(ring.tobytes(), colour)
    )
    if room.line is not None:
        line = np.array([[*room.line[0], room.surface], [*room.line[1], room.surface]])
        shapes.strokes[f"berth line/{room.name}"] = Strokes(
            points=line, segments=polyline(line), colour=colour, width=1.0, owner=number, source=(line.tobytes(), colour)
        )


def _add_water(shapes: Shapes, owners: _Owners, evaluation: Evaluation, water: WaterPlane, selected: ObjectRef | None) -> None:
    """The sheet of water as a thin veil with an edge to take hold of, and where it meets the hull."""
    skin = evaluation.layout.hull.outside
    low, high = skin.bounds
    number = owners.number(WATERLINE)
    corners = [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])]
    out = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    flat = [(x + dx * WATER_MARGIN, y + dy * WATER_MARGIN) for (x, y), (dx, dy) in zip(corners, out, strict=True)]
    sheet = np.array([[x, y, water.height(x, y)] for x, y in flat])
    colour = ACCENT if selected == WATERLINE else WATER
    stated = (skin, water, colour)
    shapes.surfaces["water"] = Surface(
        points=sheet,
        triangles=np.array([[0, 1, 2], [0, 2, 3]]),
        colours=np.array([WATER], dtype=np.uint8),
        owner_of=np.array([-1]),
        culling="none",
        opacity=0.10,
        source=stated,
    )
    shapes.strokes["water's edge"] = Strokes(
        points=sheet, segments=polyline(sheet, closed=True), colour=colour, width=1.2, owner=number, source=stated
    )
    met = waterline_segments(skin, water.plane)
    if len(met):
        shapes.strokes["waterline"] = Strokes(
            points=met, segments=np.arange(len(met)).reshape(-1, 2), colour=colour, width=2.6, owner=number, source=stated
        )


@kept_with_owner(4)
def waterline_segments(mesh: TriMesh, plane: Plane) -> Floats:
    """Where the water meets the hull, worked out once for each waterline."""
    return plane_segments(mesh, plane)


def plane_segments(mesh: TriMesh, plane: Plane) -> Floats:
    """Where a plane meets a mesh, as loose pairs of points (2k, 3); enough to draw a line with."""
    height = plane.over(mesh.vertices)
    a, b, c = crossed_at(height, mesh.triangles).vertices(mesh.triangles)
    return np.stack([met(mesh.vertices, height, a, other) for other in (b, c)], axis=1).reshape(-1, 3)
