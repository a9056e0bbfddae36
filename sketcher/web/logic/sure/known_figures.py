"""The bands of the figures on the page, worked out in a thread beside it by other processes, and kept."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from sketcher.analysis.bands.known import how_known
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import single_cases
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.outputs.bands.band_figures import asked_about, certainty
from sketcher.outputs.bands.measured_again import told_again
from sketcher.outputs.tables.sure.figure_paths import figure_values
from sketcher.web.logic.places.workers import InPatience, StoppedError, Workers
from sketcher.web.state import SureFigures

log = logging.getLogger(__name__)

KEPT = 4
"""Layouts of which it stays known, for who goes a step back."""


@dataclass(eq=False, repr=False)
class KnownFigures:
    """waiting: whether a hand moves or something else comes first; changed: called, from another thread, when bands have come."""

    workers: Workers
    waiting: Callable[[], bool] = lambda: False
    changed: Callable[[], None] = lambda: None
    _known: list[tuple[Scene, SureFigures]] = field(default_factory=list)
    _of: Scene | None = None
    _stop: threading.Event = field(default_factory=threading.Event)
    _thread: threading.Thread | None = None

    def of(self, scene: Scene) -> SureFigures | None:
        """How sure all is of a scene; None where that is not known yet."""
        return next((sure for known, sure in self._known if known is scene or known == scene), None)

    def ahead(self, evaluation: Evaluation) -> None:
        """Begin to work out the bands of a layout, and leave another's; not again what could not be."""
        scene = evaluation.scene
        if self._of is not None and (self._of is scene or self._of == scene):
            return
        if self.of(scene) is not None:
            return
        self.stop()
        self._of, self._stop = scene, threading.Event()
        self._thread = threading.Thread(target=self._run, args=(evaluation, self._stop), name="bands", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Leave what is being worked out."""
        self._stop.set()
        self._of = None

    def forget(self) -> None:
        """Throw everything away: another boat was opened."""
        self.stop()
        self._known = []

    def wait(self, seconds: float | None = None) -> None:
        """Until what is being worked out has ended, or for so long."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _run(self, evaluation: Evaluation, stop: threading.Event) -> None:
        hands = InPatience(self.workers.executor(), self.workers.count + 1, self.waiting, stop.is_set)
        try:
            for found in _sure(evaluation, hands):
                if stop.is_set():
                    return
                others = [(scene, sure) for scene, sure in self._known if scene is not evaluation.scene]
                self._known = [(evaluation.scene, found), *others][:KEPT]
                self.changed()
        except (StoppedError, SketchError):
            return
        except Exception:
            if not stop.is_set():
                log.exception("bands could not be worked out")
            return
        finally:
            hands.end()


def _sure(evaluation: Evaluation, hands: InPatience) -> Iterator[SureFigures]:
    """Bands and doubts; then, which takes some looks more, also the readings worth taking again, in the scene's unit."""
    cases = single_cases(evaluation.layout, evaluation.water, evaluation.floating)
    known = how_known(evaluation, cases, figure_values, holed="singles", executor=hands)
    units = evaluation.scene.units
    yield SureFigures(certainty(known))
    told = (told_again(known, evaluation, path, units, hands) for path in asked_about(known, evaluation))
    yield SureFigures(certainty(known), tuple(each for each in told if each is not None))
