"""The page's parts as they are shown: what is watched follows at once, what is read follows at leisure."""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from sketcher.web.logic.workspace import Workspace
from sketcher.web.page.page_state import page_state
from sketcher.web.page.picture_labels import PictureLabels
from sketcher.web.ui.page import READ, page_parts

READ_EVERY = 0.3
"""Seconds: quicker than that nobody reads."""


@dataclass(eq=False, repr=False)
class ShownPage:
    """labels: what lies over the picture."""

    workspace: Workspace
    labels: PictureLabels
    _read: dict[str, str] = field(default_factory=dict)
    _read_at: float = 0.0

    def parts(self, picture_problem: str) -> dict[str, str]:
        """The page's parts as markup; while something is dragged, those that are read follow a few times a second.

        picture_problem: why no picture can be drawn, empty where one can.
        """
        now, workspace = time.monotonic(), self.workspace
        dragging = workspace.drag.object_drag is not None and not workspace.resting
        if not dragging or now - self._read_at >= READ_EVERY:
            self._read, self._read_at = {}, now
        parts = page_parts(page_state(workspace, self.labels, picture_problem, key_now=not self._read), self._read)
        self._read = {name: parts[name] for name in READ}
        return parts
