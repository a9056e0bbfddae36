"""From panels in place to boards to cut: both faces, openings and notches, bevels, marks, tables and mass."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.cut.bevels import lean_along, marked_bevels
from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.boards.marks import datum_marks, landing_marks
from sketcher.analysis.cut.boards.mass import board_mass, has_grain
from sketcher.analysis.cut.boards.notes import notes_of, unsawn_notes
from sketcher.analysis.cut.cutouts import notches_in, openings_in
from sketcher.analysis.cut.outlines import BoardFace, EdgeStretches, board_face
from sketcher.analysis.cut.results import Bevel, Cutout, Mark, Pattern, PatternKind
from sketcher.analysis.cut.timber.stringers import StringerRun, stringer_runs
from sketcher.analysis.findings import Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout, PanelPiece, PanelShape, WaterPlane
from sketcher.analysis.spaces.panel_solids import MIDDLE
from sketcher.geometry.flat.inset import tidy
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import INTO_NEIGHBOUR, PART_AREA
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Scene

_REFERENCE = {"bulkhead": (0.0, 0.0, 1.0), "partition": (0.0, 0.0, 1.0), "lid": (-1.0, 0.0, 0.0)}
"""What is up on the paper, by the kind of panel: up in the boat, or forward."""

_BESIDE = 0.1
"""[m] What lies beside a board is looked at so far out."""

_SMALLEST_SINE = 0.1
"""[1] Where a surface meets the board more flatly than this, the outline lies further from it than any gap explains."""


@dataclass(frozen=True, eq=False)
class Board:
    """A piece of a panel between its faces, the drawn one first, in the drawn face's axes."""

    shape: PanelShape
    name: str
    drawn: BoardFace
    other: BoardFace
    names: tuple[str, str]


def panel_patterns(
    layout: Layout, water: WaterPlane | None, names: Sequence[str] | None = None, form: HullForm | None = None
) -> tuple[Pattern, ...]:
    """The patterns of every planned panel, or of those named; a panel in several pieces has one for each.

    form: the hull by whose facets they are cut, the fine one where none is given.
    """
    scene, hull = layout.scene, layout.hull.fine if form is None else form
    planned = [shape.name for shape in layout.panels if shape.panel.built == "planned"]
    runs = stringer_runs(scene, hull) if scene.stringers else ()
    found: list[Pattern] = []
    for number, shape in enumerate(layout.panels):
        if shape.name in (planned if names is None else names):
            for board in boards_of(scene, hull, layout.panels, number):
                found += board_patterns(scene, layout.panels, board, water, cutouts_in(scene, board, runs))
    return tuple(found)


def boards_of(scene: Scene, form: HullForm, shapes: tuple[PanelShape, ...], number: int) -> Iterator[Board]:
    """The pieces of one panel, both faces of each, before anything is cut out of them."""
    shape = shapes[number]
    for piece in shape.convex:
        (front_name, front), back_name = piece.front, piece.back.name
        skin = _skin(shape.panel.thickness)
        near = face_frame(shape.kind, front.moved(-skin))
        far = np.array(near.origin) - front.normal * (shape.panel.thickness - 2 * skin)
        frames = [near, Frame(triple(far), near.u, near.v)]
        faces = [board_face(form, shapes, number, piece, frame, scene.cutting) for frame in frames]
        if shapely.area(shapely.union(faces[0].net, faces[1].net)) < PART_AREA:
            continue
        name = shape.name if len(shape.pieces) == 1 else f"{shape.name}, {_side(piece)}"
        if faces[1].net.area > faces[0].net.area * (1 + 1e-6):
            yield Board(shape, name, _turned(faces[1]), _turned(faces[0]), (back_name, front_name))
        else:
            yield Board(shape, name, faces[0], faces[1], (front_name, back_name))


def _skin(thickness: float) -> float:
    """How far inside a board its faces are looked at: past what is tied to it and goes a micrometre into it."""
    return min(2 * INTO_NEIGHBOUR, thickness / 4)


def _side(piece: PanelPiece) -> str:
    """Port or starboard, from the face where the halves of a bent panel meet."""
    facing = next(plane.normal[1] for name, plane in piece.edges if name == MIDDLE)
    return "port" if facing > 0 else "starboard"


def face_frame(kind: str, plane: Plane) -> Frame:
    """A face seen from outside the board: up or forward at the top of the paper, the centreline or the hull's zero at 0."""
    up, normal = np.array(_REFERENCE[kind]), plane.normal
    v = up - (up @ normal) * normal
    v /= np.linalg.norm(v)
    u = np.cross(v, normal)
    datum = np.zeros(3)
    lead = int(np.argmax(np.abs(normal)))
    datum[lead] = plane.coordinate(lead, datum)
    return Frame(triple(datum), triple(u), triple(v))


def _turned(face: BoardFace) -> BoardFace:
    """The same face seen from its other side: right and left of the paper change places."""
    u = np.array(face.frame.u)
    flip = np.array([-1.0, 1.0])
    of = face.stretches
    return BoardFace(
        Frame(face.frame.origin, triple(-u), face.frame.v),
        shapely.transform(face.exact, lambda flat: flat * flip),
        shapely.transform(face.net, lambda flat: flat * flip),
        EdgeStretches(of.starts * flip, of.ends * flip, of.start_normals, of.end_normals, of.owner, of.neighbours),
    )


def cutouts_in(scene: Scene, board: Board, runs: tuple[StringerRun, ...]) -> list[Cutout]:
    """Openings and notches of a board."""
    frame, thickness = board.drawn.frame, board.shape.panel.thickness
    return [
        *openings_in(scene, board.shape, frame, thickness),
        *notches_in(scene, board.shape, frame, thickness, runs),
    ]


def board_patterns(
    scene: Scene,
    shapes: tuple[PanelShape, ...],
    board: Board,
    water: WaterPlane | None,
    cutouts: list[Cutout],
    within: shapely.Geometry | None = None,
) -> list[Pattern]:
    """A pattern for each separate part of a board, less what is cut out of it. within: only what lies in this area of it."""
    holes = shapely.union_all([cutout.outline for cutout in cutouts])
    whole = [face.net if within is None else shapely.intersection(face.net, within) for face in (board.drawn, board.other)]
    both = [tidy(shapely.difference(area, holes)) for area in whole]
    patterns = []
    for part in polygons(shapely.union(both[0], both[1])):
        if part.area >= PART_AREA:
            sides = [largest(shapely.intersection(area, part.buffer(INTO_NEIGHBOUR))) for area in both]
            mine = [c for c in cutouts if c.outline.intersects(part)]
            sawn = shapely.union_all([c.outline for c in mine] if within is None else [part.buffer(_BESIDE).difference(within)])
            patterns.append(_pattern(scene, shapes, board, water, (sides[0], sides[1], part), mine, sawn))
    return _numbered(patterns)


def _pattern(
    scene: Scene,
    shapes: tuple[PanelShape, ...],
    board: Board,
    water: WaterPlane | None,
    areas: tuple[shapely.Polygon, shapely.Polygon, shapely.Polygon],
    cutouts: list[Cutout],
    sawn: shapely.Geometry,
) -> Pattern:
    """One board's pattern. sawn: the outline whose edges are cut square, because they meet nothing."""
    frame, move = _laid_on_paper(board.drawn.frame, board.shape, areas[2])
    outline, other, blank = (shapely.transform(area, lambda flat: flat + move) for area in areas)
    cutouts = [replace(cutout, outline=shapely.transform(cutout.outline, lambda flat: flat + move)) for cutout in cutouts]
    drawn, back = _moved(board.drawn, frame, move), _moved(board.other, frame, move)
    shape, thickness = board.shape, board.shape.panel.thickness
    square = shapely.transform(sawn, lambda flat: flat + move)
    reach = max(scene.cutting.gap, scene.cutting.panel_gap) / _SMALLEST_SINE + 1e-3
    lean = None if outline.is_empty else lean_along(outline.exterior, (drawn, back), thickness, square, reach)
    bevels = () if lean is None else marked_bevels(lean, drawn)
    face_of_other = Frame(triple(np.array(frame.origin) - frame.normal * thickness), frame.u, frame.v)
    landings = landing_marks(shape, shapes, frame, blank, face_of_other, board.names)
    named, checks = corners_and_diagonals(outline if not outline.is_empty else blank)
    area = max(outline.area, other.area)
    material, mass, assumed = board_mass(scene, shape.panel, (outline.area + other.area) / 2)
    up, forward = _ways_up(shape.kind, board.names[0], frame)
    return Pattern(
        name=board.name,
        panel=shape.name,
        kind=_KINDS[shape.kind],
        thickness=thickness,
        frame=frame,
        drawn_face=board.names[0],
        other_face=board.names[1],
        outline=outline,
        other_outline=other,
        blank=blank,
        up=up,
        forward=forward,
        area=area,
        mass=mass,
        mass_assumed=assumed,
        material=material,
        hand=_hand(frame, outline if not outline.is_empty else blank),
        marks=(*datum_marks(shape.kind, frame, blank, water, scene.units), *landings),
        bevels=bevels,
        cutouts=tuple(cutouts),
        corners=named,
        diagonals=checks,
        grain=_grain(blank) if has_grain(scene, thickness, material) else None,
        touches=touched(bevels, landings),
        notes=(*notes_of(scene.cutting, bevels, cutouts), *unsawn_notes(scene, shape.name)),
    )


_KINDS: dict[str, PatternKind] = {"bulkhead": "bulkhead", "partition": "partition", "lid": "lid"}


def _laid_on_paper(frame: Frame, shape: PanelShape, blank: shapely.Polygon) -> tuple[Frame, Floats]:
    """The frame moved so that the board's lowest edge is at 0, and its left one where no centreline is on it; and the move.

    It is then on the board's very face.
    """
    west, south, east, _ = blank.bounds
    keep = shape.kind != "partition" and west <= 0.0 <= east
    corner = np.array([0.0 if keep else west, south])
    origin = frame.space(corner[None])[0] + frame.normal * _skin(shape.panel.thickness)
    return Frame(triple(origin), frame.u, frame.v), -corner


def _moved(face: BoardFace, frame: Frame, move: Floats) -> BoardFace:
    of = face.stretches
    return BoardFace(
        frame,
        face.exact,
        shapely.transform(face.net, lambda flat: flat + move),
        EdgeStretches(of.starts + move, of.ends + move, of.start_normals, of.end_normals, of.owner, of.neighbours),
    )


def _ways_up(kind: str, face: str, frame: Frame) -> tuple[Phrase, Phrase]:
    """Which edge of the drawing is up and which is forward, in words."""
    if kind == "lid":
        return Phrase("lid-face-drawn", {"face": face}), Phrase("top-is-forward")
    if kind == "bulkhead":
        right = "starboard" if frame.u[1] > 0 else "port"
        looks = "forward" if face == "forward" else "aft"
    else:
        right = "aft" if frame.u[0] > 0 else "forward"
        looks = face
    return Phrase("top-is-up"), Phrase("drawn-face-looks", {"looks": looks, "right": right})


def _hand(frame: Frame, outline: shapely.Polygon) -> str:
    """Port or starboard where all of a board's drawn face lies there."""
    across = frame.space(np.asarray(outline.exterior.coords))[:, 1]
    return "starboard" if across.min() > -INTO_NEIGHBOUR else "port" if across.max() < INTO_NEIGHBOUR else ""


def _grain(blank: shapely.Polygon) -> tuple[float, float]:
    """Outer grain along the board's longer side."""
    west, south, east, north = blank.bounds
    return (1.0, 0.0) if east - west >= north - south else (0.0, 1.0)


def touched(bevels: Sequence[Bevel], marks: Sequence[Mark]) -> tuple[str, ...]:
    """The names of panels that a board meets at its edge, then of those that land on it."""
    met = dict.fromkeys(bevel.against for bevel in bevels if bevel.edge == "panel")
    landing = dict.fromkeys(mark.panel for mark in marks if mark.panel is not None)
    return tuple(met | landing)


def _numbered(found: list[Pattern]) -> list[Pattern]:
    """Names that tell the separate parts of one board apart."""
    if len(found) == 1:
        return found
    named = []
    for k, pattern in enumerate(sorted(found, key=lambda each: -each.area), 1):
        named.append(replace(pattern, name=f"{pattern.name}, piece {k}"))
    return named
