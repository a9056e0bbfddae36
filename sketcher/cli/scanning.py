"""A hull from a scan: what has to be asked, and what has to be said."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple

import click

from sketcher.cli.options import LENGTH_UNITS, OneOf
from sketcher.model.errors import SketchError, quoted
from sketcher.model.hull import Hull
from sketcher.model.units import parse_length, parse_number

if TYPE_CHECKING:
    from sketcher.geometry.mesh import Floats


class AskedScan(NamedTuple):
    """The hull, and what its owner must know of it, line by line."""

    hull: Hull
    said: tuple[str, ...]


def scan_asked(
    path: str,
    name: str | None,
    units: str | None,
    every: str | None,
    face: Literal["inside", "outside"],
    points: Sequence[str] | None,
) -> AskedScan:
    """The hull of a scan's file. units: of the scan; asked for on a terminal where they are not sure."""
    from sketcher.analysis.scan.scale import metres_in, spread_over
    from sketcher.analysis.scan.scan_findings import scan_findings
    from sketcher.analysis.scan.scanned_hull import EVERY, hull_of_scan, reach
    from sketcher.model.files.scan_points import read_scan
    from sketcher.outputs.wording.sentences import message

    scan = read_scan(path)
    cloud = spread_over(scan.points, scan.triangles)
    unit, said = _unit(path, reach(cloud), units)
    written = "in" if unit in ("in", "ft") else "mm"
    apart = EVERY if every is None else parse_length(every, written)
    if apart is None or not 0.02 <= apart <= 2.0:
        raise SketchError(f"--every {quoted(every or '')} is no distance between stations", "Write 200 mm, or 8 in.")
    scale = metres_in(unit)
    three = _three(points, scale) if points else None
    called = name or Path(path).stem.replace("-", " ").replace("_", " ")
    try:
        scanned = hull_of_scan(cloud * scale, called, written, face, apart, three)
    except SketchError as problem:
        raise SketchError(problem.message, problem.remedy, path) from None
    left_out = [f"{scan.left_out} points without a place were left out."] if scan.left_out else []
    return AskedScan(scanned.hull, (said, *left_out, *(message(each, written) for each in scan_findings(scanned))))


def _unit(path: str, length: float, stated: str | None) -> tuple[str, str]:
    """The scan's unit and what is said of it. Raises SketchError where no unit makes a boat of it."""
    from sketcher.analysis.scan.scale import likely_units, metres_in

    units = likely_units(length)
    if stated is None and not units:
        raise SketchError(
            f"the scan reaches over {length:.4g} of its units, which is no small boat in any unit",
            "Say which unit it is in with --units, or leave out what stands round her.",
            path,
        )
    unit = stated or units[0]
    if stated is None and len(units) > 1 and sys.stdin.isatty() and sys.stderr.isatty():
        unit = click.prompt(
            f"The scan reaches over {length:.4g}. In which unit", default=unit, type=OneOf(LENGTH_UNITS), err=True
        )
        stated = unit
    others = "" if stated or len(units) < 2 else f"; --units {units[1]} if it is not"
    return unit, f"The scan reaches over {length:.4g} {unit}, {length * metres_in(unit):.2f} m{others}."


def _three(points: Sequence[str], scale: float) -> tuple[Floats, Floats, Floats]:
    """Three places [m] as typed. Raises SketchError for what is none, or where they lie in a line."""
    import numpy as np

    places = []
    for text in points:
        numbers = [parse_number(part) for part in text.split(",")]
        if len(numbers) != 3 or None in numbers:
            raise SketchError(f"--points: {quoted(text)!r} is no place", "Write x,y,z in the scan's own unit, without spaces.")
        places.append(np.array(numbers, dtype=np.float64) * scale)
    bow, stern, keel = places
    if np.linalg.norm(np.cross(stern - bow, keel - bow)) < 1e-3:
        raise SketchError("--points: the three places lie in a line", "Give bow and stern at one height, and the keel below.")
    return bow, stern, keel
