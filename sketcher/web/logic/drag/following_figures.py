"""Figures that take longer than a picture may wait: worked out beside the pictures, always for the newest place of the hand."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.web.logic.drag.drag_evaluation import DragEvaluation

log = logging.getLogger(__name__)

SHARE = 1 / 25
"""Most of the time that is spent on such figures while the hand moves: the rest is for pictures."""


@dataclass(eq=False, repr=False)
class FollowingFigures:
    """last: the newest whole evaluation; changed: called, from another thread, when there is a newer one.

    Without `changed` nothing is left for later.
    """

    evaluation: DragEvaluation
    last: Evaluation
    changed: Callable[[], None] | None
    _wanted: Scene | None = None
    _done: Scene | None = None
    _news: threading.Condition = field(default_factory=threading.Condition)
    _thread: threading.Thread | None = None
    _come: bool = False
    _hurried: bool = False
    _stopped: bool = False

    def evaluate(self, scene: Scene) -> Evaluation:
        """The figures of a scene: those that are watched, if all of them take too long; the rest then follow."""
        if self.evaluation.at_once is None or self.changed is None:
            self._wanted, self.last = scene, self.evaluation.whole(scene, self.last)
            return self.last
        seen = self.evaluation.at_once(scene, self.last)
        with self._news:
            self._wanted = scene
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="figures", daemon=True)
                self._thread.start()
            self._news.notify()
        return seen

    @property
    def behind(self) -> bool:
        """Whether figures are still to follow."""
        return self._wanted is not None and self._wanted is not self.last.scene

    def newly_come(self) -> Evaluation | None:
        """The whole evaluation, once, that has come since this was asked last."""
        come, self._come = self._come, False
        return self.last if come else None

    def hurry(self) -> None:
        """The hand rests: work out what is still to follow, and leave no time for pictures."""
        with self._news:
            self._hurried = True
            self._news.notify()

    def stop(self) -> None:
        """Nothing moves any more: what is still to follow is not wanted."""
        with self._news:
            self._stopped = True
            self._news.notify()

    def _run(self) -> None:
        pause = 0.0
        while True:
            with self._news:
                self._news.wait_for(lambda: self._stopped or self._wanted is not self._done)
                self._news.wait_for(lambda: self._stopped or self._hurried, pause)
                scene, self._hurried = self._wanted, False
                if self._stopped or scene is None:
                    return
            began = time.perf_counter()
            try:
                self.last, self._come = self.evaluation.whole(scene, self.last), True
            except SketchError:
                # It is said when the object is let go of there.
                log.debug("no figures where something is dragged to", exc_info=True)
            except Exception:
                log.exception("the figures of a drag could not be worked out")
            self._done, pause = scene, (time.perf_counter() - began) * (1 / SHARE - 1)
            if self.changed is not None and not self._stopped:
                self.changed()
