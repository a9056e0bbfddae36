"""Lay a scene's panels out in its hull: the compartments they leave, what joins them, and whether it all adds up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.cutting import HullSolid, hull_solid, left_over, owners_of, panel_solids, parts_in, trimmed
from sketcher.analysis.gaps import Sealed, seal
from sketcher.analysis.holes import openings
from sketcher.analysis.hollow import hollow_stringers
from sketcher.analysis.hull_form import HullForm
from sketcher.analysis.joins import where_joined
from sketcher.analysis.leaks import lost_seeds, shared_names, short_panels, slivers
from sketcher.analysis.misfits import panel_misfits
from sketcher.analysis.panels import place_panels
from sketcher.analysis.results import OUTSIDE, Compartment, Finding, Layout, PanelShape, Way
from sketcher.analysis.sides import Meeting, boards, meetings
from sketcher.analysis.spaces import Spaces, spaces_from
from sketcher.analysis.ways import Rooms, gap_ways, leaky_panels
from sketcher.geometry.mesh import GeometryError
from sketcher.geometry.solid import surface_of
from sketcher.geometry.tolerances import RESIDUAL, SLIVER_VOLUME
from sketcher.model.scene import Scene


def lay_out(scene: Scene, form: HullForm) -> Layout:
    """The compartments of a scene in its hull, with every check; the same answer in every process.

    Raises SketchError where a panel is tied to what does not exist or cannot be built, GeometryError where volumes of
    compartments, panels and hull do not add up.
    """
    placing = place_panels(scene, form)
    hull = hull_solid(form)
    solids = panel_solids(placing.shapes)
    shapes = trimmed(hull, solids)
    surface = surface_of(left_over(hull, solids))
    owners = owners_of(hull, solids)
    raw = parts_in(surface, hull, owners)
    sealed = seal(raw, surface, shapes, hull, owners, scene.gap_limit)
    parts = sealed.parts
    large = parts.volume > SLIVER_VOLUME
    crumbs = _crumbs(sealed)
    spaces = spaces_from(scene, parts, shapes, np.flatnonzero(large))
    rooms = Rooms(parts, tuple(spaces.compartments[k].name if k >= 0 else None for k in spaces.at.tolist()))
    met = meetings(boards(parts, shapes))
    through, of_openings = openings(scene, rooms, shapes, met)
    ways = _sorted(
        [
            *gap_ways(rooms, shapes, sealed.slots),
            *leaky_panels(rooms, shapes, met),
            *through,
            *hollow_stringers(scene, form, rooms),
        ]
    )
    panel_volume = sum(shape.volume for shape in shapes)
    gap_volume = sealed.gap_volume + float(parts.volume[crumbs].sum())
    small = np.flatnonzero(~large & ~crumbs).tolist()
    sliver_volume = float(parts.volume[small].sum())
    residual = hull.volume - sum(c.volume for c in spaces.compartments) - panel_volume - gap_volume - sliver_volume
    check_sum(residual, hull.volume)
    findings = [
        *panel_misfits(scene, form, hull, solids, shapes, placing.empty),
        *lost_seeds(scene, form, shapes, spaces.seeds, (spaces.at >= 0).tolist()),
        *_shared(scene, sealed, spaces, shapes, hull),
        *short_panels(scene, shapes, sealed.slots, rooms.names),
        *slivers(parts, small, shapes),
        *of_openings,
    ]
    return Layout(
        scene=scene,
        hull=form,
        panels=shapes,
        compartments=joined_by(spaces.compartments, ways),
        ways=ways,
        adjoining=adjoining(rooms, met),
        findings=tuple(findings),
        inside_volume=hull.volume,
        panel_volume=panel_volume,
        sliver_volume=sliver_volume,
        residual=residual,
        gap_volume=gap_volume,
    )


def check_sum(residual: float, inside: float) -> None:
    """Raise GeometryError where the volumes miss the hull's by more than rounding."""
    if not abs(residual) <= RESIDUAL * inside:
        raise GeometryError(
            f"compartments, panels and gaps do not add up to the inside of the hull: {residual * 1e6:.3g} ml of "
            f"{inside * 1000:.1f} litres are missing"
        )


def _crumbs(sealed: Sealed) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which parts are what closing a gap has cut off a space: too small for one, and with a plug for a wall."""
    walled = np.bincount(sealed.parts.part[sealed.parts.plug], minlength=sealed.parts.count) > 0
    return walled & (sealed.parts.volume <= SLIVER_VOLUME)


def _shared(scene: Scene, sealed: Sealed, spaces: Spaces, shapes: Sequence[PanelShape], hull: HullSolid) -> list[Finding]:
    """Names that share a space, with where it is joined."""
    where: dict[int, str] = {}
    for part in sorted({home for home in spaces.seeds if home >= 0}):
        points = [np.array(seed.at) for seed, home in zip(scene.compartments, spaces.seeds, strict=True) if home == part]
        if len(points) > 1:
            said = where_joined(sealed, part, points, shapes, hull)
            if said is not None:
                where[part] = said
    return shared_names(scene, spaces.seeds, where)


def _sorted(ways: Sequence[Way]) -> tuple[Way, ...]:
    return tuple(sorted(ways, key=lambda way: (way.kind, way.name, way.between)))


def adjoining(rooms: Rooms, met: Sequence[Meeting]) -> tuple[tuple[str, str], ...]:
    """The pairs of compartments that share a face of a panel, each pair and all of them in alphabetical order."""
    pairs = {rooms.pair(meeting.front, meeting.back) for meeting in met}
    return tuple(sorted({(min(pair), max(pair)) for pair in pairs if pair is not None}))


def joined_by(compartments: Sequence[Compartment], ways: Sequence[Way]) -> tuple[Compartment, ...]:
    """The compartments with what each is open to: others in their order, then the outside."""
    order = {compartment.name: k for k, compartment in enumerate(compartments)} | {OUTSIDE: len(compartments)}
    open_to: dict[str, set[str]] = {name: set() for name in order}
    for way in ways:
        a, b = way.between
        open_to[a].add(b)
        open_to[b].add(a)
    return tuple(
        replace(c, open_to=tuple(sorted(open_to[c.name], key=order.__getitem__)), watertight=c.bounded and not open_to[c.name])
        for c in compartments
    )
