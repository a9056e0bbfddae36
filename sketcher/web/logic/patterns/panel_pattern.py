"""The pattern of the panel that is looked at: which panel, its boards as they were found last, and its paper."""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Layout
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef
from sketcher.web.logic.patterns.panel_boards import panel_boards
from sketcher.web.state import Boards
from sketcher.web.view.pattern_paper import PatternPaper


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """Boards and what they were found for; ended: when [s]; took: for how long that held up a drag [s]."""

    boards: Boards
    evaluation: Evaluation
    resting: bool
    ended: float
    took: float


@dataclass(eq=False, repr=False)
class PanelPattern:
    """panel: the one looked at, None before any is; paper: what its pattern is drawn on."""

    panel: ObjectRef | None = None
    paper: PatternPaper = field(default_factory=PatternPaper)
    _last: _Found | None = None

    def look_at(self, layout: Layout, selected: ObjectRef | None) -> ObjectRef | None:
        """The panel whose boards to show: the selected one, or the one with the selected opening, else as before."""
        panels = {shape.name: ObjectRef(shape.kind, shape.name) for shape in layout.panels}
        berths = [ObjectRef("berth", each.name) for each in layout.scene.berths if each.thickness is not None]
        if selected is not None and (selected.kind in PANEL_KINDS or selected in berths):
            self.panel = selected
        elif selected is not None and selected.kind == "opening":
            through = next((each.through for each in layout.scene.openings if each.name == selected.name), None)
            self.panel = panels.get(through or "", self.panel)
        elif self.panel not in (*panels.values(), *berths):
            planned = [panels[shape.name] for shape in layout.panels if shape.panel.built == "planned"]
            self.panel = next(iter([*planned, *panels.values(), *berths]), None)
        return self.panel

    def boards(self, evaluation: Evaluation, selected: ObjectRef | None, *, resting: bool, still: bool = False) -> Boards | None:
        """The boards of the panel looked at; None where there is no panel.

        resting: nothing is dragged, and what takes longer is worked out as well. During a drag boards take half of the time at
        most: the last ones stay for as long as they took, so that they do not hold it up. still: the pointer has stopped during
        a drag, and they are brought up to date.
        """
        panel = self.look_at(evaluation.layout, selected)
        if panel is None:
            return None
        began, last = time.perf_counter(), self._last
        if last is not None and last.boards.panel == panel:
            current = last.evaluation is evaluation and (last.resting or not resting)
            too_soon = not (resting or still) and began - last.ended < last.took
            if current or too_soon:
                return last.boards
        boards = panel_boards(evaluation, panel, resting=resting)
        ended = time.perf_counter()
        took = 0.0 if resting else ended - began
        self._last = _Found(boards=boards, evaluation=evaluation, resting=resting, ended=ended, took=took)
        return boards
