"""Tables of offsets as lines plans print them."""

from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest
from places import HULLS

from sketcher.analysis.hull.form import form_hull
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.tables.offsets_table import is_offsets_table, read_offsets_table
from sketcher.model.files.tables.tape_table import read_tape_table
from sketcher.model.hull import Hull

INCH = 0.0254
PRINT = """\
0-0-0,1-6-0,0-0-0,0-0-1,0-0-1,-,-
1-0-0,1-4-4,0-1-3,0-2-7,0-2-3,0-1-5,0-0-6
2-0-0,1-2-7,0-0-4,0-7-4,0-5-1,0-4-0,0-2-3
3-0-0,1-1-4,0-0-1,0-10-2,0-8-1,0-6-6,0-4-4
4-0-0,1-0-2,0-0-0,1-0-2,0-10-7,0-9-4,0-6-6
5-0-0,0-11-5,0-0-0,1-1-5,1-1-0,0-11-6,0-9-2
6-0-0,0-11-1,0-0-0,1-2-3,1-2-2,1-1-3,0-11-2
7-0-0,0-11-0,0-0-0,1-2-6,1-2-7,1-2-2,1-0-2
8-0-0,0-11-1,0-0-0,1-2-4,1-2-6,1-2-0,0-11-7
9-0-0,0-11-3,0-0-0,1-2-1,1-1-6,1-0-5,0-10-2
10-0-0,1-0-0,0-0-0,1-1-0,0-11-6,0-10-4,0-7-6
11-0-0,1-0-6,0-0-1,0-10-6,0-9-0,0-7-4,0-5-1
12-0-0,1-1-5,0-0-4,0-7-6,0-5-6,0-4-4,0-2-6
13-0-0,1-2-5,0-1-1,0-4-4,0-2-6,0-2-0,0-1-0
14-0-0,1-4-0,0-0-0,0-0-1,0-0-1,-,-
"""
"""W. P. Stephens, Canoe and Boat Building (1885-89), Plate XI: feet, inches and eighths; corrected as the canoe's file says."""
HEAD = (
    "# units: feet-inches-eighths\n# hull: American cruising canoe of 1889\n"
    "station,height of deck,height of rabbet,half-breadth of deck,"
    "half-breadth of waterline 0-6-0,half-breadth of waterline 0-4-0,half-breadth of waterline 0-2-0\n"
)


@pytest.fixture
def canoe(tmp_path: Path) -> Hull:
    path = tmp_path / "canoe.csv"
    path.write_text(HEAD + PRINT)
    assert is_offsets_table(path)
    return read_offsets_table(path)


@pytest.mark.published
def test_the_printed_canoe_comes_through_number_by_number(canoe: Hull) -> None:
    """Between her ends, each point of her file, typed from the same print in decimal inches, to the last bit."""
    typed = read_hull(HULLS / "canoe-1889.yaml")
    assert (canoe.name, canoe.units, canoe.offsets_to) == (typed.name, typed.units, typed.offsets_to)
    assert canoe.stations[1:-1] == typed.stations[1:-1]


@pytest.mark.published
def test_the_printed_canoe_displaces_what_her_offsets_say(canoe: Hull) -> None:
    """To 4 and 6 in 0.110579 and 0.204477 m3 by trapezoids over the print; her siding of 1/8 in at the ends adds 0.1 %."""
    form = form_hull(replace(canoe, between_stations="straight", between_points="straight"))
    for inches, volume in {4: 0.110579, 6: 0.204477}.items():
        cut = clip(form.outside, Plane(np.array([0.0, 0.0, 1.0]), inches * INCH))
        assert cut.volume == pytest.approx(volume, rel=2e-3)


@pytest.mark.published
def test_the_canoe_comes_through_a_table_of_points_unchanged(tmp_path: Path) -> None:
    """Her file's points as rows of a tape table give the same stations."""
    typed = read_hull(HULLS / "canoe-1889.yaml")
    rows = [f"{s.at / INCH:g},{y / INCH:g},{z / INCH:g}" for s in typed.stations for y, z in s.points]
    path = tmp_path / "tape.csv"
    path.write_text("# units: in\nstation,half_breadth,height\n" + "\n".join(rows) + "\n")
    assert not is_offsets_table(path)
    assert read_tape_table(path).hull.stations == typed.stations


@pytest.mark.closed_form
def test_waterlines_buttocks_and_diagonals_of_a_half_round_lie_on_it(tmp_path: Path) -> None:
    """A half cylinder of radius 1000 mm about the sheer: every point of every kind lies on it, in order, a knuckle marked."""
    at = "{at},1000,2000,1000,{wl:.3f},{buttock:.3f},1000,{y:.3f},{z:.3f}"
    row = at.format(at="{}", wl=1000 * 0.8, buttock=2000 - 1000 * 0.8, y=1000 * cos(0.3), z=2000 - 1000 * sin(0.3))
    path = tmp_path / "round.csv"
    path.write_text(
        "# units: mm\n# diagonal A: 2000 at 40\n# drawn to: inside\n"
        "station,height of keel,height of sheer,half-breadth of sheer,half-breadth of waterline 1400,height of buttock 600,"
        "diagonal A,half-breadth of knuckle,height of knuckle\n" + "\n".join(row.format(at) for at in (0, 1000)) + "\n"
    )
    hull = read_offsets_table(path)
    points = np.array(hull.stations[0].points)
    assert hull.offsets_to == "inside"
    assert np.hypot(points[:, 0], points[:, 1] - 2.0) == pytest.approx(1.0, abs=2e-6)
    assert np.degrees(np.arctan2(2.0 - points[:, 1], points[:, 0])) == pytest.approx(
        [90.0, np.degrees(np.arccos(0.6)), 40.0, np.degrees(np.arcsin(0.6)), np.degrees(0.3), 0.0], abs=1e-3
    )
    assert hull.stations[0].knuckles == (5,)
    assert radians(40.0) == pytest.approx(np.arctan2(2.0 - points[2, 1], points[2, 0]), abs=1e-5)


@pytest.mark.example
@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (("0-10-7,", "0-13-7,"), r":8: half-breadth of waterline 0-6-0: `0-13-7` is no length"),
        (("height of rabbet", "height of garboard"), r":3: unknown column `height of garboard`"),
        (("height of rabbet,", "diagonal B,"), "nothing says where `diagonal B` runs"),
        (("height of rabbet", "height of buttock 0-1-0"), "there is no column `height of keel`"),
        (("4-0-0,1-0-2", "4-0-0,-"), r":8: this station has no sheer"),
        (("feet-inches-eighths", "cubits"), "`cubits` is no unit of a table"),
        (("4-0-0,1-0-2,0-0-0", "4-0-0,1-0-2,3-0-0"), r":8: .*ends no higher"),
    ],
)
def test_a_wrong_table_is_refused_with_its_line_and_column(tmp_path: Path, wrong: tuple[str, str], said: str) -> None:
    """One to three lines that name place and remedy."""
    path = tmp_path / "wrong.csv"
    path.write_text((HEAD + PRINT).replace(*wrong, 1))
    with pytest.raises(SketchError, match=said) as problem:
        read_offsets_table(path)
    assert len(str(problem.value).splitlines()) <= 3
