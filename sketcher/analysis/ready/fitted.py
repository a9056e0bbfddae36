"""A ready layout drawn in a hull and mended until the report has no remedy left for it."""

from __future__ import annotations

from dataclasses import replace

from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.evaluate import evaluate, hull_form, with_all_holes
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.mending import edits_for
from sketcher.analysis.ready.layouts import LAYOUTS
from sketcher.analysis.ready.likely_waterline import likely_waterline
from sketcher.analysis.ready.measured_bow import MeasuredBow
from sketcher.model.errors import SketchError, nearest
from sketcher.model.files.scene_file import settled
from sketcher.model.hull import Hull
from sketcher.model.scene import Scene, Waterline
from sketcher.model.units import tape_step

STATURE = 1.80
"""[m] Of whom a berth is drawn for when nobody is named; common practice."""
ROUNDS = 12
"""Each round makes what one finding asks for; what is not mended by then is told by the report."""
RAISED_BY, MOST_RAISED = 0.05, 8
"""[m] A layout that cannot be mended is drawn again with its lid so much higher, so many times at most."""
UNWANTED = (
    "lid-under-flooded-water",
    "berth-short",
    "person-does-not-fit",
    "opening-straddles",
    "opening-across-step",
    "spaces-joined",
)
MENDED = (
    "lid-under-flooded-water",
    "berth-short",
    "person-does-not-fit",
    "berth-low-over-body",
    "collision-bulkhead-racing",
    "collision-bulkhead-passenger",
    "gap",
    "short-edge",
)
"""The findings that a ready layout is moved for, the first of them first."""


def ready_layout(
    name: str, hull: Hull, hull_path: str, stature: float = STATURE, waterline: Waterline | None = None
) -> Evaluation:
    """A ready layout fitted to a hull, with everything known of it.

    stature: of whom the berth is for [m]; waterline: as measured, None: guessed, and named so in the scene's `guessed`.

    Raises SketchError for a name that no layout has, and where the hull leaves no room for one.
    """
    if name not in LAYOUTS:
        near = nearest(name, LAYOUTS)
        raise SketchError(
            f"there is no ready layout `{name}`", f"Did you mean `{near}`?" if near else f"There are {', '.join(LAYOUTS)}."
        )
    form = hull_form(hull)
    scene = _afloat(Scene(name=f"{hull.name}, {name}", units=hull.units, hull=hull, hull_path=hull_path), waterline)
    water = water_plane(scene, form)
    assert water is not None
    bow, best = MeasuredBow(form, water, stature, hull.units), None
    for step in range(MOST_RAISED):
        tried = _mended(_drawn(name, scene, replace(bow, raised=step * RAISED_BY)))
        best = tried if best is None or _amiss(tried) < _amiss(best) else best
        if _amiss(best) == (0, 0):
            break
    assert best is not None
    return best


def _drawn(name: str, scene: Scene, bow: MeasuredBow) -> Scene:
    """The layout in the hull. Raises SketchError where a part of it has no room to be."""
    try:
        return settled(LAYOUTS[name].draw(scene, bow))
    except SketchError as no_room:
        raise SketchError(
            f"this hull leaves no room for the layout `{name}`: {no_room.message}",
            "Begin with an empty one.",
            file=scene.hull.file,
        ) from None


def _amiss(evaluation: Evaluation) -> tuple[int, int]:
    """How many findings stop, and how many of those that a ready layout should be without are left."""
    codes = [finding.code for finding in evaluation.findings]
    return (
        sum(finding.severity == "stop" for finding in evaluation.findings),
        sum(codes.count(code) for code in UNWANTED),
    )


def _afloat(scene: Scene, waterline: Waterline | None) -> Scene:
    """The scene with its waterline, and her centre of gravity guessed to lie in it: usual of ballasted yachts, from memory."""
    guessed = ("centre_of_gravity",) if waterline is not None else ("waterline", "centre_of_gravity")
    form = hull_form(scene.hull)
    stated = waterline or likely_waterline(form, scene.water_density, 10.0 * tape_step(scene.units))
    scene = replace(scene, waterline=stated, guessed=guessed)
    water = water_plane(scene, form)
    assert water is not None
    return settled(replace(scene, centre_of_gravity_height=0.5 * (water.forward + water.after)))


def _mended(scene: Scene) -> Evaluation:
    for _ in range(ROUNDS):
        evaluation, _ = with_all_holes(evaluate(scene))
        better = _one_mended(evaluation)
        if better is None:
            return evaluation
        scene = better
    return with_all_holes(evaluate(scene))[0]


def _one_mended(evaluation: Evaluation) -> Scene | None:
    """The scene with the first remedy made that there is; None where nothing is left to mend."""
    for code in MENDED:
        for finding in evaluation.findings:
            edits = edits_for(finding, evaluation.scene) if finding.code == code else ()
            scene = evaluation.scene
            for edit in edits:
                scene = edit.apply(scene)
            if scene != evaluation.scene:
                return scene
    return None
