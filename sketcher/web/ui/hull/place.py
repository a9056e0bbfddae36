"""The hull's place: at the left what is typed, at the right her lines and what comes of it."""

from __future__ import annotations

from sketcher.analysis.findings import Finding, Length
from sketcher.model.hull import Hull
from sketcher.outputs.wording.quantities import counted
from sketcher.outputs.wording.sentences import message
from sketcher.web.state import PageState
from sketcher.web.typed_state import HullState
from sketcher.web.ui.html import Markup, button, join, tag
from sketcher.web.ui.hull.effects import effects
from sketcher.web.ui.hull.parts import hull_parts
from sketcher.web.ui.hull.stations import station_tables
from sketcher.web.ui.hull.tracing import tracing_place


def hull_place(state: PageState) -> Markup:
    """The whole place; nothing while another page is seen."""
    if state.hull is None:
        return Markup("")
    typed = tag("div", _head(state.hull), *station_tables(state.hull), *hull_parts(state.hull), class_="typed")
    said = (_lines(state.hull), tracing_place(state.hull), _doubtful(state.hull), *effects(state))
    # It is scrolled by keys too.
    seen = tag("div", *said, class_="seen", tabindex=0, role="group", aria_label="Her lines, and what comes of her numbers")
    return join(seen, typed)


def _head(now: HullState) -> Markup:
    """Whose hull it is, how much of it is a guess, and how to type."""
    hull = now.hull
    points = sum(len(station.points) for station in hull.stations)
    guessed = sum(len(station.guessed) for station in hull.stations)
    told = f"{counted(len(hull.stations), 'station')}, {counted(points, 'point')}"
    if guessed:
        told += f", of which {guessed} are a first guess: type over them, or Enter to keep one that is right"
    how = f"Lengths in {hull.units}, or with a unit. Enter goes to the next number; Y takes what is likely."
    options = (("alike", "both alike"), ("apart", "measured apart"))
    sides = [tag("option", words, value=value, selected=(value == "apart") == hull.apart) for value, words in options]
    select = tag("select", *sides, data_do="hull_sides", data_key="hull-sides")
    return tag(
        "header",
        tag("h2", hull.name, tag("span", now.file, class_="unit")),
        tag("p", f"{told}.", class_="small", role="status"),
        tag("p", how, class_="small"),
        tag("label", "Port and starboard ", select, class_="row"),
        data_key="hull-head",
    )


def _lines(now: HullState) -> Markup:
    figures = [
        tag("figure", Markup(svg), tag("figcaption", name.capitalize()), class_=name.replace(" ", "-"), data_key=f"lines/{name}")
        for name, svg in now.lines.items()
    ]
    how = tag("p", "Rings are dragged: one drag is one step. Keys: arrows, then Enter.", class_="small") if figures else None
    return tag("div", *figures, how, class_="lines", data_key="lines")


def _doubtful(now: HullState) -> Markup | None:
    """What keeps the numbers from being a hull, and what is probably wrong, each with the key that takes the likely value."""
    judged = now.judged
    if judged is None:
        return tag("p", "Looking the numbers over…", class_="small", role="status", data_key="doubtful")
    stopped = f"{judged.problem.message}. {judged.problem.remedy}" if judged.problem is not None else judged.refused
    meanwhile = " The boat is shown as she was before, or without it."
    items = [tag("li", tag("p", stopped, meanwhile), class_="stop")] if stopped else []
    by_words: dict[str, list[str]] = {}
    for key, doubt in now.doubts.items():
        by_words.setdefault(doubt.words, []).append(key)
    for words, keys in by_words.items():
        takes = [
            button(f"Take {likely}", "hull_set", data_field=key, data_value=likely, class_="plain")
            for key, likely in ((key, now.doubts[key].likely) for key in keys)
        ]
        items.append(tag("li", tag("p", words), tag("div", *takes, class_="row"), class_="warn"))
    items += [_corner(finding, now.hull) for finding in judged.findings if finding.code == "knuckle-not-marked"]
    unseen = [tag("p", message(finding, now.hull.units)) for finding in judged.findings if finding.code == "not-judged"]
    more = tag("details", tag("summary", "What nobody could judge"), *unseen, data_key="unjudged") if unseen else None
    none = "No number stands out of those that could be judged." if unseen else "No number stands out."
    said = [tag("p", none, class_="small")] if not items else [tag("ul", *items)]
    return tag("section", tag("h2", "Doubtful numbers"), *said, more, aria_live="polite", class_="doubtful", data_key="doubtful")


def _corner(finding: Finding, hull: Hull) -> Markup:
    """A corner that is not marked, and the button that marks it."""
    at, point = finding.values["at"], finding.values["point"]
    assert isinstance(at, Length)
    number = next((k for k, station in enumerate(hull.stations, 1) if station.at == at.metres), 0)
    where = {"data_station": str(number), "data_point": str(point)}
    mark = button("Mark it a corner", "hull_knuckle", **where, data_value="yes", class_="plain")
    return tag("li", tag("p", message(finding, hull.units)), tag("div", mark, class_="row"), class_="warn")
