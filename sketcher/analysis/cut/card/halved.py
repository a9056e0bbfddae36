"""Upright parts that cross: each slotted by half of what they share, so that one goes down into the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import shapely

from sketcher.analysis.cut.card.parts import CardPart, CardSeam, ModelScale
from sketcher.geometry.mesh import Floats

_UPRIGHT = 0.6
"""[1] A crossing whose line rises less than this is no halved joint."""

_LEAST = 0.5
"""[mm of paper] Parts that share less of a line do not cross."""

_FAR = 100.0
"""[m] A line this long leaves every boat."""

Run = tuple[float, float]


def halved_joints(parts: Sequence[CardPart], of: ModelScale) -> tuple[dict[str, CardPart], tuple[CardSeam, ...]]:
    """All parts by name, those flat and upright ones that cross with slots; and where they cross."""
    changed = {part.name: part for part in parts}
    seams: list[CardSeam] = []
    for first, second in combinations([part.name for part in parts if part.curved is None], 2):
        found = _halved(changed, first, second, of)
        if found is not None:
            seams.append(found)
    return changed, tuple(seams)


def _halved(changed: dict[str, CardPart], first: str, second: str, of: ModelScale) -> CardSeam | None:
    """Slot two parts where they cross; None where they do not."""
    one, other = changed[first], changed[second]
    line = _crossing(one, other)
    if line is None:
        return None
    start, way = line
    runs = [_runs_along(part, start, way) for part in (one, other)]
    common = [(max(a[0], b[0]), min(a[1], b[1])) for a in runs[0] for b in runs[1] if min(a[1], b[1]) > max(a[0], b[0])]
    if of.paper(sum(high - low for low, high in common)) < _LEAST:
        return None
    low, high = min(run[0] for run in common), max(run[1] for run in common)
    middle = (low + high) / 2
    tops, bottoms = ([_end_of(each, high, 1) for each in runs], [_end_of(each, low, 0) for each in runs])
    # All go down onto the spine; else whichever way leaves less of a slot open, the first slotted from above or from below.
    above_first = one.kind == "spine" or (tops[0] - high) + (low - bottoms[1]) <= (tops[1] - high) + (low - bottoms[0]) + 1e-6
    sine = float(np.linalg.norm(np.cross(one.frame.normal, other.frame.normal)))
    width = of.thickness * (1.0 + float(abs(one.frame.normal @ other.frame.normal))) / sine
    for part, above, top, bottom in ((one, above_first, tops[0], bottoms[0]), (other, not above_first, tops[1], bottoms[1])):
        ends = (middle, top + of.thickness) if above else (bottom - of.thickness, middle)
        changed[part.name] = _slotted(part, np.stack([start + way * end for end in ends]), width)
    later, sooner = (second, first) if above_first else (first, second)
    return CardSeam(kind="halved", part=later, against=sooner, line=np.stack([start + way * s for s in (low, middle, high)]))


def _crossing(one: CardPart, other: CardPart) -> tuple[Floats, Floats] | None:
    """The line in which the middles of two parts cross, a point and the way up; None where that is not upright."""
    a, b = one.frame.plane, other.frame.plane
    way = np.cross(a.normal, b.normal)
    size = float(np.linalg.norm(way))
    if size < 0.2:
        return None
    way = way / size * (1.0 if way[2] >= 0.0 else -1.0)
    if way[2] < _UPRIGHT:
        return None
    start = np.linalg.solve(np.array([a.normal, b.normal, way]), np.array([a.distance, b.distance, 0.0]))
    return start, way


def _runs_along(part: CardPart, start: Floats, way: Floats) -> list[Run]:
    """The stretches of a line that lie in a part, from below."""
    ends = part.frame.flat(np.stack([start - way * _FAR, start + way * _FAR]))
    found = shapely.intersection(shapely.LineString(ends), part.outline)
    runs = []
    for piece in shapely.get_parts(found).tolist():
        if piece.geom_type == "LineString" and not piece.is_empty:
            heights = (part.frame.space(np.asarray(piece.coords)) - start) @ way
            runs.append((float(heights.min()), float(heights.max())))
    return sorted(runs)


def _end_of(runs: Sequence[Run], at: float, side: int) -> float:
    """The upper (1) or lower (0) end of the stretch that holds a place."""
    return next((run[side] for run in runs if run[0] - 1e-9 <= at <= run[1] + 1e-9), at)


def _slotted(part: CardPart, line: Floats, width: float) -> CardPart:
    slot = shapely.LineString(part.frame.flat(line)).buffer(width / 2, cap_style="flat")
    left = shapely.difference(part.outline, slot)
    outline = max(shapely.get_parts(left).tolist(), key=lambda each: each.area)
    return replace(part, outline=outline, slots=shapely.union(part.slots, slot))


def in_halved(seams: Sequence[CardSeam]) -> Mapping[str, int]:
    """How many halved joints each part has, by its name."""
    count: dict[str, int] = {}
    for seam in seams:
        for name in (seam.part, seam.against):
            count[name] = count.get(name, 0) + 1
    return count
