"""The command line: what is printed where, how it ends, and that nothing a user does ends in a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import sketcher
from sketcher import cli
from sketcher.geometry.mesh import GeometryError
from sketcher.model.demos import demo_folder

SCENES = demo_folder() / "scenes"
HULLS = demo_folder() / "hulls"
MARRAM = str(SCENES / "marram-forepeak.yaml")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of one command."""
    code = cli.main(arguments)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


@pytest.fixture
def read_only_folder(tmp_path: Path) -> Path:
    """A folder nothing can be written into; root may write anywhere, so then it is a file in the folder's place."""
    folder = tmp_path / "locked"
    if os.geteuid() == 0:
        folder.write_text("in the way")
    else:
        folder.mkdir()
        folder.chmod(0o500)
    return folder


@pytest.mark.example
def test_report_prints_every_compartment(capsys: pytest.CaptureFixture[str]) -> None:
    """Each compartment that the JSON figures name stands in the text report too, and both end with 0."""
    code, text, _ = run(capsys, "report", MARRAM)
    assert code == 0
    code, figures, _ = run(capsys, "report", MARRAM, "--json")
    assert code == 0
    for space in json.loads(figures)["compartments"]:
        assert space["name"] in text


@pytest.mark.example
def test_report_writes_to_a_file_what_it_would_print(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`-o` takes the same text, accents in the path and all, and then prints nothing."""
    _, printed, _ = run(capsys, "report", MARRAM, "--csv")
    target = tmp_path / "größe und maß" / "figures.csv"
    target.parent.mkdir()
    code, out, _ = run(capsys, "report", MARRAM, "--csv", "-o", str(target))
    assert (code, out) == (0, "")
    assert target.read_text() == printed


@pytest.mark.property
@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "which command"),
        (["reprt", MARRAM], "Did you mean report?"),
        (["picture", MARRAM, "-o", "x.png", "--view", "plam"], "Did you mean plan?"),
        (["report", MARRAM, "--jsno"], "Did you mean --json?"),
        (["report"], "SCENE"),
        (["report", MARRAM, "--json", "--csv"], "--csv"),
        (["report", MARRAM, "--units", "furlongs"], "mm, cm, m, in, ft"),
        (["report", MARRAM, "--json", "--units", "in"], "Leave --units out"),
        (["report", "nowhere.yaml"], "nowhere.yaml"),
        (["report", str(HULLS / "marram-29.yaml")], "hull"),
        (["picture", MARRAM, "-o", "boat.jpg"], ".png"),
        (["picture", MARRAM, "-o", "boat.svg", "--view", "quarter"], "--view profile"),
        (["picture", MARRAM, "-o", "boat.svg", "--view", "page"], "ends in .pdf"),
        (["picture", MARRAM, "-o", "boat.svg", "--view", "plan", "--holed", "saloon"], "Leave --holed out"),
        (["report", str(SCENES / "ternholm-forepeak.yaml"), "--drafts"], "only the forward part"),
        (["check", "nowhere.yaml"], "nowhere.yaml"),
        (["report", "nowhere.zip"], "no such file"),
        (["pack", MARRAM, "-o", "boat.yaml"], "ends in .zip"),
        (["card", MARRAM, "-o", "model.svg"], "ends in .pdf"),
        (["card", MARRAM, "-o", "model.pdf", "--paper", "a5"], "a4, letter, a3"),
        (["card", MARRAM, "-o", "model.pdf", "--scale", "1"], "--scale"),
        (["card", MARRAM, "-o", "model.pdf", "--scale", "50", "--card", "1"], "below 0.6 mm"),
        (["hull", "nowhere.csv", "-o", "x.yaml"], "nowhere.csv"),
        (["new", "x.yaml", "--hull", "nowhere.yaml"], "nowhere.yaml"),
        (["new", MARRAM, "--hull", str(HULLS / "marram-29.yaml")], "another name"),
        (["flood", MARRAM, "--holed", "chain lockr"], "Did you mean 'chain locker'?"),
    ],
)
def test_what_a_user_gets_wrong_is_said_in_three_lines_at_most(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, nothing on stdout, one to three lines on stderr that name the thing and the remedy."""
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert 1 <= len(err.splitlines()) <= 3
    assert words in err
    assert "Traceback" not in err


@pytest.mark.property
@pytest.mark.parametrize("columns", [60, 100])
def test_help_is_as_wide_as_the_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    """Each option of `flood` has its help, in lines that fill the terminal and run over no edge of it."""
    monkeypatch.setenv("COLUMNS", str(columns))
    code, out, _ = run(capsys, "flood", "--help")
    assert code == 0
    assert columns - 20 < max(map(len, out.splitlines())) <= columns
    options = "--holed --condition --fill --hole --pump --rate --stage --json --units --output --overwrite --help"
    assert " ".join(word for word in out.split() if word.startswith("--")) == options


@pytest.mark.example
def test_every_command_stands_whole_in_the_help(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal of 80 characters no command's line is cut off; `--version` says the package's own."""
    monkeypatch.setenv("COLUMNS", "80")
    code, out, _ = run(capsys, "--help")
    assert code == 0
    commands = out.split("Commands:\n")[1]
    assert (
        " ".join(line.split()[0] for line in commands.splitlines())
        == "open report picture check compare flood sweep hull new pack build card"
    )
    assert "..." not in commands
    assert run(capsys, "--version")[:2] == (0, f"sketcher {sketcher.__version__}\n")


@pytest.mark.example
def test_an_interrupt_ends_with_130(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C while a boat is worked out: code 130, nothing said."""

    def interrupt(_scene: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("sketcher.analysis.evaluate.evaluate", interrupt)
    assert run(capsys, "report", MARRAM) == (130, "", "")


@pytest.mark.property
@pytest.mark.parametrize("command", [["report", MARRAM, "-o"], ["flood", MARRAM, "-o"], ["compare", MARRAM, MARRAM, "-o"]])
def test_an_output_that_cannot_be_written_is_said_and_leaves_nothing(
    command: list[str], capsys: pytest.CaptureFixture[str], read_only_folder: Path
) -> None:
    """A folder that takes no files: code 2, its name, and no half-written file."""
    target = read_only_folder / "out.txt"
    code, _, err = run(capsys, *command, str(target))
    assert code == 2
    assert "out.txt" in err
    assert not target.exists()


@pytest.mark.example
@pytest.mark.slow
def test_check_ends_with_1_only_where_something_stops(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A sound hull, or only a warning: 0; a bulkhead that carries the mast and is removed: 1; a file of neither kind: 2."""
    sound = str(HULLS / "marram-29.yaml")
    assert run(capsys, "check", sound)[0] == 0
    code, out, _ = run(capsys, "check", str(SCENES / "quillet-forepeak-bottles.yaml"))
    assert code == 0
    assert "  Warning  " in out
    text = Path(MARRAM).read_text().replace("../hulls", str(HULLS))
    carrying = tmp_path / "mast.yaml"
    carrying.write_text(text.replace("thickness: 18, built: already}", "thickness: 18, built: removed, carries: [mast]}", 1))
    assert "carries: [mast]" in carrying.read_text()
    code, out, _ = run(capsys, "check", sound, str(carrying))
    assert code == 1
    assert "  Stop  " in out
    neither = tmp_path / "list.yaml"
    neither.write_text("shopping: [epoxy]\n")
    code, _, err = run(capsys, "check", str(neither), str(carrying))
    assert code == 2
    assert "neither a hull nor a scene" in err


@pytest.mark.example
def test_a_boat_that_makes_no_solid_is_said_in_words(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solids' kernel refuses a shape the answer is an error with the file's name, not a traceback."""

    def refuse(_scene: object) -> None:
        raise GeometryError("the lid is not a closed solid")

    monkeypatch.setattr("sketcher.analysis.evaluate.evaluate", refuse)
    code, _, err = run(capsys, "report", MARRAM)
    assert code == 2
    assert MARRAM in err
    assert "the lid is not a closed solid" in err
    assert len(err.splitlines()) == 2


@pytest.mark.example
def test_a_ready_layout_is_begun_with_what_is_guessed_said_first(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The guess is said by `new`, in the file, and by `report`; half a pair of freeboards is refused."""
    scene = tmp_path / "ready.yaml"
    hull = str(HULLS / "quillet-21.yaml")
    code, out, _ = run(capsys, "new", str(scene), "--hull", hull, "--layout", "boards-only", "--stature", "1700")
    assert code == 0
    assert out.startswith("Warning: Quillet 21, boards-only: Her waterline and the height of her centre of gravity are guesses")
    assert "# Guessed from her shape" in scene.read_text()
    code, out, _ = run(capsys, "report", str(scene))
    assert "guesses from her shape" in out
    assert ("AFLOAT AT THE GUESSED WATERLINE" in out, "waterline was read" in out) == (True, False)
    code, _, error = run(
        capsys, "new", str(tmp_path / "b.yaml"), "--hull", hull, "--layout", "boards-only", "--freeboards", "850"
    )
    assert (code, "--freeboards" in error) == (2, True)


@pytest.mark.example
def test_a_new_scene_can_be_reported_at_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`new` writes a scene that finds its hull from where it lies, and `report` reads it."""
    scene = tmp_path / "first try.yaml"
    assert run(capsys, "new", str(scene), "--hull", str(HULLS / "quillet-21.yaml"))[0] == 0
    code, out, _ = run(capsys, "report", str(scene))
    assert code == 0
    assert "Quillet 21" in out


@pytest.mark.example
def test_a_tape_table_becomes_a_hull_that_can_be_checked(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`hull` turns a table into a file that `check` can read."""
    table = tmp_path / "tape.csv"
    rows = ["station,half_breadth,height,knuckle"]
    for at in (0, 800, 1600):
        rows += [f"{at},0,0,", f"{at},400,100,x", f"{at},600,700,"]
    table.write_text("\n".join(rows) + "\n")
    made = tmp_path / "made.yaml"
    code, out, _ = run(capsys, "hull", str(table), "-o", str(made), "--units", "mm", "--name", "Box of three")
    assert code == 0
    assert "3 stations" in out
    assert run(capsys, "check", str(made))[0] == 0


@pytest.mark.example
def test_a_first_guess_becomes_a_hull_that_says_so(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """From a form and principal dimensions; `check` says before all else that nothing was measured. What is missing is said."""
    hull = str(tmp_path / "mine.yaml")
    code, out, err = run(capsys, "hull", "--form", "round-bilge", "--dimensions", "6.4 m,2200,1050", "-o", hull)
    assert (code, err) == (0, "")
    assert "no point of it measured" in out
    code, out, _ = run(capsys, "check", hull)
    assert code == 0
    assert "48 of the hull's 48 points are a first guess" in " ".join(out.split())
    code, _, err = run(capsys, "hull", "--form", "chined", "--dimensions", "6400", "-o", str(tmp_path / "x.yaml"))
    assert code == 2
    assert "--dimensions has 1 of 3 lengths" in err


@pytest.mark.example
def test_one_layout_is_set_beside_her_as_she_is_today(capsys: pytest.CaptureFixture[str]) -> None:
    """Today the fore cabin goes down to her bottom and founders her holed; with the void under it she floats."""
    code, out, _ = run(capsys, "compare", MARRAM)
    assert code == 0
    assert "A  Marram 29, forepeak, first layout, as she is today" in out
    assert ["fore", "cabin,", "if", "holed", "founders", "floats"] in [line.split() for line in out.splitlines()]


@pytest.mark.example
def test_compare_puts_two_layouts_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    """Two layouts of one boat: their names, what differs, what is the same."""
    code, out, _ = run(capsys, "compare", MARRAM, str(SCENES / "marram-two-tanks.yaml"))
    assert code == 0
    assert out.index("WHAT DIFFERS") < out.index("THE SAME IN ALL")


@pytest.mark.example
def test_a_packed_boat_is_read_by_the_commands_as_it_is(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """What is reported and checked of the one file is what is of the two, and nothing is left beside it."""
    sent = tmp_path / "sent.zip"
    assert run(capsys, "pack", MARRAM, "-o", str(sent)) == (0, "", "")
    assert run(capsys, "report", str(sent)) == run(capsys, "report", MARRAM)
    (code, told, _), (code_of_two, told_of_two, _) = run(capsys, "check", str(sent)), run(capsys, "check", MARRAM)
    assert (code, told.replace(str(sent), MARRAM)) == (code_of_two, told_of_two)
    assert [path.name for path in tmp_path.iterdir()] == ["sent.zip"]
    sent.write_bytes(b"PK no zip")
    code, _, problem = run(capsys, "report", str(sent))
    assert code == 2
    assert problem.startswith(f"{sent}: the zip cannot be opened")


@pytest.mark.property
@pytest.mark.parametrize(("ending", "begins"), [("svg", b"<svg"), ("pdf", b"%PDF")])
def test_a_drawing_needs_no_opengl(ending: str, begins: bytes, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Profile and plan as SVG or PDF, and the curves of drafts, are written without drawing in 3D."""
    for name, arguments in {
        "profile": ["picture", MARRAM, "--view", "profile"],
        "plan": ["picture", MARRAM, "--view", "plan"],
        "drafts": ["report", MARRAM, "--drafts"],
    }.items():
        target = tmp_path / f"{name}.{ending}"
        assert run(capsys, *arguments, "-o", str(target)) == (0, "", "")
        assert target.read_bytes().startswith(begins)


@pytest.mark.example
def test_flood_prints_only_the_cases_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """The JSON of `flood` is the report's object with just the case asked for in `flooding`."""
    _, plain, _ = run(capsys, "report", MARRAM, "--json")
    code, out, _ = run(capsys, "flood", MARRAM, "--holed", "forward void", "--json")
    assert code == 0
    values = json.loads(out)
    assert list(values) == list(json.loads(plain))
    assert [case["holed"] for case in values["flooding"]] == [["forward void"]]
    keys = "holed floods verdict forward_m after_m heel_deg trim_deg trim_change_deg water_m3 least_freeboard_m"
    assert list(values["flooding"][0]) == [*keys.split(), "forward_freeboard_m", "after_freeboard_m", "gm_m", "lids", "emptiest"]


@pytest.mark.example
def test_a_reader_that_stops_early_is_no_error() -> None:
    """`sketcher report | head -1` ends quietly."""
    command = f'"{sys.executable}" -m sketcher report "{MARRAM}" | head -1'
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, timeout=60, check=True)
    assert done.stderr == ""
    assert done.stdout.startswith("Marram 29")


@pytest.mark.example
@pytest.mark.slow
def test_a_fresh_process_prints_the_same_figures() -> None:
    """Two processes give the same JSON, letter for letter."""
    texts = [
        subprocess.run(
            [sys.executable, "-m", "sketcher", "report", MARRAM, "--json"], capture_output=True, timeout=60, check=True
        ).stdout
        for _ in range(2)
    ]
    assert texts[0] == texts[1]


@pytest.mark.example
@pytest.mark.slow
def test_figures_need_neither_the_picture_nor_the_page() -> None:
    """`report`, `compare` and `flood` load no 3D library, no page, no PDF and no test library."""
    code = (
        "import sys, io; from sketcher import cli; sys.stdout = io.StringIO()\n"
        f"assert cli.main(['report', {MARRAM!r}]) == 0; assert cli.main(['compare', {MARRAM!r}, {MARRAM!r}]) == 0\n"
        f"assert cli.main(['flood', {MARRAM!r}]) == 0\n"
        "heavy = {'pyvista', 'vtkmodules', 'aiohttp', 'trame', 'matplotlib', 'reportlab', 'PIL', 'scipy', 'trimesh'}\n"
        "heavy &= set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.example
def test_importing_the_package_loads_nothing_heavy() -> None:
    """`import sketcher` alone does not even load numpy."""
    code = "import sketcher, sys; assert 'numpy' not in sys.modules"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr


TAPE = "# units: cm\nstation,half_breadth,height\n0,0,10\n0,30,60\n200,0,0\n200,60,{height}\n400,0,5\n400,50,60\n"


def completed_hull(folder: Path) -> tuple[Path, Path]:
    """A table of measurements, and the hull's file made of it with a comment, a deck and a comment on a station added."""
    table, made = folder / "tape.csv", folder / "boat.yaml"
    table.write_text(TAPE.format(height=65))
    assert cli.main(["hull", str(table), "-o", str(made), "--name", "Wigeon"]) == 0
    text = made.read_text().replace("- at: 200", "- at: 200   # by the mast")
    made.write_text(f"# measured in the shed\n{text}deck: {{camber: 6}}   # with a batten\n")
    return table, made


@pytest.mark.example
def test_a_table_read_again_changes_only_the_stations(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A hull's file that was completed by hand keeps comments and keys: one height measured again changes that number alone."""
    table, made = completed_hull(tmp_path)
    before = made.read_text()
    table.write_text(TAPE.format(height=66.5))
    capsys.readouterr()
    code, out, _ = run(capsys, "hull", str(table), "-o", str(made), "--units", "cm")
    assert code == 0
    assert "all else in the file stays as it was" in out
    assert made.read_text() == before.replace("[60, 65]", "[60, 66.5]")


@pytest.mark.example
def test_a_table_with_more_stations_keeps_what_else_the_hull_says(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A station more is put in, in the file's own unit; the deck and its comment stay."""
    table, made = completed_hull(tmp_path)
    made.write_text(made.read_text() + "shell: 1.2\n")
    table.write_text(TAPE.format(height=65).replace("units: cm", "units: mm").replace("\n400", "\n300,0,1\n300,55,62\n400", 1))
    assert run(capsys, "hull", str(table), "-o", str(made))[0] == 0
    text = made.read_text()
    assert "points: [[0, 0.1], [5.5, 6.2]]" in text
    assert "deck: {camber: 6}   # with a batten\nshell: 1.2\n" in text
    assert text.startswith("# measured in the shed\n")


@pytest.mark.property
@pytest.mark.parametrize("text", ["scene: Not a hull\n", "hull: [half", "shopping list\n", ""])
def test_a_table_is_not_written_over_what_is_no_hull(capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str) -> None:
    """A file of that name that cannot be read as a hull is refused in words and left."""
    table, made = completed_hull(tmp_path)
    made.write_text(text)
    code, _, err = run(capsys, "hull", str(table), "-o", str(made))
    assert code == 2
    assert "cannot be read as a hull" in err
    assert made.read_text() == text


@pytest.mark.property
@pytest.mark.parametrize(("units", "asked"), [("cm", False), ("mm", True), ("m", True)])
def test_check_asks_about_units_that_make_no_small_boat(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, units: str, asked: bool
) -> None:
    """A boat of 400 by the tape is 4 m long in centimetres; in millimetres or metres `check` asks whether the units are right."""
    table, made = tmp_path / "tape.csv", tmp_path / "boat.yaml"
    table.write_text(TAPE.format(height=65).replace("units: cm", f"units: {units}"))
    assert run(capsys, "hull", str(table), "-o", str(made), "--name", "Wigeon")[0] == 0
    scene = tmp_path / "layout.yaml"
    assert run(capsys, "new", str(scene), "--hull", str(made))[0] == 0
    for file in (made, scene):
        _, out, _ = run(capsys, "check", str(file))
        assert ("Are the units right," in " ".join(out.split())) is asked


@pytest.mark.property
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")
@pytest.mark.parametrize("form", [(), ("--json",)])
def test_a_full_disk_behind_the_output_is_said_in_words(form: tuple[str, ...]) -> None:
    """What cannot be printed ends with 2 and two lines, not with a traceback."""
    with open("/dev/full", "w") as full:
        command = [sys.executable, "-m", "sketcher", "report", MARRAM, *form]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, timeout=60, check=False)
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "the output cannot be written: No space left on device",
        "Make room, or send it elsewhere.",
    ]


@pytest.mark.example
def test_a_reader_that_has_seen_enough_ends_it_quietly() -> None:
    """As behind `| head -1`: the pipe closes, nothing is complained of."""
    command = [sys.executable, "-m", "sketcher", "report", MARRAM, "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == ""
        assert process.wait(60) == 0
