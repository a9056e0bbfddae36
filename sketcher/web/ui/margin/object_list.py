"""The list of all objects of the scene, to choose from."""

from __future__ import annotations

from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.lookup import bulkhead_at
from sketcher.model.scene import Bulkhead, Scene
from sketcher.outputs.scene3d.objects import WATERLINE, ObjectRef, object_ref
from sketcher.outputs.wording.quantities import length
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag


def object_list(state: PageState) -> Markup:
    """All panels and other objects by kind, each with its place; hidden ones say so."""
    scene = state.evaluation.scene
    rows = []
    for block in BLOCKS:
        if block.key == "compartments":
            continue
        for item in getattr(scene, block.key):
            ref = object_ref(f"{block.word}/{item.name}")
            if ref is not None:
                rows.append(_row(state, ref, _place(scene, item)))
    rows.append(_row(state, WATERLINE, ""))
    hint = tag("p", "Choose one here, in the picture or in a drawing.", class_="small") if state.selected is None else None
    return tag("section", tag("h2", "Parts"), hint, tag("table", tag("tbody", *rows)), aria_label="Parts")


def _row(state: PageState, ref: ObjectRef, place: str) -> Markup:
    kind = ref.kind if ref.kind != "waterline" else ""
    hidden = " (hidden)" if ref in state.look.hidden else ""
    return tag(
        "tr",
        tag(
            "td",
            button(join(ref.name, " ", tag("span", kind + hidden, class_="unit")), "select", class_="name", data_part=ref.key),
        ),
        tag("td", place, class_="number"),
        class_="chosen" if state.selected == ref else None,
        data_key=f"part/{ref.key}",
    )


def _place(scene: Scene, item: object) -> str:
    """The one figure that says where an object stands, also where it is tied to another."""
    units = scene.units
    at = bulkhead_at(scene, item.name) if isinstance(item, Bulkhead) else getattr(item, "at", None)
    if isinstance(at, int | float):
        return length(at, units)
    ends = getattr(item, "off_centre", None)
    if ends is not None:
        return length(sum(ends) / 2, units)
    height = getattr(item, "height", None)
    return length(height, units) if height is not None else ""
