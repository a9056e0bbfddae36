"""What of the hull is entered in figures beside her stations: stem, transom, deck, coachroof, cockpit, appendages."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.model.units import format_length
from sketcher.web.typed_state import FieldRow, HullState
from sketcher.web.ui.html import Markup, button, join, tag
from sketcher.web.ui.hull.stations import number_box, why_refused, why_row

WITHOUT = {
    "stem": "She ends forward at her first station.",
    "stern": "She ends aft at her last station.",
    "coachroof": "She has none.",
    "cockpit": "She has none.",
}
"""What is so where the hull has no such part."""


def hull_parts(now: HullState) -> Iterator[Markup]:
    """Each part a group of fields, in the order in which they are measured."""
    yield _profile(now, "stem")
    yield _group(now, "Transom", now.parts["transom"])
    yield _profile(now, "stern")
    yield _group(now, "Deck", now.parts["deck"])
    for part in ("coachroof", "cockpit"):
        yield _group(now, part.capitalize(), now.parts[part], part) if part in now.parts else _missing(part)
    for part, rows in now.parts.items():
        if part.startswith("appendages."):
            yield _group(now, part.partition(".")[2], rows, part)
    yield _new_appendage()
    yield _group(now, "The hull as a whole", now.whole)
    yield _group(now, "How she stood when measured", now.parts["measured"])


def _group(now: HullState, title: str, rows: tuple[FieldRow, ...], part: str = "") -> Markup:
    """Fields under a heading. part: what can be taken away as a whole."""
    out = _out(part) if part else None
    outline = _outline(now, part) if part.startswith("appendages.") else None
    fields = tag("div", *(_field(now, row) for row in rows), class_="fields")
    return tag(
        "section",
        tag("header", tag("h3", title, outline and outline[0]), outline and outline[1], out),
        fields,
        data_key=f"group/{title}",
        aria_label=title,
    )


def _outline(now: HullState, part: str) -> tuple[Markup | None, Markup]:
    """What follows from an appendage's outline, and the button that gives it one or takes it away."""
    item = next(each for each in now.hull.appendages if part == f"appendages.{each.name}")
    if not item.outline:
        return None, button("Outline it", "hull_outline", data_name=item.name, class_="plain")
    told = tag("span", f"{1000.0 * item.volume:.0f} litres", class_="unit")
    return told, button("By its litres", "hull_outline", data_name=item.name, data_out="yes", class_="plain")


def _field(now: HullState, row: FieldRow) -> Markup:
    if not row.options:
        label = tag("label", row.word, number_box(now, row.key, row.text, row.word), data_key=f"label/{row.key}")
        return join(label, why_refused(now, row.key))
    options = [tag("option", option or "not stated", value=option, selected=option == row.text) for option in _options(row)]
    select = tag("select", *options, data_do="hull_set", data_field=row.key)
    return tag("label", row.word, select, data_key=f"label/{row.key}")


def _options(row: FieldRow) -> tuple[str, ...]:
    """What there is to choose from, nothing stated included where nothing is."""
    return row.options if row.text else ("", *row.options)


def _profile(now: HullState, name: str) -> Markup:
    """The stem's or stern's points, from the keel's end up."""
    points = now.hull.stem if name == "stem" else now.hull.stern
    if not points:
        return _missing(name)
    units = now.hull.units
    rows = []
    for k, point in enumerate(points, 1):
        boxes = [
            tag(
                "td",
                number_box(
                    now, f"{name}.{k}.{axis}", format_length(point[axis - 1], units), f"{name.capitalize()}, point {k}, {word}"
                ),
            )
            for axis, word in ((1, f"distance aft, {units}"), (2, f"height, {units}"))
        ]
        words = f"Take point {k} of the {name} out"
        out = button("−", "hull_point", data_place=name, data_number=k, data_out="yes", aria_label=words)
        rows.append(tag("tr", tag("th", k, scope="row"), *boxes, tag("td", out, class_="deeds"), data_key=f"row/{name}/{k}"))
        rows.append(join(why_row(now, 4, *(f"{name}.{k}.{axis}" for axis in (1, 2)))))
    columns = ("", "aft", "height", "")
    titles = tag("tr", *(tag("th", word, scope="col") if word else tag("td") for word in columns))
    add = button("Add a point", "hull_point", data_place=name, data_number=len(points), class_="plain")
    head = tag("header", tag("h3", name.capitalize(), tag("span", "from the keel's end up", class_="unit")), _out(name))
    table = tag("table", tag("thead", titles), tag("tbody", *rows))
    return tag("section", head, table, add, class_="station", data_key=f"group/{name}", aria_label=name.capitalize())


def _missing(part: str) -> Markup:
    add = button(f"Add a {part}", "hull_part", data_name=part, class_="plain")
    words = tag("p", WITHOUT[part], class_="small")
    name = part.capitalize()
    return tag("section", tag("header", tag("h3", name), add), words, data_key=f"group/{part}", aria_label=name)


def _out(part: str) -> Markup:
    name = part.removeprefix("appendages.")
    return button("Take away", "hull_part", data_name=part, data_out="yes", class_="plain", aria_label=f"Take the {name} away")


def _new_appendage() -> Markup:
    box = tag("input", type="text", name="name", placeholder="fin keel, skeg, rudder", autocomplete="off", maxlength=60)
    label = tag("label", "Another appendage ", box)
    return tag("form", label, tag("button", "Add", class_="plain"), data_do="hull_part", class_="row", data_key="new-appendage")
