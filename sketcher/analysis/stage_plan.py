"""What one stage of a refit cuts: what earlier stages built stands and weighs, and what their sheets left is at hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from sketcher.analysis.cut.boards.nesting import SheetLayout, Watch
from sketcher.analysis.cut.plan import BuildPlan, build_plan
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.loading.panel_masses import panel_weights
from sketcher.analysis.staging import scene_after
from sketcher.geometry.vectors import triple
from sketcher.model.cutting import Sheet
from sketcher.model.scene import Scene, Weight
from sketcher.model.stages import at_stage, stage_name, stage_numbers, standing_before

LEAST_KG = 1e-9


def stage_plan(
    scene: Scene, number: int, form: HullForm, evaluate: Callable[[Scene], Evaluation], watch: Watch | None = None
) -> BuildPlan:
    """The plan of what a stage alone builds, earlier stages planned first for what they leave of sheets.

    Raises SketchError where there is no such stage, and as `build_plan` does.
    """
    at_stage(scene, number)
    for earlier in (known for known in stage_numbers(scene) if known < number):
        cut = _cut_in(scene, earlier, form, evaluate, watch)
        scene = replace(scene, sheets=sheets_left(scene.sheets, cut.sheets, stage_name(scene, earlier)))
    return _cut_in(scene, number, form, evaluate, watch)


def _cut_in(scene: Scene, number: int, form: HullForm, evaluate: Callable[[Scene], Evaluation], watch: Watch | None) -> BuildPlan:
    there = scene_after(scene, number, form)
    there = replace(there, name=f"{scene.name}, {stage_name(scene, number)}")
    return build_plan(as_it_stands(evaluate(there), partial(standing_before, scene, number)), watch)


def as_it_stands(evaluation: Evaluation, standing: Callable[[Scene], Scene]) -> Evaluation:
    """An evaluation with the same panels and openings, some of which stand already; what they weigh, and all figures, stay.

    What stands is listed among the weights, so that she floats the same wherever that is worked out again. The layout's scene
    keeps what its contents weigh and what room they leave for water, which the file's own does not have.
    """
    filled = standing(evaluation.layout.scene)
    panels = {panel.name: panel for panel in filled.panels}
    shapes = tuple(replace(shape, panel=panels[shape.name]) for shape in evaluation.layout.panels)
    there = replace(evaluation.layout, scene=filled, panels=shapes)
    before = tuple(_heavier(panel_weights(evaluation.layout), panel_weights(there)))
    empty = standing(evaluation.scene)
    return replace(
        evaluation,
        scene=replace(empty, weights=(*empty.weights, *before)),
        layout=replace(there, scene=replace(filled, weights=(*filled.weights, *before))),
    )


def _heavier(one: Sequence[Weight], other: Sequence[Weight]) -> Iterator[Weight]:
    """What some weights have more than others of the same names [kg], each where that acts."""
    less = {each.name: each for each in other}
    for each in one:
        known = less.get(each.name)
        kg = each.kg - (known.kg if known is not None else 0.0)
        if abs(kg) > LEAST_KG:
            moment = each.kg * np.array(each.at) - (0.0 if known is None else known.kg * np.array(known.at))
            yield Weight(name=f"{each.name}, built before", kg=kg, at=triple(moment / kg), planned=True)


def sheets_left(sheets: Sequence[Sheet], layouts: Sequence[SheetLayout], stage: str) -> tuple[Sheet, ...]:
    """The sheets after boards were cut: fewer of those at hand, and offcuts, named by the stage that leaves them."""
    used = Counter(sheet.name for layout in layouts for sheet in layout.sheets if sheet is not None)
    left = [sheet if sheet.have is None else replace(sheet, have=max(sheet.have - used[sheet.name], 0)) for sheet in sheets]
    for layout in layouts:
        for sheet, size in zip(layout.sheets, layout.offcuts, strict=True):
            if size is not None:
                made_of = sheet or Sheet(name="", thickness=layout.thickness, size=size, material=layout.material)
                name = f"offcut {len(left) - len(sheets) + 1} of {stage}"
                left.append(replace(made_of, name=name, size=size, have=1))
    return tuple(left)
