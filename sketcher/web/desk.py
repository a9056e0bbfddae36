"""The desk where one boat is worked on: it takes what the pages say, and gives them the picture and their parts.

One desk serves all tabs, so that they show one truth.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from sketcher.model.errors import SketchError
from sketcher.model.saving import SceneDocument, changed_elsewhere
from sketcher.model.units import parse_length
from sketcher.web.logic.dragging import Dragging, nudge
from sketcher.web.logic.editing import Editing
from sketcher.web.logic.exports import file_stem, sheet_pdf, sheet_svg
from sketcher.web.logic.files import Files
from sketcher.web.logic.looking import Looking
from sketcher.web.logic.messages import BadMessageError, Fields
from sketcher.web.logic.placing import middle
from sketcher.web.logic.quick import Quick
from sketcher.web.logic.session import Session
from sketcher.web.painter import Painter
from sketcher.web.state import PART_KINDS, Dialog, Handle, Look, Notice, PageState, Part
from sketcher.web.ui.page import page_parts
from sketcher.web.view.boat import BoatShapes, boat_shapes
from sketcher.web.view.drawings import Sheet
from sketcher.web.view.handles import handle_of
from sketcher.web.view.labels import boat_labels
from sketcher.web.view.print import ENLARGED, printed

log = logging.getLogger(__name__)

FAILED = Notice(
    text="The sketcher failed at this; nothing was changed.", remedy="Where it was started it says more.", refused=True
)


@dataclass(eq=False, repr=False)
class Desk:
    """session: the scene; files: where scenes are read and written; paint: draws the boat, None where there is no OpenGL."""

    session: Session
    files: Files
    paint: Painter | None
    selected: Part | None = None
    adding: str | None = None
    dialog: Dialog | None = None
    over: str = ""
    hovered: Part | None = None
    echo: int = 0
    looking: Looking = field(init=False)
    sheet: Sheet = field(default_factory=Sheet)

    def __post_init__(self) -> None:
        self.looking = Looking(self.session.evaluation.layout.hull.outside.vertices)
        self.dragging = Dragging(self.session, self.looking, self.sheet, Quick(self.session.evaluate))
        self.editing = Editing(self.session)
        self._boat: BoatShapes | None = None
        self._drawn: tuple[Any, ...] = ()
        self._noticed: SceneDocument | None = None
        self._handle_of: tuple[Any, ...] = ()
        self._handle_at: Handle | None = None
        if self.session.found_work() is not None:
            self.dialog = Dialog(name="recover", about=self.session.file)

    @property
    def boat(self) -> BoatShapes:
        """The shapes of the boat as she stands; made anew when anything of her or of the look has changed."""
        made_of = (self.session.evaluation, self.looking.look, self.selected)
        if self._boat is None or made_of != self._drawn:
            self._boat, self._drawn = boat_shapes(*made_of), made_of
        return self._boat

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
        handler = HANDLERS.get(do)
        if handler is None:
            raise BadMessageError("no such thing to do")
        handler(self, fields)
        if self.selected is not None and not self._is_there(self.selected):
            self.selected = None

    def _is_there(self, part: Part) -> bool:
        """Whether what was selected is still part of the scene."""
        if part.kind == "compartment":
            return any(space.name == part.name for space in self.session.evaluation.layout.compartments)
        return bool(self.editing.rows(part))

    def before_picture(self) -> None:
        """Apply the newest move of a hand."""
        try:
            self.dragging.apply()
        except Exception:
            log.exception("the sketcher failed during a drag")
            self.dragging.escape()
            self.session.notice = FAILED

    def keep_work(self) -> None:
        """Keep unsaved work beside the file; not in a drag, nor over kept work that the owner is still being asked about."""
        if self.dragging.stroke is None and (self.dialog is None or self.dialog.name != "recover"):
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
        if part is not None and self.dragging.stroke is None and self._is_there(part):
            self.dragging.quick.prepare(self.session.evaluation, part)

    def picture(self, fine: bool) -> bytes:
        """The picture of the boat as a JPEG; nothing where there is no OpenGL or only drawings are shown."""
        if self.paint is None or self.looking.look.arrangement == "drawings":
            return b""
        return self.paint(self.boat, self.looking, fine)

    def parts(self) -> dict[str, str]:
        """The page's parts as markup."""
        return page_parts(self.state())

    def state(self) -> PageState:
        session, look = self.session, self.looking.look
        return PageState(
            evaluation=session.evaluation,
            look=look,
            file=session.file,
            selected=self.selected,
            unsaved=session.unsaved,
            undo=session.history.undo_name,
            redo=session.history.redo_name,
            notice=session.notice,
            hand=self.dragging.hand(),
            dialog=self.dialog,
            adding=self.adding,
            cut_range=self.looking.cut_range(),
            over=self.over,
            echo=self.echo,
            fields=self.editing.rows(self.selected),
            labels=boat_labels(session.evaluation, look, self.looking.camera, self.looking.size) if look.names else (),
            handle=self._handle(),
            picture_size=self.looking.size,
            sheet=self._sheet(look),
        )

    def _handle(self) -> Handle | None:
        """The handle of what is selected, if it moves; none while the hand is on the boat."""
        if self.selected is None or self.dragging.mode != "none" or self.looking.look.arrangement == "drawings":
            return None
        made_of = (self.session.evaluation, self.looking.look, self.selected, self.looking.camera, self.looking.size)
        if made_of != self._handle_of:
            self._handle_of = made_of
            axis = self.dragging.axis_of(self.selected)
            args = (self.looking.camera, self.looking.size)
            self._handle_at = None if axis is None else handle_of(self.boat, self.selected, axis, *args)
        return self._handle_at

    def _sheet(self, look: Look) -> str:
        if look.arrangement == "boat":
            return ""
        return self.sheet.markup(self.session.evaluation, look, self.selected, self.dragging.views_now())

    def select(self, part: Part | None) -> None:
        self.selected = part
        self.adding = None

    def download(self, what: str) -> tuple[bytes, str, str] | None:
        """A file to take away by its name on the page: its bytes, kind and name."""
        made_of = (self.session.evaluation, self.looking.look, self.selected)
        name = file_stem(self.session.scene.name)
        match what:
            case "drawings.svg":
                return sheet_svg(*made_of), "image/svg+xml", f"{name}.svg"
            case "drawings.pdf":
                return sheet_pdf(*made_of), "application/pdf", f"{name}.pdf"
            case "picture.png":
                picture = self._printed()
                return None if picture is None else (picture, "image/png", f"{name}.png")
        return None

    def _printed(self) -> bytes | None:
        """The picture with its title strip; None where none can be drawn."""
        pixels = None if self.paint is None else self.paint.large(self.boat, self.looking, ENLARGED)
        if pixels is None:
            return None
        evaluation, camera = self.session.evaluation, self.looking.camera
        labels = boat_labels(evaluation, self.looking.look, camera, self.looking.size)
        return printed(pixels, evaluation, camera, labels, date.today())


def _press(desk: Desk, fields: Fields) -> None:
    """A hand comes down: what waits to be placed is placed, else something is taken hold of."""
    desk.session.notice = None
    pan, fine = fields.values.get("button") == "pan", fields.flag("fine")
    if fields.values.get("where") == "drawing":
        _press_drawing(desk, fields.pair("at"), fields.part(), pan=pan)
        return
    at = fields.pair("at", -1, 2)
    if desk.adding is not None:
        found = desk.dragging.hit(desk.boat, at)
        _add(desk, found[1].point if found else middle(desk.session.evaluation), found[0] if found else None)
        return
    desk.dragging.press_picture(desk.boat, at, pan=pan, fine=fine)


def _press_drawing(desk: Desk, at: tuple[float, float], part: Part | None, *, pan: bool) -> None:
    pane = desk.sheet.pane_at(at)
    if desk.adding is not None and pane is not None:
        seen = dict(zip(pane.placing.axes, desk.sheet.boat_at(pane, at), strict=True))
        point = dict(zip("xyz", middle(desk.session.evaluation), strict=True)) | seen
        _add(desk, (point["x"], point["y"], point["z"]), part)
        return
    desk.dragging.press_drawing(desk.sheet, None if pan else pane, part, at)


def _add(desk: Desk, at: tuple[float, float, float], on: Part | None) -> None:
    kind, desk.adding = desk.adding, None
    if kind is not None:
        desk.select(desk.editing.add(kind, at, on or desk.selected) or desk.selected)


def _release(desk: Desk, _: Fields) -> None:
    clicked = desk.dragging.release()
    if clicked is not None:
        desk.select(clicked)


def _hover(desk: Desk, fields: Fields) -> None:
    """What the pointer rests on decides its shape."""
    found = desk.dragging.hit(desk.boat, fields.pair("at", -1, 2))
    desk.hovered = None if found is None else found[0]
    desk.over = "" if found is None else "part" if found[0].kind == "compartment" else "grip"


def _nudge(desk: Desk, fields: Fields) -> None:
    towards = fields.choice("towards", ("left", "right", "up", "down"))
    if desk.selected is None or desk.selected.kind == "compartment":
        desk.looking.nudge(towards)
    else:
        nudge(desk.session, desk.selected, towards, fine=fields.flag("fine"))


def _escape(desk: Desk, _: Fields) -> None:
    """Let go of what is held; then of what waits to be placed; then of the notice; then of the selection."""
    if desk.dragging.escape():
        return
    if desk.adding is not None:
        desk.adding = None
    elif desk.session.notice is not None:
        desk.session.notice = None
    else:
        desk.selected = None


def _find(desk: Desk, fields: Fields) -> None:
    """Go to what a finding is about."""
    name = fields.text("object")
    for kind in PART_KINDS:
        part = Part(kind, name)
        if kind != "waterline" and desk._is_there(part):
            desk.select(part)
            return
    desk.session.notice = Notice(text=f"This is about {name}, which has no figures of its own here.")


def _target(desk: Desk, fields: Fields) -> Part:
    part = fields.part() or desk.selected
    if part is None:
        raise SketchError("nothing is selected", "Click a panel or a compartment first.")
    return part


def _delete(desk: Desk, fields: Fields) -> None:
    part = _target(desk, fields)
    if part.kind in ("waterline", "compartment"):
        raise SketchError(f"the {part.kind} cannot be deleted")
    problem = desk.editing.delete(part, free=fields.values.get("free") == "yes")
    desk.dialog = Dialog(name="delete", about=part.key, problem=problem) if problem else None


def _name_space(desk: Desk, fields: Fields) -> None:
    part = _target(desk, fields)
    desk.dialog = None
    desk.select(desk.editing.name_space(part, fields.text("name"), fields.text("use", "void")) or part)


def _set(desk: Desk, fields: Fields) -> None:
    desk.editing.set(_target(desk, fields), fields.text("field"), fields.text("value"))


def _rename(desk: Desk, fields: Fields) -> None:
    part = _target(desk, fields)
    if fields.text("value").strip() != part.name:
        desk.select(desk.editing.rename(part, fields.text("value")) or part)


def _choose_to_add(desk: Desk, fields: Fields) -> None:
    kind = fields.text("value", "")
    desk.adding = kind if kind in PART_KINDS and kind not in ("compartment", "waterline") else None


def _place(desk: Desk, _: Fields) -> None:
    _add(desk, middle(desk.session.evaluation), None)


def _toggle(desk: Desk, fields: Fields) -> None:
    desk.looking.toggle(_target(desk, fields))


def _duplicate(desk: Desk, fields: Fields) -> None:
    part = _target(desk, fields)
    desk.select(desk.editing.duplicate(part) or part)


def _zoom(desk: Desk, fields: Fields) -> None:
    factor = fields.number("factor", 0.2, 5.0)
    if fields.values.get("where") == "drawing":
        desk.sheet.zoom(factor, fields.pair("at", -10, 10))
    else:
        desk.looking.zoom(factor, fields.pair("at", -1, 2))


def _move(desk: Desk, fields: Fields) -> None:
    desk.dragging.move(fields.pair("at"), fine=fields.flag("fine"))


def _drawn_at(desk: Desk, fields: Fields) -> None:
    """Where the plan or the section cuts, typed; nothing typed: it follows what is selected."""
    which, text = fields.choice("which", ("plan", "section")), fields.text("value").strip()
    at = parse_length(text, desk.session.scene.units) if text else None
    if text and at is None:
        raise SketchError(f"`{text}` is no length", 'Write a number, or one with its unit such as "14 3/8 in".')
    look = desk.looking.look
    desk.looking.look = replace(look, plan_height=at) if which == "plan" else replace(look, section_at=at)


def _size(desk: Desk, fields: Fields) -> None:
    desk.looking.resize(fields.pair("size", 0, 10_000))
    desk.sheet.resize(fields.pair("sheet", 0, 10_000))


def _dialog(desk: Desk, fields: Fields) -> None:
    desk.dialog = desk.files.ask(fields.text("name"), desk.session, desk.selected)


def _echo(desk: Desk, fields: Fields) -> None:
    """A page wants to know when all it asked before this has been done and shown."""
    desk.before_picture()
    desk.echo = int(fields.number("number", 0))


def _close(desk: Desk, _: Fields) -> None:
    desk.dialog = None


def _save(desk: Desk, _: Fields) -> None:
    desk.dialog = desk.files.save(desk.session)


def _save_as(desk: Desk, fields: Fields) -> None:
    desk.dialog = desk.files.save_as(desk.session, fields.text("file"))


def _open(desk: Desk, fields: Fields) -> None:
    _show_other(desk, desk.files.open(desk.session, fields.text("name"), sure=fields.values.get("sure") == "yes"))


def _new(desk: Desk, fields: Fields) -> None:
    _show_other(desk, desk.files.new(desk.session, fields.text("hull"), fields.text("name"), fields.text("file")))


def _reload(desk: Desk, _: Fields) -> None:
    _show_other(desk, desk.files.reload(desk.session))


def _recover(desk: Desk, fields: Fields) -> None:
    desk.files.recover(desk.session, take=fields.values.get("take") == "yes")
    desk.dialog = None


def _show_other(desk: Desk, dialog: Dialog | None) -> None:
    """After another file was opened: a fresh look at another boat."""
    desk.dialog = dialog
    if dialog is None or dialog.name == "recover":
        desk.selected = None
        desk.looking.show_boat(desk.session.evaluation.layout.hull.outside.vertices)
        desk.sheet.show_all()


HANDLERS: dict[str, Callable[[Desk, Fields], None]] = {
    "press": _press,
    "move": _move,
    "release": _release,
    "hover": _hover,
    "escape": _escape,
    "nudge": _nudge,
    "zoom": _zoom,
    "size": _size,
    "drawn_at": _drawn_at,
    "select": lambda desk, fields: desk.select(fields.part()),
    "find": _find,
    "set": _set,
    "rename": _rename,
    "add": _choose_to_add,
    "place": _place,
    "toggle": _toggle,
    "duplicate": _duplicate,
    "delete": _delete,
    "name_space": _name_space,
    "undo": lambda desk, _: desk.session.undo(),
    "redo": lambda desk, _: desk.session.redo(),
    "dismiss": lambda desk, _: setattr(desk.session, "notice", None),
    "dialog": _dialog,
    "close": _close,
    "echo": _echo,
    "save": _save,
    "save_as": _save_as,
    "open": _open,
    "new": _new,
    "reload": _reload,
    "recover": _recover,
}
