"""What the kernel promises of every layout: sums, gaps told once, the same figures otherwise told, drags like fresh."""

from __future__ import annotations

import random
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from typing import Literal

import numpy as np

from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.analysis.spaces.drag.name_tracking import point_inside
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.caching import remembered
from sketcher.geometry.solid.rays import home_of
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Limit, Panel, Partition, Scene

ALIKE = 1e-9
"""[1] and [m3]: how far figures may differ that must be equal."""
SLOWEST = 10.0
"""[s of the processor] for one layout."""
MAY_BE_GAP = 5e-4
"""[m3] Half a litre: what a gap of 20 mm takes along a panel's edge."""
STEEPEST_MIRROR = 1e-7
"""[m3] a mirrored hull is lofted afresh: its facets may differ by rounding."""


class BrokenPromiseError(Exception):
    """A promise not kept. kind: which; the message says how."""

    def __init__(self, kind: str, detail: str) -> None:
        super().__init__(detail)
        self.kind = kind


def slid(scene: Scene, by: float) -> Scene:
    """The same boat, her zero so far [m] ahead of where it was."""

    def x(value: Limit) -> Limit:
        return value if isinstance(value, str) else value + by

    hull = scene.hull
    moved = replace(
        hull,
        stations=tuple(replace(each, at=each.at + by) for each in hull.stations),
        stem=tuple((a + by, h) for a, h in hull.stem),
        stern=tuple((a + by, h) for a, h in hull.stern),
        coachroof=hull.coachroof and replace(hull.coachroof, start=hull.coachroof.start + by, end=hull.coachroof.end + by),
        cockpit=hull.cockpit and replace(hull.cockpit, start=hull.cockpit.start + by, end=hull.cockpit.end + by),
        appendages=tuple(replace(each, at=(each.at[0] + by, *each.at[1:])) for each in hull.appendages),
    )
    return replace(
        scene,
        hull=moved,
        bulkheads=tuple(b if isinstance(b.at, FromPanel) else replace(b, at=b.at + by) for b in scene.bulkheads),
        partitions=tuple(replace(p, start=x(p.start), end=x(p.end)) for p in scene.partitions),
        lids=tuple(replace(each, start=x(each.start), end=x(each.end)) for each in scene.lids),
    )


def _partition_across(partition: Partition) -> Partition:
    """A partition on the other side. One that is as far to port as to starboard leans to starboard, whichever way it is told."""
    fore, aft = partition.off_centre
    return replace(partition, off_centre=(-fore, -aft), lean=-partition.lean if fore + aft == 0 else partition.lean)


def mirrored(scene: Scene) -> Scene:
    """The layout port for starboard; the hull is its own image."""

    def across(span: tuple[Limit | None, Limit | None]) -> tuple[Limit | None, Limit | None]:
        port, starboard = (-each if isinstance(each, float) else each for each in span)
        return starboard, port

    return replace(
        scene,
        bulkheads=tuple(replace(b, angle=-b.angle, span=across(b.span)) for b in scene.bulkheads),
        partitions=tuple(_partition_across(p) for p in scene.partitions),
        lids=tuple(replace(each, span=across(each.span)) for each in scene.lids),
    )


TALLY: Counter[str] = Counter()
form_of = remembered(16)(form_hull)


def laid_out(scene: Scene, resolution: float = 1.0) -> Layout:
    """The layout in a hull of so many times the triangles; any exception but an error in words is a failure."""
    TALLY["layouts laid out"] += 1
    began = time.process_time()
    try:
        found = lay_out(scene, form_of(scene.hull, resolution))
    except SketchError:
        raise
    except Exception as problem:
        raise BrokenPromiseError(
            f"{type(problem).__name__}", "".join(traceback.format_exception_only(problem)).strip()
        ) from problem
    took = time.process_time() - began
    if took > SLOWEST:
        raise BrokenPromiseError("slow", f"{took:.1f} s")
    return found


def sums_up(layout: Layout) -> None:
    """Spaces are positive, and with panels and gaps they make the inside."""
    if not abs(layout.residual) <= ALIKE * layout.inside_volume:
        raise BrokenPromiseError("residual", f"{layout.residual * 1e6:.4g} ml")
    small = [space.name for space in layout.compartments if space.volume <= 0]
    if small:
        raise BrokenPromiseError("no volume", ", ".join(small))


def gaps_are_told_once(layout: Layout) -> None:
    """Each gap is a finding, and no two gaps between the same spaces lie on each other."""
    gaps = [path for path in layout.flow_paths if path.kind == "gap"]
    told = {finding.object for finding in layout.findings if finding.code == "gap"}
    untold = [path.name for path in gaps if path.through not in told]
    if untold:
        raise BrokenPromiseError("gap not told", untold[0])
    for one, other in combinations(gaps, 2):
        if set(one.between) == set(other.between):
            shared = min(_overlap(one.outline, other.outline), _overlap(other.outline, one.outline))
            if shared > 0.5 and min(one.area, other.area) > 1e-5:
                raise BrokenPromiseError("gap twice", f"{one.name} and {other.name} between {one.between}")


def short_edges_are_told_once(layout: Layout) -> None:
    """No two panels are said to end short at one place."""
    short = [finding for finding in layout.findings if finding.code == "short-edge" and finding.at is not None]
    for one, other in combinations(short, 2):
        if all(abs(a - b) < 1e-4 for a, b in zip(one.at or (), other.at or (), strict=True)):
            raise BrokenPromiseError("short edge twice", f"{one.object} and {other.object} at {one.at}")


def _overlap(one, other) -> float:  # type: ignore[no-untyped-def]
    """The share of a box round some points that a box round others covers, a little air about each."""
    low, high = one.min(axis=0) - 1e-3, one.max(axis=0) + 1e-3
    least, most = other.min(axis=0) - 1e-3, other.max(axis=0) + 1e-3
    shared = 1.0
    for a, b, c, d in zip(low, high, least, most, strict=True):
        shared *= max(0.0, min(b, d) - max(a, c)) / (b - a)
    return float(shared)


def higher_limits_open_nothing(scene: Scene, layout: Layout, resolution: float) -> None:
    """From no limit at all upwards no two spaces become one, and where there are more a gap is told.

    A space no larger than what is closed about it may end as part of the gap, or be given back where less than 0.1 litre of it
    would be left.
    """
    before: Layout | None = None
    for limit in (0.0, 0.002, 0.01, 0.02, 0.03):
        found = layout if limit == scene.gap_limit else laid_out(replace(scene, gap_limit=limit), resolution)
        count, were = len(found.compartments), 0 if before is None else len(before.compartments)
        if before is not None and loses_a_space(before, found):
            raise BrokenPromiseError("limit opens", f"{were} spaces, {count} with {limit * 1000:g} mm")
        if before is not None and count > were and not any(each.kind == "gap" for each in found.flow_paths):
            raise BrokenPromiseError(
                "gap not told", f"{count} spaces for {were} with {limit * 1000:g} mm, and no gap between them"
            )
        before = found


def loses_a_space(before: Layout, found: Layout) -> bool:
    """Whether a space larger than `MAY_BE_GAP` has none of its own left; a point within one may lie in a gap that is closed."""
    within = _homes(found, before)
    for k, home in enumerate(_homes(before, found)):
        if before.compartments[k].volume > MAY_BE_GAP and k not in within:
            if home < 0 or within[home] >= 0:
                return True
            within[home] = k
    return False


def _homes(points_of: Layout, layout: Layout) -> list[int]:
    """Which space of a layout a point within each space of another lies in; -1: none."""
    meshes = [space.mesh for space in layout.compartments]
    return [home_of(np.array(point_inside(space)), meshes) for space in points_of.compartments]


def same_as(kind: str, one: Layout, other: Layout, *, by_name: bool = True, exact: float = ALIKE) -> None:
    """Two layouts that are one: spaces, volumes, paths and findings."""
    if len(one.compartments) != len(other.compartments):
        raise BrokenPromiseError(kind, f"{len(one.compartments)} spaces and {len(other.compartments)}")
    first = sorted((c.name if by_name else "", c.volume) for c in one.compartments)
    second = sorted((c.name if by_name else "", c.volume) for c in other.compartments)
    for (name, volume), (other_name, other_volume) in zip(first, second, strict=True):
        if name != other_name or abs(volume - other_volume) > exact * max(1.0, volume):
            raise BrokenPromiseError(kind, f"{name} of {volume * 1000:.6f} L and {other_name} of {other_volume * 1000:.6f} L")
    if by_name and len(one.flow_paths) != len(other.flow_paths):
        raise BrokenPromiseError(f"{kind}: paths", f"{len(one.flow_paths)} and {len(other.flow_paths)}")
    if not by_name and len(one.flow_paths) != len(other.flow_paths):
        raise BrokenPromiseError(f"{kind}: paths", f"{len(one.flow_paths)} and {len(other.flow_paths)}")
    if by_name:
        for a, b in zip(sorted(one.flow_paths, key=_path), sorted(other.flow_paths, key=_path), strict=True):
            if (a.kind, a.name, a.between) != (b.kind, b.name, b.between) or abs(a.area - b.area) > 1e-7:
                raise BrokenPromiseError(
                    f"{kind}: paths", f"{a.name} {a.between} {a.area:.9f}, {b.name} {b.between} {b.area:.9f}"
                )


def _path(path) -> tuple[str, str, tuple[str, str], float]:  # type: ignore[no-untyped-def]
    return path.kind, path.name, path.between, round(path.area, 6)


NOT_ON_THE_WAY = {"names-in-one-space", "panels-in-one-place"}


def findings_alike(kind: str, one: Layout, other: Layout) -> None:
    """The same findings by code and object, but for those that a drag leaves for its end."""
    first, second = (
        Counter((each.code, each.object) for each in of.findings if each.code not in NOT_ON_THE_WAY) for of in (one, other)
    )
    if first != second:
        raise BrokenPromiseError(f"{kind}: findings", f"{dict(first - second)} and {dict(second - first)}")


def dragged(rng: random.Random, scene: Scene, panel: Panel) -> Iterator[Scene]:
    """Some places of one panel under the hand."""
    for _ in range(6):
        step = rng.choice([0.005, 0.05, 0.3, 1.0])
        by = round(rng.uniform(-step, step) * 200) / 200 if rng.random() < 0.8 else round(rng.uniform(-step, step), 3)
        if isinstance(panel, Bulkhead):
            at = (
                FromPanel(panel.at.panel, round(panel.at.distance + by, 6))
                if isinstance(panel.at, FromPanel)
                else round(panel.at + by, 6)
            )
            moved = replace(scene, bulkheads=tuple(replace(b, at=at) if b.name == panel.name else b for b in scene.bulkheads))
        elif isinstance(panel, Lid):
            height = round(panel.height + by, 6)
            moved = replace(scene, lids=tuple(replace(b, height=height) if b.name == panel.name else b for b in scene.lids))
        else:
            off = (round(panel.off_centre[0] + by, 6), round(panel.off_centre[1] + by, 6))
            moved = replace(
                scene, partitions=tuple(replace(p, off_centre=off) if p.name == panel.name else p for p in scene.partitions)
            )
        yield moved


def drags_are_fresh(scene: Scene, layout: Layout, seed: int, resolution: float) -> int:
    """Every step of a drag equals a fresh layout. Gives the number of steps."""
    rng = random.Random(seed)
    if not scene.panels:
        return 0
    panel = rng.choice(scene.panels)
    if panel.name not in {shape.name for shape in layout.panels}:
        return 0
    try:
        mover = Mover(layout, panel.name)
    except Exception as problem:
        raise BrokenPromiseError(f"drag: {type(problem).__name__}", str(problem)) from problem
    steps = 0
    for moved in dragged(rng, scene, panel):
        try:
            fresh: Layout | SketchError = laid_out(moved, resolution)
        except SketchError as problem:
            fresh = problem
        try:
            quick: Layout | SketchError = mover.at(moved)
        except SketchError as problem:
            quick = problem
        except Exception as problem:
            raise BrokenPromiseError(f"drag: {type(problem).__name__}", str(problem)) from problem
        if isinstance(fresh, SketchError) or isinstance(quick, SketchError):
            if isinstance(fresh, Layout) or isinstance(quick, Layout):
                raise BrokenPromiseError("drag refused", f"{panel.name}: {fresh if isinstance(fresh, SketchError) else quick}")
            continue
        same_as(f"drag of {type(panel).__name__.lower()}", quick, fresh)
        findings_alike("drag", quick, fresh)
        steps += 1
    return steps


Asked = Literal["all", "at rest", "limits", "elsewhere", "drag", "no more"]
"""Which promises are tried beyond sums and gaps: all, those of a layout at rest (limits, and the boat elsewhere and mirrored) or
one of the two, those of a drag, or no more."""


def try_scene(scene: Scene, seed: int, *, resolution: float = 1.0, asked: Asked = "all") -> int:
    """The promises asked for of one scene; the number of drag steps tried.

    resolution: of the hull's facets, as for `form_hull`.

    Raises BrokenPromiseError, or SketchError where the scene is refused.
    """
    layout = laid_out(scene, resolution)
    sums_up(layout)
    gaps_are_told_once(layout)
    short_edges_are_told_once(layout)
    if asked in ("all", "at rest", "limits"):
        higher_limits_open_nothing(scene, layout, resolution)
    if asked in ("all", "at rest", "elsewhere"):
        by = 2.5 if seed % 2 else 20.0
        same_as(f"slid {by:g} m", laid_out(slid(scene, by), resolution), layout)
        same_as("mirrored", laid_out(mirrored(scene), resolution), layout, by_name=False, exact=STEEPEST_MIRROR)
    return drags_are_fresh(scene, layout, seed, resolution) if asked in ("all", "drag") else 0
