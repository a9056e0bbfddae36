"""What comes of a hull's measurements, worked out by a thread: what is doubtful, and what they do to the layout."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.survey.findings import check_hull
from sketcher.geometry.mesh import GeometryError
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull
from sketcher.model.measurement_checks import hull_problem
from sketcher.outputs.tables.comparison import compared
from sketcher.web.logic.session import Evaluate
from sketcher.web.newest_asked import NewestAsked
from sketcher.web.typed_state import HullJudgement


@dataclass(frozen=True, eq=False)
class HullAsked:
    """A hull to be judged, the layout to stand in it as it is shown, and its figures before the hull was changed."""

    hull: Hull
    shown: Evaluation
    before: Evaluation


@dataclass(eq=False, repr=False)
class JudgedHull:
    """evaluate: a scene to its figures; changed: called, from the thread, when there is something new; last: the newest."""

    evaluate: Evaluate
    changed: Callable[[], None] = lambda: None
    last: HullJudgement | None = None
    _come: Evaluation | None = None
    _asked: NewestAsked[HullAsked] = field(init=False)

    def __post_init__(self) -> None:
        self._asked = NewestAsked(self._judge, "hull")

    def ask(self, hull: Hull, shown: Evaluation, before: Evaluation) -> None:
        """Judge a hull; what was asked before and is not done yet is dropped. The same is not judged twice."""
        wanted = self._asked.wanted
        if wanted is None or not _same(wanted, hull, shown, before):
            self._asked.ask(HullAsked(hull, shown, before))

    @property
    def behind(self) -> bool:
        """Whether anything is still to be worked out."""
        return self._asked.behind

    def newly_come(self) -> Evaluation | None:
        """The layout's figures in the hull that was asked for last, once, when they have come."""
        come, self._come = self._come, None
        return come

    def forget(self) -> None:
        """Another boat was opened."""
        with self._asked.hold:
            self._asked.wanted = self._come = self.last = None

    def wait(self) -> None:
        """Until all that was asked is worked out."""
        self._asked.wait()

    def _judge(self, asked: HullAsked) -> None:
        """First what is doubtful; then, unless more was typed meanwhile, the layout in it."""
        problem = hull_problem(asked.hull)
        self._tell(asked, HullJudgement(hull=asked.hull, findings=check_hull(asked.hull), problem=problem), None)
        if problem is not None or self._asked.wanted is not asked:
            return
        assert self.last is not None
        try:
            evaluation = self._in_hull(asked)
        except (SketchError, GeometryError) as error:
            why = error.message if isinstance(error, SketchError) else str(error)
            self._tell(asked, replace(self.last, refused=why), None)
            return
        effects = compared((asked.before, evaluation), evaluation.scene.units)
        self._tell(asked, replace(self.last, form=evaluation.layout.hull, effects=effects), evaluation)

    def _in_hull(self, asked: HullAsked) -> Evaluation:
        """The layout's figures in the hull; those that are shown, if they are that."""
        if asked.hull == asked.shown.scene.hull:
            return asked.shown
        return self.evaluate(replace(asked.shown.scene, hull=asked.hull))

    def _tell(self, asked: HullAsked, judged: HullJudgement, evaluation: Evaluation | None) -> None:
        with self._asked.hold:
            if self._asked.wanted is not asked:
                return
            self.last, self._come = judged, evaluation
        self.changed()


def _same(asked: HullAsked, hull: Hull, shown: Evaluation, before: Evaluation) -> bool:
    """Whether nothing but the hull that the layout is shown in differs from what was asked."""
    layout = replace(shown.scene, hull=asked.shown.scene.hull)
    return asked.hull == hull and asked.before is before and layout == asked.shown.scene
