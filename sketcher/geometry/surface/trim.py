"""An open sheet of triangles cut along surfaces, every cut edge marked by what cut it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.crossing import met, split
from sketcher.geometry.mesh import Flags, Floats, GeometryError, Ints, corners_that
from sketcher.geometry.surface.shell import edge_loop, welded


@dataclass(frozen=True, eq=False)
class MarkedSheet:
    """An open sheet. vertices: (n, 3); triangles: (m, 3); marks: (n,) bits of the cuts that each vertex lies on."""

    vertices: Floats
    triangles: Ints
    marks: Ints

    def trimmed(self, height: Floats, bit: int) -> MarkedSheet:
        """The part where height (n,), taken as linear along edges, is not negative; the new edge's vertices get the bit."""
        parted = split(height, self.triangles)
        low, high = parted.edges.T
        places = met(self.vertices, height, low, high)
        triangles = np.concatenate([self.triangles[parted.whole], parted.triangles])
        marks = np.concatenate([self.marks, (self.marks[low] & self.marks[high]) | bit])
        return MarkedSheet(np.concatenate([self.vertices, places]), triangles, marks)

    def carried(self, to: Callable[[Floats], Floats], bit: int) -> MarkedSheet:
        """The sheet with the places that bear the bit put where they belong."""
        vertices, there = self.vertices.copy(), (self.marks & bit) > 0
        vertices[there] = to(vertices[there])
        return MarkedSheet(vertices, self.triangles, self.marks)

    def tidy(self) -> MarkedSheet:
        """The sheet with each place once, and no triangle that has come down to a line or lies flat in the plane y = 0."""
        used = np.zeros(len(self.vertices), dtype=bool)
        used[self.triangles] = True
        vertices, number = welded(self.vertices)
        marks = np.zeros(len(vertices), dtype=np.int64)
        np.bitwise_or.at(marks, number[used], self.marks[used])
        triangles = number[self.triangles]
        a, b, c = triangles.T
        flat = corners_that(vertices[:, 1] == 0.0, triangles) == 3
        return MarkedSheet(vertices, triangles[(a != b) & (b != c) & (c != a) & ~flat], marks)

    def edges(self, bits: tuple[int, ...]) -> list[Floats]:
        """For each bit the run (k, 3) of the sheet's open edge that bears it, in the triangles' sense; empty where none does.

        Raises GeometryError where nothing is left, the open edge is not one loop, or a bit's run not one piece.
        """
        if not len(self.triangles):
            raise GeometryError("nothing is left of the sheet")
        loop, _ = edge_loop(self.triangles)
        marks = self.marks[loop]
        return [self.vertices[loop[_run((marks & bit) > 0)]] for bit in bits]


def _run(flags: Flags) -> Ints:
    """Indices of the one run of true flags on a ring, in order."""
    held = np.flatnonzero(flags)
    if len(held) in (0, len(flags)):
        return held
    starts = np.flatnonzero(flags & ~np.roll(flags, 1))
    if len(starts) != 1:
        raise GeometryError("a sheet's edge is cut in more than one piece")
    run: Ints = (starts[0] + np.arange(len(held))) % len(flags)
    return run
