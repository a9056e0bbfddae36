"""A drawing recorded once: lines, areas and words in millimetres on paper, to be replayed as SVG, PDF or anything else.

Paper coordinates [mm]: origin at the lower left, y up. `Placing` tells where a point of the boat lies on the paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Spot = tuple[float, float]
Align = Literal["start", "middle", "end"]

CHARACTER = 0.56
"""Mean width of a character over its height in the sans-serif faces used; wide enough for capitals now and then."""


SLASH = 0.9
"""[mm]: half the stroke that ends a dimension."""


@dataclass(frozen=True, slots=True)
class LineStyle:
    """colour `#rrggbb`, width [mm], dashes: lengths drawn and left [mm], empty for a whole line."""

    colour: str
    width: float
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points. part: what it belongs to, `kind/name`, or empty; layer: a word of the trade."""

    points: tuple[Spot, ...]
    stroke: LineStyle
    layer: str
    part: str = ""
    closed: bool = False


@dataclass(frozen=True, slots=True)
class FilledArea:
    """A filled outline with holes: the first ring is the outline; filled by the even-odd rule."""

    rings: tuple[tuple[Spot, ...], ...]
    fill: str | None
    stroke: LineStyle | None
    layer: str
    part: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """Text on its base line. size: height of the face [mm]; angle [deg], anticlockwise; halo: a light edge round it."""

    at: Spot
    text: str
    size: float
    colour: str
    layer: str
    align: Align = "start"
    angle: float = 0.0
    bold: bool = False
    halo: bool = False
    part: str = ""


Item = Line | FilledArea | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPlacing:
    """How the boat lies on the paper: paper = origin + 1000 / scale * (sign_u * u, sign_v * v).

    axes: the boat's axes that run across and up, e.g. `xz`; signs: +1 or -1 for each; scale: n of 1 : n; origin [mm].
    """

    axes: str
    signs: tuple[int, int]
    scale: float
    origin: Spot

    def spot(self, u: float, v: float) -> Spot:
        """Paper [mm] of the boat's coordinates [m] along `axes`."""
        k = 1000.0 / self.scale
        return self.origin[0] + k * self.signs[0] * u, self.origin[1] + k * self.signs[1] * v

    def boat(self, x: float, y: float) -> tuple[float, float]:
        """The boat's coordinates [m] along `axes` of a spot on the paper [mm]."""
        k = 1000.0 / self.scale
        return (x - self.origin[0]) / (k * self.signs[0]), (y - self.origin[1]) / (k * self.signs[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Items in the order they are drawn, on paper of a width and height [mm]. placing: None where no boat is drawn."""

    title: str
    width: float
    height: float
    items: tuple[Item, ...]
    placing: PaperPlacing | None = None


def text_width(text: str, size: float) -> float:
    """About how wide a text of a size is [mm]; an upper estimate in any usual sans-serif face."""
    return CHARACTER * size * len(text)


def line(points: Iterable[Spot], stroke: LineStyle, layer: str, part: str = "", closed: bool = False) -> Line:
    """A line from any iterable of points."""
    return Line(tuple((float(x), float(y)) for x, y in points), stroke, layer, part, closed)


def moved(item: Item, dx: float, dy: float) -> Item:
    """The same item elsewhere on the paper."""
    if isinstance(item, Words):
        return replace(item, at=(item.at[0] + dx, item.at[1] + dy))
    if isinstance(item, Line):
        return replace(item, points=tuple((x + dx, y + dy) for x, y in item.points))
    return replace(item, rings=tuple(tuple((x + dx, y + dy) for x, y in ring) for ring in item.rings))


def dimension(a: Spot, b: Spot, aside: float, text: str, stroke: LineStyle, size: float, part: str = "") -> list[Item]:
    """A dimension between two spots: its line `aside` [mm] to the left of the way from a to b, slashes at its ends, its text."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    run = math.hypot(dx, dy)
    if run == 0.0:
        return []
    ux, uy = dx / run, dy / run
    nx, ny = -uy, ux
    past = math.copysign(1.0, aside)
    ends = [(x + nx * aside, y + ny * aside) for x, y in (a, b)]
    items: list[Item] = [line(ends, stroke, "dimensions", part)]
    for start, (x, y) in zip((a, b), ends, strict=True):
        slash = [(x + sign * SLASH * (ux + nx), y + sign * SLASH * (uy + ny)) for sign in (-1, 1)]
        items.append(
            line([start, (x + nx * past, y + ny * past)], LineStyle(stroke.colour, stroke.width / 2), "dimensions", part)
        )
        items.append(line(slash, stroke, "dimensions", part))
    angle = math.degrees(math.atan2(dy, dx))
    backward = not -90.0 < angle <= 90.0 + 1e-9
    # Read from below or from the right, whichever way the dimension runs.
    lift = -0.8 if backward else 0.8
    middle = ((ends[0][0] + ends[1][0]) / 2 + nx * lift, (ends[0][1] + ends[1][1]) / 2 + ny * lift)
    turned = (angle + 180.0) % 360.0 if backward else angle
    items.append(Words(middle, text, size, stroke.colour, "dimensions", "middle", turned, halo=True, part=part))
    return items
