"""Scenes opened, begun, saved and taken up again through the page."""

from __future__ import annotations

import shutil
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import COLLISION, DrivenSketch, driven

from sketcher.analysis.ready.fitted import ready_layout
from sketcher.analysis.ready.layouts import LAYOUTS
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.scene_file import new_scene_text, read_scene, ready_scene_text
from sketcher.web.logic.files.layout_fitting import fitted_text
from sketcher.web.logic.places.workers import Workers


@pytest.mark.example
def test_work_is_kept_beside_the_file_and_offered_again(sketch: DrivenSketch, boats: Path) -> None:
    """What was not saved is there for the next run; taken up, it can be undone; saved, it is forgotten."""
    sketch.ask("set", part=COLLISION, field="at", value="815")
    sketch.session.keep()
    assert driven(boats / "scenes" / "quillet-forepeak.yaml").dialog is None, "offered while it is still worked on"
    sketch.session.unsaved_work.let_go()
    again = driven(boats / "scenes" / "quillet-forepeak.yaml")
    assert again.dialog is not None
    assert again.dialog.name == "recover"
    again.controller.keep_work()
    again.ask("recover", take="yes", work=again.dialog.options[0])
    assert again.collision_at == pytest.approx(0.815)
    again.ask("undo")
    assert again.collision_at == pytest.approx(0.7)
    again.ask("redo")
    again.ask("save")
    assert driven(boats / "scenes" / "quillet-forepeak.yaml").dialog is None


@pytest.mark.example
def test_work_kept_beside_another_scene_is_named_at_the_start(sketch: DrivenSketch, boats: Path) -> None:
    """Whoever starts with one scene hears by name that another, opened from there, was left unsaved."""
    assert sketch.notice is None
    sketch.ask("open", name="scenes/marram-forepeak.yaml")
    sketch.ask("set", part=COLLISION, field="at", value="1185")
    sketch.session.unsaved_work.let_go()
    again = driven(boats / "scenes" / "quillet-forepeak.yaml")
    assert again.dialog is None
    assert again.notice is not None
    assert "scenes/marram-forepeak.yaml" in again.notice.text
    again.ask("open", name="scenes/marram-forepeak.yaml")
    assert again.dialog is not None
    assert again.dialog.name == "recover"


def kept_at(boats: Path, value: str) -> None:
    """Work on a scene that is killed before it is saved."""
    killed = driven(boats / "scenes" / "quillet-forepeak.yaml")
    killed.workspace.dialog = None
    killed.ask("set", part=COLLISION, field="at", value=value)
    killed.session.unsaved_work.let_go()


@pytest.mark.example
def test_two_that_were_killed_lose_nothing(boats: Path) -> None:
    """Two sketches of one scene, both killed: each one's work is offered, one forgotten only by word, the other taken up."""
    kept_at(boats, "815")
    kept_at(boats, "830")
    again = driven(boats / "scenes" / "quillet-forepeak.yaml")
    seen = []
    for _ in range(2):
        assert again.dialog is not None
        work, _, count = again.dialog.options
        seen.append(count)
        assert f"newest of {count}" in again.parts()["dialog"] or count == "1"
        again.ask("recover", take="no" if count == "2" else "yes", work=work)
    assert seen == ["2", "1"]
    assert again.dialog is None
    assert again.collision_at == pytest.approx(0.815)


@pytest.mark.example
def test_what_is_not_taken_up_stays_kept(boats: Path) -> None:
    """Of two works one is taken up and saved: the other is offered at the next opening."""
    kept_at(boats, "815")
    kept_at(boats, "830")
    again = driven(boats / "scenes" / "quillet-forepeak.yaml")
    assert again.dialog is not None
    again.ask("recover", take="yes", work=again.dialog.options[0])
    assert again.dialog is None
    assert again.collision_at == pytest.approx(0.83)
    again.ask("save")
    last = driven(boats / "scenes" / "quillet-forepeak.yaml")
    assert last.dialog is not None
    last.ask("recover", take="yes", work=last.dialog.options[0])
    assert last.collision_at == pytest.approx(0.815)


@pytest.mark.example
def test_a_new_scene_is_begun_in_a_hull_and_in_a_table(sketch: DrivenSketch, boats: Path) -> None:
    """The owner goes on in the new file; a table of measurements becomes a hull first."""
    sketch.ask("new", hull="hulls/marram-29.yaml", name="Empty", file="empty.yaml")
    assert sketch.dialog is None
    assert sketch.scene.name == "Empty"
    assert (boats / "scenes" / "empty.yaml").exists()
    table = next(iter(sorted((boats / "hulls").glob("*.csv"))))
    copied = table.with_name("fresh.csv")
    shutil.copy(table, copied)
    sketch.ask("new", hull="hulls/fresh.csv", name="From tape", file="tape.yaml")
    assert sketch.dialog is None, sketch.dialog
    assert sketch.scene.hull_path == "../hulls/fresh.yaml"


class Fitter(Workers):
    """Keeps what it is asked to fit until the test says what came of it."""

    def executor(self) -> Any:
        return self

    def submit(self, *asked: Any) -> Future[str]:
        self.asked: list[Any] = [*asked]
        self.work: Future[str] = Future()
        return self.work


@pytest.mark.example
def test_a_ready_layout_is_fitted_beside_the_page_and_can_be_left(sketch: DrivenSketch, boats: Path) -> None:
    """Until it has come it is said that it is fitted and nothing is written; left, nothing is; else the owner goes on in it."""
    fitter = sketch.workspace.files.fitting.workers = Fitter()
    begun = {"hull": "hulls/marram-29.yaml", "name": "Berth", "file": "berth.yaml", "layout": next(iter(LAYOUTS))}
    sketch.ask("new", **begun)
    assert "a few seconds" in sketch.parts()["dialog"]
    sketch.ask("close")
    assert fitter.work.cancelled()
    sketch.ask("new", **begun)
    sketch.ask("dialog", name="keys")
    fitter.work.set_result(fitter.asked[4])
    sketch.controller.before_picture()
    assert not (boats / "scenes" / "berth.yaml").exists()
    sketch.ask("new", **begun)
    title, between = fitter.asked[4], fitter.asked[2]
    fitter.work.set_result(new_scene_text(title, between, "mm"))
    sketch.controller.before_picture()
    assert sketch.dialog is None
    assert sketch.scene.name == "Berth"
    assert (boats / "scenes" / "berth.yaml").exists()


@pytest.mark.example
def test_a_layout_for_which_there_is_no_room_is_asked_for_again(sketch: DrivenSketch, boats: Path) -> None:
    """In the words of whoever fitted it; a name that no layout has is refused at once."""
    fitter = sketch.workspace.files.fitting.workers = Fitter()
    sketch.ask("new", hull="hulls/marram-29.yaml", name="Berth", file="berth.yaml", layout=next(iter(LAYOUTS)))
    fitter.work.set_exception(SketchError("this hull leaves no room", "Begin with an empty one."))
    sketch.controller.before_picture()
    assert sketch.dialog is not None
    assert sketch.dialog.problem == "this hull leaves no room. Begin with an empty one."
    sketch.ask("new", hull="hulls/marram-29.yaml", name="Berth", file="berth.yaml", layout="palace")
    assert "no ready layout `palace`" in sketch.dialog.problem
    assert not (boats / "scenes" / "berth.yaml").exists()


@pytest.mark.slow
@pytest.mark.example
def test_what_is_fitted_is_the_ready_layout(boats: Path) -> None:
    """The same scene as the command's, in a hull's file."""
    name, source = next(iter(LAYOUTS)), boats / "hulls" / "quillet-21.yaml"
    scene = replace(ready_layout(name, read_hull(source), "../hulls/hull.yaml").scene, name="Fitted")
    assert fitted_text(str(source), "../hulls/hull.yaml", name, "Fitted") == ready_scene_text(scene)


@pytest.mark.property
@pytest.mark.parametrize("scene", ["marram-forepeak", "quillet-forepeak"])
def test_a_new_scene_is_offered_the_open_hull_first(boats: Path, scene: str) -> None:
    """All others follow."""
    opened = driven(boats / "scenes" / f"{scene}.yaml")
    opened.ask("dialog", name="new")
    assert opened.dialog is not None
    assert opened.dialog.options[0] == f"hulls/{Path(opened.scene.hull_path).name}"
    assert set(opened.dialog.options) == set(opened.workspace.files.folders.hulls())


@pytest.mark.example
def test_a_new_scene_takes_the_hull_beside_its_folder(sketch: DrivenSketch, boats: Path) -> None:
    """Not one of the same name elsewhere, even where the scene that is open lies in that one."""
    away = boats / "away"
    shutil.copytree(boats / "hulls", away / "hulls")
    first = boats / "scenes" / "quillet-forepeak.yaml"
    first.write_text(first.read_text().replace("../hulls/", "../away/hulls/"))
    again = driven(first)
    again.ask("new", hull="hulls/quillet-21.yaml", name="Third", file="third")
    assert again.dialog is None
    assert again.scene.hull_path == "../hulls/quillet-21.yaml"


@pytest.mark.example
def test_a_scene_of_the_same_name_is_replaced_only_when_that_is_said(sketch: DrivenSketch, boats: Path) -> None:
    """Saved over another scene, the page offers to replace that one; a file that is no scene is never replaced."""
    other, notes = boats / "scenes" / "marram-forepeak.yaml", boats / "scenes" / "notes.yaml"
    before = other.read_text()
    notes.write_text("notes: keep\n")
    sketch.ask("save_as", file="marram-forepeak")
    assert 'data-file="marram-forepeak.yaml" data-replace="yes"' in sketch.parts()["dialog"]
    assert other.read_text() == before
    sketch.ask("save_as", file="notes.yaml", replace="yes")
    assert "Choose another name" in sketch.parts()["dialog"]
    assert notes.read_text() == "notes: keep\n"
    sketch.ask("save_as", file="marram-forepeak.yaml", replace="yes")
    assert sketch.dialog is None
    assert read_scene(other).name == sketch.scene.name
    assert sketch.session.opened.path == str(other)


@pytest.mark.example
def test_leaving_unsaved_work_is_asked_about(sketch: DrivenSketch) -> None:
    """Another scene is opened only when it is sure."""
    sketch.ask("set", part=COLLISION, field="at", value="815")
    sketch.ask("open", name="scenes/marram-forepeak.yaml")
    assert sketch.dialog is not None
    assert sketch.dialog.name == "leave"
    assert sketch.session.file == "quillet-forepeak.yaml"
    sketch.ask("open", name="scenes/marram-forepeak.yaml", sure="yes")
    assert sketch.session.file == "marram-forepeak.yaml"
    assert not sketch.session.unsaved


@pytest.mark.property
@pytest.mark.parametrize("name", ["../../etc/passwd", "/etc/passwd", "scenes/../scenes/x.yaml", "hulls/marram-29.yaml"])
def test_nothing_outside_the_list_is_opened(sketch: DrivenSketch, name: str) -> None:
    """A page names a scene of the list or nothing."""
    sketch.ask("open", name=name)
    assert sketch.notice is not None
    assert sketch.notice.refused
    assert sketch.session.file == "quillet-forepeak.yaml"


@pytest.mark.example
def test_a_layouts_title_is_edited_like_anything_else(sketch: DrivenSketch, boats: Path) -> None:
    """One step with a name of its own, undone by undo; in the file its line alone changes, what stands beside it is kept."""
    path = boats / "scenes" / "quillet-forepeak.yaml"
    before = path.read_text().replace("scene: Quillet 21, forepeak, first layout\n", "scene: First    # to show my wife\n")
    path.write_text(before)
    sketch.ask("reload")
    sketch.ask("dialog", name="title")
    assert 'value="First"' in sketch.parts()["dialog"]
    sketch.ask("retitle", title="  ")
    assert sketch.dialog is not None
    assert "needs a title" in sketch.dialog.problem
    sketch.ask("retitle", title=" Berths: 2,  not 3 # maybe ")
    assert sketch.dialog is None
    assert sketch.session.history.undo_name == "Rename the layout to Berths: 2, not 3 # maybe"
    assert "Berths: 2, not 3 # maybe" in sketch.parts()["bar"]
    sketch.ask("save")
    after = path.read_text()
    assert read_scene(path).name == "Berths: 2, not 3 # maybe"
    changed = [(old, new) for old, new in zip(before.splitlines(), after.splitlines(), strict=True) if old != new]
    assert len(changed) == 1
    assert changed[0][1].endswith("    # to show my wife")
    sketch.ask("undo")
    assert sketch.scene.name == "First"
