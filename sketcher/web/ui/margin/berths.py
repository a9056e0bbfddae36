"""Each berth with its clear length and what is missing to the person's stature."""

from __future__ import annotations

from sketcher.analysis.results import BerthFigures
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.tables.sure.certainty import Certainty
from sketcher.outputs.wording.quantities import length, length_with_unit
from sketcher.outputs.wording.say import listed
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag


def berths_section(state: PageState) -> Markup | None:
    """The table of berths; None where there is none."""
    berths = state.evaluation.berths
    if not berths:
        return None
    units = state.evaluation.scene.units
    head = tag(
        "tr",
        tag("th", "Berth", scope="col"),
        tag("th", f"length, {units}", scope="col", class_="number"),
        tag("th", "shoulder / foot", scope="col", class_="number"),
    )
    selected, sure = state.selected, state.certainty
    rows = [_row(berth, units, sure, chosen=selected == ObjectRef("berth", berth.name)) for berth in berths]
    return tag("section", tag("h2", "Berths"), tag("table", tag("thead", head), tag("tbody", *rows)), aria_label="Berths")


def _row(berth: BerthFigures, units: str, sure: Certainty | None, *, chosen: bool) -> Markup:
    ref = ObjectRef("berth", berth.name)
    verdict, short = _verdict(berth, units)
    band = ""
    if sure is not None:
        band = sure.either_way(f"berths.{berth.name}.length_m", berth.length, units)
        verdict += sure.doubt(f"berths.{berth.name}.fits", "not" if berth.fits else "there is room") if verdict else ""
    words = tag("small", verdict, class_="sign" if short else None) if verdict else None
    widths = f"{length(berth.shoulder_width, units)} / {length(berth.foot_width, units)}"
    return tag(
        "tr",
        tag("td", button(join(berth.name, words), "select", class_="name", data_part=ref.key)),
        tag(
            "td",
            length(berth.length, units),
            tag("small", band) if band else None,
            class_="number",
            data_figure=f"berth/{berth.name}",
        ),
        tag("td", widths, class_="number"),
        class_="chosen" if chosen else None,
        data_key=ref.key,
    )


def _verdict(berth: BerthFigures, units: str) -> tuple[str, bool]:
    """Whether they have room who are to lie there, in words, and whether they lack it; nothing where it is not known."""
    whom = listed(berth.who) or length_with_unit(berth.stature, units)
    if berth.fits is None:
        return "", False
    if berth.fits:
        return f"room for {whom}{', but not fore and aft' if berth.not_fore_and_aft else ''}", False
    if berth.short_by is None:
        return f"no place for {whom}", True
    return f"{length_with_unit(berth.short_by, units)} short for {whom}", True
