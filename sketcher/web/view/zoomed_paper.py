"""Paper on the page: its size, and the part of it that is seen by zooming and moving it."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.outputs.drawing.recording import Spot
from sketcher.outputs.drawing.svg import FACE

PIXELS_PER_MM = 5.0
"""More than a screen's nominal 3.78, so that the smallest lettering, of 2.2 mm, is 11 pixels high."""
LEAST_SIDE = 10.0
"""[mm]: smaller paper than this holds no drawing; any other is as large as it is shown, so that lettering is."""
KEY_STEP = 0.15
"""Share of what is seen that an arrow key moves it by."""
LEAST_WINDOW = 0.08
"""Share of the paper that is seen at the closest: beyond it lettering fills the page."""


@dataclass(eq=False, repr=False)
class Paper:
    """size [mm]; window: the part of it that is seen (left, top, width, height) in shares, by zooming."""

    size: Spot = (230.0, 95.0)
    window: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)

    def resize(self, pixels: tuple[float, float]) -> None:
        """The page gives the paper another size; hidden paper keeps its own."""
        if min(pixels) > 0:
            self.size = (max(pixels[0] / PIXELS_PER_MM, LEAST_SIDE), max(pixels[1] / PIXELS_PER_MM, LEAST_SIDE))

    @property
    def is_whole(self) -> bool:
        """Whether all of the paper is seen."""
        return self.window[2] > 1.0 - 1e-6

    def show_all(self) -> None:
        self.window = (0.0, 0.0, 1.0, 1.0)

    def zoom(self, factor: float, at: Spot) -> None:
        """Closer about a spot on the paper [mm, y down]; never further than the whole of it."""
        left, top, width, height = self.window
        x, y = at[0] / self.size[0], at[1] / self.size[1]
        kept = min(max(width / factor, LEAST_WINDOW), 1.0) / width
        self._see(x - (x - left) * kept, y - (y - top) * kept, width * kept, height * kept)

    def pan(self, by: Spot) -> None:
        """Move what is seen with the hand, by [mm]."""
        left, top, width, height = self.window
        self._see(left - by[0] / self.size[0], top - by[1] / self.size[1], width, height)

    def look(self, towards: str) -> None:
        """Show more of one side, by an arrow key."""
        left, top, width, height = self.window
        across, down = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}[towards]
        self._see(left + across * KEY_STEP * width, top + down * KEY_STEP * height, width, height)

    def _see(self, left: float, top: float, width: float, height: float) -> None:
        self.window = (min(max(left, 0.0), 1.0 - width), min(max(top, 0.0), 1.0 - height), width, height)

    @property
    def root(self) -> str:
        """The attributes of an SVG that shows what is seen of it."""
        (left, top, width, height), (across, down) = self.window, self.size
        seen = f"{left * across:.2f} {top * down:.2f} {width * across:.2f} {height * down:.2f}"
        return f'viewBox="{seen}" font-family="{FACE}"'
