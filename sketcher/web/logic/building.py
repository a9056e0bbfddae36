"""The build, worked out beside the page: it tells how far it is, stands still while a hand moves, and can be stopped."""

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
from sketcher.web.logic.session import Evaluate
from sketcher.web.state import BuildState

log = logging.getLogger(__name__)

TELL_EVERY = 0.3
"""Seconds between two words about how far it is."""
STAND_STILL = 0.05
"""Seconds until it looks again whether the hand has let go."""
FAILED = "The build could not be worked out. Where the sketcher was started it says more."
REFUSED = 2
"""The exit code of a command that said in words why it was not done; with any other there may be a traceback instead."""
Changed = Callable[[], None]


@dataclass(eq=False, repr=False)
class Building:
    """evaluate: a scene to its figures, afresh. held: whether a hand moves something; wake: called when there is news.

    One thing at a time is worked out: the plan of a scene, or from its saved file the folder that is carried to the boat.
    """

    evaluate: Evaluate
    held: Callable[[], bool] = lambda: False
    wake: Changed = lambda: None
    _state: BuildState = field(default_factory=BuildState)
    _scene: Scene | None = None
    _files_of: Scene | None = None
    folder: bytes = b""
    _stop: bool = False
    _told: float = 0.0
    _process: subprocess.Popen[str] | None = None
    _thread: threading.Thread | None = None

    def state(self, scene: Scene) -> BuildState:
        """How things stand, for the page. scene: as it is now, which what was worked out may no longer be of."""
        current = self._state.plan is not None and self._scene == scene
        return replace(self._state, current=current, folder=len(self.folder) if self._files_of == scene else 0)

    def plan_of(self, scene: Scene) -> BuildPlan | None:
        """The plan, if it is of this very layout."""
        return self._state.plan if self._scene == scene else None

    def folder_of(self, scene: Scene) -> bytes | None:
        """The build's folder as one file, if it is of this very layout."""
        return self.folder if self._files_of == scene and self.folder else None

    def begin(self, scene: Scene) -> None:
        """Work out the plan of a scene; one under way goes on."""
        self._start("plan", lambda: self._work_out(scene))

    def make_folder(self, scene: Scene, path: str) -> None:
        """Make the files of a scene from its saved file, as the command does."""
        self._start("folder", lambda: self._make(scene, path))

    def stop(self) -> None:
        """Keep the best laying so far; files half made are thrown away."""
        self._stop = True
        if self._process is not None:
            self._process.terminate()

    def forget(self) -> None:
        """Another boat is on the desk."""
        self.stop()
        self.wait()
        self._state, self._scene, self._files_of, self.folder = BuildState(), None, None, b""

    def wait(self, seconds: float | None = None) -> None:
        """Until what is under way has ended."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _start(self, doing: str, work: Changed) -> None:
        if self._state.doing:
            return
        self._stop = False
        self._state = replace(self._state, doing=doing, done=0, most=0, problem="")
        self._thread = threading.Thread(target=lambda: self._guarded(work), daemon=True)
        self._thread.start()

    def _guarded(self, work: Changed) -> None:
        """What goes wrong is said on the page or in the log; the page goes on."""
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
            self.wake()

    def _work_out(self, scene: Scene) -> None:
        plan = build_plan(self.evaluate(scene), self._watch)
        self._scene = scene
        self._state = replace(self._state, plan=plan, stopped=self._stop)

    def _watch(self, done: int, most: int) -> bool:
        """Told by the laying how far it is; stands still while a hand moves, so that the hand does not wait for it."""
        while self.held() and not self._stop:
            time.sleep(STAND_STILL)
        if time.monotonic() - self._told > TELL_EVERY:
            self._told = time.monotonic()
            self._state = replace(self._state, done=done, most=most)
            self.wake()
        return not self._stop

    def _make(self, scene: Scene, path: str) -> None:
        with tempfile.TemporaryDirectory(prefix="sketcher-build-") as beside:
            target = Path(beside) / "build"
            command = [sys.executable, "-m", "sketcher", "build", path, "-o", str(target)]
            self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
            _, said = self._process.communicate()
            ended, self._process = self._process.returncode, None
            if self._stop:
                return
            if ended == REFUSED:
                raise SketchError(" ".join(said.split()).rstrip("."))
            if ended != 0:
                raise RuntimeError(f"the command ended with {ended}: {said}")
            self.folder, self._files_of = _packed(target), scene


def _packed(folder: Path) -> bytes:
    """A folder's files as one ZIP, sorted, so that the same files make the same names in the same order."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(path for path in folder.rglob("*") if path.is_file()):
            packed.write(path, path.relative_to(folder).as_posix())
    return out.getvalue()
