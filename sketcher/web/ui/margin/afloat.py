"""How she floats at the stated waterline, and beside it with the changes in weight."""

from __future__ import annotations

from sketcher.analysis.afloat.doubts import afloat_doubts
from sketcher.analysis.loading.weights import Loaded, with_changes
from sketcher.analysis.results import Floating, WaterPlane
from sketcher.outputs.tables.afloat_report import gm_in_words
from sketcher.outputs.wording.quantities import STIFF, UNKNOWN, a_length_more, borne, length, mass_unit, masses, plain
from sketcher.outputs.wording.sentences import words
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, join, tag


def afloat_section(state: PageState) -> Markup | None:
    """The table of how she floats; None without a waterline. An estimate is called one."""
    evaluation = state.evaluation
    if evaluation.water is None:
        return None
    units, then = evaluation.scene.units, with_changes(evaluation)
    changed: dict[str, str] = {}
    if then is not None:
        afloat = then.floating or Floating(displacement=then.mass)
        changed = {key: value for _, key, _, value in _figures(afloat, then.water, units)}
        if then.mass is not None:
            stated = borne(evaluation.floating.displacement, afloat_doubts(evaluation.floating, evaluation.water).displacement, 0)
            changed["displacement"] = f"{stated} {then.change:+.0f}"
    rows = []
    for word, key, unit, value in _figures(evaluation.floating, evaluation.water, units):
        if key == "gm" and evaluation.scene.centre_of_gravity_height is None:
            continue
        estimate = tag("small", "estimate") if key in evaluation.floating.estimated else None
        band = _band(state, key, value)
        cells = [tag("td", word, estimate, class_="word"), tag("td", _with_unit(value, unit, band), class_="number")]
        if changed:
            cells.append(tag("td", _with_unit(changed[key], unit), class_="number", data_figure=f"changed/{key}"))
        rows.append(tag("tr", *cells, data_key=key))
    head, note = (None, None) if then is None else (_head(then, units), _note(then, units))
    heading = "Afloat, by a guessed waterline" if "waterline" in evaluation.scene.guessed else "Afloat"
    return tag("section", tag("h2", heading), tag("table", head, tag("tbody", *rows)), note, aria_label="Afloat")


BANDED = {
    "displacement": "floating.displacement_kg",
    "forward": "waterline.forward_m",
    "after": "waterline.after_m",
    "draft": "floating.draft_m",
    "forward_freeboard": "floating.forward_freeboard_m",
    "least_freeboard": "floating.least_freeboard_m",
    "gm": "floating.gm_m",
    "trim": "waterline.trim_deg",
}
"""Where the report's JSON has what is shown with its band."""


def _band(state: PageState, key: str, value: str) -> str:
    """Half a figure's band, to stand behind it; nothing where none is known."""
    at = state.evaluation.floating
    if state.certainty is None or key not in BANDED or value == UNKNOWN or (key == "gm" and (at.gm or 0.0) >= STIFF):
        return ""
    return state.certainty.either_way(BANDED[key], 0.0, state.evaluation.scene.units)


def _head(then: Loaded, units: str) -> Markup:
    columns = ("as stated", f"with {masses(then.change, units):+.0f} {mass_unit(units)}")
    return tag("thead", tag("tr", tag("td"), *(tag("th", word, scope="col", class_="number") for word in columns)))


def _note(then: Loaded, units: str) -> Markup:
    """What the right column is, and why it is an estimate or not known."""
    mark = "Estimate" if then.estimated else "Not known" if then.water is None else "Warning"
    said = "" if then.reason is None else f"{mark}: {words(then.reason, units)}. "
    stated = "Right: with the changes in weight. Litres and drawings are at the waterline as stated."
    return tag("p", f"{said}{stated}", class_="small")


def _figures(at: Floating, water: WaterPlane | None, units: str) -> tuple[tuple[str, str, str, str], ...]:
    """Word, key, unit and value of each figure of a boat afloat."""
    doubts, of = afloat_doubts(at, water), mass_unit(units)
    sinks = "Kilograms per cm" if of == "kg" else "Pounds per inch"
    return (
        ("Displacement", "displacement", of, borne(masses(at.displacement, units), masses(doubts.displacement, units), 0)),
        ("Water at the bow", "forward", units, length(water.forward if water else None, units)),
        ("Water at the stern", "after", units, length(water.after if water else None, units)),
        ("Draft", "draft", units, length(at.draft, units)),
        ("Freeboard forward", "forward_freeboard", units, length(at.forward_freeboard, units)),
        ("Least freeboard", "least_freeboard", units, length(at.least_freeboard, units)),
        (sinks, "kg_per_cm", of, borne(a_length_more(at.kg_per_cm, units), a_length_more(doubts.kg_per_cm, units), 0)),
        ("Metacentric height GM", "gm", "", gm_in_words(at.gm, doubts.gm, units)),
        ("Trim, by the bow", "trim", "°", plain(water.trim_deg if water else None, 2)),
    )


def _with_unit(value: str, unit: str, band: str = "") -> Markup:
    behind = f"{band} {unit}".strip()
    return join(value) if value == UNKNOWN else join(value, " ", tag("span", behind, class_="unit"))
