"""Random layouts and drags against the kernel's own promises; every failure is made as small as it goes and printed as a scene.

    python tests/benchmarks/random_layouts.py --minutes 5 [--seed 7] [--keep FOLDER]

Each scene is 1 to 12 panels, tied, raked, sloped, at an angle, with gaps from 0 to 25 mm, in a demo hull or a random one.
Promised, and tried here: nothing but an error in words that names a remedy; volumes that add up; every gap up to the limit keeps
both spaces, is told, and is one path for each pair of spaces; a higher limit opens nothing; the same figures with the hull's
zero elsewhere and mirrored; and a drag whose every step equals a fresh layout.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace
from itertools import combinations
from pathlib import Path

from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.demos import demo_scenes
from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import read_scene, scene_text
from sketcher.model.hull import Coachroof, Cockpit, Deck, Hull, Station
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Limit, Panel, Partition, Scene

ALIKE = 1e-9
"""[1] and [m3]: how far figures may differ that must be equal."""
SLOWEST = 10.0
"""[s of the processor] for one layout."""
GAPS = (0.0, 1e-6, 5e-6, 1e-5, 2e-5, 1e-4, 5e-4, 1e-3, 2e-3, 5e-3, 8e-3, 0.012, 0.015, 0.018, 0.0199, 0.02, 0.0201, 0.025, 0.06)
THICKNESSES = (0.004, 0.006, 0.009, 0.012, 0.018, 0.024)
STEEPEST_MIRROR = 1e-7
"""[m3] a mirrored hull is lofted afresh: its facets may differ by rounding."""


@dataclass(frozen=True)
class Failure:
    """What was promised and not kept, and by which scene."""

    kind: str
    detail: str
    scene: Scene


class BrokenPromiseError(Exception):
    """A promise not kept. kind: which; the message says how."""

    def __init__(self, kind: str, detail: str) -> None:
        super().__init__(detail)
        self.kind = kind


# --- making layouts


def demo_hulls() -> list[Hull]:
    """The hulls of the demo scenes, each once."""
    found = {scene.hull.name: scene.hull for path in demo_scenes() for scene in [read_scene(path)]}
    return list(found.values())


def random_hull(rng: random.Random) -> Hull:
    """A small boat's hull of 4 to 8 stations: vee or round, with or without shell, camber, coachroof and cockpit."""
    length, half, depth = rng.uniform(4.0, 11.0), rng.uniform(0.7, 1.8), rng.uniform(0.7, 1.7)
    count = rng.randint(4, 8)
    round_bilge = rng.random() < 0.5
    stations = []
    for k in range(count):
        share = k / (count - 1)
        full = 1.0 - (1.0 - share) ** rng.uniform(1.6, 2.4)
        beam, keel = half * (0.08 + 0.92 * full), depth * 0.25 * (1.0 - share) ** 2
        top = depth * (1.0 + 0.12 * (1.0 - share))
        bilge = (0.8 if round_bilge else 0.72) * beam
        middle = keel + (0.22 if round_bilge else 0.3) * depth
        points = [(0.0, keel), (bilge, middle), (0.97 * beam, 0.65 * depth), (beam, top)]
        stations.append(
            Station(
                at=round(length * share, 3),
                points=tuple((round(b, 3), round(h, 3)) for b, h in points),
                knuckles=() if round_bilge else (2,),
            )
        )
    camber = rng.choice([0.0, 0.04, 0.09])
    roof = rng.random() < 0.3
    return Hull(
        name=f"random {rng.randrange(10**6)}",
        units="m",
        stations=tuple(stations),
        shell=rng.choice([0.0, 0.006, 0.012]),
        between_points="smooth" if round_bilge else "straight",
        between_stations="smooth",
        deck=Deck(camber=camber, thickness=rng.choice([0.0, 0.018])),
        coachroof=Coachroof(
            start=round(0.3 * length, 3),
            end=round(0.6 * length, 3),
            half_breadth=(round(0.35 * half, 3), round(0.45 * half, 3)),
            height=0.3,
            camber=rng.choice([0.0, 0.05]),
        )
        if roof
        else None,
        cockpit=Cockpit(
            start=round(0.66 * length, 3), end=round(0.9 * length, 3), half_breadth=(0.3, 0.3), sole=round(0.6 * depth, 3)
        )
        if rng.random() < 0.25
        else None,
    )


def _step(rng: random.Random, low: float, high: float) -> float:
    """A length as an owner gives it: whole 5 mm, whole mm, or to a micrometre."""
    value = rng.uniform(low, high)
    return round(value * 200) / 200 if rng.random() < 0.6 else round(value, rng.choice([3, 3, 6]))


def random_scene(rng: random.Random, hull: Hull) -> Scene:
    """A layout of 1 to 12 panels, many of them tied to each other or ending just short of each other."""
    form = hull_form(hull)
    low, high = form.inside.bounds
    base = Scene(
        name="random", units="m", hull=hull, hull_path="hull.yaml", gap_limit=rng.choice([0.02, 0.02, 0.02, 0.01, 0.005, 0.0])
    )
    bulkheads: list[Bulkhead] = []
    partitions: list[Partition] = []
    lids: list[Lid] = []
    for number in range(rng.randint(1, 12)):
        kind = rng.choice(["bulkhead", "lid", "partition"]) if bulkheads else "bulkhead"
        if kind == "bulkhead":
            bulkheads.append(_bulkhead(rng, f"b{number}", bulkheads, partitions, lids, low, high))
        elif kind == "lid":
            lids.append(_lid(rng, f"l{number}", bulkheads, partitions, lids, low, high))
        else:
            partitions.append(_partition(rng, f"p{number}", bulkheads, partitions, lids, low, high))
    return replace(base, bulkheads=tuple(bulkheads), partitions=tuple(partitions), lids=tuple(lids))


def _ends(rng: random.Random, bulkheads: list[Bulkhead], low: float, high: float) -> tuple[Limit, Limit]:
    """From and to: bulkheads in order, stem and transom, or numbers that stop a gap short of them."""
    fixed = sorted((b for b in bulkheads if isinstance(b.at, float)), key=lambda b: b.at)
    names: list[Limit] = ["stem", *(b.name for b in fixed), "transom"]
    first = rng.randrange(len(names) - 1)
    second = rng.randrange(first + 1, min(first + 3, len(names)))
    start, end = names[first], names[second]
    by_name = {b.name: b for b in fixed}
    if start in by_name and rng.random() < 0.35:
        b = by_name[str(start)]
        start = round(float(b.at) + b.thickness + rng.choice(GAPS), 6)  # type: ignore[arg-type]
    if end in by_name and rng.random() < 0.35:
        end = round(float(by_name[str(end)].at) - rng.choice(GAPS), 6)  # type: ignore[arg-type]
    if rng.random() < 0.12:
        start = _step(rng, low, 0.5 * (low + high))
    if rng.random() < 0.12:
        end = _step(rng, 0.5 * (low + high), high)
    return start, end


def _height(rng: random.Random, lids: list[Lid], low: float, high: float) -> tuple[Limit, Limit]:
    """Bottom and top: hull and deck, a lid by name, or numbers that stop a gap from one."""
    bottom: Limit = "hull"
    top: Limit = "deck"
    if lids and rng.random() < 0.45:
        lid = rng.choice(lids)
        if rng.random() < 0.5:
            top = lid.name if rng.random() < 0.6 else round(lid.height - lid.thickness - rng.choice(GAPS), 6)
        else:
            bottom = lid.name if rng.random() < 0.6 else round(lid.height + rng.choice(GAPS), 6)
    elif rng.random() < 0.2:
        top = _step(rng, low + 0.5 * (high - low), high)
    return bottom, top


def _span(rng: random.Random, partitions: list[Partition]) -> tuple[Limit | None, Limit | None]:
    if partitions and rng.random() < 0.4:
        p = rng.choice(partitions)
        near: Limit = p.name
        if rng.random() < 0.4:
            away = rng.choice(GAPS)
            if rng.random() < 0.5:
                return None, round(min(p.off_centre) - p.thickness / 2 - away, 6)
            return round(max(p.off_centre) + p.thickness / 2 + away, 6), None
        return (None, near) if rng.random() < 0.5 else (near, None)
    if rng.random() < 0.08:
        half = _step(rng, 0.1, 0.6)
        return -half, half
    return None, None


def _bulkhead(rng, name, bulkheads, partitions, lids, low, high) -> Bulkhead:  # type: ignore[no-untyped-def]
    at: float | FromPanel = _step(rng, low[0] + 0.03 * (high[0] - low[0]), high[0] - 0.03 * (high[0] - low[0]))
    if bulkheads and rng.random() < 0.2:
        at = FromPanel(rng.choice(bulkheads).name, _step(rng, -1.5, 1.5))
    bottom, top = _height(rng, lids, low[2], high[2])
    return Bulkhead(
        name=name,
        at=at,
        thickness=rng.choice(THICKNESSES),
        rake=rng.choice([0.0, 0.0, 0.0, 3.0, -7.5, 12.0]),
        angle=rng.choice([0.0, 0.0, 0.0, 0.0, 4.0, -9.0]),
        bottom=bottom,
        top=top,
        span=_span(rng, partitions),
    )


def _lid(rng, name, bulkheads, partitions, lids, low, high) -> Lid:  # type: ignore[no-untyped-def]
    start, end = _ends(rng, bulkheads, low[0], high[0])
    height = _step(rng, low[2] + 0.15 * (high[2] - low[2]), low[2] + 0.8 * (high[2] - low[2]))
    slope = rng.choice([0.0, 0.0, 0.0, 2.0, -5.0, 11.0])
    thickness = rng.choice(THICKNESSES)
    span = _span(rng, partitions)
    if lids and rng.random() < 0.3:
        # In the plane of another, a little way from it.
        like = rng.choice(lids)
        height, slope, thickness = like.height, like.slope, like.thickness
        if isinstance(like.end, float) and not slope:
            start, end = round(like.end + rng.choice(GAPS), 6), rng.choice(["transom", round(like.end + 0.8, 6)])
        elif isinstance(span[0], float):
            span = (span[0], None)
    return Lid(
        name=name,
        height=height,
        start=start,
        end=end,
        thickness=thickness,
        slope=slope,
        slope_across=rng.choice([0.0, 0.0, 0.0, 0.0, 3.0, -2.0]),
        span=span,
    )


def _partition(rng, name, bulkheads, partitions, lids, low, high) -> Partition:  # type: ignore[no-untyped-def]
    start, end = _ends(rng, bulkheads, low[0], high[0])
    fore = _step(rng, 0.6 * low[1], 0.6 * high[1])
    aft = fore if rng.random() < 0.75 else _step(rng, 0.6 * low[1], 0.6 * high[1])
    thickness = rng.choice(THICKNESSES)
    if partitions and rng.random() < 0.25:
        like = rng.choice(partitions)
        fore, aft, thickness = *like.off_centre, like.thickness
        if isinstance(like.end, float):
            start, end = round(like.end + rng.choice(GAPS), 6), "transom"
    bottom, top = _height(rng, lids, low[2], high[2])
    return Partition(
        name=name,
        off_centre=(fore, aft),
        start=start,
        end=end,
        thickness=thickness,
        lean=rng.choice([0.0, 0.0, 0.0, 5.0, -8.0]),
        bottom=bottom,
        top=top,
    )


# --- the same boat otherwise told


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


# --- what is promised


TALLY: Counter[str] = Counter()


def laid_out(scene: Scene) -> Layout:
    """The layout; any exception but an error in words is a failure."""
    TALLY["layouts"] += 1
    began = time.process_time()
    try:
        found = lay_out(scene, hull_form(scene.hull))
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


def _overlap(one, other) -> float:  # type: ignore[no-untyped-def]
    """The share of a box round some points that a box round others covers, a little air about each."""
    low, high = one.min(axis=0) - 1e-3, one.max(axis=0) + 1e-3
    least, most = other.min(axis=0) - 1e-3, other.max(axis=0) + 1e-3
    shared = 1.0
    for a, b, c, d in zip(low, high, least, most, strict=True):
        shared *= max(0.0, min(b, d) - max(a, c)) / (b - a)
    return float(shared)


def higher_limits_open_nothing(scene: Scene, layout: Layout) -> None:
    """From no limit at all upwards the number of spaces never falls, and where it rises a gap is told."""
    before, names = 0, ""
    for limit in (0.0, 0.002, 0.01, 0.02, 0.03):
        found = layout if limit == scene.gap_limit else laid_out(replace(scene, gap_limit=limit))
        count = len(found.compartments)
        if count < before:
            raise BrokenPromiseError("limit opens", f"{before} spaces {names}, {count} with {limit * 1000:g} mm")
        if before and count > before and not any(each.kind == "gap" for each in found.flow_paths):
            raise BrokenPromiseError(
                "gap not told", f"{count} spaces for {before} with {limit * 1000:g} mm, and no gap between them"
            )
        before, names = count, f"with {limit * 1000:g} mm"


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


def drags_are_fresh(scene: Scene, layout: Layout, seed: int) -> int:
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
            fresh: Layout | SketchError = laid_out(moved)
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


def try_scene(scene: Scene, seed: int) -> int:
    """Every promise for one scene; the number of drag steps tried.

    Raises BrokenPromiseError, or SketchError where the scene is refused.
    """
    layout = laid_out(scene)
    sums_up(layout)
    gaps_are_told_once(layout)
    higher_limits_open_nothing(scene, layout)
    for by in (2.5, 20.0):
        same_as(f"slid {by:g} m", laid_out(slid(scene, by)), layout)
    same_as("mirrored", laid_out(mirrored(scene)), layout, by_name=False, exact=STEEPEST_MIRROR)
    return drags_are_fresh(scene, layout, seed)


# --- making a failure small


PLAIN = {"rake": 0.0, "angle": 0.0, "slope": 0.0, "slope_across": 0.0, "lean": 0.0, "span": (None, None)}


def smaller(scene: Scene) -> Iterator[Scene]:
    """The scene with one thing less, or one number plainer."""
    for panel in scene.panels:
        yield replace(
            scene,
            bulkheads=tuple(b for b in scene.bulkheads if b is not panel),
            partitions=tuple(p for p in scene.partitions if p is not panel),
            lids=tuple(each for each in scene.lids if each is not panel),
        )
    for block in ("bulkheads", "partitions", "lids"):
        panels = getattr(scene, block)
        for k, panel in enumerate(panels):
            for field in fields(panel):
                plain = {"rake": 0.0, "angle": 0.0, "slope": 0.0, "slope_across": 0.0, "lean": 0.0, "span": (None, None)}
                if field.name in plain and getattr(panel, field.name) != plain[field.name]:
                    yield replace(
                        scene, **{block: (*panels[:k], replace(panel, **{field.name: plain[field.name]}), *panels[k + 1 :])}
                    )


def minimised(scene: Scene, kind: str, trial: Callable[[Scene], object], seconds: float = 60.0) -> Scene:
    """The smallest scene found that breaks the same promise."""
    until = time.monotonic() + seconds
    again = True
    while again and time.monotonic() < until:
        again = False
        for less in smaller(scene):
            try:
                trial(less)
            except BrokenPromiseError as broken:
                if broken.kind == kind:
                    scene, again = less, True
                    break
            except SketchError:
                continue
    return scene


def main() -> int:
    """Try for so many minutes, print what broke and how often; 1 where anything did."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=None)
    parser.add_argument("--keep", type=Path, default=None, help="a folder for the scenes of failures")
    parser.add_argument("--no-small", action="store_true", help="do not look for smaller scenes")
    options = parser.parse_args()
    first = random.randrange(10**6) if options.seed is None else options.seed
    print(f"seed {first}")
    until = time.monotonic() + 60 * options.minutes
    hulls = demo_hulls()
    count: Counter[str] = Counter()
    seed = first
    while time.monotonic() < until:
        seed += 1
        rng = random.Random(seed)
        hull = rng.choice(hulls) if rng.random() < 0.6 else random_hull(rng)
        try:
            scene = random_scene(rng, hull)
        except SketchError:
            count["hulls refused"] += 1
            continue
        count["scenes"] += 1
        try:
            count["drag steps"] += try_scene(scene, seed)
        except SketchError as problem:
            count["refused"] += 1
            count[f"  {str(problem.message)[:60]}"] += 1
            if not problem.remedy:
                count["refused without a remedy"] += 1
        except BrokenPromiseError as broken:
            count["FAILURES"] += 1
            count[f"  FAILED {broken.kind}"] += 1
            small = scene if options.no_small else minimised(scene, broken.kind, lambda s, seed=seed: try_scene(s, seed))
            print(f"seed {seed}: {broken.kind}: {broken}; {len(small.panels)} panels in {hull.name}", flush=True)
            if options.keep is not None:
                options.keep.mkdir(parents=True, exist_ok=True)
                (options.keep / f"{seed}.yaml").write_text(f"# {broken.kind}: {broken}\n{scene_text(small)}")
    for what, times in (*TALLY.items(), *count.items()):
        print(f"{times:7d} {what}")
    return 1 if count["FAILURES"] else 0


if __name__ == "__main__":
    sys.exit(main())
