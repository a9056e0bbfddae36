"""The stage that the desk draws on, if this machine can draw at all."""

from __future__ import annotations

from concurrent.futures import Future

from sketcher.model.errors import SketchError
from sketcher.outputs.palette import PAPER, channels
from sketcher.outputs.picture_gl import require_opengl, use_window_without_display
from sketcher.web.logic.looking import Looking
from sketcher.web.view.boat import BoatShapes
from sketcher.web.view.stage import Pixels, Stage, halved


def probe_opengl() -> str:
    """Whether this machine can draw: nothing if it can, else why not and what to do."""
    try:
        require_opengl()
    except SketchError as problem:
        return f"{problem.message} {problem.remedy}".strip()
    return ""


class Painter:
    """Draws the boat's shapes on a stage made when the first picture is asked for. trial: whether it can be made."""

    def __init__(self, trial: Future[str]) -> None:
        self._trial = trial
        self._stage: Stage | None = None

    @property
    def problem(self) -> str:
        """Why nothing can be drawn; empty where it can."""
        return self._trial.result()

    def __call__(self, boat: BoatShapes, looking: Looking, fine: bool) -> bytes:
        """The picture as a JPEG, nothing where none can be drawn; fine: smooth edges, for a picture that stays."""
        if self.problem:
            return b""
        stage = self._set(boat, looking)
        return stage.still_picture() if fine else stage.moving_picture()

    def large(self, boat: BoatShapes, looking: Looking, enlarged: int) -> Pixels | None:
        """The picture so many times larger, smooth; None where none can be drawn."""
        if self.problem:
            return None
        return halved(self._set(boat, looking).pixels(2 * enlarged))

    def _set(self, boat: BoatShapes, looking: Looking) -> Stage:
        if self._stage is None:
            use_window_without_display()
            self._stage = Stage(channels(PAPER), looking.size)
        stage = self._stage
        stage.resize(looking.size)
        stage.show(boat.shapes)
        stage.cut(boat.planes)
        stage.look_from(looking.camera)
        return stage
