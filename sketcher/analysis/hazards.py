"""What a space's use brings with it that burns, explodes or poisons, whatever else is said of the space."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from sketcher.analysis.findings import Finding, Length, Phrase, Place, Value
from sketcher.analysis.results import OUTSIDE, BerthFigures, Compartment, Layout, WaterPlane
from sketcher.geometry.solid.rays import holds
from sketcher.model.scene import Scene

SINKING = ("gas", "petrol")
"""What lies in the lowest place as vapour until a spark finds it."""

FUELS = ("petrol", "diesel")

_CODES = {"gas": "gas-space", "battery": "battery-space", "petrol": "petrol-space", "diesel": "diesel-space"}


def hazard_findings(layout: Layout, water: WaterPlane | None, berths: Sequence[BerthFigures]) -> tuple[Finding, ...]:
    """Cautions by the use of each space and by what the scene puts into it, one for each hazard."""
    return (*_foam(layout), *_stored(layout, water, berths))


def stored(space: Compartment, scene: Scene) -> tuple[str, ...]:
    """Which of gas, battery, petrol and diesel a space is for, by its use and the tanks in it."""
    fuels = (tank.holds for tank in scene.tanks if tank.space == space.name and tank.holds in FUELS)
    return tuple(dict.fromkeys((*((space.use,) if space.use in ("gas", "battery") else ()), *fuels)))


def _stored(layout: Layout, water: WaterPlane | None, berths: Sequence[BerthFigures]) -> Iterator[Finding]:
    """What holds gas, batteries or fuel: what common practice asks for, and what in this layout stands against it.

    A warning where something does, and for petrol always; else a note.
    """
    kept = {space.name: stored(space, layout.scene) for space in layout.compartments}
    for space in layout.compartments:
        for what in kept[space.name]:
            against = [*_near_berths(layout, space, berths), *_joined_inside(space, kept, what)]
            if what == "gas":
                against += [*_no_drain(space, water), *_not_from_above(layout, space)]
            yield Finding(
                code=_CODES[what],
                severity="warn" if against or what == "petrol" else "note",
                object=space.name,
                values={"space": space.name, "against": tuple(against)},
                source=_CODES[what],
                at=space.centroid,
            )


def _near_berths(layout: Layout, space: Compartment, berths: Sequence[BerthFigures]) -> Iterator[Phrase]:
    """The berths that stand in a space, or lie over it on its lid."""
    figures = {berth.name: berth for berth in berths}
    inside, under = [], []
    for berth in layout.scene.berths:
        of = figures.get(berth.name)
        line = None if of is None else of.line
        if of is not None and line is not None and holds(space.mesh, np.array([*np.mean(line, axis=0), of.surface])):
            inside.append(berth.name)
        elif (berth.lies_on, "under") in space.bounds and _overlap(space, of):
            under.append(berth.name)
    if inside:
        yield Phrase("holds-berths", {"berths": tuple(inside)})
    if under:
        yield Phrase("lies-under-berths", {"berths": tuple(under)})


def _overlap(space: Compartment, berth: BerthFigures | None) -> bool:
    """Whether a berth lies over some of a space; taken for true where its outline is not known."""
    if berth is None or not len(berth.outline):
        return True
    low, high = (corner[:2] for corner in space.mesh.bounds)
    return bool((berth.outline.min(axis=0) < high).all() and (berth.outline.max(axis=0) > low).all())


def _joined_inside(space: Compartment, kept: dict[str, tuple[str, ...]], what: str) -> Iterator[Phrase]:
    """The spaces inside that a vapour, or a spark, gets to: all of them from what is not a battery's, else those with vapours."""
    opened = [name for name in space.open_to if name in kept]
    if what == "battery":
        opened = [name for name in opened if set(SINKING) & set(kept[name])]
    if opened:
        yield Phrase("open-to-inside", {"spaces": tuple(opened)})
    others = tuple(other for other in kept[space.name] if other != what and "battery" in (other, what))
    if others:
        yield Phrase("shared-with", {"others": others})


def _no_drain(space: Compartment, water: WaterPlane | None) -> Iterator[Phrase]:
    """The lowest place under the waterline, or no waterline to judge it by."""
    if water is None:
        yield Phrase("drain-not-judged")
    elif (depth := -float(water.plane.over(space.mesh.vertices).min())) >= 0.0:
        yield Phrase("floor-under-water", {"depth": Length(depth)})


def _not_from_above(layout: Layout, space: Compartment) -> Iterator[Phrase]:
    """No opening leads up into the open air."""
    up = (path for path in (*layout.flow_paths, *layout.closed) if path.kind == "opening" and path.through != "hull")
    if not any(space.name in path.between and OUTSIDE in path.between for path in up):
        yield Phrase("not-opened-from-above")


def foamed(layout: Layout) -> list[Compartment]:
    """Spaces that are to hold foam: by their use, or since a filling is listed for them."""
    listed = {foam.space for foam in layout.scene.foams}
    return [space for space in layout.compartments if space.use == "foam" or space.name in listed]


def foam_unlisted(layout: Layout) -> list[Compartment]:
    """Spaces that are for foam, though no filling is listed: poured or blocks, and how much, is not known."""
    listed = {foam.space for foam in layout.scene.foams}
    return [space for space in layout.compartments if space.use == "foam" and space.name not in listed]


def _foam(layout: Layout) -> Iterator[Finding]:
    spaces = foamed(layout)
    if spaces:
        names = tuple(space.name for space in spaces)
        values: dict[str, Value] = {"spaces": names, "rusts": layout.scene.hull.made_of == "steel"}
        yield Finding(code="foam-burns", severity="warn", object=names[0], values=values, source="foam-fire")
    for space in foam_unlisted(layout):
        yield Finding(
            code="foam-not-listed",
            severity="note",
            object=space.name,
            values={"space": space.name, "lowest": _lowest(space)},
            source="foam-fire",
        )


def _lowest(space: Compartment) -> Place:
    x, y, z = space.mesh.vertices[np.argmin(space.mesh.vertices[:, 2])].tolist()
    return Place((x, y, z))
