"""How the boat is looked at: the eye, the cut, what is hidden. Shared by all tabs; no part of the scene's file."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import get_args

import numpy as np

from sketcher.geometry.mesh import Floats, bounds_of
from sketcher.web.logic.messages import Fields
from sketcher.web.state import ARRANGEMENTS, CUT_KINDS, CutAway, CutKind, Look, ObjectRef
from sketcher.web.view.camera import Camera, ViewName, framed

TURN_PER_WIDTH = 220.0
"""Degrees the boat turns when the hand crosses the whole picture."""
NUDGE_TURN = 6.0
"""Degrees for one press of an arrow key."""
VIEWS: tuple[ViewName, ...] = get_args(ViewName)
LARGEST_SIDE, SMALLEST_SIDE = 2400, 64
"""Pixels: a page may ask for a picture of any size; more than this costs seconds, less shows nothing."""


@dataclass
class Looking:
    """The eye and the look. points: of the boat (n, 3) [m], to be held in view; size: of the picture [pixels]."""

    points: Floats
    size: tuple[int, int] = (900, 500)
    look: Look = field(default_factory=Look)

    def __post_init__(self) -> None:
        self.corners = bounds_of(self.points)
        self.camera: Camera = framed("quarter", self.points, self.size)
        self._view: ViewName | None = "quarter"

    def show_boat(self, points: Floats) -> None:
        """Another boat: the eye stands off her quarter again, nothing is hidden or cut."""
        self.points, self.corners = points, bounds_of(points)
        self.look = replace(self.look, hidden=frozenset(), cut=CutAway(), plan_height=None, section_at=None)
        self.view("quarter")

    def view(self, name: ViewName) -> None:
        self._view = name
        self.camera = framed(name, self.points, self.size)

    def resize(self, size: tuple[float, float]) -> None:
        """A page has another size; a named view that was not turned since is framed anew, else the scale is kept."""
        width, height = (int(min(max(side, SMALLEST_SIDE), LARGEST_SIDE)) for side in size)
        if (width, height) == self.size:
            return
        kept = self.camera.height * height / self.size[1]
        self.size = (width, height)
        self.camera = framed(self._view, self.points, self.size) if self._view else replace(self.camera, height=kept)

    def turn(self, moved: tuple[float, float]) -> None:
        """Orbit by a move of the hand in shares of the picture."""
        self._view = None
        self.camera = self.camera.orbited(-moved[0] * TURN_PER_WIDTH, moved[1] * TURN_PER_WIDTH)

    def nudge(self, towards: str) -> None:
        """Orbit by an arrow key."""
        across, upward = {"left": (1, 0), "right": (-1, 0), "up": (0, 1), "down": (0, -1)}[towards]
        self._view = None
        self.camera = self.camera.orbited(across * NUDGE_TURN, upward * NUDGE_TURN)

    def pan(self, moved: tuple[float, float]) -> None:
        """Move with the hand, in shares of the picture."""
        self._view = None
        self.camera = self.camera.panned(self.pixels(moved), self.size)

    def zoom(self, factor: float, at: tuple[float, float]) -> None:
        self._view = None
        self.camera = self.camera.zoomed(factor, self.pixels(at), self.size)

    def pixels(self, share: tuple[float, float]) -> tuple[float, float]:
        """A place or a move in shares of the picture, in its pixels."""
        return share[0] * self.size[0], share[1] * self.size[1]

    def cut_range(self) -> tuple[float, float]:
        """Where the cut's plane may stand [m], by its kind."""
        axis = {"forward": 0, "after": 0, "above": 2}.get(self.look.cut.kind, 1)
        return float(self.corners[0][axis]), float(self.corners[1][axis])

    def cut(self, kind: CutKind) -> None:
        """Cut away to one side; the plane begins where it opens the boat well."""
        self.look = replace(self.look, cut=CutAway(kind=kind))
        low, high = self.cut_range()
        share = {"forward": 0.12, "after": 0.4, "above": 0.6}.get(kind, 0.5)
        self.look = replace(self.look, cut=CutAway(kind=kind, at=low + share * (high - low)))

    def cut_at(self, at: float) -> None:
        low, high = self.cut_range()
        self.look = replace(self.look, cut=replace(self.look.cut, at=float(np.clip(at, low, high))))

    def toggle(self, part: ObjectRef) -> None:
        """Hide what is shown, show what is hidden."""
        self.look = replace(self.look, hidden=self.look.hidden ^ {part})

    def take(self, do: str, fields: Fields) -> bool:
        """Do what a message asks of the look; False where it asks something else. Raises BadMessageError."""
        match do:
            case "view":
                self.view(fields.choice("view", VIEWS))
            case "see_through":
                self.look = replace(self.look, see_through=fields.number("value", 0.0, 1.0))
            case "cut":
                self.cut(fields.choice("value", CUT_KINDS))
            case "cut_at":
                self.cut_at(fields.number("value"))
            case "arrange":
                self.look = replace(self.look, arrangement=fields.choice("arrangement", ARRANGEMENTS))
            case "names":
                self.look = replace(self.look, names=not self.look.names)
            case "pinch":
                start, end = fields.pair("from", -2, 3), fields.pair("to", -2, 3)
                self.zoom(fields.number("factor", 0.2, 5.0), start)
                self.pan((end[0] - start[0], end[1] - start[1]))
            case _:
                return False
        return True
