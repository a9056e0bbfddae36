"""Two layouts side by side on the page: the one worked on, A, and the one kept, B."""

from __future__ import annotations

from html import unescape
from pathlib import Path

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.cli.command_line import main
from sketcher.outputs.drawing.recording import Line
from sketcher.web.logic.objects.differing_parts import differing
from sketcher.web.state import KeptLayout

pytestmark = pytest.mark.example


def kept(sketch: DrivenSketch) -> KeptLayout:
    sketch.rest()
    found = sketch.state().kept
    assert found is not None
    return found


def test_the_page_compares_as_the_command_does(sketch: DrivenSketch, boats: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A bulkhead moved: each row and each thing noticed is one that `compare` prints of the same two files."""
    sketch.ask("keep_beside")
    sketch.ask("set", part=COLLISION, field="at", value="800")
    assert sketch.state().kept is not None
    assert "Compared when your hand rests." in sketch.parts()["compare"]
    sketch.ask("save_as", file="moved.yaml", replace="no")
    scenes = boats / "scenes"
    assert main(["compare", str(scenes / "moved.yaml"), str(scenes / "quillet-forepeak.yaml")]) == 0
    told = capsys.readouterr().out
    lines = {" ".join(line.split()) for line in told.splitlines()}
    found = kept(sketch).found
    assert found is not None
    assert ("bulkhead collision, at", ("800", "700"), "-100") in [(row.name, row.cells, row.change) for row in found.differences]
    for row in found.differences:
        assert " ".join(f"{row.name} {' '.join(row.cells)} {row.change}".split()) in lines
    page, said = unescape(sketch.parts()["compare"]), " ".join(told.split())
    for letters, findings in found.noticed.items():
        assert f"NOTICED IN {letters} ONLY" in said
        assert page.count(f'data-key="{letters}/') == len(findings) > 0


def test_one_goes_over_to_b_and_back(sketch: DrivenSketch) -> None:
    """As one step that undo takes back; what was A is B then. The file's name and hull stay."""
    sketch.ask("go_over")
    assert sketch.notice is not None
    assert sketch.notice.refused
    sketch.ask("set", part=COLLISION, field="at", value="800")
    sketch.ask("keep_beside")
    assert sketch.state().look.arrangement == "compare"
    assert kept(sketch).when == "as it was after: Move collision bulkhead 700 to 800 mm"
    sketch.ask("set", part=COLLISION, field="at", value="900")
    sketch.ask("go_over")
    assert sketch.collision_at == pytest.approx(0.8)
    assert sketch.session.history.undo_name == "Go over to B, Quillet 21, forepeak, first layout"
    assert kept(sketch).evaluation.scene.bulkheads[0].at == pytest.approx(0.9)
    sketch.ask("undo")
    assert sketch.collision_at == pytest.approx(0.9)
    sketch.ask("put_away")
    assert sketch.state().kept is None


def test_another_scene_is_taken_as_b_but_not_gone_over_to_in_another_hull(sketch: DrivenSketch) -> None:
    """What lies in another hull can be laid beside, and is refused as what one goes on with."""
    sketch.ask("dialog", name="beside")
    assert sketch.dialog is not None
    assert "scenes/marram-forepeak.yaml" in sketch.dialog.options
    sketch.ask("keep_file", name="scenes/marram-forepeak.yaml")
    assert kept(sketch).when == "as scenes/marram-forepeak.yaml is saved"
    sketch.ask("go_over")
    assert sketch.notice is not None
    assert "another hull, Marram 29" in sketch.notice.text
    assert not sketch.state().unsaved


def test_what_is_elsewhere_in_b_is_drawn_over_a_in_outline(sketch: DrivenSketch) -> None:
    """Nothing while B is A; then a bulkhead 100 mm away and what is tied to it, in the picture and the drawings."""
    sketch.ask("keep_beside")
    sketch.rest()
    assert sketch.state().sheet["sheet-kept"].count("<path") + sketch.state().sheet["sheet-kept"].count("<poly") == 1, "the key"
    assert sketch.state().ghost == ""
    sketch.ask("set", part=COLLISION, field="at", value="800")
    sketch.rest()
    now, kept = differing(sketch.evaluation, sketch.workspace.comparing.kept)
    moved = {round(float(ring[:, 0].min()), 3) for (ring, *_), ghost in [(face, kept) for face in kept.faces]}
    assert 0.7 in moved
    assert 0.712 in moved
    state = sketch.state()
    assert state.ghost.count("<path") == len(now.faces) + len(kept.faces) > 4
    # 1 : n, with the collision's forward face at 700 mm drawn dashed beside the one at 800 mm.
    profile = sketch.sheet.panes[0].placing
    ends = {x for item in kept_edges(sketch) for x, _ in item.points}
    assert any(abs(x - profile.spot(0.7, 0.0)[0]) < 0.01 for x in ends)
    assert not any(abs(x - profile.spot(0.8, 0.0)[0]) < 0.01 for x in ends)
    sketch.ask("show_beside")
    assert sketch.state().ghost == sketch.state().sheet["sheet-kept"] == ""


def kept_edges(sketch: DrivenSketch) -> list[Line]:
    """The outlines of B over the profile."""
    sheet, kept = sketch.sheet, sketch.workspace.comparing.kept
    assert kept is not None
    return [item for item in sheet.kept_items(kept) if isinstance(item, Line) and item.layer == "panels"]
