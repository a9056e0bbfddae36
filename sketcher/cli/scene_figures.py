"""Commands that print figures of scenes: `report`, `compare`, `flood`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from sketcher.cli.destination import Destination
from sketcher.cli.options import (
    json_option,
    output_option,
    overwrite_option,
    refuse_units_of_data,
    scene_argument,
    stage_option,
    units_option,
)
from sketcher.cli.problems import DONE
from sketcher.cli.reading_writing import evaluated, named_spaces, names_drawing, put, write_drawing
from sketcher.model.errors import SketchError
from sketcher.model.units import parse_length

if TYPE_CHECKING:
    from sketcher.analysis.evaluation import Evaluation
    from sketcher.analysis.flooding.results import FloodingCase


PUMP = 30.0
"""[litres a minute] of a pump that empties her, unless a rate is given."""
FIGURES = "figures for other programs"


@click.command("report")
@scene_argument
@json_option
@click.option("--csv", is_flag=True, help="For a spreadsheet, in metres and cubic metres.")
@click.option("--sources", is_flag=True, help="Everything noticed in full, and what it rests on.")
@click.option("--bands", is_flag=True, help="How sure each figure is, and what to measure again; takes seconds.")
@click.option("--drafts", is_flag=True, help="Afloat at other drafts: a table; with -o FILE.svg or FILE.pdf, curves.")
@stage_option
@units_option
@output_option
@overwrite_option
def report_command(
    scene: str,
    json: bool,
    csv: bool,
    sources: bool,
    bands: bool,
    drafts: bool,
    stage: int | None,
    units: str | None,
    output: str | None,
    overwrite: bool,
) -> int:
    """Print litres, waterline, berths and what was noticed."""
    if json + csv + drafts > 1:
        click.get_current_context().fail("--json, --csv and --drafts exclude each other")
    if bands and (csv or drafts):
        click.get_current_context().fail("--bands is for the report and for --json")
    refuse_units_of_data(units, json=json, csv=csv)
    drawn = bool(drafts and output and names_drawing(output))
    kind = "drawing" if drawn else "table of drafts" if drafts else "spreadsheet" if csv else FIGURES if json else "report"
    to = _destination(output, kind, overwrite)
    evaluation = evaluated(scene, to, stage, called=not (json or csv))
    if drawn and to:
        from sketcher.outputs.drawing.hydrostatic_curves import curves

        write_drawing(to.path, curves(evaluation))
    elif drafts:
        from sketcher.outputs.tables.hydrostatics import hydrostatics_report

        put(hydrostatics_report(evaluation, units), to)
    elif csv:
        from sketcher.outputs.tables.json_figures import as_csv

        put(as_csv(evaluation), to)
    elif json:
        put(_figures_as_json(evaluation, _flooding(evaluation), bands=bands), to)
    elif bands:
        from sketcher.cli.certainty import report_with_bands

        put(report_with_bands(evaluation, units, sources), to)
    else:
        from sketcher.analysis.evaluate import with_flooding
        from sketcher.analysis.flooding.cases import first_cases
        from sketcher.outputs.tables.report import report

        cases = first_cases(evaluation.layout, evaluation.water, evaluation.floating)
        put(report(with_flooding(evaluation, cases), units, cases, sources), to)
    return DONE


@click.command("compare")
@click.argument("scenes", metavar="SCENE SCENE...", nargs=-1, required=True)
@click.option("--today", is_flag=True, help="First as she is today; of one scene alone this is always there.")
@stage_option
@units_option
@output_option
@overwrite_option
def compare_command(
    scenes: Sequence[str], today: bool, stage: int | None, units: str | None, output: str | None, overwrite: bool
) -> int:
    """Set layouts, or today and the steps of a refit, side by side."""
    from sketcher.analysis.evaluate import with_all_holes
    from sketcher.outputs.tables.comparison import comparison

    to = _destination(output, "comparison", overwrite)
    if len(scenes) == 1 and stage is None:
        from sketcher.analysis.evaluate import evaluate
        from sketcher.analysis.staging import scenes_by_stage

        whole = evaluated(scenes[0], to)
        each_as = [evaluate(each) for each in scenes_by_stage(whole.scene, whole.layout.hull)]
    else:
        from sketcher.model.stages import TODAY

        first = [evaluated(scenes[0], to, TODAY)] if today or len(scenes) == 1 else []
        each_as = [*first, *(evaluated(path, to, stage) for path in scenes)]
    found = [with_all_holes(each) for each in each_as]
    put(comparison([judged for judged, _ in found], units, [cases for _, cases in found]), to)
    return DONE


@click.command("flood")
@scene_argument
@click.option(
    "--holed",
    metavar="NAME",
    multiple=True,
    help="A compartment; again for more at once (default: each by itself, and each adjoining pair).",
)
@click.option("--condition", metavar="NAME", help="With the weights of this condition (default: those that have none).")
@click.option("--fill", metavar="NAME", help="Compare a compartment as it is, empty, and with bottles or foam as usual.")
@click.option("--hole", metavar="LENGTH", help="How long she takes to fill through a hole of this diameter: 50, 2 in.")
@click.option("--pump", metavar="NAME", help="A pump at the lowest point of a flooded compartment, the hole stopped.")
@click.option("--rate", metavar="L_PER_MIN", type=float, help="Of the pump: while she fills, or once the hole is stopped.")
@stage_option
@json_option
@units_option
@output_option
@overwrite_option
def flood_command(
    scene: str,
    holed: Sequence[str],
    condition: str | None,
    fill: str | None,
    hole: str | None,
    pump: str | None,
    rate: float | None,
    stage: int | None,
    json: bool,
    units: str | None,
    output: str | None,
    overwrite: bool,
) -> int:
    """Hole spaces: what fills, how she floats, which lids go under."""
    refuse_units_of_data(units, json=json)
    to = _destination(output, FIGURES if json else "table of flooding", overwrite)
    evaluation = evaluated(scene, to, stage)
    _refuse_condition(evaluation, condition)
    if (fill or hole or pump) and not (holed or json):
        raise SketchError("a fill, a hole or a pump needs to know what is holed", "Add --holed with a compartment's name.")
    cases = _flooding(evaluation, holed, condition)
    if json:
        put(_figures_as_json(evaluation, cases), to)
        return DONE
    from sketcher.outputs.tables.flooding import flooding_report
    from sketcher.outputs.tables.flooding_remedies import filling_times, fills_compared, pumped_out
    from sketcher.outputs.tables.report import WIDTH

    parts = [flooding_report(evaluation, cases, units, detail=bool(holed))]
    unit = units or evaluation.scene.units
    if fill:
        parts.append("\n".join(fills_compared(evaluation, cases[0], fill, condition, unit)) + "\n")
    if hole:
        parts.append("\n".join(filling_times(evaluation, cases[0], _diameter(hole, unit), rate or 0.0, condition, unit)) + "\n")
    if pump:
        out = pumped_out(evaluation, cases[0], pump, PUMP if rate is None else rate, unit, WIDTH)
        parts.append("\n".join(out) + "\n")
    put("\n".join(parts), to)
    return DONE


def _diameter(text: str, unit: str) -> float:
    """A hole's diameter [m] as typed, a bare number in `unit`. Raises SketchError for what is no length."""
    metres = parse_length(text, unit)
    if metres is None:
        raise SketchError(f"--hole {text!r} is no length", "Write a number, or one with its unit: 50, 50 mm, 2 in.")
    return metres


def _destination(output: str | None, kind: str, overwrite: bool) -> Destination | None:
    """Where figures go; None: on the screen."""
    return None if output is None else Destination(output, kind, overwrite)


def _refuse_condition(evaluation: Evaluation, condition: str | None) -> None:
    from sketcher.analysis.loading.weights import conditions

    known = conditions(evaluation.scene)
    if condition is not None and condition not in known:
        said = f"Conditions: {', '.join(known)}." if known else "Give weights a `condition` in the scene."
        raise SketchError(f"no weight belongs to a condition {condition!r}", said, evaluation.scene.file)


def _flooding(evaluation: Evaluation, holed: Sequence[str] = (), condition: str | None = None) -> Sequence[FloodingCase]:
    """The flooding of the spaces named together, or of each space and each adjoining pair."""
    from sketcher.analysis.flooding.cases import flooding_cases

    names = named_spaces(holed, evaluation) or None
    return flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, names, condition=condition)


def _figures_as_json(evaluation: Evaluation, cases: Sequence[FloodingCase], bands: bool = False) -> str:
    from sketcher.analysis.evaluate import with_flooding
    from sketcher.outputs.tables.flooding import case_figures
    from sketcher.outputs.tables.json_figures import as_json

    flooded = [case_figures(case) for case in cases]
    if not bands:
        return as_json(with_flooding(evaluation, cases), flooded)
    from sketcher.cli.certainty import bands_for_programs

    return as_json(with_flooding(evaluation, cases), flooded, bands_for_programs(evaluation, cases))
