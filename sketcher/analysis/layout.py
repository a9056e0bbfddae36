"""Lay a scene's panels out in its hull: the compartments they leave, what joins them, and whether it all adds up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.blocks import Block, block_of
from sketcher.analysis.cutting import HullSolid, hull_solid, left_over, owners_of, panel_solids, trimmed
from sketcher.analysis.holes import openings
from sketcher.analysis.hollow import hollow_stringers
from sketcher.analysis.hull_form import HullForm
from sketcher.analysis.joins import where_joined
from sketcher.analysis.leaks import lost_seeds, shared_names, short_panels, slivers
from sketcher.analysis.misfits import panel_misfits, two_in_one_place
from sketcher.analysis.panels import place_panels
from sketcher.analysis.results import OUTSIDE, Compartment, Finding, Layout, PanelShape, Way
from sketcher.analysis.sides import Meeting, meetings
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
    block = block_of(scene, surface_of(left_over(hull, solids)), shapes, hull, owners_of(hull, solids))
    spaces = spaces_from(scene, block, shapes)
    findings = [
        *panel_misfits(scene, form, shapes, placing.empty),
        *two_in_one_place(hull, solids),
        *shared_names(scene, block.homes, _where(scene, block, spaces, shapes, hull)),
    ]
    return assembled(scene, form, shapes, block, spaces, findings)


def assembled(
    scene: Scene, form: HullForm, shapes: Sequence[PanelShape], block: Block, spaces: Spaces, findings: Sequence[Finding]
) -> Layout:
    """A layout from its spaces: ways, what adjoins what, and the sum of volumes.

    findings: those already known. Raises GeometryError where the volumes do not add up.
    """
    hull = hull_solid(form)
    parts = block.parts
    rooms = Rooms(parts, tuple(spaces.compartments[k].name if k >= 0 else None for k in spaces.at.tolist()))
    met = meetings(block.boards)
    through, of_openings = openings(scene, rooms, shapes, block.boards, met)
    ways = [*gap_ways(rooms, shapes, block.sealed.slots), *leaky_panels(rooms, shapes, met), *through]
    ways += hollow_stringers(scene, form, rooms)
    ways.sort(key=lambda way: (way.kind, way.name, way.between))
    walled = np.bincount(parts.part[parts.plug], minlength=parts.count) > 0
    small = parts.volume <= SLIVER_VOLUME
    lost = np.flatnonzero(small & ~walled).tolist()
    panel_volume = sum(shape.volume for shape in shapes)
    gap_volume = block.sealed.gap_volume + float(parts.volume[small & walled].sum())
    sliver_volume = float(parts.volume[lost].sum())
    residual = hull.volume - sum(c.volume for c in spaces.compartments) - panel_volume - gap_volume - sliver_volume
    check_sum(residual, hull.volume)
    return Layout(
        scene=scene,
        hull=form,
        panels=tuple(shapes),
        compartments=joined_by(spaces.compartments, ways),
        ways=tuple(ways),
        adjoining=adjoining(rooms, met),
        findings=(
            *findings,
            *lost_seeds(scene, form, shapes, block.homes, (spaces.at >= 0).tolist()),
            *short_panels(scene, shapes, block.sealed.slots, rooms.names),
            *slivers(parts, lost, shapes),
            *of_openings,
        ),
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


def _where(scene: Scene, block: Block, spaces: Spaces, shapes: Sequence[PanelShape], hull: HullSolid) -> dict[int, str]:
    """For each space that several names share, in words, where what they name is joined."""
    where: dict[int, str] = {}
    for part in np.flatnonzero(spaces.at >= 0).tolist():
        points = [np.array(seed.at) for seed, home in zip(scene.compartments, block.homes, strict=True) if home == part]
        if len(points) > 1:
            said = where_joined(block.sealed, part, points, shapes, hull)
            if said is not None:
                where[part] = said
    return where


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
