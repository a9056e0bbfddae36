"""The table of what was read of boards."""

from dataclasses import replace
from pathlib import Path

import pytest
from pattern_specimens import board
from scene_specimens import SCENE, scene_folder

from sketcher.model.cutting import Cutting, GapReading, PartReadings
from sketcher.model.edits.readings import RecordReadings
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import open_scene, save_scene
from sketcher.model.files.tables.as_built_table import read_as_built
from sketcher.outputs.tables.build_lists import as_built_table

HEAD = "board,point,gap_to,right_mm,up_mm,gap_mm,other_face_gap_mm,thickness_mm,planned_kg,kg,cut\n"


def read(folder: Path, text: str) -> tuple[PartReadings, ...]:
    path = folder / "as built.csv"
    path.write_text(text, encoding="utf-8")
    return read_as_built(path)


@pytest.mark.example
def test_rows_become_readings_of_parts(tmp_path: Path) -> None:
    """A board's own row and its gaps, in millimetres or with a unit; what is left empty is not there."""
    rows = "main,,,,,,,18.3,9,9.5 kg,\nmain,1,hull,-200,120,8,7.5,,,,\nmain,2,deck,0,1/2 m,6,,,,,\nside,,,,,,,,4,,\n"
    assert read(tmp_path, HEAD + rows.replace("1/2 m", "0.5 m")) == (
        PartReadings(
            name="main",
            kg=9.5,
            planned_kg=9.0,
            thickness=0.0183,
            gaps=(GapReading(at=(-0.2, 0.12), gap=0.008, other=0.0075),),
            deck_gaps=(GapReading(at=(0.0, 0.5), gap=0.006),),
        ),
    )


@pytest.mark.example
def test_a_list_in_inches_is_read_in_inches_fractions_and_all(tmp_path: Path) -> None:
    """By what its columns are called: 7/16, 0.4375 and 11.1125 mm are one gap; a length twice is refused."""
    head = HEAD.replace("_mm", "_in")
    rows = "main,1,hull,-7 7/8,4 3/4,7/16,,,,,\nmain,2,hull,1,2,0.4375,,,,,\nmain,3,hull,1,2,11.1125 mm,,,,,\n"
    (main,) = read(tmp_path, head + rows)
    assert main.gaps[0].at == (pytest.approx(-0.200025), pytest.approx(0.12065))
    assert [each.gap for each in main.gaps] == [pytest.approx(0.0111125)] * 3
    with pytest.raises(SketchError, match="is there twice"):
        read(tmp_path, head.replace("other_face_gap_in", "gap_mm") + rows)


@pytest.mark.example
def test_the_empty_table_of_a_build_says_nothing_and_comes_back_from_a_spreadsheet_of_commas(tmp_path: Path) -> None:
    """As written there is no reading in it; filled in with semicolons and decimal commas there is."""
    empty = as_built_table([(board(), ())], Cutting())
    assert read(tmp_path, empty) == ()
    lines = empty.replace(",", ";").splitlines()
    cells = lines[1].split(";")
    cells[9] = "12,4"
    assert read(tmp_path, "\n".join([lines[0], ";".join(cells)])) == (PartReadings(name="collision", thickness=0.0124),)


@pytest.mark.example
@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        (HEAD.replace("board,", "bord,"), 1, "unknown column `bord`"),
        (HEAD + "main,1,hull,1,2,wide,,,,,\n", 2, "`wide` is no reading"),
        (HEAD + "main,1,hull,1,2,-3,,,,,\n", 2, "`-3` is no reading"),
        (HEAD + "main,1,hull,1,,3,,,,,\n", 2, "a gap was read, but not where"),
        (HEAD + "main,1,keel,1,2,3,,,,,\n", 2, "a gap to `keel`"),
        (HEAD + "main,1,hull,1,2,,3,,,,\n", 2, "only the other face's gap"),
        (HEAD + ",1,hull,1,2,3,,,,,\n", 2, "no board is named"),
        (HEAD + "main,,,,,,,18,,,\nmain,,,,,,,19,,,\n", 3, "differs from what stands above"),
        (HEAD + "main,,,,,,,,,,perhaps\n", 2, "`perhaps` is no mark"),
        (HEAD + "main,,,,,,,,,,,7,8\n", 2, "13 values in a row of 11 columns"),
        ("", None, "a table of 0 rows"),
    ],
)
def test_what_is_wrong_is_told_with_its_line_and_a_remedy(tmp_path: Path, text: str, line: int | None, said: str) -> None:
    """Each slip of pen or spreadsheet names the file and its row, and says what to write."""
    with pytest.raises(SketchError) as told:
        read(tmp_path, text)
    assert said in told.value.message
    assert told.value.line == line
    assert told.value.remedy
    assert "as built.csv" in str(told.value)


@pytest.mark.example
def test_readings_are_recorded_in_the_scene_beside_its_comments(tmp_path: Path) -> None:
    """Saved and read again they are the same; nothing else of the file changes, and a second reading takes the first's place."""
    opened = open_scene(scene_folder(tmp_path))
    gaps = (GapReading(at=(-0.2, 0.12), gap=0.008), GapReading(at=(0.0, 0.0), gap=0.007, other=0.0))
    edit = RecordReadings((PartReadings(name="collision, part 1 of 2", kg=9.8, gaps=gaps),))
    saved = save_scene(opened, edit.apply(opened.scene))
    assert open_scene(saved.path).scene.as_built == edit.readings
    written = saved.document.text.splitlines()
    assert [line for line in written if "as_built" not in line and "part 1 of 2" not in line] == SCENE.splitlines()
    lighter = RecordReadings((replace(edit.readings[0], kg=9.7),))
    assert lighter.apply(saved.scene).as_built == lighter.readings
    assert edit.describe(opened.scene) == "Record what was read of collision, part 1 of 2"
