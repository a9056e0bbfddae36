"""The command that looks for where something should go: `sweep`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from sketcher.cli.destination import Destination
from sketcher.cli.interrupting import until_interrupted
from sketcher.cli.options import json_option, overwrite_option, refuse_units_of_data, scene_argument, stage_option, units_option
from sketcher.cli.problems import DONE, buildable
from sketcher.cli.reading_writing import names_drawing, put, write, write_drawing
from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.analysis.places.answer import Answer
    from sketcher.analysis.places.rows import Question, Sweep


@click.command("sweep")
@scene_argument
@click.option(
    "--move",
    metavar="OBJECT.KEY=FROM:TO:STEP",
    multiple=True,
    required=True,
    help="A number of a part: collision.at=900:1500:10; again for a second, with --best up to four.",
)
@click.option("--holed", metavar="NAME", multiple=True, help="Also with this compartment holed; again for more at once.")
@click.option("--best", metavar="GOAL", help="The best place that meets all limits: 'most:litres of forward void', 'least:trim'.")
@stage_option
@click.option("-o", "--output", metavar="FILE", help="Curves, or of two numbers a map: .svg, .pdf or .png.")
@click.option("--csv", metavar="FILE", help="Every place and figure, for a spreadsheet.")
@json_option
@units_option
@overwrite_option
def sweep_command(
    scene: str,
    move: tuple[str, ...],
    holed: tuple[str, ...],
    best: str | None,
    stage: int | None,
    output: str | None,
    csv: str | None,
    json: bool,
    units: str | None,
    overwrite: bool,
) -> int:
    """Move numbers of parts through ranges: where should it go?

    What becomes of litres, berths and floating, and which limits forbid what.

    Ctrl-C keeps what is done; again, it ends all.
    """
    refuse_units_of_data(units, json=json)
    if len(move) > 2 and not best:
        raise SketchError(f"{len(move)} numbers at once; a sweep moves one or two", "Leave some out, or ask for --best.")
    outputs = _outputs(output, csv, overwrite)
    question = _question(scene, move, holed, stage, outputs)
    with buildable(scene), until_interrupted("places worked out") as watch:
        from sketcher.analysis.places.answer import best_place, goal_asked, with_noticed
        from sketcher.analysis.places.rows import Sweep
        from sketcher.analysis.places.sweep import sweep

        if best:
            goal, most = goal_asked(best)
            answer, search = best_place(question, goal, most, watch=watch)
            answer = with_noticed(question, answer)
            tried = tuple(sorted(search.rows.values(), key=lambda row: row.values))
            found = Sweep(search.question, tried)
            if outputs and len(move) <= 2:
                found = sweep(question, watch=watch)
        else:
            answer, found = None, sweep(question, watch=watch)
    _written(found, answer, outputs, json=json, units=units or question.scene.units)
    return DONE


def _outputs(output: str | None, csv: str | None, overwrite: bool) -> list[Destination]:
    """Where it goes beside the screen."""
    found = []
    if output is not None:
        if not names_drawing(output) and not output.lower().endswith(".png"):
            raise SketchError(
                "curves are written as SVG, PDF or PNG", "Give the file a name that ends in .svg, .pdf or .png.", output
            )
        found.append(Destination(output, "drawing" if names_drawing(output) else "picture", overwrite))
    if csv is not None:
        found.append(Destination(csv, "spreadsheet of places", overwrite))
    return found


def _question(
    scene: str, move: tuple[str, ...], holed: tuple[str, ...], stage: int | None, outputs: list[Destination]
) -> Question:
    from sketcher.analysis.places.rows import Question
    from sketcher.model.edits.number_range import number_range
    from sketcher.model.files.scene_file import read_scene

    read = read_scene(scene)
    for to in outputs:
        to.refuse_loss([scene, read.hull.file])
    if stage is not None:
        from sketcher.analysis.evaluate import hull_form
        from sketcher.analysis.staging import staged_scene

        read = staged_scene(read, stage, hull_form(read.hull))
    ranges = tuple(number_range(read, asked) for asked in move)
    return Question(read, ranges, (holed,) if holed else ())


def _written(found: Sweep, answer: Answer | None, outputs: list[Destination], *, json: bool, units: str) -> None:
    from sketcher.outputs.places.sweep_table import sweep_csv, sweep_json, sweep_report

    for to in outputs:
        if to.kind == "spreadsheet of places":
            write(to.path, sweep_csv(found, units).encode())
        elif found.rows:
            _drawn(found, to.path, units)
    spreadsheet = any(to.kind == "spreadsheet of places" for to in outputs)
    put(sweep_json(found, answer) if json else sweep_report(found, answer, units, spreadsheet=spreadsheet), None)


def _drawn(found: Sweep, path: str, units: str) -> None:
    """Curves of one number, a map of two."""
    from sketcher.model.edits.number_range import number_at

    if len(found.question.ranges) == 1:
        from sketcher.outputs.places.sweep_curves import sweep_curves

        drawing = sweep_curves(found, units, number_at(found.question.scene, found.question.ranges[0]))
    else:
        from sketcher.outputs.places.sweep_map import sweep_map

        drawing = sweep_map(found, units)
    if path.lower().endswith(".png"):
        from sketcher.outputs.places.png import drawing_png

        write(path, drawing_png(drawing))
    else:
        write_drawing(path, drawing)
