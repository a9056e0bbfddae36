"""The figures of every place along the range of the selected part's number, worked out beside the server and kept."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from functools import partial

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.places.rows import PlaceRow, Question, Sweep
from sketcher.analysis.results import OUTSIDE, Layout
from sketcher.model.edits.number_range import at_places
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.places.followed_rows import followed_rows
from sketcher.web.logic.places.moved_numbers import MovedNumber, moved_numbers
from sketcher.web.logic.places.workers import Workers

log = logging.getLogger(__name__)

KEPT = 6
"""Ranges of which the rows are kept."""
TELL_EVERY = 0.5
"""Seconds between two times that the page is told of new rows."""


@dataclass(eq=False, repr=False)
class KnownPlaces:
    """The rows of one range that are there, and the places that are still to be worked out, the next first.

    base: the question's scene with the number at the low end, so that only where it stands makes no difference; bounds: what
    bounds each named space in it.
    """

    number: MovedNumber
    question: Question
    base: Scene
    bounds: dict[str, object]
    rows: dict[float, PlaceRow] = field(default_factory=dict)
    waiting: list[float] = field(default_factory=list)
    working: dict[float, Future[list[PlaceRow]] | None] = field(default_factory=dict)

    @property
    def places(self) -> tuple[float, ...]:
        """Every place of the range."""
        return self.number.range.values

    @property
    def complete(self) -> bool:
        """Whether all rows are there."""
        return len(self.rows) == len(self.places)

    def sweep(self) -> Sweep:
        """What is known so far."""
        return Sweep(self.question, tuple(row for _, row in sorted(self.rows.copy().items())), complete=self.complete)

    def is_of(self, number: MovedNumber, evaluation: Evaluation, holed: tuple[tuple[str, ...], ...]) -> bool:
        """Whether these are the places of a number in a scene that differs in nothing but that number.

        Points that name spaces may have followed them, as long as each name is still that of the same space.
        """
        own, other = (replace(each.range, low=0.0, high=1.0, step=1.0) for each in (self.number, number))
        base = _base(evaluation.scene, self.number) if own == other and self.question.holed == holed else None
        if base is None or replace(base, compartments=()) != replace(self.base, compartments=()):
            return False
        same = base.compartments == self.base.compartments
        return same or (_called(base) == _called(self.base) and named_bounds(evaluation.layout) == self.bounds)


def named_bounds(layout: Layout) -> dict[str, object]:
    """What bounds each space that is named."""
    return {space.name: frozenset(space.bounds) for space in layout.compartments if space.named}


def _called(scene: Scene) -> list[object]:
    """What is said of spaces by their names."""
    return [replace(space, at=(0.0, 0.0, 0.0)) for space in scene.compartments]


def _base(scene: Scene, number: MovedNumber) -> Scene | None:
    """The scene with a number at the low end of its range; None where that cannot be."""
    try:
        return at_places(scene, (number.range,), (number.range.low,))
    except SketchError:
        return None


@dataclass(eq=False, repr=False)
class AlongRange:
    """dragging: whether to begin nothing; changed: called, from another thread, when there is something new to show.

    shown: what is worked out and shown, None where the part has no such number; numbers: all that it has; met: whether any part
    had one since the boat was opened; goal: of what there is to be most or least at the best place; problem: why nothing can be
    worked out.
    """

    dragging: Callable[[], bool] = lambda: False
    changed: Callable[[], None] = lambda: None
    workers: Workers = field(default_factory=Workers)
    shown: KnownPlaces | None = None
    numbers: tuple[MovedNumber, ...] = ()
    part: ObjectRef | None = None
    met: bool = False
    goal: str = ""
    problem: str = ""
    _chosen: dict[ObjectRef, int] = field(default_factory=dict)
    _known: list[KnownPlaces] = field(default_factory=list)
    _seen: tuple[Evaluation, ObjectRef | None, int, tuple[str, ...]] | None = None
    _told: float = 0.0
    _ended: bool = False
    _hold: threading.RLock = field(default_factory=threading.RLock)

    @property
    def chosen(self) -> int:
        """Which of the part's numbers is moved."""
        return 0 if self.part is None else min(self._chosen.get(self.part, 0), max(len(self.numbers) - 1, 0))

    def choose(self, number: int) -> None:
        """Move another of the part's numbers."""
        if self.part is not None:
            self._chosen[self.part] = number

    def look(self, evaluation: Evaluation, ref: ObjectRef | None, holed: tuple[str, ...] = ()) -> None:
        """Show the places of a part in a layout, as far as they are known; nothing is begun."""
        seen = evaluation, ref, self._chosen.get(ref, 0) if ref is not None else 0, holed
        if self._seen is not None and self._seen[0] is evaluation and self._seen[1:] == seen[1:]:
            return
        self._seen = seen
        with self._hold:
            self.part = ref
            self.numbers = () if ref is None else moved_numbers(evaluation, ref)
            self.met = self.met or bool(self.numbers)
            before, self.shown = self.shown, self._places(evaluation, (holed,) if holed else _joined_by(evaluation.layout, ref))
            if before is not None and before is not self.shown:
                _drop(before)

    def work(self) -> None:
        """Nothing moves: go on with what is shown, the nearest places first."""
        with self._hold:
            shown = self.shown
            if shown is None or shown.complete or self._seen is None:
                return
            here = shown.number.now(self._seen[0].scene) or 0.0
            rest = [place for place in shown.places if place not in shown.rows and place not in shown.working]
            shown.waiting = sorted(rest, key=lambda place: abs(place - here))
        self._hand_out(shown)

    def forget(self) -> None:
        """Throw everything away: another boat was opened."""
        with self._hold:
            for known in self._known:
                _drop(known)
            self._known.clear()
            self.shown, self._seen, self.numbers, self.part, self.problem = None, None, (), None, ""
            self.met = False
            self._chosen.clear()

    def end(self) -> None:
        """The server ends: so do the processes."""
        with self._hold:
            self._ended = True
            for known in self._known:
                _drop(known)
        self.workers.end()

    def _places(self, evaluation: Evaluation, holed: tuple[tuple[str, ...], ...]) -> KnownPlaces | None:
        """What is known of the number that is chosen; what has nothing in common with the scene any more is left to go."""
        if not self.numbers:
            return None
        number = self.numbers[self.chosen]
        known = next((known for known in self._known if known.is_of(number, evaluation, holed)), None)
        if known is None:
            scene = evaluation.scene
            base = _base(scene, number)
            if base is None:
                return None
            known = KnownPlaces(number, Question(scene, (number.range,), holed), base, named_bounds(evaluation.layout))
            self.problem = ""
        self._known = [known, *(other for other in self._known if other is not known)][:KEPT]
        return known

    def _hand_out(self, known: KnownPlaces) -> None:
        """One place for each process, and one more, so that none waits for the next."""
        while (place := self._next(known)) is not None:
            try:
                working = self.workers.executor().submit(followed_rows, known.question, [(place,)])
            except RuntimeError as problem:
                self._fail(problem)
                return
            known.working[place] = working
            working.add_done_callback(partial(self._come, known, place))

    def _next(self, known: KnownPlaces) -> float | None:
        """The place that is to be worked out next; None: none now."""
        with self._hold:
            idle = self._ended or self.problem or known is not self.shown or self.dragging()
            if idle or not known.waiting or len(known.working) > self.workers.count:
                return None
            place = known.waiting.pop(0)
            known.working[place] = None
            return place

    def _come(self, known: KnownPlaces, place: float, done: Future[list[PlaceRow]]) -> None:
        """A row has come, in a thread of the processes' own."""
        with self._hold:
            known.working.pop(place, None)
        if done.cancelled() or self._ended:
            return
        problem = done.exception()
        if problem is not None:
            self._fail(problem)
        else:
            (known.rows[place],) = done.result()
            self._hand_out(known)
        now = time.monotonic()
        if known is self.shown and (known.complete or problem is not None or now - self._told >= TELL_EVERY):
            self._told = now
            self.changed()

    def _fail(self, problem: BaseException) -> None:
        """No process can be had, or one was ended from outside: what is known stays, and it is said."""
        if self._ended or self.problem:
            return
        log.warning("places could not be worked out: %s", problem)
        self.problem = "The rest could not be worked out here. Where the sketcher was started it says more."
        threading.Thread(target=self.workers.end, daemon=True).start()


def _joined_by(layout: Layout, ref: ObjectRef | None) -> tuple[tuple[str, ...], ...]:
    """Of an opening that is not tight the spaces that it joins, each to be holed by itself: its place matters to their water."""
    if ref is None or ref.kind != "opening":
        return ()
    names = dict.fromkeys(name for path in layout.flow_paths if path.name == ref.name for name in path.between)
    return tuple((name,) for name in names if name != OUTSIDE)


def _drop(known: KnownPlaces) -> None:
    """Work out no more of it; what is at work ends by itself."""
    known.waiting = []
    for working in tuple(known.working.values()):
        if working is not None:
            working.cancel()
