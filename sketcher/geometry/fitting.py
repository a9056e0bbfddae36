"""The longest tapered figure, or two of one length, that lies in a flat outline with holes: anywhere, at any angle."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon

from sketcher.geometry.climb import Rows, Top, climb
from sketcher.geometry.figures import Edges, Lying, Taper, clear_of_each_other, clear_of_edges, edges_of, overlap_of_pairs
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import CLEAR, FIT_CELL

_ANGLES = 48
"""Directions looked at first: 7.5 degrees apart."""

_STARTS, _PAIR_STARTS, _PAIRED = 8, 32, 60
"""Places climbed from for one figure and for two, and the places of which pairs are made."""

_FIRST_ROUNDS, _KEPT = 5, 5
"""Rounds after which the pairs' climbs are compared, and how many of them go on to the top."""

_ALIKE = 0.1
"""Pairs whose places differ by less [m, rad] are climbing to the same top."""

_FOLLOWED, _PAIRS_FOLLOWED = 4, 2
"""Best places kept for following a change: with the best one alone a better one beside it would be overlooked."""

_STRIDE = np.array([0.10, 0.10, 0.15, 0.25])
"""First reach of a climb in x, y [m], angle [rad] and length [m]."""

_LONGEST = 100.0
"""[m] A length no figure is asked to exceed; it bounds the programme."""


Pair = tuple[Lying, Lying]


def fit_one(outline: Polygon, taper: Taper) -> Lying | None:
    """The longest figure of this taper in the outline, holes respected; None where none fits that is longer than wide."""
    return next(iter(places_for_one(outline, taper)), None)


def fit_two(outline: Polygon, taper: Taper) -> Pair | None:
    """Two figures of one taper and one length, as long as can be, side by side, head to foot or spread; None if they cannot."""
    return next(iter(places_for_two(outline, taper)), None)


def places_for_one(outline: Polygon, taper: Taper, near: Sequence[Lying] = ()) -> tuple[Lying, ...]:
    """The local best places for one figure, longest first.

    near: places that were best in an outline much like this one. With them only their neighbourhoods are climbed, a few
    milliseconds each, which is for following a change step by step; without them the whole outline is searched. What is
    followed always fits, but a place that has become the best elsewhere is only seen by a search.
    """
    if outline.is_empty or outline.area <= 0.0:
        return ()
    edges = edges_of(outline)
    starts = _poses(near) if near else spread(candidates(outline, taper), _STARTS)
    tops = (_climb_one(start, taper, edges) for start in starts)
    found = [_lying(top.place, taper) for top in tops if top.missing <= CLEAR and top.place[3] > taper.head]
    around = _around(outline)
    kept: list[Lying] = []
    for figure in sorted(found, key=lambda f: f.length, reverse=True):
        if len(kept) < _FOLLOWED and _holds(around, figure) and not any(_alike(figure, other) for other in kept):
            kept.append(figure)
    return tuple(kept)


def places_for_two(outline: Polygon, taper: Taper, near: Sequence[Pair] = ()) -> tuple[Pair, ...]:
    """The local best places for two figures of one length, longest first; near as in `places_for_one`."""
    if outline.is_empty or outline.area <= 0.0:
        return ()
    edges = edges_of(outline)
    if near:
        tops = [_climb_two(_poses(pair), taper, edges) for pair in near]
    else:
        tops = _best_climbs(_pairs(outline, taper), taper, edges)
    found, around = [], _around(outline)
    for top in tops:
        length = float(top.place[6])
        pair = (_lying(np.append(top.place[:3], length), taper), _lying(np.append(top.place[3:6], length), taper))
        if top.missing <= CLEAR and length > taper.head and all(_holds(around, figure) for figure in pair):
            found.append(pair)
    return tuple(sorted(found, key=lambda pair: pair[0].length, reverse=True)[:_PAIRS_FOLLOWED])


def _best_climbs(starts: Floats, taper: Taper, edges: Edges) -> list[Top]:
    """A few rounds from every start, then the most promising ones that differ to the end."""
    tops = [_climb_two(start, taper, edges, _FIRST_ROUNDS) for start in starts]
    tops.sort(key=lambda top: top.gain - 10.0 * top.missing, reverse=True)
    kept: list[Top] = []
    for top in tops:
        if len(kept) < _KEPT and all(_differ(top.place, other.place) for other in kept):
            kept.append(top)
    return [_climb_two(np.stack([top.place[[0, 1, 2, 6]], top.place[3:7]]), taper, edges) for top in kept]


def _alike(one: Lying, other: Lying) -> bool:
    """Whether two figures lie in the same place."""
    turn = abs((one.angle - other.angle + np.pi) % (2 * np.pi) - np.pi)
    return max(abs(one.x - other.x), abs(one.y - other.y), turn) < _ALIKE


def _differ(one: Floats, other: Floats) -> bool:
    """Whether two pairs of figures lie differently, whichever of a pair is named first."""
    swapped = other[[3, 4, 5, 0, 1, 2]]
    return all(bool(np.abs(one[:6] - arranged).max() > _ALIKE) for arranged in (other[:6], swapped))


def candidates(outline: Polygon, taper: Taper) -> Floats:
    """Poses (k, 4) from a sweep of places and angles, each with a length it might reach; longest first.

    The sweep is generous by half a cell, so that a place that fits between two cells is not missed; a climb settles it.
    """
    low, high = np.array(outline.bounds[:2]), np.array(outline.bounds[2:])
    cell = max(FIT_CELL, float(np.sqrt(outline.area / 400.0)))
    counts = np.maximum(np.ceil((high - low) / cell).astype(int), 1)
    steps = [low[i] + (np.arange(counts[i]) + 0.5) * (high[i] - low[i]) / counts[i] for i in (0, 1)]
    heads = np.stack(np.meshgrid(*steps, indexing="ij"), axis=-1).reshape(-1, 2)
    heads = heads[shapely.contains_xy(outline, heads)]
    if not len(heads):
        heads = shapely.get_coordinates(outline.representative_point())
    rim = shapely.get_coordinates(shapely.segmentize(outline.boundary, cell / 2))
    poses = []
    for angle in np.linspace(0.0, 2 * np.pi, _ANGLES, endpoint=False):
        along, across = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
        lengths = _reach(rim @ along - (heads @ along)[:, None], rim @ across - (heads @ across)[:, None], taper, cell)
        poses.append(np.column_stack([heads, np.full(len(heads), angle), lengths]))
    found = np.concatenate(poses)
    found = found[found[:, 3] < _LONGEST]
    return found[np.argsort(-found[:, 3], kind="stable")]


def _reach(u: Floats, v: Floats, taper: Taper, cell: float) -> Floats:
    """The longest figure (h,) that keeps clear of rim points at (u, v), each (h, r) from the head, if it were a cell slimmer."""
    head = max(taper.head / 2 - 0.7 * cell, taper.head / 6)
    foot = min(max(taper.foot / 2 - 0.7 * cell, taper.foot / 4), head * 0.999)
    share = np.clip((head - np.abs(v)) / (head - foot), 1e-9, 1.0)
    return np.where((u > 0.0) & (np.abs(v) < head), u / share, _LONGEST).min(axis=1)  # type: ignore[no-any-return]


def spread(poses: Floats, count: int) -> Floats:
    """The first `count` poses that differ from each other by a quarter of a metre amidships or 25 degrees."""
    middle = poses[:, :2] + poses[:, 3:4] / 2 * np.column_stack([np.cos(poses[:, 2]), np.sin(poses[:, 2])])
    left = np.ones(len(poses), dtype=bool)
    chosen: list[int] = []
    while len(chosen) < count and left.any():
        best = int(np.argmax(left))
        chosen.append(best)
        turn = np.abs((poses[:, 2] - poses[best, 2] + np.pi) % (2 * np.pi) - np.pi)
        apart = np.hypot(*(middle - middle[best]).T)
        left &= (turn > 0.43) | (apart > 0.25)
    return poses[chosen]


def _pairs(outline: Polygon, taper: Taper) -> Floats:
    """Starts (s, 2, 4) for two figures: the pairs of spread poses that overlap least and reach furthest."""
    poses = spread(candidates(outline, taper), _PAIRED)
    i, j = np.triu_indices(len(poses), k=1)
    shortest = np.minimum(poses[i, 3], poses[j, 3])
    first, second = poses[i].copy(), poses[j].copy()
    first[:, 3] = second[:, 3] = shortest
    best = np.argsort(4.0 * overlap_of_pairs(first, second, taper) - shortest, kind="stable")[:_PAIR_STARTS]
    return np.stack([first[best], second[best]], axis=1)


def _climb_one(start: Floats, taper: Taper, edges: Edges) -> Top:
    def rows_at(place: Floats) -> Rows:
        walls = clear_of_edges(place, taper, edges)
        return lambda poses: np.column_stack([walls(poses), poses[:, 3] - taper.head / 2])

    return climb(_bounded(start), _STRIDE, lambda poses: poses[:, 3], rows_at)


def _climb_two(start: Floats, taper: Taper, edges: Edges, rounds: int = 40) -> Top:
    """Two figures of one length: x, y and angle of each, then the length."""
    first, second = _bounded(start[0]), _bounded(start[1])

    def rows_at(place: Floats) -> Rows:
        one, other = place[[0, 1, 2, 6]], place[[3, 4, 5, 6]]
        one_walls, other_walls = clear_of_edges(one, taper, edges), clear_of_edges(other, taper, edges)
        between = clear_of_each_other(np.stack([one, other]), taper)

        def rows(places: Floats) -> Floats:
            one, other = places[:, [0, 1, 2, 6]], places[:, [3, 4, 5, 6]]
            return np.column_stack([one_walls(one), other_walls(other), between(one, other), places[:, 6] - taper.head / 2])

        return rows

    stride = np.concatenate([_STRIDE[:3], _STRIDE[:3], _STRIDE[3:]])
    begin = np.concatenate([first[:3], second[:3], [min(first[3], second[3])]])
    return climb(begin, stride, lambda places: places[:, 6], rows_at, rounds)


def _bounded(pose: Floats) -> Floats:
    return np.append(pose[:3], min(max(float(pose[3]), 0.1), _LONGEST))


def _lying(pose: Floats, taper: Taper) -> Lying:
    """A pose as a figure, the length short by what clearance may be missing, so that it never claims more than there is."""
    angle = float((pose[2] + np.pi) % (2 * np.pi) - np.pi)
    return Lying(float(pose[0]), float(pose[1]), angle, float(pose[3]) - CLEAR, taper)


def _poses(figures: Sequence[Lying]) -> Floats:
    return np.array([[f.x, f.y, f.angle, f.length] for f in figures])


def _around(outline: Polygon) -> Polygon:
    """The outline, larger by ten times the clearance that a climb leaves open."""
    grown: Polygon = outline.buffer(10 * CLEAR, join_style="mitre")
    shapely.prepare(grown)
    return grown


def _holds(around: Polygon, figure: Lying) -> bool:
    """Whether the figure lies in the outline: seen afresh, not by the clearances it was climbed with."""
    return bool(shapely.covers(around, figure.polygon))
