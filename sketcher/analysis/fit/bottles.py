"""Sealed bottles in a space: how many go in, their lift and weight, and what holds them down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.findings import Finding, Length, Mass, Share, Value, Volume
from sketcher.analysis.fit.access import Entrance, entrances_to, free_space, space_named
from sketcher.analysis.results import Compartment, Layout
from sketcher.analysis.spaces.leaks.shut_in_air import COLD_WATER, FILLED_AT, share_drawn_in
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.packing.clearances import clearances
from sketcher.geometry.packing.cylinders import Packing, Size, Watch, best_packing
from sketcher.geometry.tolerances import PACKED
from sketcher.model.contents import Bottles
from sketcher.model.errors import SketchError
from sketcher.model.limits import MOST_BOTTLES

DIRECTIONS: dict[str, tuple[float, float, float]] = {
    "upright": (0.0, 0.0, 1.0),
    "fore and aft": (1.0, 0.0, 0.0),
    "athwartships": (0.0, 1.0, 0.0),
}
AS_MANY_AS_FIT = 10_000
"""Bottles placed where the file does not say how many there are: more than any small boat holds."""


@dataclass(frozen=True, eq=False, kw_only=True)
class BottleStow:
    """Bottles of one kind in place. base: (n, 3) the middle of each one's lower end [m]; direction: (3,) along all of them.

    displaced [m3], lift, weight [kg]: of all of them; None where the file does not say what one displaces or weighs.
    share: of the space that they displace; packed: of it that the cylinders about them take up. passes: the openings that one
    goes through; with none they are put in before the space is closed.
    """

    name: str
    space: str
    count: int
    layers: int
    direction: Floats = field(repr=False)
    base: Floats = field(repr=False)
    diameter: float
    length: float
    displaced: float | None
    share: float | None
    packed: float
    lift: float | None
    weight: float | None
    passes: tuple[str, ...]


@dataclass(frozen=True, eq=False, kw_only=True)
class BottledSpace:
    """All the bottles of one space. permeability: what is left of it for water; None where a kind's litres are not known.

    stated: whether that is what the file states, whatever the bottles leave.
    uplift [kg]: what holds them down must bear once the space is under water: lift less weight. lids: what closes it above.
    """

    space: str
    stows: tuple[BottleStow, ...]
    permeability: float | None
    uplift: float | None
    lids: tuple[str, ...]
    complete: bool
    stated: bool = False


def bottled_spaces(layout: Layout, watch: Watch | None = None) -> tuple[tuple[BottledSpace, ...], tuple[Finding, ...]]:
    """The bottles of every space that has some, in the file's order; large kinds first where a space has several.

    watch: told how many are placed so far, and may stop the work. Raises SketchError for a space that is not there, or kinds
    in one space that are to lie in different directions, and GeometryError if a packing fails its own check.
    """
    bottled_so_far: list[BottledSpace] = []
    findings: list[Finding] = []
    for name in dict.fromkeys(kind.space for kind in layout.scene.bottles):
        kinds = [kind for kind in layout.scene.bottles if kind.space == name]
        space = space_named(layout, name, f"bottles.{kinds[0].name}.in")
        bottled = _bottled(layout, space, kinds, watch)
        bottled_so_far.append(bottled)
        findings += _findings(bottled, kinds, space, layout)
    findings += cold_bottles(bottled_so_far, layout.scene.water_density)
    return tuple(bottled_so_far), tuple(findings)


def _bottled(layout: Layout, space: Compartment, kinds: Sequence[Bottles], watch: Watch | None) -> BottledSpace:
    _refuse_too_many(layout, space, kinds)
    free = free_space(layout, space)
    sizes = [Size(kind.diameter / 2, kind.length, kind.at_most or AS_MANY_AS_FIT) for kind in kinds]
    directions = _directions(layout, kinds)
    packing = _packed(free, sizes, directions, watch=watch)
    check_packing(free, packing, space.name)
    entrances = entrances_to(layout, space)
    stows = tuple(_stow(layout, space, kind, packing, k, entrances) for k, kind in enumerate(kinds))
    displaced = _sum([stow.displaced for stow in stows])
    weight = _sum([stow.weight for stow in stows])
    lift = _sum([stow.lift for stow in stows])
    return BottledSpace(
        space=space.name,
        stows=stows,
        permeability=None if displaced is None else max(0.0, USES["void"].permeability - displaced / space.volume),
        uplift=None if lift is None else lift - (weight or 0.0),
        lids=tuple(panel for panel, face in space.bounds if face == "under"),
        complete=packing.complete,
    )


@remembered(8, ignore=("watch",), whole=lambda packing: packing.complete)
def _packed(free: TriMesh, sizes: Sequence[Size], directions: Sequence[Floats], *, watch: Watch | None) -> Packing:
    """The best packing, kept while the space and the bottles stay as they are, unless it was stopped."""
    return best_packing(free, sizes, directions, watch)


def cold_bottles(bottled: Sequence[BottledSpace], density: float) -> tuple[Finding, ...]:
    """One note of all the spaces: how much of their lift [kg in water of `density`] soft bottles may lose to cold water."""
    displaced = sum(stow.displaced or 0.0 for space in bottled for stow in space.stows)
    if displaced <= 0.0:
        return ()
    share = share_drawn_in(FILLED_AT, COLD_WATER)
    values: dict[str, Value] = {
        "spaces": tuple(space.space for space in bottled if any(stow.displaced for stow in space.stows)),
        "filled_at": FILLED_AT,
        "cold": COLD_WATER,
        "share": Share(share),
        "lost": Mass(share * density * displaced),
    }
    return (
        Finding(
            code="bottles-draw-in",
            severity="note",
            object=bottled[0].space,
            values=values,
            measured=share,
            source="shut-in-air",
        ),
    )


def check_packing(solid: TriMesh, packing: Packing, where: str) -> None:
    """Look at a packing afresh. Raises GeometryError where a cylinder overlaps another or leaves the solid."""
    found = clearances(solid, packing)
    if found.outside or min(found.wall, found.apart) < -PACKED:
        raise GeometryError(f"the bottles placed in {where} overlap or leave it; please report this layout")


def _refuse_too_many(layout: Layout, space: Compartment, kinds: Sequence[Bottles]) -> None:
    """Raises SketchError for bottles so small that placing them all would take longer than anyone waits."""
    for kind in kinds:
        fit = space.volume / (kind.diameter**2 * kind.length)
        if min(fit, kind.at_most or fit) > MOST_BOTTLES:
            raise SketchError(
                f"about {_spaced(fit)} bottles of this size would fit into {space.name}; "
                f"at most {_spaced(MOST_BOTTLES)} are placed",
                "Check `diameter` and `length`, and their unit; or say how many there are by `at_most`.",
                layout.scene.file,
                key=f"bottles.{kind.name}.diameter",
            )


def _spaced(count: float) -> str:
    """A large number rounded to its first digit, with spaces between thousands.

    >>> _spaced(712_345.6)
    '700 000'
    """
    return f"{float(f'{count:.1g}'):,.0f}".replace(",", " ")


def _directions(layout: Layout, kinds: Sequence[Bottles]) -> list[Floats]:
    stated = list(dict.fromkeys(kind.direction for kind in kinds if kind.direction != "any"))
    if len(stated) > 1:
        raise SketchError(
            f"bottles in `{kinds[0].space}` are to lie {' and '.join(stated)}: all in one space lie alike",
            "Give them one direction, or leave it out.",
            layout.scene.file,
            key=f"bottles.{kinds[-1].name}.direction",
        )
    return [np.array(DIRECTIONS[word]) for word in (stated or DIRECTIONS)]


def _stow(
    layout: Layout, space: Compartment, kind: Bottles, packing: Packing, number: int, entrances: Sequence[Entrance]
) -> BottleStow:
    mine = packing.kind == number
    count = int(mine.sum())
    one = _displaces(kind)
    displaced = None if one is None else count * one
    cylinder = _cylinder(kind)
    return BottleStow(
        name=kind.name,
        space=space.name,
        count=count,
        layers=len(set(packing.layer[mine].tolist())),
        direction=packing.direction,
        base=packing.base[mine],
        diameter=kind.diameter,
        length=kind.length,
        displaced=displaced,
        share=None if displaced is None else displaced / space.volume,
        packed=float(count * cylinder / space.volume),
        lift=None if displaced is None else displaced * layout.scene.water_density,
        weight=None if kind.kg is None else count * kind.kg,
        passes=tuple(entrance.name for entrance in entrances if entrance.passes_round(kind.diameter)),
    )


def _cylinder(kind: Bottles) -> float:
    """Volume [m3] of the cylinder round a bottle."""
    return float(np.pi / 4 * kind.diameter**2 * kind.length)


def _displaces(kind: Bottles) -> float | None:
    """What one bottle displaces [m3]; None where that is not stated, or more than the cylinder about it."""
    return None if kind.litres is None or kind.litres > _cylinder(kind) else kind.litres


def _sum(parts: Sequence[float | None]) -> float | None:
    known = [part for part in parts if part is not None]
    return sum(known) if len(known) == len(parts) else None


def _findings(bottled: BottledSpace, kinds: Sequence[Bottles], space: Compartment, layout: Layout) -> list[Finding]:
    findings: list[Finding] = []
    for stow, kind in zip(bottled.stows, kinds, strict=True):
        findings += [*_none_fits(stow, space), *_litres_unknown(stow, kind), *_must_go_in_first(stow, space)]
        findings += [*_fewer(stow, kind), *_most_placed(stow, kind)]
    findings += _held_down(bottled)
    if not bottled.complete:
        findings.append(
            Finding(
                code="bottles-stopped",
                severity="note",
                object=bottled.space,
                values={"space": bottled.space},
            )
        )
    return findings


def _none_fits(stow: BottleStow, space: Compartment) -> list[Finding]:
    if stow.count:
        return []
    return [
        Finding(
            code="bottle-too-big",
            severity="warn",
            object=stow.name,
            values={
                "bottles": stow.name,
                "diameter": Length(stow.diameter),
                "length": Length(stow.length),
                "space": space.name,
                "volume": Volume(space.volume),
            },
            measured=stow.diameter,
        )
    ]


def _litres_unknown(stow: BottleStow, kind: Bottles) -> list[Finding]:
    if stow.displaced is not None:
        return []
    if kind.litres is not None:
        around = _cylinder(kind)
        return [
            Finding(
                code="bottle-litres-too-many",
                severity="stop",
                object=stow.name,
                values={
                    "bottles": stow.name,
                    "stated": Volume(kind.litres),
                    "diameter": Length(kind.diameter),
                    "length": Length(kind.length),
                    "cylinder": Volume(around),
                },
                measured=kind.litres,
                limit=around,
            )
        ]
    return [Finding(code="bottle-litres-unknown", severity="note", object=stow.name, values={"bottles": stow.name})]


def _must_go_in_first(stow: BottleStow, space: Compartment) -> list[Finding]:
    if stow.passes or not stow.count:
        return []
    return [
        Finding(
            code="bottles-before-closing",
            severity="note",
            object=stow.name,
            values={"space": space.name, "bottles": stow.name, "diameter": Length(stow.diameter)},
            measured=stow.diameter,
        )
    ]


def _fewer(stow: BottleStow, kind: Bottles) -> list[Finding]:
    if kind.at_most is None or stow.count >= kind.at_most or not stow.count:
        return []
    return [
        Finding(
            code="bottles-left-over",
            severity="note",
            object=stow.name,
            values={"bottles": stow.name, "at_most": kind.at_most, "placed": stow.count, "space": stow.space},
            measured=float(stow.count),
            limit=float(kind.at_most),
        )
    ]


def _most_placed(stow: BottleStow, kind: Bottles) -> list[Finding]:
    if kind.at_most is not None or stow.count < AS_MANY_AS_FIT:
        return []
    return [
        Finding(
            code="bottles-most-placed",
            severity="note",
            object=stow.name,
            values={"bottles": stow.name, "placed": stow.count, "space": stow.space},
            measured=float(stow.count),
            limit=float(AS_MANY_AS_FIT),
        )
    ]


def _held_down(bottled: BottledSpace) -> list[Finding]:
    """The upward push of bottles once water comes in, and which lids have to hold it."""
    if bottled.uplift is None or bottled.uplift <= 0.0:
        return []
    return [
        Finding(
            code="bottles-push-up",
            severity="note",
            object=bottled.space,
            values={"space": bottled.space, "uplift": Mass(bottled.uplift), "lids": bottled.lids},
            measured=bottled.uplift,
            source="bottle-load",
        )
    ]
