"""The figures for other programs: one dictionary with the keys of `report --json`, and a table for a spreadsheet.

SI units, as each key's ending says; a figure that cannot be known is None and a finding says why. No NaN, no infinity.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Phrase
from sketcher.analysis.limits.figures import place_along, tallest_who_fits
from sketcher.analysis.limits.results import JudgedLimit
from sketcher.analysis.results import BerthFigures, Floating, WaterPlane
from sketcher.model.scene import Weight
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.outputs.wording.sentences import message, words

CONTENTS_ROWS = {
    "people": "sleeping place",
    "sleepers": "person",
    "stowage": "stowage",
    "openings": "way in",
    "bottles": "bottled space",
    "kinds": "bottles",
    "chains": "chain",
    "foams": "foam",
    "pours": "pour",
    "tanks": "tank",
    "swamped": "swamped",
    "items": "part under water",
}
"""Blocks of what goes into the spaces, and blocks within them, with what the table calls a row of each."""

FLOATING_KEYS = {
    "displacement": "displacement_kg",
    "volume": "volume_m3",
    "draft": "draft_m",
    "canoe_body_draft": "canoe_body_draft_m",
    "centre_of_buoyancy": "centre_of_buoyancy_m",
    "waterplane_area": "waterplane_area_m2",
    "centre_of_flotation": "centre_of_flotation_m",
    "kg_per_cm": "kg_per_cm",
    "moment_per_cm": "moment_per_cm_kgm",
    "gm": "gm_m",
    "forward_freeboard": "forward_freeboard_m",
    "after_freeboard": "after_freeboard_m",
    "least_freeboard": "least_freeboard_m",
    "least_opening_clear": "least_opening_clear_m",
}
"""Fields of `Floating` and the keys they are printed under, in the order printed."""


def figures(evaluation: Evaluation, flooding: Sequence[Mapping[str, Any]] = ()) -> dict[str, Any]:
    """Everything known of a scene as plain values, ready for JSON.

    Where figures are estimates, because only a part of the boat was measured, `floating` has one more key, `estimated`,
    that lists them. flooding: one mapping for each case asked for.
    """
    return {
        "scene": evaluation.scene.name,
        "hull": evaluation.scene.hull.name,
        "waterline": _waterline(evaluation.water),
        "floating": _floating(evaluation.floating),
        "compartments": [_compartment(known) for known in known_spaces(evaluation)],
        "berths": [
            {**_berth(berth), "tallest_m": _number(tallest_who_fits(evaluation, berth.name))} for berth in evaluation.berths
        ],
        "bulkheads": [
            {"name": shape.name, "place": _number(place_along(evaluation, shape.name))}
            for shape in evaluation.layout.panels
            if shape.kind == "bulkhead"
        ],
        "flooding": [_clean(dict(case)) for case in flooding],
        "findings": [_finding(finding) for finding in evaluation.findings],
        **_contents(evaluation),
        **_changed(evaluation),
        **({"limits": [limit_figures(limit) for limit in evaluation.limits]} if evaluation.limits else {}),
    }


def limit_figures(limit: JudgedLimit) -> dict[str, Any]:
    """One limit: its figure by the owner's word and by its path among these figures, and whether it is met; None: not known."""
    stated = limit.stated
    return {
        "name": stated.name,
        "figure": stated.figure,
        "of": stated.of,
        "when_holed": list(stated.when_holed),
        "path": limit.reading.path,
        "side": stated.side,
        "value": _number(limit.reading.value),
        "limit": _number(limit.bound),
        "met": limit.met,
        "margin": _number(limit.margin),
    }


def _contents(evaluation: Evaluation) -> dict[str, Any]:
    """The keys for what goes into the spaces, where the scene has any."""
    if evaluation.contents is None:
        return {}
    from sketcher.outputs.tables.json_contents import contents_figures

    return {key: _clean(value) for key, value in contents_figures(evaluation.contents).items()}


def _changed(evaluation: Evaluation) -> dict[str, Any]:
    """`with_changes`, beside the figures as stated: waterline and floating with all that changes her weight, where anything does.

    `note` says why figures are not known, or are estimates. `weights`: what changes her; `planned` where that is worked out from
    what is planned, and not stated.
    """
    from sketcher.analysis.loading.weights import by_weight, changes, with_changes

    then = with_changes(evaluation)
    if then is None:
        return {}
    afloat = then.floating or by_weight(then.mass, evaluation.scene.water_density)
    return {
        "with_changes": {
            "change_kg": _number(then.change),
            "waterline": _waterline(then.water),
            "floating": _floating(afloat),
            "note": None if then.reason is None else words(then.reason),
            "weights": [_weight(item) for item in changes(evaluation.layout)],
        }
    }


def _weight(item: Weight) -> dict[str, Any]:
    return {"name": item.name, "kg": _number(item.kg), "at_m": [_number(place) for place in item.at], "planned": item.planned}


def as_json(evaluation: Evaluation, flooding: Sequence[Mapping[str, Any]] = (), more: Mapping[str, Any] | None = None) -> str:
    """The figures as JSON text with a line feed at the end; the same scene always gives the same text. more: keys beside them."""
    import json

    return json.dumps({**figures(evaluation, flooding), **(more or {})}, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def as_csv(evaluation: Evaluation) -> str:
    """Compartments, berths, what goes in and the boat afloat as one rectangular table; blank where a figure does not apply.

    Columns are the keys of the JSON figures, points split into `_x`, `_y`, `_z`; the first column says what a row is, and `of`
    which row it is a part of. Outlines and the places of single bottles are only in the JSON figures.
    """
    import csv
    import io

    values = figures(evaluation)
    rows = [{"kind": "compartment", **_flat(space)} for space in values["compartments"]]
    rows += [{"kind": "berth", **_flat(berth)} for berth in values["berths"]]
    rows += [row for block in CONTENTS_ROWS if values.get(block) for row in _rows(block, values[block])]
    rows.append({"kind": "boat", "name": values["hull"], **_flat(values["waterline"]), **_flat(values["floating"])})
    if "with_changes" in values:
        then = values["with_changes"]
        rows.append(
            {"kind": "boat with the changes", "name": values["hull"], **_flat(then["waterline"]), **_flat(then["floating"])}
        )
    columns = list(dict.fromkeys(key for row in rows for key in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _waterline(water: WaterPlane | None) -> dict[str, Any]:
    keys = {"forward_m": "forward", "after_m": "after", "heel_deg": "heel", "trim_deg": "trim_deg"}
    return {key: None if water is None else _number(getattr(water, of)) for key, of in keys.items()}


def _floating(floating: Floating) -> dict[str, Any]:
    values = {key: _clean(getattr(floating, field)) for field, key in FLOATING_KEYS.items()}
    if floating.estimated:
        values["estimated"] = [FLOATING_KEYS[name] for name in floating.estimated if name in FLOATING_KEYS]
    return values


def _compartment(known: KnownSpace) -> dict[str, Any]:
    space = known.space
    return {
        "name": space.name,
        "use": space.use,
        "volume_m3": _number(known.volume),
        "below_waterline_m3": _number(known.below),
        "position": known.position,
        "centroid_m": _clean(known.centroid),
        "lowest_m": _number(known.lowest),
        "highest_m": _number(known.highest),
        "bounded": space.bounded,
        "watertight": space.watertight,
        "open_to": list(space.open_to),
        "permeability": _number(space.permeability),
    }


def _berth(berth: BerthFigures) -> dict[str, Any]:
    return {
        "name": berth.name,
        "length_m": _number(berth.length),
        "shoulder_width_m": _number(berth.shoulder_width),
        "foot_width_m": _number(berth.foot_width),
        "headroom_m": _number(berth.headroom),
        "stature_m": _number(berth.stature),
        "fits": berth.fits,
        "short_by_m": _number(berth.short_by),
        "sitting_headroom_m": _number(berth.sitting_headroom),
        "air_m2": _number(berth.air),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity,
        "object": finding.object,
        "message": message(finding),
        "measured": _told(finding.measured),
        "limit": _told(finding.limit),
        "source": finding.source,
        "binding": finding.binding,
    }


def _told(value: float | str | Phrase | None) -> Any:
    return words(value, "m") if isinstance(value, Phrase) else _clean(value)


def _number(value: float | None) -> float | None:
    """A plain float without a negative zero; None for what is no number."""
    if value is None or not math.isfinite(value):
        return None
    return float(value) + 0.0


def _clean(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _clean(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_clean(item) for item in value]
    if isinstance(value, (bool, str, int)) or value is None:
        return value
    return _number(float(value))


def _rows(block: str, found: Any, of: str = "") -> Iterator[dict[str, str]]:
    """A row for each thing in a block of what goes into the spaces, followed by rows for its parts."""
    for thing in [found] if isinstance(found, Mapping) else found:
        name = next((thing[key] for key in ("name", "berth", "space") if key in thing), block)
        parts = [key for key in thing if key in CONTENTS_ROWS and key != "people"]
        own = {"made_of" if key == "kind" else key: value for key, value in thing.items() if key not in parts}
        yield {"kind": CONTENTS_ROWS[block], **_flat({"name": name, "of": of, **own})}
        for part in parts:
            yield from _rows(part, thing[part], name)


def _flat(values: Mapping[str, Any]) -> dict[str, str]:
    """One row of cells: points by their axes, lists joined, yes and no as true and false; lists of lists are left out."""
    row: dict[str, str] = {}
    for key, value in values.items():
        if key in _POINTS:
            row.update({f"{key}_{axis}": _cell(part) for axis, part in zip("xyz", value or (None,) * 3, strict=True)})
        elif key in _BOXES:
            row.update(
                {f"{key}_{axis}": _cell(side) for axis, side in zip("abc", value["sides"] if value else (None,) * 3, strict=True)}
            )
        elif isinstance(value, Mapping):
            row.update({f"{key}_{part}": _cell(number) for part, number in value.items()})
        elif isinstance(value, list):
            if not any(isinstance(part, list) for part in value):
                row[key] = _cell("; ".join(str(part) for part in value))
        else:
            row[key] = _cell(value)
    return row


_POINTS = ("centroid_m", "centre_of_buoyancy_m", "direction", "farthest_at_m", "centre_full_m", "centre_half_m")
_BOXES = ("largest_box_m", "passing_box_m", "box_asked_for_m", "box_asked_for_passing_m")


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    text = str(value)
    # A spreadsheet would run a name that begins like a formula.
    return f"'{text}" if isinstance(value, str) and text[:1] in ("=", "+", "-", "@") else text
