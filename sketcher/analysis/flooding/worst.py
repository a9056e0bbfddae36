"""Which flooding is the worst for her, and which space floods nearly every small boat to the bottom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sketcher.analysis.flooding.cases import given_way, struck_at
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.lid_heights import reached
from sketcher.analysis.flooding.panel_loads import panel_loads
from sketcher.analysis.flooding.results import WORST_FIRST, FloodingCase
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.compartments import main_space


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftedLid:
    """A lid under the flooded water. lift [kg]: what the water lifts it with, where a dry space is over it; else nothing."""

    level: LidLevel
    lift: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstFlooding:
    """What the owner must know of flooding. case: the worst of one space holed, the main one left out where she founders by it.

    emptied: it is the emptiest state of that space. main: she founders with her main space holed. lids: those under the water
    that comes to them in that case, the deepest first. unknown: cases of which nothing is known, not even by estimate.
    """

    case: FloodingCase | None
    emptied: bool
    main: FloodingCase | None
    lids: tuple[LiftedLid, ...]
    unknown: tuple[FloodingCase, ...]


class HeldBack(NamedTuple):
    """A lid that holds the water back, with the tight covers of its openings. case: the spaces on both its sides filled.

    emptied: that is their emptiest state.
    """

    lid: str
    covers: tuple[str, ...]
    case: FloodingCase
    emptied: bool


def gravity_of(case: FloodingCase) -> tuple[int, float]:
    """A rank of a case, lower for worse: by verdict, then by the freeboard left."""
    return WORST_FIRST.index(case.verdict), 0.0 if case.least_freeboard is None else case.least_freeboard


def main_space_lost(layout: Layout, cases: Sequence[FloodingCase]) -> FloodingCase | None:
    """The main space holed, where she founders by it as stated, and not even without a hole; None where she does not."""
    main = main_space(layout)
    lost = (case for case in cases if case.holed == (main,) and case.verdict == "founders")
    return next((case for case in lost if case.reason.code != "even-without-a-hole"), None)


def worst_flooding(layout: Layout, cases: Sequence[FloodingCase]) -> WorstFlooding:
    """The worst of the cases of one space holed, each in the worse of its states."""
    main = main_space_lost(layout, cases)
    singles = [case for case in cases if len(case.holed) == 1 and (main is None or case.holed != main.holed)]
    told = [state for case in singles for state in case.states if state.verdict != "unknown" or state.water is not None]
    case = min(told, key=_depth_of, default=None)
    return WorstFlooding(
        case=case,
        emptied=case is not None and case not in cases,
        main=main,
        lids=() if case is None else lids_under_water(layout, case),
        unknown=tuple(case for case in singles if case.verdict == "unknown" and case.water is None),
    )


def worst_struck(layout: Layout, cases: Sequence[FloodingCase]) -> tuple[str, FloodingCase] | None:
    """The bulkhead where a blow that opens the spaces on both its sides is the worst, and that case in the worse of its states.

    The main space is left out where she founders by it alone. None where no such case is known.
    """
    main, between = main_space_lost(layout, cases), struck_at(layout)
    lost = set() if main is None else set(main.holed)
    both = [case for case in cases if case.holed in between and not lost & set(case.holed)]
    told = [state for case in both for state in case.states if state.verdict != "unknown"]
    worst = min(told, key=_depth_of, default=None)
    return None if worst is None else (between[worst.holed], worst)


def resting_on(layout: Layout, case: FloodingCase, cases: Sequence[FloodingCase]) -> HeldBack | None:
    """The lid that a case's answer rests on, where she ends worse if it gives way; of several the one by which she ends worst.

    Known from those of the cases in which the space on its other side is holed too; None where there is none.
    """
    behind = given_way(layout, case)
    given = [(behind[other.holed], state) for other in cases if other.holed in behind for state in other.states]
    worse = [each for each in given if WORST_FIRST.index(each[1].verdict) < min(WORST_FIRST.index(case.verdict), LOST)]
    if not worse:
        return None
    lid, then = min(worse, key=lambda each: gravity_of(each[1]))
    covers = tuple(path.name for path in layout.closed if path.through == lid)
    return HeldBack(lid, covers, then, emptied=then not in cases)


LOST = WORST_FIRST.index("unknown")


def _depth_of(case: FloodingCase) -> tuple[float, ...]:
    """A rank of known and estimated cases: by gravity, and where no freeboard is known by how deep the bow goes."""
    deeper = 0.0 if case.water is None or case.intact is None else case.water.forward - case.intact.forward
    return *gravity_of(case), -deeper


def lids_under_water(layout: Layout, case: FloodingCase) -> tuple[LiftedLid, ...]:
    """Lids under the water that comes to them, the deepest first."""
    wet = {lid.name for lid in case.lids if reached(layout, lid.name, [case])}
    lifts = {load.panel: load.load for load in panel_loads(layout, case) if load.face == "under"}
    lids = sorted((lid for lid in case.lids if lid.clear_of_water < 0.0 and lid.name in wet), key=lambda lid: lid.clear_of_water)
    return tuple(LiftedLid(level=lid, lift=lifts.get(lid.name, 0.0)) for lid in lids)
