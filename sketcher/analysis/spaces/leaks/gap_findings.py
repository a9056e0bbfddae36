"""Findings about what is not tight: panels that stop short, names that share one space, seeds that lie nowhere, slivers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import DECK, SKIN, HullForm
from sketcher.analysis.phrases import listed, litres, mm, place
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.blocks import WholeLayout
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.analysis.spaces.leaks.gap_sealing import Slot
from sketcher.geometry.solid.boolean import crossings_above
from sketcher.geometry.tolerances import GAP_SEEN, SLIVER_VOLUME
from sketcher.model.scene import NamedSpace, Scene

_KEYS = {
    "fore end": ("from", "stem"),
    "after end": ("to", "transom"),
    "bottom edge": ("bottom", "hull"),
    "top edge": ("top", "deck"),
}


def owner_name(owner: int, shapes: Sequence[PanelShape]) -> str:
    """What a triangle's owner is called in words."""
    if owner >= FIRST_PANEL:
        return shapes[owner - FIRST_PANEL].name
    return {SKIN: "the hull", DECK: "the deck"}.get(owner, "the open end of the hull")


def short_panels(scene: Scene, shapes: Sequence[PanelShape], slots: Sequence[Slot], names: Sequence[str | None]) -> list[Finding]:
    """A finding for every slot: a warning where it alone joins two spaces, else a note."""
    return [_short(scene, shapes, slot, names) for slot in slots if slot.width > GAP_SEEN]


def _short(scene: Scene, shapes: Sequence[PanelShape], slot: Slot, names: Sequence[str | None]) -> Finding:
    shape = shapes[slot.panel]
    edge = shape.faces[slot.face][0]
    beyond = owner_name(slot.beyond, shapes)
    joined = [names[k] for k in slot.between] if slot.between else []
    spaces = [name for name in joined if name is not None]
    if slot.lapping:
        return _lapping(scene, shape, slot, beyond, listed(spaces))
    head = f"The {edge} of {shape.name} stops {mm(slot.width)} short of {beyond} over {mm(slot.length)}, round {place(slot.at)}"
    if len(spaces) == 2:
        what = f": water passes between {spaces[0]} and {spaces[1]}."
    elif slot.blind:
        what = ", at one face only; at the other it is closed, so nothing leaks. Bevel the edge to fit."
    else:
        what = "; the spaces on its two sides are joined elsewhere as well."
    return Finding(
        code="gap" if len(spaces) == 2 else "short-edge",
        severity="warn" if len(spaces) == 2 else "note",
        object=shape.name,
        message=f"{head}{what} {_remedy(edge, shape, slot, beyond)}",
        measured=slot.width,
        limit=scene.gap_limit,
        at=slot.at,
    )


def _lapping(scene: Scene, shape: PanelShape, slot: Slot, beyond: str, spaces: str) -> Finding:
    return Finding(
        code="gap",
        severity="warn",
        object=shape.name,
        message=f"{shape.name} and {beyond} pass each other {mm(slot.width)} apart over {mm(slot.length)}, round "
        f"{place(slot.at)}: water passes between {spaces}. Bring them together, or close the gap with a strip between them.",
        measured=slot.width,
        limit=scene.gap_limit,
        at=slot.at,
    )


def _remedy(edge: str, shape: PanelShape, slot: Slot, beyond: str) -> str:
    """How to close it: by so many millimetres, or by the tie that keeps it closed."""
    longer = f"Extend its {edge} by {mm(slot.width)}"
    if edge not in _KEYS:
        return (
            f"{longer}, or tie that side of its span to {beyond}."
            if slot.beyond >= FIRST_PANEL
            else f"{longer}, or leave out that side of its span."
        )
    key, own = _KEYS[edge]
    if slot.beyond >= FIRST_PANEL:
        return f"{longer}, or write {key}: {beyond}."
    return f"{longer}, or write {key}: {own}."


def lost_seeds(
    scene: Scene, form: HullForm, shapes: Sequence[PanelShape], homes: Sequence[int], is_space: Sequence[bool]
) -> list[Finding]:
    """A finding for each named space whose point lies in no compartment. homes: part of each, -1 for none."""
    found: list[Finding] = []
    for seed, home in zip(scene.compartments, homes, strict=True):
        if home >= 0 and is_space[home]:
            continue
        where, what = _where(seed, form, shapes)
        found.append(
            Finding(
                code=where,
                severity="stop",
                object=seed.name,
                message=f"The point that stands for {seed.name}, {place(seed.at)}, {what}: the name and its use are given to no "
                "space. Move the point into the space it is to name.",
                at=seed.at,
            )
        )
    return found


def _where(seed: NamedSpace, form: HullForm, shapes: Sequence[PanelShape]) -> tuple[str, str]:
    point = np.array(seed.at)
    for shape in shapes:
        for piece in shape.pieces:
            if all(np.array(shape.faces[f][1].normal) @ point <= shape.faces[f][1].distance for f in piece):
                return "seed-in-panel", f"lies inside {shape.name}"
    mesh = form.inside
    inside = crossings_above(mesh.vertices, mesh.triangles, np.zeros(len(mesh.triangles), dtype=np.int64), 1, point)
    if inside[0] <= 0:
        return "seed-outside", "lies outside the hull"
    return "seed-in-sliver", "lies in a gap or a sliver between panels"


def shared_names(scene: Scene, homes: Sequence[int], joins: dict[int, str]) -> list[Finding]:
    """A finding for each space that holds the points of several names. joins: for such a part, in words, where they join."""
    found: list[Finding] = []
    for part in sorted({home for home in homes if home >= 0}):
        names = [seed.name for seed, home in zip(scene.compartments, homes, strict=True) if home == part]
        if len(names) > 1:
            found.append(
                Finding(
                    code="names-in-one-space",
                    severity="stop",
                    object=names[0],
                    message=f"{listed(names)} are one space: {joins.get(part, 'no panel parts the one from the other')}. "
                    f"It is called {names[0]} here. Close it, or leave {listed(names[1:])} out.",
                )
            )
    return found


def slivers(whole: WholeLayout, chosen: Sequence[int], shapes: Sequence[PanelShape]) -> list[Finding]:
    """A finding for each space too small to be one. chosen: their parts."""
    found: list[Finding] = []
    for part in chosen:
        about = sorted({owner_name(owner, shapes) for owner in np.unique(whole.meshes[part].labels).tolist()})
        volume = float(whole.volume[part])
        x, y, z = whole.centroid[part].tolist()
        found.append(
            Finding(
                code="sliver",
                severity="warn",
                object=next((name for name in about if not name.startswith("the ")), about[0]),
                message=f"{listed(about)} enclose a space of only {litres(volume)} round {place((x, y, z))}. It counts as no "
                "compartment: fill it, or move one of the panels so that it closes or opens.",
                measured=volume,
                limit=SLIVER_VOLUME,
                at=(x, y, z),
            )
        )
    return found
