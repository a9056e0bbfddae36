"""Random berths: how far the search for the longest figure that lies in an outline stays behind a slower and finer one.

    python tests/benchmarks/random_berths.py --berths 1000 [--seed 7] [--minutes 5] [--two] [--only K]

Outlines are vees of any nose, flare and power, trapezes, L shapes and saloon berths, with posts, notches, a bulkhead's corner and
a table leg, half of them turned by any angle; figures are of any width. Berth K of a seed is always the same; --only K makes it
again and prints its outline. Where the rival finds less than a metre it is no berth, and is left out.

The rival for one tries every place 50 mm and 5 degrees apart with a figure 50 mm slimmer, so that places just as wide as the
figure are seen, by the exact reach from there. About the best 60 places, spread out, it halves the grid seven times with the
figure itself, and from the same 60 it searches locally, each to its end. The rival for two does that from the 120 most hopeful
pairs of 120 places by each cost of an overlap. Whatever it finds is checked to lie inside.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from random import Random
from time import perf_counter, process_time

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry import MultiPolygon, Point, Polygon, box

from sketcher.geometry.flat import taper_search
from sketcher.geometry.flat.taper_search import places_for_one, places_for_two
from sketcher.geometry.flat.taper_sweep import spread_places
from sketcher.geometry.flat.tapers import Lying, Taper

CELL, TURN = 0.05, math.radians(5.0)
"""[m, rad] The rival's grid."""
TRIED = 60
"""Places the rival refines and searches from."""
ENOUGH = 0.005
"""[m] What is short by less is as good as the best."""
Berth = tuple[str, Polygon, Taper]


# --- making berths


def random_berth(seed: int, k: int) -> Berth:
    """Berth k of a seed: its kind, its outline and the figure that is to lie in it."""
    rng, outline = Random(f"{seed}/{k}"), Polygon()
    while outline.area < 0.8:
        kind = rng.choice(list(SHAPES))
        outline = SHAPES[kind](rng)
        for _ in range(rng.choice((0, 1, 1, 2))):
            name = rng.choice(list(CUTS))
            kind, outline = f"{kind}, {name}", _largest(outline.difference(CUTS[name](rng, outline)))
    head = rng.uniform(0.40, 0.62)
    turned = rotate(outline, rng.choice((0.0, rng.uniform(0.0, 360.0))), origin=(0, 0))
    return kind, turned, Taper(head, rng.uniform(0.5, 1.0) * head)


def vee(rng: Random) -> Polygon:
    """A vee berth with its nose at 0 and a head that may be raked."""
    length, nose, flare, power = rng.uniform(1.7, 2.4), rng.uniform(0.0, 0.4), rng.uniform(0.25, 0.9), rng.uniform(0.5, 1.6)
    x = np.linspace(0.0, length, 25)
    y = nose + flare * (x / length) ** power
    rake = rng.choice((0.0, rng.uniform(-0.2, 0.2)))
    right, left = np.c_[x * (1.0 + rake), -y], np.c_[x * (1.0 - rake), y]
    return _largest(Polygon(np.r_[right, left[::-1]]).buffer(0))


def trapeze(rng: Random) -> Polygon:
    """Straight sides, any widths, faces at any small angle."""
    length, one, other = rng.uniform(1.7, 2.3), rng.uniform(0.15, 0.6), rng.uniform(0.3, 0.8)
    a, b, shift = rng.uniform(-0.2, 0.2), rng.uniform(-0.2, 0.2), rng.uniform(-0.3, 0.3)
    return Polygon([(a, -one), (length + b, shift - other), (length - b, shift + other), (-a, one)])


def ell(rng: Random) -> Polygon:
    """Two settees that meet at a corner."""
    wide, deep = rng.uniform(0.5, 0.9), rng.uniform(0.5, 0.9)
    first, second = box(0, 0, rng.uniform(1.4, 2.2), wide), box(0, 0, deep, rng.uniform(1.2, 2.2))
    return _largest(first.union(second))


def saloon(rng: Random) -> Polygon:
    """A double made of settees, with the leg of the table in it."""
    length, width = rng.uniform(1.7, 2.2), rng.uniform(0.8, 1.6)
    leg = Point(rng.uniform(0.3, length - 0.3), rng.uniform(0.2, width - 0.2)).buffer(rng.uniform(0.03, 0.08), quad_segs=4)
    return _largest(box(0, 0, length, width).difference(leg))


def _at(rng: Random, outline: Polygon) -> tuple[float, float]:
    x0, y0, x1, y1 = outline.bounds
    return rng.uniform(x0, x1), rng.uniform(y0, y1)


def post(rng: Random, outline: Polygon) -> Polygon:
    x, y = _at(rng, outline)
    return rotate(box(x, y, x + rng.uniform(0.04, 0.15), y + rng.uniform(0.04, 0.15)), rng.choice((0, 0, 45)))


def notch(rng: Random, outline: Polygon) -> Polygon:
    """A bite out of the rim."""
    at = outline.exterior.interpolate(rng.random(), normalized=True)
    x, y = rng.uniform(0.05, 0.2), rng.uniform(0.05, 0.3)
    return box(at.x - x, at.y - y, at.x + x, at.y + y)


def corner(rng: Random, outline: Polygon) -> Polygon:
    """A bulkhead's corner that comes in from one side."""
    x, y = _at(rng, outline)
    far = 5.0
    return box(x, y, x + far, y + far) if rng.random() < 0.5 else box(x - far, y, x, y + far)


SHAPES: dict[str, Callable[[Random], Polygon]] = {"vee": vee, "trapeze": trapeze, "ell": ell, "saloon": saloon}
CUTS: dict[str, Callable[[Random, Polygon], Polygon]] = {"post": post, "notch": notch, "corner": corner}


def _largest(found: Polygon | MultiPolygon) -> Polygon:
    return max(getattr(found, "geoms", [found]), key=lambda part: part.area)


# --- the rival


def exact_reach(poses: np.ndarray, start: np.ndarray, end: np.ndarray, taper: Taper) -> np.ndarray:
    """The longest figure (k,) with its head at poses (k, 3) that no edge (e, 2) to (e, 2) runs into.

    An edge point at (u, v) from the head, u > 0 and |v| less than the head's half-width h, stops a figure at u where |v| is less
    than the foot's half-width f, and at u (h - f) / (h - |v|) beyond. Both are monotonous along an edge, so its ends and where it
    crosses v = f and v = -f are all that counts; where it crosses the head itself, u = 0, there is no figure.
    """
    h, f = taper.head / 2, taper.foot / 2
    c, s = np.cos(poses[:, 2:3]), np.sin(poses[:, 2:3])

    def seen(points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        dx, dy = points[:, 0] - poses[:, :1], points[:, 1] - poses[:, 1:2]
        return dx * c + dy * s, dy * c - dx * s

    (u0, v0), (u1, v1) = seen(start), seen(end)
    share = np.clip((h - np.abs(v0)) / max(h - f, 1e-12), 1e-9, 1.0)
    longest = np.where((u0 > 0) & (np.abs(v0) < h), u0 / share, np.inf).min(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        for level in (f, -f):
            t = (level - v0) / (v1 - v0)
            u = u0 + t * (u1 - u0)
            longest = np.minimum(longest, np.where((t > 0) & (t < 1) & (u > 0), u, np.inf).min(axis=1))
        t = u0 / (u0 - u1)
        across = (t > 0) & (t < 1) & (np.abs(v0 + t * (v1 - v0)) < h)
    return np.where(across.any(axis=1), 0.0, longest)


def rival_for_one(outline: Polygon, taper: Taper) -> float:
    """The longest figure that a dense grid, its halvings and local searches from its best places find; 0 where there is none."""
    edges = taper_search.outline_edges(outline)

    def lengths(poses: np.ndarray, figure: Taper) -> np.ndarray:
        parts = np.array_split(poses, 1 + len(poses) * len(edges.start) // 100_000)
        found = np.concatenate([exact_reach(part, edges.start, edges.end, figure) for part in parts])
        return np.where(shapely.contains_xy(outline, poses[:, :2]) & np.isfinite(found), found, 0.0)

    x0, y0, x1, y1 = outline.bounds
    heads = np.stack(np.meshgrid(np.arange(x0 + CELL / 4, x1, CELL), np.arange(y0 + CELL / 4, y1, CELL)), axis=-1).reshape(-1, 2)
    heads = heads[shapely.contains_xy(outline, heads)]
    poses = np.concatenate([np.column_stack([heads, np.full(len(heads), t)]) for t in np.arange(0.0, 2 * np.pi, TURN)])
    reached = np.column_stack([poses, lengths(poses, Taper(taper.head - CELL, taper.foot - CELL))])
    starts = spread_places(reached[np.argsort(-reached[:, 3])], TRIED)
    best = [_searched(start, outline, taper, edges) for start in starts]
    offsets = np.stack(np.meshgrid(*3 * [np.arange(-1, 2)], indexing="ij"), axis=-1).reshape(-1, 3)
    poses = starts[:, :3]
    for halving in range(1, 8):
        poses = (poses[:, None] + offsets * [CELL, CELL, TURN] / 2**halving).reshape(-1, 3)
        reached_now = lengths(poses, taper)
        poses = poses[np.argsort(-reached_now)[:150]]
    return max([*best, float(reached_now.max())])


def _searched(start: np.ndarray, outline: Polygon, taper: Taper, edges: taper_search.OutlineEdges) -> float:
    top = taper_search._search_one(start[None], taper, edges)[0]
    if top.missing > 1e-7 or top.place[3] <= taper.head:
        return 0.0
    lies = outline.buffer(2e-6, join_style="mitre").covers(Lying(*map(float, top.place), taper).polygon)
    return float(top.place[3]) if lies else 0.0


def rival_for_two(outline: Polygon, taper: Taper, shares: tuple[float, float]) -> float:
    """The longest of two in a proportion that local searches from many more pairs find."""
    usual = {name: getattr(taper_search, name) for name in MORE}
    try:
        for name, value in MORE.items():
            setattr(taper_search, name, value)
        pairs = places_for_two(outline, taper, shares=shares)
    finally:
        for name, value in usual.items():
            setattr(taper_search, name, value)
    return pairs[0][0].length / shares[0] if pairs else 0.0


MORE = {"_PAIRED": 120, "_PAIR_STARTS": (120, 120), "_PAIRS_KEPT": 240}
"""The rival for two: all that is compared after a few rounds goes on to its end."""


# --- comparing


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--berths", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=0, help="the berth to begin with")
    parser.add_argument("--minutes", type=float, default=math.inf)
    parser.add_argument("--only", type=int, help="one berth, with its outline")
    parser.add_argument("--two", action="store_true", help="two people, alike and unlike by turns")
    asked = parser.parse_args()
    numbers = range(asked.first, asked.first + asked.berths) if asked.only is None else [asked.only]
    end, found, times = perf_counter() + 60 * asked.minutes, [], []
    for k in numbers:
        if perf_counter() > end:
            break
        kind, outline, taper = random_berth(asked.seed, k)
        if asked.only is not None:
            print(outline.wkt, taper)
        shares = (1.0, 1.0 if k % 2 else 0.88)
        begun = process_time()
        ours = places_for_two(outline, taper, shares=shares) if asked.two else places_for_one(outline, taper)
        middle = process_time()
        best = rival_for_two(outline, taper, shares) if asked.two else rival_for_one(outline, taper)
        times.append((middle - begun, process_time() - middle))
        first = ours[0] if ours else None
        length = 0.0 if first is None else first[0].length / shares[0] if isinstance(first, tuple) else first.length
        if best >= 1.0:
            found.append((best - length, best, k, kind))
    report(found, np.array(times))


def report(found: list[tuple[float, float, int, str]], times: np.ndarray) -> None:
    """The shortfall's distribution, the worst cases and the time for each berth."""
    short = np.array([one[0] for one in found])
    print(f"{len(times)} outlines, {len(short)} berths; processor time {1000 * times.mean(axis=0).round(4)} ms (search, rival)")
    for limit in (0.001, ENOUGH, 0.01, 0.02, 0.05):
        print(f"  short by more than {1000 * limit:3.0f} mm: {int((short > limit).sum())}")
    share = (short / [one[1] for one in found]).max(initial=0.0)
    print(f"  rival short by more than 1 mm: {int((short < -0.001).sum())}; the worst is short by {100 * share:.1f} %")
    for shortfall, best, k, kind in sorted(found, reverse=True)[:10]:
        if shortfall > 0.001:
            print(f"  --only {k}: {1000 * shortfall:.1f} mm of {best:.4f} m, {kind}")


if __name__ == "__main__":
    main()
