"""The boat as she is after a stage of her refit, worked out beside the page."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.staging import scene_after
from sketcher.geometry.mesh import GeometryError
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.model.stages import stage_name, stage_numbers
from sketcher.web.logic.session import Evaluate
from sketcher.web.newest_asked import NewestAsked

log = logging.getLogger(__name__)


@dataclass(eq=False, repr=False)
class ShownStage:
    """evaluate: a scene to its figures; changed: called, from another thread, when she is worked out.

    number: after which stage she is shown; None: the whole layout. problem: why she cannot be.
    """

    evaluate: Evaluate
    changed: Callable[[], None] = lambda: None
    number: int | None = None
    problem: str = ""
    _shown: Evaluation | None = None
    _shown_of: tuple[Evaluation, int] | None = None
    _asked: NewestAsked[tuple[Evaluation, int]] = field(init=False)

    def __post_init__(self) -> None:
        self._asked = NewestAsked(self._show, "stage")

    def choose(self, number: int | None) -> None:
        """Show her after another stage; None: the whole layout."""
        if number != self.number:
            with self._asked.hold:
                self.number, self.problem = number, ""
                self._asked.wanted = self._shown = self._shown_of = None

    def of(self, whole: Evaluation) -> Evaluation:
        """A layout as it is shown: after the stage, as far as that is worked out, else the whole of it."""
        number = self.number
        if number is None or number not in stage_numbers(whole.scene)[:-1]:
            return whole
        with self._asked.hold:
            wanted = self._asked.wanted
            if wanted is None or wanted[0] is not whole or wanted[1] != number:
                self._asked.ask((whole, number))
        return self._shown or whole

    @property
    def behind(self) -> bool:
        """Whether what is shown is still of another layout, or of all stages."""
        wanted = self._asked.wanted
        return wanted is not None and wanted is not self._shown_of and not self.problem

    def wait(self) -> None:
        """Until all that was asked is worked out."""
        self._asked.wait()

    def _show(self, asked: tuple[Evaluation, int]) -> None:
        shown, problem = self._worked_out(*asked)
        with self._asked.hold:
            if self._asked.wanted is asked:
                self._shown, self._shown_of, self.problem = shown, asked, problem
        self.changed()

    def _worked_out(self, whole: Evaluation, number: int) -> tuple[Evaluation | None, str]:
        try:
            return self.evaluate(named_after(whole, number)), ""
        except SketchError as problem:
            return None, problem.message
        except GeometryError as problem:
            return None, str(problem)
        except Exception:
            log.exception("the boat after a stage could not be worked out")
            return None, "she could not be worked out; where the sketcher was started it says more"


def named_after(whole: Evaluation, number: int) -> Scene:
    """The scene after a stage, called by it, so that whatever shows it says so."""
    scene = whole.scene
    return replace(scene_after(scene, number, whole.layout.hull), name=f"{scene.name}, after {stage_name(scene, number)}")


def staged_words(scene: Scene) -> tuple[tuple[int | None, str], ...]:
    """What there is to choose: each stage by its name, the last as the whole; nothing where the scene has no steps."""
    numbers = stage_numbers(scene)
    if len(numbers) < 2:
        return ()
    return (*((number, stage_name(scene, number)) for number in numbers[:-1]), (None, stage_name(scene, numbers[-1])))
