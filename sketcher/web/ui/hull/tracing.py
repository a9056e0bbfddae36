"""The picture of her lines that sections are traced on."""

from __future__ import annotations

from sketcher.web.typed_state import HullState
from sketcher.web.ui.html import Markup, button, tag

POINTS = ("first", "second")


def tracing_place(now: HullState) -> Markup:
    """What chooses the picture, what is known of two points of it, and the picture with her sections over it."""
    traced = now.traced
    # The browser's own: the picture never leaves it.
    file = tag("label", "Picture ", tag("input", type="file", id="trace-file", accept="image/*,.pdf"))
    zoom = tag("label", "Larger ", tag("input", type="range", id="trace-zoom", min=100, max=500, value=100))
    tools = tag("div", file, zoom, class_="row", data_own="yes", data_key="trace-tools")
    rows = [tag("summary", "Trace her sections on a picture"), tools, tag("p", traced.next, role="status")]
    if traced.overlay:
        rows += [_known(now), _station(now), _paper(traced.overlay)]
    return tag("details", *rows, class_="tracing", data_key="tracing")


def _known(now: HullState) -> Markup:
    """Where the two marked points are."""
    units, cells = now.hull.units, []
    for number, (which, texts) in enumerate(zip(POINTS, now.traced.known, strict=True), 1):
        boxes = [
            tag(
                "td",
                tag(
                    "input",
                    type="text",
                    value=text,
                    data_do="hull_known",
                    data_field=f"{number}.{axis}",
                    data_key=f"known/{number}.{axis}",
                    autocomplete="off",
                    inputmode="decimal",
                    aria_label=f"{which.capitalize()} point, {word}, {units}",
                ),
            )
            for axis, (word, text) in enumerate(zip(("right of the centreline", "height"), texts, strict=True), 1)
        ]
        cells.append(tag("tr", tag("th", which, scope="row"), *boxes))
    titles = tag("tr", tag("td"), *(tag("th", word, scope="col") for word in (f"right of the centreline, {units}", "height")))
    again = button("Mark both again", "hull_picture", class_="plain")
    return tag("div", tag("table", tag("thead", titles), tag("tbody", *cells)), again, class_="row", data_key="trace-known")


def _station(now: HullState) -> Markup:
    """The station that is traced, and those before and after it."""
    last = len(now.hull.stations)
    before, after = (
        button(word, "hull_look", data_station=to, class_="plain", disabled=not 1 <= to <= last)
        for word, to in (("Station before", now.chosen - 1), ("Next station", now.chosen + 1))
    )
    return tag("div", before, after, class_="row", data_key="trace-station")


def _paper(overlay: str) -> Markup:
    drawn = tag("div", data_own="yes", id="trace-picture"), Markup(overlay)
    words = "The picture: arrows move the cross, Enter clicks"
    paper = tag("div", *drawn, id="trace-paper", tabindex=0, role="group", aria_label=words)
    return tag("div", paper, class_="scroll", data_key="trace-scroll")
