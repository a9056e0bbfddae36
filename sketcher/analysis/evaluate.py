"""Evaluates a scene: everything known of it, in one call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.immersion import immersion
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import SEVERITIES, Finding
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.hazards import hazard_findings
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.analysis.loading.weight_findings import weights_findings
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.standing_findings import standing_findings
from sketcher.geometry.caching import remembered
from sketcher.model.hull import Hull
from sketcher.model.scene import Scene
from sketcher.model.stages import stage_numbers

if TYPE_CHECKING:
    from sketcher.analysis.flooding.results import FloodingCase


@remembered(8)
def hull_form(hull: Hull, resolution: float = 1.0) -> HullForm:
    """The surfaces of a hull, made once for each hull's values; resolution: as for `form_hull`."""
    return form_hull(hull, resolution)


def evaluate(
    scene: Scene, watch: Callable[[int], bool] | None = None, *, figures_only: bool = False, resolution: float = 1.0
) -> Evaluation:
    """Everything known of a scene, afresh: the same answer in every process.

    watch: told how many bottles are placed so far; where it answers False no more are placed, and a finding says so.
    figures_only: limits are not judged, and the refit's steps not set against each other. resolution: of the hull's surfaces, as
    for `form_hull`: who compares many boats takes coarse ones.

    Raises SketchError where the hull or a panel cannot be built or the water cannot be where it is stated.
    """
    empty = judged(lay_out(scene, hull_form(scene.hull, resolution)))
    if any(fitting.reach for fitting in scene.fittings) or any(opening.through == "hull" for opening in scene.openings):
        from sketcher.analysis.fit.fitting_reach import reach_findings

        empty = replace(empty, findings=findings_in_order((*empty.findings, *reach_findings(empty.layout))))
    if any(berth.stature is not None for berth in scene.berths):
        from sketcher.analysis.fit.lying_findings import with_stated_people

        empty = with_stated_people(empty)
    if not scene.has_contents:
        return _finished(empty, figures_only=figures_only)
    # What goes into the spaces is loaded only where a scene has some: a report without it starts faster.
    from sketcher.analysis.fit.contents import with_contents

    filled = with_contents(empty, watch)
    return _finished(filled, figures_only=figures_only)


def _finished(evaluation: Evaluation, *, figures_only: bool) -> Evaluation:
    """The evaluation with what berths' spaces give who sleeps there, its limits and its steps judged, findings in order."""
    if evaluation.scene.berths:
        from sketcher.analysis.fit.berth_spaces import with_berth_spaces

        evaluation = with_berth_spaces(evaluation)
    if evaluation.scene.limits and not figures_only:
        from sketcher.analysis.limits.judging import with_limits

        evaluation = with_limits(evaluation)
    if len(stage_numbers(evaluation.scene)) > 1 and not figures_only:
        from sketcher.analysis.staging import regrets

        evaluation = replace(evaluation, findings=(*evaluation.findings, *regrets(evaluation.layout)))
    return replace(evaluation, findings=findings_in_order(evaluation.findings))


def judged(layout: Layout) -> Evaluation:
    """The evaluation of a layout that is already laid out: a drag makes its own."""
    scene, form = layout.scene, layout.hull
    water = water_plane(scene, form)
    afloat, of_floating = floating(scene, form, water, layout.flow_paths)
    berths, of_berths = berth_figures(layout)
    return Evaluation(
        scene=scene,
        layout=layout,
        water=water,
        floating=afloat,
        immersion=immersion(layout.compartments, water),
        berths=berths,
        findings=findings_in_order(
            (
                *form.findings,
                *layout.findings,
                *of_floating,
                *of_berths,
                *standing_findings(layout, water),
                *hazard_findings(layout, water, berths),
                *weights_findings(layout, water),
            )
        ),
    )


def with_flooding(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> Evaluation:
    """The evaluation with what there is to say of flooding cases added to its findings."""
    from sketcher.analysis.flooding.findings import flooding_findings

    found = flooding_findings(evaluation.layout, cases, contents=evaluation.contents)
    return replace(evaluation, findings=findings_in_order((*evaluation.findings, *found)))


def with_all_holes(evaluation: Evaluation) -> tuple[Evaluation, tuple[FloodingCase, ...]]:
    """Every space and every adjoining pair holed, and the evaluation with what there is to say of each space by itself.

    It is what a report says: `compare` judges by it.
    """
    from sketcher.analysis.flooding.cases import flooding_cases

    cases = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating)
    return with_flooding(evaluation, [case for case in cases if len(case.holed) == 1]), cases


def findings_in_order(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings by severity, what stops first; otherwise as they came."""
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))
