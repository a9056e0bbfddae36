"""The command `sweep`: what is printed and written, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from scene_specimens import PEAK_IN_BOX, box_files

from sketcher.cli import main

LIMITED = f"""{PEAK_IN_BOX}limits:
  large: {{figure: litres, of: peak, at_least: 1700}}
"""


@pytest.fixture
def scene(tmp_path: Path) -> str:
    return box_files(tmp_path, LIMITED)


@pytest.mark.example
def test_a_sweep_prints_json_and_writes_curves_and_a_spreadsheet(
    scene: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two places, worked out by processes; a second run writes over what the first one wrote."""
    for name in ("c.svg", "c.pdf", "c.png", "c.svg"):
        out, table = tmp_path / name, tmp_path / "c.csv"
        asked = ["sweep", scene, "--move", "collision.at=900:1000:100", "--json", "-o", str(out), "--csv", str(table)]
        assert main(asked) == 0
        assert out.stat().st_size > 1000
        assert len(table.read_text().splitlines()) == 3
    values = json.loads(capsys.readouterr().out.split("\n}\n")[0] + "\n}")
    assert [row["feasible"] for row in values["rows"]] == [False, True]


@pytest.mark.example
def test_the_best_place_is_printed(scene: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The least peak that still has 1700 litres, to the millimetre."""
    assert main(["sweep", scene, "--move", "collision.at=800:1200:10", "--best", "least:litres of peak"]) == 0
    assert "BEST, with the least litres of peak: collision.at 945 mm" in capsys.readouterr().out


@pytest.mark.property
@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--move", "colision.at=1:2:1"], "Did you mean 'collision'"),
        (["--move", "collision.at=900:1000:50", "-o", "x.jpg"], "ends in .svg, .pdf or .png"),
        (["--move", "collision.at=900:1000:50", "--best", "most:litre of peak"], "Did you mean 'litres'"),
        (["--move", "collision.at=900:1000:50", "--best", "most:litres of peek"], "Did you mean 'peak'"),
        (["--move", "collision.at=900:1000:50", "--holed", "peek"], "Did you mean 'peak'"),
        ([each for k in range(3) for each in ("--move", f"collision.at=90{k}:1000:50")], "a sweep moves one or two"),
        (["--move", "collision.at=900:1000:50", "--json", "--units", "in"], "prints metres"),
    ],
)
def test_what_cannot_be_swept_is_refused_in_words(
    more: list[str], said: str, scene: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """One to three lines with what to write instead, and nothing written."""
    assert main(["sweep", scene, *more]) == 2
    text = capsys.readouterr().err
    assert said in text
    assert len(text.splitlines()) <= 3


@pytest.mark.example
def test_what_is_swept_after_a_step_is_called_by_it(scene: str, capsys: pytest.CaptureFixture[str]) -> None:
    """After the first step; as she is today the bulkhead that is planned cannot be moved."""
    assert main(["sweep", scene, "--move", "collision.at=900:1000:100", "--stage", "1"]) == 0
    assert capsys.readouterr().out.splitlines()[0].endswith(", after stage 1")
    assert main(["sweep", scene, "--move", "collision.at=900:1000:100", "--stage", "0"]) == 2
    assert "nothing here is called 'collision'" in capsys.readouterr().err
