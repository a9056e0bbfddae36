"""A refit in steps: what is there after each, and what an earlier step spoils for a later one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, cast

import numpy as np

from sketcher.analysis.cut.boards.hatch_fit import passage
from sketcher.analysis.cut.boards.jointing import in_parts
from sketcher.analysis.cut.boards.routes_below import routes_below
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.findings import Finding, Length
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Compartment, Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.standing_findings import LIVED_IN, standing_findings
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.rays import home_of
from sketcher.model.scene import Scene
from sketcher.model.stages import TODAY, at_stage, called_after, comes_with, stage_name, stage_numbers, standing_before


def scene_after(scene: Scene, number: int, form: HullForm) -> Scene:
    """The scene with what belongs to stages up to this one only. Raises SketchError where there is no such stage.

    Spaces that a later stage parts are one until then, which is no mistake: it has the name of the one that is lived in, else the
    first, and what goes into the others comes with them, hoses to them too. `TODAY` is a stage before the first.
    """
    there = at_stage(scene, number)
    if number == stage_numbers(scene)[-1]:
        return there
    told = [finding for finding in lay_out(there, form).findings if finding.code == "names-in-one-space"]
    shared = [cast("Sequence[str]", finding.values["names"]) for finding in told]
    uses = {space.name: space.use for space in there.compartments}
    gone = {name for names in shared for name in names if name != _named(names, uses)}
    contents: dict[str, Any] = {
        key: tuple(item for item in getattr(there, key) if item.space not in gone)
        for key in ("stowage", "bottles", "chains", "foams", "tanks")
    }
    contents["openings"] = tuple(each for each in there.openings if not gone & set(each.joins or ()))
    return replace(there, compartments=tuple(each for each in there.compartments if each.name not in gone), **contents)


def _named(names: Sequence[str], uses: Mapping[str, str]) -> str:
    return next((name for name in names if uses[name] in LIVED_IN), names[0])


def staged_scene(scene: Scene, number: int, form: HullForm) -> Scene:
    """The scene after a stage, called by it. Raises SketchError where there is no such stage."""
    return replace(scene_after(scene, number, form), name=called_after(scene, number))


def scenes_by_stage(scene: Scene, form: HullForm) -> tuple[Scene, ...]:
    """The scene as she is today and after every stage, in order, each called by it; of one step it keeps its own name."""
    numbers = stage_numbers(scene)
    steps = [staged_scene(scene, number, form) for number in numbers] if len(numbers) > 1 else [scene]
    return (staged_scene(scene, TODAY, form), *steps)


def regrets(whole: Layout) -> tuple[Finding, ...]:
    """What a later stage needs that an earlier one shuts in, and what stays open until a later one closes it.

    whole: the layout after the last stage; one without stages has no regrets.
    """
    found: list[Finding] = []
    numbers = stage_numbers(whole.scene)
    for number in numbers:
        earlier = whole if number == numbers[-1] else lay_out(scene_after(whole.scene, number, whole.hull), whole.hull)
        if number != numbers[0]:
            found += _barred(whole, earlier, number)
        if number != numbers[-1]:
            found += [*_shut_in(whole, earlier, number), *_open_until(whole, earlier, number)]
    return tuple(found)


def _barred(whole: Layout, there: Layout, number: int) -> Iterator[Finding]:
    """Panels of a stage whose boards would go below before anything is built, and do not once earlier stages stand.

    there: the layout after the stage. Where they would have to go through a narrower opening, joints are tried as a plan does.
    """
    scene = standing_before(whole.scene, number, there.scene)
    panels = {panel.name: panel for panel in scene.panels}
    standing = replace(there, scene=scene, panels=tuple(replace(each, panel=panels[each.name]) for each in there.panels))
    before, now = routes_below(whole), routes_below(standing)
    for shape in standing.panels:
        route = now.get(shape.name)
        if shape.panel.built != "planned" or not shape.reaches_in or not route or route == before.get(shape.name):
            continue
        parts = [
            part
            for board in panel_patterns(standing, None, [shape.name], standing.hull)
            for part in in_parts(scene, board, standing.panels, route)[0]
        ]
        stuck = [each for each in (passage(scene, part, route) for part in parts) if each.passes is False]
        if stuck:
            widest = max(stuck, key=lambda each: each.least_width)
            yield Finding(
                code="stage-bars-board",
                severity="warn",
                object=shape.name,
                values={
                    "panel": shape.name,
                    "later": stage_name(whole.scene, number),
                    "width": Length(widest.least_width),
                    "opening": widest.opening,
                    "room": Length(widest.room or 0.0),
                },
                measured=widest.least_width,
                limit=widest.room,
            )


def _shut_in(whole: Layout, earlier: Layout, after: int) -> Iterator[Finding]:
    """Later work in a space that an earlier stage leaves without a way in."""
    closed = {finding.object for finding in standing_findings(earlier, None) if finding.code == "no-access"}
    for name, number, at in _later_work(whole, after):
        home = home_of(at, [space.mesh for space in earlier.compartments])
        if home >= 0 and earlier.compartments[home].name in closed:
            space = earlier.compartments[home]
            yield Finding(
                code="stage-shuts-in",
                severity="warn",
                object=name,
                values={
                    "name": name,
                    "later": stage_name(whole.scene, number),
                    "space": space.name,
                    "earlier": stage_name(whole.scene, after),
                    "by": _panels_of(space),
                },
                at=space.centroid,
            )


def _later_work(whole: Layout, after: int) -> Iterator[tuple[str, int, Floats]]:
    """What comes after a stage, with its stage and a point of it [m]: panels, and what goes into spaces."""
    stages = comes_with(whole.scene)
    for shape in whole.panels:
        number = stages[f"{shape.kind}s", shape.name]
        if number > after and shape.reaches_in:
            yield shape.name, number, shape.trimmed.vertices.mean(axis=0)
    spaces = {space.name: space for space in whole.compartments}
    for key in ("bottles", "chains", "foams", "tanks"):
        for item in getattr(whole.scene, key):
            if stages[key, item.name] > after and item.space in spaces:
                yield item.name, stages[key, item.name], np.array(spaces[item.space].centroid)


def _open_until(whole: Layout, earlier: Layout, after: int) -> Iterator[Finding]:
    """Spaces that are tight in the end and not yet after a stage: what water passes until then, or which panels are missing."""
    now = {space.name: space for space in earlier.compartments}
    there = {panel.name for panel in earlier.scene.panels}
    for space in whole.compartments:
        if not (space.watertight and space.bounded):
            continue
        missing = tuple(name for name in _panels_of(space) if name not in there)
        known = now.get(space.name)
        # One that is there and tight, only larger yet, is no regret.
        if (known is None and not missing) or (known is not None and known.watertight):
            continue
        paths = {path.name for path in earlier.flow_paths if space.name in path.between}
        yield Finding(
            code="stage-leaves-open",
            severity="note",
            object=space.name,
            values={
                "space": space.name,
                "earlier": stage_name(whole.scene, after),
                "panels": missing,
                "paths": () if missing else tuple(sorted(paths)),
            },
            at=space.centroid,
        )


def _panels_of(space: Compartment) -> tuple[str, ...]:
    """The panels that bound a space, each once."""
    return tuple(dict.fromkeys(name for name, _ in space.bounds))
