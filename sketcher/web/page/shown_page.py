"""The page's parts as they are shown: what is watched follows at once, what is read follows at leisure."""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from sketcher.analysis.evaluation import Evaluation
from sketcher.web.logic.workspace import Workspace
from sketcher.web.page.page_state import page_state
from sketcher.web.page.picture_labels import PictureLabels
from sketcher.web.page.range_curves import RangeCurves
from sketcher.web.ui.page import FIGURED, READ, page_parts

READ_EVERY = 0.3
"""Seconds: quicker than that nobody reads."""


@dataclass(eq=False, repr=False)
class ShownPage:
    """labels: what lies over the picture."""

    workspace: Workspace
    labels: PictureLabels
    curves: RangeCurves = field(init=False)
    _read: dict[str, str] = field(default_factory=dict)
    _read_at: float = 0.0
    _figured: Evaluation | None = None

    def __post_init__(self) -> None:
        self.curves = RangeCurves(self.workspace)

    def parts(self, picture_problem: str) -> dict[str, str]:
        """The page's parts as markup; while something is dragged, those that are read follow a few times a second.

        picture_problem: why no picture can be drawn, empty where one can.
        """
        now, workspace = time.monotonic(), self.workspace
        dragging = workspace.drag.object_drag is not None and not workspace.resting
        figured = workspace.figured
        late = now - self._read_at >= READ_EVERY if figured is None else figured is not self._figured
        if not dragging or late:
            self._read, self._read_at = {}, now
        curves = self.curves.state()
        state = page_state(workspace, self.labels, picture_problem, key_now=not self._read, curves=curves)
        parts = page_parts(state, self._read)
        self._figured, self._read = figured, {name: parts[name] for name in (READ if figured is None else (*READ, *FIGURED))}
        return parts
