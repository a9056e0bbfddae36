"""`report --bands` and `check --for`, as typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from box_boat import BOX_BOAT
from scene_specimens import box_files

from sketcher.cli import main


@pytest.fixture
def scene(tmp_path: Path) -> str:
    return box_files(tmp_path, BOX_BOAT)


@pytest.mark.example
def test_bands_are_printed_for_people_and_for_programs(scene: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The same litres with the same band, worked out by processes."""
    assert main(["report", scene, "--bands"]) == 0
    printed = capsys.readouterr().out
    assert "1800 ±29" in printed
    assert "MEASURE AGAIN for litres of peak" in printed
    assert main(["report", scene, "--bands", "--json"]) == 0
    values = json.loads(capsys.readouterr().out)
    low, high = values["bands"]["compartments.peak.volume_m3"]
    assert round(500 * (high - low)) == 29


@pytest.mark.example
@pytest.mark.parametrize("figure", ["bow freeboard", "high"])
def test_check_tells_what_to_measure_again(scene: str, figure: str, capsys: pytest.CaptureFixture[str]) -> None:
    """For a figure as typed, and for a limit by its name; after all else."""
    assert main(["check", scene, "--for", figure]) == 0
    printed = capsys.readouterr().out
    assert printed.index("NOTICED") < printed.index("MEASURE AGAIN for bow freeboard, 700 ±14 mm")


@pytest.mark.example
@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["check", "{scene}", "--for", "litre of peak"], "Did you mean 'litres'?"),
        (["check", "{scene}", "--for", "litres of peek"], "Did you mean 'peak'?"),
        (["check", "{scene}", "--for", "GM with peak"], "there is no figure 'GM with peak'"),
        (["check", "{hull}", "--for", "GM"], "--for is about a layout, and this is a hull"),
        (["report", "{scene}", "--bands", "--csv"], "--bands is for the report and for --json"),
    ],
)
def test_what_cannot_be_asked_is_refused(scene: str, asked: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With the nearest right word."""
    assert main([each.format(scene=scene, hull=Path(scene).parent / "box.yaml") for each in asked]) == 2
    assert said in capsys.readouterr().err
