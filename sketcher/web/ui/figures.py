"""The figures in the margin: compartments with their gauges, berths, how she floats, and what was noticed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from urllib.parse import quote

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.loading.weights import with_changes
from sketcher.analysis.results import Compartment, Floating, WaterPlane
from sketcher.analysis.sources import SOURCES
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.outputs.wording.quantities import (
    UNKNOWN,
    by_severity,
    flooded_words,
    length,
    length_with_unit,
    litres,
    plain,
    share,
)
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import message, words
from sketcher.web.state import ObjectRef, PageState
from sketcher.web.ui.html import Markup, button, join, tag

GAUGE_HEIGHT, GAUGE_WIDTH = 30, 9
"""Pixels."""
LEAST_LEVEL = 0.04
"""Share of a gauge that stays visible on either side where a space crosses the waterline by ever so little."""
SEVERITY_WORDS = {"stop": "Stop", "warn": "Mind", "note": "Note"}


_HEAD = tag(
    "thead",
    tag(
        "tr",
        tag("th", tag("span", "water in it", class_="unseen"), scope="col", class_="gauge"),
        tag("th", "Compartment", scope="col"),
        tag("th", "litres", scope="col", class_="number"),
        tag("th", "below", scope="col", class_="number", title="litres below the waterline"),
    ),
)


def compartments(state: PageState) -> Markup:
    """The list of compartments, without what stands in its rows: see `space_rows`."""
    rows = []
    for known in known_spaces(state.lying or state.evaluation):
        part = ObjectRef("compartment", known.name)
        chosen = "chosen" if state.selected == part else None
        rows.append(tag("tr", class_=chosen, id=_row_of(known), data_key=part.key, data_own="true"))
    foot = tag("tfoot", tag("tr", id="spaces-together", data_own="true"))
    return tag(
        "section",
        tag("h2", "Compartments"),
        tag("table", _HEAD, tag("tbody", *rows), foot, class_="spaces"),
        aria_label="Compartments",
    )


def _row_of(known: KnownSpace) -> str:
    return f"space-{quote(known.name, safe='')}"


def space_rows(state: PageState) -> dict[str, Markup]:
    """Of each compartment gauge, name with its signs, litres and litres below the waterline, by its row; and their totals."""
    spaces = known_spaces(state.lying or state.evaluation)
    rows = {_row_of(known): _space_row(state, known) for known in spaces}
    together = join(
        tag("td"),
        tag("td", "Together"),
        tag("td", litres(_total(space.volume for space in spaces)), class_="number"),
        tag("td", litres(_total(space.below for space in spaces)), class_="number"),
    )
    return {**rows, "spaces-together": together}


def _total(parts: Iterable[float | None]) -> float | None:
    """The sum [m3]; None where a part is not known."""
    known = list(parts)
    return None if any(part is None for part in known) else sum(part for part in known if part is not None)


def _space_row(state: PageState, known: KnownSpace) -> Markup:
    part = ObjectRef("compartment", known.name)
    words = join(known.name, tag("small", _position_words(known, state.water_in)), *_signs(state.evaluation, known.space))
    return join(
        tag("td", gauge(state.lying or state.evaluation, known), class_="gauge"),
        tag("td", button(words, "select", class_="name", data_part=part.key)),
        tag("td", _volume(known), class_="number", data_figure=f"litres/{known.name}"),
        tag("td", litres(known.below), class_="number", data_figure=f"below/{known.name}"),
    )


def _volume(known: KnownSpace) -> Markup:
    """Litres; of a space that runs out of the measured part only the least is known."""
    if known.at_least is not None:
        return join(tag("small", "at least"), litres(known.at_least))
    return join(litres(known.volume))


def _position_words(known: KnownSpace, water_in: Mapping[str, float | None]) -> str:
    """Use and relation to the water in a few words; of a flooded space the water in it."""
    if known.name in water_in:
        return f"{known.space.use} · {flooded_words(water_in[known.name])}"
    if known.position is None:
        return known.space.use
    crossing = f"{share(known.below, known.volume)} below water" if known.below is not None else "crosses the water"
    where = {"below": "below water", "above": "above water", "crosses": crossing}
    return f"{known.space.use} · {where[known.position]}"


def _signs(evaluation: Evaluation, space: Compartment) -> list[Markup]:
    """A plain sign where a space is not closed or not tight, each with its reason."""
    signs = []
    if not space.bounded:
        signs.append(tag("small", tag("span", "not closed", class_="sign"), ": runs out of the measured part"))
    if not space.watertight:
        ways = [way for way in evaluation.layout.ways if space.name in way.between]
        reasons = [f"{way.name} to {_other(way.between, space.name)}" for way in ways[:2]]
        more = f" and {len(ways) - 2} more" if len(ways) > 2 else ""
        reason = f": {', '.join(reasons) or ', '.join(space.open_to)}{more}"
        signs.append(tag("small", tag("span", "not tight", class_="sign"), reason))
    return signs


def _other(between: tuple[str, str], name: str) -> str:
    return between[1] if between[0] == name else between[0]


def gauge(evaluation: Evaluation, known: KnownSpace) -> Markup:
    """An upright gauge as high as the space, filled to where the waterline stands in it; `?` where that is not known."""
    space, level = known.space, 0.0
    if evaluation.water is not None:
        x, y, _ = space.centroid
        level = (evaluation.water.height(x, y) - space.lowest) / max(space.highest - space.lowest, 1e-9)
        level = {"below": 1.0, "above": 0.0}.get(known.position or "", min(max(level, LEAST_LEVEL), 1.0 - LEAST_LEVEL))
    return _gauge(level)


@lru_cache(maxsize=256)
def _gauge(level: float) -> Markup:
    filled = level * GAUGE_HEIGHT
    box = tag("rect", x=0.5, y=0.5, width=GAUGE_WIDTH, height=GAUGE_HEIGHT, class_="gauge-box")
    water = tag(
        "rect", x=1, y=round(GAUGE_HEIGHT - filled + 0.5, 2), width=GAUGE_WIDTH - 1, height=round(filled, 2), class_="gauge-water"
    )
    size = {"width": GAUGE_WIDTH + 1, "height": GAUGE_HEIGHT + 1}
    return tag("svg", box, water, **size, role="img", aria_label=f"water up to {100 * level:.0f} % of its height")


def berths(state: PageState) -> Markup | None:
    """Each berth with its clear length and what is missing to the person's stature."""
    rooms = state.evaluation.berths
    if not rooms:
        return None
    units = state.evaluation.scene.units
    rows = []
    for room in rooms:
        part = ObjectRef("berth", room.name)
        whom = listed(room.who) or length_with_unit(room.stature, units)
        if room.fits is None:
            verdict, sign = "", ""
        elif room.fits:
            verdict, sign = f"room for {whom}", ""
        elif room.short_by is None:
            verdict, sign = f"no place for {whom}", "sign"
        else:
            verdict, sign = f"{length_with_unit(room.short_by, units)} short for {whom}", "sign"
        name = button(
            join(room.name, tag("small", verdict, class_=sign or None) if verdict else None),
            "select",
            class_="name",
            data_part=part.key,
        )
        widths = f"{length(room.shoulder_width, units)} / {length(room.foot_width, units)}"
        rows.append(
            tag(
                "tr",
                tag("td", name),
                tag("td", length(room.length, units), class_="number", data_figure=f"berth/{room.name}"),
                tag("td", widths, class_="number"),
                class_="chosen" if state.selected == part else None,
                data_key=part.key,
            )
        )
    head = tag(
        "tr",
        tag("th", "Berth", scope="col"),
        tag("th", f"length, {units}", scope="col", class_="number"),
        tag("th", "shoulder / foot", scope="col", class_="number"),
    )
    return tag("section", tag("h2", "Berths"), tag("table", tag("thead", head), tag("tbody", *rows)), aria_label="Berths")


def floating_part(state: PageState) -> Markup | None:
    """How she floats at the stated waterline, and beside it with the changes in weight; an estimate is called one."""
    evaluation = state.evaluation
    if evaluation.water is None:
        return None
    units, then = evaluation.scene.units, with_changes(evaluation)
    stated = _afloat(evaluation.floating, evaluation.water, units)
    if evaluation.scene.centre_of_gravity_height is None:
        stated = tuple(row for row in stated if row[1] != "gm")
    changed = None if then is None else _afloat(then.floating or Floating(displacement=then.mass), then.water, units)
    rows = []
    for word, key, unit, value in stated:
        estimate = tag("small", "estimate") if key in evaluation.floating.estimated else None
        cells = [tag("td", word, estimate, class_="word"), tag("td", _with_unit(value, unit), class_="number")]
        if changed is not None:
            value = next(text for _, other, _, text in changed if other == key)
            cells.append(tag("td", _with_unit(value, unit), class_="number", data_figure=f"changed/{key}"))
        rows.append(tag("tr", *cells, data_key=key))
    head = note = None
    if then is not None:
        columns = ("as stated", f"with {then.change:+.0f} kg")
        head = tag("thead", tag("tr", tag("td"), *(tag("th", word, scope="col", class_="number") for word in columns)))
        mark = "Estimate" if then.estimated else "Not known" if then.water is None else "Mind"
        said = "" if then.reason is None else f"{mark}: {words(then.reason, units)}. "
        note = tag(
            "p", f"{said}Right: with the changes in weight. Litres and drawings are at the waterline as stated.", class_="small"
        )
    return tag("section", tag("h2", "Afloat"), tag("table", head, tag("tbody", *rows)), note, aria_label="Afloat")


def _afloat(at: Floating, water: WaterPlane | None, units: str) -> tuple[tuple[str, str, str, str], ...]:
    """Word, key, unit and value of each figure of a boat afloat."""
    return (
        ("Displacement", "displacement", "kg", plain(at.displacement, 0)),
        ("Water at the bow", "forward", units, length(water.forward if water else None, units)),
        ("Water at the stern", "after", units, length(water.after if water else None, units)),
        ("Draft", "draft", units, length(at.draft, units)),
        ("Freeboard forward", "forward_freeboard", units, length(at.forward_freeboard, units)),
        ("Least freeboard", "least_freeboard", units, length(at.least_freeboard, units)),
        ("Kilograms per cm", "kg_per_cm", "kg", plain(at.kg_per_cm, 0)),
        ("Metacentric height GM", "gm", units, length(at.gm, units)),
        ("Trim, by the bow", "trim", "°", plain(water.trim_deg if water else None, 2)),
    )


def _with_unit(value: str, unit: str) -> Markup:
    return join(value) if value == UNKNOWN else join(value, " ", tag("span", unit, class_="unit"))


def noticed(state: PageState) -> Markup:
    """Findings in words, the gravest first; each leads to what it is about."""
    found = by_severity(state.evaluation.findings)
    items = [finding_item(finding, number, state.evaluation.scene.units) for number, finding in enumerate(found)]
    body = tag("ul", *items, class_="findings") if items else tag("p", "Nothing to mind in this layout.", class_="small")
    return tag("section", tag("h2", "Noticed"), body, aria_label="Noticed")


def finding_item(finding: Finding, number: int, unit: str) -> Markup:
    """One finding; a note is folded to its first line, so that what must be minded and the parts stay in sight."""
    source = SOURCES.get(finding.source) if finding.source else None
    rests = tag("small", f"{source.title} ({source.standing}; {finding.binding or source.binding})") if source else None
    kind, key = tag("span", SEVERITY_WORDS[finding.severity], class_="kind"), f"{finding.code}/{finding.object}/{number}"
    if finding.severity == "note":
        folded = tag("summary", kind, tag("span", message(finding, unit), class_="line"))
        shown = button("Show what it is about", "find", data_object=finding.object)
        return tag("li", tag("details", folded, rests, shown, data_key=f"fold/{key}"), class_="note", data_key=key)
    whole = button(join(kind, tag("span", message(finding, unit), rests)), "find", data_object=finding.object)
    return tag("li", whole, class_=finding.severity, data_key=key)
