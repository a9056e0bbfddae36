"""A pattern in numbers: offsets to mark it by hand, corners and diagonals to check it by tape."""

from __future__ import annotations

from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.cut.results import Diagonal, Offset
from sketcher.geometry.mesh import Floats

_WITHIN = 1e-6
"""[m] The first and last row are taken this far inside, where the outline still has two sides."""


def offsets(area: shapely.Geometry, step: float, axis: Literal["u", "v"]) -> tuple[Offset, ...]:
    """Where lines square to an axis cross an outline: at its ends and at every whole `step` [m] between."""
    if area.is_empty:
        return ()
    west, south, east, north = area.bounds
    low, high = (west, east) if axis == "u" else (south, north)
    steps = np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step
    between = steps[(steps > low + _WITHIN) & (steps < high - _WITHIN)]
    places = np.concatenate([[low + _WITHIN], between, [high - _WITHIN]])
    rows = []
    for place in places.tolist():
        ends = ((place, south - 1), (place, north + 1)) if axis == "u" else ((west - 1, place), (east + 1, place))
        met = shapely.get_coordinates(shapely.intersection(area, shapely.LineString(ends)))
        if len(met):
            across = np.sort(met[:, 1 if axis == "u" else 0])
            rows.append(Offset(along=place, across=tuple(across.tolist())))
    return tuple(rows)


def corners(area: shapely.Polygon) -> tuple[tuple[str, tuple[float, float]], ...]:
    """The outline's furthest points towards the four corners of the paper, lettered from lower left, anticlockwise."""
    points = np.asarray(area.exterior.coords)[:-1]
    size = np.ptp(points, axis=0)
    scaled = points / np.where(size > 0.0, size, 1.0)
    distinct: list[Floats] = []
    for towards in ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)):
        point = points[int(np.argmax(scaled @ np.array(towards)))]
        if not any(np.array_equal(point, other) for other in distinct):
            distinct.append(point)
    return tuple((letter, (float(p[0]), float(p[1]))) for letter, p in zip("ABCD", distinct, strict=False))


def diagonals(named: tuple[tuple[str, tuple[float, float]], ...]) -> tuple[Diagonal, ...]:
    """The lengths between opposite corners; between all, where there are only three."""
    pairs = [(0, 2), (1, 3)] if len(named) == 4 else [(i, j) for i in range(len(named)) for j in range(i + 1, len(named))]
    return tuple(
        Diagonal(
            name=named[i][0] + named[j][0],
            start=named[i][1],
            end=named[j][1],
            length=float(np.hypot(named[i][1][0] - named[j][1][0], named[i][1][1] - named[j][1][1])),
        )
        for i, j in pairs
    )
