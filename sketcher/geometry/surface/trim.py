"""An open sheet of triangles cut along surfaces, every cut edge marked by what cut it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Flags, Floats, GeometryError, Ints, corners_that, edge_keys
from sketcher.geometry.surface.shell import edge_loop, number_keys, welded


@dataclass(frozen=True, eq=False)
class MarkedSheet:
    """An open sheet. vertices: (n, 3); triangles: (m, 3); marks: (n,) bits of the cuts that each vertex lies on."""

    vertices: Floats
    triangles: Ints
    marks: Ints

    def trimmed(self, height: Floats, bit: int) -> MarkedSheet:
        """The part where height (n,), taken as linear along edges, is not negative; the new edge's vertices get the bit."""
        above = height >= 0.0
        count = corners_that(above, self.triangles)
        cut = np.flatnonzero((count == 1) | (count == 2))
        lone_above = count[cut] == 1
        lone = np.argmax(above[self.triangles[cut]] == lone_above[:, None], axis=1)
        a, b, c = (self.triangles[cut, (lone + k) % 3] for k in range(3))
        edges = np.concatenate([edge_keys(a, b, len(above)), edge_keys(a, c, len(above))])
        first, number = number_keys(edges)
        low, high = edges[first] // len(above), edges[first] % len(above)
        share = (height[low] / (height[low] - height[high]))[:, None]
        places = self.vertices[low] + share * (self.vertices[high] - self.vertices[low])
        ab, ac = number[: len(cut)] + len(above), number[len(cut) :] + len(above)
        tip, foot = lone_above, ~lone_above
        triangles = np.concatenate(
            [
                self.triangles[count == 3],
                np.stack([a, ab, ac], axis=1)[tip],
                np.stack([b, c, ac], axis=1)[foot],
                np.stack([b, ac, ab], axis=1)[foot],
            ]
        )
        marks = np.concatenate([self.marks, (self.marks[low] & self.marks[high]) | bit])
        return MarkedSheet(np.concatenate([self.vertices, places]), triangles, marks)

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
