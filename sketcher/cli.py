"""The command line: one thin face over the same functions that Python and the page use. What a command needs, it imports."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sketcher.model.errors import SketchError
from sketcher.usage import parse

if TYPE_CHECKING:
    from sketcher.analysis.evaluation import Evaluation
    from sketcher.analysis.flooding.results import FloodingCase
    from sketcher.outputs.drawing.recording import Drawing

DONE, STOPPED, UNUSABLE, INTERRUPTED = 0, 1, 2, 130
"""Exit codes: done; `check` found a finding that stops; bad usage or an unreadable file; Ctrl-C."""

DRAWINGS = (".svg", ".pdf")
"""Endings of files that hold a drawing to scale."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Everything a user can cause ends in one to three lines on stderr."""
    _let_any_name_print()
    try:
        options = parse(sys.argv[1:] if arguments is None else list(arguments))
        code = COMMANDS[options.command](options)
        sys.stdout.flush()
        return code
    except SketchError as problem:
        return _complain(_in_words(problem))
    except BrokenPipeError:
        # What reads our output has seen enough; Python must not complain again when it closes.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as problem:
        # Files are read and written with words of their own: what is left is what we print to.
        return _complain(f"the output cannot be written: {problem.strerror or problem}\nMake room, or send it elsewhere.")
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
    elif options.drafts:
        _put_drafts(evaluation, options)
    elif options.csv:
        from sketcher.outputs.tables.json_figures import as_csv

        _put(as_csv(evaluation), options.output)
    else:
        from sketcher.outputs.tables.report import report as report_text

        _put(report_text(evaluation, options.units), options.output)
    return DONE


def _put_drafts(evaluation: Evaluation, options: argparse.Namespace) -> None:
    """The table of drafts, or its curves where a drawing's file is named."""
    from sketcher.outputs.drawing.hydrostatic_curves import curves
    from sketcher.outputs.tables.hydrostatics import hydrostatics_report

    if options.output and options.output.lower().endswith(DRAWINGS):
        _write_drawing(options.output, curves(evaluation))
    else:
        _put(hydrostatics_report(evaluation, options.units), options.output)


def picture(options: argparse.Namespace) -> int:
    """`picture SCENE -o FILE.png`: the boat seen from one of four places; as SVG or PDF a dimensioned drawing to scale."""
    if options.output.lower().endswith(DRAWINGS):
        return _drawing(options)
    from sketcher.outputs.scene3d.picture import check_picture_file, picture_png

    check_picture_file(options.output)
    evaluation = _evaluated(options.scene)
    case = None
    if options.holed:
        from sketcher.analysis.flooding.cases import flooding_cases

        case = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, options.holed)[0]
    _write(options.output, picture_png(evaluation, options.view, units=options.units, case=case))
    return DONE


def _drawing(options: argparse.Namespace) -> int:
    from sketcher.outputs.drawing.views import plan_drawing, profile_drawing

    draw = {"profile": profile_drawing, "plan": plan_drawing}.get(options.view)
    if options.holed:
        raise SketchError("a drawing shows her unholed", "Leave --holed out, or name a file that ends in .png.")
    if draw is None:
        remedy = "Add --view profile or --view plan, or name a file that ends in .png."
        raise SketchError(f"there is no drawing to scale for the view {options.view!r}", remedy)
    _write_drawing(options.output, draw(_evaluated(options.scene), units=options.units))
    return DONE


def _write_drawing(path: str, drawing: Drawing) -> None:
    if path.lower().endswith(".pdf"):
        from sketcher.outputs.drawing.pdf import as_pdf

        _write(path, as_pdf([drawing]))
    else:
        from sketcher.outputs.drawing.svg import as_svg

        _write(path, as_svg(drawing).encode())


def check(options: argparse.Namespace) -> int:
    """`check FILE...`: read hulls and scenes as a loftsman would; 1 where something stops."""
    from sketcher.analysis.checking import findings_of_file
    from sketcher.outputs.tables.report import notice_lines
    from sketcher.outputs.wording.quantities import by_severity

    code = DONE
    for path in options.files:
        try:
            with _buildable(path):
                checked = findings_of_file(path)
        except SketchError as problem:
            code = max(code, _complain(_in_words(problem)))
            continue
        findings = by_severity(checked.findings)
        lines = notice_lines(findings, checked.unit)
        print(f"{path}:" if lines else f"{path}: nothing to remark", *lines, sep="\n")
        if any(finding.severity == "stop" for finding in findings):
            code = max(code, STOPPED)
    return code


def compare(options: argparse.Namespace) -> int:
    """`compare SCENE SCENE...`: layouts side by side, differences first."""
    from sketcher.analysis.flooding.cases import flooding_cases
    from sketcher.outputs.tables.comparison import comparison

    found = [_evaluated(path) for path in options.scenes]
    flooding = [flooding_cases(each.layout, each.water, each.floating) for each in found]
    _put(comparison(found, options.units, flooding), options.output)
    return DONE


def flood(options: argparse.Namespace) -> int:
    """`flood SCENE [--holed NAME]...`: what happens when spaces are holed."""
    _refuse_units_of_data(options)
    evaluation = _evaluated(options.scene)
    _refuse_condition(evaluation, options.condition)
    if options.json:
        _put(_json(evaluation, options.holed, options.condition), options.output)
    else:
        from sketcher.analysis.flooding.cases import flooding_cases
        from sketcher.outputs.tables.flooding import flooding_report

        cases = flooding_cases(
            evaluation.layout, evaluation.water, evaluation.floating, options.holed, condition=options.condition
        )
        text = flooding_report(evaluation, cases, options.units, detail=options.holed is not None)
        _put(text + _afterwards(evaluation, cases, options), options.output)
    return DONE


def _afterwards(evaluation: Evaluation, cases: Sequence[FloodingCase], options: argparse.Namespace) -> str:
    """Fills compared and the pump, for the one case that was asked for."""
    if not (options.fill or options.pump):
        return ""
    if options.holed is None:
        raise SketchError("a fill or a pump needs to know what is holed", "Add --holed with a compartment's name.")
    from sketcher.outputs.tables.flooding_remedies import fills_compared, pumped_out
    from sketcher.outputs.tables.report import WIDTH

    unit = options.units or evaluation.scene.units
    parts = [fills_compared(evaluation, cases[0], options.fill, options.condition, unit)] if options.fill else []
    if options.pump:
        parts.append(pumped_out(evaluation, cases[0], options.pump, options.rate, unit, WIDTH))
    return "".join("\n" + "\n".join(part) + "\n" for part in parts)


def _refuse_condition(evaluation: Evaluation, condition: str | None) -> None:
    from sketcher.analysis.loading.weights import conditions

    known = conditions(evaluation.scene)
    if condition is not None and condition not in known:
        said = f"Conditions: {', '.join(known)}." if known else "Give weights a `condition` in the scene."
        raise SketchError(f"no weight belongs to a condition {condition!r}", said, evaluation.scene.file)


def open_page(options: argparse.Namespace) -> int:
    """`open [SCENE]`: the sketch in the browser, until Ctrl-C."""
    from sketcher.web.app import serve

    serve(options.scene, host=options.host, port=options.port, open_browser=not options.no_browser)
    return DONE


def hull(options: argparse.Namespace) -> int:
    """`hull CSV -o FILE`: a table of measurements as a hull file; one that is there keeps all but its stations."""
    from sketcher.model.files.hull_file import write_hull
    from sketcher.model.files.tape_table import read_tape_table

    table = read_tape_table(options.table, units=options.units, name=options.name)
    stations = len(table.hull.stations)
    there = os.path.exists(options.output)
    if there:
        from sketcher.model.files.remeasuring import remeasure_hull

        kept = remeasure_hull(options.output, table.hull.stations)
    else:
        write_hull(table.hull, options.output)
    for note in table.notes:
        print(note.message)
    if there:
        said = f"{stations} stations from the table put into the hull {kept.name!r}; all else in the file stays as it was"
        print(f"{options.output}: {said}. Then: sketcher check {options.output}")
        return DONE
    print(f"{options.output}: {stations} stations. Give it stem, transom, deck and shell, then: sketcher check {options.output}")
    return DONE


def new(options: argparse.Namespace) -> int:
    """`new SCENE --hull HULL`: an empty layout in a hull."""
    from pathlib import Path

    from sketcher.model.files.hull_file import read_hull
    from sketcher.model.files.scene_file import new_scene_text

    if os.path.exists(options.scene):
        raise SketchError("there is a file of this name already", "Give the new scene another name.", file=options.scene)
    found = read_hull(options.hull)
    folder = os.path.dirname(os.path.abspath(options.scene))
    path = Path(os.path.relpath(os.path.abspath(options.hull), folder)).as_posix()
    _write(options.scene, new_scene_text(f"{found.name}, first layout", path, found.units).encode())
    return DONE


def build(options: argparse.Namespace) -> int:
    """`build SCENE -o FOLDER`: patterns, sheets, lists and the booklet; Ctrl-C ends the laying on sheets, again ends all."""
    from sketcher.analysis.cut.plan import build_plan
    from sketcher.outputs.paper.booklet import scene_fingerprint
    from sketcher.outputs.paper.build_files import build_files
    from sketcher.outputs.paper.output_folder import check_folder, write_folder
    from sketcher.outputs.wording.sentences import message

    check_folder(options.output)
    evaluation = _evaluated(options.scene)
    with _buildable(options.scene), _until_interrupted() as watch:
        plan = build_plan(evaluation, watch)
    files = build_files(plan, options.paper, options.units)
    head = f"{evaluation.scene.name}, {evaluation.scene.hull.name}; fingerprint {scene_fingerprint(evaluation.scene)}"
    written = write_folder(options.output, files, head)
    for finding in plan.findings:
        print(f"{finding.severity}: {message(finding, options.units or evaluation.scene.units)}")
    print(f"{options.output}: {len(plan.patterns)} boards, {len(written)} files; begin with booklet.pdf")
    return DONE


@contextmanager
def _until_interrupted() -> Iterator[Callable[[int, int], bool]]:
    """A watch that tells how far it is on a terminal, and stops at the first Ctrl-C; the second is as ever."""
    import signal

    asked = False

    def stop(*_: object) -> None:
        nonlocal asked
        asked = True
        signal.signal(signal.SIGINT, before)

    def watch(done: int, total: int) -> bool:
        if sys.stderr.isatty():
            print(f"\rlaying boards on sheets: {100 * done // max(total, 1)} %", end="", file=sys.stderr)
        return not asked

    try:
        before = signal.signal(signal.SIGINT, stop)
    except ValueError:
        # Only the main thread may listen for signals.
        yield watch
        return
    try:
        yield watch
    finally:
        signal.signal(signal.SIGINT, before)
        if sys.stderr.isatty():
            print("\r\033[K", end="", file=sys.stderr)


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "open": open_page,
    "report": report,
    "picture": picture,
    "check": check,
    "compare": compare,
    "flood": flood,
    "hull": hull,
    "new": new,
    "build": build,
}


def _evaluated(path: str) -> Evaluation:
    from sketcher.analysis.evaluate import evaluate
    from sketcher.model.files.scene_file import read_scene

    scene = read_scene(path)
    with _buildable(path):
        if not scene.bottles:
            return evaluate(scene)
        from sketcher.outputs.progress import Counting

        counting = Counting()
        try:
            return evaluate(scene, counting)
        finally:
            counting.done()


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


def _json(evaluation: Evaluation, holed: Sequence[str] | None, condition: str | None = None) -> str:
    """The figures with the flooding of the spaces named, or of each space and each adjoining pair."""
    from sketcher.analysis.evaluate import with_flooding
    from sketcher.analysis.flooding.cases import flooding_cases
    from sketcher.outputs.tables.flooding import case_figures
    from sketcher.outputs.tables.json_figures import as_json

    cases = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, holed, condition=condition)
    return as_json(with_flooding(evaluation, cases), [case_figures(case) for case in cases])


def _put(text: str, path: str | None) -> None:
    if path is None:
        sys.stdout.write(text)
    else:
        _write(path, text.encode())


def _write(path: str, data: bytes) -> None:
    from sketcher.model.files.replacement import replace_file

    replace_file(path, data)


def _in_words(problem: SketchError) -> str:
    """An error with the line of its key, which what was noticed after reading does not know."""
    from sketcher.model.files.line_lookup import located

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
