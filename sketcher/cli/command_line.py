"""The command `sketcher`: its commands in the order of a day's work."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import partial

import click

from sketcher import __version__
from sketcher.cli.building import build_command, card_command
from sketcher.cli.files import check_command, hull_command, new_command, pack_command
from sketcher.cli.problems import exit_code
from sketcher.cli.scene_figures import compare_command, flood_command, report_command
from sketcher.cli.showing import open_command, picture_command
from sketcher.cli.sweeping import sweep_command

COMMANDS = (
    open_command,
    report_command,
    picture_command,
    check_command,
    compare_command,
    flood_command,
    sweep_command,
    hull_command,
    new_command,
    pack_command,
    build_command,
    card_command,
)

ANY_WIDTH = 10_000
"""Characters: help is as wide as the terminal, however wide that is."""


class _InOrder(click.Group):
    """A group that lists its commands as they were given."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)


@click.group(
    cls=_InOrder,
    commands={command.name or "": command for command in COMMANDS},
    invoke_without_command=True,
    context_settings={"max_content_width": ANY_WIDTH},
)
@click.version_option(__version__, message="%(prog)s %(version)s", help="Say which version this is.")
@click.pass_context
def sketcher_command(context: click.Context) -> None:
    """Bulkheads, lids and berths in your boat: place them, and see what spaces they make before you cut."""
    if context.invoked_subcommand is None:
        context.fail(f"which command? There are: {', '.join(command.name or '' for command in COMMANDS)}.")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Everything a user can cause ends in one to three lines on stderr."""
    return exit_code(partial(_run, list(sys.argv[1:] if arguments is None else arguments)))


def _run(arguments: list[str]) -> int:
    with sketcher_command.make_context("sketcher", arguments) as context:
        code: int = sketcher_command.invoke(context)
    sys.stdout.flush()
    return code
