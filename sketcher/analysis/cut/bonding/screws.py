"""Screws of each joint: how long by what they go through, and how many; they may come out when the resin is hard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, inf

from sketcher.analysis.cut.berth_boards import LEDGE, infill_ledges, ledges_of
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.analysis.cut.results import Pattern, Purchase, ScrewedJoint, ScrewedTo, StringerPattern, Support
from sketcher.analysis.findings import Length, Phrase
from sketcher.model.scene import Scene

SCREWS = 0.150
"""[m] between screws along cleats, ledges, bearers and straps (source `screw-spacing`)."""

_LENGTHS = (0.010, 0.012, 0.016, 0.020, 0.025, 0.030, 0.035, 0.040, 0.045, 0.050, 0.060, 0.070, 0.080, 0.090, 0.100)
"""[m] Lengths that wood screws are sold in (source `screw-length`)."""

_TIMES = 2.5
"""[1] A screw is so many times as long as what it holds down is thick (source `screw-length`)."""

_SHORT, _BITE = 0.002, 0.006
"""[m] A screw ends so far short of the far face, and bites so deep."""


def screw_length(through: float, into: float) -> float | None:
    """How long a screw is [m] that holds a board down; None where none bites that does not come out on the far face.

    >>> screw_length(0.012, 0.012), screw_length(0.018, 0.045), screw_length(0.006, 0.006)
    (0.02, 0.045, None)
    """
    most = min(_TIMES * through, through + into - _SHORT) + 1e-9
    length = max((each for each in _LENGTHS if each <= most), default=0.0)
    return length if length >= through + _BITE - 1e-9 else None


def screwed_joints(
    scene: Scene,
    patterns: Sequence[Pattern],
    stringers: Sequence[StringerPattern],
    cleats: Sequence[Cleat],
    supports: Sequence[Support] = (),
) -> tuple[ScrewedJoint, ...]:
    """Lids on bearers, boards on cleats and ledges, straps on both parts: one entry for each board and what it lies on."""
    thick = {panel.name: panel.thickness for panel in scene.panels}
    under = {each.name: each.under for each in scene.stringers if each.under is not None}
    runs: dict[tuple[str, ScrewedTo, float, float], list[float]] = {}

    def add(board: str, to: ScrewedTo, through: float, into: float, run: float) -> None:
        runs.setdefault((board, to, through, into), []).append(run)

    for each in stringers:
        if (lid := under.get(each.stringer)) in thick:
            add(lid, "bearers", thick[lid], each.depth, each.length)
    for support in supports:
        add(support.lid, "supports", thick[support.lid], support.depth, support.length)
    for cleat in cleats:
        add(cleat.panel, "cleats", thick[cleat.panel], LEDGE, cleat.length)
    for pattern in patterns:
        if pattern.kind == "butt strap":
            west, _, east, _ = pattern.blank.bounds
            for _ in range(2):
                add(pattern.panel, "straps", pattern.thickness, pattern.thickness, east - west)
    for pattern, ledge in (*ledges_of(patterns), *infill_ledges(patterns)):
        add(pattern.panel, "ledges", pattern.thickness, LEDGE, ledge)
    return tuple(
        ScrewedJoint(
            board=board,
            to=to,
            through=through,
            into=into,
            run=sum(of),
            count=sum(ceil(run / SCREWS - 1e-9) + 1 for run in of),
            screw=screw_length(through, into),
        )
        for (board, to, through, into), of in runs.items()
    )


def screw_purchases(joints: Sequence[ScrewedJoint]) -> Iterator[Purchase]:
    """As many of each length as its joints take; none for joints too thin for a screw, which are weighted down."""
    for length in sorted({joint.screw or inf for joint in joints} - {inf}):
        mine = [joint for joint in joints if joint.screw == length]
        where = tuple(
            Phrase("screwed-to", {"to": to, "through": Length(through), "into": Length(into)})
            for to, through, into in dict.fromkeys((joint.to, joint.through, joint.into) for joint in mine)
        )
        yield Purchase(
            item=Phrase("screws-to-buy", {"length": Length(length)}),
            amount=sum(joint.count for joint in mine),
            things="pieces",
            note=Phrase("screws-along", {"spacing": Length(SCREWS), "where": where}),
            source="screw-length",
        )
