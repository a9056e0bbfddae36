"""What the space about a berth gives who sleeps there: a way out, also upside down, air, and height to sit up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Area, Finding, Length
from sketcher.analysis.fit.access import ESCAPE_AREA, ESCAPE_LEAST, ESCAPE_ROUND, Entrance, entrances_to
from sketcher.analysis.fit.berths import clear_heights
from sketcher.analysis.fit.lying import SEAT_SIDE, outline_of
from sketcher.analysis.results import OUTSIDE, BerthFigures, Compartment, Layout
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.rays import home_of
from sketcher.geometry.tolerances import TOUCHING
from sketcher.model.scene import HOUSES, Berth

SITTING = 0.95
"""[m] Over the cushion, to sit upright on a berth; source `sitting-height`."""

AIR_EACH = np.pi / 4 * 0.100**2
"""[m2] Of opening to the air for each sleeper: a ventilator 100 mm across; source `berth-air`."""

_SEAT_STEP = SEAT_SIDE / 2
"""[m] Places over which the height is taken: three by three to a seat."""

_OVER_CUSHION = 0.01
"""[m] A place so far over a cushion lies in the berth's space."""


def with_berth_spaces(evaluation: Evaluation) -> Evaluation:
    """The evaluation with each berth's height to sit and air, and what there is to say of them and of the way out."""
    berths, findings = [], []
    for asked, berth in zip(evaluation.scene.berths, evaluation.berths, strict=True):
        space = _space_of(evaluation.layout, berth)
        sitting = _sitting_headroom(evaluation.layout, berth)
        air = None if space is None else _air(evaluation.layout, space)
        berths.append(replace(berth, sitting_headroom=sitting, air=air))
        if space is not None and air is not None:
            findings += [*_way_out(evaluation.layout, berth, space), *_upside_down(evaluation.layout, berth, space)]
            findings += _short_of_air(evaluation, asked, space, air)
        low_already = any(one.code == "berth-low-over-seat" and one.object == berth.name for one in evaluation.findings)
        if sitting is not None and sitting < SITTING and not low_already:
            findings.append(_no_sitting(berth, sitting))
    return replace(evaluation, berths=tuple(berths), findings=(*evaluation.findings, *findings))


def _space_of(layout: Layout, berth: BerthFigures) -> Compartment | None:
    """The space that a berth is in; None where it is in none."""
    if not len(berth.outline):
        return None
    x, y = outline_of(berth).representative_point().coords[0]
    home = home_of(np.array([x, y, berth.surface + _OVER_CUSHION]), [space.mesh for space in layout.compartments])
    return None if home < 0 else layout.compartments[home]


def _sitting_headroom(layout: Layout, berth: BerthFigures) -> float | None:
    """The greatest clear height [m] over a whole seat on the berth; None where it has none, or runs out of what was measured."""
    outline = outline_of(berth)
    if berth.length is None or outline.is_empty:
        return None
    (x0, y0, x1, y1), n = outline.bounds, round(SEAT_SIDE / _SEAT_STEP) + 1
    x, y = _evenly(x0, x1), _evenly(y0, y1)
    if len(x) < n or len(y) < n:
        return None
    u, v = (each.ravel() for each in np.meshgrid(x, y, indexing="ij"))
    on = shapely.contains_xy(outline, u, v)
    heights = np.full(len(on), -np.inf)
    heights[on] = clear_heights(layout, np.column_stack([u[on], v[on], np.full(int(on.sum()), berth.surface)]))
    seats = np.lib.stride_tricks.sliding_window_view(heights.reshape(len(x), len(y)), (n, n)).min(axis=(2, 3))
    return float(seats.max()) if np.isfinite(seats.max()) else None


def _evenly(low: float, high: float) -> Floats:
    """Places a step apart within a stretch, as many as there are, as far from one end as from the other."""
    count = int((high - low - 2 * TOUCHING) / _SEAT_STEP) + 1
    return (low + high) / 2 + _SEAT_STEP * (np.arange(count, dtype=np.float64) - (count - 1) / 2)


def _no_sitting(berth: BerthFigures, height: float) -> Finding:
    return Finding(
        code="berth-low-to-sit",
        severity="note",
        object=berth.name,
        values={"berth": berth.name, "height": Length(height), "usual": Length(SITTING)},
        measured=height,
        limit=SITTING,
        source="sitting-height",
    )


def _way_out(layout: Layout, berth: BerthFigures, space: Compartment) -> Iterator[Finding]:
    """What is said where the berth's space has no hatch of its own that a person gets through.

    A note where other spaces lead out, since a fire there shuts that way; a warning where none does.
    """
    outer = [entrance for entrance in entrances_to(layout, space) if entrance.through in ("deck", *HOUSES)]
    if any(entrance.limb == "person" for entrance in outer):
        return
    by = next((by for by in _ways(layout, space) if by[-1].through in ("deck", *HOUSES)), ())
    yield Finding(
        code="berth-way-out",
        severity="note" if by else "warn",
        object=berth.name,
        values={
            "berth": berth.name,
            "space": space.name,
            "hatch": outer[0].name if outer else None,
            "hatch_sides": tuple(Length(side) for side in outer[0].sides) if outer else (),
            "by": tuple(entrance.name for entrance in by),
            **_least(),
        },
        source="escape-opening",
    )


def _upside_down(layout: Layout, berth: BerthFigures, space: Compartment) -> Iterator[Finding]:
    """What is said of a twin hull where no opening through the hull lets a person out: her deck is then under water."""
    if layout.hull.hull.twin_spacing is None or any(by[-1].through == "hull" for by in _ways(layout, space)):
        return
    yield Finding(
        code="berth-way-out-upside-down",
        severity="note",
        object=berth.name,
        values={"berth": berth.name, "space": space.name, **_least()},
        source="escape-inverted",
    )


def _least() -> dict[str, Length | Area]:
    return {"least_round": Length(ESCAPE_ROUND), "least_side": Length(ESCAPE_LEAST), "least_area": Area(ESCAPE_AREA)}


def _ways(layout: Layout, space: Compartment) -> Iterator[tuple[Entrance, ...]]:
    """The openings that a person gets out by, one after another, by the fewest spaces first."""
    spaces = {each.name: each for each in layout.compartments}
    left: list[tuple[Compartment, tuple[Entrance, ...]]] = [(space, ())]
    seen = {space.name}
    for here, by in left:
        for entrance in entrances_to(layout, here, through_hull=True):
            if entrance.limb != "person":
                continue
            if entrance.beyond == OUTSIDE:
                yield (*by, entrance)
            elif entrance.beyond in spaces and entrance.beyond not in seen:
                seen.add(entrance.beyond)
                left.append((spaces[entrance.beyond], (*by, entrance)))


def _air(layout: Layout, space: Compartment) -> float:
    """The area [m2] of openings to the open air, every hatch open, of a space and of those it has an uncovered opening to."""
    covers = {opening.name: opening.cover for opening in layout.scene.openings}
    paths = [path for path in (*layout.flow_paths, *layout.closed) if path.kind == "opening" and path.through != "hull"]
    joined, grown = {space.name}, True
    while grown:
        beside = {name for path in paths if covers.get(path.name) == "none" and joined & {*path.between} for name in path.between}
        grown = bool(beside - joined - {OUTSIDE})
        joined |= beside - {OUTSIDE}
    return sum(path.area for path in paths if OUTSIDE in path.between and joined & {*path.between})


def _short_of_air(evaluation: Evaluation, asked: Berth, space: Compartment, air: float) -> Sequence[Finding]:
    people = max(asked.people, sum(person.berth == asked.name for person in evaluation.scene.people))
    needed = people * AIR_EACH
    if air >= needed:
        return ()
    return (
        Finding(
            code="berth-air",
            severity="note",
            object=asked.name,
            values={
                "berth": asked.name,
                "space": space.name,
                "air": Area(air),
                "people": people,
                "each": Length(0.100),
                "needed": Area(needed),
            },
            measured=air,
            limit=needed,
            source="berth-air",
        ),
    )
