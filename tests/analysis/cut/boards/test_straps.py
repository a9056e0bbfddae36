"""Where straps have room, what they keep off, and what is found instead where they have none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.joint_search import StrapRoom
from sketcher.analysis.cut.boards.jointing import in_parts, strap_findings
from sketcher.analysis.cut.boards.routes_below import routes_below
from sketcher.analysis.cut.boards.straps import EDGE, Cut, strap_faces
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Cutout, Joint, Pattern
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Joints, Sheet
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, Lid, Opening, Partition, Stringer
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words


def cut_up(panel: str, **blocks: object) -> tuple[Pattern, list[Pattern], list[Pattern], tuple[Joint, ...]]:
    """A panel of a box 4 m long, 2 m wide and 1 m high: its pattern, parts, straps and joints, with what stands on it."""
    form = box_form()
    scene = layout_scene(form, **blocks)
    layout = lay_out(scene, form)
    (whole,) = panel_patterns(layout, None, [panel])
    found, joints = in_parts(scene, whole, layout.panels, None)
    parts = [each for each in found if each.kind != "butt strap"]
    return whole, parts, [each for each in found if each.kind == "butt strap"], joints


def over_their_joints(straps: list[Pattern], joints: tuple[Joint, ...]) -> list[float]:
    """How much of each strap's middle, put back into the boat, lies on a joint [m]."""
    lines = []
    for joint in joints:
        (x, y, z), (x2, y2, z2) = joint.ends
        lines.append(np.array([[x, y, z], [x2, y2, z2]]))
    found = []
    for strap in straps:
        length = 0.0
        for mark in strap.marks:
            ends = strap.frame.space(mark.line)
            for line in lines:
                along = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
                off = np.cross(ends - line[0], along)
                if np.linalg.norm(off, axis=1).max() < strap.thickness + 1e-6:
                    length += float(np.ptp(ends @ along))
        found.append(length)
    return found


@pytest.mark.example
def test_joints_stand_clear_of_a_lid_that_lands_beside_them() -> None:
    """A collision bulkhead that a chain locker's floor and a tank's top land on: three parts, straps of 15 x 18 = 270 mm, each
    with its middle on a joint; there is room for them at 1185 and 1550 mm, worked out by hand."""
    scene = read_scene(demo_folder() / "scenes" / "ternholm-forepeak.yaml")
    layout = lay_out(scene, form_hull(scene.hull))
    (whole,) = panel_patterns(layout, None, ["collision"])
    found, joints = in_parts(scene, whole, layout.panels, routes_below(layout)["collision"])
    straps = [each for each in found if each.kind == "butt strap"]
    assert len(found) - len(straps) == 3
    assert [strap.blank.bounds[3] for strap in straps] == pytest.approx([0.270] * len(straps), abs=1e-6)
    assert all(on > 0.6 for on in over_their_joints(straps, joints))
    assert all("its middle on the joint" in words(strap.forward) for strap in straps)
    assert all(joint.short == 0.0 for joint in joints)


LID = Lid(name="shelf", height=0.5, start=0.5, end="main", thickness=0.012)
AFT_LID = Lid(name="bench", height=0.5, start="main", end=3.5, thickness=0.012)
LOW_SHEET = Sheet(name="ply", thickness=0.018, size=(2.44, 0.8))
MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)


@pytest.mark.closed_form
def test_a_joint_keeps_half_a_strap_from_what_lands_on_both_faces() -> None:
    """Lids from 488 to 500 mm up on both faces: joints lie 135 mm and 3, to lay the strap by hand, above or below them."""
    _, _, straps, joints = cut_up("main", bulkheads=(MAIN,), lids=(LID, AFT_LID), sheets=(LOW_SHEET,))
    heights = [joint.ends[0][2] for joint in joints]
    assert heights
    assert all(joint.ends[1][2] == pytest.approx(joint.ends[0][2]) for joint in joints)
    assert all(height >= 0.500 + 0.138 - 1e-6 or height <= 0.488 - 0.138 + 1e-6 for height in heights)
    assert all(joint.short == 0.0 for joint in joints)
    assert {round(strap.blank.bounds[3], 6) for strap in straps} == {0.270}


@pytest.mark.example
def test_a_strap_goes_to_the_face_that_has_room() -> None:
    """A joint stated 5 mm over a lid on the after face has its strap on the forward one, and over one on the forward face aft."""
    stated = replace(MAIN, joints=Joints("height", (0.511,)))
    for lid, face in ((LID, "after"), (AFT_LID, "forward")):
        _, _, straps, joints = cut_up("main", bulkheads=(stated,), lids=(lid,))
        assert [joint.faces for joint in joints] == [(face,)]
        assert {strap.forward.values["face"] for strap in straps} == {face}
        outer = {round(float(strap.frame.origin[0] - strap.frame.normal[0] * 0.018), 3) for strap in straps}
        assert all((x > 2.0) == (face == "after") for x in outer)
        assert all(on > 0.5 for on in over_their_joints(straps, joints))


@pytest.mark.example
def test_a_stated_joint_without_room_for_a_strap_is_told_with_the_nearest_place_that_has() -> None:
    """Between lids on both faces no strap is full: it has one on each, and there is room at 500 + 3 + 135 mm."""
    stated = replace(MAIN, joints=Joints("height", (0.52,)))
    _, _, straps, joints = cut_up("main", bulkheads=(stated,), lids=(LID, AFT_LID))
    (finding,) = strap_findings(joints)
    assert {strap.forward.values["face"] for strap in straps} == {"forward", "after"}
    assert finding.code == "strap-not-full"
    assert all("the line drawn on it on the joint" in words(strap.forward) for strap in straps)
    assert "since bench and shelf stand there" in in_words(finding)
    assert "At 638 mm there is room" in in_words(finding)
    place = finding.values["clear_at"].values["place"].metres
    again = replace(MAIN, joints=Joints("height", (place,)))
    assert list(strap_findings(cut_up("main", bulkheads=(again,), lids=(LID, AFT_LID))[3])) == []


@pytest.mark.example
def test_a_scarf_is_found_where_no_strap_has_room() -> None:
    """Lids every 200 mm on both faces leave no room for a strap of 270: scarfs of 8 x 18 = 144 mm are found, and said to be."""
    shelves = [replace(LID, name=f"shelf {n}", height=0.2 * n) for n in range(1, 5)]
    benches = [replace(AFT_LID, name=f"bench {n}", height=0.2 * n) for n in range(1, 5)]
    _, _, straps, joints = cut_up("main", bulkheads=(MAIN,), lids=(*shelves, *benches), sheets=(LOW_SHEET,))
    level = [joint for joint in joints if joint.short]
    assert [joint.kind for joint in level] == ["scarf"] * len(level)
    assert [round(joint.width, 3) for joint in level] == [0.144] * len(level)
    assert straps == []
    assert {finding.code for finding in strap_findings(joints)} == {"scarf-for-strap"}


@pytest.mark.example
def test_a_lids_joint_lies_over_the_partition_under_it() -> None:
    """A lid 2 m wide in two parts, a partition under it 150 mm off the centreline: the joint lies over that, its strap on top."""
    top = Lid(name="top", height=0.5, start=1.0, end=3.0, thickness=0.012)
    under = Partition(name="web", off_centre=(0.15, 0.15), start=1.0, end=3.0, top="top", thickness=0.012)
    sheet = Sheet(name="ply", thickness=0.012, size=(2.44, 1.22))
    _, _, _, joints = cut_up("top", lids=(top,), partitions=(under,), sheets=(sheet,))
    assert [joint.faces for joint in joints] == [("top",)]
    assert joints[0].ends[0][1] == pytest.approx(0.15, abs=0.013)
    assert joints[0].ends[1][1] == pytest.approx(0.15, abs=0.013)


@pytest.mark.example
def test_a_joint_that_runs_into_a_doorway_is_best_between_its_corners() -> None:
    """A doorway 800 mm wide with corners of 50 mm: clear in the middle; 100 mm from its side, 135 + 50 - 100 mm to be moved."""
    door = Opening(name="door", through="main", at=(0.1, 0.75), size=(0.8, 0.3), radius=0.05)
    whole = cut_up("main", bulkheads=(MAIN,), openings=(door,))[0]
    room = StrapRoom(whole, strap_faces(whole, ()), 0.270)
    (cutout,) = whole.cutouts
    west, _, east, _ = cutout.outline.bounds
    middle = (west + east) / 2
    assert room.crossed(Cut(0, middle)) == (1.0, 0.0)
    assert room.crossed(Cut(0, west + 0.100))[1] == pytest.approx(0.135 - 0.050, abs=0.005)
    assert room.crossed(Cut(0, west - 0.135 - 0.031)) == (0.0, 0.0)


@pytest.mark.closed_form
def test_a_strap_keeps_off_the_bearer_under_its_lid() -> None:
    """A bearer 90 mm wide along each side of a lid: the strap ends 90 and 3 mm from the hull, not 30 mm from the lid's edge."""
    form = box_form()
    top = Lid(name="top", height=0.5, start=1.0, end=3.0, thickness=0.012, joints=Joints("aft", (2.0,)))
    bearer = Stringer(name="bearer", under="top", side="both", start=1.0, end=3.0, width=0.09, depth=0.045)
    scene = layout_scene(form, lids=(top,), stringers=(bearer,))
    layout = lay_out(scene, form)
    (whole,) = panel_patterns(layout, None)
    found, _ = in_parts(scene, whole, layout.panels, None, stringer_runs(scene, form))
    straps = [each for each in found if each.kind == "butt strap"]
    assert sum(strap.blank.bounds[2] for strap in straps) == pytest.approx(2.0 - 2 * 0.093, abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize("clear", [0.0, 0.020, 0.031])
def test_a_strap_that_comes_near_an_opening_is_told_with_how_near(clear: float) -> None:
    """A port of 100 mm so far beside a strap of 270, under the 30 mm that is kept, is told; one that a joint meets as that."""
    whole, _, _, joints = cut_up("main", bulkheads=(MAIN,), sheets=(LOW_SHEET,))
    (x, y), (x2, y2) = joints[0].line
    level = abs(y2 - y) < 1e-9

    def told(off: float) -> list[Finding]:
        middle = ((x + x2) / 2 + (0.0 if level else off), (y + y2) / 2 + (off if level else 0.0))
        rim = shapely.Point(middle).buffer(0.05, quad_segs=256)
        port = Cutout(name="port", kind="opening", outline=rim, radius=0.05)
        return [each for each in strap_findings(joints[:1], [replace(whole, cutouts=(port,))]) if "opening" in each.values]

    beside = told(0.135 + 0.050 + clear)
    assert [each.measured for each in beside] == ([pytest.approx(clear, abs=1e-4)] if clear < EDGE else [])
    (met,) = told(0.0)
    assert met.values["clear"] is None
    assert "it runs up to port" in in_words(met)
