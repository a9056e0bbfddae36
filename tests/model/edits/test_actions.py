"""Edits: what they do, what they are called, and what they refuse."""

from dataclasses import replace
from pathlib import Path

import pytest
from scene_specimens import scene_folder

from sketcher.model.contents import Stowage
from sketcher.model.cutting import Joints
from sketcher.model.edits.actions import (
    Add,
    Duplicate,
    Edit,
    MoveBulkhead,
    NameCompartment,
    RaiseWaterline,
    Rename,
    SetJoints,
    SetSceneValue,
    SetValue,
)
from sketcher.model.edits.deletion import Delete
from sketcher.model.edits.typed_input import typed
from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import read_scene
from sketcher.model.lookup import bulkhead_at, fresh_name
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Opening, Scene, Waterline


@pytest.fixture
def scene(tmp_path: Path) -> Scene:
    return read_scene(scene_folder(tmp_path / "boat"))


@pytest.mark.property
@pytest.mark.parametrize(
    ("edit", "name"),
    [
        (MoveBulkhead("collision", 1.2), "Move collision bulkhead 1150 to 1200 mm"),
        (MoveBulkhead("step", 1.5), "Move step bulkhead 1300 to 1500 mm"),
        (SetValue("lids", "tank top", "height", 0.8), "Move tank top lid 780 to 800 mm"),
        (SetValue("partitions", "locker side", "off_centre", (-0.5, -0.5)), "Move locker side partition 450 to 500 mm to port"),
        (SetValue("bulkheads", "main", "rake", 5.0), "Set main bulkhead's rake from 3 to 5°"),
        (SetValue("bulkheads", "collision", "kg", None), "Set collision bulkhead's mass from 9.5 kg to nothing"),
        (SetValue("berths", "vee berth", "cushion", 0.12), "Set vee berth's cushion from 100 to 120 mm"),
        (SetValue("lids", "tank top", "from", "main"), "Tie tank top lid's forward end to main"),
        (SetValue("lids", "tank top", "from", 1.3), "Set tank top lid's forward end from collision to 1300 mm"),
        (SetValue("openings", "limber hole", "cover", "tight"), "Set limber hole opening's cover from none to tight"),
        (SetValue("weights", "anchor chain", "kg", 90.0), "Set anchor chain weight's mass from 84 to 90 kg"),
        (SetJoints("bulkheads", "main", Joints("height", (0.7,))), "Cut main at 700 mm"),
        (SetValue("bulkheads", "collision", "at", FromPanel("main", -2.1)), "Place collision bulkhead 2100 mm forward of main"),
        (SetSceneValue("water", 1000.0), "Set water from sea to fresh"),
        (RaiseWaterline(0.05), "Set waterline from 655 forward and 610 mm aft to 705 forward and 660 mm aft"),
        (Add(Lid(name="sole", height=0.3, start="stem", end="main", thickness=0.012)), "Add sole lid"),
        (Duplicate("bulkheads", "main", "aft", 0.5), "Duplicate main bulkhead as aft bulkhead"),
        (Rename("lids", "tank top", "floor"), "Rename tank top lid to floor"),
        (NameCompartment("saloon", (2.0, 0.0, 0.5), "accommodation"), "Name a compartment saloon, for accommodation"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_an_edit_says_what_it_does(scene: Scene, edit: Edit, name: str) -> None:
    """Each edit changes the scene and is called by what it does, with the values before and after in the file's unit."""
    assert edit.apply(scene) != scene
    assert edit.describe(scene) == name


@pytest.mark.property
@pytest.mark.parametrize(
    ("edit", "refusal"),
    [
        (SetValue("bulkheads", "colision", "at", 1.0), "there is no bulkhead called `colision`\nDid you mean `collision`"),
        (SetValue("bulkheads", "main", "hight", 1.0), "a bulkhead has no `hight`"),
        (SetValue("bulkheads", "main", "thickness", -0.01), "`-10` is not a length above 0"),
        (SetValue("bulkheads", "main", "thickness", 0.0), "`0` is not a length above 0"),
        (SetValue("bulkheads", "main", "rake", 80.0), "`80` is out of bounds"),
        (SetValue("bulkheads", "main", "at", float("nan")), "`nan` is not a length"),
        (SetValue("bulkheads", "main", "at", float("inf")), "`inf` is not a length"),
        (SetValue("lids", "tank top", "from", "locker side"), "`locker side` is a partition; this takes a bulkhead"),
        (SetValue("bulkheads", "main", "at", FromPanel("step", 0.1)), "tied to each other in a ring"),
        (Add(Bulkhead(name="tank top", at=1.0, thickness=0.01)), "there is a lid called `tank top` already"),
        (Add(Bulkhead(name="stem", at=1.0, thickness=0.01)), "`stem` cannot be a name"),
        (Rename("bulkheads", "main", "collision"), "there is a bulkhead called `collision` already"),
        (Rename("bulkheads", "main", "1200"), "`1200` cannot be a panel's name"),
        (Duplicate("bulkheads", "main", "collision"), "there is a bulkhead called `collision` already"),
        (Delete("bulkheads", "collision"), r"locker side partition \(from\).* are tied to collision bulkhead"),
        (SetSceneValue("units", "m"), "a scene's units cannot be changed"),
        (SetSceneValue("watter", 1000.0), "a scene has no `watter`\nDid you mean `water`"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_an_edit_that_cannot_be_is_refused_in_words(scene: Scene, edit: Edit, refusal: str) -> None:
    """What the reader would not read from a file, an edit does not make, and it says so as the reader does."""
    with pytest.raises(SketchError, match=refusal):
        edit.apply(scene)


@pytest.mark.property
@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("at", "905", 0.905),
        ("at", "3 ft", 0.9144),
        ("at", "14 3/8 in", 0.365125),
        ("at", "{from: main, distance: -1000}", FromPanel("main", -1.0)),
        ("top", "tank top", "tank top"),
        ("span", "[hull, 300]", (None, 0.3)),
        ("kg", "", None),
        ("rake", "", 0.0),
        ("built", "already", "already"),
    ],
)
def test_what_is_typed_is_read_as_in_the_file(scene: Scene, key: str, text: str, value: object) -> None:
    """A typed length may have any unit, a tie is typed by its name, and nothing typed takes an optional value away."""
    edit = typed(scene, "bulkheads", "step", key, text)
    assert edit.value == value


@pytest.mark.property
@pytest.mark.parametrize("text", ["12:30", "1,500", '"', "[1", "{a", "- 5", "", "nan", "a: b", "\\x00", "#"])
def test_what_cannot_be_read_is_refused(scene: Scene, text: str) -> None:
    """Whatever is typed into a field ends in a value or a refusal in words."""
    with pytest.raises(SketchError, match=r"."):
        typed(scene, "bulkheads", "collision", "at", text)


@pytest.mark.closed_form
def test_a_bulkhead_placed_from_another_keeps_to_it(scene: Scene) -> None:
    """Moving one that is placed from another changes their distance; moving the other then takes it along."""
    moved = MoveBulkhead("step", 1.5).apply(scene)
    assert moved.bulkheads[2].at == FromPanel("main", -1.75)
    after = MoveBulkhead("main", 3.35).apply(moved)
    assert bulkhead_at(after, "step") == pytest.approx(1.6, abs=1e-12)


@pytest.mark.example
def test_freeboards_fall_as_the_waterline_rises(scene: Scene) -> None:
    """A waterline stated by freeboards is raised by making both of them less."""
    stated = SetSceneValue("waterline", Waterline(bow_freeboard=1.095, stern_freeboard=0.94)).apply(scene)
    assert RaiseWaterline(0.05).apply(stated).waterline == Waterline(bow_freeboard=1.045, stern_freeboard=0.89)


@pytest.mark.example
def test_without_a_waterline_there_is_none_to_raise(scene: Scene) -> None:
    """The refusal says to state one first."""
    with pytest.raises(SketchError, match="no waterline is stated yet\nState one first"):
        RaiseWaterline(0.05).apply(SetSceneValue("waterline", None).apply(scene))


@pytest.mark.example
def test_ties_follow_a_renamed_panel(scene: Scene) -> None:
    """Everything tied to a renamed bulkhead, lid or partition names the new one; other things of that name do not change."""
    after = Rename("bulkheads", "main", "mast").apply(scene)
    after = Rename("lids", "tank top", "floor").apply(after)
    after = Rename("partitions", "locker side", "side").apply(after)
    after = Rename("compartments", "chain locker", "locker").apply(after)
    assert after.bulkheads[2].at == FromPanel("mast", -1.95)
    assert after.bulkheads[2].span == ("side", 0.3)
    assert after.partitions[0].top == "floor"
    assert after.stringers[0].under == "floor"
    assert after.openings[1].through == "floor"
    assert after.openings[3].joins == ("locker", "forward void")
    assert after.bulkheads[1].carries == ("mast", "chainplates")


@pytest.mark.example
def test_deleting_frees_what_was_tied_where_it_stands(scene: Scene) -> None:
    """Edges tied to a deleted bulkhead stay at its faces; an opening in it goes with it, and the edit's name says all that."""
    edit = Delete("bulkheads", "collision", free=True)
    after = edit.apply(scene)
    assert [lid.start for lid in after.lids] == [1.168, "stem"]
    assert after.lids[1].end == 1.15
    assert "limber hole" not in {opening.name for opening in after.openings}
    assert "tank top lid (from) stays at 1168 mm" in edit.describe(scene)
    assert "limber hole opening goes with it" in edit.describe(scene)


@pytest.mark.example
def test_deleting_a_lid_leaves_partitions_at_its_underside(scene: Scene) -> None:
    """A partition that went up to a lid stays as high as it was; stringers under the lid go with it."""
    after = Delete("lids", "tank top", free=True).apply(scene)
    assert after.partitions[0].top == 0.768
    assert after.stringers == ()


@pytest.mark.example
def test_deleting_a_partition_frees_a_span(scene: Scene) -> None:
    """A bulkhead that ended at a partition to port stays at that partition's starboard face."""
    after = Delete("partitions", "locker side", free=True).apply(scene)
    assert after.bulkheads[2].span == (-0.4455, 0.3)


@pytest.mark.example
def test_a_duplicate_stands_after_its_original(scene: Scene) -> None:
    """A copy is the same but for its name and place, and follows its original in the file."""
    after = Duplicate("bulkheads", "collision", "second", 0.1).apply(scene)
    assert [bulkhead.name for bulkhead in after.bulkheads] == ["collision", "second", "main", "step"]
    assert after.bulkheads[1].at == 1.25
    assert after.bulkheads[1].kg == 9.5


@pytest.mark.example
def test_a_fresh_name_is_nobodys(scene: Scene) -> None:
    """A new panel's name is free among all panels, whatever their kind."""
    assert fresh_name(scene, "bulkheads") == "bulkhead"
    assert fresh_name(scene, "bulkheads", "tank top") == "tank top 2"


@pytest.mark.example
def test_naming_a_compartment_again_changes_it(scene: Scene) -> None:
    """A compartment of that name gets the new point and use instead of a second one of the name."""
    after = NameCompartment("chain locker", (0.8, 0.0, 0.7), "void").apply(scene)
    assert len(after.compartments) == len(scene.compartments)
    assert after.compartments[0].at == (0.8, 0.0, 0.7)


@pytest.mark.example
def test_what_an_edit_leaves_alone_is_shared(scene: Scene) -> None:
    """Objects that an edit does not touch are the same objects after it, so that what is known of them can be kept."""
    after = MoveBulkhead("collision", 1.2).apply(scene)
    assert after.bulkheads[1] is scene.bulkheads[1]
    assert after.lids[0] is scene.lids[0]
    assert after.hull is scene.hull


@pytest.mark.example
def test_joints_are_placed_moved_and_taken_out_by_name(scene: Scene) -> None:
    """Each change of a panel's joints says which joint it is about."""
    cut = SetJoints("bulkheads", "main", Joints("height", (0.7, 1.1))).apply(scene)
    changes = {
        SetJoints("bulkheads", "main", Joints("height", (0.75, 1.1))): "Move joint of main 700 to 750 mm",
        SetJoints("bulkheads", "main", Joints("height", (0.7,))): "Take main's joint at 1100 mm out",
        SetJoints("bulkheads", "main", None): "Take main's joint at 700 mm and 1100 mm out",
        SetJoints("bulkheads", "main", Joints("off_centre", (0.0,))): "Cut main at 0 mm in place of 700 mm and 1100 mm",
    }
    port = SetJoints("lids", "tank top", Joints("off_centre", (-0.1,))).apply(scene)
    moved = SetJoints("lids", "tank top", Joints("off_centre", (-0.15,)))
    assert moved.describe(port) == "Move joint of tank top 100 to 150 mm to port"
    assert {edit.describe(cut) for edit in changes} == set(changes.values())
    assert all(edit.describe(cut) == words for edit, words in changes.items())


@pytest.mark.property
@pytest.mark.parametrize(
    ("block", "item", "first", "second"),
    [
        ("openings", Opening(name="it", through="deck", at=(1.0, 0.0), diameter=0.2), "size", "diameter"),
        ("stowage", Stowage(name="it", space="fore", size=(0.6, 0.4, 0.3)), "proportions", "size"),
    ],
)
def test_a_value_takes_the_place_of_the_one_that_excludes_it(
    scene: Scene, block: str, item: object, first: str, second: str
) -> None:
    """A size in place of a diameter and back, a box's proportions in place of its size: neither refuses the other."""
    value = {"size": (0.45, 0.45, 0.3)[: 2 if block == "openings" else 3], "proportions": (2.0, 1.0, 1.0), "diameter": 0.3}
    changed = SetValue(block, "it", first, value[first]).apply(replace(scene, **{block: (item,)}))
    (now,) = getattr(changed, block)
    assert (getattr(now, first), getattr(now, second)) == (value[first], None)
    (back,) = getattr(SetValue(block, "it", second, value[second]).apply(changed), block)
    assert (getattr(back, first), getattr(back, second)) == (None, value[second])
