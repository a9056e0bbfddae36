"""Chains of dimensions: the clear distances from face to face, along a plan, up a section, and over each lid of a profile.

They are the lengths of a line within the compartments as they are cut, so that panels' thickness, rake and slope are in them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import shapely

from sketcher.outputs.drawing.cut_outlines import PlaneCut
from sketcher.outputs.drawing.label_spreading import spread_labels
from sketcher.outputs.drawing.ordinates import PITCH, SIZE, THIN
from sketcher.outputs.drawing.recording import SLASH, Item, LineStyle, PaperPlacing, Spot, Words, line, text_width
from sketcher.outputs.palette import INK, PENCIL
from sketcher.outputs.wording.quantities import length

FAR = 100.0
"""[m]: farther than any boat extends."""
LEAST = 0.0005
"""[m]: a run that is shorter is an outline's rounding."""
TOUCHES = 0.002
"""[m] A run that begins so near to a lid's top begins on it."""
LID_SHARE = 0.78
"""How far along a lid the height over it stands: the berths' own lengths are written at its middle."""
FIGURE_UP = 0.62
"""How far up its line the figure of a height over a lid stands: beneath it a berth may be named."""
CHAIN = LineStyle(INK, 0.13)
LIFT = 0.8
"""[mm] of a figure over its line."""

Run = tuple[float, float]
_Spot = Callable[[float, float], Spot]
"""From a place along a chain and one across it to the paper [mm]."""


def clear_runs(found: PlaneCut, axis: int, at: float) -> list[Run]:
    """Where a line along a drawing's axis (0 across, 1 up), `at` [m] on the other, lies within compartments, in order [m]."""
    ends = [(-FAR, at), (FAR, at)] if axis == 0 else [(at, -FAR), (at, FAR)]
    runs: list[Run] = []
    for space in found.spaces:
        for piece in shapely.get_parts(shapely.intersection(shapely.LineString(ends), space.outline)):
            low, high = piece.bounds[axis], piece.bounds[axis + 2]
            if high - low >= LEAST:
                runs.append((low, high))
    return sorted(runs)


def chain_beneath(found: PlaneCut, at: float, edge: float, placing: PaperPlacing, unit: str) -> list[Item]:
    """The runs of a plan along a line `at` [m] off the centreline, as one chain whose line lies at `edge` [mm] on the paper."""
    runs = [_on_paper(placing, 0, run) for run in clear_runs(found, 0, at)]
    texts = [length(high - low, unit) for low, high in clear_runs(found, 0, at)]
    return list(_chain(runs, texts, lambda along, across: (along, edge + across), upright=False))


def chain_beside(found: PlaneCut, at: float, edge: float, placing: PaperPlacing, unit: str) -> list[Item]:
    """The runs of a section up a line `at` [m] off the centreline, as one chain at the right, its line at `edge` [mm]."""
    runs = [_on_paper(placing, 1, run) for run in clear_runs(found, 1, at)]
    texts = [length(high - low, unit) for low, high in clear_runs(found, 1, at)]
    return list(_chain(runs, texts, lambda along, across: (edge + across, along), upright=True))


def heights_over_lids(found: PlaneCut, placing: PaperPlacing, unit: str) -> Iterator[tuple[Item, ...]]:
    """In a profile: from the top of each lid to the deck or the lid over it, where there is room for the figure."""
    if found.kind != "profile":
        return
    for panel in found.lids:
        x0, _, x1, _ = panel.outline.bounds
        at = x0 + LID_SHARE * (x1 - x0)
        top = panel.shape.front.coordinate(2, (at, found.at, 0.0))
        run = next((run for run in clear_runs(found, 1, at) if abs(run[0] - top) < TOUCHES), None)
        if run is None:
            continue
        text = length(run[1] - run[0], unit)
        (x, low), (_, high) = placing.spot(at, run[0]), placing.spot(at, run[1])
        middle, half = low + FIGURE_UP * (high - low), text_width(text, SIZE) / 2
        if middle + half > high - SLASH:
            continue
        part = f"lid/{panel.shape.name}"
        strokes = [[(x, low), (x, high)], *([(x - SLASH, y - SLASH), (x + SLASH, y + SLASH)] for y in (low, high))]
        figure = Words((x - LIFT, middle), text, SIZE, PENCIL, "dimensions", "middle", 90.0, halo=True, part=part)
        yield (*(line(ends, THIN, "dimensions", part) for ends in strokes), figure)


def lids_ground(found: PlaneCut, placing: PaperPlacing, unit: str) -> list[shapely.Geometry]:
    """The paper that heights over lids take [mm], for names to keep off."""
    grounds = []
    for items in heights_over_lids(found, placing, unit):
        words = next(item for item in items if isinstance(item, Words))
        half = text_width(words.text, SIZE) / 2 + SLASH
        x, y = words.at
        grounds.append(shapely.box(x - SIZE * 1.2, y - half, x + SIZE * 0.8, y + half))
    return grounds


def _on_paper(placing: PaperPlacing, axis: int, run: Run) -> Run:
    low, high = sorted(placing.spot(place, place)[axis] for place in run)
    return low, high


def _chain(runs: Sequence[Run], texts: Sequence[str], spot: _Spot, *, upright: bool) -> Iterator[Item]:
    """One line with a stroke at each face, and the figures by it, pushed along only where they would touch."""
    if not runs:
        return
    first, last = min(low for low, _ in runs), max(high for _, high in runs)
    yield line([spot(first, 0.0), spot(last, 0.0)], CHAIN, "dimensions")
    for place in sorted({end for run in runs for end in run}):
        yield line([spot(place - SLASH, -SLASH), spot(place + SLASH, SLASH)], CHAIN, "dimensions")
    widths = [SIZE if upright else text_width(text, SIZE) for text in texts]
    middles = [(low + high) / 2 for low, high in runs]
    moved = spread_labels(middles, widths, PITCH - SIZE)
    for text, middle, place in zip(texts, middles, moved, strict=True):
        if upright:
            yield Words(spot(place - SIZE * 0.36, 2 * LIFT), text, SIZE, INK, "dimensions", halo=True)
        else:
            yield Words(spot(place, LIFT), text, SIZE, INK, "dimensions", "middle", halo=True)
        if abs(place - middle) > SIZE:
            yield line([spot(middle, 0.0), spot(place, LIFT)], LineStyle(PENCIL, 0.1), "dimensions")
