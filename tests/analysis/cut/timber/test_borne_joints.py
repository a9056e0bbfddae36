"""Joints of lids over the supports under them: moved there where that costs nothing, and told why where none is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial

import numpy as np
import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.hatch_fit import limits_for
from sketcher.analysis.cut.boards.jointing import in_parts
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Joint, Pattern, Support
from sketcher.analysis.cut.timber.borne_joints import borne_share, over_supports
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.cut.timber.supports import APART, USUAL, lids_supports, support_room
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Joints, Sheet
from sketcher.model.scene import Lid, Opening, Stringer

WIDTH = USUAL[0]
SQUARE = Sheet(name="ply", thickness=0.012, size=(1.22, 1.22))
GAP = layout_scene(box_form()).cutting.gap
LID = Lid(name="top", height=0.5, start="stem", end="transom", thickness=0.012)


@dataclass(frozen=True)
class Cut:
    """A lid cut up twice: with an eye on what lies under it, and without."""

    parts: tuple[Pattern, ...]
    cut_plainly: Callable[[], tuple[tuple[Pattern, ...], tuple[Joint, ...]]]
    joints: tuple[Joint, ...]
    supports: tuple[Support, ...]
    without_joints: tuple[Support, ...]

    @property
    def plain(self) -> tuple[Pattern, ...]:
        """The boards that it is cut as without."""
        return self.cut_plainly()[0]

    @property
    def places(self) -> list[float]:
        """How far aft its joints lie [m]."""
        return sorted(joint.ends[0][0] for joint in self.joints)


@cache
def lid(length: float, width: float = 1.2, **blocks: tuple[object, ...]) -> Cut:
    """A lid as long and wide as a box inside its gaps, of square sheets unless others are given."""
    form = box_form(length + 2 * GAP, width, 1.0)
    scene = layout_scene(form, **{"lids": (LID,), "sheets": (SQUARE,), **blocks})
    layout = lay_out(scene, form)
    (whole,) = panel_patterns(layout, None)
    runs = stringer_runs(scene, form)
    room = partial(support_room, scene, form, whole, layout.panels, runs)
    parts, joints = in_parts(scene, whole, layout.panels, (), runs, supports=room)
    plain = partial(in_parts, scene, whole, layout.panels, (), runs)
    supports, bare = (lids_supports(scene, form, [(whole, each)], layout.panels) for each in (parts, (whole,)))
    return Cut(parts, plain, over_supports(joints, supports), supports, bare)


def longest_part() -> float:
    scene = layout_scene(box_form(), sheets=(SQUARE,))
    return limits_for(scene, 0.012, ()).sheets[0][0]


@pytest.mark.closed_form
@pytest.mark.parametrize("length", [1.23, 1.5, 2.0, 2.1, 2.2])
def test_a_joint_lies_over_a_support_wherever_one_can_lie(length: float) -> None:
    """A lid in two parts. The k-th of n supports lies from L - (n + 1 - k) (400 + 30) + 15 to k (400 + 30) - 15 mm.

    Where such a stretch meets the joint's, no part over a sheet's length and no strap nearer to an end than 30 mm, the joint lies
    over it.
    """
    made = lid(length)
    count, apart = len(made.without_joints), APART + WIDTH
    assert count == int(np.ceil((length - APART) / apart - 1e-9))
    least = max(length - longest_part(), 0.090 + 0.030)
    windows = [(length - (count + 1 - k) * apart + WIDTH / 2, k * apart - WIDTH / 2) for k in range(1, count + 1)]
    can = any(max(low, least) + 0.02 < min(high, length - least) for low, high in windows)
    cannot = all(max(low, least) > min(high, length - least) for low, high in windows)
    assert can != cannot, "too near to tell on a grid"
    (joint,) = made.joints
    assert bool(joint.borne_by) == can
    assert (joint.unborne is None) == can
    assert len(made.parts) == len(made.plain)
    assert len(made.supports) == count


@pytest.mark.closed_form
def test_two_joints_lie_over_supports_at_once() -> None:
    """Three parts of 3 m: both joints over supports, no more of these, parts and straps than without."""
    made = lid(3.0)
    assert [len(joint.borne_by) for joint in made.joints] == [1, 1]
    assert len(made.parts) == len(made.plain)
    assert len(made.supports) == len(made.without_joints)
    by_name = {each.name: each.corners[0, :, 0].mean() for each in made.supports}
    for joint in made.joints:
        assert by_name[joint.borne_by[0]] == pytest.approx(joint.ends[0][0], abs=0.006)
        assert sum(borne_share(joint, each) for each in made.supports) > 0.95


@pytest.mark.closed_form
def test_where_one_joint_takes_the_support_of_another_it_is_said() -> None:
    """3288 mm in parts of at most 1200: one joint lies over the 5th of 7 supports, at 2141 mm at most.

    That leaves the 3rd not before 2141 - 860 mm, beyond the first part's end.
    """
    made = lid(3.288)
    assert sorted(len(joint.borne_by) for joint in made.joints) == [0, 1]
    (lost,) = [joint.unborne for joint in made.joints if joint.unborne is not None]
    assert (lost.code, lost.values["there"].code) == ("support-lies-where", "joint-takes-support")


@pytest.mark.example
def test_a_lid_cut_both_ways_lies_over_supports_one_way() -> None:
    """2.5 x 2.5 m of sheets 2440 x 1220: both joints that run through lie over supports, those across are crossed by them."""
    made = lid(2.5, 2.5 + 2 * GAP, sheets=())
    through = [joint for joint in made.joints if np.ptp(joint.line, axis=0).max() > 2.4]
    assert len(through) == 2
    assert all(joint.borne_by for joint in through)
    assert {joint.unborne.code for joint in made.joints if joint not in through if joint.unborne} == {"supports-run-across"}
    assert sum(part.kind == "lid" for part in made.parts) == 6
    assert len(made.supports) == len(made.without_joints) == 5


@pytest.mark.example
def test_an_owners_bearer_gives_supports_their_section_and_the_joint_lies_over_one() -> None:
    """Bearers of 40 x 60 mm along both sides: supports of the same, and the joint of a lid of 2 m lies over one of them."""
    bearer = Stringer(name="bearer", under="top", side="both", start="stem", end="transom", width=0.04, depth=0.06)
    made = lid(2.0, stringers=(bearer,))
    assert {(each.width, each.depth) for each in made.supports} == {(0.04, 0.06)}
    assert [len(joint.borne_by) for joint in made.joints] == [1]


@pytest.mark.example
def test_a_joint_over_a_support_keeps_clear_of_an_opening() -> None:
    """A hatch of 300 mm in the middle of a lid of 1.5 m: 30 mm off it at the least, strap and all, and over a support."""
    hatch = Opening(name="hatch", through="top", at=(0.75 + GAP, 0.0), size=(0.3, 0.3), cover="tight")
    made = lid(1.5, openings=(hatch,))
    assert [len(joint.borne_by) for joint in made.joints] == [1]
    assert abs(made.places[0] - 0.75 - GAP) >= 0.150 + 0.090 + 0.030 - 1e-6


@pytest.mark.closed_form
def test_a_stated_joint_stays_and_is_told_where_a_support_could_lie() -> None:
    """Stated 200 mm from the middle of a lid of 1.5 m: three supports leave 210 mm to spare, the nearest lies 20 to 30 mm off."""
    stated = Lid(name="top", height=0.5, start="stem", end="transom", thickness=0.012, joints=Joints("aft", (0.6,)))
    made = lid(1.5, lids=(stated,))
    (joint,) = made.joints
    assert joint.ends[0][0] == pytest.approx(0.6)
    count, apart = len(made.supports), APART + WIDTH
    windows = [(GAP + 1.5 - (count + 1 - k) * apart + WIDTH / 2, GAP + k * apart - WIDTH / 2) for k in range(1, count + 1)]
    assert bool(joint.borne_by) == any(low <= 0.6 <= high for low, high in windows)
    if joint.unborne is not None:
        assert joint.unborne.code == "support-lies-at"
        at = joint.unborne.values["at"].values["place"].metres
        assert min(abs(at - edge) for window in windows for edge in window) < 0.011
