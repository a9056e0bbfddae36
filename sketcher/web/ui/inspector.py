"""The selected thing with its figures to type, and the parts list to choose from and add to."""

from __future__ import annotations

from dataclasses import replace

from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.lookup import bulkhead_at
from sketcher.model.scene import Bulkhead, Scene
from sketcher.outputs.wording.quantities import length
from sketcher.web.state import PANEL_KINDS, FieldRow, ObjectRef, PageState, object_ref
from sketcher.web.ui.html import Markup, button, join, tag

USUAL_FIELDS = {
    "bulkhead": ("at", "rake", "thickness", "bottom", "top"),
    "partition": ("off_centre", "from", "to", "bottom", "top"),
    "lid": ("height", "from", "to", "slope", "thickness"),
    "compartment": ("use", "permeability"),
    "opening": ("through", "at", "size", "diameter", "cover"),
    "stringer": ("under", "side", "width", "depth", "hollow"),
    "berth": ("height", "lies_on", "cushion", "from", "to", "stature", "people"),
}
"""Fields that stand open, led by the first of them that is given; the others are a click away."""
HIDDEN = ("berth", "compartment", "person", "stowage", "bottles", "chain", "foam", "tank")
"""What can be hidden besides panels."""
MOST_LARGE = 26
"""Characters that fit the card's width in large letters."""
TRUTHS = {"true": "yes", "false": "no"}
"""What the file writes for yes and no."""


def selected(state: PageState) -> Markup | None:
    """The card of the selected thing."""
    part = state.selected
    if part is None:
        return None
    title = tag(
        "div",
        tag("input", type="text", value=part.name, data_do="rename", data_part=part.key, aria_label="Name", maxlength=60)
        if part.kind != "waterline"
        else tag("strong", "Waterline"),
        class_="title",
    )
    usual = USUAL_FIELDS.get(part.kind, ())
    given = {row.key for row in state.fields if row.text}
    lead = next((key for key in usual if key in given), None)
    shown = sorted((row for row in state.fields if not usual or row.key in usual), key=lambda row: row.key != lead)
    rows = [_field(part, row, first=number == 0) for number, row in enumerate(shown)]
    more = [_field(part, row, first=False) for row in state.fields if usual and row.key not in usual]
    return tag(
        "section",
        tag("h2", part.kind, button("Done", "select", data_part="")),
        title,
        tag("div", *rows, class_="fields"),
        tag("details", tag("summary", "More"), tag("div", *more, class_="fields"), data_key=f"more/{part.kind}")
        if more
        else None,
        tag("div", *_deeds(state, part), class_="row"),
        class_="selected",
        aria_label=f"Selected: {part.kind} {part.name}",
        data_key=f"selected/{part.key}",
    )


def _field(part: ObjectRef, row: FieldRow, *, first: bool) -> Markup:
    """One value to type or choose; it is committed by Enter or on leaving it."""
    shared = {"data_do": "set", "data_part": part.key, "data_field": row.key}
    if not row.options and row.text in TRUTHS:
        row = replace(row, options=tuple(TRUTHS))
    if row.options:
        options = [tag("option", TRUTHS.get(option, option), value=option, selected=option == row.text) for option in row.options]
        control = tag("select", *options, **shared)
    else:
        listed = f"words-{row.key}" if row.suggestions else None
        told = f"hint-{row.key}" if row.hint else None
        control = tag("input", type="text", value=row.text, aria_describedby=told, list=listed, autocomplete="off", **shared)
        if row.suggestions:
            control = join(control, tag("datalist", *(tag("option", value=word) for word in row.suggestions), id=listed))
    label = tag("label", row.word, control, class_=_width(row.text) if first else None, data_key=f"field/{row.key}")
    return join(label, tag("small", row.hint, id=f"hint-{row.key}")) if row.hint else label


def _width(text: str) -> str:
    """The first value takes the card's width, lettered large where it then still fits."""
    return "first" if len(text) <= MOST_LARGE else "first long"


def _deeds(state: PageState, part: ObjectRef) -> list[Markup]:
    """What can be done with it besides changing its numbers."""
    hidden = part in state.look.hidden
    deeds = []
    if part.kind in PANEL_KINDS or part.kind in HIDDEN:
        deeds.append(button("Show" if hidden else "Hide", "toggle", data_part=part.key, class_="plain", title="H"))
    if part.kind == "compartment":
        holed = state.flood is not None and part.name in state.flood.holed
        deeds.append(button("Close the hole" if holed else "Hole it", "hole", data_part=part.key, class_="plain", title="F"))
    if part.kind == "compartment" and not state.fields:
        deeds.append(button("Name it, give it a use…", "dialog", data_name="name space", class_="main"))
    if part.kind not in ("waterline", "compartment"):
        deeds.append(button("Duplicate", "duplicate", data_part=part.key, class_="plain", title="D"))
        deeds.append(button("Delete", "delete", data_part=part.key, class_="plain", title="Delete"))
    return deeds


def parts_list(state: PageState) -> Markup:
    """All panels and other things by kind, each with its place; hidden ones say so."""
    scene = state.evaluation.scene
    rows = []
    for block in BLOCKS:
        if block.key == "compartments":
            continue
        for item in getattr(scene, block.key):
            part = object_ref(f"{block.word}/{item.name}")
            if part is not None:
                rows.append(_part_row(state, part, _place(scene, item)))
    rows.append(_part_row(state, ObjectRef("waterline", "waterline"), ""))
    adding = [tag("option", "Add…", value="", selected=True)]
    placeable = [block.word for block in BLOCKS if block.key != "compartments" and object_ref(f"{block.word}/it") is not None]
    adding += [tag("option", word, value=word) for word in placeable]
    add = tag("select", *adding, data_do="add", aria_label="Add a part", class_="plain")
    hint = _placing_hint(state.adding) if state.adding else None
    return tag("section", tag("h2", "Parts", add), hint, tag("table", tag("tbody", *rows)), aria_label="Parts")


def _placing_hint(kind: str) -> Markup:
    """What to do to place something new."""
    goes = "go" if kind.endswith("s") else "goes"
    words = tag("span", f"Point to where the {kind} {goes}, in the picture or in a drawing.", class_="sign")
    deeds = (button("Put it amidships", "place", class_="plain"), button("Do not add it", "add", data_value="", class_="plain"))
    return tag("div", words, tag("div", *deeds, class_="row"), class_="placing")


def _part_row(state: PageState, part: ObjectRef, place: str) -> Markup:
    kind = part.kind if part.kind != "waterline" else ""
    hidden = " (hidden)" if part in state.look.hidden else ""
    return tag(
        "tr",
        tag(
            "td",
            button(join(part.name, " ", tag("span", kind + hidden, class_="unit")), "select", class_="name", data_part=part.key),
        ),
        tag("td", place, class_="number"),
        class_="chosen" if state.selected == part else None,
        data_key=f"part/{part.key}",
    )


def _place(scene: Scene, item: object) -> str:
    """The one figure that says where a thing stands, also where it is tied to another."""
    units = scene.units
    at = bulkhead_at(scene, item.name) if isinstance(item, Bulkhead) else getattr(item, "at", None)
    if isinstance(at, int | float):
        return length(at, units)
    ends = getattr(item, "off_centre", None)
    if ends is not None:
        return length(sum(ends) / 2, units)
    height = getattr(item, "height", None)
    return length(height, units) if height is not None else ""
