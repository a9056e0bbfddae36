"""Whether flat shapes in the picture are clear of each other, each held between eight pairs of parallel lines."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Flags, Floats

_TURNS = np.arange(8) * np.pi / 8
ACROSS: Floats = np.stack([np.cos(_TURNS), np.sin(_TURNS)])
"""Unit vectors (2, 8) across the pairs of lines."""


def span_of(points: Floats, clear: float = 0.0) -> Floats:
    """Least and most (2, 8) of points (n, 2) across each pair of lines, wider by `clear` on each side [pixels]."""
    along = points @ ACROSS
    return np.stack([along.min(axis=0) - clear, along.max(axis=0) + clear])


def spans_of_boxes(middles: Floats, size: Floats) -> Floats:
    """The same of boxes about middles (n, 2), of one size (2,) or each of its own (n, 2): (2, n, 8)."""
    along, half = middles @ ACROSS, size @ np.abs(ACROSS) / 2
    return np.stack([along - half, along + half])


def spans_of_lines(starts: Floats, end: Floats) -> Floats:
    """The same of straight lines from each of (n, 2) to one point (2,): (2, n, 8)."""
    first, last = starts @ ACROSS, end @ ACROSS
    return np.stack([np.minimum(first, last), np.maximum(first, last)])


def overlaps_any(spans: Floats, others: list[Floats]) -> Flags:
    """Whether each of (2, n, 8) overlaps any of the others, each (2, 8): (n,). Never false of shapes that do."""
    if not others:
        return np.zeros(spans.shape[1], dtype=bool)
    return np.asarray(overlapping(spans, np.stack(others, axis=1)).any(axis=1))


def overlapping(spans: Floats, others: Floats) -> Flags:
    """Which of (2, n, 8) overlap which of (2, m, 8): (n, m). Never false of shapes that do."""
    apart = (spans[0][:, None] >= others[1]) | (spans[1][:, None] <= others[0])
    return np.asarray(~apart.any(axis=2))
