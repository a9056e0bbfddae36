"""The commands that make what is cut: `build` for the boat, `card` for a model of her."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from sketcher.cli.destination import Destination
from sketcher.cli.interrupting import until_interrupted
from sketcher.cli.options import OneOf, overwrite_option, scene_argument, units_option
from sketcher.cli.problems import DONE, buildable
from sketcher.cli.reading_writing import evaluated_counting, write
from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.model.scene import Scene
    from sketcher.outputs.paper.tile_grid import PaperName


@click.command("build")
@scene_argument
@click.option("-o", "--output", metavar="FOLDER", required=True, help="Made if it is not there; replaced file by file.")
@click.option(
    "--paper",
    type=OneOf(("a4", "letter", "a3", "a1", "a0", "roll")),
    default="a4",
    show_default=True,
    help="Of the patterns; a roll is 841 mm wide. The booklet is for a printer at home.",
)
@click.option(
    "--board",
    metavar="NAME",
    multiple=True,
    help="Only pages and patterns of this board, or of this panel's boards.",
)
@click.option("--tool", metavar="MM", type=click.FloatRange(1.0, 30.0), help="Its diameter: the sheets' DXF opens inner corners.")
@click.option("--tabs", is_flag=True, help="Draw places for tabs in the sheets' DXF.")
@click.option("--stage", type=click.IntRange(1, 9), help="Only what this step of the refit cuts, what came before standing.")
@click.option("--as-built", metavar="FILE.csv", help="Readings: the list `as built.csv` of an earlier build, filled in.")
@units_option
@overwrite_option
def build_command(
    scene: str,
    output: str,
    paper: PaperName,
    board: tuple[str, ...],
    tool: float | None,
    tabs: bool,
    stage: int | None,
    as_built: str | None,
    units: str | None,
    overwrite: bool,
) -> int:
    """Write patterns at true size, sheets, lists and a booklet.

    Ctrl-C ends the laying of boards on sheets with the best found so far; again, it ends all.
    """
    from sketcher.analysis.cut.plan import build_plan
    from sketcher.analysis.evaluate import hull_form
    from sketcher.analysis.stage_plan import stage_plan
    from sketcher.outputs.paper.booklet import counted_of, scene_fingerprint
    from sketcher.outputs.paper.build_files import build_files, chosen_boards
    from sketcher.outputs.paper.output_folder import check_folder, write_folder
    from sketcher.outputs.tables.first import LEVELS
    from sketcher.outputs.wording.sentences import message

    check_folder(output)
    there = _with_readings(scene, as_built)
    with buildable(scene), until_interrupted("laying boards on sheets") as watch:
        if stage is None:
            plan = build_plan(evaluated_counting(there), watch)
        else:
            plan = stage_plan(there, stage, hull_form(there.hull), evaluated_counting, watch)
    evaluation = plan.evaluation
    files = build_files(plan, paper, units, boards=board, tool=None if tool is None else tool / 1000.0, tabs=tabs)
    head = f"{evaluation.scene.name}, {evaluation.scene.hull.name}; layout code {scene_fingerprint(evaluation.scene)}"
    written = write_folder(output, files, head, overwrite=overwrite)
    barred = [finding for finding in evaluation.findings if finding.code == "stage-bars-board"]
    for finding in (*barred, *plan.findings):
        print(f"{LEVELS[finding.severity]}: {message(finding, units or evaluation.scene.units)}")
    boards = counted_of(plan, chosen_boards(plan, board)) if board else f"{len(plan.patterns)} boards"
    print(f"{output}: {boards}, {len(written)} files; begin with booklet.pdf")
    return DONE


def _with_readings(path: str, as_built: str | None) -> Scene:
    """The scene of a file, with what a table says was read of its boards."""
    from sketcher.model.files.scene_file import read_scene

    scene = read_scene(path)
    if as_built is None:
        return scene
    from sketcher.model.edits.readings import RecordReadings
    from sketcher.model.files.tables.as_built_table import read_as_built

    return RecordReadings(read_as_built(as_built)).apply(scene)


MOST_CARD = 30.0
"""[mm in the boat] Panels of thicker card would no longer stand where the boat's do."""


@click.command("card")
@scene_argument
@click.option("-o", "--output", metavar="FILE.pdf", required=True)
@click.option("--scale", type=click.FloatRange(5.0, 50.0), default=10.0, show_default=True, help="How many times smaller.")
@click.option("--paper", type=OneOf(("a4", "letter", "a3")), default="a4", show_default=True, help="Of the sheets.")
@click.option("--card", type=click.FloatRange(0.15, 2.5), default=0.4, show_default=True, help="Its thickness in mm.")
@overwrite_option
def card_command(scene: str, output: str, scale: float, paper: PaperName, card: float, overwrite: bool) -> int:
    """Write a card model of the boat: sheets to cut out and glue."""
    from sketcher.analysis.cut.card.card_model import card_model
    from sketcher.analysis.cut.card.parts import ModelScale
    from sketcher.analysis.evaluate import hull_form
    from sketcher.analysis.spaces.layout import spaces_alone
    from sketcher.model.files.scene_file import read_scene
    from sketcher.outputs.card_sheets.card_sheet import room_on
    from sketcher.outputs.card_sheets.model_pages import model_pages
    from sketcher.outputs.card_sheets.model_words import faults, judged_whole
    from sketcher.outputs.drawing.pdf import as_pdf

    if not output.lower().endswith(".pdf"):
        raise SketchError("sheets to cut out are written as PDF", "Give the file a name that ends in .pdf.", file=output)
    if card * scale > MOST_CARD:
        raise SketchError(
            f"card of {card:g} mm stands for {card * scale:.0f} mm of boat at 1 : {scale:g}, thicker than her boards",
            f"Take card below {MOST_CARD / scale:g} mm, or a larger model.",
        )
    read = read_scene(scene)
    Destination(output, "drawing", overwrite).refuse_loss([scene, read.hull.file])
    with buildable(scene), until_interrupted("laying parts on sheets") as watch:
        model = card_model(spaces_alone(read, hull_form(read.hull)), ModelScale(scale=scale, card=card), room_on(paper))
        pages, laid = model_pages(read, model, paper, watch)
    write(output, as_pdf(pages, f"{read.hull.name}, card model 1 : {scale:g}"))
    for fault in faults(model):
        print(f"warning: {fault}")
    print(f"{output}: {len(model.parts)} parts on {len(laid.nesting.sheets)} sheets. {judged_whole(model)}")
    return DONE
