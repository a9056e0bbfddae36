"""The figures of the report's JSON each by its path, objects by name: `compartments.forward void.volume_m3`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.outputs.tables.flooding import case_figures
from sketcher.outputs.tables.json_figures import figures

NAMES = ("name", "berth", "space")
"""By what a member of a list is called."""
LEFT_OUT = ("findings", "weights", "limit", "stature_m", "needed_m", "name", "use")
"""Keys whose values are no figures of a boat but what was stated of her, or words."""


def figure_values(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> dict[str, float | bool | str | None]:
    """Numbers, verdicts and what is not known, by path; places by their axes as `.x`, outlines and lists of words left out.

    Of each planned panel also what its pattern measures over all, as `boards.NAME.width_m`, `height_m` or a lid's `length_m`.
    """
    values = dict(_values(figures(evaluation, [case_figures(case) for case in cases]), ""))
    return {**values, **dict(_boards(evaluation))}


def _boards(evaluation: Evaluation) -> Iterator[tuple[str, float]]:
    for shape in evaluation.layout.panels:
        if shape.panel.built == "planned" and shape.reaches_in:
            low, high = shape.trimmed.bounds
            across, other = {"bulkhead": (1, 2), "partition": (0, 2), "lid": (1, 0)}[shape.kind]
            yield f"boards.{shape.name}.width_m", float(high[across] - low[across])
            yield f"boards.{shape.name}.{'length' if shape.kind == 'lid' else 'height'}_m", float(high[other] - low[other])


def _values(value: Any, path: str) -> Iterator[tuple[str, float | bool | str | None]]:
    if isinstance(value, Mapping):
        for key, part in value.items():
            if key not in LEFT_OUT:
                yield from _values(part, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        if len(value) == 3 and all(isinstance(part, float) for part in value):
            yield from ((f"{path}.{axis}", part) for axis, part in zip("xyz", value, strict=True))
        for part in value:
            name = _name(part) if isinstance(part, Mapping) else None
            if name is not None:
                yield from _values(part, f"{path}.{name}")
    elif path:
        yield path, value


def _name(member: Mapping[str, Any]) -> str | None:
    if "holed" in member:
        return " and ".join(member["holed"])
    return next((str(member[key]) for key in NAMES if key in member), None)
