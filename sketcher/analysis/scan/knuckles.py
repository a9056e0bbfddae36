"""Corners that run along a scanned skin: found in each section, kept where the sections beside have them too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.scan.sections import ScanSection, SkinFit, fitted
from sketcher.analysis.scan.smoothing import smoothed
from sketcher.geometry.mesh import Floats

LEAST_TURN = 14.0
"""[deg] What turns less within a hand's breadth is taken for a curve."""
_ARM, _CLEAR = 0.12, 0.012
"""[m] Girth on each side that tells its direction, and how near the corner it may come."""
_STEP = 0.03
_APART = 0.10
"""[m] Girth that must lie between two corners, and between a corner and keel or sheer."""
_FIRST, _NEXT = 0.8, 0.35
"""[1] How far a corner may move for each metre aft: at first, and beside where the sections before say it goes."""
_LEAST_CHAIN = 3
"""Sections in a row that must have a corner."""
_FAIR = 1.4
"""[m] The shortest wave of a knuckle's line."""
_BELIEVED = 0.015
"""[m] A corner further off that line than this is thought worse of than the line."""
_BEYOND = 0.25
"""[m] How far past the last section that has it a knuckle is believed."""


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

    def holds(self, x: float) -> bool:
        """Whether a place aft lies between its ends."""
        return bool(self.x[0] <= x <= self.x[-1])

    def at(self, x: float) -> tuple[float, float] | None:
        """Where it is at a place aft, or would be a little beyond its ends; None further out."""
        if not self.x[0] - _BEYOND <= x <= self.x[-1] + _BEYOND:
            return None
        k = int(np.clip(np.searchsorted(self.x, x), 1, len(self.x) - 1))
        share = (x - self.x[k - 1]) / (self.x[k] - self.x[k - 1])
        place = self.places[k - 1] + share * (self.places[k] - self.places[k - 1])
        return float(place[0]), float(place[1])


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


def corner_near(cut: ScanSection, place: tuple[float, float], top: float) -> Corner:
    """The corner of a section near where a knuckle is said to run, or just there where the points show none."""
    along = cut.girth_of(place)
    tried = [_corner(cut, along + step) for step in (0.0, -_STEP, _STEP)]
    found = [corner for corner in tried if corner and corner.turn and abs(corner.along - along) < 0.05]
    best = max(found, key=lambda corner: abs(corner.turn), default=None)
    if best is None:
        return Corner(min(along, top), place, 0.0)
    off = np.subtract(best.place, place)
    if np.hypot(*off) > _BELIEVED:
        return Corner(min(along, top), place, best.turn)
    return Corner(best.along, (place[0] + off[0] / 2.0, place[1] + off[1] / 2.0), best.turn)


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
    turn = _turn(below, above)
    place = _meeting(below, above) if abs(turn) > LEAST_TURN / 2 else below.place
    u = np.array(below.direction) + np.array(above.direction)
    moved = float((np.array(place) - cut.on_line(along)) @ (u / np.linalg.norm(u)))
    if abs(moved) > 0.05:
        return Corner(along, place, 0.0)
    return Corner(along + moved, place, turn)


def _turn(below: SkinFit, above: SkinFit) -> float:
    (a, b), (c, d) = below.direction, above.direction
    return float(np.degrees(np.arctan2(a * d - b * c, a * c + b * d)))


def _meeting(below: SkinFit, above: SkinFit) -> tuple[float, float]:
    """Where the tangents of two fits meet."""
    matrix = np.stack([below.direction, -np.array(above.direction)], axis=1)
    t = np.linalg.solve(matrix, np.array(above.place) - below.place)
    return (below.place[0] + t[0] * below.direction[0], below.place[1] + t[0] * below.direction[1])
