"""Curved cleats at true size, each run on its own paper: the face that bears the board, as it is sawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from sketcher.analysis.cut.bonding.cleat_shapes import CleatShape
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.geometry.mesh import Floats
from sketcher.outputs.drawing.recording import Drawing, Item, LineStyle, Words, line
from sketcher.outputs.palette import INK, PENCIL
from sketcher.outputs.wording.quantities import length_with_unit

CURVED = 0.001
"""[m] A run whose edge lies off its chord by less is a straight batten, and has no paper."""

_EDGE = 12.0
"""[mm] of paper about a cleat."""

_LINES = "thick: the face that bears the board; dashed: the back's edge on the face opposite, before its ends are sawn"

_SAW = LineStyle(INK, 0.5)
_FAR = LineStyle(INK, 0.25, (4.0, 2.0))
_CHORD = LineStyle(PENCIL, 0.15)


def cleat_drawings(cleats: Sequence[Cleat], units: str) -> Iterator[Drawing]:
    """The curved runs of cleats at true size."""
    for cleat in cleats:
        for number, shape in enumerate(cleat.shapes, 1):
            if shape.curve_depth > CURVED:
                yield _drawing(f"cleat under {cleat.panel}, {cleat.face} face, along {cleat.to}, run {number}", shape, units)


def _drawing(title: str, shape: CleatShape, units: str) -> Drawing:
    outline = 1000.0 * np.asarray(shape.outline.exterior.coords)
    edge, far = 1000.0 * shape.edge, 1000.0 * shape.far
    every = np.concatenate([outline, edge, far])
    low, size = every.min(axis=0) - _EDGE, np.ptp(every, axis=0) + 2 * _EDGE

    def placed(points: Floats) -> list[tuple[float, float]]:
        return [(float(x), float(y)) for x, y in points - low]

    middle = edge[len(edge) // 2] - low
    chord = float(np.linalg.norm(shape.edge[-1] - shape.edge[0]))
    sizes = f"chord {length_with_unit(chord, units)}, curve's depth {length_with_unit(shape.curve_depth, units)}"
    items: list[Item] = [
        line(placed(outline), _SAW, "outline"),
        line(placed(far), _FAR, "outline"),
        line(placed(edge[[0, -1]]), _CHORD, "marks"),
        Words((float(middle[0]), float(size[1]) - 5.0), f"{title}: {sizes}", 3.0, INK, "label", "middle"),
        Words((float(middle[0]), 3.0), _LINES, 2.4, PENCIL, "label", "middle"),
    ]
    return Drawing(title=title, width=float(size[0]), height=float(size[1]), items=tuple(items))
