"""What a board is marked out and sawn by with a tape alone: points round its edge, openings, lines on it, saw settings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely

from sketcher.analysis.cut.boards.marking_out import EdgePoint, MarkedFace, MarkedOpening, marked_faces
from sketcher.analysis.cut.boards.saw_settings import SQUARE, SawStretch, edge_cautions, saw_stretches
from sketcher.analysis.cut.results import Mark, Pattern
from sketcher.outputs.paper.page_flow import Pages
from sketcher.outputs.wording.quantities import length, unit_called
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import words

_LINE_MISS = 0.0005
"""[m] Points of a line on the board that lie no further from straight are left out."""

MOST_POINTS = 16
"""A board marked out by no more is told in one line of a table."""

CURVE, PARTS = "–", "+"
"""Stand for a point of a curve, and for one where battens part, where a corner has its letter."""

_HALVES = {"mm": (1000.0, 0), "cm": (100.0, 1), "m": (1.0, 3)}


def marked(metres: float, units: str) -> str:
    """A length [m] as it is marked on wood: to half a millimetre, or a sixteenth of an inch.

    >>> marked(0.3125, "mm"), marked(0.3125, "cm"), marked(-0.0001, "mm"), marked(0.3125, "in")
    ('312.5', '31.25', '0', '12 5/16')
    """
    if units not in _HALVES:
        return length(metres, units)
    per_metre, decimals = _HALVES[units]
    half = round(metres * 2000.0)
    text = f"{half / 2000.0 * per_metre:.{decimals + half % 2}f}"
    return "0" if half == 0 else text


def saw_table(pages: Pages, pattern: Pattern, units: str, size: float) -> None:
    """The settings of the saw in order round the edge, and what no saw cuts and no fillet fills."""
    stretches = saw_stretches(pattern)
    if pattern.kind != "butt strap" and any(each.kind != "free" for each in stretches):
        pages.heading("Saw settings, in order round the edge", 4.5, 20.0)
        head = ["from", "to", "blade °", "face up", "gauge °", "along"]
        pages.columns(head, saw_rows(pattern, stretches, units), "<<><><", size)
    for caution in edge_cautions(pattern, stretches):
        pages.text(words(caution, units), bold=True)


def saw_rows(pattern: Pattern, stretches: Sequence[SawStretch], units: str) -> list[list[str]]:
    """From where to where, the blade's tilt, the face on which the line is, the angle in the wood, and what meets the edge."""
    return [
        [
            _place(each.start, units),
            _place(each.end, units),
            _blade(each),
            _face_up(pattern, each),
            _range(90.0 - angle for angle in each.angles),
            _against(each, units),
        ]
        for each in stretches
    ]


def _blade(stretch: SawStretch) -> str:
    """The blade's tilt; where the edge turns too fast for one, its least lean, from which it is planed."""
    if stretch.beyond_saw:
        return "square, then plane"
    one, other = (abs(angle) for angle in stretch.angles)
    return f"{min(one, other):.0f}, then plane" if stretch.turns else _range(iter((one, other)))


def _place(place: tuple[str, tuple[float, float]], units: str) -> str:
    letter, (right, up) = place
    return letter or _spot((right, up), units)


def _range(angles: Iterator[float]) -> str:
    return " to ".join(dict.fromkeys(f"{angle:.0f}" for angle in angles))


def _face_up(pattern: Pattern, stretch: SawStretch) -> str:
    if abs(stretch.steepest) < SQUARE:
        return "either"
    return pattern.drawn_face if stretch.steepest > 0.0 else pattern.other_face


def _against(stretch: SawStretch, units: str) -> str:
    if stretch.kind == "cutout":
        rounds = f", inner corners round {marked(stretch.radius, units)}" if stretch.radius else ""
        return f"{stretch.against}{rounds}"
    return {"joint": "joint", "free": "nothing"}.get(stretch.kind, stretch.against)


def told_in_a_line(pattern: Pattern) -> bool:
    """Whether few points on straight-edges mark a board out, sawn square, with no line but its joint's: it needs no paper."""
    if pattern.cutouts or any(abs(bevel.angle) >= SQUARE for bevel in pattern.bevels):
        return False
    faces = marked_faces(pattern) if all(mark.kind == "joint" for mark in pattern.marks) else ()
    ends = faces[0].points if len(faces) == 1 else ()
    return 0 < len(ends) <= MOST_POINTS and not any(point.radius for point in ends)


def plain_boards_table(pages: Pages, numbered: Sequence[tuple[int, Pattern]], units: str) -> None:
    """Boards that a line each tells: corners, diagonals, the joint's line, and where they go. numbered: with their numbers."""
    if not numbered:
        return
    pages.heading("Straps and other plain boards", keep=40.0)
    straps = any(pattern.kind == "butt strap" for _, pattern in numbered)
    pages.text(
        "All edges are straight from point to point and sawn square. Points: so far right and up from a board's lower left, in "
        f"{unit_called(units)}, anticlockwise from A as its drawn face is seen; a letter is a corner."
    )
    if straps:
        pages.text("A strap's grain runs up, across its joint. Its drawn face is glued: draw the joint on it so far up.")
    head = ["no.", "board", "thick", "points: right, up", "check by tape", "joint, up", "where it goes"]
    pages.table(head, [_plain_row(number, pattern, units) for number, pattern in numbered], "><><<><", low=True)


def _plain_row(number: int, pattern: Pattern, units: str) -> list[str]:
    (face,) = marked_faces(pattern)
    west, south, east, north = pattern.blank.bounds
    box = pattern.blank.area > (1 - 1e-6) * (east - west) * (north - south)
    points = [f"{_sign(point)} {_spot(point.at, units)}" for point in face.points]
    joints = dict.fromkeys(marked(float(height), units) for mark in pattern.marks for height in mark.line[:1, 1])
    return [
        str(number),
        pattern.name,
        length(pattern.thickness, units),
        f"rectangle {marked(east - west, units)} × {marked(north - south, units)}" if box else _unbroken(points),
        _unbroken([f"{each.name} {length(each.length, units)}" for each in pattern.diagonals]),
        ", ".join(joints),
        strap_place(pattern) or "; ".join(words(way, units) for way in (pattern.up, pattern.forward)),
    ]


def _spot(at: tuple[float, float], units: str) -> str:
    return f"{marked(at[0], units)}, {marked(at[1], units)}"


def _unbroken(each: Sequence[str]) -> str:
    """Things behind each other, none of which a line's end parts."""
    return "; ".join(text.replace(" ", "\u00a0") for text in each)


def strap_place(pattern: Pattern) -> str:
    """The face of its panel that a strap is glued to, and the parts that it joins."""
    if pattern.kind != "butt strap":
        return ""
    parts, face = pattern.forward.values["parts"], pattern.forward.values["face"]
    return f"{face} face: {listed([str(part).partition(' of ')[0] for part in parts])}" if isinstance(parts, tuple) else ""


def marking_tables(pages: Pages, pattern: Pattern, step: float, scene_units: str, units: str, size: float) -> None:
    """Both faces' corners and the points between them, openings, and lines to draw. step, scene_units: of the owner's tape."""
    faces = marked_faces(pattern, step, scene_units)
    pages.heading("To mark out by hand", 4.5, 25.0)
    pages.text(_zero(pattern, units))
    for face in faces:
        pages.kept(partial(_face, pages, pattern, face, units, size))
    pages.kept(partial(_openings, pages, faces, units, size))
    pages.kept(partial(_drawn_lines, pages, pattern, units, size))


def _face(pages: Pages, pattern: Pattern, face: MarkedFace, units: str, size: float) -> None:
    title = "Both faces" if face.name == "both" else f"{face.name[:1].upper()}{face.name[1:]} face"
    seen = "" if face.name in ("both", pattern.drawn_face) else "; seen through the board: turned over, right is left"
    rounds = "; the point of a round corner is where its edges would meet" if any(p.radius for p in face.points) else ""
    pages.text(f"{title}: anticlockwise from {face.points[0].letter}{seen}{rounds}", bold=True)
    pages.columns(["corner", "right", "up"], point_rows(face.points, units), "<>>", size)


def _drawn_lines(pages: Pages, pattern: Pattern, units: str, size: float) -> None:
    rows = [[words(mark.says, units), _course(mark, units)] for mark in _lines(pattern) if mark.says is not None]
    if rows:
        pages.text("Lines to draw, from point to point (right, up); where a panel lands, its own outline", bold=True)
        pages.columns(["line", "through"], rows, "<<", size)


def _zero(pattern: Pattern, units: str) -> str:
    centred = any(mark.kind == "centreline" and abs(mark.line[:, 0]).max() < 1e-6 for mark in pattern.marks)
    right = "Right of the centreline, - to the left," if centred else "Right of this board's point furthest left"
    return (
        f"{right} and up from its lowest point, in {unit_called(units)}. A letter: a corner; {CURVE}: a curve, for a batten; "
        f"{PARTS}: battens part; straight lines between are off by {_within(units)} at most."
    )


def _within(units: str) -> str:
    """How far an outline marked out from rounded figures may lie from the true one."""
    return {"in": "1/16 in", "ft": "1/16 in", "cm": "0.1 cm", "m": "0.001 m"}.get(units, "1 mm")


def _sign(point: EdgePoint) -> str:
    return point.letter or (PARTS if point.parts else CURVE)


def point_rows(points: Sequence[EdgePoint], units: str) -> list[list[str]]:
    """A row for each point: its letter, with the radius of its round, and its place."""
    return [
        [
            _sign(point) + (f", round {marked(point.radius, units)}" if point.radius else ""),
            marked(point.at[0], units),
            marked(point.at[1], units),
        ]
        for point in points
    ]


def _openings(pages: Pages, faces: Sequence[MarkedFace], units: str, size: float) -> None:
    """What is cut out inside a board, once where both faces have it alike, as they do unless it leans."""
    openings = faces[0].openings if faces else ()
    if not openings:
        return
    pages.text("Openings, sawn square: centre, size right × up, and from the centre to two edges", bold=True)
    shaped = [each for each in openings if each.shape != "other"]
    head = ["opening", "centre right", "up", "size", "round", "turned °", "to the edge"]
    pages.table(head, [opening_row(each, units) for each in shaped], "<>>>>><", size)
    for each in openings:
        if each.shape == "other":
            pages.text(f"{each.name}: anticlockwise from {each.points[0].letter}", bold=True)
            pages.columns(["corner", "right", "up"], point_rows(each.points, units), "<>>", size)


def opening_row(opening: MarkedOpening, units: str) -> list[str]:
    """Its name, centre, size, corners' radius, how far it is turned anticlockwise, and its distance from two edges."""
    wide, high = (marked(side, units) for side in opening.size)
    return [
        opening.name,
        *(marked(value, units) for value in opening.centre),
        f"circle {wide}" if opening.shape == "round" else f"{wide} × {high}",
        marked(opening.radius, units),
        f"{opening.turned:.1f}".replace("-0.0", "0.0"),
        "; ".join(f"{marked(run, units)} {way}" for way, run in opening.to_edges),
    ]


def _lines(pattern: Pattern) -> list[Mark]:
    """Lines on the board in the order in which they meet its edge, from A on."""
    if pattern.outline.is_empty:
        return list(pattern.marks)
    ring = pattern.outline.exterior if pattern.outline.exterior.is_ccw else shapely.reverse(pattern.outline.exterior)
    first = ring.project(shapely.Point(pattern.corners[0][1])) if pattern.corners else 0.0
    return sorted(pattern.marks, key=lambda mark: (ring.project(shapely.Point(mark.line[0])) - first) % ring.length)


def _course(mark: Mark, units: str) -> str:
    """A line's points, those left out that lie on the way between their neighbours."""
    line = shapely.simplify(shapely.LineString(mark.line), _LINE_MISS)
    points = np.asarray(line.coords).tolist()
    return " → ".join(_spot((right, up), units) for right, up in points)
