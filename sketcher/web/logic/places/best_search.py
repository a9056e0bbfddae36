"""The best place, looked for in a thread beside the page by the same processes: it waits for the hand, and can be left."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from sketcher.analysis.places.answer import Answer, best_place
from sketcher.analysis.places.rows import Question
from sketcher.model.errors import SketchError
from sketcher.web.logic.places.along_range import KnownPlaces
from sketcher.web.logic.places.goals import PlaceGoal
from sketcher.web.logic.places.workers import InPatience, StoppedError, Workers

log = logging.getLogger(__name__)

REPORT_EVERY = 0.5
"""Seconds between two reports of how far it is."""
FAILED = "The best place could not be looked for. Where the sketcher was started it says more."


@dataclass(frozen=True, slots=True)
class FoundPlace:
    """What a search ended with. known: of which range; answer: None where nothing could be asked, and then why."""

    known: KnownPlaces
    goal: PlaceGoal
    answer: Answer | None
    problem: str = ""


@dataclass(eq=False, repr=False)
class BestSearch:
    """waiting: whether a hand moves; changed: called, from another thread, when there is something new to show.

    looking: for what, None while nothing is looked for; tried: places so far; last: what was found of a range, until it changes.
    """

    workers: Workers
    waiting: Callable[[], bool] = lambda: False
    changed: Callable[[], None] = lambda: None
    looking: PlaceGoal | None = None
    tried: int = 0
    last: FoundPlace | None = None
    _come: FoundPlace | None = None
    _stop: threading.Event = field(default_factory=threading.Event)
    _reported: float = 0.0
    _thread: threading.Thread | None = None

    def begin(self, known: KnownPlaces, question: Question, goal: PlaceGoal) -> None:
        """Look for the best place of a range; one search at a time. question: the range in the scene as it now stands."""
        if self.looking is not None:
            return
        self._stop, self._come, self.last = threading.Event(), None, None
        self.looking, self.tried = goal, 0
        self._thread = threading.Thread(
            target=self._run, args=(known, question, goal, self._stop), name="best place", daemon=True
        )
        self._thread.start()

    def stop(self) -> None:
        """Leave the search; nothing is changed."""
        self._stop.set()
        self.looking = None

    def newly_come(self) -> FoundPlace | None:
        """What was found, once, when it has come."""
        come, self._come = self._come, None
        if come is not None:
            self.last = come
        return come

    def forget(self) -> None:
        """Another boat was opened."""
        self.stop()
        self._come = self.last = None

    def wait(self, seconds: float | None = None) -> None:
        """Until the search has ended, or for so long."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _run(self, known: KnownPlaces, question: Question, goal: PlaceGoal, stop: threading.Event) -> None:
        hands = InPatience(self.workers.executor(), self.workers.count + 1, self.waiting, stop.is_set)

        def watch(done: int, _: int) -> bool:
            self.tried = done
            if time.monotonic() - self._reported >= REPORT_EVERY and not stop.is_set():
                self._reported = time.monotonic()
                self.changed()
            return not stop.is_set()

        try:
            answer, _ = best_place(question, goal.stated, goal.most, hands, watch)
            found = FoundPlace(known, goal, answer)
        except StoppedError:
            found = FoundPlace(known, goal, None)
        except SketchError as problem:
            found = FoundPlace(known, goal, None, f"{problem.message}. {problem.remedy}".strip())
        except Exception:
            if not stop.is_set():
                log.exception("the best place could not be looked for")
            found = FoundPlace(known, goal, None, FAILED)
        finally:
            hands.end()
        if not stop.is_set():
            self._come, self.looking = found, None
            self.changed()
