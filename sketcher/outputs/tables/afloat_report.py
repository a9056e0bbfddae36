"""How she floats, as the report tells it: each figure to the digits that the measurements can bear."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.afloat.doubts import READING, AfloatDoubts, afloat_doubts
from sketcher.analysis.afloat.hydrostatics import PAINT_COATS, PAINT_SPREAD, bottom_paint
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Floating
from sketcher.outputs.tables.sure.certainty import Certainty, unit_of
from sketcher.outputs.wording.known_spaces import why_unknown
from sketcher.outputs.wording.quantities import (
    FOOT,
    STIFF,
    UNKNOWN,
    a_length_more,
    a_step,
    borne,
    borne_length,
    length_with_unit,
    mass_unit,
    masses,
    metacentric,
    run_unit,
    table,
    wrap,
)

TWO_HULLS = "two hulls: stiff, which says nothing of capsizing"


@dataclass(frozen=True, slots=True)
class _Figure:
    """A row about the boat. what: in words; field: of `Floating`; text: with its unit; extra: put behind it."""

    what: str
    field: str
    text: str
    extra: str = ""


BANDED = {
    "displacement": "displacement_kg",
    "draft": "draft_m",
    "forward_freeboard": "forward_freeboard_m",
    "after_freeboard": "after_freeboard_m",
    "least_freeboard": "least_freeboard_m",
    "least_opening_clear": "least_opening_clear_m",
    "waterplane_area": "waterplane_area_m2",
    "kg_per_cm": "kg_per_cm",
    "moment_per_cm": "moment_per_cm_kgm",
    "centre_of_flotation": "centre_of_flotation_m",
    "gm": "gm_m",
}
"""Figures that are told with their bands where these are known: fields of `Floating` by their keys in the report's JSON."""


def floating_section(evaluation: Evaluation, unit: str, width: int, sure: Certainty | None = None) -> list[str]:
    """How she floats as stated: a row for each figure, and why it is not known or only estimated. sure: with their bands."""
    floating = evaluation.floating
    rows = []
    doubts = afloat_doubts(floating, evaluation.water)
    twin = evaluation.scene.hull.twin_spacing is not None
    for figure in _figures(floating, doubts, unit, twin, banded=sure is not None):
        known = getattr(floating, figure.field) is not None
        remark = figure.extra if known else why_unknown(evaluation, figure.field)
        if figure.field in floating.estimated:
            remark = f"{remark + '; ' if remark else ''}ESTIMATE from what is stated of the whole boat"
        text = figure.text if sure is None else _with_band(figure, floating, unit, sure)
        rows.append((figure.what, text if known else UNKNOWN, remark))
    if not evaluation.scene.hull.open_aft:
        low, high = evaluation.layout.hull.outside.bounds
        long, wide = (length_with_unit(float(each), unit) for each in (high - low)[:2])
        rows.insert(0, ("length over all, as measured", long, f"{wide} wide"))
    guessed = "waterline" in evaluation.scene.guessed
    at = "GUESSED" if guessed else "STATED"
    lines = table((f"AFLOAT AT THE {at} WATERLINE", "", ""), rows, "<><", name_width=40)
    if floating.wetted_surface is not None:
        lines += wrap(_paint(floating.wetted_surface), width)
    as_read = "She lies as when the waterline was read: people and stores ashore then are not in these figures."
    if guessed:
        as_read = "Nobody read her waterline: how far the guess is out no rounding tells."
    off = length_with_unit(READING, unit)
    bands = "" if evaluation.scene.hull.apart else "; how sure all is: `report --bands`"
    rounded = f"Rounded as if her breadths, or her waterline, were read {off} out{bands}. "
    rounded = rounded if sure is None else ""
    lines += wrap(f"{rounded}{as_read}", width)
    return lines


def _with_band(figure: _Figure, floating: Floating, unit: str, sure: Certainty) -> str:
    """A figure with its band and then its unit; two hulls' metacentric height, and where no band is known, as it is."""
    value: float | None = getattr(floating, figure.field) if figure.field in BANDED else None
    path = f"floating.{BANDED.get(figure.field, '')}"
    if value is None or sure.half(path) is None or (figure.field == "gm" and value >= STIFF):
        return figure.text
    behind = {"waterplane_area": "m²", "kg_per_cm": mass_unit(unit), "moment_per_cm": _turns(unit)}.get(figure.field)
    return f"{sure.told(path, figure.text, value, unit)} {behind or unit_of(path, unit)}".rstrip()


def _turns(unit: str) -> str:
    """The unit of a moment beside lengths in `unit`."""
    return f"{mass_unit(unit)} {run_unit(unit)}"


def _paint(wetted: float) -> str:
    """What bottom paint the wetted surface [m2] takes."""
    return (
        f"Bottom paint up to this waterline: {PAINT_COATS} coats at {PAINT_SPREAD:.0f} m² a litre take "
        f"{bottom_paint(wetted) * 1000:.1f} litres, keel and rudder not counted (common practice, from memory: go by the tin)."
    )


def _figures(floating: Floating, doubts: AfloatDoubts, unit: str, twin: bool, banded: bool) -> list[_Figure]:
    buoyancy, least_at = floating.centre_of_buoyancy, floating.least_freeboard_at
    canoe = f"hull without appendages {length_with_unit(floating.canoe_body_draft, unit)}" if floating.canoe_body_draft else ""
    at = ""
    if least_at is not None:
        side = "starboard" if least_at[1] > 0 else "port"
        at = f"{length_with_unit(least_at[0], unit)} aft, {side}"
    centre = ""
    if buoyancy is not None:
        centre = f"aft; {length_with_unit(buoyancy[2], unit)} up"
        if twin:
            centre += ", midway between the hulls"
        elif abs(buoyancy[1]) >= 0.0005:
            centre += f", {length_with_unit(abs(buoyancy[1]), unit)} to {'starboard' if buoyancy[1] > 0 else 'port'}"
    stiff = floating.gm is not None and floating.gm >= STIFF
    give = (
        ""
        if doubts.displacement is None or banded
        else f"{_mass(doubts.displacement, doubts.displacement / 10, unit)} for {length_with_unit(READING, unit)} of waterline"
    )
    litres_of = None if floating.volume is None else 1000 * floating.volume
    water = f"{borne(litres_of, None if doubts.volume is None else 1000 * doubts.volume, 0)} litres of water"
    weighed = "; ".join(said for said in (give, water if litres_of is not None else "") if said)
    return [
        _Figure("displacement", "displacement", _mass(floating.displacement, doubts.displacement, unit), weighed),
        _Figure("draft", "draft", length_with_unit(floating.draft, unit), canoe),
        _Figure("freeboard at the bow", "forward_freeboard", length_with_unit(floating.forward_freeboard, unit)),
        _Figure("freeboard at the stern", "after_freeboard", length_with_unit(floating.after_freeboard, unit)),
        _Figure("least freeboard", "least_freeboard", length_with_unit(floating.least_freeboard, unit), at),
        _Figure("lowest opening above the water", "least_opening_clear", length_with_unit(floating.least_opening_clear, unit)),
        _Figure("waterplane", "waterplane_area", f"{borne(floating.waterplane_area, doubts.waterplane_area, 2)} m²"),
        _Figure(
            "wetted surface",
            "wetted_surface",
            f"{borne(floating.wetted_surface, doubts.wetted_surface, 2)} m²",
            "without keel and rudder",
        ),
        _Figure(f"sinks {a_step(unit)} for", "kg_per_cm", f"{_deeper(floating, doubts, unit)} {mass_unit(unit)}"),
        _Figure(f"trims {a_step(unit)} over her length for", "moment_per_cm", _moment(floating, doubts, unit)),
        _Figure(
            "trims about (centre of flotation)",
            "centre_of_flotation",
            length_with_unit(floating.centre_of_flotation, unit),
            "aft",
        ),
        _Figure("centre of buoyancy", "centre_of_buoyancy", length_with_unit(buoyancy[0] if buoyancy else None, unit), centre),
        _Figure("metacentric height GM", "gm", gm_in_words(floating.gm, doubts.gm, unit), TWO_HULLS if stiff else ""),
    ]


def _mass(kilograms: float | None, doubt: float | None, unit: str) -> str:
    return f"{borne(masses(kilograms, unit), masses(doubt, unit), 0)} {mass_unit(unit)}"


def _deeper(floating: Floating, doubts: AfloatDoubts, unit: str) -> str:
    """What sinks her a step, in the `mass_unit`, to what is known of it."""
    return borne(a_length_more(floating.kg_per_cm, unit), a_length_more(doubts.kg_per_cm, unit), 1)


def _moment(floating: Floating, doubts: AfloatDoubts, unit: str) -> str:
    """The moment that trims her so far [kg m for a centimetre], in the reader's unit."""
    arm = 1.0 if run_unit(unit) == "m" else FOOT
    value, doubt = (a_length_more(each, unit) for each in (floating.moment_per_cm, doubts.moment_per_cm))
    told = borne(None if value is None else value / arm, None if doubt is None else doubt / arm, 1)
    return f"{told} {_turns(unit)}"


def gm_in_words(gm: float | None, doubt: float | None, unit: str) -> str:
    """A metacentric height [m] with its unit, to what can be known of it; of two hulls in metres or feet."""
    if gm is not None and abs(gm) >= STIFF:
        return " ".join(metacentric(gm, unit))
    return borne_length(gm, doubt, unit)
