"""The build, worked out in a thread beside the page: it tells how far it is, waits while something is dragged, can be stopped."""

from __future__ import annotations

import io
import logging
import subprocess
import sys
import tempfile
import threading
import time
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

from sketcher.analysis.cut.plan import BuildPlan, build_plan
from sketcher.geometry.mesh import GeometryError
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.outputs.paper.tile_grid import PaperName
from sketcher.web.logic.session import Evaluate
from sketcher.web.state import BuildState

log = logging.getLogger(__name__)

REPORT_EVERY = 0.3
"""Seconds between two reports of how far it is."""
PAUSE = 0.05
"""Seconds until it looks again whether the drag has ended."""
FAILED = "The build could not be worked out. Where the sketcher was started it says more."
REFUSED = 2
"""The exit code of a command that said in words why it was not done; with any other there may be a traceback instead."""


@dataclass(eq=False, repr=False)
class BackgroundBuild:
    """evaluate: a scene to its figures, afresh; dragging: whether to wait; changed: called when there is something new to show.

    One thing at a time is worked out: the plan of a scene, or from its saved file the folder that is carried to the boat.
    """

    evaluate: Evaluate
    dragging: Callable[[], bool] = lambda: False
    changed: Callable[[], None] = lambda: None
    folder: bytes = b""
    paper: PaperName = "a4"
    _state: BuildState = field(default_factory=BuildState)
    _plan_of: Scene | None = None
    _folder_of: Scene | None = None
    _tried: Scene | None = None
    _stop: bool = False
    _reported: float = 0.0
    _process: subprocess.Popen[str] | None = None
    _thread: threading.Thread | None = None

    def state(self, scene: Scene) -> BuildState:
        """How far it is. scene: as it is now, which differs from the one that was planned if it was edited since."""
        current = self._state.plan is not None and self._plan_of == scene
        folder = len(self.folder) if self._folder_of == scene else 0
        return replace(self._state, current=current, folder=folder, paper=self.paper)

    def plan_of(self, scene: Scene) -> BuildPlan | None:
        """The plan, if it is of this very scene."""
        return self._state.plan if self._plan_of == scene else None

    def folder_of(self, scene: Scene) -> bytes | None:
        """The build's folder as one ZIP file, if it is of this very scene."""
        return self.folder if self._folder_of == scene and self.folder else None

    def ahead(self, scene: Scene) -> None:
        """Work out the plan of a scene before anybody asks; not again what was stopped or cannot be worked out."""
        if self._plan_of != scene and self._tried != scene:
            self.begin(scene)

    def begin(self, scene: Scene) -> None:
        """Work out the plan of a scene; one that is being worked out goes on."""
        if not self._state.doing:
            self._tried = scene
        self._start("plan", lambda: self._make_plan(scene))

    def make_folder(self, scene: Scene, path: str) -> None:
        """Make the build's folder from the scene's saved file, as the command does."""
        self._start("folder", lambda: self._make_folder(scene, path))

    def choose_paper(self, paper: PaperName) -> None:
        """The paper that patterns are printed on; a folder made for another is not theirs."""
        if paper != self.paper:
            self.paper, self.folder, self._folder_of = paper, b"", None

    def stop(self) -> None:
        """Keep the best laying on sheets so far; a folder half made is thrown away."""
        self._stop = True
        if self._process is not None:
            self._process.terminate()

    def forget(self) -> None:
        """Stop and throw everything away: another boat was opened."""
        self.stop()
        self.wait()
        self._state, self._plan_of, self._folder_of, self.folder = BuildState(), None, None, b""

    def wait(self, seconds: float | None = None) -> None:
        """Until what is being worked out has ended, or for so long."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _start(self, doing: str, work: Callable[[], None]) -> None:
        if self._state.doing:
            return
        self._stop = False
        self._state = replace(self._state, doing=doing, done=0, most=0, problem="")
        self._thread = threading.Thread(target=lambda: self._run(work), daemon=True)
        self._thread.start()

    def _run(self, work: Callable[[], None]) -> None:
        """Do the work; what goes wrong is said on the page or in the log, and the page goes on."""
        try:
            work()
        except SketchError as problem:
            self._state = replace(self._state, problem=f"{problem.message}. {problem.remedy}")
        except GeometryError as problem:
            self._state = replace(self._state, problem=f"No boards can be made of this: {problem}")
        except Exception:
            log.exception("the build failed")
            self._state = replace(self._state, problem=FAILED)
        finally:
            self._state = replace(self._state, doing="")
            self.changed()

    def _make_plan(self, scene: Scene) -> None:
        plan = build_plan(self.evaluate(scene), self._go_on)
        self._plan_of = scene
        self._state = replace(self._state, plan=plan, stopped=self._stop)

    def _go_on(self, done: int, most: int) -> bool:
        """Called between two orders of boards that are tried: waits while something is dragged; False to stop."""
        while self.dragging() and not self._stop:
            time.sleep(PAUSE)
        if time.monotonic() - self._reported > REPORT_EVERY:
            self._reported = time.monotonic()
            self._state = replace(self._state, done=done, most=most)
            self.changed()
        return not self._stop

    def _make_folder(self, scene: Scene, path: str) -> None:
        paper = self.paper
        with tempfile.TemporaryDirectory(prefix="sketcher-build-") as beside:
            target = Path(beside) / "build"
            command = [sys.executable, "-m", "sketcher", "build", path, "-o", str(target), "--paper", paper]
            self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
            _, said = self._process.communicate()
            ended, self._process = self._process.returncode, None
            if self._stop or paper != self.paper:
                return
            if ended == REFUSED:
                raise SketchError(" ".join(said.split()).rstrip("."))
            if ended != 0:
                raise RuntimeError(f"the command ended with {ended}: {said}")
            self.folder, self._folder_of = _zipped(target), scene


def _zipped(folder: Path) -> bytes:
    """A folder's files as one ZIP, in the order of their names, so that the same files come in the same order."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(path for path in folder.rglob("*") if path.is_file()):
            packed.write(path, path.relative_to(folder).as_posix())
    return out.getvalue()
