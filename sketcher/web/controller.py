"""Joins one boat's workspace with the pages that show it: their messages come in, pictures and markup go out."""

from __future__ import annotations

import logging
import time
from concurrent.futures import Future
from dataclasses import dataclass, field
from typing import Any

from sketcher.model.errors import SketchError
from sketcher.web.handlers.registry import handle
from sketcher.web.logic.messages import BadMessageError, MessageFields
from sketcher.web.logic.workspace import Workspace
from sketcher.web.page.downloads import Download, download
from sketcher.web.page.picture_labels import PictureLabels
from sketcher.web.page.shown_page import ShownPage
from sketcher.web.render_thread import Painter, nothing
from sketcher.web.view.encoded_picture import Picture

log = logging.getLogger(__name__)


@dataclass(eq=False, repr=False)
class Controller:
    """painter: draws the boat; None where only drawings and figures are wanted."""

    workspace: Workspace
    painter: Painter | None
    labels: PictureLabels = field(init=False)
    page: ShownPage = field(init=False)
    _asked_at: float = field(default_factory=time.monotonic)

    def __post_init__(self) -> None:
        self.labels = PictureLabels(self.workspace)
        self.page = ShownPage(self.workspace, self.labels)

    def take(self, message: dict[str, Any]) -> None:
        """Do what a page asks. Whatever is wrong is said on the page or in the log, never thrown at the page."""
        notices = self.workspace.session.notices
        self._asked_at = time.monotonic()
        try:
            handle(self.workspace, message["do"], MessageFields(message))
        except BadMessageError as problem:
            log.warning("a page asked %.60r: %s", message.get("do"), problem)
        except SketchError as problem:
            notices.refuse(problem)
        except Exception:
            log.exception("the sketcher failed at %r", message.get("do"))
            notices.fail()

    def before_picture(self) -> None:
        """Apply the newest move of the pointer."""
        self.workspace.follow_pointer()

    def picture(self, fine: bool) -> Future[Picture | None]:
        """The picture of the boat, once it is drawn; nothing where there is no OpenGL or only drawings are shown.

        fine: nothing has moved for a while, so that all may be drawn well.
        """
        self.workspace.resting = fine
        if fine:
            self.workspace.drag.rest()
        settings = self.workspace.view_settings
        if self.painter is None or not settings.shows_boat:
            return nothing()
        return self.painter.begin(self.workspace.drawn_boat(), settings.camera, settings.size, fine)

    def parts(self) -> dict[str, str]:
        """Everything that a page shows besides the picture, as markup by part."""
        return self.page.parts(self.painter.problem if self.painter is not None else "")

    def download(self, what: str) -> Download | None:
        """A file to take away by its name on the page; None where there is none."""
        self.workspace.session.finish()
        return download(self.workspace, self.labels, self.painter, what)

    def at_rest(self) -> None:
        """Nothing has moved for a while: get ready for what may be dragged next."""
        ref = self.workspace.selection.likely_to_move(self.workspace.session.evaluation)
        if ref is not None:
            self.workspace.drag.prepare(ref)
        self.workspace.work_along()

    def keep_work(self) -> None:
        """Keep unsaved work beside the file; not during a drag."""
        if self.workspace.drag.object_drag is None:
            self.workspace.session.keep()

    def build_ahead(self) -> None:
        """Work out the build, and how sure figures are, while nothing is asked."""
        self.workspace.build_ahead(time.monotonic() - self._asked_at)
        self.workspace.bands_ahead(time.monotonic() - self._asked_at)

    def notice_file_change(self) -> bool:
        """Ask what to do where the scene's file was changed by something else; whether that is asked now."""
        workspace = self.workspace
        if workspace.dialog is not None or workspace.drag.object_drag is not None:
            return False
        workspace.dialog = workspace.files.notice_change(workspace.session)
        return workspace.dialog is not None
