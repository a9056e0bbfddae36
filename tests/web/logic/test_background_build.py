"""The build on the page: worked out beside it, stopped, shown with its lists, and taken away only while it is of the layout."""

from __future__ import annotations

import io
import re
import threading
import zipfile
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from driven_sketch import DrivenSketch, copied_boats, driven

from sketcher.analysis.sources import SOURCES
from sketcher.model.files.scene_file import scene_text
from sketcher.outputs.paper.build_files import build_files, tables
from sketcher.outputs.wording.sentences import words
from sketcher.web.logic.background_build import FAILED
from sketcher.web.logic.workspace import BUILD_AFTER
from sketcher.web.ui.build import SHEET_WIDTH

pytestmark = [pytest.mark.example, pytest.mark.slow]

LONGEST = 200.0
"""Seconds the build of a demo may take on a busy machine."""


def opened(boats: Path) -> DrivenSketch:
    made = driven(boats / "scenes" / "quillet-forepeak.yaml")
    made.ask("arrange", arrangement="build")
    return made


@pytest.fixture
def sketch(tmp_path: Path) -> DrivenSketch:
    """A demo boat in a folder of its own, the page of the build open."""
    return opened(copied_boats(tmp_path))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> DrivenSketch:
    """The same with her build worked out, the lid there already, for tests that leave scene and build as they were."""
    boats = copied_boats(tmp_path_factory.mktemp("built"))
    scene = boats / "scenes" / "quillet-forepeak.yaml"
    scene.write_text(scene.read_text().replace("thickness: 9}", "thickness: 9, built: already}"))
    made = opened(boats)
    worked_out(made)
    return made


def worked_out(sketch: DrivenSketch) -> None:
    sketch.ask("build")
    sketch.workspace.build.wait(LONGEST)
    assert sketch.state().build.doing == ""


def test_the_build_is_shown_with_every_sheet_and_list(built: DrivenSketch) -> None:
    """Each sheet with its boards by name and what is left of it, each list readable and to be taken away as it is printed."""
    page, plan = built.parts()["build"], built.workspace.build.plan_of(built.scene)
    assert plan is not None
    for layout in plan.sheets:
        assert all(words(layout.sheet_name(number)) in page for number in range(len(layout.nesting.sheets)))
        assert all(placed.piece.split(",")[0] in page for placed in layout.nesting.placed)
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', page)]
    assert min(sizes) * 560 / SHEET_WIDTH >= 11.0
    for name, text in tables(plan):
        assert name[1:] in page
        assert built.controller.download(f"{name}.csv") == (text.encode(), "text/csv", f"{name.replace(' ', '-')}.csv")


def test_the_build_is_worked_out_before_anybody_asks(sketch: DrivenSketch, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a rest, on its page at once; not while a hand moves, and not again what is there, was stopped or cannot be had."""
    workspace, begun = sketch.workspace, []
    assert "Work it out" in sketch.parts()["build"]
    monkeypatch.setattr(workspace.build, "_start", lambda doing, _: begun.append(doing))
    workspace.build_ahead(1.0)
    assert begun == []
    sketch.rest()
    for arrangement, rested, expected in (("both", 1.0, 0), ("both", BUILD_AFTER, 1), ("both", BUILD_AFTER, 1)):
        sketch.ask("arrange", arrangement=arrangement)
        workspace.build_ahead(rested)
        assert len(begun) == expected
    sketch.ask("set", part="bulkhead/collision", field="at", value="760")
    sketch.ask("arrange", arrangement="build")
    sketch.ask("press", where="drawing", at=[1, 1], button="main")
    workspace.build_ahead(BUILD_AFTER)
    assert len(begun) == 1
    sketch.ask("release")
    workspace.build_ahead(1.0)
    assert len(begun) == 2


@pytest.mark.slow
def test_the_page_of_a_scene_in_inches_speaks_inches(sketch: DrivenSketch, tmp_path: Path) -> None:
    """Sheets, what was noticed and every column of the lists; what is taken away as CSV stays in millimetres."""
    path = tmp_path / "scenes" / "in inches.yaml"
    path.write_text(scene_text(replace(sketch.scene, units="in")), encoding="utf-8")
    inches = driven(path)
    inches.ask("arrange", arrangement="build")
    worked_out(inches)
    page = unescape(inches.parts()["build"])
    for source in SOURCES.values():
        page = page.replace(source.title, "")
    assert re.findall(r".{30}\bmm\b.{10}", page) == []
    assert "96 1/16 × 48 1/16 in" in page
    assert "width, in" in page
    taken = inches.controller.download("cutting list.csv")
    assert taken is not None
    assert b"width_in" in taken[0]


def test_a_build_of_another_layout_is_called_so_and_is_not_given_out(built: DrivenSketch) -> None:
    """After an edit no list can be taken away; undone, the build is of the layout again."""
    built.ask("set", part="bulkhead/collision", field="thickness", value="15")
    page, taken = built.parts()["build"], built.controller.download("cutting list.csv")
    built.ask("undo")
    assert "do not cut by these" in page
    assert taken is None
    assert "Of the layout as it stands" in built.parts()["build"]
    assert built.controller.download("cutting list.csv") is not None


def test_stopping_keeps_the_best_so_far_and_says_so(sketch: DrivenSketch) -> None:
    """Held still by a hand and then stopped, the laying ends early; the page says that boards may be left out."""
    build, looked = sketch.workspace.build, threading.Semaphore(0)
    held = build.dragging
    build.dragging = lambda: looked.release() or held()
    sketch.workspace.drag.mode = "turn"
    sketch.ask("build")
    for _ in range(3):
        assert looked.acquire(timeout=LONGEST)
    assert sketch.state().build.doing == "plan"
    assert "Stop, keep the best so far" in sketch.parts()["build"]
    sketch.ask("build_stop")
    sketch.workspace.build.wait(LONGEST)
    sketch.workspace.drag.mode = "none"
    now = sketch.state().build
    assert now.plan is not None
    assert now.stopped
    assert now.plan.sheets[0].nesting.stopped
    assert "Stopped early" in sketch.parts()["build"]


def test_the_build_stands_still_while_a_hand_moves(sketch: DrivenSketch) -> None:
    """Nothing is laid while something is dragged, so that the drag has the machine; let go, it goes on to its end."""
    sketch.workspace.drag.mode = "turn"
    sketch.ask("build")
    sketch.workspace.build.wait(1.0)
    assert sketch.state().build.doing == "plan"
    sketch.workspace.drag.mode = "none"
    sketch.workspace.build.wait(LONGEST)
    assert sketch.workspace.build.plan_of(sketch.scene) is not None


def test_news_of_the_build_wakes_the_page(sketch: DrivenSketch) -> None:
    """It says at least at its end that there is something to show."""
    told: list[bool] = []
    sketch.workspace.build.changed = lambda: told.append(True)
    worked_out(sketch)
    assert told


def test_a_layout_with_nothing_planned_has_no_build(sketch: DrivenSketch) -> None:
    """All panels there already: in words, with no folder to make."""
    for panel in sketch.scene.panels:
        kind = {"bulkheads": "bulkhead", "partitions": "partition", "lids": "lid"}
        block = next(key for key in kind if panel in getattr(sketch.scene, key))
        sketch.ask("set", part=f"{kind[block]}/{panel.name}", field="built", value="already")
    worked_out(sketch)
    assert "nothing to cut" in sketch.parts()["build"]
    assert "Make the build folder" not in sketch.parts()["build"]


def test_unsaved_work_is_not_built(built: DrivenSketch) -> None:
    """The papers name the file that they are made of: it must say what is built."""
    built.ask("set", part="bulkhead/collision", field="thickness", value="15")
    built.ask("build_folder")
    notice, taken = built.notice, built.controller.download("build.zip")
    built.ask("undo")
    assert notice is not None
    assert notice.remedy.startswith("Save it first")
    assert taken is None


@pytest.mark.slow
def test_another_scene_forgets_the_build(sketch: DrivenSketch) -> None:
    """A build is never shown beside another boat."""
    worked_out(sketch)
    sketch.ask("open", name="scenes/pellwick-bows.yaml")
    assert sketch.state().build.plan is None


@pytest.mark.slow
def test_the_folder_holds_what_the_command_writes(built: DrivenSketch) -> None:
    """The ZIP has every file of a build on that paper by the same name, and but for the booklet, which has a picture too, the
    same bytes, though another process made it; nothing was written beside the scene. On other paper it must be made again."""
    beside = sorted(path.name for path in Path(built.session.opened.path).parent.iterdir())
    built.ask("build_paper", value="a1")
    built.ask("build_folder")
    built.workspace.build.wait(LONGEST)
    answer = built.controller.download("build.zip")
    assert answer is not None
    plan = built.state().build.plan
    assert plan is not None
    files = dict(build_files(plan, "a1", picture=False))
    with zipfile.ZipFile(io.BytesIO(answer[0])) as packed:
        assert set(packed.namelist()) == {*files, "contents.txt"}
        assert [name for name in files if name != "booklet.pdf" and packed.read(name) != files[name]] == []
    assert sorted(path.name for path in Path(built.session.opened.path).parent.iterdir()) == beside
    built.ask("build_paper", value="a4")
    assert built.controller.download("build.zip") is None


def test_a_folder_that_breaks_off_shows_no_insides(built: DrivenSketch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A command that ends otherwise than in words of its own: the page says that it failed, the log the rest."""
    broken = tmp_path / "broken"
    broken.write_text("#!/bin/sh\necho Traceback: zero-size array >&2\nexit 1\n")
    broken.chmod(0o755)
    monkeypatch.setattr("sketcher.web.logic.background_build.sys.executable", str(broken))
    built.ask("build_folder")
    built.workspace.build.wait(LONGEST)
    page = built.parts()["build"]
    assert FAILED in page
    assert "Traceback" not in page
