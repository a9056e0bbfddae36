"""`sketcher hull` with a scan: what it writes, what it says, and what it refuses."""

from pathlib import Path

import numpy as np
import pytest
from scans.scanned_boats import scan_of

from sketcher import cli


@pytest.fixture(scope="module")
def scan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Quillet's inside in plumb axes, in metres."""
    path = tmp_path_factory.mktemp("scan") / "my boat.xyz"
    np.savetxt(path, scan_of("quillet-21", 20_000, seed=7, turned="plumb").points, fmt="%.4f")
    return path


@pytest.mark.example
def test_a_scan_becomes_a_hull_file_that_says_what_was_seen(
    scan: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Stations where they were asked for, what was found as a comment and on stderr, and a file that `check` reads."""
    made = tmp_path / "made.yaml"
    assert cli.main(["hull", str(scan), "-o", str(made), "--every", "0.5 m", "--name", "Wigeon"]) == 0
    told = capsys.readouterr()
    text = made.read_text()
    assert "13 stations" in told.out
    assert "--units ft if it is not" in told.err
    assert text.startswith("# The scan reaches over 6.")
    assert "hull: Wigeon" in text
    assert "  - at: 500\n" in text
    assert "    measured_to: " in text
    assert cli.main(["check", str(made)]) == 0


@pytest.mark.example
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--every", "far"], "--every far is no distance between stations"),
        (["--points", "0,0,0", "1,0", "0,0,1"], "'1,0' is no place"),
        (["--points", "0,0,0", "1,0,0", "2,0,0"], "lie in a line"),
        (["--units", "mm"], "too short for stations"),
    ],
)
def test_what_cannot_be_asked_of_a_scan_is_refused(
    scan: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    """With what to write instead, and nothing is left behind."""
    made = tmp_path / "made.yaml"
    assert cli.main(["hull", str(scan), "-o", str(made), *arguments]) == 2
    assert said in capsys.readouterr().err
    assert not made.exists()


@pytest.mark.example
def test_what_is_for_scans_is_refused_for_a_table(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A table has the stations that were measured."""
    table = tmp_path / "tape.csv"
    table.write_text("station,half_breadth,height\n0,0,0\n")
    assert cli.main(["hull", str(table), "-o", str(tmp_path / "made.yaml"), "--every", "200"]) == 2
    assert "are for scans" in capsys.readouterr().err
