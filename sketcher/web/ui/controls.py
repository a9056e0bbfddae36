"""What stands over the picture: from where one looks, how much of the hull one sees, what is cut away."""

from __future__ import annotations

from sketcher.model.units import format_length
from sketcher.outputs.drawing.recording import LineStyle
from sketcher.outputs.scene3d.objects import CutKind
from sketcher.outputs.tinting import TintBy
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.web.state import CUT_KEYS, CUT_NAMES, DRAWN, Drawn, PageState
from sketcher.web.ui.html import Markup, button, join, tag

CUT_WORDS: dict[CutKind, str] = {
    "near": "Half cut away",
    "none": "Whole boat",
    "forward": "Cut away forward",
    "after": "Cut away aft",
    "above": "Cut away above",
    "port": "Cut away to port",
    "starboard": "Cut away to starboard",
}
TINTED_WORDS: dict[TintBy, str] = {"space": "Tint by space", "water": "Tint by water", "use": "Tint by use"}
SEEN_FROM = {
    "quarter": "From off the bow",
    "profile": "From the side",
    "plan": "From above",
    "ahead": "From right ahead",
}
DRAWN_WORDS: dict[Drawn, str] = {"all": "All", "profile": "Profile", "plan": "Plan", "section": "Section"}
PER_MM = 5.0
"""Pixels of a swatch to a millimetre of the sheet's strokes."""
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
    clear = f"{100 * look.see_through:.0f} % transparent"
    hull = _slider("Transparency", "see_through", look.see_through, 0.05, "Transparency of the hull", clear)
    options = [tag("option", CUT_WORDS[kind], value=kind, selected=look.cut.kind == kind) for kind in CUT_WORDS]
    kind = tag("select", *options, data_do="cut", aria_label="Cut away")
    apart = _slider("Pull apart", "apart", look.apart, 0.02, "How far her spaces are pulled apart", f"{100 * look.apart:.0f} %")
    tinted = [tag("option", word, value=by, selected=look.tinted_by == by) for by, word in TINTED_WORDS.items()]
    colours = tag("select", *tinted, data_do="tinted_by", aria_label="Colours")
    return join(
        views,
        tag("div", hull, class_="group"),
        tag("div", kind, _cut_slider(state), class_="group"),
        tag("div", apart, class_="group"),
        tag("div", colours, class_="group"),
        tag("div", button("Names", "names", aria_pressed=str(look.names).lower()), class_="group"),
    )


def _slider(word: str, do: str, value: float, step: float, label: str, told: str) -> Markup:
    """A share from 0 to 1 that is slid. do: the message it sends; told: its value, read out."""
    slid = tag("input", type="range", min=0, max=1, step=step, value=value, data_do=do, aria_label=label, aria_valuetext=told)
    return tag("label", tag("span", word), slid)


def cuts(state: PageState) -> Markup:
    """What of the drawings is shown, the way back to all of it, and where each cuts; empty, as is selected."""
    units, look, drawn = state.evaluation.scene.units, state.look, state.drawn
    fields = []
    for which in CUT_NAMES:
        word, at = f"{which.capitalize()} at", getattr(look, CUT_KEYS[which])
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
    choices = tag("div", *(_drawn(state, each) for each in DRAWN), class_="group", role="group", aria_label="Which drawings")
    measure = button(
        tag("span", "Measu", tag("u", "r"), "e"),
        "measure",
        data_letter="R",
        aria_pressed=str(drawn.measuring).lower(),
        aria_keyshortcuts="R",
        title="Measure between two points of a drawing (R)",
        class_="plain",
    )
    key = None if drawn.key.fits else tag("button", "Key", type="button", class_="plain", popovertarget="legend")
    return join(choices, fit_button("drawing", whole=drawn.whole), measure, key, tag("div", *fields, class_="places"))


def fit_button(where: str, *, whole: bool) -> Markup:
    """The way back to all of a paper of which a part is seen."""
    title = "All of it is seen" if whole else "See all of it again (0)"
    disabled = str(whole).lower()
    return button("Fit", "fit", data_where=where, title=title, aria_label=f"Fit: {title}", aria_disabled=disabled, class_="plain")


def _drawn(state: PageState, which: Drawn) -> Markup:
    """One drawing, or all where those have room."""
    pressed = which == "all" if len(state.drawn.kinds) > 1 else which in state.drawn.kinds
    too_small = which == "all" and not state.drawn.all_fit
    return button(
        DRAWN_WORDS[which],
        "drawn",
        data_drawn=which,
        aria_pressed=str(pressed).lower(),
        aria_disabled="true" if too_small else None,
        title="There is no room here for all three at once" if too_small else None,
    )


def sheet_key(state: PageState) -> Markup:
    """What numbers, tints, ruling and outlines on the sheet mean; a number selects what it stands for."""
    key = state.drawn.key
    numbers = [
        tag("li", button(join(tag("b", number), " ", name), "select", data_part=f"compartment/{name}"), tag("span", amount))
        for number, name, amount, _ in key.numbers
    ]
    tints = [tag("li", _swatch(tint), words) for tint, words in key.tints]
    outlines = [tag("li", _outline_swatch(stroke), words) for words, stroke in key.outlines]
    items = (*numbers, *tints, *outlines)
    return tag("ul", *items) if items else Markup("")


def _swatch(tint: str | None) -> Markup:
    """A tint, or None: the ruling."""
    ruled = [tag("path", d="M0 3H20M0 6H20M0 9H20", class_="ruling")] if tint is None else []
    box = tag("path", d="M0 0H20V12H0Z", fill=tint or "none", class_="swatch")
    return tag("svg", box, *ruled, viewBox="0 0 20 12", aria_hidden="true")


def _outline_swatch(stroke: LineStyle) -> Markup:
    dashes = " ".join(f"{dash * PER_MM:g}" for dash in stroke.dashes) or None
    width = round(stroke.width * PER_MM, 2)
    path = tag("path", d="M1 1H19V11H1Z", fill="none", stroke=stroke.colour, stroke_width=width, stroke_dasharray=dashes)
    return tag("svg", path, viewBox="0 0 20 12", aria_hidden="true")


def _cut_slider(state: PageState) -> Markup | None:
    cut = state.look.cut
    if cut.kind in ("none", "near"):
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
