"""Commands that read and write hull and scene files: `check`, `hull`, `new`, `pack`."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING

import click

from sketcher.cli.destination import Destination
from sketcher.cli.options import LENGTH_UNITS, OneOf, overwrite_option, scene_argument
from sketcher.cli.problems import DONE, STOPPED, buildable, complain
from sketcher.cli.reading_writing import write
from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.model.hull import Hull


@click.command("check")
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option("--sources", is_flag=True, help="Everything noticed in full, and what it rests on.")
@click.option("--for", "figure", metavar="FIGURE", help="Which readings to take again for it: 'litres of forward void', a limit.")
def check_command(files: Sequence[str], sources: bool, figure: str | None) -> int:
    """Read hull and scene files as a loftsman would.

    Ends with 1 where something stops the work.
    """
    return max(_checked(path, sources, figure) for path in files)


def _checked(path: str, sources: bool, figure: str | None) -> int:
    """Say what was noticed in a file, and what to measure again for a figure; the exit code it calls for."""
    from sketcher.analysis.checking import findings_of_file
    from sketcher.cli.certainty import measured_again
    from sketcher.outputs.tables.report import check_report

    try:
        with buildable(path):
            checked = findings_of_file(path)
            again = None if figure is None else measured_again(checked, figure, path)
    except SketchError as problem:
        return complain(problem)
    print(f"{path}:", check_report(checked, sources), sep="\n")
    if again is not None:
        print("", *again, sep="\n")
    return STOPPED if any(finding.severity == "stop" for finding in checked.findings) else DONE


@click.command("hull")
@click.argument("table", metavar="[CSV|SCAN]", required=False)
@click.option("-o", "--output", metavar="FILE")
@click.option("--name", help="The boat's name (default: the file's).")
@click.option(
    "--units", type=OneOf(LENGTH_UNITS), help="Of the file's figures (default: as a table says, else mm; of a scan, guessed)."
)
@click.option("--apart", is_flag=True, help="Keep port and starboard of a table apart (default: the mean of both).")
@click.option("--form", metavar="FORM", help="In place of a table: a first guess to be measured over; --form list tells them.")
@click.option("--dimensions", metavar="LENGTH,BEAM,DEPTH", help="Of the form; of a catamaran one hull's, and their distance.")
@click.option("--freeboards", metavar="BOW,STERN", help="Of the form.")
@click.option("--every", metavar="LENGTH", help="Of a scan: stations so far apart (default: 200 mm).")
@click.option("--inside/--outside", default=True, help="Of a scan: which face of her shell (default: inside).")
@click.option(
    "--points",
    nargs=3,
    metavar="BOW STERN KEEL",
    help="Of a scan: three places x,y,z on her centreline, bow and stern at one height, where she came out askew.",
)
@overwrite_option
def hull_command(
    table: str | None,
    output: str | None,
    name: str | None,
    units: str | None,
    apart: bool,
    form: str | None,
    dimensions: str | None,
    freeboards: str | None,
    every: str | None,
    inside: bool,
    points: Sequence[str] | None,
    overwrite: bool,
) -> int:
    """Turn a tape table, printed offsets or a scan into a hull file.

    A table is CSV, a scan PLY, STL, OBJ or XYZ; with --form a typical form of your dimensions is the beginning.

    A hull file that is there already keeps all but its stations, also with --overwrite.
    """
    if form == "list":
        return _forms_told()
    if output is None:
        raise SketchError("no file is named to write to", "Add -o hulls/my-boat.yaml.")
    if form is not None:
        return _guessed_hull(form, output, name, units or "mm", dimensions or "", freeboards, overwrite)
    if table is None:
        raise SketchError("no table is named, and no form", "Name a CSV table, or --form round-bilge with --dimensions.")
    from sketcher.cli.scanning import scan_asked
    from sketcher.model.files.scan_points import is_scan
    from sketcher.model.files.tables.offsets_table import is_offsets_table, read_offsets_table
    from sketcher.model.files.tables.tape_table import read_tape_table

    to = Destination(output, "hull", overwrite)
    if is_scan(table):
        scanned = scan_asked(table, name, units, every, "inside" if inside else "outside", points)
        to.refuse_loss([table])
        return _hull_written(scanned.hull, to, scanned.said, "Give it shell and deck, look at its ends, then", comment=True)
    if every or points or not inside:
        raise SketchError("--every, --outside and --points are for scans", "Leave them out for a table of measurements.", table)
    if is_offsets_table(table):
        lines = read_offsets_table(table, units=units, name=name)
        to.refuse_loss([table])
        return _hull_written(lines, to, [], "Give it stem, transom, deck and shell, then")
    read = read_tape_table(table, units=units, name=name, apart=apart)
    to.refuse_loss([table])
    return _hull_written(read.hull, to, [note.message for note in read.notes], "Give it stem, transom, deck and shell, then")


def _hull_written(hull: Hull, to: Destination, notes: Sequence[str], then: str, comment: bool = False) -> int:
    """A hull in its file, or its stations in the file that is there; then what was noticed.

    comment: the notes stand in a new file too, and what is doubtful is said on stderr.
    """
    from sketcher.model.files.hull_file import write_hull
    from sketcher.model.files.hull_saving import remeasure_hull

    output = to.path
    stations = f"{output}: {len(hull.stations)} stations"
    if os.path.exists(output) and not (to.overwrite and _is_no_hull(output)):
        kept = remeasure_hull(output, hull.stations)
        said = f"{stations} put into the hull {kept.name!r}; all else in the file stays as it was. Then"
    else:
        write_hull(hull, output, "\n".join(fill(note, 120) for note in notes) if comment else "")
        said = f"{stations}. {then}"
    for note in notes:
        print(note, file=sys.stderr if comment else sys.stdout)
    print(f"{said}: sketcher check {output}")
    return DONE


def _forms_told() -> int:
    """Tell the forms that a first guess may have."""
    from sketcher.analysis.ready.typical_forms import FORMS

    for word, each in FORMS.items():
        print(f"{word.replace(' ', '-'):16}{each.words}")
    return DONE


def _guessed_hull(
    form: str, output: str, name: str | None, units: str, dimensions: str, freeboards: str | None, overwrite: bool
) -> int:
    """Write a first guess of a hull."""
    from pathlib import Path

    from sketcher.analysis.ready.typical_forms import GUESSED, first_guess
    from sketcher.model.files.hull_file import write_hull

    length, beam, depth, *spacing = _lengths(dimensions, units, "--dimensions", 3)
    at_ends = None if freeboards is None else _lengths(freeboards, units, "--freeboards", 2)
    hull = first_guess(
        name or Path(output).stem.replace("-", " "),
        form.replace("-", " "),
        units,
        (length, beam, depth),
        None if at_ends is None else (at_ends[0], at_ends[1]),
        spacing[0] if spacing else None,
    )
    Destination(output, "hull", overwrite).refuse_loss([])
    write_hull(hull, output, GUESSED)
    print(f"{output}: a first guess, no point of it measured. Type over them: sketcher new SCENE --hull {output}, then open it.")
    return DONE


def _lengths(text: str, units: str, option: str, least: int) -> list[float]:
    """Lengths [m] between commas. Raises SketchError for fewer than are needed."""
    parts = [part for part in text.split(",") if part.strip()]
    if len(parts) < least:
        raise SketchError(f"{option} has {len(parts)} of {least} lengths", f"Write {option} with commas between, in {units}.")
    return [_length(part, units, option) for part in parts]


def _is_no_hull(path: str) -> bool:
    from sketcher.model.files.hull_file import read_hull

    try:
        read_hull(path)
    except SketchError:
        return True
    return False


@click.command("new")
@click.argument("scene")
@click.option("--hull", metavar="HULL", required=True)
@click.option("--layout", metavar="NAME", help="A ready layout, fitted to the hull; --layout list tells them.")
@click.option("--stature", metavar="LENGTH", help="Of who sleeps in its berth, in the hull's unit (default: 1.80 m).")
@click.option("--freeboards", metavar="BOW,STERN", help="Measured afloat; left out, her waterline is guessed, and said to be.")
@overwrite_option
def new_command(scene: str, hull: str, layout: str | None, stature: str | None, freeboards: str | None, overwrite: bool) -> int:
    """Begin a layout in a hull, empty or ready."""
    from pathlib import Path

    from sketcher.model.files.hull_file import read_hull
    from sketcher.model.files.scene_file import new_scene_text

    if layout == "list":
        return _list_layouts()
    if layout is None and (stature or freeboards):
        raise SketchError("--stature and --freeboards are for a ready layout", "Name one: --layout crash-berth.")
    measured = read_hull(hull)
    Destination(scene, "scene", overwrite).refuse_loss([hull])
    folder = os.path.dirname(os.path.abspath(scene))
    path = Path(os.path.relpath(os.path.abspath(hull), folder)).as_posix()
    if layout is None:
        write(scene, new_scene_text(f"{measured.name}, first layout", path, measured.units).encode())
        return DONE
    return _begin_ready(scene, measured, path, layout, stature, freeboards)


def _list_layouts() -> int:
    from sketcher.analysis.ready.layouts import LAYOUTS

    for name, layout in LAYOUTS.items():
        print(f"{name:14}{layout.words}")
    return DONE


def _begin_ready(scene: str, hull: Hull, path: str, layout: str, stature: str | None, freeboards: str | None) -> int:
    """Write a ready layout fitted to a hull, and say what its report opens with."""
    from sketcher.analysis.ready.fitted import STATURE, ready_layout
    from sketcher.model.files.scene_file import ready_scene_text
    from sketcher.model.scene import Waterline
    from sketcher.outputs.tables.first import LEVELS, verdict

    tall = STATURE if stature is None else _length(stature, hull.units, "--stature")
    waterline = None
    if freeboards is not None:
        bow, _, stern = freeboards.partition(",")
        waterline = Waterline(
            bow_freeboard=_length(bow, hull.units, "--freeboards"), stern_freeboard=_length(stern, hull.units, "--freeboards")
        )
    with buildable(hull.file or path):
        evaluation = ready_layout(layout, hull, path, tall, waterline)
    write(scene, ready_scene_text(evaluation.scene).encode())
    for line in verdict(evaluation.findings, hull.units).lines:
        print(f"{LEVELS[line.level]}: {line.text}")
    print(f"{scene}: begun as {layout}. Then: sketcher open {scene}")
    return DONE


def _length(written: str, unit: str, option: str) -> float:
    """A length of an option [m], above 0. Raises SketchError for anything else."""
    from sketcher.model.units import example_length, parse_length

    metres = parse_length(written.strip(), unit)
    if metres is None or metres <= 0.0:
        raise SketchError(
            f"{option}: `{written.strip()}` is not a length above 0", f"Write it in {unit}: {example_length(1.095, unit)}."
        )
    return metres


@click.command("pack")
@scene_argument
@click.option("-o", "--output", metavar="FILE.zip", required=True)
@overwrite_option
def pack_command(scene: str, output: str, overwrite: bool) -> int:
    """Put a layout and its hull into one file to send.

    Whoever gets it opens it with: sketcher open FILE.zip. All other commands read it as it is.
    """
    from sketcher.model.files.saving import open_scene
    from sketcher.model.files.sending import packed_boat
    from sketcher.model.packed import ENDING

    if not output.lower().endswith(ENDING):
        raise SketchError("a boat is packed as a zip", f"Give the file a name that ends in {ENDING}.", file=output)
    opened = open_scene(scene)
    Destination(output, "packed boat", overwrite).refuse_loss([scene, opened.scene.hull.file])
    write(output, packed_boat(opened, opened.scene))
    return DONE
