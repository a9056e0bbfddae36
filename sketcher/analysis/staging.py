"""A refit in steps: how she is after each, and what an earlier step spoils for a later one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from sketcher.analysis.evaluate import evaluate, findings_in_order, hull_form, with_all_holes
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Compartment
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.standing_findings import LIVED_IN
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.rays import home_of
from sketcher.model.scene import Scene
from sketcher.model.stages import at_stage, comes_with, stage_name, stage_numbers


@dataclass(frozen=True, eq=False, kw_only=True)
class AfterStage:
    """How she is after a stage. cases: of flooding, every space and every adjoining pair holed."""

    number: int
    name: str
    evaluation: Evaluation
    cases: Sequence[FloodingCase]


def scene_after(scene: Scene, number: int) -> Scene:
    """The scene with what belongs to stages up to this one only. Raises SketchError where there is no such stage.

    Spaces that a later stage parts are one until then, which is no mistake: it has the name of the one that is lived in, else the
    first, and what goes into the others comes with them.
    """
    there = at_stage(scene, number)
    if number == stage_numbers(scene)[-1]:
        return there
    told = [f for f in lay_out(there, hull_form(there.hull)).findings if f.code == "names-in-one-space"]
    shared: list[Sequence[str]] = [cast("Sequence[str]", finding.values["names"]) for finding in told]
    uses = {space.name: space.use for space in there.compartments}
    gone = {name for names in shared for name in names if name != _named(names, uses)}
    contents: dict[str, Any] = {
        key: tuple(item for item in getattr(there, key) if item.space not in gone)
        for key in ("stowage", "bottles", "chains", "foams", "tanks")
    }
    return replace(there, compartments=tuple(each for each in there.compartments if each.name not in gone), **contents)


def _named(names: Sequence[str], uses: Mapping[str, str]) -> str:
    return next((name for name in names if uses[name] in LIVED_IN), names[0])


def after_each(scene: Scene) -> tuple[AfterStage, ...]:
    """Her state after every stage, in order, each as its own layout."""
    states = []
    for number in stage_numbers(scene):
        there = replace(scene_after(scene, number), name=f"{scene.name}, after {stage_name(scene, number)}")
        evaluation, cases = with_all_holes(evaluate(there))
        states.append(AfterStage(number=number, name=stage_name(scene, number), evaluation=evaluation, cases=cases))
    return tuple(states)


def regrets(scene: Scene, states: Sequence[AfterStage]) -> tuple[Finding, ...]:
    """What a later stage needs that an earlier one shuts in, and what stays open until a later one closes it."""
    return (*_shut_in(scene, states), *_open_until(scene, states))


def with_regrets(evaluation: Evaluation) -> Evaluation:
    """The whole layout's evaluation with what its stages spoil for each other; unchanged where it has no stages."""
    scene = evaluation.scene
    if len(stage_numbers(scene)) < 2:
        return evaluation
    found = regrets(scene, after_each(scene))
    return replace(evaluation, findings=findings_in_order((*evaluation.findings, *found)))


def _shut_in(scene: Scene, states: Sequence[AfterStage]) -> Iterator[Finding]:
    """Later work in a space that an earlier stage leaves without a way in."""
    for state in states[:-1]:
        spaces = state.evaluation.layout.compartments
        closed = {finding.object for finding in state.evaluation.findings if finding.code == "no-access"}
        for name, number, at in _later_work(scene, states[-1].evaluation, state.number):
            home = home_of(at, [space.mesh for space in spaces])
            if home >= 0 and spaces[home].name in closed:
                space = spaces[home]
                yield Finding(
                    code="stage-shuts-in",
                    severity="warn",
                    object=name,
                    values={
                        "name": name,
                        "later": stage_name(scene, number),
                        "space": space.name,
                        "earlier": state.name,
                        "by": _panels_of(space),
                    },
                    at=space.centroid,
                )


def _later_work(scene: Scene, whole: Evaluation, after: int) -> Iterator[tuple[str, int, Floats]]:
    """What comes after a stage, with its stage and a point of it [m]: panels, and what goes into spaces."""
    stages = comes_with(scene)
    blocks = {"bulkhead": "bulkheads", "partition": "partitions", "lid": "lids"}
    for shape in whole.layout.panels:
        number = stages[blocks[shape.kind], shape.name]
        if number > after and shape.reaches_in:
            yield shape.name, number, shape.trimmed.vertices.mean(axis=0)
    spaces = {space.name: space for space in whole.layout.compartments}
    for key in ("bottles", "chains", "foams", "tanks"):
        for item in getattr(scene, key):
            if stages[key, item.name] > after and item.space in spaces:
                yield item.name, stages[key, item.name], np.array(spaces[item.space].centroid)


def _open_until(scene: Scene, states: Sequence[AfterStage]) -> Iterator[Finding]:
    """Spaces that are tight in the end and not yet after a stage: what water passes until then, or which panels are missing."""
    last = states[-1].evaluation
    tight = [space for space in last.layout.compartments if space.watertight and space.bounded]
    for state in states[:-1]:
        layout = state.evaluation.layout
        now = {space.name: space for space in layout.compartments}
        there = {panel.name for panel in state.evaluation.scene.panels}
        for space in tight:
            missing = tuple(name for name in _panels_of(space) if name not in there)
            known = now.get(space.name)
            if not missing and (known is None or known.watertight):
                continue
            paths = tuple(sorted({path.name for path in layout.flow_paths if space.name in path.between}))
            yield Finding(
                code="stage-leaves-open",
                severity="note",
                object=space.name,
                values={"space": space.name, "earlier": state.name, "panels": missing, "paths": () if missing else paths},
                at=space.centroid,
            )


def _panels_of(space: Compartment) -> tuple[str, ...]:
    """The panels that bound a space, each once."""
    return tuple(dict.fromkeys(name for name, _ in space.bounds))
