"""The desk where one boat is worked on: it takes what the pages say, and gives them the picture and their parts.

One desk serves all tabs, so that they show one truth.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Mapping
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

import numpy as np

from sketcher.analysis.flooding.results import FloodingCase
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import SceneDocument, changed_elsewhere
from sketcher.outputs.drawing.recording import Drawing
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.web.logic.building import Building
from sketcher.web.logic.damage import Flooded, Holing
from sketcher.web.logic.drag.drag_evaluation import Quick
from sketcher.web.logic.drag.dragging import Dragging
from sketcher.web.logic.editing import Editing
from sketcher.web.logic.exports import build_list, exported_sheet, file_stem, sheet_pdf, sheet_svg
from sketcher.web.logic.files import Files
from sketcher.web.logic.messages import BadMessageError, Fields
from sketcher.web.logic.patterns import ShownPatterns
from sketcher.web.logic.session import Session
from sketcher.web.logic.view_settings import Looking
from sketcher.web.render_thread import Painter, nothing
from sketcher.web.state import Boards, Corner, Dialog, Handle, HandLine, Label, Look, Notice, ObjectRef, PageState
from sketcher.web.ui.page import READ, page_parts
from sketcher.web.view.boat_shapes import BoatShapes, boat_shapes
from sketcher.web.view.clearance import span_of
from sketcher.web.view.drawing_sheet import KINDS, NO_SHEET, DrawingSheet
from sketcher.web.view.encoded_picture import Picture
from sketcher.web.view.handles import clear_corner, handle_of, lines_of
from sketcher.web.view.labels import HANDLE_REACH, boat_labels, worked_on_spans
from sketcher.web.view.pattern_paper import PatternPaper
from sketcher.web.view.printed_picture import ENLARGED, printed

log = logging.getLogger(__name__)

WITHOUT_BOAT = ("drawings", "build")
"""Arrangements of the page in which the boat herself is not seen."""

READ_EVERY = 0.3
"""Seconds: quicker than that nobody reads."""

SEEN_RISE = 0.001
"""[m] Of water in the picture: a small part of a pixel."""

FAILED = Notice(
    text="The sketcher failed at this; nothing was changed.", remedy="Where it was started it says more.", refused=True
)


@dataclass(eq=False, repr=False)
class Controller:
    """session: the scene; files: where scenes are read and written; paint: draws the boat, None where there is no OpenGL.

    asks: what a page may ask, by the word it asks with.
    """

    session: Session
    files: Files
    paint: Painter | None
    asks: Mapping[str, Ask]
    selected: ObjectRef | None = None
    adding: str | None = None
    dialog: Dialog | None = None
    over: str = ""
    hovered: ObjectRef | None = None
    echo: int = 0
    holing: Holing = field(default_factory=Holing)
    looking: Looking = field(init=False)
    building: Building = field(init=False)
    sheet: DrawingSheet = field(default_factory=DrawingSheet)
    cutting: ShownPatterns = field(default_factory=ShownPatterns)
    pattern: PatternPaper = field(default_factory=PatternPaper)

    def __post_init__(self) -> None:
        # Kept work that the owner is still being asked about is not written over.
        self.session.may_keep = lambda: self.dialog is None or self.dialog.name != "recover"
        self.looking = Looking(self.session.evaluation.layout.hull.outside.vertices)
        self.dragging = Dragging(self.session, self.looking, self.sheet, Quick(self.session.evaluate))
        self.editing = Editing(self.session)
        self.building = Building(self.session.evaluate, lambda: self.dragging.mode != "none")
        self._boat: BoatShapes | None = None
        self._drawn: tuple[Any, ...] = ()
        self._asked: tuple[Any, ...] = ()
        self._case: FloodingCase | None = None
        self._resting = False
        self._noticed: SceneDocument | None = None
        self._handle_of: tuple[Any, ...] = ()
        self._handle_at: Handle | None = None
        self._labelled: tuple[Label, ...] = ()
        self._corner: Corner = "right"
        # What is read, as it was shown last; empty while it follows too.
        self._to_read: dict[str, str] = {}
        self._read_at = 0.0
        if self.session.found_work() is not None:
            self.dialog = Dialog(name="recover", about=self.session.file)
        self.session.notice = self.files.kept_elsewhere(self.session)

    @property
    def boat(self) -> BoatShapes:
        """The shapes of the boat as she stands; made anew when anything of her or of the look has changed."""
        flooded = self.flooded()
        case = None if flooded is None else self._case_to_draw(flooded.case)
        made_of = (self.session.evaluation, self.looking.look, self.selected, case)
        if self._boat is None or made_of != self._drawn:
            self._boat, self._drawn = boat_shapes(*made_of), made_of
        return self._boat

    def _case_to_draw(self, case: FloodingCase) -> FloodingCase:
        """While anything moves water that rises or falls by less than can be seen stays: else all of her is drawn anew."""
        asked = (case, self._resting)
        if asked != self._asked:
            drawn = self._case
            self._asked, self._case = asked, case
            if drawn is not None and drawn.water is not None and case.water is not None and not self._resting:
                low, high = self.session.evaluation.layout.hull.outside.bounds
                corners = [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
                if max(abs(case.water.height(*at) - drawn.water.height(*at)) for at in corners) < SEEN_RISE:
                    self._case = replace(case, water=drawn.water)
        assert self._case is not None
        return self._case

    def flooded(self) -> Flooded | None:
        """The boat with the holes that were made in her; None for a whole boat, or where the answer cannot be worked out."""
        try:
            return self.holing.flooded(self.session.evaluation)
        except SketchError as problem:
            self.session.refuse(problem)
            self.holing.holed = ()
            return None

    def take(self, message: dict[str, Any]) -> None:
        """Do what a page asks. Whatever is wrong is said on the page or in the log, never thrown at the page."""
        try:
            self._take(message["do"], Fields(message))
        except BadMessageError as problem:
            log.warning("a page asked %r: %s", message.get("do"), problem)
        except SketchError as problem:
            self.session.refuse(problem)
        except Exception:
            log.exception("the sketcher failed at %r", message.get("do"))
            self.session.notice = FAILED

    def _take(self, do: str, fields: Fields) -> None:
        if self.looking.take(do, fields):
            return
        handler = self.asks.get(do)
        if handler is None:
            raise BadMessageError("no such thing to do")
        handler(self, fields)
        if self.selected is not None and not self.is_there(self.selected):
            self.selected = None

    def is_there(self, part: ObjectRef) -> bool:
        """Whether what was selected is still part of the scene."""
        if part.kind == "compartment":
            return any(space.name == part.name for space in self.session.evaluation.layout.compartments)
        return part.kind == "waterline" or self.editing.item(part) is not None

    def before_picture(self) -> None:
        """Apply the newest move of a hand."""
        try:
            self.dragging.apply()
            stroke = self.dragging.stroke
            # What a hand moves is what the margin tells of. On paper the cut follows what is selected: not under the hand.
            if stroke is not None and stroke.edit is not None and not self.dragging.on_paper:
                self.selected = stroke.grip.part
        except Exception:
            log.exception("the sketcher failed during a drag")
            self.dragging.escape()
            self.session.notice = FAILED

    def keep_work(self) -> None:
        """Keep unsaved work beside the file; not in a drag."""
        if self.dragging.stroke is None:
            self.session.keep()

    def look_at_file(self) -> bool:
        """Notice, once, that the scene's file was changed by something else; whether it was noticed now."""
        opened = self.session.opened
        if (
            self.dialog is not None
            or self.dragging.stroke is not None
            or opened is self._noticed
            or not changed_elsewhere(opened)
        ):
            return False
        self._noticed = opened
        self.dialog = Dialog(name="changed", about=self.session.file)
        return True

    def at_rest(self) -> None:
        """Nothing has moved for a while: make ready for the part under the pointer to be taken hold of."""
        part = self.hovered or self.selected
        if part is not None and self.dragging.stroke is None and self.is_there(part):
            self.dragging.quick.prepare(self.session.evaluation, part)

    def picture(self, fine: bool) -> Future[Picture | None]:
        """The picture of the boat, once it is drawn; nothing where there is no OpenGL or only drawings are shown."""
        self._resting = fine
        if self.paint is None or self.looking.look.arrangement in WITHOUT_BOAT:
            return nothing()
        return self.paint.begin(self.boat, self.looking.camera, self.looking.size, fine)

    def parts(self) -> dict[str, str]:
        """The page's parts as markup; while a hand moves, what is read follows a few times a second, what is watched always."""
        now = time.monotonic()
        moving = self.dragging.stroke is not None and not self._resting
        if not moving or now - self._read_at >= READ_EVERY:
            self._to_read, self._read_at = {}, now
        parts = page_parts(self.state(), self._to_read)
        self._to_read = {name: parts[name] for name in READ}
        return parts

    def state(self) -> PageState:
        session, look = self.session, self.looking.look
        flooded = self.flooded()
        boards = self.boards() if look.arrangement == "pattern" else None
        hand = (*self.dragging.hand(), *self._hand_over_water(flooded))
        labels = self._labels(flooded, lines_of(hand))
        return PageState(
            evaluation=session.evaluation,
            look=look,
            file=session.file,
            selected=self.selected,
            unsaved=session.unsaved,
            undo=session.history.undo_name,
            redo=session.history.redo_name,
            notice=session.notice,
            hand=hand,
            corner=self._corner,
            dialog=self.dialog,
            adding=self.adding,
            cut_range=self.looking.cut_range(),
            blank=self.paint.problem if self.paint is not None else "",
            over=self.over,
            echo=self.echo,
            fields=self.editing.rows(self.selected),
            labels=labels,
            handle=self._handle(),
            flood=None if flooded is None else flooded.case,
            lying=None if flooded is None else flooded.lying,
            water_in={} if flooded is None else flooded.water_in,
            picture_size=self.looking.size,
            sheet=self._sheet(look),
            boards=boards,
            pattern=self.pattern.markup(boards, session.scene.units),
            build=self.building.state(session.scene),
        )

    def _hand_over_water(self, flooded: Flooded | None) -> list[HandLine]:
        """While she is holed and something is dragged: how far each lid stands over the water."""
        if flooded is None or not self.dragging.hand():
            return []
        units = self.session.scene.units
        return [HandLine(f"{lid.name} over water", length_with_unit(lid.clear_of_water, units)) for lid in flooded.case.lids[:3]]

    def _labels(self, flooded: Flooded | None, lines: int = 0) -> tuple[Label, ...]:
        """The names over the picture, if they are wanted. lines: of figures under the hand, which get their corner too."""
        look, water_in = self.looking.look, {} if flooded is None else flooded.water_in
        if look.arrangement in WITHOUT_BOAT:
            self._corner = self._corner_of_sheet()
            return ()
        seen = (self.looking.camera, self.looking.size)
        held = self.selected if self.dragging.stroke is None else self.dragging.stroke.grip.part
        worked_on = worked_on_spans(self.boat, held, self._handle(), *seen)
        if lines:
            if not self.dragging.on_paper:
                worked_on.append(span_of(np.array([self.looking.pixels(self.dragging.place)]), HANDLE_REACH))
            self._corner, figures = clear_corner(self.looking.size, lines, worked_on, self._corner)
            worked_on.append(figures)
        if not look.names:
            return ()
        evaluation = self.session.evaluation
        stood, moving = self._labelled, not self._resting
        self._labelled = boat_labels(evaluation, look, *seen, water_in, self.selected, worked_on, stood, moving)
        return self._labelled

    def _corner_of_sheet(self) -> Corner:
        """Where only drawings are seen: the corner away from the hand."""
        return "left" if self.dragging.place[0] > self.sheet.size[0] / 2 else "right"

    def _handle(self) -> Handle | None:
        """The handle of what is selected, if it moves; none while the hand is on the boat."""
        if self.selected is None or self.dragging.mode != "none" or self.looking.look.arrangement in WITHOUT_BOAT:
            return None
        made_of = (self.session.evaluation, self.looking.look, self.selected, self.looking.camera, self.looking.size)
        if made_of != self._handle_of:
            self._handle_of = made_of
            axis = self.dragging.axis_of(self.selected)
            args = (self.looking.camera, self.looking.size)
            self._handle_at = None if axis is None else handle_of(self.boat, self.selected, axis, *args)
        return self._handle_at

    def boards(self) -> Boards | None:
        """The boards of the panel that is looked at; what takes longer is left out while the hand is on the boat."""
        return self.cutting.boards(
            self.session.evaluation, self.selected, resting=self.dragging.stroke is None, still=self._resting
        )

    def _sheet(self, look: Look) -> dict[str, str]:
        if look.arrangement not in ("both", "drawings"):
            return NO_SHEET
        flooded = self.flooded()
        self.sheet.before = None if flooded is None else flooded.case.intact
        self.sheet.water_in = {} if flooded is None else flooded.water_in
        lying = self.session.evaluation if flooded is None else flooded.lying
        now = KINDS if self._resting else self.dragging.views_now()
        return self.sheet.parts(lying, look, self.selected, now, key_now=not self._to_read)

    def select(self, part: ObjectRef | None) -> None:
        self.selected = part
        self.adding = None

    def download(self, what: str) -> tuple[bytes, str, str] | None:
        """A file to take away by its name on the page: its bytes, kind and name."""
        name = file_stem(self.session.scene.name)
        match what:
            case "drawings.svg":
                return sheet_svg(self._on_paper()), "image/svg+xml", f"{name}.svg"
            case "drawings.pdf":
                return sheet_pdf(self._on_paper(), self.session.scene.name), "application/pdf", f"{name}.pdf"
            case "build.zip":
                folder = self.building.folder_of(self.session.scene)
                return None if folder is None else (folder, "application/zip", f"{name}-build.zip")
            case "picture.png":
                picture = self._printed()
                return None if picture is None else (picture, "image/png", f"{name}.png")
        return self._list(what)

    def _on_paper(self) -> Drawing:
        """The drawings as they stand, on paper."""
        return exported_sheet(self.session.evaluation, self.looking.look, self.selected, flooded=self.flooded())

    def _list(self, what: str) -> tuple[bytes, str, str] | None:
        """A list of the build as CSV; none of a layout that has changed since."""
        plan = self.building.plan_of(self.session.scene)
        text = None if plan is None else build_list(plan, what.removesuffix(".csv"))
        return None if text is None else (text.encode(), "text/csv", f"{file_stem(what.removesuffix('.csv'))}.csv")

    def _printed(self) -> bytes | None:
        """The picture with its title strip; None where none can be drawn."""
        evaluation, camera, flooded = self.session.evaluation, self.looking.camera, self.flooded()
        # On paper nothing is selected.
        boat = boat_shapes(evaluation, self.looking.look, None, None if flooded is None else flooded.case)
        pixels = None if self.paint is None else self.paint.large(boat, camera, self.looking.size, ENLARGED)
        if pixels is None:
            return None
        labels = self._labels(flooded)
        return printed(pixels, evaluation, camera, labels, date.today())


Ask = Callable[[Controller, Fields], None]
