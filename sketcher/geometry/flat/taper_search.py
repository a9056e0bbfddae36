"""The longest tapered figure, or two in a given proportion, that lies in a flat outline with holes: anywhere, at any angle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from sketcher.geometry.flat.taper_rows import clear_of_each_other, clear_of_edges
from sketcher.geometry.flat.taper_sweep import LONGEST, candidates, likely_places, spread_places
from sketcher.geometry.flat.tapers import Lying, OutlineEdges, Taper, outline_edges, overlap_of_pairs
from sketcher.geometry.local_search import Optimum, Outlook, local_searches
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import CLEAR, SAME_AREA

_STARTS, _PAIR_STARTS, _PAIRED = 20, (30, 20), 60
"""Places searched from for one figure, pairs for two by each of the two costs of an overlap (twice as many for two unlike), and
the places of which pairs are made."""

_IN_FROM_THE_END, _BEGUN = 0.02, 0.95
"""[share of the box's length] How far from its end a figure down its middle begins, and how long."""

_OVERLAP_COSTS = 1.0, 4.0
"""[-] Length that a metre of overlap is taken to cost a pair. Two that overlap much may still be the best once they give way to
each other, so most pairs are chosen by the lower cost."""

_FIRST_ROUNDS, _PAIR_FIRST_ROUNDS, _KEPT, _PAIRS_KEPT = 3, 5, 5, 12
"""Rounds after which the searches for one figure and for two are compared, and how many of them go on to the top."""

_ROUGH = 1e-3
"""[m] Searches for two that are only compared go by an outline so much simpler: a curved one has many edges."""

_ALIKE = 0.1
"""Places that differ by less [m, rad] lead to the same optimum."""

_FOLLOWED, _PAIRS_FOLLOWED = 4, 2
"""Best places kept for following a change: with the best one alone a better one beside it would be overlooked."""

_STRIDE = np.array([0.10, 0.10, 0.15, 0.25])
"""First reach of a local search in x, y [m], angle [rad] and length [m]."""


Pair = tuple[Lying, Lying]

_LONGER_ALONE, _LONGER_TOGETHER = np.eye(4)[3], np.eye(7)[6]
"""What is sought: the length, the last number of a place for one and for two."""

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
        tops = _search_one(_poses(near), taper, edges)
    else:
        starts = np.vstack([likely_places(outline, taper, _STARTS), _down_the_middle(outline)])
        tops = _best_searches_alone(starts, taper, edges)
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
        tops = _search_two(np.stack([lengths.begin(_poses(pair)) for pair in near]), lengths, taper, edges)
    else:
        tops = _best_searches(_pairs(outline, taper, lengths), lengths, taper, edges, outline_edges(outline.simplify(_ROUGH)))
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
        top = _search_two(begin[None], lengths, taper, edges)[0]
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

    @property
    def alike(self) -> bool:
        return bool(self.shares[0] == self.shares[1])

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


def _down_the_middle(outline: Polygon) -> Floats:
    """Poses (2, 4) along the middle of the smallest box about an outline, head at either end.

    Where both sides of a vee hold a figure's foot alike it is longest on the middle line itself; searches that begin beside it
    zigzag across and stop short.
    """
    corners = shapely.get_coordinates(shapely.oriented_envelope(outline))[:4]
    if np.linalg.norm(corners[1] - corners[0]) > np.linalg.norm(corners[2] - corners[1]):
        corners = np.roll(corners, -1, axis=0)
    one, other = corners[:2].mean(axis=0), corners[2:].mean(axis=0)
    along = other - one
    angle, length = float(np.arctan2(along[1], along[0])), float(np.linalg.norm(along))
    inside = _IN_FROM_THE_END * along
    return np.array([[*(one + inside), angle, _BEGUN * length], [*(other - inside), angle + np.pi, _BEGUN * length]])


def _best_searches_alone(starts: Floats, taper: Taper, edges: OutlineEdges) -> list[Optimum]:
    """A few rounds from every start, then the most promising ones that differ to the end."""
    tops = _search_one(starts, taper, edges, _FIRST_ROUNDS)
    kept = _most_promising(tops, _KEPT, lambda one, other: bool(np.abs(one[:3] - other[:3]).max() > _ALIKE))
    return _search_one(_places(kept), taper, edges)


def _best_searches(starts: Floats, lengths: _Lengths, taper: Taper, edges: OutlineEdges, rough: OutlineEdges) -> list[Optimum]:
    """The same for two, the first rounds by rough edges."""
    tops = _search_two(starts, lengths, taper, rough, _PAIR_FIRST_ROUNDS)
    kept = _most_promising(tops, _PAIRS_KEPT, lambda one, other: _differ(one, other, lengths.alike))
    return _search_two(_places(kept), lengths, taper, edges)


def _places(tops: Sequence[Optimum]) -> Floats:
    return np.array([top.place for top in tops])


def _most_promising(tops: Sequence[Optimum], count: int, differ: Callable[[Floats, Floats], bool]) -> list[Optimum]:
    """The furthest of searches that are still under way and whose places differ."""
    kept: list[Optimum] = []
    for top in sorted(tops, key=lambda top: top.gain - 10.0 * top.missing, reverse=True):
        if len(kept) < count and all(differ(top.place, other.place) for other in kept):
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


def _pairs(outline: Polygon, taper: Taper, lengths: _Lengths) -> Floats:
    """Starts (k, 7) for two figures: the pairs of spread poses that reach furthest for how much they overlap."""
    poses = spread_places(candidates(outline, taper), _PAIRED)
    i, j = np.triu_indices(len(poses), k=1)
    if not lengths.alike:
        i, j = np.concatenate([i, j]), np.concatenate([j, i])
    pairs = np.stack([poses[i], poses[j]], axis=1)
    longest = (pairs[..., 3] / lengths.shares).min(axis=1)
    pairs[..., 3] = longest[:, None] * lengths.shares
    overlap = overlap_of_pairs(pairs[:, 0], pairs[:, 1], taper)
    ranked = [
        np.argsort(cost * overlap - longest, kind="stable")[: count * (1 if lengths.alike else 2)]
        for cost, count in zip(_OVERLAP_COSTS, _PAIR_STARTS, strict=True)
    ]
    best = np.array(list(dict.fromkeys(np.concatenate(ranked).tolist())), dtype=np.int64)
    places = np.array([lengths.begin(pair) for pair in pairs[best]]).reshape(-1, 7)
    return _without_images(places, outline, lengths)


def _without_images(places: Floats, outline: Polygon, lengths: _Lengths) -> Floats:
    """The places (k, 7) in an outline less those that are the image of one before them, where it is its own image athwart."""
    middle = (outline.bounds[1] + outline.bounds[3]) / 2
    images = places * [1, -1, -1, 1, -1, -1, 1] + np.array([0, 2, 0, 0, 2, 0, 0]) * middle
    images[:, [2, 5]] %= 2 * np.pi
    flipped = shapely.transform(outline, lambda points: points * [1, -1] + [0, 2 * middle])
    if shapely.symmetric_difference(outline, flipped).area > SAME_AREA * outline.area:
        return places
    kept: list[int] = []
    for k, image in enumerate(images):
        if all(_differ(image, places[other], lengths.alike) for other in kept):
            kept.append(k)
    return places[kept]


def _search_one(starts: Floats, taper: Taper, edges: OutlineEdges, rounds: int = 40) -> list[Optimum]:
    """From poses (k, 4)."""

    if not len(starts):
        return []

    def look(_: Ints, poses: Floats, reach: Floats) -> Outlook:
        whose, room, slopes = clear_of_edges(poses, reach, taper, edges)
        every = np.arange(len(poses))
        longer = np.tile(_LONGER_ALONE, (len(poses), 1))
        return Outlook(
            poses,
            poses[:, 3],
            longer,
            np.concatenate([whose, every]),
            np.concatenate([room, poses[:, 3] - taper.head / 2]),
            np.concatenate([slopes, longer]),
        )

    return local_searches(_bounded(starts), _STRIDE, look, rounds)


def _search_two(starts: Floats, lengths: _Lengths, taper: Taper, edges: OutlineEdges, rounds: int = 40) -> list[Optimum]:
    """Two figures from places (k, 7): x, y and angle of each, then what their lengths hang on and is sought."""

    if not len(starts):
        return []

    def look(_: Ints, places: Floats, reach: Floats) -> Outlook:
        poses, every = lengths.poses(places), np.arange(len(places))
        reaches = np.stack([reach[:, list(along)] for along in _ALONG], axis=1)
        figure, walls, wall_slopes = clear_of_edges(poses.reshape(-1, 4), reaches.reshape(-1, 4), taper, edges)
        pair, between, both_slopes = clear_of_each_other(poses, taper)
        apart = np.zeros((len(figure), 2, 4))
        apart[np.arange(len(figure)), figure % 2] = wall_slopes
        least = np.zeros((len(places), 2, 2, 4))
        least[:, [0, 1], [0, 1], 3] = 1.0
        slopes = np.concatenate([apart, both_slopes, least.reshape(-1, 2, 4)])
        return Outlook(
            places,
            places[:, 6],
            np.tile(_LONGER_TOGETHER, (len(places), 1)),
            np.concatenate([figure // 2, pair, np.repeat(every, 2)]),
            np.concatenate([walls, between, (lengths.at(places) - taper.head / 2).ravel()]),
            np.column_stack([slopes[:, 0, :3], slopes[:, 1, :3], slopes[:, :, 3] @ lengths.shares]),
        )

    stride = np.concatenate([_STRIDE[:3], _STRIDE[:3], _STRIDE[3:]])
    return local_searches(_bounded(starts), stride, look, rounds)


def _bounded(places: Floats) -> Floats:
    return np.column_stack([places[:, :-1], np.clip(places[:, -1], 0.1, LONGEST)])


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
