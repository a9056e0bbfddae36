"""The command line: one thin face over the same functions that Python and the page use. What a command needs, it imports."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, NoReturn

from sketcher.model.errors import SketchError, nearest

if TYPE_CHECKING:
    from sketcher.analysis.results import Evaluation

DONE, STOPPED, UNUSABLE, INTERRUPTED = 0, 1, 2, 130
"""Exit codes: done; `check` found a finding that stops; bad usage or an unreadable file; Ctrl-C."""

VIEWS = ("quarter", "profile", "plan", "ahead")
LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")

Command = Callable[[argparse.Namespace], int]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Everything a user can cause ends in one to three lines on stderr."""
    _let_any_name_print()
    try:
        options = _parse(sys.argv[1:] if arguments is None else list(arguments))
        command: Command = options.command
        code = command(options)
        sys.stdout.flush()
        return code
    except SketchError as problem:
        return _complain(_in_words(problem))
    except BrokenPipeError:
        # What reads our output has seen enough; Python must not complain again when it closes.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return INTERRUPTED
    except MemoryError:
        return _complain("there is not enough memory for this boat\nClose other programs, or leave panels out.")


def report(options: argparse.Namespace) -> int:
    """`report SCENE`: the figures as text, JSON or CSV."""
    _refuse_units_of_data(options)
    evaluation = _evaluated(options.scene)
    if options.json:
        _put(_json(evaluation, None), options.output)
    elif options.csv:
        from sketcher.outputs.figures import as_csv

        _put(as_csv(evaluation), options.output)
    else:
        from sketcher.outputs.report import report as report_text

        _put(report_text(evaluation, options.units), options.output)
    return DONE


def picture(options: argparse.Namespace) -> int:
    """`picture SCENE -o FILE.png`: the boat seen from one of four places."""
    from sketcher.outputs.picture import check_picture_file, picture_png

    check_picture_file(options.output)
    evaluation = _evaluated(options.scene)
    _write(options.output, picture_png(evaluation, options.view, units=options.units))
    return DONE


def check(options: argparse.Namespace) -> int:
    """`check FILE...`: read hulls and scenes as a loftsman would; 1 where something stops."""
    from sketcher.analysis.checking import findings_of_file
    from sketcher.outputs.report import finding_lines
    from sketcher.outputs.words import by_severity

    code = DONE
    for path in options.files:
        try:
            with _buildable(path):
                findings = by_severity(findings_of_file(path))
        except SketchError as problem:
            code = max(code, _complain(_in_words(problem)))
            continue
        lines = [line for finding in findings for line in finding_lines(finding)]
        print(f"{path}:" if lines else f"{path}: nothing to remark", *lines, sep="\n")
        if any(finding.severity == "stop" for finding in findings):
            code = max(code, STOPPED)
    return code


def compare(options: argparse.Namespace) -> int:
    """`compare SCENE SCENE...`: layouts side by side, differences first."""
    from sketcher.outputs.comparison import comparison

    _put(comparison([_evaluated(path) for path in options.scenes], options.units), options.output)
    return DONE


def flood(options: argparse.Namespace) -> int:
    """`flood SCENE [--holed NAME]...`: what happens when spaces are holed."""
    _refuse_units_of_data(options)
    evaluation = _evaluated(options.scene)
    if options.json:
        _put(_json(evaluation, options.holed), options.output)
    else:
        from sketcher.analysis.flooding import flooding_cases
        from sketcher.outputs.flooding import flooding_report

        cases = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, options.holed)
        _put(flooding_report(evaluation, cases, options.units, detail=options.holed is not None), options.output)
    return DONE


def open_page(options: argparse.Namespace) -> int:
    """`open [SCENE]`: the sketch in the browser, until Ctrl-C."""
    from sketcher.web.app import serve

    serve(options.scene, host=options.host, port=options.port, open_browser=not options.no_browser)
    return DONE


def hull(options: argparse.Namespace) -> int:
    """`hull CSV -o FILE`: a table of measurements as a hull file."""
    from sketcher.model.hull_file import write_hull
    from sketcher.model.tape_table import read_tape_table

    table = read_tape_table(options.table, units=options.units, name=options.name)
    write_hull(table.hull, options.output)
    for note in table.notes:
        print(note.message)
    stations = len(table.hull.stations)
    print(f"{options.output}: {stations} stations. Give it stem, transom, deck and shell, then: sketcher check {options.output}")
    return DONE


def new(options: argparse.Namespace) -> int:
    """`new SCENE --hull HULL`: an empty layout in a hull."""
    from pathlib import Path

    from sketcher.model.hull_file import read_hull
    from sketcher.model.scene_file import new_scene_text

    if os.path.exists(options.scene):
        raise SketchError("there is a file of this name already", "Give the new scene another name.", file=options.scene)
    found = read_hull(options.hull)
    folder = os.path.dirname(os.path.abspath(options.scene))
    path = Path(os.path.relpath(os.path.abspath(options.hull), folder)).as_posix()
    _write(options.scene, new_scene_text(f"{found.name}, first layout", path, found.units).encode())
    return DONE


def _parse(arguments: list[str]) -> argparse.Namespace:
    parser = _parser()
    if not arguments:
        raise SketchError("sketcher: which command?", f"There are: {', '.join(_choices(parser))}. See: sketcher --help")
    options, beyond = parser.parse_known_args(arguments)
    if beyond:
        known = [name for action in _choices(parser)[options.name_of_command]._actions for name in action.option_strings]
        near = nearest(beyond[0], known) if beyond[0].startswith("-") else None
        remedy = f"Did you mean {near}?" if near else f"See: sketcher {options.name_of_command} --help"
        raise SketchError(f"sketcher {options.name_of_command} does not know what to do with {beyond[0]!r}", remedy)
    return options


class _Parser(argparse.ArgumentParser):
    """Like its parent, but wrong usage is an error in our own words."""

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


def _parser() -> _Parser:
    parser = _Parser(
        prog="sketcher",
        description="Bulkheads, lids and berths in your boat: place them, and see what spaces they make before you cut.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_ShowVersion, nargs=0, help="say which version this is")
    commands = parser.add_subparsers(metavar="COMMAND", required=True, dest="name_of_command")

    def command(name: str, run: Command, words: str) -> argparse.ArgumentParser:
        added: argparse.ArgumentParser = commands.add_parser(name, help=words, description=words, allow_abbrev=False)
        added.set_defaults(command=run)
        return added

    made = command("open", open_page, "open the sketch in the browser: place and drag, every figure live")
    made.add_argument("scene", metavar="SCENE", nargs="?", help="a scene's file (default: a demo)")
    made.add_argument("--port", type=int, help="default: the first free one")
    made.add_argument(
        "--host", default="127.0.0.1", help="an address other machines can reach asks for a key (default: %(default)s)"
    )
    made.add_argument("--no-browser", action="store_true", help="only serve the page and say where it is")

    made = command("report", report, "print litres, waterline, berths and what was noticed")
    made.add_argument("scene", metavar="SCENE")
    form = made.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="for other programs, in metres and cubic metres")
    form.add_argument("--csv", action="store_true", help="for a spreadsheet, in metres and cubic metres")
    _units(made)
    made.add_argument("-o", "--output", metavar="FILE", help="write to a file instead of the screen")

    made = command("picture", picture, "draw the boat with her compartments as a PNG picture")
    made.add_argument("scene", metavar="SCENE")
    made.add_argument("-o", "--output", metavar="FILE.png", required=True)
    made.add_argument("--view", choices=VIEWS, default="quarter", help="from where: %(choices)s (default: %(default)s)")
    _units(made)

    made = command("check", check, "read hull and scene files as a loftsman would and say what looks wrong")
    made.add_argument("files", metavar="FILE", nargs="+")

    made = command("compare", compare, "set layouts side by side, differences first")
    made.add_argument("scenes", metavar="SCENE", nargs="+")
    _units(made)
    made.add_argument("-o", "--output", metavar="FILE", help="write to a file instead of the screen")

    made = command("flood", flood, "hole spaces: what fills, how she floats then, which lids go under")
    made.add_argument("scene", metavar="SCENE")
    made.add_argument(
        "--holed",
        metavar="NAME",
        action="append",
        help="a compartment; again for more at once (default: each, and each adjoining pair)",
    )
    made.add_argument("--json", action="store_true", help="for other programs, in metres and cubic metres")
    _units(made)
    made.add_argument("-o", "--output", metavar="FILE", help="write to a file instead of the screen")

    made = command("hull", hull, "turn a table of tape measurements (CSV) into a hull file")
    made.add_argument("table", metavar="CSV")
    made.add_argument("-o", "--output", metavar="FILE", required=True)
    made.add_argument("--name", help="the boat's name (default: the file's)")
    made.add_argument("--units", choices=LENGTH_UNITS, help="of the table's figures (default: as the table says, else mm)")

    made = command("new", new, "begin a layout in a hull")
    made.add_argument("scene", metavar="SCENE")
    made.add_argument("--hull", metavar="HULL", required=True)
    return parser


def _units(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--units", choices=LENGTH_UNITS, help="for lengths (default: those of the scene's file)")


def _choices(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    actions = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]
    found: dict[str, argparse.ArgumentParser] = actions[0].choices
    return found


def _evaluated(path: str) -> Evaluation:
    from sketcher.analysis.evaluate import evaluate
    from sketcher.model.scene_file import read_scene

    scene = read_scene(path)
    with _buildable(path):
        return evaluate(scene)


@contextmanager
def _buildable(path: str) -> Iterator[None]:
    """A shape that the solids' kernel refuses is the file's fault, and is said as such."""
    from sketcher.geometry.mesh import GeometryError

    try:
        yield
    except GeometryError as problem:
        remedy = "Look at the station or panel changed last: a corner folded over, or faces that cross far outside the boat."
        raise SketchError(f"no closed boat can be made of this: {problem}", remedy, file=path) from problem


def _refuse_units_of_data(options: argparse.Namespace) -> None:
    """Figures for other programs are always in metres: a unit asked for would be silently ignored."""
    data = next((name for name in ("json", "csv") if getattr(options, name, False)), None)
    if data and options.units:
        raise SketchError(f"--{data} prints metres, whatever the unit asked for", "Leave --units out.")


def _json(evaluation: Evaluation, holed: Sequence[str] | None) -> str:
    """The figures with the flooding of the spaces named, or of each space and each adjoining pair."""
    from sketcher.analysis.flooding import flooding_cases
    from sketcher.outputs.figures import as_json
    from sketcher.outputs.flooding import case_figures

    cases = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, holed)
    return as_json(evaluation, [case_figures(case) for case in cases])


def _put(text: str, path: str | None) -> None:
    if path is None:
        sys.stdout.write(text)
    else:
        _write(path, text.encode())


def _write(path: str, data: bytes) -> None:
    from sketcher.model.writing import replace_file

    replace_file(path, data)


def _in_words(problem: SketchError) -> str:
    """An error with the line of its key, which what was noticed after reading does not know."""
    from sketcher.model.locating import located

    return str(located(problem))


def _complain(text: str) -> int:
    print(text, file=sys.stderr)
    return UNUSABLE


def _let_any_name_print() -> None:
    """A name that the terminal has no letters for is printed with question marks, not refused."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
