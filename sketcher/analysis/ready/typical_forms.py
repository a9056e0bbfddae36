"""A first guess of a hull from her principal dimensions and one of a few typical forms, for measured points to be typed over.

The forms are drawn for this and copy no boat: their proportions are our own, from no source. Every point is marked as guessed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.units import UNITS, example_length, format_length, parse_length

Section = tuple[Point2, ...]
"""Points from the centreline to the sheer in shares of the half-breadth and of the height there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypicalForm:
    """Where stations stand, in shares of the length; at each the sheer's half-breadth, in shares of the greatest, and how high
    the keel has risen, in shares of the depth. bow, middle: sections that the others lie between; knuckles: of their points.

    draft: how much of the depth lies in the water, where freeboards say how high the ends are.
    """

    words: str
    breadths: tuple[float, ...]
    rises: tuple[float, ...]
    bow: Section
    middle: Section
    knuckles: tuple[int, ...] = ()
    draft: float = 0.36


PLACES = (0.08, 0.20, 0.33, 0.46, 0.59, 0.72, 0.86, 1.0)
"""Stations in shares of the length: closer forward, where she changes most."""
SHEER_FORWARD, SHEER_AFT, LOWEST_AT = 1.22, 1.03, 0.62
"""Height of the sheer at the ends in shares of the depth, where no freeboards are given; where along her it is lowest."""
RAKE = (0.0, 0.36, 0.7, 1.0)
"""How far forward the stem has come, in shares, at four heights from the keel up."""
LEAST_BREADTH, LONGEST = 0.02, 40.0
"""[m] Smaller and longer ones are no small boat in the unit meant."""

GUESSED = "A first guess from her principal dimensions: the points under `guessed` were never measured, nor was her stem."
"""What her file says of itself."""

ROUND_MIDDLE: Section = ((0.0, 0.0), (0.42, 0.05), (0.72, 0.16), (0.9, 0.36), (0.97, 0.66), (1.0, 1.0))
ROUND_BOW: Section = ((0.0, 0.0), (0.24, 0.13), (0.43, 0.31), (0.60, 0.52), (0.79, 0.76), (1.0, 1.0))
FORMS: dict[str, TypicalForm] = {
    "chined": TypicalForm(
        words="flat sides and bottom, one hard corner between",
        breadths=(0.34, 0.66, 0.87, 0.97, 1.0, 0.98, 0.92, 0.82),
        rises=(0.32, 0.13, 0.04, 0.01, 0.0, 0.03, 0.08, 0.15),
        bow=((0.0, 0.0), (0.27, 0.19), (0.54, 0.40), (0.70, 0.60), (0.85, 0.80), (1.0, 1.0)),
        middle=((0.0, 0.0), (0.43, 0.11), (0.87, 0.23), (0.92, 0.49), (0.96, 0.74), (1.0, 1.0)),
        knuckles=(3,),
    ),
    "round bilge": TypicalForm(
        words="one round from keel to sheer",
        breadths=(0.31, 0.62, 0.85, 0.97, 1.0, 0.97, 0.89, 0.74),
        rises=(0.40, 0.19, 0.07, 0.01, 0.0, 0.05, 0.15, 0.29),
        bow=ROUND_BOW,
        middle=ROUND_MIDDLE,
    ),
    "full bow": TypicalForm(
        words="round, and carrying her breadth well forward",
        breadths=(0.54, 0.82, 0.95, 1.0, 1.0, 0.98, 0.93, 0.83),
        rises=(0.30, 0.12, 0.04, 0.0, 0.0, 0.04, 0.12, 0.24),
        bow=((0.0, 0.0), (0.33, 0.09), (0.57, 0.24), (0.75, 0.46), (0.89, 0.73), (1.0, 1.0)),
        middle=ROUND_MIDDLE,
    ),
    "catamaran hull": TypicalForm(
        words="one slender hull of two",
        breadths=(0.36, 0.68, 0.88, 0.98, 1.0, 0.97, 0.88, 0.68),
        rises=(0.20, 0.08, 0.02, 0.0, 0.0, 0.03, 0.09, 0.20),
        bow=ROUND_BOW,
        middle=((0.0, 0.0), (0.52, 0.05), (0.80, 0.15), (0.93, 0.35), (0.97, 0.66), (1.0, 1.0)),
        draft=0.3,
    ),
}


def first_guess(
    name: str,
    form: str,
    units: str,
    dimensions: tuple[float, float, float],
    freeboards: tuple[float, float] | None = None,
    spacing: float | None = None,
) -> Hull:
    """A hull of a form with these principal dimensions [m], every point of it guessed; heights are from her lowest point.

    dimensions: her length, from the stem to the transom at the sheer, her greatest beam, and her depth from the bottom amidships
    to the sheer there. freeboards: at bow and stern. spacing: between the centrelines of a catamaran, whose beam is one hull's.
    Raises SketchError where the form is not known or a dimension cannot be.
    """
    shape = FORMS.get(form)
    if shape is None:
        raise SketchError(f"there is no form `{form}`", f"There are: {', '.join(FORMS)}.", key="form")
    if units not in UNITS:
        raise SketchError(f"`{units}` is no unit of length known here", f"Write one of {', '.join(UNITS)}.", key="units")
    length, beam, depth = dimensions
    _check(units, length=length, beam=beam, depth=depth)
    if form == "catamaran hull" and not spacing:
        raise SketchError("a catamaran's two hulls need their distance", "Give it from centreline to centreline.", key="spacing")
    sheer = _sheer(shape, length, depth, freeboards)

    def rounded(metres: float) -> float:
        return parse_length(example_length(metres, units), units) or 0.0

    stations = []
    for share, breadth, rise in zip(PLACES, shape.breadths, shape.rises, strict=True):
        keel, top = rise * depth, float(np.polyval(sheer, share))
        section = _blended(shape, share)
        points = [(rounded(y * breadth * beam / 2), rounded(keel + z * (top - keel))) for y, z in section]
        guessed = tuple(range(1, len(points) + 1))
        stations.append(Station(at=rounded(share * length), points=tuple(points), knuckles=shape.knuckles, guessed=guessed))
    foot, head = stations[0].points[0], float(np.polyval(sheer, 0.0))
    heights = np.linspace(foot[1], head, len(RAKE))
    stem = tuple((rounded(stations[0].at * (1 - way)), rounded(float(z))) for way, z in zip(RAKE, heights, strict=True))
    twin = parse_length(format_length(spacing, units), units) if spacing and form == "catamaran hull" else None
    return Hull(name=name, units=units, stations=tuple(stations), stem=stem, twin_spacing=twin)


def _check(units: str, **dimensions: float) -> None:
    """Raises SketchError for a dimension that no small boat has; most often it is the unit that is wrong."""
    for name, value in dimensions.items():
        if not LEAST_BREADTH < value < LONGEST:
            said = f"a {name} of {format_length(value, units)} {units}"
            raise SketchError(f"{said} is no small boat's", f"Give it in {units}, or with its unit such as 6.4 m.", key=name)
    if max(dimensions["beam"], dimensions["depth"]) > dimensions["length"]:
        raise SketchError("she is wider or deeper than she is long", "Look for dimensions changed about.", key="length")


def _sheer(shape: TypicalForm, length: float, depth: float, freeboards: tuple[float, float] | None) -> Sequence[float] | Any:
    """The sheer's height [m] as a parabola over shares of the length: through its ends and the depth where it is lowest."""
    forward, aft = SHEER_FORWARD * depth, SHEER_AFT * depth
    if freeboards is not None:
        forward, aft = (shape.draft * depth + freeboard for freeboard in freeboards)
        if min(freeboards) <= 0.0 or max(forward, aft) > 3.0 * depth:
            remedy = "Measure them plumb from the water to the deck's edge."
            raise SketchError("these freeboards do not go with the depth", remedy)
    return np.polyfit([0.0, LOWEST_AT, 1.0], [forward, depth, aft], 2)


def _blended(shape: TypicalForm, share: float) -> Section:
    """The section between the bow's and the middle's that stands so far aft."""
    full = min(share / 0.46, 1.0) ** 0.8
    pairs = zip(shape.bow, shape.middle, strict=True)
    return tuple((b[0] + full * (m[0] - b[0]), b[1] + full * (m[1] - b[1])) for b, m in pairs)
