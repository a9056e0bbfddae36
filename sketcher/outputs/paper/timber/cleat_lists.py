"""Tables of cleats for a spreadsheet: their bends, how their backs are planed, and how their ends are sawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.cut.bonding.cleat_ends import CleatEnd
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.outputs.tables.build_lists import FREE_END, as_table


def _mm(metres: float | None) -> float | None:
    """Millimetres to a tenth."""
    return None if metres is None else round(1000.0 * metres, 1) + 0.0


def cleats_table(cleats: Sequence[Cleat]) -> str:
    """Each cleat's runs: how it bends, and how its back is planed from place to place along the edge it lies under."""
    head = ["panel", "face", "along", "length_mm", "least_radius_mm", "strips", "run", "along_mm", "back_off_square_deg"]
    return as_table(
        head,
        (
            [c.panel, c.face, c.to, _mm(c.length), _mm(c.radius), c.strips, number, _mm(s.along), round(s.angle, 1) + 0.0]
            for c in cleats
            for number, run in enumerate(c.settings, 1)
            for s in run
        ),
    )


def cleat_ends_table(cleats: Sequence[Cleat]) -> str:
    """How both ends of each run of a cleat are sawn, on the face that bears the board and on the planed back."""
    head = ["panel", "face", "along", "run", "run_length_mm", "end", "at", "cut", "board_face_deg", "back_deg", "tilt_deg"]
    return as_table(
        head,
        (
            [c.panel, c.face, c.to, number, _mm(run[-1].along), which, *_sawn(end)]
            for c in cleats
            for number, (run, ends) in enumerate(zip(c.settings, c.ends, strict=False), 1)
            for which, end in zip(("first", "last"), ends, strict=True)
        ),
    )


def _sawn(end: CleatEnd) -> Iterator[str | float]:
    """What an end meets and how it is cut."""
    yield from (end.cut.place or FREE_END, "mitred" if end.mitred else "butted")
    yield from (round(angle, 1) + 0.0 for angle in (end.cut.side, end.cut.face, end.cut.tilt))
