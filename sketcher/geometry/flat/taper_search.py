"""The longest tapered figure, or two in a given proportion, that lies in a flat outline with holes: anywhere, at any angle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from sketcher.geometry.flat.taper_sweep import LONGEST, candidates, likely_places, spread_places
from sketcher.geometry.flat.tapers import (
    Lying,
    OutlineEdges,
    Taper,
    clear_of_each_other,
    clear_of_edges,
    outline_edges,
    overlap_of_pairs,
)
from sketcher.geometry.local_search import Optimum, Rows, local_search
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import CLEAR

_STARTS, _PAIR_STARTS, _PAIRED = 20, 32, 60
"""Places searched from for one figure and for two (twice as many for two unlike), and the places of which pairs are made."""

_FIRST_ROUNDS, _PAIR_FIRST_ROUNDS, _KEPT = 3, 5, 5
"""Rounds after which the searches for one figure and for two are compared, and how many of them go on to the top."""

_ALIKE = 0.1
"""Places that differ by less [m, rad] lead to the same optimum."""

_FOLLOWED, _PAIRS_FOLLOWED = 4, 2
"""Best places kept for following a change: with the best one alone a better one beside it would be overlooked."""

_STRIDE = np.array([0.10, 0.10, 0.15, 0.25])
"""First reach of a local search in x, y [m], angle [rad] and length [m]."""


Pair = tuple[Lying, Lying]

_ALONG = (0, 1, 2, 6), (3, 4, 5, 6)
"""Where the poses of a pair's first and second figure stand in a place: x, y, angle of each, then what their lengths hang on."""


def places_for_one(outline: Polygon, taper: Taper, near: Sequence[Lying] = ()) -> tuple[Lying, ...]:
    """The local best places for one figure, longest first.

    near: places that were best in an outline much like this one. With them only their neighbourhoods are searched, a few
    milliseconds each, which is for following a change step by step; without them the whole outline is searched, and the first
    place is meant to be within 5 mm of the longest there is. What is followed always fits, but a place that has become the best
    elsewhere is only seen by a search.
    """
    if outline.is_empty or outline.area <= 0.0:
        return ()
    edges = outline_edges(outline)
    if near:
        tops = [_search_one(pose, taper, edges) for pose in _poses(near)]
    else:
        tops = _best_searches_alone(likely_places(outline, taper, _STARTS), taper, edges)
    figures = [_lying(top.place, taper) for top in tops if top.missing <= CLEAR and top.place[3] > taper.head]
    around = _around(outline)
    kept: list[Lying] = []
    for figure in sorted(figures, key=lambda f: f.length, reverse=True):
        if len(kept) < _FOLLOWED and _holds(around, figure) and not any(_alike(figure, other) for other in kept):
            kept.append(figure)
    return tuple(kept)


def places_for_two(
    outline: Polygon, taper: Taper, near: Sequence[Pair] = (), shares: Sequence[float] = (1.0, 1.0)
) -> tuple[Pair, ...]:
    """The local best places for two figures, longest first; near as in `places_for_one`.

    shares: the lengths of the first and the second keep to this proportion; the greater is 1.
    """
    if outline.is_empty or outline.area <= 0.0:
        return ()
    edges, lengths = outline_edges(outline), _Lengths(np.array(shares, dtype=np.float64))
    if near:
        tops = [_search_two(lengths.begin(_poses(pair)), lengths, taper, edges) for pair in near]
    else:
        tops = _best_searches(_pairs(outline, taper, lengths), lengths, taper, edges)
    pairs, around = [], _around(outline)
    for top in tops:
        pair = _pair(top, lengths, taper)
        if top.missing <= CLEAR and lengths.at(top.place).min() > taper.head and all(_holds(around, figure) for figure in pair):
            pairs.append(pair)
    return tuple(sorted(pairs, key=_longer, reverse=True)[:_PAIRS_FOLLOWED])


def stretched(outline: Polygon, pair: Pair, most: Sequence[float]) -> Pair:
    """Two figures that lie clear, first the one of less `most` [m] and then the other made longer, up to that, while the other
    keeps its length."""
    edges, around, taper = outline_edges(outline), _around(outline), pair[0].taper
    for one in sorted((0, 1), key=lambda k: most[k]):
        now = np.array([figure.length for figure in pair])
        alone = np.eye(2)[one]
        lengths = _Lengths(alone, held=now * (1.0 - alone))
        begin = np.concatenate([_poses(pair)[0, :3], _poses(pair)[1, :3], [now[one]]])
        top = _search_two(begin, lengths, taper, edges)
        longer = _pair(top, lengths, taper)
        now[one] = min(longer[one].length, most[one])
        cut = replace(longer[0], length=float(now[0])), replace(longer[1], length=float(now[1]))
        if top.missing <= CLEAR and cut[one].length > pair[one].length and all(_holds(around, figure) for figure in cut):
            pair = cut
    return pair


@dataclass(frozen=True, eq=False)
class _Lengths:
    """The lengths of two as a function of one number: held + shares times that, each (2,)."""

    shares: Floats
    held: Floats = field(default_factory=lambda: np.zeros(2))

    def at(self, places: Floats) -> Floats:
        """Lengths (..., 2) at places (..., 7)."""
        found: Floats = self.held + places[..., 6:] * self.shares
        return found

    def poses(self, places: Floats) -> Floats:
        """Poses (..., 2, 4) of both at places (..., 7)."""
        found = np.stack([places[..., list(along)] for along in _ALONG], axis=-2)
        found[..., 3] = self.at(places)
        return found

    def begin(self, poses: Floats) -> Floats:
        """The place (7,) of poses (2, 4), both as short as the shorter asks; for lengths of which none is held."""
        return np.concatenate([poses[0, :3], poses[1, :3], [(poses[:, 3] / self.shares).min()]])


def _pair(top: Optimum, lengths: _Lengths, taper: Taper) -> Pair:
    first, second = lengths.poses(top.place)
    return _lying(first, taper), _lying(second, taper)


def _longer(pair: Pair) -> float:
    return max(figure.length for figure in pair)


def _best_searches_alone(starts: Floats, taper: Taper, edges: OutlineEdges) -> list[Optimum]:
    """A few rounds from every start, then the most promising ones that differ to the end."""
    tops = [_search_one(start, taper, edges, _FIRST_ROUNDS) for start in starts]
    kept = _most_promising(tops, lambda one, other: bool(np.abs(one[:3] - other[:3]).max() > _ALIKE))
    return [_search_one(top.place, taper, edges) for top in kept]


def _best_searches(starts: Sequence[Floats], lengths: _Lengths, taper: Taper, edges: OutlineEdges) -> list[Optimum]:
    """The same for two."""
    tops = [_search_two(start, lengths, taper, edges, _PAIR_FIRST_ROUNDS) for start in starts]
    alike = bool(lengths.shares[0] == lengths.shares[1])
    kept = _most_promising(tops, lambda one, other: _differ(one, other, alike))
    return [_search_two(top.place, lengths, taper, edges) for top in kept]


def _most_promising(tops: Sequence[Optimum], differ: Callable[[Floats, Floats], bool]) -> list[Optimum]:
    """The furthest of searches that are still under way and whose places differ."""
    kept: list[Optimum] = []
    for top in sorted(tops, key=lambda top: top.gain - 10.0 * top.missing, reverse=True):
        if len(kept) < _KEPT and all(differ(top.place, other.place) for other in kept):
            kept.append(top)
    return kept


def _alike(one: Lying, other: Lying) -> bool:
    """Whether two figures lie in the same place."""
    turn = abs((one.angle - other.angle + np.pi) % (2 * np.pi) - np.pi)
    return max(abs(one.x - other.x), abs(one.y - other.y), turn) < _ALIKE


def _differ(one: Floats, other: Floats, alike: bool) -> bool:
    """Whether two pairs of figures lie differently; where both are `alike`, whichever of a pair is named first."""
    arranged = [other[:6], other[[3, 4, 5, 0, 1, 2]]] if alike else [other[:6]]
    return all(bool(np.abs(one[:6] - poses).max() > _ALIKE) for poses in arranged)


def _pairs(outline: Polygon, taper: Taper, lengths: _Lengths) -> list[Floats]:
    """Starts (7,) for two figures: the pairs of spread poses that overlap least and reach furthest."""
    poses = spread_places(candidates(outline, taper), _PAIRED)
    i, j = np.triu_indices(len(poses), k=1)
    starts = _PAIR_STARTS
    if lengths.shares[0] != lengths.shares[1]:
        i, j, starts = np.concatenate([i, j]), np.concatenate([j, i]), 2 * starts
    pairs = np.stack([poses[i], poses[j]], axis=1)
    longest = (pairs[..., 3] / lengths.shares).min(axis=1)
    pairs[..., 3] = longest[:, None] * lengths.shares
    overlap = overlap_of_pairs(pairs[:, 0], pairs[:, 1], taper)
    best = np.argsort(4.0 * overlap - longest, kind="stable")[:starts]
    return [lengths.begin(pair) for pair in pairs[best]]


def _search_one(start: Floats, taper: Taper, edges: OutlineEdges, rounds: int = 40) -> Optimum:
    def rows_at(place: Floats) -> Rows:
        walls = clear_of_edges(place, taper, edges)
        return lambda poses: np.column_stack([walls(poses), poses[:, 3] - taper.head / 2])

    return local_search(_bounded(start), _STRIDE, lambda poses: poses[:, 3], rows_at, rounds)


def _search_two(begin: Floats, lengths: _Lengths, taper: Taper, edges: OutlineEdges, rounds: int = 40) -> Optimum:
    """Two figures from a place (7,): x, y and angle of each, then what their lengths hang on and is sought."""

    def rows_at(place: Floats) -> Rows:
        pair = lengths.poses(place)
        one_walls, other_walls = (clear_of_edges(pose, taper, edges) for pose in pair)
        between = clear_of_each_other(pair, taper)

        def rows(places: Floats) -> Floats:
            both = lengths.poses(places)
            one, other = both[:, 0], both[:, 1]
            least = lengths.at(places).min(axis=1) - taper.head / 2
            return np.column_stack([one_walls(one), other_walls(other), between(one, other), least])

        return rows

    stride = np.concatenate([_STRIDE[:3], _STRIDE[:3], _STRIDE[3:]])
    bounded = np.append(begin[:6], min(max(float(begin[6]), 0.1), LONGEST))
    return local_search(bounded, stride, lambda places: places[:, 6], rows_at, rounds)


def _bounded(pose: Floats) -> Floats:
    return np.append(pose[:3], min(max(float(pose[3]), 0.1), LONGEST))


def _lying(pose: Floats, taper: Taper) -> Lying:
    """A pose as a figure, the length short by what clearance may be missing, so that it never claims more than there is."""
    angle = float((pose[2] + np.pi) % (2 * np.pi) - np.pi)
    return Lying(float(pose[0]), float(pose[1]), angle, float(pose[3]) - CLEAR, taper)


def _poses(figures: Sequence[Lying]) -> Floats:
    return np.array([[f.x, f.y, f.angle, f.length] for f in figures])


def _around(outline: Polygon) -> Polygon:
    """The outline, larger by ten times the clearance that a local search leaves open."""
    grown: Polygon = outline.buffer(10 * CLEAR, join_style="mitre")
    shapely.prepare(grown)
    return grown


def _holds(around: Polygon, figure: Lying) -> bool:
    """Whether the figure lies in the outline: seen afresh, not by the clearances the search went by."""
    return bool(shapely.covers(around, figure.polygon))
