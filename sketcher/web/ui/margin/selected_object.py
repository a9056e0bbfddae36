"""The card of the selected object: its fields to type, and what can be done with it."""

from __future__ import annotations

from dataclasses import replace

from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef
from sketcher.web.state import NAME, PageState
from sketcher.web.typed_state import FieldRow
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
    title = _name(state, ref) if ref.kind != "waterline" else tag("strong", "Waterline")
    usual = USUAL_FIELDS.get(ref.kind, ())
    given = {row.key for row in state.fields if row.text}
    lead = next((key for key in usual if key in given), None)
    shown = sorted((row for row in state.fields if not usual or row.key in usual), key=lambda row: row.key != lead)
    leads = ref.kind != "waterline"
    rows = [_field(state, ref, row, first=leads and number == 0) for number, row in enumerate(shown)]
    more = [_field(state, ref, row, first=False) for row in state.fields if usual and row.key not in usual]
    return tag(
        "section",
        tag("h2", ref.kind, button("Done", "select", data_part="")),
        tag("div", title, class_="title"),
        _refused(state, NAME),
        tag("div", *rows, class_="fields"),
        tag("details", tag("summary", "More"), tag("div", *more, class_="fields"), data_key=f"more/{ref.kind}") if more else None,
        tag("div", *_deeds(state, ref), class_="row"),
        class_="selected",
        aria_label=f"Selected: {ref.kind} {ref.name}",
        data_key=f"selected/{ref.key}",
    )


def _name(state: PageState, ref: ObjectRef) -> Markup:
    told = _told(state, NAME)
    return tag("input", type="text", value=ref.name, data_do="rename", data_part=ref.key, aria_label="Name", maxlength=60, **told)


def _field(state: PageState, ref: ObjectRef, row: FieldRow, *, first: bool) -> Markup:
    """One value to type or choose; it is committed by Enter or on leaving it. What was refused stands under it."""
    shared = {"data_do": "set", "data_part": ref.key, "data_field": row.key, **_told(state, row.key, hint=bool(row.hint))}
    if not row.options and row.text in TRUTHS:
        row = replace(row, options=tuple(TRUTHS))
    if row.options:
        options = [tag("option", TRUTHS.get(option, option), value=option, selected=option == row.text) for option in row.options]
        control = tag("select", *options, **shared)
    else:
        listed = f"words-{row.key}" if row.suggestions else None
        control = tag("input", type="text", value=row.text, list=listed, autocomplete="off", **shared)
        if row.suggestions:
            control = join(control, tag("datalist", *(tag("option", value=word) for word in row.suggestions), id=listed))
    label = tag("label", row.word, control, class_=_width(row.text) if first else None, data_key=f"field/{row.key}")
    hint = tag("small", row.hint, id=f"hint-{row.key}") if row.hint else None
    return join(label, _refused(state, row.key), hint)


def _told(state: PageState, key: str, *, hint: bool = False) -> dict[str, str | None]:
    """What tells a field's control that what was typed is refused, and where its hint and the reason stand."""
    refused = state.refused_in == key
    by = [f"refused-{key}"] * refused + [f"hint-{key}"] * hint
    return {"aria_invalid": "true" if refused else None, "aria_describedby": " ".join(by) or None}


def _refused(state: PageState, key: str) -> Markup | None:
    """Why what was typed in a field was refused, and what to type instead."""
    if state.refused_in != key or state.notice is None:
        return None
    words = f"{state.notice.text.rstrip('.')}. {state.notice.remedy}".strip()
    return tag("small", words, id=f"refused-{key}", class_="refused", role="alert")


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
