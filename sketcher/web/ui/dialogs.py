"""Questions and forms over the page."""

from __future__ import annotations

from collections.abc import Callable

from sketcher.analysis.ready.layouts import LAYOUTS
from sketcher.analysis.ready.typical_forms import FORMS
from sketcher.model.fields.scene_fields import USES
from sketcher.model.units import UNITS
from sketcher.outputs.wording.sentences import capitalized
from sketcher.web.state import Dialog, PageState
from sketcher.web.ui.html import Markup, button, join, tag

KEYS = (
    (
        "Drag a panel or the waterline",
        "moves it along its own way, in steps of 5 mm (1/4 in); so does the mark of a cut in a drawing",
    ),
    ("Drag a joint on the pattern", "moves it across the board, in the same steps"),
    (
        "Drag a handle of what is selected",
        "moves an end or a side, turns a panel, or takes a person to another berth; Tab goes to it, arrow keys move it",
    ),
    ("Shift or Alt with it", "steps of 1 mm (1/16 in)"),
    ("Arrow keys", "nudge what is selected, or a joint on the pattern; with nothing selected, turn the boat"),
    ("B P L E S O", "add a bulkhead, partition, lid, berth, stringer or opening; M: more"),
    ("Enter", "places what waits to be added; arrow keys move it by 50 mm (2 1/2 in), with Shift by 5"),
    ("R", "measure in a drawing: arrow keys go from corner to corner, with Shift by 5 mm (1/4 in), Enter sets a point"),
    ("Escape", "puts back what is being dragged; then leaves what waits to be added; then clears the selection"),
    ("Drag elsewhere", "turns the boat; right button or Shift: moves her; wheel or two fingers: magnifies"),
    (
        "Click in the curves",
        "puts what is selected there; from its place over them arrow keys move it",
    ),
    ("1 2 3 4", "from off the bow, profile, plan, ahead"),
    ("+ and -", "closer and further: the boat, or the drawing or pattern that has the keyboard; 0: all of it again"),
    ("H, D, Delete", "hide or show, duplicate, delete what is selected"),
    ("F", "hole the selected compartment, or close the hole"),
    ("Ctrl+Z, Ctrl+Y", "undo, redo"),
    ("Ctrl+S", "save; with Shift: save as"),
)
LONGEST_TITLE = 60
"""Characters of a layout's title that a page asks for."""
LETTERS = "Single letters, figures and signs work as keys (off: only the arrows, Enter, Escape, Delete and Ctrl keys do)"


def dialog(state: PageState) -> Markup:
    """The open dialog, or nothing."""
    if state.dialog is None:
        return Markup("")
    body = BODIES[state.dialog.name](state.dialog)
    problem = tag("p", state.dialog.problem, class_="problem", role="alert") if state.dialog.problem else None
    return tag("dialog", problem, body, aria_labelledby="dialog-title", data_key=state.dialog.name)


def _title(words: str) -> Markup:
    return tag("h2", words, id="dialog-title")


def _keys(_: Dialog) -> Markup:
    rows = [tag("tr", tag("td", tag("kbd", what)), tag("td", does)) for what, does in KEYS]
    # Kept by the browser, since it is about whoever sits there.
    letters = tag("label", tag("input", type="checkbox", id="letters", checked=True), LETTERS, class_="switch")
    close = tag("div", button("Close", "close", class_="plain", autofocus=True), class_="row")
    return join(_title("Keyboard and mouse"), tag("table", tag("tbody", *rows)), letters, close)


def _open(asked: Dialog) -> Markup:
    choices = [button(name, "open", data_name=name) for name in asked.options]
    note = tag("p", "Scenes in the folders that were chosen at the start.")
    return join(_title("Open another scene"), note, tag("div", *choices, class_="choices"), _row_of_one("Cancel"))


def _beside(asked: Dialog) -> Markup:
    choices = [button(name, "keep_file", data_name=name) for name in asked.options]
    note = tag("p", "It is compared with the layout that you work on, which stays as it is.")
    return join(_title("Take a scene as B"), note, tag("div", *choices, class_="choices"), _row_of_one("Cancel"))


def _new(asked: Dialog) -> Markup:
    options = [tag("option", name, value=name) for name in asked.options]
    ready = [tag("option", capitalized(each.words), value=name) for name, each in LAYOUTS.items()]
    fields = join(
        tag("label", "Hull, or a table of tape measurements", tag("select", *options, name="hull")),
        tag("label", "Begin with", tag("select", tag("option", "An empty hull", value=""), *ready, name="layout")),
        tag(
            "label",
            "Name of the layout",
            tag("input", type="text", name="name", value="First layout", maxlength=LONGEST_TITLE, autofocus=True),
        ),
        tag("label", "File", tag("input", type="text", name="file", value=asked.about, maxlength=120)),
    )
    return join(_title("New scene"), _form("new", fields, "Begin"))


def _fitting(asked: Dialog) -> Markup:
    (layout,) = asked.options
    return join(
        _title("Fitting a layout"),
        tag("p", f"{capitalized(LAYOUTS[layout].words)}, fitted to {asked.about}: a few seconds.", role="status"),
        tag("progress", aria_label="Being fitted"),
        tag("div", button("Leave it", "close", class_="plain", autofocus=True), class_="row"),
    )


BOAT_WORDS = {
    "length": "Length, stem to transom",
    "beam": "Greatest beam; of a catamaran one hull's",
    "depth": "Depth amidships, bottom to deck's edge",
    "bow_freeboard": "Freeboard at the bow, if measured",
    "stern_freeboard": "Freeboard at the stern, if measured",
    "spacing": "Catamaran: from centreline to centreline",
}
"""What is asked of a boat that is begun, besides her name, form and unit."""


def _new_boat(asked: Dialog) -> Markup:
    """Its options: what the fields hold, in order: name, form, unit, then lengths."""
    name, form, units, *lengths = asked.options
    forms = [
        tag("option", f"{word.capitalize()}: {each.words}", value=word, selected=word == form) for word, each in FORMS.items()
    ]
    unit = [tag("option", word, value=word, selected=word == units) for word in UNITS]
    boxes = [
        tag("label", words, tag("input", type="text", name=key, value=text, autocomplete="off", inputmode="decimal"))
        for (key, words), text in zip(BOAT_WORDS.items(), lengths, strict=True)
    ]
    fields = join(
        tag("p", "Every point is guessed from these, and says so until you type what you measured."),
        tag("label", "Name", tag("input", type="text", name="name", value=name, maxlength=LONGEST_TITLE, autofocus=True)),
        tag("label", "Form", tag("select", *forms, name="form")),
        tag("label", "Lengths in", tag("select", *unit, name="units")),
        tag("div", *boxes, class_="fields"),
    )
    return join(_title("New boat"), _form("new_boat", fields, "Begin"))


def _start(_: Dialog) -> Markup:
    deeds = tag(
        "div",
        button("Your own boat, from her dimensions…", "dialog", data_name="new boat", class_="main", autofocus=True),
        button("From a hull's file, or a table of measurements…", "dialog", data_name="new", class_="plain"),
        button("Look round in a demo boat", "close", class_="plain"),
        class_="choices",
    )
    return join(_title("Begin"), tag("p", "What you begin is kept in the folder in which the sketcher was started."), deeds)


def _save_as(asked: Dialog) -> Markup:
    fields = tag("label", "File", tag("input", type="text", name="file", value=asked.about, maxlength=120, autofocus=True))
    replacing = [
        button(f"Replace {name}", "save_as", data_file=name, data_replace="yes", class_="plain") for name in asked.options
    ]
    return join(_title("Save as"), _form("save_as", fields, "Save", *replacing))


def _retitle(asked: Dialog) -> Markup:
    title = tag("input", type="text", name="title", value=asked.about, maxlength=LONGEST_TITLE, autofocus=True)
    return join(_title("Title of the layout"), _form("retitle", tag("label", "Title", title), "Rename"))


def _name_space(asked: Dialog) -> Markup:
    uses = [tag("option", use, value=use) for use in USES]
    fields = join(
        tag("label", "Name", tag("input", type="text", name="name", value=asked.about, maxlength=60, autofocus=True)),
        tag("label", "Use", tag("select", *uses, name="use")),
    )
    return join(_title("Name this compartment"), _form("name_space", fields, "Name it"))


def _recover(asked: Dialog) -> Markup:
    """Its options: the file the work is kept in, when it was kept, how many there are."""
    work, when, count = asked.options
    deeds = tag(
        "div",
        button("Forget it", "recover", data_work=work, data_take="no", class_="plain"),
        button("Take it up again", "recover", data_work=work, data_take="yes", class_="main", autofocus=True),
        class_="row",
    )
    words = f"Changes to {asked.about} were kept on {when}, when the sketcher ended without saving them."
    if count != "1":
        words += f" They are the newest of {count} that were kept; forget these, and the next are shown."
    return join(_title("Unsaved work was kept"), tag("p", words), deeds)


def _changed(asked: Dialog) -> Markup:
    deeds = tag(
        "div",
        button("Keep working here", "close", class_="main", autofocus=True),
        button("Save as…", "dialog", data_name="save as", class_="plain"),
        button("Read the file again", "reload", class_="plain"),
        class_="row",
    )
    words = f"{asked.about} was changed by something else since it was read here. Saving will not overwrite it."
    return join(_title("The file was changed elsewhere"), tag("p", words), deeds)


def _leave(asked: Dialog) -> Markup:
    deeds = tag(
        "div",
        button("Stay", "close", class_="plain"),
        button("Leave without saving", "open", data_name=asked.about, data_sure="yes", class_="plain"),
        class_="row",
    )
    return join(_title("There is unsaved work"), tag("p", "Save first, or leave it behind; undo cannot bring it back."), deeds)


def _steps(asked: Dialog) -> Markup:
    """Its options: all steps, the oldest first; about: how many of them are done."""
    if not asked.options:
        return join(_title("Steps"), tag("p", "Nothing has been changed since she was opened."), _row_of_one("Close"))
    done = int(asked.about)
    names = ("Before all of these", *asked.options)
    rows = [
        button(
            name,
            "go_to",
            data_number=number,
            aria_current="step" if number == done else None,
            autofocus=number == done,
            class_="undone" if number > done else None,
        )
        for number, name in reversed(list(enumerate(names)))
    ]
    note = "The newest is on top, the last one done is marked. Go to any of them: those above it stay until you change something."
    return join(_title("Steps"), tag("p", note), tag("div", *rows, class_="choices"), _row_of_one("Close"))


def _row_of_one(word: str) -> Markup:
    return tag("div", button(word, "close", class_="plain"), class_="row")


def _form(do: str, fields: Markup, word: str, *others: Markup) -> Markup:
    deeds = tag("div", button("Cancel", "close", class_="plain"), *others, tag("button", word, class_="main"), class_="row")
    return tag("form", fields, deeds, data_do=do)


def _delete(asked: Dialog) -> Markup:
    deeds = tag(
        "div",
        button("Leave it", "close", class_="plain", autofocus=True),
        button("Delete it, keep the others in place", "delete", data_part=asked.about, data_free="yes", class_="plain"),
        class_="row",
    )
    words = "Freed, they stay where they are, at a distance of their own; what is in it, under it or on it alone goes with it."
    return join(_title("Others are tied to it"), tag("p", words), deeds)


BODIES: dict[str, Callable[[Dialog], Markup]] = {
    "keys": _keys,
    "steps": _steps,
    "title": _retitle,
    "beside": _beside,
    "open": _open,
    "new": _new,
    "fitting": _fitting,
    "new boat": _new_boat,
    "start": _start,
    "save as": _save_as,
    "name space": _name_space,
    "recover": _recover,
    "changed": _changed,
    "leave": _leave,
    "delete": _delete,
}
