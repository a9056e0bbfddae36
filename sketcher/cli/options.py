"""Options that several commands share."""

from __future__ import annotations

import click

from sketcher.model.errors import SketchError, nearest

LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")


class OneOf(click.Choice[str]):
    """One of a few words; of a wrong one the nearest is named."""

    def get_invalid_choice_message(self, value: object, ctx: click.Context | None) -> str:
        near = nearest(str(value), self.choices)
        return f"{value!r}. Did you mean {near}?" if near else f"{value!r}. There are: {', '.join(self.choices)}."


scene_argument = click.argument("scene")
units_option = click.option("--units", type=OneOf(LENGTH_UNITS), help="For lengths (default: those of the scene's file).")
stage_option = click.option("--stage", type=click.IntRange(0, 9), help="As she is after this step; 0: as she is today.")
output_option = click.option("-o", "--output", metavar="FILE", help="Write to a file instead of the screen.")
overwrite_option = click.option("--overwrite", is_flag=True, help="Also over a file that is no earlier output of this kind.")
json_option = click.option("--json", is_flag=True, help="For other programs, in metres and cubic metres.")


def refuse_units_of_data(units: str | None, **data: bool) -> None:
    """Figures for other programs are always in metres: a unit asked for would be silently ignored."""
    asked = next((name for name, wanted in data.items() if wanted), None)
    if asked and units:
        raise SketchError(f"--{asked} prints metres, whatever the unit asked for", "Leave --units out.")
