"""A lid larger than its sheets both ways: rows, each cut across, and straps that keep out of each other's way."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest
import shapely
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.hatch_fit import limits_for, why_not
from sketcher.analysis.cut.boards.jointing import in_parts
from sketcher.analysis.cut.boards.stated_joints import proposed
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Joint, Pattern
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Lid, Opening, Scene

SIDE, THICKNESS = 2.5, 0.012
WIDTH = 15 * THICKNESS


@cache
def cut_up(*openings: Opening) -> tuple[Scene, Pattern, tuple[Pattern, ...], tuple[Joint, ...]]:
    """A lid 2.5 m square, its parts and straps, and its joints."""
    gap = layout_scene(box_form()).cutting.gap
    form = box_form(SIDE + 2 * gap, SIDE + 2 * gap)
    lid = Lid(name="top", height=0.5, start="stem", end="transom", thickness=THICKNESS)
    scene = layout_scene(form, lids=(lid,), openings=openings)
    layout = lay_out(scene, form)
    (whole,) = panel_patterns(layout, None)
    return scene, whole, *in_parts(scene, whole, layout.panels, ())


def across(joint: Joint) -> bool:
    return abs(joint.line[1][0] - joint.line[0][0]) > abs(joint.line[1][1] - joint.line[0][1])


def strap_areas(whole: Pattern, parts: tuple[Pattern, ...]) -> dict[str, shapely.Geometry]:
    """Where each strap lies on the whole board."""
    return {
        each.name: shapely.transform(each.outline, lambda flat, of=each: whole.frame.flat(of.frame.space(flat)))
        for each in parts
        if each.kind == "butt strap"
    }


@pytest.mark.closed_form
def test_a_lid_larger_than_its_sheets_both_ways_comes_out_of_them() -> None:
    """2.5 x 2.5 m of sheets 2440 x 1220: three rows, since two are 1250 wide, each of two parts; they add up to the lid."""
    scene, whole, parts, joints = cut_up()
    boards = [each for each in parts if each.kind == "lid"]
    assert sum(each.blank.area for each in boards) == pytest.approx(whole.blank.area)
    limits = limits_for(scene, THICKNESS, ())
    assert [each.name for each in boards if why_not(limits, each, each.blank)] == []
    assert sorted(across(joint) for joint in joints) in ([False] * 2 + [True] * 3, [False] * 3 + [True] * 2)
    assert len(boards) == 6


@pytest.mark.example
def test_straps_of_joints_that_cross_keep_clear_of_each_other() -> None:
    """No two share any of a face; those that end at another that runs through stop a few millimetres off it."""
    _, whole, parts, joints = cut_up()
    straps = strap_areas(whole, parts)
    assert {joint.short for joint in joints} == {0.0}
    assert all(shapely.intersection(one, two).area < 1e-9 for one, two in combinations(straps.values(), 2))
    through = {whole_way: [j for j in joints if across(j) == whole_way] for whole_way in (True, False)}
    short = min(through.values(), key=lambda each: np.linalg.norm(np.subtract(*each[0].line)))
    for joint in short:
        line = shapely.LineString(joint.line)
        covered = shapely.intersection(line, shapely.union_all(list(straps.values()))).length
        assert covered > line.length - 0.070


@pytest.mark.example
def test_joints_across_are_staggered_from_row_to_row() -> None:
    """From one row to the next they lie a strap's width apart at least: no four corners meet."""
    _, _, _, joints = cut_up()
    ways = {way: [joint for joint in joints if across(joint) == way] for way in (True, False)}
    rows = max(ways.values(), key=len)
    axis = 1 if across(rows[0]) else 0
    places = [joint.line[0][axis] for joint in sorted(rows, key=lambda each: each.line[0][1 - axis])]
    assert np.abs(np.diff(places)).min() >= WIDTH - 1e-6


@pytest.mark.example
def test_joints_both_ways_keep_off_an_opening() -> None:
    """A hatch in the middle: no joint runs into it, and the board is still in parts that the sheets hold."""
    hatch = Opening(name="hatch", through="top", at=(1.256, 0.0), size=(0.3, 0.2), radius=0.03, cover="tight")
    _, whole, parts, joints = cut_up(hatch)
    (hole,) = [each.outline for each in whole.cutouts]
    assert not any(shapely.LineString(joint.line).buffer(WIDTH / 2).intersects(hole) for joint in joints)
    assert sum(each.blank.area for each in parts if each.kind == "lid") == pytest.approx(whole.blank.area)


@pytest.mark.example
def test_joints_both_ways_are_not_stated_in_one_direction() -> None:
    """A scene states joints of one direction: these are found afresh each time."""
    _, whole, _, joints = cut_up()
    assert proposed(whole, joints) is None
