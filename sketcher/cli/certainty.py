"""How sure figures are, worked out by every core: what `report --bands` and `check --for` print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from sketcher.analysis.bands.known import how_known
from sketcher.model.errors import SketchError
from sketcher.outputs.tables.sure.figure_paths import figure_values

if TYPE_CHECKING:
    from sketcher.analysis.checking import CheckedFile
    from sketcher.analysis.evaluation import Evaluation
    from sketcher.analysis.flooding.results import FloodingCase
    from sketcher.model.stated_limits import StatedLimit

LOOKS = 40
"""Boats that are looked at, about: work for every core."""
FORM = "Write it like --for 'litres of forward void', 'lid over water of tank top with forward void holed', or a limit's name."


def report_with_bands(evaluation: Evaluation, units: str | None, sources: bool) -> str:
    """The report with each figure's band, and what to measure again."""
    from sketcher.analysis.evaluate import with_flooding
    from sketcher.analysis.flooding.cases import first_cases
    from sketcher.outputs.bands.band_figures import certainty
    from sketcher.outputs.bands.measured_again import how_sure
    from sketcher.outputs.tables.report import report

    told = first_cases(evaluation.layout, evaluation.water, evaluation.floating)
    cases = [case for case in told if len(case.holed) == 1]
    with _every_core(evaluation) as executor:
        known = how_known(evaluation, cases, figure_values, holed="singles", executor=executor)
        more = how_sure(known, evaluation, units or evaluation.scene.units, executor)
    return report(with_flooding(evaluation, cases), units, told, sources, certainty(known), more)


def bands_for_programs(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> dict[str, Any]:
    """The keys that `report --json --bands` adds."""
    from sketcher.outputs.bands.band_figures import band_figures

    with _every_core(evaluation) as executor:
        known = how_known(evaluation, cases, figure_values, executor=executor)
        return band_figures(known, evaluation, executor)


def measured_again(checked: CheckedFile, figure: str, path: str) -> list[str]:
    """What to measure again for a figure, or for a limit by its name. Raises SketchError where there is no such figure."""
    from sketcher.analysis.limits.figures import reading
    from sketcher.analysis.places.place_rows import check_question
    from sketcher.analysis.places.rows import Question
    from sketcher.outputs.bands.measured_again import for_figure

    if checked.evaluation is None:
        raise SketchError("--for is about a layout, and this is a hull", "Name a scene.", path)
    scene = checked.evaluation.scene
    asked = _asked(figure, scene.limits)
    check_question(Question(scene, (), more=(asked,)))
    found = reading(checked.evaluation, asked, checked.cases)
    if found.value is None:
        from sketcher.outputs.wording.sentences import words

        why = words(found.why, scene.units) if found.why else "she is lost"
        raise SketchError(f"{figure}: not known; {why}", FORM, path)
    with _every_core(checked.evaluation) as executor:
        known = how_known(checked.evaluation, checked.cases, figure_values, more=(asked,), holed="none", executor=executor)
        return for_figure(known, checked.evaluation, found.path, scene.units, executor)


def _asked(figure: str, limits: Sequence[StatedLimit]) -> StatedLimit:
    from sketcher.model.stated_limits import figure_asked

    return next((limit for limit in limits if limit.name == figure), None) or figure_asked(figure.strip(), FORM)


@contextmanager
def _every_core(evaluation: Evaluation) -> Iterator[Executor]:
    from sketcher.analysis.places.rows import Question
    from sketcher.analysis.places.sweep import processes

    with processes(LOOKS, Question(evaluation.scene, ())) as executor:
        yield executor
