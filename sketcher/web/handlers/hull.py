"""Messages of the hull's place: what was typed, points, stations and parts put in and taken out."""

from __future__ import annotations

from typing import cast

from sketcher.model.edits.appendage_outlines import OutlineAppendage
from sketcher.model.edits.hull_edits import (
    AddPoint,
    AddStation,
    HullEdit,
    MarkKnuckle,
    Place,
    RemovePoint,
    RemoveStation,
)
from sketcher.model.edits.hull_outlines import DRAWINGS, DragOutline
from sketcher.model.edits.hull_parts import AddPart, RemovePart
from sketcher.model.edits.hull_sides import SetSidesApart
from sketcher.model.edits.typed_input import typed_length
from sketcher.model.errors import SketchError
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.hull.hull_fields import hull_edit
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace

PROFILES = ("stem", "stern")
SIDES = ("alike", "apart")


def _set(workspace: Workspace, fields: MessageFields) -> None:
    """A text typed in one of her fields; what cannot be taken stands there, with the reason beside it."""
    hull, key, text = workspace.session.hull, fields.text("field"), fields.text("value")
    try:
        edit = hull_edit(hull.hull, key, text)
    except SketchError as problem:
        hull.refuse(problem, key, text)
        return
    hull.do(edit, key, text)


def _look(workspace: Workspace, fields: MessageFields) -> None:
    """The station that the hand is at."""
    workspace.station = int(fields.number("station", 1))


def _place(fields: MessageFields) -> Place:
    """The station or profile that a message is about."""
    word = fields.word("place")
    return cast("Place", word) if word in PROFILES else int(fields.number("place", 0))


def _do(workspace: Workspace, edit: HullEdit) -> bool:
    """An edit that moves the fields' keys: what was typed and refused elsewhere goes."""
    hull = workspace.session.hull
    hull.refused.clear()
    return hull.do(edit)


def _point(workspace: Workspace, fields: MessageFields) -> None:
    place, number = _place(fields), int(fields.number("number", 0))
    _do(workspace, RemovePoint(place, number) if fields.word("out") else AddPoint(place, number))


def _knuckle(workspace: Workspace, fields: MessageFields) -> None:
    station, point = int(fields.number("station", 0)), int(fields.number("point", 0))
    workspace.session.hull.do(MarkKnuckle(station, point, fields.flag("value") or fields.word("value") == "yes"))


def _sides(workspace: Workspace, fields: MessageFields) -> None:
    """Both sides alike, or measured apart."""
    _do(workspace, SetSidesApart(fields.choice("value", SIDES) == "apart"))


def _drag(workspace: Workspace, fields: MessageFields) -> None:
    """An outline dragged on a drawing, to a place across and up [m]."""
    drawing, to = fields.choice("drawing", DRAWINGS), fields.pair("to", -1e3, 1e3)
    workspace.session.hull.do(DragOutline(drawing, fields.text("pull"), to))


def _station(workspace: Workspace, fields: MessageFields) -> None:
    """A station taken out by its number, or put in at a distance that was typed."""
    hull = workspace.session.hull
    if fields.word("out"):
        _do(workspace, RemoveStation(int(fields.number("number", 0))))
        return
    text = fields.text("at").strip()
    at = typed_length(text, hull.hull.units)
    if _do(workspace, AddStation(at)):
        workspace.station = 1 + min(range(len(hull.hull.stations)), key=lambda k: abs(hull.hull.stations[k].at - at))


def _part(workspace: Workspace, fields: MessageFields) -> None:
    """A part put on her or taken away, `appendages.NAME` for an appendage that goes."""
    name = fields.text("name").strip()
    if not name:
        raise SketchError("an appendage needs a name", "Write one, such as fin keel, skeg or rudder.")
    _do(workspace, RemovePart(name) if fields.word("out") else AddPart(name))


def _outline(workspace: Workspace, fields: MessageFields) -> None:
    """An appendage told by its outline, or by its litres again."""
    _do(workspace, OutlineAppendage(fields.text("name"), not fields.word("out")))


def _picture(workspace: Workspace, fields: MessageFields) -> None:
    """A picture chosen to trace on, by its pixels across and down, or its marks to be set again."""
    workspace.tracing.begin(fields.pair("size", 1.0, 1e5)) if "size" in fields.values else workspace.tracing.marks.clear()


def _no_picture(workspace: Workspace, fields: MessageFields) -> None:
    problem = SketchError(f"{fields.text('name')} is no picture that can be shown", "Save it as PNG, JPEG or PDF first.")
    workspace.session.hull.notices.refuse(problem)


def _known(workspace: Workspace, fields: MessageFields) -> None:
    """Where a marked point is: `1.1` the first one's offset, `1.2` its height."""
    which, axis = fields.choice("field", ("1.1", "1.2", "2.1", "2.2")).split(".")
    text, known = fields.text("value").strip(), workspace.tracing.known
    if text:
        typed_length(text, workspace.session.hull.hull.units)
    offset, height = known[int(which) - 1]
    known[int(which) - 1] = (text, height) if axis == "1" else (offset, text)


def _trace(workspace: Workspace, fields: MessageFields) -> None:
    """A click on the picture: a known point, or one of the section that is traced."""
    if workspace.tracing.size is None:
        return
    edit = workspace.tracing.click(workspace.session.hull.hull, workspace.station, fields.pair("at", -1e5, 1e5))
    if edit is not None:
        _do(workspace, edit)


HULL_HANDLERS: dict[str, MessageHandler] = {
    "hull_set": _set,
    "hull_look": _look,
    "hull_point": _point,
    "hull_knuckle": _knuckle,
    "hull_sides": _sides,
    "hull_drag": _drag,
    "hull_station": _station,
    "hull_part": _part,
    "hull_outline": _outline,
    "hull_picture": _picture,
    "hull_no_picture": _no_picture,
    "hull_known": _known,
    "hull_trace": _trace,
}
