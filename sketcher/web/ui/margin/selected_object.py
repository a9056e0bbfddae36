"""The card of the selected object: its fields to type, and what can be done with it."""

from __future__ import annotations

from dataclasses import replace

from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef
from sketcher.web.state import FieldRow, PageState
from sketcher.web.ui.html import Markup, button, join, tag

USUAL_FIELDS = {
    "bulkhead": ("at", "rake", "thickness", "bottom", "top"),
    "partition": ("off_centre", "from", "to", "bottom", "top"),
    "lid": ("height", "from", "to", "slope", "thickness"),
    "compartment": ("use", "permeability"),
    "opening": ("through", "face", "at", "size", "diameter", "cover"),
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


def selected_card(state: PageState) -> Markup | None:
    """The whole card; None where nothing is selected."""
    ref = state.selected
    if ref is None:
        return None
    title = tag(
        "div",
        tag("input", type="text", value=ref.name, data_do="rename", data_part=ref.key, aria_label="Name", maxlength=60)
        if ref.kind != "waterline"
        else tag("strong", "Waterline"),
        class_="title",
    )
    usual = USUAL_FIELDS.get(ref.kind, ())
    given = {row.key for row in state.fields if row.text}
    lead = next((key for key in usual if key in given), None)
    shown = sorted((row for row in state.fields if not usual or row.key in usual), key=lambda row: row.key != lead)
    rows = [_field(ref, row, first=number == 0) for number, row in enumerate(shown)]
    more = [_field(ref, row, first=False) for row in state.fields if usual and row.key not in usual]
    return tag(
        "section",
        tag("h2", ref.kind, button("Done", "select", data_part="")),
        title,
        tag("div", *rows, class_="fields"),
        tag("details", tag("summary", "More"), tag("div", *more, class_="fields"), data_key=f"more/{ref.kind}") if more else None,
        tag("div", *_deeds(state, ref), class_="row"),
        class_="selected",
        aria_label=f"Selected: {ref.kind} {ref.name}",
        data_key=f"selected/{ref.key}",
    )


def _field(ref: ObjectRef, row: FieldRow, *, first: bool) -> Markup:
    """One value to type or choose; it is committed by Enter or on leaving it."""
    shared = {"data_do": "set", "data_part": ref.key, "data_field": row.key}
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


def _deeds(state: PageState, ref: ObjectRef) -> list[Markup]:
    """Buttons for what can be done with it besides changing its numbers."""
    hidden = ref in state.look.hidden
    deeds = []
    if ref.kind in PANEL_KINDS or ref.kind in HIDDEN:
        deeds.append(button("Show" if hidden else "Hide", "toggle", data_part=ref.key, class_="plain", title="H"))
    if ref.kind == "compartment":
        holed = state.damage is not None and ref.name in state.damage.case.holed
        deeds.append(button("Close the hole" if holed else "Hole it", "hole", data_part=ref.key, class_="plain", title="F"))
    if ref.kind == "compartment" and not state.fields:
        deeds.append(button("Name it, give it a use…", "dialog", data_name="name space", class_="main"))
    if ref.kind not in ("waterline", "compartment"):
        deeds.append(button("Duplicate", "duplicate", data_part=ref.key, class_="plain", title="D"))
        deeds.append(button("Delete", "delete", data_part=ref.key, class_="plain", title="Delete"))
    return deeds
