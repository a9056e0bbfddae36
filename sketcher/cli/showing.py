"""Commands that show the boat: `open` and `picture`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

import click

from sketcher.cli.destination import Destination
from sketcher.cli.options import OneOf, overwrite_option, scene_argument, stage_option, units_option
from sketcher.cli.problems import DONE
from sketcher.cli.reading_writing import evaluated, named_spaces, names_drawing, write, write_drawing
from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.outputs.scene3d.camera import ViewName
    from sketcher.outputs.tinting import TintBy

VIEWS = ("quarter", "profile", "plan", "ahead", "page")


@click.command("open")
@click.argument("scene", required=False)
@click.option("--port", type=int, help="Default: the first free one.")
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    help="An address that other machines can reach asks for a key.",
)
@click.option("--no-browser", is_flag=True, help="Only serve the page and say where it is.")
def open_command(scene: str | None, port: int | None, host: str, no_browser: bool) -> int:
    """Open the sketch in the browser; a demo boat if none is named."""
    from sketcher.web.app import serve

    serve(scene, host=host, port=port, open_browser=not no_browser)
    return DONE


@click.command("picture")
@scene_argument
@click.option("-o", "--output", metavar="FILE.png", required=True, help="Profile and plan also as FILE.svg or FILE.pdf.")
@click.option("--view", type=OneOf(VIEWS), default="quarter", show_default=True, help="From where; page: one PDF to print.")
@click.option("--holed", metavar="NAME", multiple=True, help="Show her as she lies with this compartment holed.")
@click.option("--tint", type=OneOf(("space", "water", "use")), default="space", show_default=True, help="What tints tell.")
@stage_option
@units_option
@overwrite_option
def picture_command(
    scene: str,
    output: str,
    view: str,
    holed: Sequence[str],
    tint: str,
    stage: int | None,
    units: str | None,
    overwrite: bool,
) -> int:
    """Draw the boat: a picture (PNG), a drawing or a page (SVG, PDF)."""
    if view == "page":
        return _page(scene, Destination(output, "drawing", overwrite), holed, stage, units)
    if names_drawing(output):
        return _drawing(scene, Destination(output, "drawing", overwrite), view, holed, stage, units)
    from sketcher.outputs.scene3d.picture import check_picture_file, picture_png

    check_picture_file(output)
    evaluation = evaluated(scene, Destination(output, "picture", overwrite), stage)
    case = None
    if holed:
        from sketcher.analysis.flooding.cases import flooding_cases

        case = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, named_spaces(holed, evaluation))[0]
    write(output, picture_png(evaluation, cast("ViewName", view), units=units, case=case, tinted_by=cast("TintBy", tint)))
    return DONE


def _page(scene: str, to: Destination, holed: Sequence[str], stage: int | None, units: str | None) -> int:
    """One page to print, with a picture where this machine can draw one."""
    if not to.path.lower().endswith(".pdf"):
        raise SketchError("a page to print is written as PDF", "Give the file a name that ends in .pdf.", file=to.path)
    if holed:
        raise SketchError("the page shows her unholed", "Leave --holed out; the page tells what one hole does.")
    from datetime import date

    from sketcher.analysis.evaluate import with_all_holes
    from sketcher.outputs.one_page import one_page
    from sketcher.outputs.scene3d.picture import picture_if_drawn

    evaluation, cases = with_all_holes(evaluated(scene, to, stage))
    unit = units or evaluation.scene.units
    write(to.path, one_page(evaluation, cases, unit, date.today(), picture_if_drawn(evaluation, unit, labels=False)))
    return DONE


def _drawing(scene: str, to: Destination, view: str, holed: Sequence[str], stage: int | None, units: str | None) -> int:
    from sketcher.outputs.drawing.views import plan_drawing, profile_drawing

    draw = {"profile": profile_drawing, "plan": plan_drawing}.get(view)
    if holed:
        raise SketchError("a drawing shows her unholed", "Leave --holed out, or name a file that ends in .png.")
    if draw is None:
        remedy = "Add --view profile or --view plan, or name a file that ends in .png."
        raise SketchError(f"there is no drawing to scale for the view {view!r}", remedy)
    write_drawing(to.path, draw(evaluated(scene, to, stage), units=units))
    return DONE
