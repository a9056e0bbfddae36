"""How far the skin stands from what was measured of her, all along a board's edge, from gaps that were read at some places.

The skin's shift is a vector in the board's plane that changes smoothly along the edge, round knuckles too, and is much alike on
both sides of the boat. It is estimated by kriging (Gaussian process regression: Rasmussen and Williams 2006, from memory): a
Matern covariance 5/2 and a constant; how long, how great and how alike are each weighed by how well they explain the readings.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.solid.section import Frame

READING_ERROR = 0.002 / 3**0.5
"""[m] Standard error of a gap that is read within 2 mm either way, with a stick or feeler strips (common practice)."""

LENGTHS = (0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""[m] Along which the skin's shift stays alike: a hull that is bent, not dented."""
SIZES = (0.002, 0.004, 0.007, 0.010, 0.014)
"""[m] How far the skin may stand off, one standard deviation."""
ALIKE = (0.0, 0.6, 0.9, 0.97)
"""[1] How much one side's shift is the other's mirror image; a hull that was measured on one side is off alike on both."""

LIKELY_LENGTH, LENGTH_SPREAD = 0.7, 0.6
LIKELY_SIZE, SIZE_SPREAD = 0.006, 0.7
"""[m] and in their logarithms: what is expected before anything is read."""

_UNLIKELY = 1e-3
"""[1] Share of belief below which a length, size and likeness are passed over."""

OPPOSITE = 0.05
"""[m] What lies so near to a place's mirror image is opposite to it."""

APART = 0.02
"""[m] A gap read nearer to another tells nothing that is its own: the same stick is held against the same bump."""

SHARPEST = 0.25
"""[1] Cosine of half the turn of a corner, below which its doubt counts no more."""

_WORST = 6
"""Power in which doubts are added up: the greatest counts nearly alone."""


@dataclass(frozen=True, eq=False)
class EdgePlaces:
    """Places (k,) along the edges of one face of a board.

    out: (k, 2) unit vectors out of the board in its plane. piece: number of the connected piece of edge along one thing, -1 for
    none; along [m]: how far along it. facing_piece, facing_along: where its mirror image lies, piece -2 for nowhere; mirror:
    (2, 2) what mirroring the boat does to vectors in the plane.
    """

    out: Floats
    piece: Ints
    along: Floats
    facing_piece: Ints
    facing_along: Floats
    mirror: Floats


@dataclass(frozen=True, eq=False)
class Seen:
    """Readings of one face: the place (m,) each belongs to; toward: (m, 2) by how much a shift of the skin shows in it."""

    place: Ints
    toward: Floats


def edge_places(frame: Frame, points: Floats, out: Floats, kind: Ints) -> EdgePlaces:
    """Places (k, 2) that follow each other round a board's rim in its frame. kind: what each runs along, -1 for nothing."""
    count = len(points)
    steps = np.hypot(*(points - np.roll(points, 1, axis=0)).T)
    begins = (kind != np.roll(kind, 1)) | (kind < 0)
    start = int(np.argmax(begins)) if begins.any() else 0
    order = (start + np.arange(count)) % count
    along, piece = np.zeros(count), np.zeros(count, dtype=np.int64)
    piece[order] = np.cumsum(begins[order])
    along[order] = np.cumsum(steps[order])
    mirror, image = _mirrored(frame, points)
    piece = np.where(kind >= 0, piece, -1)
    facing_piece, facing_along = np.full(count, -2), np.zeros(count)
    for number in np.unique(piece[piece >= 0]).tolist():
        line = order[piece[order] == number]
        mine = np.flatnonzero((kind == kind[line[0]]) & np.isfinite(image[:, 0]))
        lines = shapely.LineString(points[np.append(line, line[-1])])
        spots = shapely.points(image[mine])
        near = shapely.distance(lines, spots) <= OPPOSITE
        facing_piece[mine[near]] = number
        facing_along[mine[near]] = along[line[0]] + shapely.line_locate_point(lines, spots)[near]
    return EdgePlaces(out, piece, along, facing_piece, facing_along, mirror)


def _mirrored(frame: Frame, points: Floats) -> tuple[Floats, Floats]:
    """What mirroring does in the board's plane, and the points' mirror images; far off where the plane has none."""
    across = np.array([frame.u[1], frame.v[1]])
    if np.abs(across).max() < 1.0 - 1e-6:
        return np.eye(2), np.full(points.shape, np.inf)
    return np.eye(2) - 2.0 * np.outer(across, across), points - 2.0 * np.outer(points @ across + frame.origin[1], across)


def skin_shift(places: EdgePlaces, seen: Seen, more: Floats) -> Floats:
    """How far out (k,) [m] of the board in its plane the skin stands at each place; 0 on pieces that run along nothing.

    more: (m,) [m] how much further off it was read than planned.
    """
    found = np.zeros(len(places.along))
    on = np.flatnonzero(places.piece >= 0)
    if not len(more) or not len(on):
        return found
    models = list(_models(places, seen, more))
    belief = np.array([likely for likely, *_ in models])
    belief = np.exp(belief - belief.max())
    belief /= belief.sum()
    out = Seen(on, places.out[on])
    for share, (_, length, alike, weights) in zip(belief.tolist(), models, strict=True):
        if share > _UNLIKELY:
            found[on] += share * (_covariance(places, out, seen, length, alike) @ weights)
    return found


def _models(places: EdgePlaces, seen: Seen, more: Floats) -> Iterator[tuple[float, float, float, Floats]]:
    """Each length and likeness, for every size: log belief, and the weights (m,) of the readings' covariances."""
    likenesses = ALIKE if (places.facing_piece[seen.place] >= 0).any() else ALIKE[:1]
    for length, alike in product(LENGTHS, likenesses):
        unit = _covariance(places, seen, seen, length, alike)
        for size in SIZES:
            factor = np.linalg.cholesky(size**2 * unit + READING_ERROR**2 * np.eye(len(more)))
            weights = np.linalg.solve(factor.T, np.linalg.solve(factor, more))
            expected = ((np.log(length / LIKELY_LENGTH)) / LENGTH_SPREAD) ** 2 + ((np.log(size / LIKELY_SIZE)) / SIZE_SPREAD) ** 2
            likely = -0.5 * float(more @ weights) - float(np.log(np.diag(factor)).sum()) - 0.5 * float(expected)
            yield likely, length, alike, size**2 * weights


def _covariance(places: EdgePlaces, one: Seen, other: Seen, length: float, alike: float) -> Floats:
    """Of what is seen (a, b), for a shift of size 1 whose constant is as great as what changes along the edge.

    The shift is one that knows no sides, and a share of its mirror image besides: so both sides are as much alike as is asked.
    """
    share = alike / (1.0 + (1.0 - alike**2) ** 0.5)
    of_one, of_other = ((places.piece[each.place], places.along[each.place]) for each in (one, other))
    facing_one, facing_other = ((places.facing_piece[each.place], places.facing_along[each.place]) for each in (one, other))
    here, there = (share * (facing[0] >= 0) for facing in (facing_one, facing_other))
    straight = _near(of_one, of_other, length) + np.outer(here, there) * _near(facing_one, facing_other, length)
    crossed = there * _near(of_one, facing_other, length) + here[:, None] * _near(facing_one, of_other, length)
    found: Floats = (one.toward @ other.toward.T) * straight + (one.toward @ places.mirror @ other.toward.T) * crossed
    return found / np.sqrt(np.outer(1.0 + here**2, 1.0 + there**2))


def _near(one: tuple[Ints, Floats], other: tuple[Ints, Floats], length: float) -> Floats:
    """Covariance (a, b) of places by their piece and distance along it; those that lie nowhere have none."""
    together = one[0][:, None] == other[0][None]
    apart = np.abs(one[1][:, None] - other[1][None]) * (5.0**0.5 / length)
    there = (one[0] >= 0)[:, None] & (other[0] >= 0)[None]
    covered: Floats = there * (1.0 + together * (1.0 + apart + apart**2 / 3.0) * np.exp(-apart))
    return covered


def most_telling(places: EdgePlaces, candidates: Seen, enough: float, most: int) -> Sequence[int]:
    """Which of the candidates, by number, to read so that the skin is known best everywhere, the most telling first.

    enough [m]: the standard error, at corners of their points, from which on nothing more is read; most: how many at most.
    """
    on = np.flatnonzero(places.piece >= 0)
    place, toward = np.concatenate([on, candidates.place]), np.concatenate([places.out[on], candidates.toward])
    both = Seen(place, toward)
    doubt = LIKELY_SIZE**2 * _covariance(places, both, both, LIKELY_LENGTH, ALIKE[1])
    corners = _at_corners(places)[on] ** 2
    picked: list[int] = []
    free = np.ones(len(candidates.place), dtype=bool)
    while len(picked) < most and free.any():
        left = np.diag(doubt)[: len(on)] * corners
        if left.max() <= enough**2:
            break
        read = np.diag(doubt)[len(on) :] + READING_ERROR**2
        then = np.maximum(left[:, None] - corners[:, None] * doubt[: len(on), len(on) :] ** 2 / read, 0.0)
        best = int(np.argmin(np.where(free, (then ** (_WORST / 2)).mean(axis=0), np.inf)))
        picked.append(best)
        at, along = candidates.place[best], places.along[candidates.place]
        free &= (places.piece[candidates.place] != places.piece[at]) | (np.abs(along - places.along[at]) > APART)
        shared = doubt[:, len(on) + best]
        doubt = doubt - np.outer(shared, shared) / (shared[len(on) + best] + READING_ERROR**2)
    return picked


def doubts(places: EdgePlaces, seen: Seen) -> Floats:
    """To what (k,) [m] the edge is known at each place once so much was read, one standard error; 0 where it runs along nothing.

    At a corner it is that of the corner, which goes further than its edges. This is what is left to any estimate by readings
    with such errors, of a skin that shifts as is expected before anything is read.
    """
    found = np.zeros(len(places.along))
    on = np.flatnonzero(places.piece >= 0)
    out = Seen(on, places.out[on])
    own, read, shared = (
        LIKELY_SIZE**2 * _covariance(places, *pair, LIKELY_LENGTH, ALIKE[1]) for pair in ((out, out), (seen, seen), (out, seen))
    )
    told = np.linalg.solve(read + READING_ERROR**2 * np.eye(len(read)), shared.T)
    found[on] = np.sqrt(np.maximum(np.diag(own) - np.einsum("ij,ji->i", shared, told), 0.0)) * _at_corners(places)[on]
    return found


def _at_corners(places: EdgePlaces) -> Floats:
    """How many times further (k,) a corner beside a place goes than its edges are moved."""
    turn = np.einsum("ij,ij->i", places.out, np.roll(places.out, 1, axis=0))
    at_start = 1.0 / np.maximum(np.sqrt((1.0 + np.clip(turn, -1.0, 1.0)) / 2.0), SHARPEST)
    return np.asarray(np.maximum(at_start, np.roll(at_start, -1)))
