"""How the boat is shown: the camera, the cut, what is hidden. Shared by all tabs; not kept in the scene's file."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from sketcher.geometry.mesh import Floats, bounds_of
from sketcher.outputs.scene3d.camera import Camera, ViewName, framed, holding, seen_from
from sketcher.outputs.scene3d.objects import NEAR_HALF, Appearance, CutAway, CutKind, ObjectRef
from sketcher.web.state import CUT_AXES, Arrangement, CutName, Look

TURN_PER_WIDTH = 220.0
"""Degrees the boat turns when the pointer crosses the whole picture."""
NUDGE_TURN = 6.0
"""Degrees for one press of an arrow key."""
LARGEST_SIDE, SMALLEST_SIDE = 2400, 64
"""Pixels: a page may ask for a picture of any size; more than this costs seconds, less shows nothing."""
WITHOUT_BOAT: tuple[Arrangement, ...] = ("drawings", "hull", "build")
"""Arrangements of the page in which the boat herself is not seen."""


@dataclass
class ViewSettings:
    """The camera and the look. points: of the boat (n, 3) [m], to be held in view; size: of the picture [pixels]."""

    points: Floats
    size: tuple[int, int] = (900, 500)
    look: Look = field(default_factory=Look)

    def __post_init__(self) -> None:
        self.corners = bounds_of(self.points)
        self.camera: Camera = framed("quarter", self.points, self.size)
        self._view: ViewName | None = "quarter"

    def show_boat(self, points: Floats) -> None:
        """Another boat: seen from her quarter again, nothing hidden or cut."""
        self.points, self.corners = points, bounds_of(points)
        self.look = replace(
            self.look, hidden=frozenset(), cut=NEAR_HALF, profile_at=None, plan_height=None, section_at=None, apart=0.0
        )
        self.view("quarter")

    def keep_boat(self, points: Floats) -> None:
        """The same boat in another shape, seen as she was."""
        self.points, self.corners = points, bounds_of(points)

    @property
    def shows_boat(self) -> bool:
        return self.look.arrangement not in WITHOUT_BOAT

    @property
    def appearance(self) -> Appearance:
        """How the boat herself is shown from where she is seen."""
        return seen_from(self.look.appearance, self.camera)

    def view(self, name: ViewName) -> None:
        """Look from one of the named views."""
        self._view = name
        self.camera = framed(name, self.points, self.size)

    def pull_apart(self, share: float, points: Floats) -> None:
        """Show her spaces pulled apart, 1 fully, and all of them in the picture. points: of all that is then drawn (n, 3) [m]."""
        self.look, self.points = replace(self.look, apart=share), points
        self.camera = holding(self.camera, points, self.size)

    def resize(self, size: tuple[float, float]) -> None:
        """A page has another size; a named view that was not turned since is framed anew, else the scale is kept."""
        width, height = (int(min(max(side, SMALLEST_SIDE), LARGEST_SIDE)) for side in size)
        if (width, height) == self.size:
            return
        kept = self.camera.height * height / self.size[1]
        self.size = (width, height)
        self.camera = framed(self._view, self.points, self.size) if self._view else replace(self.camera, height=kept)

    def turn(self, moved: tuple[float, float]) -> None:
        """Orbit by a move of the pointer in shares of the picture."""
        self._view = None
        self.camera = self.camera.orbited(-moved[0] * TURN_PER_WIDTH, moved[1] * TURN_PER_WIDTH)

    def nudge(self, towards: str) -> None:
        """Orbit by an arrow key."""
        across, upward = {"left": (1, 0), "right": (-1, 0), "up": (0, 1), "down": (0, -1)}[towards]
        self._view = None
        self.camera = self.camera.orbited(across * NUDGE_TURN, upward * NUDGE_TURN)

    def pan(self, moved: tuple[float, float]) -> None:
        """Move with the pointer, in shares of the picture."""
        self._view = None
        self.camera = self.camera.panned(self.pixels(moved), self.size)

    def zoom(self, factor: float, at: tuple[float, float]) -> None:
        """Magnify about a place in shares of the picture."""
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
        """Put the cut's plane somewhere [m], within the boat."""
        low, high = self.cut_range()
        self.look = replace(self.look, cut=replace(self.look.cut, at=float(np.clip(at, low, high))))

    def draw_at(self, name: CutName, at: float, size: float) -> None:
        """Cut a drawing elsewhere [m], within the boat, in whole steps of a size."""
        axis = "xyz".index(CUT_AXES[name])
        to = float(np.clip(round(at / size) * size, self.corners[0][axis], self.corners[1][axis]))
        self.look = self.look.drawn_at(name, to)

    def toggle(self, ref: ObjectRef) -> None:
        """Hide what is shown, show what is hidden."""
        self.look = replace(self.look, hidden=self.look.hidden ^ {ref})
