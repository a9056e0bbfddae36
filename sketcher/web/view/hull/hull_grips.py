"""What can be dragged on the hull's drawings, as rings over their lines: by a hand, or by arrow keys and Enter."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

from sketcher.model.edits.hull_outlines import Drawing, OutlineGrip
from sketcher.model.hull import Point2
from sketcher.model.units import format_length, parse_length, tape_step

RING = 1.5
"""[mm of the paper] Half a ring."""
HOW = "drag it, or arrows and Enter"


@dataclass(frozen=True, slots=True)
class HullFrame:
    """How a drawing lies on its paper. low: across and up at the paper's corner inside its edge [m]; scale [mm to a metre]."""

    drawing: Drawing
    low: Point2
    scale: float
    height: float
    edge: float
    units: str

    @property
    def marks(self) -> str:
        """What the page needs to tell places on the paper in metres, and lengths in the file's unit."""
        numbers = (*self.low, self.scale, self.height, self.edge, tape_step(self.units))
        shown = " ".join(f"{number:.9g}" for number in numbers)
        per = 1.0 / (parse_length("1", self.units) or 1.0)
        return f'data-frame="{shown}" data-drawing="{self.drawing}" data-units="{self.units}" data-per="{per:.9g}"'

    def on_paper(self, at: Point2) -> str:
        """A place as the paper has it."""
        x, y = ((value - low) * self.scale + self.edge for value, low in zip(at, self.low, strict=True))
        return f"{x:.2f},{self.height - y:.2f}"


def grips_over(grips: Iterable[OutlineGrip], frame: HullFrame, chosen: int) -> str:
    """The rings. A key's round takes in those of the chosen station and of what is no station's; a hand takes all."""
    return "".join(_ring(grip, frame, chosen) for grip in grips)


def _ring(grip: OutlineGrip, frame: HullFrame, chosen: int) -> str:
    x, _, y = frame.on_paper(grip.at).partition(",")
    apart = grip.key.startswith("stations.") and not grip.key.startswith(f"stations.{chosen}.")
    told = ", ".join(f"{format_length(round(value, 4), frame.units)}" for value in grip.at)
    name = quoteattr(f"{grip.words}, {told} {frame.units}: {HOW}")
    beside = quoteattr(" ".join(frame.on_paper(place) for place in grip.beside))
    marks = f'data-pull={quoteattr(grip.key)} data-key={quoteattr(f"pull/{frame.drawing}/{grip.key}")} data-free="{grip.free}"'
    place = f'class="pull" cx="{x}" cy="{y}" r="{RING}" data-beside={beside}'
    return f'<circle {marks} {place} role="button" tabindex="{-1 if apart else 0}" aria-label={name}/>'
