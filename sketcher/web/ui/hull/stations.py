"""The stations as they are typed: each a table of its points, from the centreline up to the sheer."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.model.hull import Point2, Station
from sketcher.model.units import format_length
from sketcher.outputs.wording.quantities import counted
from sketcher.web.typed_state import HullState
from sketcher.web.ui.html import Markup, button, join, tag

MOST_POINTS = 600
"""Points that are shown to be typed at once; of more only the stations about the one that is worked on."""
SIDES = ("half-breadth", "height", "half-breadth", "height")
HARDLY = 0.03
"""[m] Where a number stands at more than this, a 0 is asked about."""
ABOUT = 6
"""Stations that are then shown before and after it."""


def station_tables(now: HullState) -> Iterator[Markup]:
    """All stations, or those about the one that is worked on, and what adds another."""
    hull = now.hull
    many = sum(len(station.points) for station in hull.stations) > MOST_POINTS
    shown = range(max(now.chosen - ABOUT, 1), min(now.chosen + ABOUT, len(hull.stations)) + 1)
    for number, station in enumerate(hull.stations, 1):
        if not many or number in shown:
            yield _station(now, number, station)
    if many:
        yield tag("p", f"{counted(len(hull.stations), 'station')}: those about station {now.chosen} are shown.", class_="small")
    box = tag("input", type="text", name="at", autocomplete="off", inputmode="decimal", aria_label=f"Distance aft, {hull.units}")
    label = tag("label", "Another station at ", box)
    yield tag("form", label, tag("button", "Add", class_="plain"), data_do="hull_station", class_="row", data_key="new-station")


def number_box(now: HullState, key: str, text: str, label: str, **more: str | bool | None) -> Markup:
    """A number to type. What was refused stands in it; beside what is doubtful stands what is likely."""
    refused, doubt = now.refused.get(key), now.doubts.get(key)
    by = [f"why-{key}"] * (refused is not None) + [f"likely-{key}"] * (doubt is not None)
    box = tag(
        "input",
        type="text",
        value=text if refused is None else refused.text,
        data_do="hull_set",
        data_field=key,
        data_key=key,
        data_likely=None if doubt is None else doubt.likely,
        autocomplete="off",
        inputmode="decimal",
        aria_label=label,
        aria_invalid="true" if refused is not None else None,
        aria_describedby=" ".join(by) or None,
        class_="doubt" if doubt is not None else None,
        **more,
    )
    return join(box, None if doubt is None else _likely(key, doubt.likely, doubt.short, doubt.words))


def why_refused(now: HullState, *keys: str) -> Markup | None:
    """Why what was typed in some fields could not be taken, and what to type instead."""
    found = [(key, now.refused[key].why) for key in keys if key in now.refused]
    if not found:
        return None
    return join(*(tag("small", why, id=f"why-{key}", class_="refused", role="alert") for key, why in found))


def why_row(now: HullState, columns: int, *keys: str) -> Markup | None:
    """The same as a row of a table, under the numbers."""
    why = why_refused(now, *keys)
    return None if why is None else tag("tr", tag("td", why, colspan=columns), data_key=f"why-row/{keys[0]}")


def _likely(key: str, likely: str, short: str, words: str) -> Markup:
    text = tag("span", tag("b", likely), f" {short}", id=f"likely-{key}")
    return button(
        text, "hull_set", data_field=key, data_key=f"likely/{key}", data_value=likely, title=f"{words} (Y)", class_="likely"
    )


def _station(now: HullState, number: int, station: Station) -> Markup:
    units, name = now.hull.units, f"Station {number}"
    key = f"stations.{number}.at"
    at = number_box(now, key, format_length(station.at, units), f"{name}, distance aft, {units}", data_station=str(number))
    out = button("Take out", "hull_station", data_out="yes", data_number=number, class_="plain", aria_label=f"Take {name} out")
    head = join(tag("header", tag("h3", name), tag("label", f"aft, {units}", at), out), why_refused(now, key))
    columns = ("", *(SIDES if now.hull.apart else SIDES[:2]), "corner", "")
    titles = tag("tr", *(tag("th", word, scope="col") if word else tag("td") for word in columns))
    rows = [_point(now, number, station, k, point) for k, point in enumerate(station.points, 1)]
    add = button("Add a point", "hull_point", data_place=number, data_number=len(station.points), class_="plain")
    problem = now.judged.problem if now.judged is not None else None
    wrong = None
    if problem is not None and f"{problem.key}.".startswith(f"stations.{number}."):
        wrong = tag("small", f"{problem.message}. {problem.remedy}", class_="refused", role="alert")
    over = tag(
        "tr", tag("td"), *(tag("th", word, scope="colgroup", colspan=2) for word in ("starboard", "port")), tag("td", colspan=2)
    )
    table = tag("table", tag("thead", over if now.hull.apart else None, titles), tag("tbody", *rows))
    more = f"{' chosen' if number == now.chosen else ''}{' apart' if now.hull.apart else ''}"
    return tag("section", head, wrong, table, add, class_=f"station{more}", aria_label=name, data_key=f"station/{number}")


def _point(now: HullState, number: int, station: Station, k: int, point: Point2) -> Markup:
    guessed = k in station.guessed
    sides = [("points", "", point)]
    if now.hull.apart:
        sides.append(("port", " to port", station.to_port[k - 1] if k <= len(station.to_port) else point))
    cells = [
        tag("td", _number(now, number, k, (side, words), axis, at, guessed=guessed))
        for side, words, at in sides
        for axis in (1, 2)
    ]
    hard = tag(
        "input",
        type="checkbox",
        checked=k in station.knuckles,
        data_do="hull_knuckle",
        data_key=f"stations.{number}.knuckle.{k}",
        data_station=number,
        data_point=k,
        aria_label=f"Station {number}, point {k} is a hard corner",
    )
    after = button(
        "+", "hull_point", data_place=number, data_number=k, aria_label=f"Add a point after point {k} of station {number}"
    )
    out = button(
        "−", "hull_point", data_place=number, data_number=k, data_out="yes", aria_label=f"Take point {k} of station {number} out"
    )
    row = tag(
        "tr",
        tag("th", k, scope="row"),
        *cells,
        tag("td", hard),
        tag("td", after, out, class_="deeds"),
        class_="guessed" if guessed else None,
        data_key=f"row/{number}/{k}",
    )
    keys = [f"stations.{number}.{side}.{k}.{axis}" for side, _, _ in sides for axis in (1, 2)]
    return join(row, why_row(now, 3 + len(keys), *keys))


def _number(now: HullState, number: int, k: int, side: tuple[str, str], axis: int, at: Point2, *, guessed: bool) -> Markup:
    """One number of a point of a side."""
    units, (name, words) = now.hull.units, side
    # On the centreline there is no half-breadth to type, and one height for both sides.
    skip = k == 1 and at[0] == 0.0 and (axis == 1 or name == "port")
    label = f"Station {number}, point {k}{words}, {SIDES[axis - 1]}, {units}{', guessed' if guessed else ''}"
    more = {
        "data_station": str(number),
        "data_guess": "yes" if guessed and not (skip and name == "port") else None,
        "data_skip": "yes" if skip else None,
        **_asked(k, axis, at, centred=k == 1 and at[0] == 0.0),
    }
    return number_box(now, f"stations.{number}.{name}.{k}.{axis}", format_length(at[axis - 1], units), label, **more)


def _asked(k: int, axis: int, at: Point2, *, centred: bool) -> dict[str, str | None]:
    """What is said beside a number while it is typed, and what a 0 typed in it is asked, where none stands there."""
    beside = "On the centreline the half-breadth is 0 and is not asked." if centred and axis == 2 else None
    zero = None
    if abs(at[axis - 1]) > HARDLY:
        what = f"height of point {k}" if axis == 2 else f"half-breadth of point {k}"
        zero = f"0 as the {what}? {f'{beside} ' if beside else ''}Type the {what}, or press Enter again to keep 0."
    return {"data_beside": beside, "data_zero": zero}
