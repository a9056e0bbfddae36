"""Stringers against circles and straight sides."""

from __future__ import annotations

import numpy as np
import pytest
from shapes import ellipsoid
from specimens import box_form, form_of, layout_scene

from sketcher.analysis.cut.results import StringerPattern
from sketcher.analysis.cut.timber.bearer_patterns import stringer_patterns
from sketcher.analysis.cut.timber.stringers import cut_across, stringer_runs
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, Lid, Stringer


def bearers(form: HullForm, lid: Lid, width: float = 0.03, **ends: object) -> tuple[StringerPattern, ...]:
    bearer = Stringer(name="bearer", under=lid.name, side="both", width=width, depth=0.045, **ends)  # type: ignore[arg-type]
    bulkheads = (Bulkhead(name="main", at=2.0, thickness=0.018, angle=10.0),)
    return stringer_patterns(lay_out(layout_scene(form, lids=(lid,), stringers=(bearer,), bulkheads=bulkheads), form))


ROUND = Lid(name="shelf", height=0.012, start=-1.5, end=1.5, thickness=0.012)
STRAIGHT = Lid(name="shelf", height=0.5, start="stem", end="transom", thickness=0.012)


@pytest.mark.closed_form
def test_a_bearer_round_a_circle_is_an_arc() -> None:
    """Radius 2 m over a chord of 2 m: 2.0944 m along the hull, 0.2679 m deep, and ends cut at 120 degrees in the wood."""
    for each in bearers(form_of(ellipsoid(2.0, 2.0, 0.5, columns=240, rows=240)), ROUND, start=-1.0, end=1.0):
        assert each.length == pytest.approx(4 * np.arcsin(0.5), abs=5e-4)
        assert each.chord == pytest.approx(2.0, abs=1e-4)
        assert each.curve_depth == pytest.approx(2 - np.sqrt(3.0), abs=5e-4)
        assert each.least_radius == pytest.approx(2.0, rel=0.01)
        assert [end.side for end in each.ends] == pytest.approx([120.0, 120.0], abs=1.0)


@pytest.mark.closed_form
@pytest.mark.parametrize(("width", "bends"), [(0.019, True), (0.022, False)])
def test_a_batten_bends_to_a_hundred_of_its_thicknesses(width: float, bends: bool) -> None:
    """Round 2 m a bearer 19 mm wide goes cold, one of 22 mm is laminated."""
    form = form_of(ellipsoid(2.0, 2.0, 0.5, columns=240, rows=240))
    for each in bearers(form, ROUND, width=width, start=-1.0, end=1.0):
        assert each.bends is bends


@pytest.mark.closed_form
def test_a_bearer_along_a_straight_side_is_straight() -> None:
    """In a box: no bend, no twist, one end square, the other to the bulkhead's own 10 degrees, opposite on the two sides."""
    port, starboard = bearers(box_form(), STRAIGHT, start=0.5, end="main")
    for each in (port, starboard):
        assert each.least_radius is None
        assert (each.curve_depth, each.twist) == pytest.approx((0.0, 0.0), abs=1e-6)
        assert each.ends[0].side == pytest.approx(90.0)
        assert each.length == pytest.approx(each.chord)
    assert starboard.length - port.length == pytest.approx(2 * np.tan(np.radians(10.0)), abs=1e-4)
    assert (port.ends[1].side, starboard.ends[1].side) == pytest.approx((100.0, 80.0), abs=0.01)


@pytest.mark.closed_form
def test_a_section_cuts_a_stringer_to_its_own_width_and_depth() -> None:
    """Along a straight side the cut is the stringer's 30 x 45 mm, its upper outer corner where lid and hull meet."""
    form = box_form()
    lid = Lid(name="lid", height=0.5, start="stem", end=2.0, thickness=0.012)
    bearer = Stringer(name="bearer", under="lid", side="starboard", start=0.2, end=1.8, width=0.03, depth=0.045)
    (run,) = stringer_runs(layout_scene(form, lids=(lid,), stringers=(bearer,)), form)
    corners = cut_across(run, 1.0)
    assert corners is not None
    assert corners[:, 0] == pytest.approx(1.0)
    assert np.ptp(corners[:, 1:], axis=0) == pytest.approx((0.03, 0.045))
    assert corners[0, 1:] == pytest.approx((1.0, 0.488), abs=1e-5)
    assert cut_across(run, 1.9) is None
