"""A booklet's board pages as whoever marks a board out reads them: their text alone, turned into outlines again."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

import numpy as np
import pypdf
import shapely
from scipy.interpolate import CubicSpline
from shapely.affinity import rotate

from sketcher.geometry.mesh import Floats

NUMBER = re.compile(r"^-?\d+(\.\d+)?$|^-?(\d+ )?\d+/\d+$")
POINT = re.compile(r"^(–|\+|[A-Za-z]{1,2})(?:, round (.+))?$")
TITLE = re.compile(r"^(.+?)(?: faces?)?: anticlockwise from")


@dataclass
class MarkedBoard:
    """What one board's text says. faces: the ring of each by its title; openings: rings by name; lines: by name, in order.

    battens: by face, each sprung from corner to corner through the points between them.
    """

    faces: dict[str, shapely.LinearRing] = field(default_factory=dict)
    battens: dict[str, list[Floats]] = field(default_factory=dict)
    openings: list[tuple[str, shapely.LinearRing]] = field(default_factory=list)
    to_edges: list[list[tuple[float, str]]] = field(default_factory=list)
    lines: list[tuple[str, Floats]] = field(default_factory=list)


@lru_cache(maxsize=8)
def page_texts(pdf: bytes) -> list[str]:
    """The text of each page."""
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def marked_boards(booklet: bytes, per_metre: float) -> dict[str, MarkedBoard]:
    """The boards of a booklet by name, from its text; per_metre: of the unit that its figures are in."""
    lines: list[str] = []
    for text in page_texts(booklet):
        # Head, foot and the page's number come first on each page.
        lines += [line.strip() for line in text.splitlines()[4:]]
    starts = [k for k, line in enumerate(lines) if re.match(r"Board \d+ of \d+: ", line)]
    timber = re.compile("Supports under wide lids$|Cleats$|Stringers and bearers$")
    beyond = [k for k, line in enumerate(lines) if k > max(starts, default=0) and timber.match(line)]
    ends = [*starts[1:], min(beyond, default=len(lines))]
    boards = dict(_plain_boards(lines, starts, per_metre))
    for start, end in zip(starts, ends, strict=True):
        own = lines[start:end]
        title = own[0].split(": ", 1)[1]
        boards[title] = _board(own[own.index("To mark out by hand") + 1 :], per_metre)
    return boards


def _plain_boards(lines: list[str], starts: list[int], per_metre: float) -> Iterator[tuple[str, MarkedBoard]]:
    """The boards of the one table, a row each: number, name, thickness, points, diagonals, the joint's height, place."""
    titles = [k for k, line in enumerate(lines) if line == "Straps and other plain boards"]
    if not titles:
        return
    head = ["no.", "board", "thick", "points: right, up", "check by tape", "joint, up", "where it goes"]
    cells = [line for line in lines[titles[0] : min(starts, default=len(lines))] if line not in head]
    k = 0
    while k + 2 < len(cells):
        if not (cells[k].isdigit() and ", strap " in cells[k + 1]):
            k += 1
            continue
        name, points, k = cells[k + 1], "", k + 3
        while not re.match(r"[A-Z]{2}\s", cells[k]):
            points, k = f"{points} {cells[k]}", k + 1
        while re.match(r"[A-Z]{2}\s", cells[k]):
            k += 1
        if "rectangle" in points:
            wide, high = (metres(side.strip(), per_metre) for side in points.removeprefix(" rectangle").split("×"))
            area = shapely.box(0.0, 0.0, wide, high)
        else:
            places = [re.sub(r"^\S+\s", "", each.strip()).split(",") for each in points.split(";")]
            area = shapely.Polygon([[metres(value.strip(), per_metre) for value in place] for place in places])
        height, (west, _, east, _) = metres(cells[k], per_metre), area.bounds
        joint = shapely.intersection(shapely.LineString([(west, height), (east, height)]), area)
        runs = [("joint", np.asarray(run.coords)) for run in shapely.get_parts(joint).tolist() if run.length]
        yield name, MarkedBoard(faces={"both": area.exterior}, battens={"both": []}, lines=runs)


def metres(text: str, per_metre: float) -> float:
    """A figure as it stands on a tape."""
    sign = -1 if text.startswith("-") else 1
    return sign * float(sum(Fraction(part) for part in text.lstrip("-").split())) / per_metre


def _board(lines: list[str], per_metre: float) -> MarkedBoard:
    board = MarkedBoard()
    k, inside = 0, False
    while k < len(lines):
        title = TITLE.match(lines[k])
        if title:
            k, points = _ring(lines, k + 1, per_metre)
            name = title[1].lower()
            ring = shapely.LinearRing(np.array(list(_with_rounds(points))))
            if inside:
                board.openings.append((name, ring))
            else:
                board.faces[name], board.battens[name] = ring, list(_battens(points))
        elif lines[k].startswith("Openings, sawn square"):
            k, inside = _openings(lines, k + 1, per_metre, board), True
        elif lines[k].startswith("Lines to draw"):
            k = _lines(lines, k + 1, per_metre, board)
        else:
            k += 1
    return board


Marked = tuple[str, Floats, float]
"""A printed point: its letter or a dash, its place, and the radius of its round."""


def _ring(lines: list[str], k: int, per_metre: float) -> tuple[int, list[Marked]]:
    points: list[Marked] = []
    while lines[k] != "corner":
        k += 1
    while k + 2 < len(lines) + 1:
        if lines[k : k + 3] == ["corner", "right", "up"]:
            k += 3
        elif (
            k + 2 < len(lines) and (point := POINT.match(lines[k])) and NUMBER.match(lines[k + 1]) and NUMBER.match(lines[k + 2])
        ):
            at = np.array([metres(lines[k + 1], per_metre), metres(lines[k + 2], per_metre)])
            points.append((point[1], at, metres(point[2], per_metre) if point[2] else 0.0))
            k += 3
        else:
            break
    return k, points


def _battens(points: list[Marked]) -> Iterator[Floats]:
    """Smooth curves through the points between two corners: natural cubic splines, as an even batten lies."""
    corners = [k for k, (letter, _, _) in enumerate(points) if letter != "–"]
    for one, two in zip(corners, [*corners[1:], corners[0] + len(points)], strict=True):
        run = np.array([points[k % len(points)][1] for k in range(one, two + 1)])
        if len(run) > 2 and not points[one][2] and not points[two % len(points)][2]:
            along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(run, axis=0).T))])
            yield CubicSpline(along, run, bc_type="natural")(np.linspace(0.0, along[-1], 500))


def _with_rounds(points: list[Marked]) -> Iterator[Floats]:
    """Straight lines from point to point, with an arc of its radius in each round corner."""
    for k, (_, at, radius) in enumerate(points):
        if not radius:
            yield at
            continue
        ways = [points[k - 1][1] - at, points[(k + 1) % len(points)][1] - at]
        one, two = (way / np.hypot(*way) for way in ways)
        if np.hypot(*(one + two)) < 1e-9:  # Rounded to a tape, it lies on a straight edge: nothing is to be rounded.
            yield at
            continue
        half = np.arccos(np.clip(one @ two, -1.0, 1.0)) / 2
        centre = at + (one + two) / np.hypot(*(one + two)) * radius / np.sin(half)
        start, end = (at + way * radius / np.tan(half) - centre for way in (one, two))
        turn = np.arctan2(start[0] * end[1] - start[1] * end[0], start @ end)
        first = np.arctan2(start[1], start[0])
        for angle in first + turn * np.linspace(0.0, 1.0, 17):
            yield centre + radius * np.array([np.cos(angle), np.sin(angle)])


def _openings(lines: list[str], k: int, per_metre: float, board: MarkedBoard) -> int:
    k = lines.index("to the edge", k) + 1 if "to the edge" in lines[k:] else k
    name: list[str] = []
    while k + 5 < len(lines) and not lines[k].startswith("Lines to draw") and not TITLE.match(lines[k]):
        shaped = NUMBER.match(lines[k]) and NUMBER.match(lines[k + 1]) and re.match(r"circle |.+ × ", lines[k + 2])
        if not shaped:
            name.append(lines[k])
            k += 1
            continue
        x, y = (metres(lines[k + by], per_metre) for by in (0, 1))
        sides = [metres(side, per_metre) for side in lines[k + 2].removeprefix("circle ").split(" × ")]
        radius, turned = metres(lines[k + 3], per_metre), float(lines[k + 4])
        wide, high = sides if len(sides) == 2 else sides * 2
        if len(sides) == 1:
            ring = shapely.Point(x, y).buffer(wide / 2, quad_segs=64)
        else:
            radius = min(radius, wide / 2 - 1e-6, high / 2 - 1e-6)
            inner = shapely.box(x - wide / 2 + radius, y - high / 2 + radius, x + wide / 2 - radius, y + high / 2 - radius)
            ring = rotate(inner.buffer(radius, quad_segs=64), turned, origin=(x, y))
        k += 5
        said = ""
        while k < len(lines) and re.fullmatch(r"[-\d/. ;]*(?:(?:left|right|below|above)[; ]*)*[-\d/. ;a-z]*", lines[k]):
            if said.count("left") + said.count("right") + said.count("below") + said.count("above") == 2:
                break
            said += " " + lines[k]
            k += 1
        runs = re.findall(r"([-\d/. ]+) (left|right|below|above)", said)
        board.to_edges.append([(metres(run.strip(), per_metre), way) for run, way in runs])
        board.openings.append((" ".join(name), ring.exterior))
        name = []
    return k


def _lines(lines: list[str], k: int, per_metre: float, board: MarkedBoard) -> int:
    """Names and courses: a course's cell may go on over several lines, each ending in an arrow or beginning with one."""
    text: list[str] = []
    while k < len(lines) and not re.match(r"Board \d+ of|Stringers and bearers$", lines[k]):
        text.append(lines[k])
        k += 1
    name: list[str] = []
    course = ""
    place = r"-?[\d/. ]+, -?[\d/. ]+"
    for line in text:
        if line in ("line", "through", "") or line.startswith("turned"):
            continue
        goes_on = course and (course.endswith(("→", ",")) or line.startswith("→"))
        if goes_on or re.match(rf"^{place}( →|$)", line):
            course = f"{course} {line}" if goes_on else line
            if re.fullmatch(rf"{place}( → {place})*", course.strip()) and course.count("→"):
                points = [[metres(value.strip(), per_metre) for value in spot.split(",")] for spot in course.split("→")]
                if goes_on and board.lines and not name:
                    board.lines[-1] = (board.lines[-1][0], np.array(points))
                else:
                    board.lines.append((" ".join(name), np.array(points)))
                name = []
        else:
            name.append(line)
            course = ""
    return k


def furthest_apart(one: shapely.LinearRing, two: shapely.LinearRing) -> float:
    """How far two rings lie from each other at most [m], looked at every millimetre of both."""
    worst = 0.0
    for ring, other in ((one, two), (two, one)):
        places = shapely.line_interpolate_point(ring, np.arange(0.0, ring.length, 0.001))
        shapely.prepare(other)
        worst = max(worst, float(shapely.distance(places, other).max()))
    return worst
