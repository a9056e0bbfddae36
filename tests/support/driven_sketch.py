"""The page's sketch without a browser: it is sent the messages that a page sends, and gives what a page would show."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from unittest.mock import patch

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.demos import demo_folder
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web import app
from sketcher.web.controller import Controller
from sketcher.web.logic.session import Session
from sketcher.web.logic.workspace import Workspace
from sketcher.web.page.page_state import page_state
from sketcher.web.state import Dialog, Notice, PageState
from sketcher.web.view.drawing_sheet import DrawingSheet

COLLISION = "bulkhead/collision"
"""The foremost bulkhead of the demo forepeaks."""


@dataclass
class DrivenSketch:
    """One boat, worked on by messages. shown: whether the page's markup, which takes longest, has been made."""

    controller: Controller
    shown: bool = False

    @property
    def workspace(self) -> Workspace:
        return self.controller.workspace

    @property
    def session(self) -> Session:
        return self.workspace.session

    @property
    def scene(self) -> Scene:
        return self.session.scene

    @property
    def evaluation(self) -> Evaluation:
        return self.session.evaluation

    @property
    def notice(self) -> Notice | None:
        return self.session.notices.shown

    @property
    def selected(self) -> ObjectRef | None:
        return self.workspace.selection.selected

    @property
    def dialog(self) -> Dialog | None:
        return self.workspace.dialog

    @property
    def sheet(self) -> DrawingSheet:
        """The drawings, as the page shows them."""
        if not self.shown:
            self.parts()
        return self.workspace.sheet

    def ask(self, do: str, **values: Any) -> None:
        """Send a message; one of a place on the page comes from a page that is shown."""
        if "where" in values and not self.shown:
            self.parts()
        self.controller.take({"do": do, **values})

    def state(self) -> PageState:
        """What the page's markup is made from."""
        return page_state(self.workspace, self.controller.labels)

    def rest(self) -> None:
        """Nothing moves for a while."""
        self.controller.picture(fine=True)

    def parts(self) -> dict[str, str]:
        """The page's markup, by part."""
        self.shown = True
        return self.controller.parts()

    @property
    def collision_at(self) -> float:
        """Where the collision bulkhead stands, aft of the hull's zero [m]."""
        return float(self.scene.bulkheads[0].at)  # type: ignore[arg-type]

    def field_texts(self, ref: str) -> dict[str, str]:
        """The fields of an object as the page shows them."""
        self.ask("select", part=ref)
        return {row.key: row.text for row in self.state().fields}

    def handle(self) -> tuple[float, float]:
        """Where the selected object can be taken hold of, in shares of the picture."""
        state = self.state()
        assert state.handle is not None
        return state.handle.at[0] / state.picture_size[0], state.handle.at[1] / state.picture_size[1]

    def drag(self, where: str, start: Any, end: Any, *, drop: bool = True, **values: Any) -> None:
        """Press at one place and move to another, in shares of the picture or in millimetres of a paper; drop: and release."""
        self.ask("press", where=where, at=list(start), button="main", **values)
        self.ask("move", where=where, at=list(end), fine=False)
        self.controller.before_picture()
        if drop:
            self.ask("release")


def driven(scene: Path) -> DrivenSketch:
    """A scene opened on a page of the usual size; the boat herself is not drawn. As it opens it is worked out once a process."""
    afresh = app._evaluate_in_time
    with patch.object(app, "_evaluate_in_time", _as_opened):
        sketch = DrivenSketch(app.controller_for(scene, None))
    sketch.session.evaluate = afresh
    sketch.ask("size", size=[900, 500], sheet=[900, 400])
    return sketch


def at_pattern(scene: Path) -> DrivenSketch:
    """A scene opened on the page, the pattern of its collision bulkhead shown."""
    made = driven(scene)
    made.ask("size", size=[900, 300], sheet=[0, 0], pattern=[640, 440])
    made.ask("arrange", arrangement="pattern")
    made.ask("select", part="bulkhead/collision")
    made.parts()
    return made


@cache
def _as_opened(scene: Scene) -> Evaluation:
    return evaluate(scene)


def copied_boats(folder: Path) -> Path:
    """The demo scenes and hulls copied into a folder, since the page keeps unsaved work beside the file."""
    for part in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / part, folder / part, ignore=shutil.ignore_patterns(".*"))
    return folder
