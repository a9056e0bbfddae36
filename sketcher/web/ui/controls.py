"""What stands over the picture: from where one looks, how much of the hull one sees, what is cut away."""

from __future__ import annotations

from sketcher.model.units import format_length
from sketcher.outputs.scene3d.objects import CUT_KINDS
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

CUT_WORDS = {
    "none": "Whole boat",
    "forward": "Cut away forward",
    "after": "Cut away aft",
    "above": "Cut away above",
    "port": "Cut away to port",
    "starboard": "Cut away to starboard",
}
SEEN_FROM = {
    "quarter": "From off the bow",
    "profile": "From the side",
    "plan": "From above",
    "ahead": "From right ahead",
}
VIEW_WORDS = {"quarter": "Bow", "profile": "Profile", "plan": "Plan", "ahead": "Ahead"}


def controls(state: PageState) -> Markup:
    """Views, transparency and the cut; on a machine that cannot draw, what to do about it."""
    if state.picture_problem:
        words = "The boat cannot be drawn in three dimensions on this machine; drawings and figures work."
        return tag("div", tag("p", words), tag("p", state.picture_problem), class_="blank", role="note")
    look = state.look
    views = tag(
        "div",
        *(
            button(word, "view", data_view=view, title=f"{SEEN_FROM[view]} ({number})")
            for number, (view, word) in enumerate(VIEW_WORDS.items(), 1)
        ),
        class_="group",
        role="group",
        aria_label="Views",
    )
    hull = tag(
        "label",
        "Transparency",
        tag(
            "input",
            type="range",
            min=0,
            max=1,
            step=0.05,
            value=look.see_through,
            data_do="see_through",
            aria_label="Transparency of the hull",
            aria_valuetext=f"{100 * look.see_through:.0f} % transparent",
        ),
    )
    options = [tag("option", CUT_WORDS[kind], value=kind, selected=look.cut.kind == kind) for kind in CUT_KINDS]
    kind = tag("select", *options, data_do="cut", aria_label="Cut away")
    return join(
        views,
        tag("div", hull, class_="group"),
        tag("div", kind, _cut_slider(state), class_="group"),
        tag("div", button("Names", "names", aria_pressed=str(look.names).lower()), class_="group"),
    )


def cuts(state: PageState) -> Markup:
    """Where the plan and the section cut; empty, they follow what is selected."""
    units, look = state.evaluation.scene.units, state.look
    fields = []
    for which, word, at in (("plan", "Plan at", look.plan_height), ("section", "Section at", look.section_at)):
        text = format_length(at, units) if at is not None else ""
        box = tag(
            "input",
            type="text",
            value=text,
            placeholder="selected",
            data_do="drawn_at",
            data_which=which,
            title=f"A place in {units}, or empty: it follows what is selected",
            autocomplete="off",
        )
        fields.append(tag("label", word, box))
    return join(*fields)


def _cut_slider(state: PageState) -> Markup | None:
    cut = state.look.cut
    if cut.kind == "none":
        return None
    low, high = state.cut_range
    place = length_with_unit(cut.at, state.evaluation.scene.units)
    slider = tag(
        "input",
        type="range",
        min=round(low, 3),
        max=round(high, 3),
        step=0.005,
        value=round(cut.at, 3),
        data_do="cut_at",
        aria_label="Place of the cut",
        aria_valuetext=place,
    )
    return tag("label", slider, place)
