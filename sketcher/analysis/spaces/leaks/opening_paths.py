"""Openings in panels, deck and hull: which spaces each joins, or that it misses what it is to go through."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from sketcher.analysis.findings import Finding, Length, Phrase, Place
from sketcher.analysis.hull.form import DECK, SKIN
from sketcher.analysis.hull.standing import own_axes
from sketcher.analysis.results import OUTSIDE, Compartment, FlowPath, Layout, PanelShape
from sketcher.analysis.spaces.face_regions import Meeting, PanelFaces
from sketcher.analysis.spaces.leaks.flow_paths import SpaceNames, Through, flat_paths, flow_path
from sketcher.analysis.spaces.leaks.house_openings import in_house
from sketcher.analysis.spaces.leaks.opening_shapes import carried_onto, centre_on, covered_part, opening_frame, outline
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import HOLE_AREA, ON_SKIN
from sketcher.geometry.vectors import cross
from sketcher.model.errors import nearest
from sketcher.model.scene import Opening, Scene

Found = tuple[list[FlowPath], list[Finding]]


def openings(
    scene: Scene,
    names: SpaceNames,
    spaces: Sequence[Compartment],
    shapes: Sequence[PanelShape],
    boards: Sequence[PanelFaces],
    met: Sequence[Meeting],
) -> tuple[list[FlowPath], list[FlowPath], list[Finding]]:
    """Flow paths through every opening that is not tight, those that a tight cover closes, and what is wrong with any."""
    paths: list[FlowPath] = []
    closed: list[FlowPath] = []
    findings: list[Finding] = []
    numbers = {shape.name: k for k, shape in enumerate(shapes)}
    for opening in scene.openings:
        if opening.joins is not None:
            more, wrong = _hose(spaces, opening)
        elif opening.through == "deck":
            more, wrong = in_deck(spaces, opening)
        elif opening.through == "hull":
            more, wrong = _in_hull(spaces, opening)
        elif opening.face is not None:
            more = in_house(own_axes(scene.hull), spaces, opening)
            wrong = [] if more else [_off_house(opening, opening.face)]
        elif opening.through in numbers:
            k = numbers[opening.through]
            mine = [board for board in boards if board.panel == k]
            more, wrong = _in_panel(names, opening, shapes[k], mine, [m for m in met if m.board.panel == k])
        else:
            more, wrong = [], [_in_nothing(opening)]
        (closed if opening.cover == "tight" else paths).extend(more)
        findings += wrong
    return paths, closed, findings


def _in_panel(
    names: SpaceNames, opening: Opening, shape: PanelShape, boards: Sequence[PanelFaces], met: Sequence[Meeting]
) -> Found:
    hole = outline(opening)
    placed = {board.piece: _placed(opening, shape, board.frame, hole) for board in boards}
    if not any(_meets(placed[board.piece], board) for board in boards):
        return [], [_beside(opening, shape)]
    regions = [Through(m.front, m.back, m.board.frame, shapely.intersection(placed[m.board.piece], m.region)) for m in met]
    return flat_paths(opening.name, "opening", shape.name, names, regions), []


def _meets(hole: shapely.Polygon, board: PanelFaces) -> bool:
    """Whether an opening lies on a board where a space does, on either side."""
    return any(shapely.intersection(hole, region).area > HOLE_AREA for region in (*board.front.values(), *board.back.values()))


def _placed(opening: Opening, shape: PanelShape, frame: Frame, hole: shapely.Polygon) -> shapely.Polygon:
    """The opening's outline in the frame in the middle of a panel's board."""
    middle = frame.plane
    axes = opening_frame(shape.kind, centre_on(shape.kind, opening.at, middle), middle)
    placed: shapely.Polygon = shapely.transform(hole, lambda flat: frame.flat(axes.space(flat)))
    return placed


def in_deck(spaces: Sequence[Compartment], opening: Opening) -> Found:
    """A hatch joins every space under it to the outside; it is looked at in plan, on the deck's inside face."""
    x, y = opening.at[:2]
    hole = shapely.transform(outline(opening), lambda flat: flat + np.array([x, y]))
    west, south, east, north = hole.bounds
    paths: list[FlowPath] = []
    for space in spaces:
        low, high = space.mesh.bounds
        if low[0] > east or high[0] < west or low[1] > north or high[1] < south:
            continue
        vertices = space.mesh.vertices
        deck = space.mesh.triangles[space.mesh.labels == DECK]
        corners = vertices[:, :2][deck]
        near = (corners.min(axis=1) <= [east, north]).all(axis=1) & (corners.max(axis=1) >= [west, south]).all(axis=1)
        over = covered_part(hole, corners[near])
        if over.area > HOLE_AREA:
            rim = np.concatenate([np.asarray(polygon.exterior.coords)[:-1] for polygon in polygons(over)])
            paths.append(
                flow_path(
                    opening.name, "opening", (space.name, OUTSIDE), "deck", over.area, carried_onto(vertices, deck[near], rim)
                )
            )
    return paths, [] if paths else [_off_deck(opening)]


def opening_rims(layout: Layout, opening: Opening) -> list[Floats]:
    """The outlines (k, 3) [m] of an opening in the deck or in a panel as it stands; none where it misses it, or is elsewhere."""
    if opening.through == "deck":
        return [path.outline for path in in_deck(layout.compartments, opening)[0]]
    shape = next((shape for shape in layout.panels if shape.name == opening.through), None)
    if shape is None:
        return []
    middle = shape.front.moved(-shape.panel.thickness / 2)
    frame = opening_frame(shape.kind, centre_on(shape.kind, opening.at, middle), middle)
    return [frame.space(np.asarray(outline(opening).exterior.coords)[:-1])]


def _in_hull(spaces: Sequence[Compartment], opening: Opening) -> Found:
    """A hole in the shell joins the space behind it to the outside; it lies in the plane of the skin where its centre is."""
    point = np.array(opening.at)
    skins = [space.mesh.triangles[space.mesh.labels == SKIN] for space in spaces]
    apart = [distances_to_mesh(point, space.mesh.vertices, skin) for space, skin in zip(spaces, skins, strict=True)]
    nearest = [float(distances.min()) if len(distances) else np.inf for distances in apart]
    k = int(np.argmin(nearest))
    if nearest[k] > ON_SKIN:
        return [], [_off_skin(opening, nearest[k])]
    a, b, c = spaces[k].mesh.vertices[skins[k][np.argmin(apart[k])]]
    out = cross(b - a, c - a)
    out /= np.linalg.norm(out)
    aft = np.array([1.0, 0.0, 0.0]) if abs(out[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    u = aft - (aft @ out) * out
    u /= np.linalg.norm(u)
    centre = point - ((point - a) @ out) * out
    hole = outline(opening)
    corners = centre + np.asarray(hole.exterior.coords)[:-1] @ np.array([u, cross(out, u)])
    return [flow_path(opening.name, "opening", (spaces[k].name, OUTSIDE), "hull", hole.area, corners)], []


def _hose(spaces: Sequence[Compartment], opening: Opening) -> Found:
    """A hose or conduit joins two spaces by name; without a place its lowest point is the lower end of the higher space."""
    first, second = opening.joins or ("", "")
    known = {space.name: space for space in spaces}
    missing = [name for name in (first, second) if name not in known and name != OUTSIDE]
    if missing or first == second:
        return [], [_no_such_space(opening, missing or [first], list(known))]
    if len(opening.at) == 3:
        point = np.array([opening.at])
    else:
        lowest = [_lowest(known[name]) for name in (first, second) if name != OUTSIDE]
        point = max(lowest, key=lambda p: float(p[2]))[None]
    return [flow_path(opening.name, "conduit", (first, second), None, outline(opening).area, point)], []


def _lowest(space: Compartment) -> Floats:
    """The lowest point (3,) of a space."""
    found: Floats = space.mesh.vertices[np.argmin(space.mesh.vertices[:, 2])]
    return found


def _beside(opening: Opening, shape: PanelShape) -> Finding:
    if not shape.reaches_in:
        return _misses(opening, Phrase("beside-lost-panel", {"panel": shape.name, "kind": shape.kind}), _place(opening))
    low, high = shape.trimmed.bounds
    first, second = {"bulkhead": (1, 2), "partition": (0, 2), "lid": (0, 1)}[shape.kind]
    runs = {
        "across": (Length(float(low[first])), Length(float(high[first]))),
        "up": (Length(float(low[second])), Length(float(high[second]))),
    }
    return _misses(opening, Phrase("beside-panel", {"panel": shape.name, "kind": shape.kind, **runs}), _place(opening))


def _off_deck(opening: Opening) -> Finding:
    return _misses(opening, Phrase("beside-deck"), _place(opening))


def _off_house(opening: Opening, face: str) -> Finding:
    return _misses(opening, Phrase("beside-house", {"house": opening.through, "face": face}), _place(opening))


def _off_skin(opening: Opening, apart: float) -> Finding:
    x, y, z = opening.at
    return _misses(opening, Phrase("off-the-shell", {"apart": Length(apart), "at": Place((x, y, z))}), apart, ON_SKIN)


def _place(opening: Opening) -> Phrase:
    return Phrase("stated-place", {"at": tuple(Length(value) for value in opening.at)})


def _misses(opening: Opening, where: Phrase, measured: float | Phrase, limit: float | None = None) -> Finding:
    return Finding(
        code="opening-misses",
        severity="warn",
        object=opening.name,
        values={"opening": opening.name, "where": where},
        measured=measured,
        limit=limit,
    )


def _in_nothing(opening: Opening) -> Finding:
    return Finding(
        code="opening-without-panel",
        severity="warn",
        object=opening.name,
        values={"opening": opening.name, "through": opening.through},
    )


def _no_such_space(opening: Opening, missing: Sequence[str], known: Sequence[str]) -> Finding:
    return Finding(
        code="hose-joins-nothing",
        severity="stop",
        object=opening.name,
        values={
            "hose": opening.name,
            "missing": missing[0],
            "meant": nearest(missing[0], known),
            "known": tuple(sorted(known)),
        },
    )
