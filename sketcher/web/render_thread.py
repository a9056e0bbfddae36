"""The painter: one thread that draws the boat, if this machine can draw at all.

The graphics context belongs to the thread that made it, on some systems only to the process's main thread. VTK lets Python run
while it renders: so a picture is begun, and what else the page shows is worked out while it is drawn; not while its shapes are
put on the stage, since two threads of Python hold each other up by more than either takes.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from queue import Empty, SimpleQueue
from typing import ParamSpec, TypeVar

from sketcher.model.errors import SketchError
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.opengl import require_opengl, use_window_without_display
from sketcher.outputs.scene3d.stage import Pixels, halved
from sketcher.web.view.drag.page_stage import PageStage
from sketcher.web.view.encoded_picture import Picture

P = ParamSpec("P")
R = TypeVar("R")
LONGEST_WAIT = 0.5
"""Seconds: a signal is heard at the latest when a wait ends, where a system does not break it off."""

LONGEST_STAGING = 0.05
"""Seconds that a caller waits for shapes to be on the stage: several times what a step of a drag needs. A first picture, with
its window, takes longer, and the rest of the page is not kept waiting for it.
"""


def probe_opengl() -> str:
    """Whether this machine can draw: nothing if it can, else why not and what to do."""
    try:
        require_opengl()
    except SketchError as problem:
        return f"{problem.message} {problem.remedy}".strip()
    return ""


class OnThisThread(Executor):
    """Has its work done by the thread that calls `work`.

    >>> here = OnThisThread()
    >>> answer = here.submit(sum, [1, 2])
    >>> here.shutdown()
    >>> here.work()
    >>> answer.result()
    3
    """

    def __init__(self) -> None:
        self._waiting: SimpleQueue[Callable[[], None] | None] = SimpleQueue()

    def submit(self, function: Callable[P, R], /, *args: P.args, **kwargs: P.kwargs) -> Future[R]:
        """Have a function called, unless its answer is cancelled before; what it gives, once it has been."""
        answer: Future[R] = Future()

        def call() -> None:
            if not answer.set_running_or_notify_cancel():
                return
            try:
                answer.set_result(function(*args, **kwargs))
            except Exception as problem:
                answer.set_exception(problem)

        self._waiting.put(call)
        return answer

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Let `work` end after what was asked for so far."""
        self._waiting.put(None)

    def work(self) -> None:
        """Do what is asked for, here, until it is shut down."""
        while True:
            try:
                call = self._waiting.get(timeout=LONGEST_WAIT)
            except Empty:
                continue
            if call is None:
                return
            call()


class Painter:
    """Draws the boat's shapes on a stage made when the first picture is asked for.

    trial: whether it can be made; thread: what has it drawn, always by the same thread; None: by one of its own.
    """

    def __init__(self, trial: Future[str], thread: Executor | None = None) -> None:
        self._trial = trial
        self.thread = thread or ThreadPoolExecutor(1, "painter")

    @property
    def problem(self) -> str:
        """Why nothing can be drawn; empty where it can."""
        return self._trial.result()

    def begin(self, boat: BoatShapes, camera: Camera, size: tuple[int, int], fine: bool) -> Future[Picture | None]:
        """The picture once it is drawn, nothing where none can be; fine: smooth edges, for a picture that stays.

        Comes back when all is on the stage, and only drawing is left; sooner where that takes long.
        """
        if self.problem:
            return nothing()
        staged = threading.Event()
        drawing: Future[Picture | None] = self.thread.submit(_picture, boat, camera, size, fine, staged)
        staged.wait(LONGEST_STAGING)
        return drawing

    def large(self, boat: BoatShapes, camera: Camera, size: tuple[int, int], enlarged: int) -> Pixels | None:
        """The picture so many times larger, smooth; None where none can be drawn."""
        if self.problem:
            return None
        return self.thread.submit(_large, boat, camera, size, enlarged).result()


def nothing() -> Future[Picture | None]:
    """No picture, and nothing to wait for."""
    done: Future[Picture | None] = Future()
    done.set_result(None)
    return done


_own = threading.local()
"""The stage of each painter's thread: it goes with the thread, since a window must be closed by the thread that made it."""


def close_window() -> None:
    """Close this thread's window, if it has drawn anything."""
    vars(_own).clear()


def _picture(boat: BoatShapes, camera: Camera, size: tuple[int, int], fine: bool, staged: threading.Event) -> Picture:
    """staged: set once the shapes are on the stage, or cannot be."""
    try:
        stage = _set(boat, camera, size)
    finally:
        staged.set()
    picture = stage.still_picture() if fine else stage.moving_picture()
    # Made here, where nothing waits for it.
    _ = picture.part
    return picture


def _large(boat: BoatShapes, camera: Camera, size: tuple[int, int], enlarged: int) -> Pixels:
    return halved(_set(boat, camera, size).pixels(2 * enlarged))


def _set(boat: BoatShapes, camera: Camera, size: tuple[int, int]) -> PageStage:
    if not hasattr(_own, "stage"):
        use_window_without_display()
        _own.stage = PageStage(size)
    stage: PageStage = _own.stage
    stage.resize(size)
    stage.show(boat.shapes)
    stage.cut(boat.planes)
    stage.look_from(camera)
    return stage
