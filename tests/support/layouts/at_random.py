"""Layouts drawn at random: 1 to 12 panels, tied, raked, sloped, at an angle, with gaps from 0 to 25 mm, in any hull."""

from __future__ import annotations

import random
from dataclasses import replace

from sketcher.analysis.evaluate import hull_form
from sketcher.model.demos import demo_scenes
from sketcher.model.files.scene_file import read_scene
from sketcher.model.hull import Coachroof, Cockpit, Deck, Hull, Station
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Limit, Partition, Scene

GAPS = (0.0, 1e-6, 5e-6, 1e-5, 2e-5, 1e-4, 5e-4, 1e-3, 2e-3, 5e-3, 8e-3, 0.012, 0.015, 0.018, 0.0199, 0.02, 0.0201, 0.025, 0.06)
THICKNESSES = (0.004, 0.006, 0.009, 0.012, 0.018, 0.024)


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
