"""What a page may ask, by the word it asks with: each handler checks the message's values and does it on the desk."""

from __future__ import annotations

from dataclasses import replace

from sketcher.model.edits.typed_input import typed_length, typed_offset
from sketcher.model.errors import SketchError
from sketcher.web.controller import Ask, Controller
from sketcher.web.logic.drag.dragging import nudge
from sketcher.web.logic.drag.grips import step
from sketcher.web.logic.messages import Fields
from sketcher.web.logic.new_objects import middle
from sketcher.web.logic.patterns import (
    joint_added,
    joint_moved,
    joint_nudged,
    joint_taken_out,
    joints_found_again,
    joints_taken_over,
)
from sketcher.web.state import PART_KINDS, Boards, Dialog, Notice, ObjectRef
from sketcher.web.view.zoomed_paper import Paper


def _press(desk: Controller, fields: Fields) -> None:
    """A hand comes down: what waits to be placed is placed, else something is taken hold of."""
    desk.session.notice = None
    pan, fine = fields.values.get("button") == "pan", fields.flag("fine")
    if fields.values.get("where") == "drawing":
        _press_drawing(desk, fields.pair("at"), fields.part(), pan=pan)
        return
    if fields.values.get("where") == "pattern":
        desk.dragging.press_pattern(desk.pattern, fields.pair("at"))
        return
    at = fields.pair("at", -1, 2)
    if desk.adding is not None:
        found = desk.dragging.hit(desk.boat, at)
        _add(desk, found[1].point if found else middle(desk.session.evaluation), found[0] if found else None)
        return
    desk.dragging.press_picture(desk.boat, at, desk.selected, pan=pan, fine=fine)


def _press_drawing(desk: Controller, at: tuple[float, float], part: ObjectRef | None, *, pan: bool) -> None:
    pane = desk.sheet.pane_at(at)
    if desk.adding is not None and pane is not None:
        seen = dict(zip(pane.placing.axes, desk.sheet.boat_at(pane, at), strict=True))
        point = dict(zip("xyz", middle(desk.session.evaluation), strict=True)) | seen
        _add(desk, (point["x"], point["y"], point["z"]), part)
        return
    desk.dragging.press_drawing(desk.sheet, None if pan else pane, part, at, desk.selected)


def _add(desk: Controller, at: tuple[float, float, float], on: ObjectRef | None) -> None:
    kind, desk.adding = desk.adding, None
    if kind is not None:
        desk.select(desk.editing.add(kind, at, on or desk.selected) or desk.selected)


def _release(desk: Controller, _: Fields) -> None:
    clicked = desk.dragging.release()
    if clicked is not None:
        desk.select(clicked)


def _hover(desk: Controller, fields: Fields) -> None:
    """What the pointer rests on decides its shape."""
    found = desk.dragging.hit(desk.boat, fields.pair("at", -1, 2))
    desk.hovered = None if found is None else found[0]
    desk.over = "" if found is None else "part" if found[0].kind == "compartment" else "grip"


def _nudge(desk: Controller, fields: Fields) -> None:
    """An arrow key: moves the joint or the part that is held; with none, the paper that has the keyboard, or turns the boat."""
    towards, fine = fields.choice("towards", ("left", "right", "up", "down")), fields.flag("fine")
    paper = _paper(desk, fields)
    if "joint" in fields.values:
        edit = joint_nudged(_boards(desk), int(fields.number("joint", 0)), towards, step(desk.session.scene.units, fine=fine))
        if edit is not None:
            desk.session.do(edit)
    elif desk.selected is not None and desk.selected.kind != "compartment":
        nudge(desk.session, desk.selected, towards, fine=fine)
    elif paper is not None:
        paper.look(towards)
    else:
        desk.looking.nudge(towards)


def _paper(desk: Controller, fields: Fields) -> Paper | None:
    """The paper that is meant; None: the picture."""
    return {"drawing": desk.sheet, "pattern": desk.pattern}.get(str(fields.values.get("where")))


def _escape(desk: Controller, _: Fields) -> None:
    """Let go of what is held; then of what waits to be placed; then of the notice; then of the selection."""
    if desk.dragging.escape():
        return
    if desk.adding is not None:
        desk.adding = None
    elif desk.session.notice is not None:
        desk.session.notice = None
    else:
        desk.selected = None


def _find(desk: Controller, fields: Fields) -> None:
    """Go to what a finding is about."""
    name = fields.text("object")
    for kind in PART_KINDS:
        part = ObjectRef(kind, name)
        if kind != "waterline" and desk.is_there(part):
            desk.select(part)
            return
    desk.session.notice = Notice(text=f"This is about {name}, which has no figures of its own here.")


def _target(desk: Controller, fields: Fields) -> ObjectRef:
    part = fields.part() or desk.selected
    if part is None:
        raise SketchError("nothing is selected", "Click a panel or a compartment first.")
    return part


def _delete(desk: Controller, fields: Fields) -> None:
    part = _target(desk, fields)
    if part.kind in ("waterline", "compartment"):
        raise SketchError(f"the {part.kind} cannot be deleted")
    problem = desk.editing.delete(part, free=fields.values.get("free") == "yes")
    desk.dialog = Dialog(name="delete", about=part.key, problem=problem) if problem else None


def _name_space(desk: Controller, fields: Fields) -> None:
    part = _target(desk, fields)
    desk.dialog = None
    desk.select(desk.editing.name_space(part, fields.text("name"), fields.text("use", "void")) or part)


def _set(desk: Controller, fields: Fields) -> None:
    desk.editing.set(_target(desk, fields), fields.text("field"), fields.text("value"))


def _rename(desk: Controller, fields: Fields) -> None:
    part = _target(desk, fields)
    if fields.text("value").strip() != part.name:
        desk.select(desk.editing.rename(part, fields.text("value")) or part)


def _choose_to_add(desk: Controller, fields: Fields) -> None:
    kind = fields.text("value", "")
    desk.adding = kind if kind in PART_KINDS and kind not in ("compartment", "waterline") else None


def _place(desk: Controller, _: Fields) -> None:
    _add(desk, middle(desk.session.evaluation), None)


def _toggle(desk: Controller, fields: Fields) -> None:
    desk.looking.toggle(_target(desk, fields))


def _duplicate(desk: Controller, fields: Fields) -> None:
    part = _target(desk, fields)
    desk.select(desk.editing.duplicate(part) or part)


def _zoom(desk: Controller, fields: Fields) -> None:
    factor = fields.number("factor", 0.2, 5.0)
    paper = _paper(desk, fields)
    if paper is not None:
        paper.zoom(factor, fields.pair("at"))
    else:
        desk.looking.zoom(factor, fields.pair("at", -1, 2))


def _move(desk: Controller, fields: Fields) -> None:
    desk.dragging.move(fields.pair("at"), fine=fields.flag("fine"))


def _drawn_at(desk: Controller, fields: Fields) -> None:
    """Where the plan or the section cuts, typed; nothing typed: it follows what is selected."""
    which, text = fields.choice("which", ("plan", "section")), fields.text("value").strip()
    at = typed_length(text, desk.session.scene.units) if text else None
    look = desk.looking.look
    desk.looking.look = replace(look, plan_height=at) if which == "plan" else replace(look, section_at=at)


def _boards(desk: Controller) -> Boards:
    """The boards that are looked at. Raises SketchError where there are none."""
    boards = desk.boards()
    if boards is None:
        raise SketchError("there is no panel to cut", "Add one first.")
    return boards


def _joint(desk: Controller, fields: Fields) -> None:
    """A joint's place, typed."""
    at = typed_offset(fields.text("value"), desk.session.scene.units)
    desk.session.do(joint_moved(_boards(desk), int(fields.number("number", 0)), at))


def _joint_out(desk: Controller, fields: Fields) -> None:
    desk.session.do(joint_taken_out(_boards(desk), int(fields.number("number", 0))))


def _joint_in(desk: Controller, fields: Fields) -> None:
    if fields.text("value"):
        desk.session.do(joint_added(_boards(desk), fields.text("value")))


def _joints(desk: Controller, fields: Fields) -> None:
    """Take the joints over that were found, or leave it to the sketch to find them."""
    whose = fields.choice("whose", ("mine", "found"))
    desk.session.do((joints_taken_over if whose == "mine" else joints_found_again)(_boards(desk)))


def _build_folder(desk: Controller, _: Fields) -> None:
    if desk.session.unsaved:
        raise SketchError("this scene has unsaved work", "Save it first: the papers name the file they are made of.")
    desk.building.make_folder(desk.session.scene, desk.session.opened.path)


def _size(desk: Controller, fields: Fields) -> None:
    desk.looking.resize(fields.pair("size", 0, 10_000))
    desk.sheet.resize(fields.pair("sheet", 0, 10_000))
    if "pattern" in fields.values:
        desk.pattern.resize(fields.pair("pattern", 0, 10_000))


def _dialog(desk: Controller, fields: Fields) -> None:
    desk.dialog = desk.files.ask(fields.text("name"), desk.session, desk.selected)


def _echo(desk: Controller, fields: Fields) -> None:
    """A page wants to know when all it asked before this has been done and shown."""
    desk.before_picture()
    desk.echo = int(fields.number("number", 0))


def _hole(desk: Controller, fields: Fields) -> None:
    """Hole a compartment, or close its hole."""
    part = _target(desk, fields)
    if part.kind != "compartment":
        raise SketchError(f"a {part.kind} cannot be flooded", "Select a compartment.")
    desk.holing.toggle(part.name)


def _close(desk: Controller, _: Fields) -> None:
    desk.dialog = None


def _save(desk: Controller, _: Fields) -> None:
    desk.dialog = desk.files.save(desk.session)


def _save_as(desk: Controller, fields: Fields) -> None:
    desk.dialog = desk.files.save_as(desk.session, fields.text("file"), replace=fields.values.get("replace") == "yes")


def _open(desk: Controller, fields: Fields) -> None:
    _show_other(desk, desk.files.open(desk.session, fields.text("name"), sure=fields.values.get("sure") == "yes"))


def _new(desk: Controller, fields: Fields) -> None:
    _show_other(desk, desk.files.new(desk.session, fields.text("hull"), fields.text("name"), fields.text("file")))


def _reload(desk: Controller, _: Fields) -> None:
    _show_other(desk, desk.files.reload(desk.session))


def _recover(desk: Controller, fields: Fields) -> None:
    desk.files.recover(desk.session, take=fields.values.get("take") == "yes")
    desk.dialog = None


def _show_other(desk: Controller, dialog: Dialog | None) -> None:
    """After another file was opened: a fresh look at another boat."""
    desk.dialog = dialog
    if dialog is None or dialog.name == "recover":
        desk.selected = None
        desk.holing.holed = ()
        desk.looking.show_boat(desk.session.evaluation.layout.hull.outside.vertices)
        desk.sheet.show_all()
        desk.pattern.show_all()
        desk.building.forget()


ASKS: dict[str, Ask] = {
    "press": _press,
    "move": _move,
    "release": _release,
    "hover": _hover,
    "escape": _escape,
    "nudge": _nudge,
    "zoom": _zoom,
    "size": _size,
    "drawn_at": _drawn_at,
    "build": lambda desk, _: desk.building.begin(desk.session.scene),
    "build_stop": lambda desk, _: desk.building.stop(),
    "build_folder": _build_folder,
    "joint": _joint,
    "joint_in": _joint_in,
    "joint_out": _joint_out,
    "joints": _joints,
    "hole": _hole,
    "close_holes": lambda desk, _: setattr(desk.holing, "holed", ()),
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
