"""A picture of her lines that sections are traced on: two known points tell how it lies, each click after them is a point."""

from __future__ import annotations

from dataclasses import dataclass, field

from sketcher.model.edits.hull_edits import station_of
from sketcher.model.edits.traced_points import TracePoint
from sketcher.model.edits.typed_input import typed_length
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Point2

LEAST = 10.0
"""[pixels] Two known points nearer than that tell nothing."""


@dataclass(eq=False)
class Tracing:
    """size: the picture's pixels across and down, None without one; marks: where its two known points were clicked [pixels].

    known: what was typed of each, offset from the centreline (to the right) and height.
    """

    size: tuple[float, float] | None = None
    marks: list[tuple[float, float]] = field(default_factory=list)
    known: list[tuple[str, str]] = field(default_factory=lambda: [("0", "0"), ("", "")])

    def begin(self, size: tuple[float, float]) -> None:
        """Take up another picture."""
        self.size = size
        self.marks.clear()

    def lies(self, hull: Hull) -> tuple[complex, complex] | None:
        """How pixels become metres, turn and then shift as complex numbers; None until two points are marked and typed."""
        if len(self.marks) < 2 or not all(all(texts) for texts in self.known):
            return None
        seen = [complex(x, -y) for x, y in self.marks]
        there = [complex(*(typed_length(text, hull.units) for text in texts)) for texts in self.known]
        if abs(seen[1] - seen[0]) < LEAST or there[0] == there[1]:
            return None
        turn = (there[1] - there[0]) / (seen[1] - seen[0])
        return turn, there[0] - turn * seen[0]

    def click(self, hull: Hull, station: int, at: tuple[float, float]) -> TracePoint | None:
        """Mark a known point, or trace a point of a station. Raises SketchError, in words, where neither can be."""
        if len(self.marks) < 2:
            self.marks.append(at)
            return None
        lies = self.lies(hull)
        if lies is None:
            raise SketchError("the picture is not to scale yet", "Type where the two marked points are, or mark them again.")
        station_of(hull, station)
        turn, shift = lies
        there = turn * complex(at[0], -at[1]) + shift
        return TracePoint(station, (abs(round(there.real, 4)), round(there.imag, 4)))

    def seen(self, hull: Hull, points: list[Point2]) -> list[tuple[float, float]]:
        """Pixels of points of the hull, offsets and heights [m]; none until the picture is to scale."""
        lies = self.lies(hull)
        if lies is None:
            return []
        turn, shift = lies
        return [(z.real, -z.imag) for z in ((complex(*point) - shift) / turn for point in points)]
