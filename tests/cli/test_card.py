"""The command `card`: sheets in one file, what was measured in one line, nothing written over."""

from pathlib import Path

import pytest
from places import SCENES
from pypdf import PdfReader

from sketcher.cli.command_line import main


@pytest.mark.example
def test_a_model_is_written_as_sheets_and_judged_in_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A small model comes on sheets of A4 after a page to read, and what was found of it is said; a scene is not written over.

    The whole way from file to file takes some seconds: the other tests ask its parts.
    """
    target = tmp_path / "model.pdf"
    scene = str(SCENES / "pellwick-bows.yaml")
    assert main(["card", scene, "-o", str(target), "--scale", "50"]) == 0
    said = capsys.readouterr().out
    pages = PdfReader(target).pages
    assert f"on {len(pages) - 1} sheets" in said
    assert "each reaches its place" in said
    assert [round(float(side) / 72 * 25.4) for side in pages[0].mediabox[2:]] == [210, 297]
    assert "bow berth top" in pages[0].extract_text()
    target.write_text("scene: mine")
    assert main(["card", scene, "-o", str(target), "--scale", "50"]) == 2
    assert "--overwrite" in capsys.readouterr().err
