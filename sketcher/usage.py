"""What may be typed behind `sketcher`, and the words for what may not."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from typing import Any, NoReturn

from sketcher.model.errors import SketchError, nearest

VIEWS = ("quarter", "profile", "plan", "ahead")
LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")


def parse(arguments: Sequence[str]) -> argparse.Namespace:
    """The options of one command, its name in `command`. Raises SketchError with the nearest right word."""
    parser, commands = _parsers(arguments)
    if not arguments:
        raise SketchError("sketcher: which command?", f"There are: {', '.join(commands)}. See: sketcher --help")
    options, beyond = parser.parse_known_args(arguments)
    if beyond:
        name = options.command
        known = [word for action in commands[name]._actions for word in action.option_strings]
        near = nearest(beyond[0], known) if beyond[0].startswith("-") else None
        remedy = f"Did you mean {near}?" if near else f"See: sketcher {name} --help"
        raise SketchError(f"sketcher {name} does not know what to do with {beyond[0]!r}", remedy)
    return options


class _Formatter(argparse.HelpFormatter):
    """As wide as the terminal, found without the slow imports that its parent needs for that."""

    def __init__(self, prog: str, **rest: Any) -> None:
        super().__init__(prog, **{"width": _columns() - 2} | rest)


def _columns() -> int:
    wanted = os.environ.get("COLUMNS", "")
    if wanted.isdecimal() and int(wanted) > 0:
        return int(wanted)
    try:
        return os.get_terminal_size().columns or 80
    except OSError:
        return 80


class _Parser(argparse.ArgumentParser):
    """Like its parent, but wrong usage is an error in our own words."""

    def __init__(self, **how: Any) -> None:
        super().__init__(**{"formatter_class": _Formatter} | how)

    def error(self, message: str) -> NoReturn:
        raise SketchError(f"{self.prog}: {message}", f"See: {self.prog} --help")

    def _check_value(self, action: argparse.Action, value: object) -> None:
        if action.choices is None or value in action.choices:
            return
        near = nearest(str(value), map(str, action.choices))
        what = "command" if isinstance(action, argparse._SubParsersAction) else f"value of {'/'.join(action.option_strings)}"
        remedy = f"Did you mean {near}?" if near else f"There are: {', '.join(map(str, action.choices))}."
        raise SketchError(f"{self.prog}: {value!r} is no {what}", remedy)


class _ShowVersion(argparse.Action):
    """Looked up only when asked for: the lookup is slow."""

    def __call__(self, parser: argparse.ArgumentParser, *_rest: object) -> NoReturn:
        from importlib.metadata import PackageNotFoundError, version

        try:
            print(f"sketcher {version('sketcher')}")
        except PackageNotFoundError:
            print("sketcher, not installed")
        parser.exit()


def _parsers(arguments: Sequence[str]) -> tuple[_Parser, dict[str, argparse.ArgumentParser]]:
    """The parser of the whole line, and each command's own; only one that is typed gets its arguments, to start sooner."""
    parser = _Parser(
        prog="sketcher",
        description="Bulkheads, lids and berths in your boat: place them, and see what spaces they make before you cut.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_ShowVersion, nargs=0, help="say which version this is")
    added = parser.add_subparsers(metavar="COMMAND", required=True, dest="command")
    commands: dict[str, argparse.ArgumentParser] = {}
    for name, (words, fill) in _COMMANDS.items():
        commands[name] = added.add_parser(name, help=words, description=words, allow_abbrev=False)
        if name in arguments:
            fill(commands[name])
    return parser, commands


def _open(made: argparse.ArgumentParser) -> None:
    made.add_argument("scene", metavar="SCENE", nargs="?", help="a scene's file (default: a demo)")
    made.add_argument("--port", type=int, help="default: the first free one")
    host = "an address that other machines can reach asks for a key (default: %(default)s)"
    made.add_argument("--host", default="127.0.0.1", help=host)
    made.add_argument("--no-browser", action="store_true", help="only serve the page and say where it is")


def _report(made: argparse.ArgumentParser) -> None:
    made.add_argument("scene", metavar="SCENE")
    form = made.add_mutually_exclusive_group()
    _json(form)
    form.add_argument("--csv", action="store_true", help="for a spreadsheet, in metres and cubic metres")
    drafts = "how she floats at other drafts: a table; with -o FILE.svg or FILE.pdf, curves"
    form.add_argument("--drafts", action="store_true", help=drafts)
    _units(made)
    _output(made)


def _picture(made: argparse.ArgumentParser) -> None:
    made.add_argument("scene", metavar="SCENE")
    made.add_argument("-o", "--output", metavar="FILE.png", required=True, help="profile and plan also as FILE.svg or FILE.pdf")
    made.add_argument("--view", choices=VIEWS, default="quarter", help="from where: %(choices)s (default: %(default)s)")
    made.add_argument("--holed", metavar="NAME", action="append", help="show her as she lies with this compartment holed")
    _units(made)


def _check(made: argparse.ArgumentParser) -> None:
    made.add_argument("files", metavar="FILE", nargs="+")


def _compare(made: argparse.ArgumentParser) -> None:
    made.add_argument("scenes", metavar="SCENE", nargs="+")
    _units(made)
    _output(made)


def _flood(made: argparse.ArgumentParser) -> None:
    made.add_argument("scene", metavar="SCENE")
    holed = "a compartment; again for more at once (default: each by itself, and each adjoining pair)"
    made.add_argument("--holed", metavar="NAME", action="append", help=holed)
    made.add_argument("--condition", metavar="NAME", help="with the weights of this condition (default: those that have none)")
    made.add_argument("--fill", metavar="NAME", help="compare a compartment as it is, empty, and with bottles or foam as usual")
    made.add_argument("--pump", metavar="NAME", help="a pump at the lowest point of a flooded compartment, the hole stopped")
    made.add_argument("--rate", metavar="L_PER_MIN", type=float, default=30.0, help="of the pump, litres a minute (default: 30)")
    _json(made)
    _units(made)
    _output(made)


def _hull(made: argparse.ArgumentParser) -> None:
    made.add_argument("table", metavar="CSV")
    made.add_argument("-o", "--output", metavar="FILE", required=True)
    made.add_argument("--name", help="the boat's name (default: the file's)")
    made.add_argument("--units", choices=LENGTH_UNITS, help="of the table's figures (default: as the table says, else mm)")


def _new(made: argparse.ArgumentParser) -> None:
    made.add_argument("scene", metavar="SCENE")
    made.add_argument("--hull", metavar="HULL", required=True)


def _build(made: argparse.ArgumentParser) -> None:
    made.add_argument("scene", metavar="SCENE")
    made.add_argument("-o", "--output", metavar="FOLDER", required=True, help="made if it is not there; replaced file by file")
    made.add_argument("--paper", choices=("a4", "letter"), default="a4", help="of booklet and tiles (default: %(default)s)")
    _units(made)


def _json(made: argparse._ActionsContainer) -> None:
    made.add_argument("--json", action="store_true", help="for other programs, in metres and cubic metres")


def _units(made: argparse.ArgumentParser) -> None:
    made.add_argument("--units", choices=LENGTH_UNITS, help="for lengths (default: those of the scene's file)")


def _output(made: argparse.ArgumentParser) -> None:
    made.add_argument("-o", "--output", metavar="FILE", help="write to a file instead of the screen")


_COMMANDS = {
    "open": ("open the sketch in the browser: place and drag, every figure live", _open),
    "report": ("print litres, waterline, berths and what was noticed", _report),
    "picture": ("draw the boat with her compartments: a PNG picture, or an SVG or PDF drawing to scale", _picture),
    "check": ("read hull and scene files as a loftsman would and say what looks wrong", _check),
    "compare": ("set layouts side by side, differences first", _compare),
    "flood": ("hole spaces: what fills, how she floats then, which lids go under", _flood),
    "hull": ("turn a table of tape measurements (CSV) into a hull file", _hull),
    "new": ("begin a layout in a hull", _new),
    "build": ("patterns at true size, sheets, lists and a booklet to build from", _build),
}
