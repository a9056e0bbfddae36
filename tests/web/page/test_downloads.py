"""Files that are taken away from the page."""

from __future__ import annotations

import io
from pathlib import Path

import pypdf
import pytest
from driven_sketch import COLLISION, DrivenSketch, driven

from sketcher.outputs.palette import BESIDE
from sketcher.web.app import at_hand


@pytest.mark.example
def test_one_page_to_print_is_of_the_layout_as_it_stands(sketch: DrivenSketch) -> None:
    """Edited and not saved, holed or not: the page tells the bulkhead's new place, and the boat unholed."""
    sketch.ask("set", part=COLLISION, field="at", value="815")
    sketch.ask("hole", part="compartment/forepeak")
    found = sketch.controller.download("page.pdf")
    assert found is not None
    assert found[1:] == ("application/pdf", "quillet-21-forepeak-first-layout-page.pdf")
    (page,) = pypdf.PdfReader(io.BytesIO(found[0])).pages
    text = page.extract_text()
    assert "collision 815" in text
    assert "flooded" not in text
    assert 'href="/download/page.pdf"' in sketch.parts()["bar"]


@pytest.mark.example
def test_one_file_to_send_is_opened_where_it_lies(
    sketch: DrivenSketch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The layout as it stands goes in; whoever opens it works on what was taken out beside it, and is told where that is."""
    sketch.ask("set", part=COLLISION, field="at", value="815")
    found = sketch.controller.download("boat.zip")
    assert found is not None
    assert found[1:] == ("application/zip", "quillet-21-forepeak-first-layout.zip")
    assert 'href="/download/boat.zip"' in sketch.parts()["bar"]
    sent = tmp_path / "sent.zip"
    sent.write_bytes(found[0])
    scene = at_hand(str(sent))
    assert scene == tmp_path / "sent" / "scene.yaml"
    assert f"Taken out of {sent}: changes are saved in {scene}." in capsys.readouterr().out
    theirs = driven(scene)
    assert theirs.collision_at == pytest.approx(0.815)
    assert not theirs.state().unsaved
    theirs.ask("set", part=COLLISION, field="at", value="830")
    theirs.ask("save")
    assert at_hand(str(sent)) == tmp_path / "sent-2" / "scene.yaml"
    assert f"stays as it is: {scene.parent}" in capsys.readouterr().out


@pytest.mark.example
def test_drawings_are_taken_away_with_what_is_elsewhere_in_b(sketch: DrivenSketch) -> None:
    """As the page draws them: a layout kept as B in outline, and in the title block what it is; not once it is not drawn."""
    sketch.ask("keep_beside")
    sketch.ask("set", part=COLLISION, field="at", value="815")
    drawn = drawings(sketch)
    assert drawn.count(f'stroke="{BESIDE}"') > 3
    assert "Dashed: B, Quillet 21, forepeak, first layout, as" in drawn
    sketch.ask("show_beside")
    assert BESIDE not in drawings(sketch)


def drawings(sketch: DrivenSketch) -> str:
    found = sketch.controller.download("drawings.svg")
    assert found is not None
    return found[0].decode()
