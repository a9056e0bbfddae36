"""Chain in its locker: its mass, its heap under the pipe, whether it stows itself, and where its weight acts."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from sketcher.analysis.findings import Angle, Finding, Length, Place, Value, Volume
from sketcher.analysis.fit.access import space_named
from sketcher.analysis.fit.remedies import planned_ends, remedies
from sketcher.analysis.results import Compartment, Layout
from sketcher.analysis.spaces.leaks.chain_pipes import BORE_SIZES
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.packing.heap import Heap, heap
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.geometry.solid.rays import holds
from sketcher.geometry.solid.section import frame_z, section
from sketcher.model.contents import Chain

TABLE = {0.006: 0.80, 0.008: 1.40, 0.010: 2.20, 0.012: 3.10}
"""[kg/m] by size [m], source `chain-weight`."""
BY_SIZE_SQUARED = 22_000.0
"""[kg/m per m2] of sizes that the table does not have, source `chain-weight-rule`: 2.20 kg/m at 10 mm."""

RULES = {"clear volume": 1e6 / 48_612, "class rule": 1e6 / 49_000, "stud link": 1.1e6 / 1e5}
"""[1] A heap's volume over length times size squared; sources `chain-clear-volume`, `chain-class-rule`, `chain-stud-link`."""

REPOSE = 35.0
"""[deg] Slope of a heap of chain, source `chain-heap`."""
CLEAR_BELOW_PIPE = 0.46
"""[m] The fall that chain needs to stow itself: clear volume counts from so far below the pipe; source `chain-clear-volume`."""
OFF_PLUMB, PLAN_RATIO = 10.0, 1.5
"""Most slope of the pipe [deg], most length over breadth of the locker; source `chain-pipe`."""


@dataclass(frozen=True, eq=False, kw_only=True)
class ChainStow:
    """A chain in its locker. mass [kg]; volume [m3]: of its heap by the rule chosen; volumes: by every rule.

    full, half: the heap of all of it, and of half. fall [m]: from the pipe down to the heap's peak. stows_itself: with that fall,
    and without spilling. room [m3]: clear volume of the locker, from `CLEAR_BELOW_PIPE` below the pipe down. pipe_length [m],
    pipe_slope [deg off plumb]: of the way from the deck; None where the file does not say where it begins.
    """

    name: str
    space: str
    mass: float
    kg_per_m: float
    volume: float
    rule: str
    volumes: dict[str, float] = field(repr=False)
    full: Heap = field(repr=False)
    half: Heap = field(repr=False)
    fall: float
    stows_itself: bool
    room: float
    pipe: tuple[float, float, float]
    deck: tuple[float, float, float] | None
    pipe_length: float | None
    pipe_slope: float | None
    aboard: bool

    @property
    def goes_in(self) -> float:
        """How much of it [kg] the locker holds below the pipe."""
        return self.mass * self.full.volume / self.volume if self.full.reaches else self.mass


def chain_stows(layout: Layout) -> tuple[tuple[ChainStow, ...], tuple[Finding, ...]]:
    """Every chain in its locker, in the file's order. Raises SketchError for a space that is not there.

    A chain whose pipe does not end in its space has no figures, and a finding says so.
    """
    stows: list[ChainStow] = []
    findings: list[Finding] = []
    for chain in layout.scene.chains:
        space = space_named(layout, chain.space, f"chains.{chain.name}.in")
        if not holds(space.mesh, np.array(chain.pipe)):
            findings.append(_pipe_outside(chain, space))
            continue
        stow = _stow(chain, space)
        stows.append(stow)
        findings += [
            *_does_not_stow(layout, space, stow, chain),
            *_pipe_findings(stow, chain),
            *_too_long_a_locker(layout, stow, space),
        ]
    return tuple(stows), tuple(findings)


def kilograms_per_metre(size: float) -> float:
    """What chain of a size [m] weighs [kg/m], by table or by the size squared. Sources `chain-weight`, `chain-weight-rule`."""
    return next((kg for known, kg in TABLE.items() if abs(known - size) < 1e-6), BY_SIZE_SQUARED * size**2)


def heap_volumes(length: float, size: float) -> dict[str, float]:
    """The volume [m3] that a chain of this length and size [m] takes up in a heap, by every rule; they differ by nearly two."""
    return {rule: factor * length * size**2 for rule, factor in RULES.items()}


def _stow(chain: Chain, space: Compartment) -> ChainStow:
    each = kilograms_per_metre(chain.size) if chain.kg_per_m is None else chain.kg_per_m
    volumes = heap_volumes(chain.length, chain.size)
    volume = volumes[chain.rule]
    repose = REPOSE if chain.repose is None else chain.repose
    full, half = (heap(space.mesh, share * volume, chain.pipe, repose) for share in (1.0, 0.5))
    fall = chain.pipe[2] - full.peak
    pipe_line = None if chain.deck is None else np.array(chain.deck) - np.array(chain.pipe)
    return ChainStow(
        name=chain.name,
        space=space.name,
        mass=each * chain.length,
        kg_per_m=each,
        volume=volume,
        rule=chain.rule,
        volumes=volumes,
        full=full,
        half=half,
        fall=fall,
        stows_itself=not full.reaches and fall >= CLEAR_BELOW_PIPE,
        room=volume_under(space.mesh, Plane.level(chain.pipe[2] - CLEAR_BELOW_PIPE)),
        pipe=chain.pipe,
        deck=chain.deck,
        pipe_length=None if pipe_line is None else float(np.linalg.norm(pipe_line)),
        pipe_slope=None
        if pipe_line is None
        else float(np.degrees(np.arctan2(np.hypot(pipe_line[0], pipe_line[1]), pipe_line[2]))),
        aboard=chain.aboard,
    )


def _pipe_outside(chain: Chain, space: Compartment) -> Finding:
    return Finding(
        code="chain-pipe-outside",
        severity="warn",
        object=chain.name,
        values={"chain": chain.name, "end": Place(chain.pipe), "space": space.name},
        at=chain.pipe,
    )


def _does_not_stow(layout: Layout, space: Compartment, stow: ChainStow, chain: Chain) -> list[Finding]:
    if stow.stows_itself:
        return []
    repose = REPOSE if chain.repose is None else chain.repose
    offers, above = remedies(layout, space, chain, stow.full, repose, CLEAR_BELOW_PIPE, stow.volume / chain.length)
    values: dict[str, Value] = {
        "chain": stow.name,
        "volume": Volume(stow.volume),
        "rule": stow.rule,
        "remedies": offers,
        "clear_above": None if above is None else Length(above),
    }
    if stow.full.reaches:
        fits = Length(chain.length * stow.full.volume / stow.volume)
        values |= {"length": Length(chain.length), "space": stow.space, "room": fits}
    else:
        values |= {"fall": Length(stow.fall), "needed": Length(CLEAR_BELOW_PIPE)}
    return [
        Finding(
            code="chain-reaches-pipe" if stow.full.reaches else "chain-needs-a-hand",
            severity="warn" if stow.full.reaches else "note",
            object=stow.name,
            values=values,
            measured=stow.fall,
            limit=CLEAR_BELOW_PIPE,
            source="chain-clear-volume",
            at=stow.pipe,
        )
    ]


def _pipe_findings(stow: ChainStow, chain: Chain) -> list[Finding]:
    findings: list[Finding] = []
    if chain.pipe_cover != "tight":
        findings.append(
            Finding(
                code="chain-pipe-open",
                severity="note",
                object=stow.name,
                values={"chain": stow.name, "space": stow.space},
                at=stow.pipe,
            )
        )
    least = BORE_SIZES * chain.size
    if chain.bore is not None and chain.bore < least - 1e-9:
        findings.append(
            Finding(
                code="chain-pipe-narrow",
                severity="note",
                object=stow.name,
                values={"chain": stow.name, "bore": Length(chain.bore), "least": Length(least)},
                measured=chain.bore,
                limit=least,
                source="chain-pipe",
            )
        )
    if stow.pipe_slope is not None and stow.pipe_slope > OFF_PLUMB + 1e-9:
        findings.append(
            Finding(
                code="chain-pipe-slopes",
                severity="note",
                object=stow.name,
                values={"chain": stow.name, "slope": Angle(stow.pipe_slope), "most": Angle(OFF_PLUMB)},
                measured=stow.pipe_slope,
                limit=OFF_PLUMB,
                source="chain-pipe",
            )
        )
    return findings


def _too_long_a_locker(layout: Layout, stow: ChainStow, space: Compartment) -> list[Finding]:
    """Where the locker at the heap's peak is much longer than broad, or the other way: a heap under one pipe does not fill it."""
    across = _spans(space.mesh, stow.full.peak - 1e-4)
    if across is None or max(across) <= PLAN_RATIO * min(across) + 1e-9:
        return []
    return [
        Finding(
            code="chain-locker-long",
            severity="note",
            object=stow.space,
            values={
                "chain": stow.name,
                "space": stow.space,
                "longer": Length(max(across)),
                "shorter": Length(min(across)),
                "most": PLAN_RATIO,
                "ends": tuple(planned_ends(layout, space)),
            },
            measured=max(across) / min(across),
            limit=PLAN_RATIO,
            source="chain-pipe",
        )
    ]


def _spans(mesh: TriMesh, height: float) -> tuple[float, float] | None:
    """Length and breadth [m] of a space at a height; None where it has none there."""
    shape = section(mesh, frame_z(height))
    if shape.is_empty:
        return None
    west, south, east, north = shape.bounds
    return float(east - west), float(north - south)
