"""Tables of tape measurements."""

from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull, write_hull
from sketcher.model.files.tables.tape_table import SIDES_APART, TapeTable, read_tape_table

HEAD = "station,half_breadth,height,knuckle,side\n"


def table(folder: Path, text: str) -> TapeTable:
    """The table of a CSV text."""
    path = folder / "my boat.csv"
    path.write_text(text, encoding="utf-8")
    return read_tape_table(path)


@pytest.mark.closed_form
def test_rows_become_stations_in_order(tmp_path: Path) -> None:
    """Stations are put in order along the boat, whatever order they were measured in; knuckles are counted."""
    hull = table(
        tmp_path,
        f"# units: cm\n# hull: Tern\n{HEAD}200,0,0,,\n200,90,10,x,\n200,95,100,,\n\n0,0,30,,\n0,0,120,,\n",
    ).hull
    assert (hull.name, hull.units) == ("Tern", "cm")
    assert [station.at for station in hull.stations] == [0.0, 2.0]
    assert hull.stations[1].points == ((0.0, 0.0), (0.9, 0.1), (0.95, 1.0))
    assert hull.stations[1].knuckles == (2,)


@pytest.mark.closed_form
def test_the_mean_of_both_sides_is_used_and_a_difference_reported(tmp_path: Path) -> None:
    """400 to port and 412 to starboard give 406, and a note; 600 and 604 give 602, and none."""
    both = "1000,400,300,,port\n1000,600,1100,,port\n1000,412,300,,starboard\n1000,604,1100,,starboard\n"
    found = table(tmp_path, f"# units: mm\n{HEAD}0,0,0,,\n0,0,900,,\n1000,0,100,,\n{both}")
    assert found.hull.stations[1].points == ((0.0, 0.1), (0.406, 0.3), (0.602, 1.1))
    assert len(found.notes) == 1
    note = found.notes[0]
    assert note.message == (
        "Station 1000 mm, point 2: port [400, 300] and starboard [412, 300] differ by 12 mm; the mean is used. Measure it again."
    )
    assert (note.station, note.point) == (1.0, 2)
    assert note.difference == pytest.approx(0.012)


@pytest.mark.closed_form
def test_sides_are_kept_apart_where_asked(tmp_path: Path) -> None:
    """Each side's own numbers, the mean on the centreline; 12 mm more to port all along is told as a line off the centreline."""
    rows = [f"{at},{y + off},{z},,{side}" for at in (1000, 2000) for y, z in ((0, 300), (400, 500), (600, 900), (700, 1100))
            for side, off in (("port", 12 if y else 0), ("starboard", 0))]  # fmt: skip
    path = tmp_path / "boat.csv"
    path.write_text(HEAD + "\n".join(rows), encoding="utf-8")
    read = read_tape_table(path, apart=True)
    assert read.hull.stations[0].points == ((0.0, 0.3), (0.4, 0.5), (0.6, 0.9), (0.7, 1.1))
    assert read.hull.stations[0].port == ((0.0, 0.3), (0.412, 0.5), (0.612, 0.9), (0.712, 1.1))
    assert "Throughout, port measures 12 mm more than starboard, and is kept so" in read.notes[1].message
    write_hull(read.hull, tmp_path / "boat.yaml")
    assert read_hull(tmp_path / "boat.yaml").stations == read.hull.stations
    path.write_text(HEAD + "1000,0,0,,\n1000,500,900,,\n2000,0,0,,\n2000,500,900,,\n", encoding="utf-8")
    alike = read_tape_table(path, apart=True)
    assert not alike.hull.apart
    assert "taken to be alike" in alike.notes[1].message


@pytest.mark.closed_form
@pytest.mark.parametrize(("off", "wider", "narrower"), [(12, "port", "starboard"), (-12, "starboard", "port")])
def test_a_centreline_that_was_off_throughout_is_one_note(tmp_path: Path, off: int, wider: str, narrower: str) -> None:
    """Measured from a line 12 mm off the middle all stations differ by 24: one note names it, and a slip beside it its own."""
    rows = []
    for at in (0, 1000, 2000, 3000):
        for side, shift in (("port", off), ("starboard", -off)):
            slip = 30 if (at, side) == (2000, "port") else 0
            rows += [f"{at},0,0,,{side}", f"{at},{400 + at // 10 + shift},300,,{side}", f"{at},{600 + shift + slip},1100,,{side}"]
    found = table(tmp_path, f"# units: mm\n{HEAD}" + "\n".join(rows) + "\n")
    common, slip_note = found.notes
    assert common.message.startswith(f"Throughout, {wider} measures 24 mm more than {narrower}: ")
    assert f"lay 12 mm off to {narrower}" in common.message
    assert common.difference == pytest.approx(0.024)
    assert "Station 2000 mm, point 3" in slip_note.message
    assert slip_note.difference == pytest.approx(0.030)
    assert found.hull.stations[1].points == ((0.0, 0.0), (0.5, 0.3), (0.6, 1.1))


@pytest.mark.closed_form
def test_sides_with_different_counts_are_compared_along_the_line(tmp_path: Path) -> None:
    """Where port has fewer points, each starboard point is compared with the nearest place on port's line."""
    both = "1000,0,0,,p\n1000,500,1000,,p\n1000,0,0,,s\n1000,250,500,,s\n1000,500,1000,,s\n"
    found = table(tmp_path, f"# units: mm\n{HEAD}0,0,0,,\n0,0,900,,\n{both}")
    assert found.hull.stations[1].points == ((0.0, 0.0), (0.25, 0.5), (0.5, 1.0))
    assert found.notes == ()


@pytest.mark.example
def test_a_hull_is_called_by_what_can_be_seen_of_its_name(tmp_path: Path) -> None:
    """A character that cannot is left out, so that the hull's file can be read again."""
    rows = "0,0,300,,\n0,200,1200,,\n1000,0,100,,\n1000,500,1100,,\n"
    read = table(tmp_path, f"# hull: Wren\x07 5\n# units: mm\n{HEAD}{rows}").hull
    write_hull(read, tmp_path / "wren.yaml")
    assert read_hull(tmp_path / "wren.yaml").name == "Wren 5"


@pytest.mark.example
def test_an_unstated_unit_is_said(tmp_path: Path) -> None:
    """Numbers without a unit are read as millimetres, and a note says so."""
    notes = table(tmp_path, f"{HEAD}0,0,0,,\n0,0,900,,\n1000,0,0,,\n1000,500,900,,\n").notes
    assert [note.message for note in notes] == ["The table does not say its unit; its numbers were read as millimetres."]


@pytest.mark.property
@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_spreadsheet_with_decimal_commas_is_read(tmp_path: Path, separator: str) -> None:
    """Semicolons or tabs between cells leave the comma for decimals, as many spreadsheets write them."""
    rows = ["Station,Half breadth,Height", "0,0,0", "0,0,900", "1000,0,0", "1000,500*5,900"]
    text = f"\ufeff# units: mm\nsep={separator}\n" + "\n".join(row.replace(",", separator).replace("*", ",") for row in rows)
    assert table(tmp_path, text).hull.stations[1].points[1] == (0.5005, 0.9)


@pytest.mark.example
def test_feet_and_inches_are_read(tmp_path: Path) -> None:
    """A cell may carry its own unit."""
    found = table(tmp_path, f"# units: in\n{HEAD}0,0,0,,\n0,0,36,,\n40,0,0,,\n40,1 ft 8 1/2 in,3 ft,,\n")
    assert found.hull.stations[1].points[1] == (20.5 * 254 / 10_000, 0.9144)


@pytest.mark.example
def test_the_hull_of_a_table_is_the_hull_of_its_file(tmp_path: Path) -> None:
    """Written as a hull's file and read again, the hull is the same to the last bit, means of odd numbers included."""
    both = "1000,401,300,,port\n1000,600,1100,,port\n1000,402,300,,starboard\n1000,604,1100,,starboard\n"
    hull = table(tmp_path, f"# units: mm\n{HEAD}0,0,0,,\n0,0,900,,\n1000,0,100,,\n{both}").hull
    write_hull(hull, tmp_path / "hull.yaml")
    assert replace(read_hull(tmp_path / "hull.yaml"), file=None) == hull


@pytest.mark.property
@given(st.integers(-40, 40))
def test_only_differences_over_5_mm_are_reported(tmp_path_factory: pytest.TempPathFactory, millimetres: int) -> None:
    """Port and starboard apart by so much are reported just when it is more than 5 mm, and always averaged."""
    both = f"1000,500,300,,port\n1000,600,1100,,port\n1000,{500 + millimetres},300,,starboard\n1000,600,1100,,starboard\n"
    found = table(tmp_path_factory.mktemp("t"), f"# units: mm\n{HEAD}0,0,0,,\n0,0,900,,\n1000,0,100,,\n{both}")
    assert bool(found.notes) == (abs(millimetres) > SIDES_APART * 1000.0)
    assert found.hull.stations[1].points[1][0] == pytest.approx((1000 + millimetres) / 2000.0)


@pytest.mark.property
@given(st.text(max_size=120))
def test_no_table_ends_in_a_traceback(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    """Whatever a table holds, reading it gives a hull or an error in words."""
    folder = tmp_path_factory.mktemp("t")
    (folder / "x.csv").write_bytes(f"{HEAD}0,0,0\n{text}".encode("utf-8", "replace"))
    with suppress(SketchError):
        assert len(read_tape_table(folder / "x.csv").hull.stations) >= 2


@pytest.mark.example
def test_a_table_far_too_long_is_refused_in_bounded_time(tmp_path: Path) -> None:
    """A scan of tens of thousands of places is no tape table, and is refused within seconds."""
    rows = "".join(f"{i},{i % 900},{i}\n" for i in range(40_000))
    with pytest.raises(SketchError, match="40000 stations, the fullest with 1 points"):
        table(tmp_path, f"# units: mm\n{HEAD}{rows}")


@pytest.mark.example
def test_fractions_in_a_table_without_a_unit_are_inches(tmp_path: Path) -> None:
    """What a tape of inches reads cannot be millimetres: where to say so is in the refusal."""
    with pytest.raises(SketchError, match="begin the table with a line `# units: in`, or name the unit with --units in"):
        table(tmp_path, f"{HEAD}0,0,30 1/2,,\n")
