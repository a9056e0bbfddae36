"""One section of a scanned skin: a fine line through its points, from the keel to the sheer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.scan.skin import ANGLES, Polar, Skin
from sketcher.geometry.mesh import Flags, Floats
from sketcher.geometry.surface.interpolation import girths

GATE = 0.025
"""[m] How far off the skin's rows a point may lie, seen from the axis, to belong to it: five times a telephone's noise."""
HALF_WIDTH = 0.10
"""[m] Points so far before and behind a section are moved along the rows into it."""
_FEW = 8
"""Points that such a parabola needs to be better than the rows."""
_BRIDGED = 0.45
"""[m] As far fore and aft as the rows are believed across a place where nothing was seen."""
_EDGE, _ASTRAY = 0.30, 0.02
"""[m] Girth below the upper edge by which it is found, and the share of points there that are strays."""
_LEVEL = 0.6
"""[1] Rise over run below which a line that runs inboard is a deck."""


@dataclass(frozen=True, eq=False)
class ScanSection:
    """Points of a section's plane and of the rows' line there.

    line (m, 2): half-breadth and height of the rows from the keel up, girth (m,); known (m,): whether the skin was seen near.
    points (n, 2) and their places along the line (n,), rising. x, lean: the plane, so far aft at height 0 and for each metre up.
    """

    x: float
    lean: float
    line: Floats
    girth: Floats
    known: Flags
    points: Floats
    along: Floats

    def window(self, low: float, high: float) -> Floats:
        """Points whose places along the line lie between two girths."""
        return self.points[np.searchsorted(self.along, low) : np.searchsorted(self.along, high)]

    def girth_of(self, place: tuple[float, float]) -> float:
        """The girth at which the rows' line is nearest to a place."""
        fine = np.linspace(0.0, self.girth[-1], 4 * len(self.girth))
        off = [np.interp(fine, self.girth, self.line[:, k]) - place[k] for k in range(2)]
        return float(fine[np.argmin(np.hypot(*off))])

    def is_known(self, along: float) -> bool:
        """Whether the skin was seen near a girth."""
        return bool(self.known[int(np.argmin(np.abs(self.girth - along)))])

    def upper_edge(self, sheer: Callable[[float], float]) -> float:
        """The girth at which the line comes to the sheer's height there, or to the height where it ends."""
        fine = np.linspace(0.0, self.girth[-1], 40 * len(self.girth))
        z = np.interp(fine, self.girth, self.line[:, 1])
        over = np.flatnonzero(z >= sheer(self.x + self.lean * float(z[-1])))
        return float(fine[over[0]]) if len(over) else float(fine[-1])

    def turn_about(self, along: float, arm: float) -> float:
        """How much [deg] the rows' line turns between an arm before a girth and one after it."""
        a, b, c = (self.on_line(place) for place in (along - arm, along, along + arm))
        (u, v), (p, q) = b - a, c - b
        return abs(float(np.degrees(np.arctan2(u * q - v * p, u * p + v * q))))

    def on_line(self, along: float) -> Floats:
        """The place (2,) of the rows' line at a girth."""
        return np.array([np.interp(along, self.girth, self.line[:, k]) for k in range(2)])


@dataclass(frozen=True, slots=True)
class SkinFit:
    """Where a parabola through the points near passes: place, direction up the line, and its standard error [m] there."""

    place: tuple[float, float]
    direction: tuple[float, float]
    error: float


def cut_at(
    skin: Skin, polar: Polar, x: float, lean: float = 0.0, before: bool = False, half_width: float = HALF_WIDTH
) -> ScanSection:
    """The section at x, of a plane that goes so far aft for each metre up. polar: the skin's points alone.

    before: only points forward of the plane belong to the skin, as at a transom. half_width [m]: how far before and behind the
    plane points are taken from.
    """
    heights = _heights(skin, x, lean)
    places = x + lean * heights
    line = skin.flat(places, ANGLES, skin.distance(places, ANGLES))
    there = x + lean * (np.interp(polar.x, skin.x, skin.axis) + polar.distance * np.sin(polar.angle))
    near = (polar.x > there - half_width * (2 if before else 1)) & (polar.x < there + (-0.02 if before else half_width))
    mine = polar.some(near)
    target = there[near]
    moved = mine.distance - skin.distance(mine.x, mine.angle) + skin.distance(target, mine.angle)
    points = skin.flat(target, mine.angle, moved)
    known = _known(skin, places)
    top = _top_row(line, known)
    low = ANGLES[0] - (ANGLES[1] - ANGLES[0]) / 2
    keep = (mine.angle >= low) & (mine.angle <= ANGLES[top] + (ANGLES[1] - ANGLES[0]))
    return _along(x, lean, line[: top + 2], known[: top + 2], points[keep])


def fitted(cut: ScanSection, along: float, low: float, high: float) -> SkinFit | None:
    """A parabola through the points between two girths, at the place of a third; None where too few points tell."""
    points = cut.window(low, high)
    if len(points) < _FEW:
        return None
    start, end = cut.on_line(low), cut.on_line(high)
    u = (end - start) / np.linalg.norm(end - start)
    v = np.array([-u[1], u[0]])
    origin = cut.on_line(along)
    a, b = (points - origin) @ u, (points - origin) @ v
    scale = max(high - low, 1e-6)
    powers = np.vander(a / scale, 3, increasing=True)
    weights = np.ones(len(a))
    for _ in range(3):
        matrix = powers.T @ (powers * weights[:, None]) + 1e-9 * np.eye(3)
        shape = np.linalg.solve(matrix, powers.T @ (weights * b))
        off = b - powers @ shape
        spread = max(1.4826 * float(np.median(np.abs(off))), 1e-4)
        weights = np.clip(1.0 - (off / (4.0 * spread)) ** 2, 0.0, None) ** 2
    place = origin + shape[0] * v
    direction = u + shape[1] / scale * v
    direction = direction / np.linalg.norm(direction)
    error = spread * float(np.sqrt(np.linalg.inv(matrix)[0, 0]))
    return SkinFit((float(place[0]), float(place[1])), (float(direction[0]), float(direction[1])), error)


def top_edge(cut: ScanSection, noise: float) -> float:
    """The girth at which the points end."""
    if len(cut.along) < _FEW:
        return float(cut.girth[-1])
    last = float(cut.along[int(0.995 * (len(cut.along) - 1))])
    base = max(last - _EDGE, 0.0)
    return row_end(cut.along[np.searchsorted(cut.along, base) :], base, noise)


def row_end(places: Floats, base: float, noise: float) -> float:
    """Where an even row of places [m] from a base on ends: the mean of all ends that it may have with that noise [m].

    Not the likeliest end, which falls short by a place's distance to the next. A few strays are allowed for.
    """
    last = float(places[int(0.995 * (len(places) - 1))])
    ends = np.arange(max(last - 0.10, base + 0.02), last + 0.03, 0.0005)
    short = np.clip(1.702 * (places[None, :] - ends[:, None]) / max(noise, 1e-3), -40.0, 40.0)
    share = (1.0 - _ASTRAY) / (1.0 + np.exp(short)) / (ends - base)[:, None] + _ASTRAY / _EDGE
    likely = np.log(share).sum(axis=1)
    weights = np.exp(likely - likely.max())
    return float(ends @ weights / weights.sum())


def _heights(skin: Skin, x: float, lean: float) -> Floats:
    """Heights of the rows in a leaning plane."""
    heights = np.full(len(ANGLES), float(np.interp(x, skin.x, skin.axis)))
    for _ in range(4 if lean else 1):
        places = x + lean * heights
        heights = skin.flat(places, ANGLES, skin.distance(places, ANGLES))[:, 1]
    return heights


def _known(skin: Skin, places: Floats) -> Flags:
    """Whether the skin was seen in each row near these places, or on both sides of them."""
    columns = np.abs(skin.x[None, :] - places[:, None])
    seen = skin.seen >= 3
    near = (seen & (columns <= 1.5 * (skin.x[1] - skin.x[0]))).any(axis=1)
    ahead = (seen & (columns <= _BRIDGED) & (skin.x[None, :] <= places[:, None])).any(axis=1)
    behind = (seen & (columns <= _BRIDGED) & (skin.x[None, :] >= places[:, None])).any(axis=1)
    return np.asarray(near | (ahead & behind))


def _top_row(line: Floats, known: Flags) -> int:
    """The last row of the side: the highest that was seen, or where a deck begins."""
    last = int(np.flatnonzero(known)[-1]) if known.any() else len(line) - 1
    widest = int(np.argmax(line[: last + 1, 0]))
    for j in range(widest, last):
        run, rise = line[j + 1] - line[j]
        if run < 0.0 and abs(rise) < -_LEVEL * run and known[j + 1]:
            return j
    return last


def _along(x: float, lean: float, line: Floats, known: Flags, points: Floats) -> ScanSection:
    """The cut with its points put along the rows' line, which is carried on to the centreline."""
    foot = np.array([[0.0, line[0, 1] - line[0, 0] * (line[1, 1] - line[0, 1]) / max(line[1, 0] - line[0, 0], 1e-6)]])
    line = np.concatenate([foot, line])
    known = np.concatenate([known[:1], known])
    girth = girths(line)
    middle = (line[1:] + line[:-1]) / 2
    part = np.empty(len(points), dtype=np.int64)
    for at in range(0, len(points), 4096):
        some = points[at : at + 4096]
        part[at : at + 4096] = np.argmin(((some[:, None, :] - middle[None]) ** 2).sum(axis=2), axis=1)
    step = np.diff(line, axis=0)
    size = np.diff(girth)
    along = girth[part] + np.einsum("ij,ij->i", points - line[part], step[part]) / size[part]
    order = np.argsort(along, kind="stable")
    return ScanSection(x, lean, line, girth, known, points[order], along[order])
