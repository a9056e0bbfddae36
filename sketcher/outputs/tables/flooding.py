"""Flooding cases as figures for other programs and as a table with one sentence for each case."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.findings import flooding_findings
from sketcher.analysis.flooding.lid_heights import reached
from sketcher.analysis.flooding.results import LID_MARGIN, FloodingCase
from sketcher.analysis.results import Layout
from sketcher.outputs.tables.first import only_while
from sketcher.outputs.tables.flooding_detail import case_detail, lid_heights
from sketcher.outputs.tables.report import WIDTH, notice_lines, waterline_words
from sketcher.outputs.wording.quantities import UNIT_WORDS, UNKNOWN, gm_cell, length, length_with_unit, litres, plain, table, wrap
from sketcher.outputs.wording.sentences import words

STILL_WATER = (
    "Each holed space is open to the sea and vented, and she lies still in calm water: no waves, no free surface in a seaway, "
    "and nothing is said of whether panels and lids hold the water's weight."
)


def case_figures(case: FloodingCase) -> dict[str, Any]:
    """One case under the keys of the JSON figures, with the permeabilities that the scene states by figure, use or contents.

    `estimated` is there, and true, where the figures are estimates. `emptiest` is there where a flooded space may be emptier than
    stated, and has the same figures for that state, with the permeability of each flooded space.
    """
    values: dict[str, Any] = {"holed": list(case.holed), **_state_figures(case)}
    if case.emptiest is not None:
        values["emptiest"] = {"permeability": dict(case.emptiest.shares) or None, **_state_figures(case.emptiest)}
    return values


def _state_figures(case: FloodingCase) -> dict[str, Any]:
    water = case.water
    values: dict[str, Any] = {
        "floods": list(case.floods),
        "verdict": case.verdict,
        "forward_m": water.forward if water else None,
        "after_m": water.after if water else None,
        "heel_deg": water.heel if water and not case.estimated else None,
        "trim_deg": water.trim_deg if water else None,
        "trim_change_deg": case.trim_change,
        "water_m3": case.water_volume,
        "least_freeboard_m": case.least_freeboard,
        "forward_freeboard_m": case.forward_freeboard,
        "after_freeboard_m": case.after_freeboard,
        "gm_m": case.gm,
        "lids": [{"name": lid.name, "clear_of_water_m": lid.clear_of_water} for lid in case.lids],
    }
    return {**values, "estimated": True} if case.estimated else values


def flooding_report(evaluation: Evaluation, cases: Sequence[FloodingCase], units: str | None = None, detail: bool = False) -> str:
    """The cases as a table, then each in words. units: for lengths, else those of the scene's file; detail: all of each case."""
    unit = units or evaluation.scene.units
    head = ("IF HOLED", "takes in, L", "bow", "stern", "heel", "least freeboard", "GM", "verdict")
    lines = [
        evaluation.scene.name,
        f"intact: {_intact_words(evaluation, cases, unit)}",
        "",
        *table(head, [row for case in cases for row in _rows(case, unit)], "<>>>>>><", name_width=34),
        f"Bow and stern: heights of the water above the base line there. Lengths in {UNIT_WORDS[unit]}.",
        *(wrap(EMPTIEST, WIDTH) if any(case.emptiest for case in cases) else []),
        "",
    ]
    for case in cases:
        said = (case_words(case, unit, evaluation.layout), only_while(evaluation.layout, case, cases, unit))
        lines += wrap(f"{' and '.join(case.holed)}: {' '.join(text for text in said if text)}", WIDTH, "    ", "  ")
        lines += case_detail(evaluation, case, unit, WIDTH) if detail else []
    heights = lid_heights(evaluation.layout, cases, unit, WIDTH) if not detail else []
    if heights:
        margin = length_with_unit(LID_MARGIN, unit)
        note = (
            f"Of the cases whose water comes to the lid. Safe height: the lid's `height` that keeps its top {margin} clear of "
            "that case's water, its room filled."
        )
        lines += ["", *heights, *wrap(note, WIDTH)]
    found = flooding_findings(evaluation.layout, cases, contents=evaluation.contents)
    noticed = [finding for finding in found if finding.severity != "note"]
    if noticed:
        lines += ["", "NOTICED", *notice_lines(noticed, unit)]
    lines += ["", *wrap(STILL_WATER, WIDTH)]
    return "\n".join(lines) + "\n"


def _intact_words(evaluation: Evaluation, cases: Sequence[FloodingCase], unit: str) -> str:
    """The waterline she floods from: with the changes in weight where there are any."""
    intact = next((case.intact for case in cases if case.intact is not None), evaluation.water)
    said = waterline_words(intact, unit)
    return f"{said}, with the changes in weight" if said != waterline_words(evaluation.water, unit) else said


def case_words(case: FloodingCase, unit: str, layout: Layout) -> str:
    """The answer of one case in a few sentences: the verdict and why, what else fills, which lids go under; then when empty."""
    said, *emptied = (_state_words(state, unit, layout) for state in case.states)
    return " ".join([said, *("When empty: the same." if more == said else f"When empty: {more}" for more in emptied)])


def _state_words(case: FloodingCase, unit: str, layout: Layout) -> str:
    reason = words(case.reason, unit).removeprefix(AT_REST).removeprefix("; ")
    sentences = [f"{'ESTIMATE: ' if case.estimated else ''}{VERDICTS[case.verdict]}{': ' if reason else ''}{reason}."]
    if case.through and case.verdict != "downfloods":
        sentences.append(f"On the way the sea comes in through {', '.join(case.through)}.")
    others = [name for name in case.floods if name not in case.holed]
    if others:
        sentences.append(f"The water goes on into {', '.join(others)}.")
    if case.verdict == "floats" and case.water_volume is not None and case.water_volume < NOTHING:
        sentences.append("Nothing comes in: it lies above the water.")
    for lid in sorted(case.lids, key=lambda lid: lid.clear_of_water):
        if lid.clear_of_water < 0.0 and reached(layout, lid.name, [case]):
            sentences.append(f"{lid.name} is {length_with_unit(-lid.clear_of_water, unit)} under water at its lowest place.")
    return " ".join(sentences)


NOTHING = 1e-6
"""[m3 of water] that counts as none."""
EMPTIEST = (
    "When empty: with nothing in the flooded spaces that takes up room but bottles, foam and chain placed there; water then "
    "fills 95 % of each, less these. The row above is as stated. The worse of both is warned of."
)
AT_REST = "she comes to rest"
"""A reason that the verdict says already."""
VERDICTS = {
    "floats": "she floats",
    "downfloods": "she downfloods",
    "capsizes": "she capsizes",
    "founders": "she founders",
    "unknown": "not known",
}


def _rows(case: FloodingCase, unit: str) -> list[tuple[str, ...]]:
    """A row for the case as stated, and one beneath it for its emptiest state."""
    stated = (" and ".join(case.holed), *_cells(case, unit))
    return [stated] if case.emptiest is None else [stated, ("  when empty", *_cells(case.emptiest, unit))]


def _cells(case: FloodingCase, unit: str) -> tuple[str, ...]:
    water = case.water
    heel = (
        UNKNOWN
        if water is None
        else f"{plain(abs(water.heel), 1)}°{'' if abs(water.heel) < 0.05 else ' S' if water.heel > 0 else ' P'}"
    )
    return (
        litres(case.water_volume),
        length(water.forward if water else None, unit),
        length(water.after if water else None, unit),
        heel,
        length(case.least_freeboard, unit),
        gm_cell(case.gm, unit),
        f"{case.verdict}{' (estimate)' if case.estimated else ''}",
    )
