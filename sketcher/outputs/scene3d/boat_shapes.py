"""An evaluation as shapes to draw and to point at."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.analysis.results import BerthFigures, Compartment, Layout, WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import crossed_at, met
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.outputs import palette
from sketcher.outputs.drawing.views import BESIDE
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.contents_surfaces import ContentsPainter
from sketcher.outputs.scene3d.cutaway.cut_faces import add_cut_faces
from sketcher.outputs.scene3d.cutaway.openings import holes, pierced_hull
from sketcher.outputs.scene3d.cutaway.standing_water import add_standing_water, add_water_inside
from sketcher.outputs.scene3d.loose_things import add_loose_things
from sketcher.outputs.scene3d.objects import WATERLINE, Appearance, ObjectRef
from sketcher.outputs.scene3d.pulled_apart import pulled_apart
from sketcher.outputs.scene3d.shapes import Colour, Shapes, Strokes, Surface, WaterMarks, creases, polyline
from sketcher.outputs.scene3d.space_shapes import SpacePainter
from sketcher.outputs.tinting import tints

INK, ACCENT, WATER, PENCIL = (shade(colour) for colour in (palette.INK, palette.ACCENT, palette.WATER, palette.PENCIL))
HULL, SECTION = shade(palette.FAINT), shade(palette.SECTION)
SHELL = shade(palette.TIMBER)

DRY = 0.35
"""Opacity of the dry spaces of a holed boat: what floods is seen through them."""
BEHIND = 0.05
"""[m] The shell is drawn so far behind the spaces: more than a coarse hull is off, however thin her skin."""
COARSE = 0.05
"""Resolution of a hull that is seen through; figures and lines are of the hull as she is reckoned."""
SOLID = 0.5
"""A hull less see-through than this is drawn as fine as she is."""
STARBOARD, PORT = np.array([1.0, 1.0, 1.0]), np.array([1.0, -1.0, 1.0])
WAY_LIFT = 0.018
"""[m] Outlines of openings run in the middle of their panel: so far before it they are seen on either face of most."""
RULES = 9
"""Water lines on the walls between the lowest place and the water."""
SECTIONS = 10
"""Sections of the hull shown as thin lines."""
WATER_MARGIN = 0.15
"""The sheet of water stands out round the boat by this much [m], to be seen and to be taken hold of."""


@dataclass(frozen=True, eq=False, kw_only=True)
class BoatShapes:
    """Shapes with the parts that their owners' numbers stand for, and the planes that cut them."""

    shapes: Shapes
    parts: tuple[ObjectRef, ...]
    planes: tuple[Plane, ...]

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
    look = beside_partitions(look, evaluation.layout)
    owners, shapes = _Owners(), Shapes(panels={shape.name: shape for shape in evaluation.layout.panels})
    water = evaluation.water if flood is None or flood.water is None else flood.water
    _add_spaces(shapes, owners, evaluation, look, selected, None if flood is None or flood.water is None else flood)
    _add_hull(shapes, evaluation, look, flood is not None and flood.water is not None)
    planes = cut_planes(look)
    for plane in planes:
        add_cut_faces(shapes, owners.number, evaluation.layout, plane, look, selected)
    for room in evaluation.berths:
        _add_berth(shapes, owners, room, look, selected)
    _add_flow_paths(shapes, owners, evaluation, selected)
    if water is not None:
        _add_water(shapes, owners, evaluation, water, selected)
        if flood is None or flood.water is None:
            faint = selected is not None and selected.kind == "compartment"
            add_water_inside(shapes, evaluation.layout.hull, water, planes[0] if planes else None, faint=faint)
    if flood is not None and flood.intact is not None:
        met = waterline_segments(evaluation.layout.hull.outside, flood.intact.plane)
        ends = np.arange(len(met)).reshape(-1, 2)
        shapes.strokes["waterline before"] = Strokes(points=met, segments=ends, colour=PENCIL, width=1.2, source=flood.intact)
    add_loose_things(shapes, owners.number, evaluation, look, selected)
    ContentsPainter(shapes, owners.number, look, selected, planes[0] if planes else None).add(evaluation)
    if look.apart:
        shapes = pulled_apart(shapes, evaluation, owners.parts, look.apart, next(iter(planes), None))
    return BoatShapes(shapes=shapes, parts=owners.parts, planes=planes)


def _add_spaces(
    shapes: Shapes,
    owners: _Owners,
    evaluation: Evaluation,
    look: Appearance,
    selected: ObjectRef | None,
    flood: FloodingCase | None,
) -> None:
    """The compartments, ruled below the water; of a holed boat, water in those that flood. flood: one that comes to rest."""
    panels = tuple(ObjectRef(shape.kind, shape.name) for shape in evaluation.layout.panels)
    cut = next(iter(cut_planes(look)), None)
    painter = SpacePainter(
        shapes=shapes, number=owners.number, panels=panels, look=look, selected=selected, cut=cut, holes=holes(evaluation.layout)
    )
    water = evaluation.water if flood is None else flood.water
    found = tints(evaluation, look.tinted_by)
    rules = None if water is None else _rules(evaluation.layout.hull, water.plane)
    for space in evaluation.layout.compartments:
        # Marks cost time in every picture, so there are none where there is no water to show.
        marks, opacity = None if rules is None or _lies_above(space, rules.plane) else rules, 1.0
        if flood is not None and flood.water is not None:
            if space.name in flood.floods:
                add_standing_water(shapes, space, flood.water, cut)
                marks = WaterMarks(flood.water.plane, 0.0)
            else:
                marks, opacity = None, DRY if look.cut.kind == "none" else 1.0
        painter.add(space, shade(found[space.name]), marks, opacity)


def _lies_above(space: Compartment, plane: Plane) -> bool:
    """Whether the box about a space is all above a plane."""
    low, high = space.mesh.bounds
    return float(np.minimum(plane.normal * low, plane.normal * high).sum()) >= plane.distance


@kept_with_owner(4)
def _rules(form: HullForm, plane: Plane) -> WaterMarks | None:
    """Water lines that part the depth below the water evenly; none where nothing is below it."""
    deepest = -float(plane.over(form.inside.vertices).min())
    return WaterMarks(plane, deepest / RULES) if deepest > 0.0 else None


def beside_partitions(look: Appearance, layout: Layout) -> Appearance:
    """A look cut on the centreline cut just beyond a partition that stands there: else it hides the space behind it."""
    if look.cut.kind not in ("port", "starboard") or look.cut.at != 0.0:
        return look
    at, away = 0.0, 1.0 if look.cut.kind == "port" else -1.0
    for shape in layout.panels:
        low, high = (float(corner[1]) for corner in shape.mesh.bounds)
        if shape.kind == "partition" and low <= at <= high:
            at = (high if away > 0.0 else low) + away * BESIDE
    return replace(look, cut=replace(look.cut, at=at))


def cut_planes(look: Appearance) -> tuple[Plane, ...]:
    """The plane that the look's cut stands for, its normal towards what is kept; pulled apart she is cut to a side only."""
    if look.apart and look.cut.kind not in ("port", "starboard"):
        return ()
    at = look.cut.at
    planes: dict[str, Plane] = {
        "forward": Plane.of((1.0, 0.0, 0.0), at),
        "after": Plane.of((-1.0, 0.0, 0.0), -at),
        "above": Plane.of((0.0, 0.0, -1.0), -at),
        "port": Plane.of((0.0, 1.0, 0.0), at),
        "starboard": Plane.of((0.0, -1.0, 0.0), -at),
    }
    plane = planes.get(look.cut.kind)
    return () if plane is None else (plane,)


def _add_flow_paths(shapes: Shapes, owners: _Owners, evaluation: Evaluation, selected: ObjectRef | None) -> None:
    """Outlines of openings and gaps, where water passes and where a tight cover closes it; the board round what is open."""
    for hole in (hole for through in holes(evaluation.layout).values() for hole in through):
        points, triangles = hole.rim
        shapes.surfaces[f"path/{hole.name}/{len(shapes.surfaces)}"] = Surface(
            points=points,
            triangles=triangles,
            colours=np.array([SHELL], dtype=np.uint8),
            owner_of=np.array([owners.number(ObjectRef("opening", hole.name))]),
            culling="none",
            source=hole,
        )
    for path in (*evaluation.layout.flow_paths, *evaluation.layout.closed):
        if path.kind not in ("opening", "gap") or len(path.outline) < 2:
            continue
        part = ObjectRef("opening", path.name)
        colour = ACCENT if selected == part or path.kind == "gap" else INK
        shapes.strokes[f"path/{path.name}/{'/'.join(path.between)}"] = Strokes(
            points=path.outline,
            segments=polyline(path.outline, closed=True),
            colour=colour,
            width=2.0,
            lift=WAY_LIFT,
            owner=owners.number(part) if path.kind == "opening" else -1,
            source=(path.outline.tobytes(), colour),
            cut=colour,
        )


def _add_hull(shapes: Shapes, evaluation: Evaluation, look: Appearance, holed: bool) -> None:
    """The near side of the hull, translucent, and her lines: sections thin, the deck's edge, keel and after end in ink."""
    form = evaluation.layout.hull
    open_here = holes(evaluation.layout)
    if look.see_through < 1.0:
        skin, through = _coarse(form), (*open_here.get("deck", ()), *open_here.get("hull", ()))
        points, triangles = skin.vertices, skin.triangles
        if look.see_through <= SOLID:
            points, triangles = pierced_hull(form, through)
        shapes.surfaces["hull"] = Surface(
            points=points,
            triangles=triangles,
            colours=np.array([HULL], dtype=np.uint8),
            owner_of=np.array([-1]),
            culling="back",
            opacity=1.0 - look.see_through,
            source=(skin, look.see_through, through),
        )
    # Seen through what is left between spaces, where else the paper would show: panels' edges and the shell's.
    if not holed:
        skin = _coarse(form)
        shapes.surfaces["behind"] = Surface(
            points=skin.vertices,
            triangles=skin.triangles,
            colours=np.array([SHELL], dtype=np.uint8),
            owner_of=np.array([-1]),
            lift=-BEHIND,
            source=skin,
        )
    for key, strokes in _hull_lines(form):
        shapes.strokes[key] = strokes
    if look.cut.kind != "none":
        for key, strokes in _taken_away(form):
            shapes.strokes[key] = strokes


def _spread(count: int) -> list[int]:
    """Which of so many sections are drawn."""
    return np.unique(np.linspace(0, count - 1, SECTIONS).round().astype(int)).tolist()  # type: ignore[no-any-return]


@kept_with_owner(1)
def _hull_lines(form: HullForm) -> tuple[tuple[str, Strokes], ...]:
    """Lines of the hull on both sides of her, by key."""
    lines: list[tuple[str, list[Floats], Colour, float]] = []
    grid, to_port = form.lines, form.to_port.lines
    if grid.ndim == 3 and len(grid):
        sections = [side * each[k] for side, each in ((STARBOARD, grid), (PORT, to_port)) for k in _spread(len(each))]
        lines.append(("sections", sections, SECTION, 0.7))
        lines.append(("keel and after end", [grid[:, 0], STARBOARD * grid[-1], PORT * to_port[-1]], INK, 1.4))
    lines += [("sheer/starboard", [form.sheer], INK, 1.6), ("sheer/port", [form.port_sheer], INK, 1.6)]
    made = []
    for key, runs, colour, width in lines:
        starts = np.cumsum([0, *(len(run) for run in runs[:-1])])
        segments = np.concatenate([polyline(run) + start for run, start in zip(runs, starts, strict=True)])
        made.append(
            (key, Strokes(points=np.concatenate(runs), segments=segments, colour=colour, width=width, source=(form, key)))
        )
    return tuple(made)


@kept_with_owner(1)
def _taken_away(form: HullForm) -> tuple[tuple[str, Strokes], ...]:
    """Lines of her body, drawn also of what is taken away: sheer, coachroof, cockpit, transom, some of her sections."""
    skin = form.outside
    edges = Strokes(points=skin.vertices, segments=creases(skin), colour=SECTION, width=1.0, whole=True, source=form)
    return ("edges", edges), *((key, replace(lines, whole=True)) for key, lines in _hull_lines(form) if key == "sections")


@kept_with_owner(1)
def _coarse(form: HullForm) -> TriMesh:
    """The hull's outside with a tenth of the triangles, some millimetres off: in each picture it saves a tenth of the time."""
    return form_hull(form.hull, COARSE).outside


def _add_berth(shapes: Shapes, owners: _Owners, room: BerthFigures, look: Appearance, selected: ObjectRef | None) -> None:
    """The outline of the cushion's top and the longest clear line on it."""
    part = ObjectRef("berth", room.name)
    if part in look.hidden or len(room.outline) < 3:
        return
    colour = ACCENT if selected == part else INK
    ring = np.column_stack([room.outline, np.full(len(room.outline), room.surface)])
    number = owners.number(part)
    shapes.strokes[f"berth/{room.name}"] = Strokes(
        points=ring,
        segments=polyline(ring, closed=True),
        colour=colour,
        width=2.0,
        owner=number,
        source=(ring.tobytes(), colour),
        cut=colour,
    )
    if room.line is not None:
        line = np.array([[*room.line[0], room.surface], [*room.line[1], room.surface]])
        shapes.strokes[f"berth line/{room.name}"] = Strokes(
            points=line,
            segments=polyline(line),
            colour=colour,
            width=1.0,
            owner=number,
            source=(line.tobytes(), colour),
            cut=colour,
        )


def _add_water(shapes: Shapes, owners: _Owners, evaluation: Evaluation, water: WaterPlane, selected: ObjectRef | None) -> None:
    """The sheet of water, thin, with an edge to take hold of, and where it meets the hull."""
    skin = evaluation.layout.hull.outside
    number = owners.number(WATERLINE)
    sheet = np.array([[x, y, water.height(x, y)] for x, y in _round_her(skin).tolist()])
    colour = ACCENT if selected == WATERLINE else WATER
    stated = (skin, water, colour)
    shapes.surfaces["water"] = Surface(
        points=sheet,
        triangles=np.array([[0, k, k + 1] for k in range(1, len(sheet) - 1)]),
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


@kept_with_owner(1)
def _round_her(skin: TriMesh) -> Floats:
    """An outline (n, 2) round the hull in plan, clear of her by the water's margin."""
    hull = shapely.MultiPoint(skin.vertices[:, :2]).convex_hull
    outline: Floats = shapely.get_coordinates(hull.buffer(WATER_MARGIN, quad_segs=4).simplify(WATER_MARGIN / 20).exterior)[:-1]
    return outline


@kept_with_owner(4)
def waterline_segments(mesh: TriMesh, plane: Plane) -> Floats:
    """Where the water meets the hull, worked out once for each waterline."""
    return plane_segments(mesh, plane)


def plane_segments(mesh: TriMesh, plane: Plane) -> Floats:
    """Where a plane meets a mesh, as loose pairs of points (2k, 3); enough to draw a line with."""
    height = plane.over(mesh.vertices)
    a, b, c = crossed_at(height, mesh.triangles).vertices(mesh.triangles)
    return np.stack([met(mesh.vertices, height, a, other) for other in (b, c)], axis=1).reshape(-1, 3)
