"""Saving: the file changes no more than the scene did, and reads back as the scene, to the last bit."""

import os
import stat
from dataclasses import replace
from difflib import unified_diff
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scene_specimens import SCENE, scene_folder

from sketcher.model.demos import demo_scenes
from sketcher.model.edits.actions import Add, Duplicate, Edit, MoveBulkhead, Rename, SetSceneValue, SetValue
from sketcher.model.edits.deletion import Delete
from sketcher.model.edits.history import History, in_file_of
from sketcher.model.errors import SketchError
from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.files.recovery import RECOVERY_SUFFIX, KeptWork, drop_recovery, find_recoveries
from sketcher.model.files.saving import SceneDocument, changed_elsewhere, open_scene, save_scene, save_scene_as
from sketcher.model.files.scene_file import new_scene_text, read_scene, scene_text
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Scene, Waterline


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """The lines taken out and put in between two texts."""
    lines = list(unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm=""))[2:]
    return [line[1:] for line in lines if line.startswith("-")], [line[1:] for line in lines if line.startswith("+")]


def other(value: Any, held_down: bool = False) -> Any:
    """A value of the same kind that differs by a little, downwards where it has a ceiling; None where there is no telling."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value % 6 + 1
    if isinstance(value, float):
        return value * 0.9 if held_down else value + 0.013
    if isinstance(value, FromPanel):
        return FromPanel(value.panel, value.distance + 0.013)
    if isinstance(value, tuple) and value and any(isinstance(part, float) for part in value):
        last = max(i for i, part in enumerate(value) if isinstance(part, float))
        return tuple(part + 0.013 if i == last else part for i, part in enumerate(value))
    return None


def single_changes(scene: Scene) -> list[SetValue]:
    """An edit for each value that stands in the file's blocks and is a number in whole or in part."""
    return [
        SetValue(block.key, item.name, field.key, other(getattr(item, field.attribute), held_down=field.key == "litres"))
        for block in BLOCKS
        for item in getattr(scene, block.key)
        for field in block.fields
        if other(getattr(item, field.attribute)) is not None
    ]


def text_of(opened: SceneDocument, scene: Scene) -> str:
    """The file's text once it says what `scene` says."""
    return opened.document_with(opened.at_home(scene)).text


@pytest.fixture
def opened(tmp_path: Path) -> SceneDocument:
    return open_scene(scene_folder(tmp_path / "boat"))


@pytest.mark.property
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("bom", [False, True])
def test_a_change_of_one_number_changes_one_line(tmp_path: Path, end: str, bom: bool) -> None:
    """Each number of a scene, changed alone, changes its own line and keeps the comments, accents and line ends."""
    path = scene_folder(tmp_path / "boat", SCENE.replace("\n", end), bom)
    opened = open_scene(path)
    edits = single_changes(opened.scene)
    assert len(edits) > 60
    for edit in edits:
        text = text_of(opened, edit.apply(opened.scene))
        out, put = changed_lines(opened.document.text, text)
        written = opened.document.find(edit.block, edit.name, edit.key) is not None
        assert len(put) == 1, edit
        assert len(out) == (1 if written or "{" in put[0] else 0), edit
        assert text.count("\r\n") == text.count("\n") * (end == "\r\n")
        assert [line.partition("#")[2] for line in out] == [line.partition("#")[2] for line in put][: len(out)]


@pytest.mark.property
@pytest.mark.parametrize("path", demo_scenes(), ids=lambda path: path.stem)
def test_every_number_of_the_demos_changes_one_line(path: Path) -> None:
    """The same for every demo scene as it is delivered."""
    opened = open_scene(path)
    for edit in single_changes(opened.scene):
        out, put = changed_lines(opened.document.text, text_of(opened, edit.apply(opened.scene)))
        assert (len(out), len(put)) in ((1, 1), (0, 1)), edit


@pytest.mark.example
def test_what_was_not_changed_keeps_its_way_of_writing(opened: SceneDocument) -> None:
    """Feet, fractions, quotes and `port` stay where only something else on the line changed."""
    scene = SetValue("lids", "chain floor", "height", 0.505).apply(opened.scene)
    scene = SetValue("bulkheads", "step", "span", ("locker side", 0.31)).apply(scene)
    scene = SetValue("partitions", "locker side", "off_centre", (-0.46, -0.46)).apply(scene)
    scene = SetValue("openings", "seacock", "at", (2.0, -0.3, 0.12)).apply(scene)
    text = text_of(opened, scene)
    assert '"chain floor": {height: 505, from: stem, to: collision, slope: 4, thickness: "3/8 in"}' in text
    assert "step: {at: {from: main, distance: -1950}, thickness: 12, span: [locker side, 310]}" in text
    assert "locker side: {off_centre: 460 port," in text
    assert "at: [2000, 300 port, 120]" in text


@pytest.mark.example
def test_undoing_everything_gives_the_file_back(opened: SceneDocument) -> None:
    """After any edits and as many undos the text is the one that was opened."""
    history = History(opened.scene)
    for edit in (MoveBulkhead("collision", 1.2), Rename("lids", "tank top", "floor"), Delete("bulkheads", "main", free=True)):
        history.do(edit)
    assert text_of(opened, history.now) != opened.document.text
    while history.undo_name:
        history.undo()
    assert text_of(opened, history.now) == opened.document.text


@pytest.mark.example
def test_a_rename_changes_its_own_line_and_those_tied_to_it(opened: SceneDocument) -> None:
    """A renamed bulkhead keeps its line's comment, and each tie says the new name."""
    text = text_of(opened, Rename("bulkheads", "collision", "crash").apply(opened.scene))
    assert "  crash: {at: 1150, thickness: 18, kg: 9.5}      # marine ply" in text
    out, put = changed_lines(opened.document.text, text)
    assert [line.replace("collision", "crash") for line in out] == put
    assert "through: crash" in text


@pytest.mark.example
def test_adding_and_deleting_leaves_the_rest_alone(opened: SceneDocument) -> None:
    """A new lid is one new line at the end of its block; a deleted opening one line less."""
    scene = Add(Lid(name="sole", height=0.3, start="main", end=3.9, thickness=0.012)).apply(opened.scene)
    scene = Delete("openings", "limber hole").apply(scene)
    out, put = changed_lines(opened.document.text, text_of(opened, scene))
    assert put == ["  sole: {height: 300, from: main, to: 3900, thickness: 12}"]
    assert [line.split(":")[0] for line in out] == ["  limber hole"]


@pytest.mark.example
def test_the_first_of_a_kind_brings_its_block(tmp_path: Path) -> None:
    """In a new scene the first bulkhead and the first lid bring the lines that head them, in the usual order."""
    path = scene_folder(tmp_path / "boat", new_scene_text("Fresh", "../hulls/plain box.yaml", "mm"))
    opened = open_scene(path)
    scene = Add(Bulkhead(name="main", at=2.0, thickness=0.012)).apply(opened.scene)
    scene = Add(Lid(name="sole", height=0.3, start="main", end="transom", thickness=0.012)).apply(scene)
    text = text_of(opened, SetSceneValue("waterline", Waterline(forward=0.3, after=0.3)).apply(scene))
    put = changed_lines(opened.document.text, text)[1]
    assert put == [
        "waterline: 300",
        "bulkheads:",
        "  main: {at: 2000, thickness: 12}",
        "lids:",
        "  sole: {height: 300, from: main, to: transom, thickness: 12}",
    ]


@pytest.mark.property
@pytest.mark.parametrize("delete_all_of", [block.key for block in BLOCKS])
def test_a_block_can_be_emptied_and_filled_again(opened: SceneDocument, delete_all_of: str) -> None:
    """The last object of a block can go and the file still reads; one added later stands in the same block."""
    scene = opened.scene
    for item in getattr(scene, delete_all_of):
        if any(left.name == item.name for left in getattr(scene, delete_all_of)):
            scene = Delete(delete_all_of, item.name, free=True).apply(scene)
    emptied = save_scene(opened, scene)
    assert getattr(read_scene(emptied.path), delete_all_of) == ()
    again = save_scene(emptied, Add(opened.scene.weights[0]).apply(scene) if delete_all_of == "weights" else scene)
    assert read_scene(again.path) == again.scene


@pytest.mark.example
def test_a_scene_written_in_braces_is_kept_in_braces(tmp_path: Path) -> None:
    """A file in the style of JSON is changed in that style."""
    head = '{"scene": "x", "hull": "../hulls/plain box.yaml", "units": "mm",'
    text = head + '\n "bulkheads": {"main": {"at": 1000, "thickness": 18}}}\n'
    opened = open_scene(scene_folder(tmp_path / "boat", text))
    scene = Add(Bulkhead(name="aft", at=2.0, thickness=0.012)).apply(MoveBulkhead("main", 1.1).apply(opened.scene))
    scene = Add(Lid(name="sole", height=0.3, start="main", end="aft", thickness=0.012)).apply(scene)
    saved = save_scene(opened, scene)
    assert '{"main": {"at": 1100, "thickness": 18}, aft: {at: 2000, thickness: 12}}' in saved.document.text
    assert "lids: {sole: {height: 300, from: main, to: aft, thickness: 12}}}" in saved.document.text
    assert read_scene(saved.path) == saved.scene


lengths = st.floats(0.001, 5.0, allow_nan=False)


@st.composite
def edits(draw: st.DrawFn, scene: Scene) -> Edit:
    """Any edit that may or may not be possible in a scene."""
    blocks = [block for block in BLOCKS if getattr(scene, block.key)]
    block = draw(st.sampled_from(blocks))
    item = draw(st.sampled_from(getattr(scene, block.key)))
    kind = draw(st.sampled_from(["set", "set", "set", "rename", "delete", "duplicate", "water", "optional"]))
    if kind == "rename":
        return Rename(block.key, item.name, draw(st.text(st.characters(codec="utf-8"), min_size=1, max_size=8)))
    if kind == "delete":
        return Delete(block.key, item.name, free=draw(st.booleans()))
    if kind == "duplicate":
        return Duplicate(block.key, item.name, f"{item.name} {draw(st.integers(2, 9))}", draw(lengths))
    if kind == "water":
        return SetSceneValue("waterline", Waterline(forward=draw(lengths), after=draw(lengths), heel=draw(st.floats(-9.0, 9.0))))
    field = draw(st.sampled_from(block.fields))
    value = getattr(item, field.attribute)
    if kind == "optional" and not field.required:
        return SetValue(block.key, item.name, field.key, None)
    if isinstance(value, float):
        return SetValue(block.key, item.name, field.key, draw(lengths))
    if isinstance(value, tuple) and value and all(isinstance(part, float) for part in value):
        return SetValue(block.key, item.name, field.key, tuple(draw(lengths) for _ in value))
    return SetValue(block.key, item.name, field.key, other(value))


@pytest.mark.property
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_series_of_edits_saves_and_reads_back_to_the_last_bit(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Whatever is done to a scene, what is saved reads back as the very scene, and untouched comments are still there."""
    opened = open_scene(scene_folder(tmp_path_factory.mktemp("any") / "boat"))
    scene = opened.scene
    for _ in range(data.draw(st.integers(1, 6))):
        try:
            scene = data.draw(edits(scene)).apply(scene)
        except SketchError:
            continue
    saved = save_scene(opened, scene)
    assert read_scene(saved.path) == saved.scene == replace(scene, file=saved.path)
    for comment in ("# My forepeak. Höhen über der Basis.", "# the old one leaked", "# the end"):
        assert comment in saved.document.text


@pytest.mark.example
def test_a_length_beyond_the_files_step_is_kept_to_it(opened: SceneDocument) -> None:
    """A third of a metre becomes the length that the file can hold, at once and not only after reading it again."""
    scene = MoveBulkhead("collision", 1.0 / 3.0).apply(opened.scene)
    assert scene.bulkheads[0].at == 0.333333
    assert save_scene(opened, scene).scene.bulkheads == scene.bulkheads


@pytest.mark.example
def test_a_whole_scene_can_be_written_anew(opened: SceneDocument) -> None:
    """A scene without a file of its own is written so that it reads back the same."""
    Path(opened.path).write_text(scene_text(opened.scene), encoding="utf-8")
    assert read_scene(opened.path) == opened.scene


@pytest.mark.example
def test_a_file_changed_elsewhere_is_not_overwritten(opened: SceneDocument) -> None:
    """Someone else's change stays; saying so explicitly overwrites it."""
    scene = MoveBulkhead("collision", 1.2).apply(opened.scene)
    Path(opened.path).write_text(SCENE + "# from elsewhere\n", encoding="utf-8")
    assert changed_elsewhere(opened)
    with pytest.raises(SketchError, match="changed elsewhere since it was opened; nothing was saved"):
        save_scene(opened, scene)
    assert Path(opened.path).read_text("utf-8").endswith("# from elsewhere\n")
    assert not changed_elsewhere(save_scene(opened, scene, overwrite=True))


@pytest.mark.example
def test_saving_twice_in_a_row_is_no_change_elsewhere(opened: SceneDocument) -> None:
    """One's own saving is not taken for somebody else's."""
    first = save_scene(opened, MoveBulkhead("collision", 1.2).apply(opened.scene))
    second = save_scene(first, MoveBulkhead("collision", 1.3).apply(first.scene))
    assert read_scene(second.path) == second.scene


@pytest.mark.example
def test_save_as_turns_the_hulls_path(opened: SceneDocument, tmp_path: Path) -> None:
    """A scene saved in another folder finds its hull from there, and keeps its comments."""
    (tmp_path / "deep" / "er").mkdir(parents=True)
    saved = save_scene_as(opened, opened.scene, tmp_path / "deep" / "er" / "copy.yaml")
    assert saved.scene.hull_path == "../../boat/hulls/plain box.yaml"
    assert read_scene(saved.path) == saved.scene
    assert "# marine ply" in saved.document.text


@pytest.mark.example
def test_work_goes_on_in_the_file_saved_as(opened: SceneDocument, tmp_path: Path) -> None:
    """After saving elsewhere the history goes on there: undone, edited and saved again, the hull is still found."""
    (tmp_path / "deep" / "er").mkdir(parents=True)
    history = History(opened.scene)
    history.do(MoveBulkhead("collision", 1.2))
    saved = save_scene_as(opened, history.now, tmp_path / "deep" / "er" / "copy.yaml")
    history.change_all(lambda scene: in_file_of(scene, saved.scene))
    history.mark_saved(saved.scene)
    assert not history.unsaved
    assert history.undo() == replace(
        opened.scene, file=saved.path, hull=saved.scene.hull, hull_path="../../boat/hulls/plain box.yaml"
    )
    again = save_scene(saved, history.now)
    assert read_scene(again.path) == again.scene == history.now


@pytest.mark.example
def test_a_scene_from_elsewhere_keeps_the_files_own_hull(opened: SceneDocument, tmp_path: Path) -> None:
    """Even a scene that still says where its hull lay from another folder does not change the file's way to it."""
    (tmp_path / "deep" / "er").mkdir(parents=True)
    saved = save_scene_as(opened, opened.scene, tmp_path / "deep" / "er" / "copy.yaml")
    again = save_scene(saved, MoveBulkhead("collision", 1.2).apply(opened.scene))
    assert again.scene.hull_path == "../../boat/hulls/plain box.yaml"
    assert read_scene(again.path) == again.scene


@pytest.mark.example
def test_save_as_does_not_replace_a_file_unasked(opened: SceneDocument, tmp_path: Path) -> None:
    """A file of that name stays unless its replacement is wanted."""
    target = tmp_path / "mine.yaml"
    target.write_text("precious")
    with pytest.raises(SketchError, match="a file of this name already"):
        save_scene_as(opened, opened.scene, target)
    assert target.read_text() == "precious"


@pytest.mark.example
def test_a_failed_saving_leaves_everything_as_it_was(opened: SceneDocument, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk fails in the middle of writing, the file is whole and nothing is left beside it."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    before = sorted(os.listdir(Path(opened.path).parent))
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(SketchError, match="cannot be written: No space left on device"):
        save_scene(opened, MoveBulkhead("collision", 1.2).apply(opened.scene))
    assert Path(opened.path).read_text("utf-8") == SCENE
    assert sorted(os.listdir(Path(opened.path).parent)) == before


@pytest.mark.example
def test_saving_follows_a_link_and_keeps_rights(opened: SceneDocument, tmp_path: Path) -> None:
    """A scene opened by a link is saved where the link leads, with the file's own rights."""
    os.chmod(opened.path, 0o640)
    link = tmp_path / "boat" / "scenes" / "link.yaml"
    link.symlink_to(opened.path)
    by_link = open_scene(link)
    save_scene(by_link, MoveBulkhead("collision", 1.2).apply(by_link.scene))
    assert link.is_symlink()
    assert stat.S_IMODE(os.stat(opened.path).st_mode) == 0o640
    assert read_scene(opened.path).bulkheads[0].at == 1.2


@pytest.mark.example
def test_a_read_only_file_is_left_alone(opened: SceneDocument) -> None:
    """A file marked read-only is not replaced, not even by somebody who could."""
    os.chmod(opened.path, 0o444)
    with pytest.raises(SketchError, match="cannot be written: it is marked read-only"):
        save_scene(opened, MoveBulkhead("collision", 1.2).apply(opened.scene))
    assert Path(opened.path).read_text("utf-8") == SCENE


@pytest.mark.example
def test_a_missing_folder_says_so(opened: SceneDocument) -> None:
    """Saving into a folder that is not there is an error in words."""
    with pytest.raises(SketchError, match=r"cannot be written: .*\nMake the folder first"):
        save_scene_as(opened, opened.scene, Path(opened.path).parent / "no" / "such" / "x.yaml")


@pytest.mark.example
def test_a_scene_in_another_unit_is_refused(opened: SceneDocument) -> None:
    """A file's unit is fixed: its bare numbers would mean something else."""
    with pytest.raises(SketchError, match="a scene in in cannot be saved in a file in mm"):
        text_of(opened, replace(opened.scene, units="in"))


def ended(opened: SceneDocument, scene: Scene) -> None:
    """Keep a scene as a session that then ended without saving."""
    kept = KeptWork(opened.path)
    kept.keep(opened, scene)
    kept.let_go()


@pytest.mark.example
def test_unsaved_work_is_found_again(opened: SceneDocument) -> None:
    """After a crash the work kept beside the file is offered, exactly as it was; saving or dropping it ends that."""
    scene = MoveBulkhead("collision", 1.234567).apply(opened.scene)
    ended(opened, scene)
    (found,) = find_recoveries(open_scene(opened.path))
    assert found.stated == scene
    assert not found.stale
    drop_recovery(found)
    assert find_recoveries(opened) == []


@pytest.mark.example
def test_sessions_keep_their_work_apart(opened: SceneDocument) -> None:
    """Two sessions on one scene, and one from before there were two: all is found, the newest first, none of a living one."""
    scenes = [MoveBulkhead("collision", at).apply(opened.scene) for at in (1.21, 1.22, 1.23)]
    text = opened.document_with(opened.at_home(scenes[0])).text
    unnumbered = Path(opened.path).with_name(f".{Path(opened.path).name}{RECOVERY_SUFFIX}")
    unnumbered.write_text(f"# kept from work not saved; the file then was {opened.digest}\n{text}", encoding="utf-8")
    os.utime(unnumbered, (0, 0))
    ended(opened, scenes[1])
    os.utime(find_recoveries(opened)[0].path, (1, 1))
    living = KeptWork(opened.path)
    for scene in (scenes[1], scenes[2]):
        living.keep(opened, scene)
    assert [found.stated for found in find_recoveries(opened)] == [scenes[1], scenes[0]]
    assert [found.stated for found in find_recoveries(opened, held=True)] == [scenes[2], scenes[1], scenes[0]]
    living.let_go()
    assert [found.stated for found in find_recoveries(opened)] == [scenes[2], scenes[1], scenes[0]]
    living.drop()
    assert len(find_recoveries(opened)) == 2


@pytest.mark.example
def test_work_kept_from_an_older_file_is_marked(opened: SceneDocument) -> None:
    """Work that began before the file was changed elsewhere is offered as such."""
    ended(opened, MoveBulkhead("collision", 1.2).apply(opened.scene))
    Path(opened.path).write_text(SCENE.replace("84", "90"), encoding="utf-8")
    (found,) = find_recoveries(open_scene(opened.path))
    assert found.stale


@pytest.mark.example
def test_a_spoilt_recovery_is_no_work(opened: SceneDocument) -> None:
    """A half-written or foreign file beside the scene is not offered and stops nothing."""
    kept = KeptWork(opened.path).file
    kept.write_text("# kept\nscene: [\n")
    assert find_recoveries(opened) == []
    kept.write_bytes(b"\xff\xfe")
    assert find_recoveries(opened) == []
