"""Random boats for property tests: plausible hulls, measured with a tape's errors, each with its own count of points; and random
layouts in hulls of known shape, and the same layouts scaled and mirrored."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st
from specimens import box_form, form_of, layout_scene, wigley_form

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Compartment
from sketcher.geometry.mesh import TriMesh
from sketcher.model.hull import Coachroof, Cockpit, Deck, Hull, Point2, Station
from sketcher.model.scene import Bulkhead, Lid, Partition, Scene

TAPE = 0.003
"""[m] How far a measured number may be out."""


def _section(
    shape: str, half_breadth: float, keel: float, sheer: float, count: int, rng: np.random.Generator
) -> tuple[list[Point2], list[int]]:
    """Points from keel to sheer at irregular places, and which of them are knuckles, from 1."""
    share = np.sort(np.concatenate([[0.0, 1.0], rng.uniform(0.08, 0.92, count - 2)]))
    share = 0.6 * share + 0.4 * np.linspace(0.0, 1.0, count)
    depth = sheer - keel
    if shape == "round":
        angle = share * np.pi / 2
        points = np.column_stack([half_breadth * np.sin(angle) ** 0.9, keel + depth * (1.0 - np.cos(angle)) ** 0.9])
        knuckles: list[int] = []
    else:
        chine = (0.82 * half_breadth, keel + 0.4 * depth)
        below = share[share < 0.45] * 2.0
        above = np.concatenate([[0.0], share[share >= 0.55] * 2.0 - 1.0])
        bottom = np.column_stack([below * chine[0], keel + below * (chine[1] - keel)])
        side = np.column_stack([chine[0] + above * (half_breadth - chine[0]), chine[1] + above * (sheer - chine[1])])
        points = np.concatenate([bottom, side])
        knuckles = [len(bottom) + 1]
    points[1:-1] += rng.uniform(-TAPE, TAPE, (len(points) - 2, 2))
    points[0, 0] = 0.0
    return [(float(b), float(z)) for b, z in points.round(4)], knuckles


@st.composite
def hulls(draw: st.DrawFn) -> Hull:
    """A hull 5 to 12 m long: round, hard-chine, or the one becoming the other; pointed, sharp and plumb, or flat at its ends."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    length, beam = float(rng.uniform(5.0, 12.0)), float(rng.uniform(0.8, 2.0))
    count = draw(st.integers(3, 9))
    bow = draw(st.sampled_from(["stem", "sharp", "flat"]))
    aft = draw(st.sampled_from(["flat", "raked", "sharp", "stern", "open"]))
    kind = draw(st.sampled_from(["round", "chine", "mixed"]))
    inner = np.linspace(0.12, 0.97, count) + rng.uniform(-0.3, 0.3, count) * 0.85 / count
    places = np.sort(inner) * length
    stations = [_station_at(x, length, beam, bow, aft, kind, rng) for x in places]
    foot, head = (float(places[0]), stations[0].points[0][1]), stations[0].points[-1][1] + 0.05
    stem = ()
    if bow == "sharp":
        stations.insert(0, Station(at=0.0, points=((0.0, foot[1]), (0.0, head))))
    elif bow == "stem":
        middle = (0.35 * foot[0], 0.5 * (foot[1] + head))
        stem = tuple((round(x, 4), round(z, 4)) for x, z in (foot, middle, (0.0, head)))
    stern = ()
    keel, top = stations[-1].points[0][1], stations[-1].points[-1][1]
    if aft == "sharp":
        stations.append(Station(at=length * 1.08, points=((0.0, keel + 0.1), (0.0, top))))
    elif aft == "stern":
        stern = ((stations[-1].at, keel), (stations[-1].at + 0.4, 0.5 * (keel + top)), (stations[-1].at + 0.7, top))
    return Hull(
        name="random",
        units="mm",
        stations=tuple(stations),
        stem=stem,
        stern=stern,
        offsets_to=draw(st.sampled_from(["inside", "outside"])),
        shell=draw(st.sampled_from([0.0, 0.004, 0.012, 0.025])),
        between_stations=draw(st.sampled_from(["smooth", "smooth", "straight"])),
        between_points=draw(st.sampled_from(["smooth", "smooth", "straight"])),
        transom_rake=float(rng.uniform(-8.0, 20.0)) if aft == "raked" else 0.0,
        open_aft=aft == "open",
        deck=Deck(camber=draw(st.sampled_from([0.0, 0.06])), thickness=draw(st.sampled_from([0.0, 0.015]))),
    )


@st.composite
def built_up_hulls(draw: st.DrawFn) -> Hull:
    """A random hull, perhaps with a coachroof and a cockpit that may not fit it, perhaps measured out of level."""
    hull = draw(hulls())
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    length = hull.stations[-1].at
    if draw(st.booleans()):
        start, breadths = float(rng.uniform(0.1, 0.4) * length), rng.uniform(0.15, 0.8, 2)
        end, height = start + float(rng.uniform(0.1, 0.4) * length), float(rng.uniform(0.1, 0.5))
        roof = Coachroof(start=start, end=end, half_breadth=(float(breadths[0]), float(breadths[1])), height=height, camber=0.05)
        hull = replace(hull, coachroof=roof)
    if draw(st.booleans()):
        start, breadths = float(rng.uniform(0.5, 0.8) * length), rng.uniform(0.15, 0.7, 2)
        end, sole = start + float(rng.uniform(0.05, 0.4) * length), float(rng.uniform(0.4, 1.0))
        hull = replace(
            hull, cockpit=Cockpit(start=start, end=end, half_breadth=(float(breadths[0]), float(breadths[1])), sole=sole)
        )
    if draw(st.booleans()):
        hull = replace(hull, measured_trim=float(rng.uniform(-3.0, 3.0)), measured_heel=float(rng.uniform(-1.0, 1.0)))
    return hull


def _station_at(x: float, length: float, beam: float, bow: str, aft: str, kind: str, rng: np.random.Generator) -> Station:
    u = x / length
    fore = 0.35 if bow == "flat" else 0.0
    half_breadth = (
        beam * (fore + (1.0 - fore) * np.sin(np.pi / 2 * min(u / 0.55, 1.0)) ** 0.8) * (1.0 - 0.5 * max(u - 0.6, 0.0) ** 1.5)
    )
    keel = 0.5 * (1.0 - min(u / 0.4, 1.0)) ** 2 + (0.9 * max(u - 0.65, 0.0) if aft != "open" else 0.0)
    sheer = 1.3 + 0.5 * (u - 0.6) ** 2
    shape = kind if kind != "mixed" else ("round" if u < 0.5 else "chine")
    points, knuckles = _section(shape, half_breadth, keel, sheer, int(rng.integers(4, 10)), rng)
    return Station(at=round(float(x), 4), points=tuple(points), knuckles=tuple(knuckles))


FORMS = {"box": box_form(4.0, 2.0, 1.0), "wigley": wigley_form(4.0, 1.6, 0.8, columns=40, rows=16)}


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 1000), round(high * 1000)).map(lambda mm: mm / 1000)


@st.composite
def layouts(draw: st.DrawFn) -> tuple[Scene, HullForm]:
    """A scene with up to four bulkheads, raked and at an angle, and lids and partitions between them, tied or not."""
    form = FORMS[draw(st.sampled_from(sorted(FORMS)))]
    places = sorted(draw(st.lists(st.integers(4, 34), min_size=1, max_size=4, unique_by=lambda n: n // 6)))
    bulkheads = tuple(
        Bulkhead(
            name=f"bulkhead {k}",
            at=n / 10 + draw(_mm(0.0, 0.05)),
            thickness=draw(st.sampled_from([0.006, 0.009, 0.012, 0.018])),
            rake=draw(st.sampled_from([0.0, 0.0, -6.0, 4.5])),
            angle=draw(st.sampled_from([0.0, 0.0, 5.0])),
            top=draw(st.sampled_from(["deck", "deck", 0.62])),
        )
        for k, n in enumerate(places)
    )
    ends = ["stem", *(b.name for b in bulkheads), "transom"]
    lids, partitions = [], []
    for k, (start, end) in enumerate(pairwise(ends)):
        if draw(st.booleans()):
            height, slope = draw(_mm(0.25, 0.5)), draw(st.sampled_from([0.0, 0.0, 3.0, -2.0]))
            lids.append(Lid(name=f"lid {k}", height=height, start=start, end=end, thickness=0.012, slope=slope))
        if draw(st.booleans()):
            off, top = (
                draw(_mm(-0.3, 0.3)),
                lids[-1].name if lids and draw(st.booleans()) and lids[-1].name == f"lid {k}" else "deck",
            )
            partitions.append(Partition(name=f"web {k}", off_centre=(off, off), start=start, end=end, thickness=0.009, top=top))
    return layout_scene(form, bulkheads=bulkheads, lids=tuple(lids), partitions=tuple(partitions)), form


def scaled_form(form: HullForm, k: float) -> HullForm:
    return form_of(TriMesh(form.inside.vertices * k, form.inside.triangles, form.inside.labels))


def mirrored_form(form: HullForm) -> HullForm:
    flipped = form.inside.vertices * np.array([1.0, -1.0, 1.0])
    return form_of(TriMesh(flipped, form.inside.triangles[:, ::-1], form.inside.labels))


def _times(value: object, k: float) -> object:
    return value * k if isinstance(value, float) else value


def scaled(scene: Scene, k: float) -> Scene:
    """Every length times k; angles as they are."""
    return replace(
        scene,
        gap_limit=scene.gap_limit * k,
        bulkheads=tuple(replace(b, at=_times(b.at, k), thickness=b.thickness * k, top=_times(b.top, k)) for b in scene.bulkheads),  # type: ignore[arg-type]
        lids=tuple(replace(lid, height=lid.height * k, thickness=lid.thickness * k) for lid in scene.lids),
        partitions=tuple(
            replace(p, off_centre=(p.off_centre[0] * k, p.off_centre[1] * k), thickness=p.thickness * k) for p in scene.partitions
        ),
    )


def mirrored(scene: Scene) -> Scene:
    """Port for starboard."""
    return replace(
        scene,
        bulkheads=tuple(replace(b, angle=-b.angle) for b in scene.bulkheads),
        partitions=tuple(replace(p, off_centre=(-p.off_centre[0], -p.off_centre[1])) for p in scene.partitions),
    )


def volumes(compartments: Iterable[Compartment], above: float) -> list[float]:
    """Sorted volumes [m3] of the compartments larger than `above`."""
    return sorted(c.volume for c in compartments if c.volume > above)
