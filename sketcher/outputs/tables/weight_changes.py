"""The effect of changes in weight, in the report: before and after side by side, then what each item does by itself."""

from __future__ import annotations

from sketcher.analysis.afloat.doubts import afloat_doubts
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.loading.weights import ItemEffect, Loaded, conditions, loaded
from sketcher.analysis.results import Floating, WaterPlane
from sketcher.outputs.wording.quantities import UNKNOWN, borne, gm_cell, length, mass_unit, masses, table, wrap
from sketcher.outputs.wording.sentences import words


def loads(evaluation: Evaluation, unit: str, width: int) -> list[str]:
    """Lines of the section, empty where nothing changes. One column for each condition that weights are grouped into."""
    layout, water, afloat = evaluation.layout, evaluation.water, evaluation.floating
    named = conditions(layout.scene)
    # Contents bring conditions of their own, beside which the boat as loaded stays of interest.
    shown = (None, *named) if evaluation.contents is not None or not named else named
    cases = [loaded(layout, water, afloat, condition) for condition in shown]
    if not any(case.items for case in cases):
        return []
    names = [case.condition or "changed" for case in cases]
    doubt = afloat_doubts(afloat, water).displacement
    stated = borne(masses(afloat.displacement, unit), masses(doubt, unit), 0)
    columns = [_column(stated, afloat, water, unit), *(_loaded_column(stated, case, unit) for case in cases)]
    rows = [(what, *(column[k] for column in columns)) for k, what in enumerate((f"displacement, {mass_unit(unit)}", *FIGURES))]
    head = ("WITH THE CHANGES IN WEIGHT", STATED, *names)
    lines = table(head, rows, "<" + ">" * (len(head) - 1), name_width=34)
    for name, case in zip(names, cases, strict=True):
        if case.reason is not None:
            mark = "ESTIMATE: " if case.estimated else "not known: " if case.water is None else ""
            lines += wrap(f"{name}: {mark}{words(case.reason, unit)}", width, "    ", "  ")
    return [*lines, "", *_items(cases, unit)]


STATED = "as stated"
FIGURES = (
    "water at the bow",
    "water at the stern",
    "freeboard at the bow",
    "freeboard at the stern",
    "least freeboard",
    "trim",
    "heel",
    "GM",
)


def _loaded_column(stated: str, case: Loaded, unit: str) -> tuple[str, ...]:
    """stated: her displacement as stated, rounded; the change is known better than what it changes."""
    mass = UNKNOWN if case.mass is None else f"{stated} {_change(case.change, unit)}"
    return _column(mass, case.floating or Floating(), case.water, unit)


def _column(mass: str, afloat: Floating, water: WaterPlane | None, unit: str) -> tuple[str, ...]:
    return (
        mass,
        length(None if water is None else water.forward, unit),
        length(None if water is None else water.after, unit),
        length(afloat.forward_freeboard, unit),
        length(afloat.after_freeboard, unit),
        length(afloat.least_freeboard, unit),
        UNKNOWN if water is None else _turn(water.trim_deg, "by the bow", "by the stern"),
        UNKNOWN if water is None else _turn(water.heel, "to starboard", "to port"),
        gm_cell(afloat.gm, unit),
    )


def _turn(degrees: float, positive: str, negative: str) -> str:
    """An angle and which way she goes down."""
    return "none" if abs(degrees) < 0.05 else f"{abs(degrees):.1f}° {positive if degrees > 0 else negative}"


def _items(cases: list[Loaded], unit: str) -> list[str]:
    """Each item once, whatever conditions it belongs to: how much deeper she lies at each end for it."""
    items = {item.name: item for case in cases for item in case.items}
    head = ("EACH CHANGE ALONE", mass_unit(unit), "deeper at bow", "at stern", "heel", "rough check: bow", "stern")
    return table(head, [_item_row(item, unit) for item in items.values()], "<>>>>>>")


def _item_row(item: ItemEffect, unit: str) -> tuple[str, ...]:
    depths = [_signed(value, unit) for value in (item.forward, item.after)]
    hand = [_signed(value, unit) for value in (item.hand_forward, item.hand_after)]
    heel = UNKNOWN if item.heel is None else _turn(item.heel, "to starboard", "to port")
    name = f"{item.name}, planned" if item.planned else item.name
    return (name, _change(item.kg, unit), *depths, heel, *hand)


def _change(kilograms: float, unit: str) -> str:
    """A change of mass with its sign, in the `mass_unit`."""
    return f"{masses(kilograms, unit):+.0f}"


def _signed(value: float | None, unit: str) -> str:
    text = length(value, unit)
    return text if value is None or value <= 0.0 or text == "0" else f"+{text}"
