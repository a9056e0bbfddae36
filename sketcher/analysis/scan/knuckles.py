"""Corners that run along a scanned skin: found in each section, kept where the sections beside have them too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from sketcher.analysis.scan.faces import FacePoints, LinePlace, PlaneAcross, faces_meet, section_face
from sketcher.analysis.scan.sections import ScanSection, SkinFit, fitted
from sketcher.analysis.scan.smoothing import smoothed
from sketcher.geometry.mesh import Floats

LEAST_TURN = 14.0
"""[deg] What turns less within a hand's breadth is taken for a curve."""
_ARM, _CLEAR = 0.12, 0.012
"""[m] Girth on each side that tells its direction, and how near the corner it may come."""
_STILL = 10.0
"""[deg] A knuckle that turns less is lost in the curve of the skin."""
_STEP = 0.03
_APART = 0.10
"""[m] Girth that must lie between two corners, and between a corner and keel or sheer."""
_FIRST, _NEXT = 0.8, 0.35
"""[1] How far a corner may move for each metre aft: at first, and beside where the sections before say it goes."""
_LEAST_CHAIN = 3
"""Sections in a row that must have a corner."""
_FAIR = 1.4
"""[m] The shortest wave of a knuckle's line."""
_UNSURE = (0.035, 0.015, 0.0)
"""[m] How far off knuckles may lie at first, and as they are settled, time by time: points so near are left out."""
_REFINED_EVERY, _FACE, _USUAL = 0.1, 0.18, 0.002
"""[m] between places at which the faces beside a knuckle are fitted; over which girth; and how well they usually tell."""
_BEYOND = 0.25
"""[m] How far before and past the sections that show it a knuckle is looked for."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a section: its girth, its place (half-breadth, height), how much it turns [deg]."""

    along: float
    place: tuple[float, float]
    turn: float


def corners_of(cut: ScanSection, top: float) -> list[Corner]:
    """The corners of a section between its keel and its sheer, whose girth is `top`."""
    places = np.arange(_APART, top - _APART, _STEP)
    found = [(along, _corner(cut, along)) for along in places.tolist() if cut.turn_about(along, _ARM) > LEAST_TURN / 2]
    turns = [0.0 if corner is None else abs(corner.turn) for _, corner in found]
    chosen: list[Corner] = []
    for k in np.argsort(turns)[::-1]:
        corner = found[k][1]
        if corner is None or abs(corner.turn) < LEAST_TURN:
            break
        if all(abs(corner.along - other.along) >= _APART for other in chosen) and (better := _corner(cut, corner.along)):
            chosen.append(better)
    return sorted((corner for corner in chosen if abs(corner.turn) >= LEAST_TURN), key=lambda corner: corner.along)


@dataclass(frozen=True, eq=False)
class Knuckle:
    """A corner that runs along the skin: where it is (half-breadth, height) at rising places aft."""

    x: Floats
    places: Floats

    def line(self, x: Floats) -> Floats:
        """Half-breadths and heights (n, 2) at places aft; it goes on straight beyond its ends."""
        out = np.stack([np.interp(x, self.x, self.places[:, k]) for k in range(2)], axis=1)
        for end, inner, beyond in ((0, 1, x < self.x[0]), (-1, -2, x > self.x[-1])):
            slope = (self.places[end] - self.places[inner]) / (self.x[end] - self.x[inner])
            out[beyond] = self.places[end] + np.outer(x[beyond] - self.x[end], slope)
        return out


def running(corners: Sequence[Sequence[Corner]], x: Sequence[float]) -> list[Knuckle]:
    """What corners of the sections at x run on through at least three of them."""
    chains: list[list[tuple[int, Corner]]] = []
    for k, here in enumerate(corners):
        free = [chain for chain in chains if k - chain[-1][0] <= 2]
        for corner in here:
            gaps = [_gap(chain, corner, x[k], x) for chain in free]
            if gaps and min(gaps) <= 1.0:
                chain = free.pop(int(np.argmin(gaps)))
                chain.append((k, corner))
            else:
                chains.append([(k, corner)])
    return [_fair(chain, x) for chain in chains if len(chain) >= _LEAST_CHAIN]


def _fair(chain: list[tuple[int, Corner]], x: Sequence[float]) -> Knuckle:
    """A chain of corners as a fair line: single corners are told to a few millimetres, and worse the less they turn."""
    numbers = np.array([k for k, _ in chain])
    places, turns = np.zeros((2, numbers[-1] - numbers[0] + 1)), np.zeros(numbers[-1] - numbers[0] + 1)
    places[:, numbers - numbers[0]] = np.array([corner.place for _, corner in chain]).T
    turns[numbers - numbers[0]] = [abs(corner.turn) / 45.0 for _, corner in chain]
    step = (x[numbers[-1]] - x[numbers[0]]) / (numbers[-1] - numbers[0])
    weights = turns
    for limit in (0.08, 0.04, 0.02, 0.015):
        fair = smoothed(places, np.stack([weights, weights]), step, _FAIR)
        weights = turns * np.clip(1.0 - (np.hypot(*(places - fair)) / (2.0 * limit)) ** 2, 0.0, None) ** 2
    fair = smoothed(places, np.stack([weights, weights]), step, _FAIR)
    return Knuckle(np.array(x[numbers[0] : numbers[-1] + 1]), fair.T)


def settled_knuckles(
    found: Sequence[Knuckle], skin: FacePoints, cut: Callable[[float], ScanSection], keel: LinePlace, within: tuple[float, float]
) -> list[Knuckle]:
    """Knuckles where the faces beside them meet, each fitted as far as the next line; those that hardly turn are left out.

    within: two places aft between which they may lie.
    """
    knuckles = list(found)
    for unsure in _UNSURE:
        better = [settled_knuckle(each, skin, cut, partial(_beside, each, knuckles, keel), unsure, within) for each in knuckles]
        knuckles = [each for each in better if each is not None]
    return knuckles


def _beside(knuckle: Knuckle, knuckles: Sequence[Knuckle], keel: LinePlace, x: float) -> tuple[LinePlace, LinePlace | None]:
    """The lines below and above a knuckle at a place aft: the nearest others that reach there, else the keel and none."""
    at = np.array([x])
    others = [each for each in knuckles if each is not knuckle and each.x[0] <= x <= each.x[-1]]
    over = sorted((float(each.line(at)[0, 1] - knuckle.line(at)[0, 1]), number) for number, each in enumerate(others))
    below, above = [k for height, k in over if height < 0.0], [k for height, k in over if height >= 0.0]
    return (others[below[-1]].line if below else keel), (others[above[0]].line if above else None)


def settled_knuckle(
    knuckle: Knuckle,
    skin: FacePoints,
    cut: Callable[[float], ScanSection],
    beside: Callable[[float], tuple[LinePlace, LinePlace | None]],
    unsure: float,
    within: tuple[float, float],
) -> Knuckle | None:
    """The same knuckle where the faces on both sides of it meet; None where they hardly turn.

    beside: the lines below and above it at a place aft; unsure [m]: how far off it may lie as yet; within: two places aft.
    """
    x = np.arange(max(knuckle.x[0] - _BEYOND, within[0]), min(knuckle.x[-1] + _BEYOND, within[1]) + 1e-6, _REFINED_EVERY)
    guesses = knuckle.line(x)
    met = [_met(guess, at, knuckle, skin, cut(at), beside(at), unsure) for at, guess in zip(x.tolist(), guesses, strict=True)]
    known = np.array([each is not None for each in met])
    if known.sum() < _LEAST_CHAIN or abs(np.median([each.turn for each in met if each])) < LEAST_TURN / 2:
        return None
    raw = np.array([guess if each is None else each.place for each, guess in zip(met, guesses, strict=True)]).T
    told = np.array([[0.0, 0.0] if each is None else (_USUAL / each.errors) ** 2 for each in met]).T
    weights = told
    for limit in (0.08, 0.04, 0.02):
        fair = smoothed(raw, weights, _REFINED_EVERY, _FAIR)
        weights = told * np.clip(1.0 - (np.hypot(*(raw - fair)) / (2.0 * limit)) ** 2, 0.0, None) ** 2
    fair = smoothed(raw, weights, _REFINED_EVERY, _FAIR)
    # Along the skin its line tells best where a knuckle is, square to it the faces there do.
    along = np.array([[np.nan, np.nan] if each is None else each.way for each in met]).T
    on_skin = raw + along * ((fair - raw) * along).sum(axis=0)
    turns = np.array([np.nan if each is None else each.turn for each in met])
    turned = _evened(np.interp(x, x[known], turns[known]))
    there = np.flatnonzero(np.sign(turned[known].sum()) * turned > _STILL)
    if len(there) < _LEAST_CHAIN:
        return None
    part = slice(int(there[0]), int(there[-1]) + 1)
    return Knuckle(x[part], np.where(known, on_skin, fair).T[part])


def _evened(values: Floats) -> Floats:
    """Each value's median with those on both sides."""
    wide = np.pad(values, 2, mode="edge")
    return np.median(np.stack([wide[k : k + len(values)] for k in range(5)]), axis=0)


@dataclass(frozen=True, eq=False)
class _Meeting:
    """Where two faces meet: place (2,), its standard errors (2,), the way (2,) up the skin there and how much it turns [deg]."""

    place: Floats
    errors: Floats
    way: Floats
    turn: float


def _met(
    guess: Floats,
    x: float,
    knuckle: Knuckle,
    skin: FacePoints,
    cut: ScanSection,
    beside: tuple[LinePlace, LinePlace | None],
    unsure: float,
) -> _Meeting | None:
    """Where the faces beside a knuckle meet at a place aft, from a guess (2,); None where too few points tell."""
    along = cut.girth_of((float(guess[0]), float(guess[1])))
    ways = [cut.on_line(along + side * _CLEAR) - cut.on_line(along + side * (_CLEAR + _ARM)) for side in (-1.0, 1.0)]
    reach = _FACE + unsure
    below = section_face(skin, PlaneAcross(x), guess, ways[0], beside[0], knuckle.line, reach, unsure=unsure)
    above = section_face(skin, PlaneAcross(x), guess, -ways[1], knuckle.line, beside[1], reach, unsure=unsure)
    if below is None or above is None:
        return None
    s, t = faces_meet(below, above)
    if max(abs(s), abs(t)) > _FACE / 2:
        return None
    before, after = below.direction(s), above.direction(t)
    square = np.linalg.inv(np.array([[-before[1], before[0]], [-after[1], after[0]]]))
    spread = square @ np.diag([below.error(s) ** 2, above.error(t) ** 2]) @ square.T
    way = (before + after) / np.linalg.norm(before + after)
    return _Meeting(below.at(s), np.sqrt(np.diag(spread)), way, _turn(before, after))


def _gap(chain: list[tuple[int, Corner]], corner: Corner, at: float, x: Sequence[float]) -> float:
    """How far a corner lies from where a chain goes, as a share of what is allowed; infinite where it turns the other way."""
    last, before = chain[-1], chain[-2] if len(chain) > 1 else None
    if last[1].turn * corner.turn < 0.0:
        return float("inf")
    distance = at - x[last[0]]
    guess = np.array(last[1].place)
    if before is not None:
        guess = guess + (guess - before[1].place) * distance / (x[last[0]] - x[before[0]])
    allowed = 0.03 + (_FIRST if before is None else _NEXT) * distance
    return float(np.linalg.norm(guess - corner.place)) / allowed


def _corner(cut: ScanSection, along: float) -> Corner | None:
    """The corner at a girth: where the parabolas before and behind it meet, and by how much they turn there."""
    below = fitted(cut, along, along - _CLEAR - _ARM, along - _CLEAR)
    above = fitted(cut, along, along + _CLEAR, along + _CLEAR + _ARM)
    if below is None or above is None:
        return None
    turn = _turn(np.array(below.direction), np.array(above.direction))
    place = _meeting(below, above) if abs(turn) > LEAST_TURN / 2 else below.place
    u = np.array(below.direction) + np.array(above.direction)
    moved = float((np.array(place) - cut.on_line(along)) @ (u / np.linalg.norm(u)))
    if abs(moved) > 0.05:
        return Corner(along, place, 0.0)
    return Corner(along + moved, place, turn)


def _turn(before: Floats, after: Floats) -> float:
    """By how much [deg] a direction (2,) turns to the left into another."""
    return float(np.degrees(np.arctan2(before[0] * after[1] - before[1] * after[0], before @ after)))


def _meeting(below: SkinFit, above: SkinFit) -> tuple[float, float]:
    """Where the tangents of two fits meet."""
    matrix = np.stack([below.direction, -np.array(above.direction)], axis=1)
    t = np.linalg.solve(matrix, np.array(above.place) - below.place)
    return (below.place[0] + t[0] * below.direction[0], below.place[1] + t[0] * below.direction[1])
