"""How clear tapered figures are of an outline's edges and of each other, with the slopes of every clearance, many at a time."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.flat.tapers import OutlineEdges, Taper
from sketcher.geometry.mesh import Floats, Ints

_STEEPEST = 1.2
"""[-] No clearance changes faster than this with a figure's place and length."""

Clearances = tuple[Ints, Floats, Floats]
"""Of figures: which one each belongs to (t,), the clearance (t,) [m], and its slopes (t, ...) by x, y, angle and length."""


def clear_of_edges(poses: Floats, reach: Floats, taper: Taper, edges: OutlineEdges) -> Clearances:
    """How clear figures at poses (k, 4) are of every edge that a change within `reach` (k, 4) can bring them to.

    Of the five ways to be clear of an edge (beyond one side of the figure, or the figure on the edge's inner side) the best one
    is chosen; it gives a row for each end or corner that might touch. With all rows at 0 or more and one point inside, the
    figure lies in the outline.
    """
    c, s, length = np.cos(poses[:, 2])[:, None], np.sin(poses[:, 2])[:, None], poses[:, 3, None]
    (u0, v0), (u1, v1) = (_seen(poses, c, s, points) for points in (edges.start, edges.end))
    nu, nv = c * edges.normal[:, 0] + s * edges.normal[:, 1], c * edges.normal[:, 1] - s * edges.normal[:, 0]
    level, lower = u0 * nu + v0 * nv, np.abs(nv) / 2
    inner = np.minimum(-lower * taper.head, length * nu - lower * taper.foot) - level
    ends = _beyond(u0, v0, length, taper), _beyond(u1, v1, length, taper)
    sides = [np.minimum(one, other) for one, other in zip(*ends, strict=True)]
    beyond = np.maximum(np.maximum(sides[0], sides[1]), np.maximum(sides[2], sides[3]))
    # What a change of the figure within reach can do to any clearance: shift it, and turn it about the head.
    shift, turn = _STEEPEST * (np.hypot(reach[:, 0], reach[:, 1]) + reach[:, 3])[:, None], reach[:, 2, None]
    arm = np.where(inner > beyond, length + taper.head / 2, np.maximum(np.hypot(u0, v0), np.hypot(u1, v1)))
    near = np.maximum(inner, beyond) < shift + _STEEPEST * turn * arm
    # The figure on an edge's inner side: a row for each of its corners.
    whose, edge = np.nonzero(near & (inner > beyond))
    to_foot, aside = np.array([0.0, 0.0, 1.0, 1.0]), np.array([taper.head, -taper.head, taper.foot, -taper.foot]) / 2
    nu, nv, along = nu[whose, edge, None], nv[whose, edge, None], to_foot * length[whose]
    inside = along * nu + aside * nv - level[whose, edge, None]
    n = np.repeat(edges.normal[edge], 4, axis=0)
    from_inside = np.column_stack([n, (along * nv - aside * nu).ravel(), (to_foot * nu).ravel()])
    # The edge beyond a side of the figure: a row for each of its ends.
    by, past = np.nonzero(near & (inner <= beyond))
    side = np.argmax([clear[by, past] for clear in sides], axis=0) if len(by) else by
    own, side, by = np.repeat(poses[by], 2, axis=0), np.repeat(side, 2), np.repeat(by, 2)
    u, v = (np.column_stack([one[by[::2], past], other[by[::2], past]]).ravel() for one, other in ((u0, u1), (v0, v1)))
    outside = np.choose(side, _beyond(u, v, own[:, 3], taper)) if len(by) else u
    return (
        np.concatenate([np.repeat(whose, 4), by]),
        np.concatenate([inside.ravel(), outside]),
        np.concatenate([from_inside, _slopes(own, u, v, side, taper)]),
    )


def clear_of_each_other(pairs: Floats, taper: Taper) -> Clearances:
    """How clear two figures of each pair (k, 2, 4) are of each other, slopes (t, 2, 4): by the best separating side.

    Of the eight sides that two have the best one is chosen, with a row for each corner of the other.
    """
    k = np.arange(len(pairs))
    c, s = np.cos(pairs[..., 2]), np.sin(pairs[..., 2])
    u = np.stack([0 * c, 0 * c, pairs[..., 3], pairs[..., 3]], axis=2)
    v = np.array([taper.head, -taper.head, -taper.foot, taper.foot]) / 2
    out = np.stack([u * c[..., None] - v * s[..., None], u * s[..., None] + v * c[..., None]], axis=3)
    corners = pairs[:, :, None, :2] + out
    seen = []
    for one in (0, 1):
        away = corners[:, 1 - one] - pairs[:, one, None, :2]
        x, y, cos, sin = away[..., 0], away[..., 1], c[:, one, None], s[:, one, None]
        seen.append((x * cos + y * sin, y * cos - x * sin))
    beyond = np.stack([np.stack(_beyond(*seen[one], pairs[:, one, 3, None], taper), axis=1) for one in (0, 1)], axis=1)
    best = beyond.min(axis=3).reshape(len(pairs), 8).argmax(axis=1)
    one, side = best // 4, best % 4
    own = np.repeat(pairs[k, one], 4, axis=0)
    at = [np.stack([seen[0][axis], seen[1][axis]], axis=1)[k, one].ravel() for axis in (0, 1)]
    slope = _slopes(own, at[0], at[1], np.repeat(side, 4), taper)
    other, towards = out[k, 1 - one].reshape(-1, 2), np.tile([0.0, 0.0, 1.0, 1.0], len(pairs))
    cos, sin = np.repeat(c[k, 1 - one], 4), np.repeat(s[k, 1 - one], 4)
    x, y = -slope[:, 0], -slope[:, 1]
    turn, longer = y * other[:, 0] - x * other[:, 1], towards * (x * cos + y * sin)
    slopes = np.zeros((4 * len(pairs), 2, 4))
    every = np.arange(len(slopes))
    slopes[every, np.repeat(one, 4)] = slope
    slopes[every, np.repeat(1 - one, 4)] = np.column_stack([x, y, turn, longer])
    return np.repeat(k, 4), beyond[k, one, side].ravel(), slopes


def _seen(poses: Floats, c: Floats, s: Floats, points: Floats) -> tuple[Floats, Floats]:
    """Points (p, 2) as seen from poses: along and across (k, p)."""
    x, y = points[:, 0] - poses[:, :1], points[:, 1] - poses[:, 1:2]
    return x * c + y * s, y * c - x * s


def _beyond(u: Floats, v: Floats, length: Floats, taper: Taper) -> tuple[Floats, Floats, Floats, Floats]:
    """How far points at u, v lie beyond the head, the foot, the left and the right side of figures of these lengths."""
    slope = (taper.head - taper.foot) / 2 / length
    scale = 1.0 / np.sqrt(1.0 + slope * slope)
    wide = taper.head / 2 - slope * u
    return -u, u - length, (v - wide) * scale, (-v - wide) * scale


def _slopes(poses: Floats, u: Floats, v: Floats, side: Ints, taper: Taper) -> Floats:
    """(t, 4) slopes of how far a point at u, v (t,) lies beyond a side (t,) of the figure at a pose (t, 4)."""
    c, s, length = np.cos(poses[:, 2]), np.sin(poses[:, 2]), poses[:, 3]
    end, sign = np.where(side == 0, 1.0, -1.0), np.where(side == 2, 1.0, -1.0)
    k = (taper.head - taper.foot) / 2 / length
    q, steeper = 1.0 / np.sqrt(1.0 + k * k), -k / length
    wide = sign * v - taper.head / 2 + k * u
    flank = [(sign * s - k * c) * q, (-sign * c - k * s) * q, (k * v - sign * u) * q, (u * q - wide * k * q**3) * steeper]
    across = [end * c, end * s, -end * v, np.where(side == 0, 0.0, -1.0)]
    return np.where((side < 2)[:, None], np.column_stack(across), np.column_stack(flank))
