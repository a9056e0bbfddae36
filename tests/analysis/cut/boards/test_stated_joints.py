"""Joints that the owner places: where they cut, and what is weak about them."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.jointing import in_parts
from sketcher.analysis.cut.boards.stated_joints import in_boat, joint_findings, on_pattern, proposed
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Joints
from sketcher.model.scene import Bulkhead, Lid, Opening, Partition, Scene
from sketcher.outputs.wording.sentences import message as in_words

PORT = Opening(name="port", through="main", at=(0.0, 0.5), diameter=0.15)
HATCH = Opening(name="fore hatch", through="deck", at=(1.0, 0.0), size=(0.5, 0.5))


def main_with(joints: Joints | None, *openings: Opening, rake: float = 0.0) -> tuple[Scene, Pattern]:
    """A bulkhead across a box 2 m wide and 1 m high, which needs no joint by itself."""
    form = box_form()
    bulkhead = Bulkhead(name="main", at=2.0, thickness=0.018, rake=rake, joints=joints)
    scene = layout_scene(form, bulkheads=(bulkhead,), openings=openings)
    return scene, panel_patterns(lay_out(scene, form), None)[0]


def weak(joints: Joints, *openings: Opening) -> list[tuple[str, str]]:
    scene, whole = main_with(joints, *openings)
    return [(finding.code, in_words(finding)) for finding in joint_findings(scene, [whole])]


@pytest.mark.closed_form
def test_a_panel_is_cut_at_the_heights_stated() -> None:
    """Joints at 300 and 620 mm of a bulkhead that stands plumb: parts that end there, whose areas sum to the whole."""
    scene, whole = main_with(Joints("height", (0.30, 0.62)))
    found, joints = in_parts(scene, whole)
    parts = [part for part in found if part.kind != "butt strap"]
    foot = whole.frame.origin[2]
    assert [joint.line[0][1] + foot for joint in joints] == pytest.approx([0.30, 0.62], abs=1e-9)
    assert [part.blank.bounds[3] + foot for part in parts[:2]] == pytest.approx([0.30, 0.62], abs=1e-9)
    assert sum(part.area for part in parts) == pytest.approx(whole.area, rel=1e-9)
    assert all(joint.stated for joint in joints)


@pytest.mark.closed_form
def test_a_height_is_plumb_on_a_raked_panel() -> None:
    """At 30 degrees of rake a joint 400 mm above the base line lies 1 / cos 30 as far up the board as at no rake."""
    _, whole = main_with(Joints("height", (0.4,)), rake=30.0)
    axis, place = on_pattern(whole, "height", 0.4)
    assert (0.4 - whole.frame.origin[2]) / place == pytest.approx(3**0.5 / 2)
    assert in_boat(whole, axis, place) == pytest.approx(0.4)


@pytest.mark.property
@pytest.mark.parametrize(
    ("panel", "joints"),
    [
        (Partition(name="side", off_centre=(0.3, 0.3), start=1.0, end=3.0, thickness=0.012), Joints("aft", (1.7,))),
        (Lid(name="top", height=0.5, start=1.0, end=3.0, slope=5.0, thickness=0.012), Joints("aft", (2.2,))),
        (Lid(name="top", height=0.5, start=1.0, end=3.0, thickness=0.012), Joints("off_centre", (-0.35,))),
    ],
)
def test_every_kind_of_panel_is_cut_where_its_joint_stands_in_the_boat(panel: Partition | Lid, joints: Joints) -> None:
    """The joint's line, put back into the boat, lies at the distance aft or off the centreline that was stated."""
    form = box_form()
    block = "partitions" if isinstance(panel, Partition) else "lids"
    scene = layout_scene(form, **{block: (replace(panel, joints=joints),)})
    (whole,) = panel_patterns(lay_out(scene, form), None)
    (joint,) = in_parts(scene, whole)[1]
    ends = whole.frame.space(shapely.get_coordinates(shapely.LineString(joint.line)))
    assert ends[:, {"aft": 0, "off_centre": 1}[joints.direction]] == pytest.approx(joints.places[0], abs=1e-9)


@pytest.mark.example
def test_a_board_that_a_joint_parts_in_three_keeps_all_its_wood() -> None:
    """A doorway through the head of a bulkhead: above the sill a level joint leaves two cheeks, each a part of its own."""
    door = Opening(name="door", through="main", at=(0.0, 0.7), size=(0.5, 0.8))
    scene, whole = main_with(Joints("height", (0.5,)), door)
    found, joints = in_parts(scene, whole)
    parts = [part for part in found if part.kind != "butt strap"]
    assert len(parts) == 3
    assert len(joints) == 2
    assert {joint.parts for joint in joints} == {(parts[0].name, parts[1].name), (parts[0].name, parts[2].name)}
    assert sum(part.outline.area for part in parts) == pytest.approx(whole.outline.area, rel=1e-9)


@pytest.mark.example
def test_joints_that_were_found_can_be_stated_with_the_same_parts() -> None:
    """What is found for a bulkhead that does not go below, taken over at whole millimetres, cuts the same parts."""
    scene, whole = main_with(None, HATCH)
    parts, joints = in_parts(scene, whole)
    taken = replace(scene, bulkheads=(replace(scene.bulkheads[0], joints=proposed(whole, joints)),))
    again, stated = in_parts(taken, whole)
    assert len(joints) > 0
    assert [part.area for part in again] == pytest.approx([part.area for part in parts], abs=0.001 * 2.0)
    assert [joint.parts for joint in stated] == [joint.parts for joint in joints]


@pytest.mark.closed_form
def test_a_joint_over_an_opening_is_told_where_it_is_clear() -> None:
    """A port of 150 mm about 500 mm up and a strap of 270: a joint at 520 runs into it; at 500 + 75 + 135 = 710 it is clear."""
    ((code, message),) = weak(Joints("height", (0.52,)), PORT)
    assert code == "joint-over-opening"
    assert "runs into port" in message
    assert "At 710 mm it is clear" in message
    assert weak(Joints("height", (0.711,)), PORT) == []


@pytest.mark.property
@pytest.mark.parametrize(
    ("places", "code"),
    [
        ((0.40, 0.60), "joints-too-near"),
        ((0.10,), "joint-near-edge"),
        ((0.40, 1.70), "joint-beside-panel"),
    ],
)
def test_weak_joints_are_told_apart(places: tuple[float, ...], code: str) -> None:
    """Straps that overlap, a strap past the edge, and a joint beside the board, each named with its place."""
    assert [found for found, _ in weak(Joints("height", places))] == [code]


@pytest.mark.example
def test_a_sound_joint_is_not_objected_to() -> None:
    """A level joint in the middle of a plain board has nothing against it."""
    assert weak(Joints("height", (0.5,))) == []
