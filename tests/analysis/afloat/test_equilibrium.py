"""Exact equilibrium in sinkage, trim and heel, against published and derived cases and against itself."""

import numpy as np
import pytest
from floats import box_boat, form_of
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import box, cylinder, ellipsoid, upright, wigley

from sketcher.analysis.afloat.buoyancy import buoyancy_of
from sketcher.analysis.afloat.equilibrium import MOST_STEPS, Settled, Unsettled, settle
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip_body
from sketcher.outputs.wording.sentences import words

UP = np.array([0.0, 0.0, 1.0])


def _box_flooded(length, breadth, draft, kg, start, end, permeability, depth=None):
    """A box at an even draft, then open to the sea from `start` to `end` over her full width."""
    depth = depth or 3 * draft
    form = box_boat(length, breadth, depth)
    lost = [(clip_body(box((start, -breadth / 2, 0), (end, breadth / 2, depth))), permeability)]
    return settle(buoyancy_of(form), length * breadth * draft, np.array([length / 2, 0, kg]), Plane(UP, draft), lost)


def _draft_square(settled, x):
    """The draft at x measured square to a keel line on z = 0."""
    return (settled.plane.distance - settled.plane.normal[0] * x) / settled.plane.normal[2]


@pytest.mark.published
def test_box_flooded_amidships_as_worked_by_barrass_and_derrett():
    """150 x 24 x 5, 20 m flooded amidships: 5.77 m in Barrass & Derrett, Ship Stability for Masters and Mates (bilging)."""
    settled = _box_flooded(150, 24, 5, 8.0, 65, 85, 1.0)
    assert _draft_square(settled, 75) == pytest.approx(5.76923, abs=5e-6)
    centre = settled.carried.centre
    assert centre[2] == pytest.approx(2.88462, abs=5e-6)
    assert settled.carried.metacentric_radii[0] == pytest.approx(8.32, abs=5e-6)
    assert centre[2] + settled.carried.metacentric_radii[0] == pytest.approx(11.20462, abs=5e-6)


@pytest.mark.published
@pytest.mark.parametrize(("permeability", "draft"), [(1.0, 5.0), (0.85, 4.81928)])
def test_box_flooded_amidships_of_a_lecture_set(permeability, draft):
    """60 x 8 x 4, 12 m flooded amidships (statement from a published lecture set; answer m l T / (L - m l) derived)."""
    settled = _box_flooded(60, 8, 4, 3.0, 24, 36, permeability)
    assert _draft_square(settled, 30) == pytest.approx(draft, abs=5e-6)


@pytest.mark.published
@pytest.mark.parametrize(
    ("length", "breadth", "draft", "kg", "flooded", "permeability", "deep", "shallow"),
    [
        (60, 10, 3, 2.5, 8, 1.0, 5.5716219, 1.8479453),
        (8, 2.4, 0.5, 0.6, 1.2, 1.0, 1.0280947, 0.2631218),
        (8, 2.4, 0.5, 0.6, 1.2, 0.95, 0.9794479, 0.2848476),
    ],
    ids=["statement from Tupper", "small boat, derived", "0.95, derived"],
)
def test_box_flooded_at_the_end(length, breadth, draft, kg, flooded, permeability, deep, shallow):
    """End compartment, full width, exact equilibrium: drafts at both ends, square to the keel (the first: Tupper).

    The book's small-angle answer to the first is 5.57 and 1.84 (from memory): it is not equilibrium. The figures here were
    derived from the two conditions (weight, B plumb under G) for a straight waterline over a rectangle.
    """
    settled = _box_flooded(length, breadth, draft, kg, 0, flooded, permeability)
    assert (_draft_square(settled, 0), _draft_square(settled, length)) == pytest.approx((deep, shallow), abs=6e-8)


@pytest.mark.closed_form
def test_a_box_with_a_side_weight_heels_to_the_wall_sided_angle():
    """Wall-sided: V times the athwart shift balances at GZ = sin h (GM + BM tan^2 h / 2)."""
    form, volume = box_boat(8, 2.4, 2.0), 8 * 2.4 * 0.5
    gm, bm, heel = 0.61, 0.96, np.radians(12.0)
    shift = np.tan(heel) * (gm + bm * np.tan(heel) ** 2 / 2)
    settled = settle(buoyancy_of(form), volume, np.array([4, shift, 0.6]), Plane(UP, 0.5))
    assert np.degrees(np.arctan2(-settled.plane.normal[1], settled.plane.normal[2])) == pytest.approx(12.0, abs=1e-6)


@pytest.mark.closed_form
def test_a_box_too_tender_lies_at_the_wall_sided_angle_of_loll():
    """Negative GM: she lies at tan h = sqrt(-2 GM / BM), to starboard, and it is said."""
    form, volume = box_boat(8, 2.4, 2.0), 8 * 2.4 * 0.5
    kg = 0.25 + 0.96 + 0.02
    settled = settle(buoyancy_of(form), volume, np.array([4, 0, kg]), Plane(UP, 0.5))
    assert settled.lolled
    heel = np.arctan2(-settled.plane.normal[1], settled.plane.normal[2])
    assert np.tan(heel) == pytest.approx(np.sqrt(2 * 0.02 / 0.96), abs=1e-7)


@pytest.mark.closed_form
def test_a_top_heavy_box_rolls_over_and_it_is_said():
    """Centre of gravity far above the metacentre: capsizes, with a reason, in a bounded number of steps."""
    over = settle(buoyancy_of(box_boat(8, 2.4, 1.2)), 8 * 2.4 * 0.5, np.array([4, 0, 2.5]), Plane(UP, 0.5))
    assert isinstance(over, Unsettled)
    assert over.reason == "capsizes"
    assert over.steps <= MOST_STEPS


@pytest.mark.closed_form
def test_more_weight_than_buoyancy_founders_before_any_search():
    """Weight above what all of her displaces: founders; with a space lost, that much sooner."""
    carrier = buoyancy_of(box_boat(8, 2.4, 1.2))
    lost = [(clip_body(box((0, -1.2, 0), (4, 1.2, 1.2))), 1.0)]
    assert settle(carrier, 23.1, np.array([4, 0, 0.6]), Plane(UP, 0.5)).reason == "founders"
    assert settle(carrier, 12.0, np.array([4, 0, 0.6]), Plane(UP, 0.5), lost).reason == "founders"


@pytest.mark.closed_form
def test_no_weight_and_too_light_a_boat_are_said():
    """No mass, or less than the appendages alone displace, gives a reason and no search."""
    carrier = buoyancy_of(box_boat(8, 2.4, 1.2))
    assert "no weight" in words(settle(carrier, 0.0, np.zeros(3), Plane(UP, 0.5)).why)


@pytest.mark.closed_form
def test_a_log_is_neutral_and_stays_as_it_lies():
    """A cylinder with its weight on the axis has no righting moment: it rests at any heel, without a push."""
    log = form_of(cylinder(6, 0.8, 360))
    settled = settle(buoyancy_of(log), log.outside.volume * 0.4, np.array([3, 0, 0]), Plane(upright(0, 20), -0.1))
    assert isinstance(settled, Settled)
    assert not settled.lolled
    assert settled.gm == pytest.approx(0.0, abs=2e-4)


@pytest.mark.closed_form
def test_a_sphere_of_half_its_waters_density_floats_at_its_middle():
    """Half the volume: the plane through the centre; ballast low makes its metacentric height the ballast's depth."""
    ball = form_of(ellipsoid(1, 1, 1, 96, 96))
    settled = settle(buoyancy_of(ball), ball.outside.volume / 2, np.array([0, 0, -0.1]), Plane(upright(4, 7), 0.3))
    assert settled.plane.distance == pytest.approx(0.0, abs=1e-9)
    assert settled.gm == pytest.approx(0.1, abs=2e-3)


@pytest.mark.closed_form
def test_a_weight_moved_along_a_wigley_hull_trims_her_by_its_longitudinal_metacentre():
    """Small shift: tan(trim) = shift / GM_L, BM_L 9.6, KB 5T/8, within 1 % at a tenth of a degree."""
    body = form_of(wigley(8, 2.4, 0.5))
    deep = clip_body(body.outside).under(Plane(UP, 0.4))
    volume, centre = deep.volume, deep.centroid
    gml = deep.along(np.eye(3)).second[0] / volume + centre[2] - 0.35
    settled = settle(buoyancy_of(body), volume, np.array([-0.02, 0, 0.35]), Plane(UP, 0.4))
    assert settled.plane.normal[0] / settled.plane.normal[2] == pytest.approx(0.02 / gml, rel=0.01)


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.2, 0.8), st.floats(-0.5, 0.5), st.floats(-0.25, 0.25), st.floats(0.1, 0.9),
    st.tuples(st.floats(-6, 6), st.floats(-25, 25), st.floats(-0.6, 1.8)),
)  # fmt: skip
def test_the_rest_found_balances_weight_and_moment_and_does_not_depend_on_the_start(share, lengthwise, athwart, kg, start):
    """From any start near upright she comes to one rest: weight carried to a gram, B plumb under G to a hundredth mm."""
    form = form_of(ellipsoid(4, 1.4, 0.9, 32, 32))
    carrier, volume = buoyancy_of(form), share * form.outside.volume
    gravity = np.array([lengthwise, athwart, kg - 0.9])
    found = [
        settle(carrier, volume, gravity, Plane(UP, 0.0)),
        settle(carrier, volume, gravity, Plane(upright(*start[:2]), start[2] * 0.3)),
    ]
    assert all(each.steps <= MOST_STEPS for each in found)
    if all(isinstance(each, Settled) and not each.lolled for each in found):
        for each in found:
            assert each.carried.volume == pytest.approx(volume, abs=1e-6)
            arm = gravity - each.carried.centre
            assert arm - (arm @ each.plane.normal) * each.plane.normal == pytest.approx(np.zeros(3), abs=1e-5)
        assert found[0].plane.normal == pytest.approx(found[1].plane.normal, abs=1e-6)
        assert found[0].plane.distance == pytest.approx(found[1].plane.distance, abs=1e-6)


@pytest.mark.property
@settings(max_examples=25, deadline=None)
@given(st.floats(0.0, 7.0), st.floats(0.3, 3.0), st.floats(0.2, 1.0))
def test_lost_buoyancy_and_iterated_added_weight_end_at_the_same_waterplane(start, length, permeability):
    """Water taken in as a weight, again and again until it changes no more, ends where lost buoyancy ends."""
    end = min(start + length, 8.0)
    lost_way = _box_flooded(8, 2.4, 0.5, 0.6, start, end, permeability, depth=4.0)
    if not isinstance(lost_way, Settled):
        return
    carrier, room = buoyancy_of(box_boat(8, 2.4, 4.0)), clip_body(box((start, -1.2, 0), (end, 1.2, 4.0)))
    boat, gravity = 8 * 2.4 * 0.5, np.array([4, 0, 0.6])
    plane = lost_way.plane
    for _ in range(6):
        water = room.under(plane)
        volume = boat + permeability * water.volume
        heavy = settle(carrier, volume, (boat * gravity + permeability * water.moment) / volume, plane)
        plane = heavy.plane
    assert plane.normal == pytest.approx(lost_way.plane.normal, abs=1e-7)
    assert plane.distance == pytest.approx(lost_way.plane.distance, abs=1e-7)
