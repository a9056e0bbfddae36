"""The stage of the page: while the camera stays, only that part of a moving picture is drawn in which something changed.

For speed alone: `tests/benchmarks/page_frames.py` measures it. A picture drawn in part differs from the whole by rounding only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, Surface
from sketcher.outputs.scene3d.stage import Pixels, Stage, halved
from sketcher.web.view.drag.changed_box import NO_POINTS, Differing, moved_box
from sketcher.web.view.encoded_picture import Part, Picture

MOVING_QUALITY, STILL_QUALITY = 78, 90
"""JPEG quality while things move, and of a picture that stays."""
BESIDE = 3
"""Pixels beside what changed that are drawn with it, and beside these again: more than half the width of any line."""


class PageStage(Stage):
    """A stage that knows what of its last picture still holds. Use it from one thread only."""

    def __init__(self, size: tuple[int, int]) -> None:
        super().__init__(size)
        self._drawn: Pixels | None = None
        self._drawn_from: tuple[object, ...] = ()
        self._differing: list[Differing] = []
        self._panels: Mapping[str, PanelShape] = {}

    def show(self, shapes: Shapes) -> None:
        """Bring the actors in line with the shapes, and note where that changes the picture."""
        self._differing.append(Differing(moved_box(self._panels, shapes.panels)))
        self._panels = shapes.panels
        super().show(shapes)

    def changes(self, before: Surface | Strokes | None, after: Surface | Strokes | None) -> None:
        """Where a shape is, or was, is to be drawn anew; only where it differs, if that is known."""
        self._differing[-1].note(before, after)

    def moving_picture(self) -> Picture:
        """The picture as it is; of one seen from the same place as the last, only what changed is drawn."""
        changed = None
        if self._drawn is None or self._seen_from() != self._drawn_from:
            self._drawn, self._drawn_from = self.pixels().copy(), self._seen_from()
        else:
            changed = self._touched_pixels()
            self._draw_part(self._drawn, changed)
        self._differing.clear()
        return Picture(self._drawn.copy(), MOVING_QUALITY, changed)

    def still_picture(self) -> Picture:
        """Twice the size, brought back to the window's by averaging: smooth edges without the cost of multisampling."""
        if self._seen_from() != self._drawn_from:
            self._drawn = None
        return Picture(halved(self.pixels(2)), STILL_QUALITY)

    def _seen_from(self) -> tuple[object, ...]:
        return self.camera, self.size, self.planes

    def _touched_pixels(self) -> Part:
        """The part of the picture in which something may have changed: left, top, right and bottom; maybe nothing."""
        assert self.camera is not None
        width, height = self.size
        points = np.concatenate([NO_POINTS, *(differing.points() for differing in self._differing)])
        if not len(points):
            return 0, 0, 0, 0
        across, down, _ = self.camera.project(points, self.size).T
        left, top = max(int(across.min()) - BESIDE, 0), max(int(down.min()) - BESIDE, 0)
        return left, top, min(int(across.max()) + BESIDE + 1, width), min(int(down.max()) + BESIDE + 1, height)

    def _draw_part(self, drawn: Pixels, part: Part) -> None:
        """Draw a part of the picture anew, in place, and what is beside it: a line whose middle is outside is not drawn."""
        assert self.camera is not None
        left, top, right, bottom = part
        if right <= left or bottom <= top:
            return
        width, height = self.size
        first, last = max(left - BESIDE, 0), min(right + BESIDE, width)
        above, below = max(top - BESIDE, 0), min(bottom + BESIDE, height)
        middle = (width / 2 - (first + last) / 2, height / 2 - (above + below) / 2)
        self.aim(replace(self.camera.panned(middle, self.size), height=self.camera.height * (below - above) / height))
        self.renderer.SetViewport(first / width, 1 - below / height, last / width, 1 - above / height)
        self.window.Render()
        drawn[top:bottom, left:right] = self.read(left, height - bottom, right, height - top)
        self.renderer.SetViewport(0, 0, 1, 1)
        self.aim(self.camera)
