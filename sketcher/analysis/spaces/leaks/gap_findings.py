"""Findings about what is not tight: panels that stop short, names that share one space, seeds that lie nowhere, slivers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from sketcher.analysis.findings import Finding, Length, Phrase, Place, Value, Volume
from sketcher.analysis.hull.form import DECK, SKIN, HullForm
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.blocks import WholeLayout
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.analysis.spaces.leaks.slots import Slot
from sketcher.geometry.solid.rays import holds
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
    edge = shape.faces[slot.face].name
    beyond = owner_name(slot.beyond, shapes)
    joined = [names[k] for k in slot.between] if slot.between else []
    spaces = tuple(name for name in joined if name is not None)
    leaks = slot.lapping or len(spaces) == 2
    values: dict[str, Value] = {
        "panel": shape.name,
        "edge": None if slot.lapping else edge,
        "beyond": beyond,
        "width": Length(slot.width),
        "length": Length(slot.length),
        "at": Place(slot.at),
        "remedy": Phrase("bring-together") if slot.lapping else _remedy(edge, slot, beyond),
    }
    return Finding(
        code="gap" if leaks else "short-edge",
        severity="warn" if leaks else "note",
        object=shape.name,
        values={**values, "spaces": spaces} if leaks else {**values, "one_face": slot.blind},
        measured=slot.width,
        limit=scene.gap_limit,
        at=slot.at,
    )


def _remedy(edge: str, slot: Slot, beyond: str) -> Phrase:
    """How to close it: by how much to extend the edge, or the tie that keeps it closed."""
    longer: dict[str, Value] = {"edge": edge, "width": Length(slot.width)}
    to_panel = slot.beyond >= FIRST_PANEL
    if edge in _KEYS:
        key, own = _KEYS[edge]
        return Phrase("extend-or-write", {**longer, "key": key, "limit": beyond if to_panel else own})
    return Phrase("extend-or-tie-span", {**longer, "beyond": beyond}) if to_panel else Phrase("extend-or-free-span", longer)


def lost_seeds(
    scene: Scene, form: HullForm, shapes: Sequence[PanelShape], homes: Sequence[int], is_space: Sequence[bool]
) -> list[Finding]:
    """A finding for each named space whose point lies in no compartment. homes: part of each, -1 for none."""
    findings: list[Finding] = []
    for seed, home in zip(scene.compartments, homes, strict=True):
        if home >= 0 and is_space[home]:
            continue
        where, inside = _where(seed, form, shapes)
        values: dict[str, Value] = {"space": seed.name, "at": Place(seed.at), **inside}
        findings.append(Finding(code=where, severity="stop", object=seed.name, values=values, at=seed.at))
    return findings


def _where(seed: NamedSpace, form: HullForm, shapes: Sequence[PanelShape]) -> tuple[str, dict[str, str]]:
    """The finding's code, and the panel that the point lies in, if any."""
    point = np.array(seed.at)
    for shape in shapes:
        if any(all(plane.over(point) <= 0.0 for _, plane in piece.faces) for piece in shape.convex):
            return "seed-in-panel", {"panel": shape.name}
    if not holds(form.inside, point):
        return "seed-outside", {}
    return "seed-in-sliver", {}


def shared_names(scene: Scene, homes: Sequence[int], joins: Mapping[int, Phrase]) -> list[Finding]:
    """A finding for each space that holds the points of several names. joins: for such a part, where they join."""
    findings: list[Finding] = []
    for part in sorted({home for home in homes if home >= 0}):
        names = tuple(seed.name for seed, home in zip(scene.compartments, homes, strict=True) if home == part)
        if len(names) > 1:
            findings.append(
                Finding(
                    code="names-in-one-space",
                    severity="stop",
                    object=names[0],
                    values={"names": names, "why": joins.get(part, Phrase("no-panel-between"))},
                )
            )
    return findings


def slivers(whole: WholeLayout, chosen: Sequence[int], shapes: Sequence[PanelShape]) -> list[Finding]:
    """A finding for each space too small to be one. chosen: their parts."""
    findings: list[Finding] = []
    for part in chosen:
        about = sorted({owner_name(owner, shapes) for owner in np.unique(whole.meshes[part].labels).tolist()})
        volume = float(whole.volume[part])
        x, y, z = whole.centroid[part].tolist()
        findings.append(
            Finding(
                code="sliver",
                severity="warn",
                object=next((name for name in about if not name.startswith("the ")), about[0]),
                values={"about": tuple(about), "volume": Volume(volume), "at": Place((x, y, z))},
                measured=volume,
                limit=SLIVER_VOLUME,
                at=(x, y, z),
            )
        )
    return findings
