"""Bottles take seconds to place: they are placed beside the server, and all that does not wait for them is shown meanwhile."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.contents import still_standing
from sketcher.model.scene import Scene
from sketcher.outputs.progress import Deadline

log = logging.getLogger(__name__)

Place = Callable[[Scene, Callable[[int], bool]], Evaluation]
"""A scene to its figures; told how many bottles are placed, what it is given answers whether more are wanted."""


@dataclass(eq=False, repr=False)
class LaterBottles:
    """changed: called, from another thread, when they are placed; patience: seconds that they may be placed for."""

    place: Place
    changed: Callable[[], None]
    patience: float
    _wanted: Scene | None = None
    _come: Evaluation | None = None
    _hold: threading.Lock = field(default_factory=threading.Lock)

    def evaluate(self, scene: Scene, before: Evaluation) -> Evaluation:
        """The figures of a scene but for its bottles, of which those stand that stood a moment before in the same space."""
        self.drop()
        if not scene.bottles:
            return self.place(scene, lambda _: True)
        found = self.place(replace(scene, bottles=()), lambda _: True)
        with self._hold:
            self._wanted = scene
        threading.Thread(target=self._fill, args=(scene,), name="bottles", daemon=True).start()
        return _with_bottles(found, scene, before)

    @property
    def behind(self) -> bool:
        """Whether bottles are still to be placed."""
        return self._wanted is not None

    def newly_come(self) -> Evaluation | None:
        """All figures of the scene that was asked for last, once, when they have come."""
        come, self._come = self._come, None
        return come

    def drop(self) -> None:
        """Place no more."""
        with self._hold:
            self._wanted = self._come = None

    def _fill(self, scene: Scene) -> None:
        patient = Deadline(self.patience)
        try:
            found = self.place(scene, lambda placed: self._wanted is scene and patient(placed))
        except Exception:
            log.exception("the bottles could not be placed")
            return
        with self._hold:
            if self._wanted is not scene:
                return
            self._wanted, self._come = None, found
        self.changed()


def _with_bottles(found: Evaluation, scene: Scene, before: Evaluation) -> Evaluation:
    """The figures of a scene that was evaluated without its bottles, with those of before that still stand."""
    layout = replace(found.layout, scene=replace(found.layout.scene, bottles=scene.bottles))
    contents = found.contents
    if before.contents is not None:
        standing = still_standing(before.contents, layout.compartments)
        contents = standing if contents is None else replace(contents, bottles=standing.bottles)
    return replace(found, scene=scene, layout=layout, contents=contents)
