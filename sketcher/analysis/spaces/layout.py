"""Lay a scene's panels out in its hull: the compartments they leave, what joins them, and whether it all adds up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.findings import Finding, Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import OUTSIDE, Compartment, FlowPath, Layout, PanelShape
from sketcher.analysis.spaces.blocks import LayoutBlock, WholeLayout, layout_block, together
from sketcher.analysis.spaces.boolean_cuts import (
    HullSolid,
    hull_solid,
    outside,
    owners_of,
    panel_ids,
    panel_solids,
    taken_apart,
    with_trim,
)
from sketcher.analysis.spaces.compartments import Spaces, spaces_from
from sketcher.analysis.spaces.drag.lazy_sequence import LazySequence
from sketcher.analysis.spaces.face_regions import Meeting, meetings
from sketcher.analysis.spaces.leaks.chain_pipes import chain_pipes
from sketcher.analysis.spaces.leaks.flow_paths import SpaceNames, gap_paths, leaky_panels
from sketcher.analysis.spaces.leaks.gap_findings import lost_seeds, shared_names, short_panels, slivers
from sketcher.analysis.spaces.leaks.hollow_stringers import hollow_stringers
from sketcher.analysis.spaces.leaks.opening_paths import openings
from sketcher.analysis.spaces.misplaced_panels import panel_misfits, two_in_one_place, volumes_missing
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.analysis.spaces.shared_spaces import where_joined
from sketcher.geometry.tolerances import SLIVER_VOLUME
from sketcher.model.scene import Scene


def lay_out(scene: Scene, form: HullForm) -> Layout:
    """The compartments of a scene in its hull, with every check; the same answer in every process.

    Raises SketchError where a panel is tied to what does not exist or cannot be built. Volumes that do not add up are a finding.
    """
    placing = place_panels(scene, form)
    hull = hull_solid(form)
    solids = panel_solids(placing.shapes, panel_ids(form, len(placing.shapes)))
    shapes = with_trim(hull, solids)
    rest, panel_volume = taken_apart(hull, solids)
    block = layout_block(scene, rest, shapes, hull, owners_of(hull, solids))
    whole = together([block])
    spaces = spaces_from(scene, whole, shapes)
    findings = [
        *panel_misfits(scene, form, (*placing.astray, *outside(hull, solids, whole.bounding)), placing.empty),
        *two_in_one_place(hull, solids),
        *shared_names(scene, block.homes, _where(scene, block, spaces, shapes, hull)),
    ]
    return assembled(scene, form, shapes, whole, spaces, findings, panel_volume=panel_volume)


def spaces_alone(scene: Scene, form: HullForm) -> Layout:
    """The same panels and compartments to the last bit, without what joins or adjoins them and with no check but on lost panels.

    For who asks volumes and berths of many layouts. Raises SketchError as `lay_out`.
    """
    placing = place_panels(scene, form)
    hull = hull_solid(form)
    solids = panel_solids(placing.shapes, panel_ids(form, len(placing.shapes)))
    shapes = with_trim(hull, solids)
    rest, _ = taken_apart(hull, solids, "alike")
    whole = together([layout_block(scene, rest, shapes, hull, owners_of(hull, solids))])
    out = outside(hull, solids, whole.bounding)
    return Layout(
        scene=scene,
        hull=form,
        panels=tuple(shapes),
        compartments=spaces_from(scene, whole, shapes).compartments,
        flow_paths=(),
        adjoining=(),
        findings=tuple(panel_misfits(scene, form, (*placing.astray, *out), placing.empty)),
        inside_volume=hull.volume,
        panel_volume=0.0,
        sliver_volume=0.0,
        residual=0.0,
    )


def assembled(
    scene: Scene,
    form: HullForm,
    shapes: Sequence[PanelShape],
    whole: WholeLayout,
    spaces: Spaces,
    findings: Sequence[Finding],
    *,
    panel_volume: float | None,
) -> Layout:
    """A layout from its spaces: flow paths, what adjoins what, and the sum of volumes.

    findings: those already known. panel_volume [m3]: of the panels inside the hull, found by themselves; None takes what the
    spaces leave for it, unchecked.
    """
    names = SpaceNames(tuple(spaces.compartments[k].name if k >= 0 else None for k in spaces.at.tolist()))
    near = whole.boards(_let_through(scene, shapes))
    met = meetings(near)
    through, closed, of_openings = openings(scene, names, spaces.compartments, shapes, near, met)
    paths = [*gap_paths(names, shapes, whole.slots), *leaky_panels(names, shapes, met), *through]
    paths += hollow_stringers(scene, form, spaces.compartments)
    pipes, stopped, of_pipes = chain_pipes(scene, spaces.compartments)
    paths += pipes
    paths.sort(key=lambda path: (path.kind, path.name, path.between))
    small = whole.volume <= SLIVER_VOLUME
    lost = np.flatnonzero(small & ~whole.walled).tolist()
    gap_volume = whole.gap_volume + float(whole.volume[small & whole.walled].sum())
    sliver_volume = float(whole.volume[lost].sum())
    inside = hull_solid(form).volume
    left = inside - sum(c.volume for c in spaces.compartments) - gap_volume - sliver_volume
    residual = 0.0 if panel_volume is None else left - panel_volume
    return Layout(
        scene=scene,
        hull=form,
        panels=tuple(shapes),
        compartments=joined_by(spaces.compartments, paths),
        flow_paths=tuple(paths),
        adjoining=LazySequence(lambda: adjoining(names, meetings(whole.boards()))),
        findings=(
            *findings,
            *volumes_missing(shapes, residual, inside),
            *lost_seeds(scene, form, shapes, whole.homes, (spaces.at >= 0).tolist()),
            *short_panels(scene, shapes, whole.slots, names.of_part),
            *slivers(whole, lost, shapes),
            *of_openings,
            *of_pipes,
        ),
        inside_volume=inside,
        panel_volume=left if panel_volume is None else panel_volume,
        sliver_volume=sliver_volume,
        residual=residual,
        gap_volume=gap_volume,
        closed=(*closed, *stopped),
    )


def _let_through(scene: Scene, shapes: Sequence[PanelShape]) -> frozenset[int]:
    """The panels that may let water through: with an opening, or not watertight."""
    pierced = {opening.through for opening in scene.openings}
    return frozenset(k for k, shape in enumerate(shapes) if shape.name in pierced or not shape.panel.watertight)


def _where(scene: Scene, block: LayoutBlock, spaces: Spaces, shapes: Sequence[PanelShape], hull: HullSolid) -> dict[int, Phrase]:
    """For each space that several names share, where what they name is joined."""
    where: dict[int, Phrase] = {}
    for part in np.flatnonzero(spaces.at >= 0).tolist():
        points = [np.array(seed.at) for seed, home in zip(scene.compartments, block.homes, strict=True) if home == part]
        if len(points) > 1:
            said = where_joined(block.sealed, part, points, shapes, hull)
            if said is not None:
                where[part] = said
    return where


def adjoining(names: SpaceNames, met: Sequence[Meeting]) -> tuple[tuple[str, str], ...]:
    """The pairs of compartments that share a face of a panel, each pair and all of them in alphabetical order."""
    pairs = {names.pair(meeting.front, meeting.back) for meeting in met}
    return tuple(sorted({(min(pair), max(pair)) for pair in pairs if pair is not None}))


def joined_by(compartments: Sequence[Compartment], paths: Sequence[FlowPath]) -> tuple[Compartment, ...]:
    """The compartments with what each is open to: others in their order, then the outside."""
    order = {compartment.name: k for k, compartment in enumerate(compartments)} | {OUTSIDE: len(compartments)}
    open_to: dict[str, set[str]] = {name: set() for name in order}
    for path in paths:
        a, b = path.between
        open_to[a].add(b)
        open_to[b].add(a)
    # As they come compartments are open to nothing.
    return tuple(
        replace(c, open_to=tuple(sorted(open_to[c.name], key=order.__getitem__)), watertight=False) if open_to[c.name] else c
        for c in compartments
    )
