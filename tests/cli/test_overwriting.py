"""What a command may write over: its own earlier output, never what it read or what is something else, unless told to."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from shutil import copytree

import pytest

from sketcher import cli
from sketcher.model.demos import demo_folder

WRITING = {
    "report": ["report", "{scene}", "-o", "{out}"],
    "csv": ["report", "{scene}", "--csv", "-o", "{out}"],
    "json": ["report", "{scene}", "--json", "-o", "{out}"],
    "drafts": ["report", "{scene}", "--drafts", "--units", "in", "-o", "{out}"],
    "curves.svg": ["report", "{scene}", "--drafts", "-o", "{out}"],
    "curves.pdf": ["report", "{scene}", "--drafts", "-o", "{out}"],
    "compare": ["compare", "{scene}", "{scene}", "-o", "{out}"],
    "flood": ["flood", "{scene}", "--holed", "berth space", "-o", "{out}"],
    "flood.json": ["flood", "{scene}", "--json", "--holed", "berth space", "-o", "{out}"],
    "sent.zip": ["pack", "{scene}", "-o", "{out}"],
    "plan.svg": ["picture", "{scene}", "--view", "plan", "-o", "{out}"],
    "plan.pdf": ["picture", "{scene}", "--view", "plan", "-o", "{out}"],
}
"""A command of each kind of output that needs no screen, by the name of the file that it writes."""
PICTURE = ["picture", "{scene}", "-o", "{out}"]


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    """A scene of an owner's with its hull and a table of measurements, in a folder of its own."""
    for folder in ("hulls", "scenes"):
        copytree(demo_folder() / folder, tmp_path / folder)
    return tmp_path / "scenes" / "quillet-forepeak.yaml"


@pytest.fixture(scope="module")
def others(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Two kinds of output as they are written."""
    folder = tmp_path_factory.mktemp("others")
    for name in ("report", "plan.svg"):
        assert run(WRITING[name], demo_folder() / "scenes" / "quillet-forepeak.yaml", folder / name) == 0
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def run(command: list[str], boat: Path, out: Path, *more: str) -> int:
    return cli.main([part.format(scene=boat, out=out) for part in command] + list(more))


def other_name(link: Callable[[Path, Path], None] | None, target: Path, path: Path) -> Path:
    """A file under its own name, or under another that leads to the same."""
    if link is None:
        return target
    link(target, path)
    return path


@pytest.mark.property
@pytest.mark.parametrize(
    ("name", "link"),
    [("report", None), ("json", None), ("flood", None), ("compare", None)]
    + [(name, link) for name in ("report", "curves.pdf", "plan.svg") for link in (os.symlink, os.link)],
)
def test_what_was_read_is_not_written_over(
    name: str, link: Callable[[Path, Path], None] | None, boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The scene and its hull as the output, by their own names, by a symlink and by a hard link: refused, every byte left."""
    hull = boat.parents[1] / "hulls" / "quillet-21.yaml"
    for k, target in enumerate((boat, hull)):
        before = target.read_bytes()
        assert run(WRITING[name], boat, other_name(link, target, boat.with_name(f"{k}{name}"))) == 2
        assert target.read_bytes() == before
        err = capsys.readouterr().err
        assert "has just been read" in err
        assert "--overwrite" in err


@pytest.mark.property
@pytest.mark.parametrize("name", WRITING)
@pytest.mark.slow
def test_only_an_earlier_output_of_its_own_kind_is_written_over(
    name: str, boat: Path, tmp_path: Path, others: dict[str, bytes], capsys: pytest.CaptureFixture[str]
) -> None:
    """Twice into one file is free; notes, another scene and another kind of output are left, and lost only with the option."""
    out = tmp_path / name
    assert run(WRITING[name], boat, out) == 0
    made = out.read_bytes()
    assert run(WRITING[name], boat, out) == 0
    other = others["report" if name != "report" else "plan.svg"]
    for lost in (b"Ask the yard about the mast step.\n", (boat.parent / "quillet-filled.yaml").read_bytes(), other):
        out.write_bytes(lost)
        assert run(WRITING[name], boat, out) == 2
        assert out.read_bytes() == lost
        assert "left as it is" in capsys.readouterr().err
    assert run(WRITING[name], boat, out, "--overwrite") == 0
    assert out.read_bytes() == made


@pytest.mark.example
@pytest.mark.gl
@pytest.mark.slow
def test_a_picture_is_written_over_a_picture_of_ours_alone(boat: Path, tmp_path: Path) -> None:
    """A photograph stays; the sketcher's own picture is drawn again."""
    from PIL import Image

    out = tmp_path / "boat.png"
    Image.new("RGB", (8, 8)).save(out)
    photograph = out.read_bytes()
    assert run(PICTURE, boat, out) == 2
    assert out.read_bytes() == photograph
    assert run(PICTURE, boat, out, "--overwrite") == 0
    assert run(PICTURE, boat, out) == 0


@pytest.mark.example
def test_a_table_is_not_made_a_hull_of_in_its_own_place(boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`hull TABLE -o TABLE` leaves the table; a file that is no hull is left until the option is given."""
    table = boat.parents[1] / "hulls" / "quillet-21-tape.csv"
    before = table.read_bytes()
    assert cli.main(["hull", str(table), "-o", str(table)]) == 2
    assert table.read_bytes() == before
    notes = boat.with_name("notes.yaml")
    notes.write_text("buy screws\n", encoding="utf-8")
    assert cli.main(["hull", str(table), "-o", str(notes)]) == 2
    assert notes.read_text(encoding="utf-8") == "buy screws\n"
    assert cli.main(["hull", str(table), "-o", str(notes), "--overwrite"]) == 0
    assert notes.read_text(encoding="utf-8").startswith("hull:")
    capsys.readouterr()


@pytest.mark.example
def test_a_new_scene_takes_no_place_that_is_taken(boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`new` leaves a scene, even one of its own from before, and the hull that it is to begin in, until told otherwise."""
    hull = boat.parents[1] / "hulls" / "quillet-21.yaml"
    for path in (boat, hull):
        before = path.read_bytes()
        assert cli.main(["new", str(path), "--hull", str(hull)]) == 2
        assert path.read_bytes() == before
    fresh = boat.with_name("fresh.yaml")
    assert [cli.main(["new", str(fresh), "--hull", str(hull)]) for _ in range(2)] == [0, 2]
    assert cli.main(["new", str(boat), "--hull", str(hull), "--overwrite"]) == 0
    capsys.readouterr()


@pytest.mark.example
@pytest.mark.skipif(not os.path.exists("/dev/null"), reason="needs a device that takes everything")
def test_a_device_is_not_replaced_by_a_file(tmp_path: Path, boat: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A pipe as the output is refused in words and stays a pipe."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert run(WRITING["report"], boat, pipe) == 2
    assert pipe.is_fifo()
    assert "no ordinary file" in capsys.readouterr().err
