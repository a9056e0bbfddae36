"""A ready layout fitted to a hull by a process beside the server: it takes seconds, and can be left."""

from __future__ import annotations

import logging
from collections.abc import Callable
from concurrent.futures import CancelledError, Future
from dataclasses import dataclass, field, replace
from pathlib import Path

from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.scene_file import ready_scene_text
from sketcher.model.files.tables.tape_table import read_tape_table
from sketcher.web.logic.places.workers import Workers

log = logging.getLogger(__name__)

FAILED = "the layout could not be fitted", "Where the sketcher was started it says more."


@dataclass(frozen=True, slots=True)
class NewScene:
    """A scene to be begun. hull: as the page calls it, source: its file or table; target: the scene's file; between: from that to
    the hull's file; layout: a ready one, empty: none.
    """

    hull: str
    source: Path
    target: Path
    between: str
    title: str
    layout: str


def fitted_text(source: str, between: str, layout: str, title: str) -> str:
    """The text of a scene with a ready layout fitted to a hull: what a process is handed. Raises SketchError."""
    # Loaded where it is wanted: the server itself fits nothing.
    from sketcher.analysis.ready.fitted import ready_layout

    hull = read_tape_table(source).hull if source.lower().endswith(".csv") else read_hull(source)
    return ready_scene_text(replace(ready_layout(layout, hull, between).scene, name=title))


@dataclass(eq=False, repr=False)
class LayoutFitting:
    """changed: called, from another thread, when it is done; wanted: the scene that it is for, None while nothing is fitted."""

    workers: Workers = field(default_factory=Workers)
    changed: Callable[[], None] = lambda: None
    wanted: NewScene | None = None
    _work: Future[str] | None = None

    def begin(self, wanted: NewScene) -> None:
        """Fit a layout; one that is being fitted is left."""
        self.leave()
        asked = str(wanted.source), wanted.between, wanted.layout, wanted.title
        self.wanted, self._work = wanted, self.workers.executor().submit(fitted_text, *asked)
        self._work.add_done_callback(lambda _: self.changed())

    def leave(self) -> None:
        """It is not wanted any more; nothing was written."""
        work, self.wanted, self._work = self._work, None, None
        if work is not None:
            work.cancel()

    def newly_come(self) -> tuple[NewScene, str] | None:
        """The scene and its text, once, when it is fitted. Raises SketchError where there is no room for it."""
        wanted, work = self.wanted, self._work
        if wanted is None or work is None or not work.done():
            return None
        self.wanted = self._work = None
        try:
            return wanted, work.result()
        except SketchError:
            raise
        except (Exception, CancelledError):
            log.exception("a layout could not be fitted")
            raise SketchError(*FAILED) from None
