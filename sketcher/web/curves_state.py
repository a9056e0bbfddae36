"""What the page shows along the range of a number: curves, what is forbidden, and how far they are worked out."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.outputs.drawing.recording import LineStyle
from sketcher.outputs.scene3d.objects import ObjectRef


@dataclass(frozen=True, slots=True)
class RangeFigure:
    """A field of curves: what it is of, how each curve is drawn and what that is of, and the drawing as SVG."""

    title: str
    curves: tuple[tuple[LineStyle, str], ...]
    drawing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvesState:
    """The curves along the range of a number of the selected part.

    there, opened: whether they have a place on the page, and are shown in it or folded away. part: None where nothing is selected
    that has such a number; moved: the object whose it is; numbers: what is there to move, chosen: which is.
    figures: fields of curves; left, right: the edges of each in shares of its width; forbidden: from which share to which what
    stands against places, in words; windows: where rules' windows are, in words. place, low, high: where the number stands and
    its range's ends, in words; share: how far along it stands, None outside it. done, most: places that are worked out and that
    there are.
    goals: of what there may be most or least at the best place, the chosen first; looking: for which it is looked, tried: at how
    many places so far; answer: why there is no best place.
    """

    opened: bool = False
    there: bool = False
    part: ObjectRef | None = None
    moved: str = ""
    numbers: tuple[str, ...] = ()
    chosen: int = 0
    figures: tuple[RangeFigure, ...] = ()
    forbidden: tuple[tuple[float, float, str], ...] = ()
    windows: tuple[str, ...] = ()
    place: str = ""
    low: str = ""
    high: str = ""
    share: float | None = None
    left: float = 0.0
    right: float = 1.0
    done: int = 0
    most: int = 0
    problem: str = ""
    goals: tuple[str, ...] = ()
    looking: str = ""
    tried: int = 0
    answer: tuple[str, ...] = ()


NO_CURVES = CurvesState()
"""Nothing is selected that has a range."""
