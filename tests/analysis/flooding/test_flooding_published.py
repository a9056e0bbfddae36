"""Worked examples in print, each against exact equilibrium; where the literature's method is not equilibrium the test says so.

Boxes throughout, as in the books: L x B, floating at a level draft T.
"""

import numpy as np
import pytest
from floats import box_boat, layout_of, room, scene_of

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.loading.weights import loading
from sketcher.model.scene import Weight


def _flooded(length, breadth, draft, kg, start, end, permeability=1.0, top=None, depth=None):
    """The case of a full-width room from `start` to `end`, up to `top`, holed; and how she floated before."""
    depth = depth or 4 * draft
    form = box_boat(length, breadth, depth)
    scene = scene_of(form, draft, kg=kg)
    water = water_plane(scene, form)
    space = room("hold", (start, -breadth / 2, 0), (end, breadth / 2, top or depth), permeability)
    afloat, _ = floating(scene, form, water)
    (case,) = flooding_cases(layout_of(scene, form, (space,)), water, afloat, ["hold"])
    return case, afloat


@pytest.mark.published
def test_barrass_and_derrett_150_m_box():
    """150 x 24 x 5, GM 0.9, 20 m empty amidships. Barrass & Derrett, Ship Stability for Masters and Mates, ch. 21, example 2:
    KG 11.2, new draft 5.77 m."""
    case, afloat = _flooded(150, 24, 5, 11.2, 65, 85, depth=12)
    assert afloat.gm == pytest.approx(0.9, abs=1e-9)
    assert (case.water.forward, case.water.after) == pytest.approx((5.77, 5.77), abs=0.005)


@pytest.mark.published
def test_derrett_40_m_box_and_the_metacentric_height_she_has_left():
    """40 x 6 x 2, GM 0.6, 10 m empty amidships. Derrett's exercise as worked in print: draft 2.67 m, new GM 0.559 m (another
    print 0.558; both carry a draft rounded to 2.67)."""
    case, afloat = _flooded(40, 6, 2, 1.9, 15, 25)
    assert afloat.gm == pytest.approx(0.6, abs=1e-9)
    assert case.water.forward == pytest.approx(2.67, abs=0.005)
    assert case.gm == pytest.approx(0.5585, abs=0.001)


@pytest.mark.published
def test_timber_amidships_takes_in_what_its_broken_stowage_leaves():
    """150 x 20 x 5, 15 m amidships with timber, relative density 0.8, 1.5 m3 a tonne: permeability 0.25/1.5; printed 5.085 m
    (a published set of stability problems with answers)."""
    case, _ = _flooded(150, 20, 5, 6.0, 67.5, 82.5, permeability=0.25 / 1.5, depth=12)
    assert case.water.forward == pytest.approx(5.085, abs=0.0005)


@pytest.mark.published
@pytest.mark.parametrize(
    ("length", "breadth", "draft", "flooded", "permeability", "answer"),
    [
        (60, 8, 4, 12, 1.00, 5.000000),
        (60, 8, 4, 12, 0.85, 4.819277),
        (60, 10, 4, 12, 0.60, 4.545455),
        (30, 8, 3, 6, 0.75, 3.529412),
    ],
)
def test_barges_of_a_lecture_set_flooded_amidships(length, breadth, draft, flooded, permeability, answer):
    """Statements from a published set, Problems on Longitudinal Stability (damaged stability); answers m l T/(L - m l)."""
    middle = length / 2
    case, _ = _flooded(length, breadth, draft, 2.5, middle - flooded / 2, middle + flooded / 2, permeability)
    assert case.water.forward == pytest.approx(answer, abs=5e-7)


@pytest.mark.published
def test_coal_amidships_where_print_divides_by_the_wrong_length():
    """60 x 15 x 3, 12 m of coal amidships, permeability 0.3490. Derrett's exercise 22.3, worked in one print by L - l: 0.262 m.
    Equilibrium divides by L - m l, since the coal goes on displacing: 0.225 m. This test is of equilibrium."""
    permeability = (1.2 - 1 / 1.28) / 1.2
    case, _ = _flooded(60, 15, 3, 3.0, 24, 36, permeability)
    assert case.water.forward - 3 == pytest.approx(permeability * 12 * 3 / (60 - permeability * 12), abs=1e-8)
    assert case.water.forward - 3 < 0.262 - 0.03


@pytest.mark.published
def test_tupper_s_vessel_of_constant_rectangular_section():
    """60 x 10 x 3, KG 2.5, 8 m at the fore end. Tupper, Introduction to Naval Architecture, example 4.5 (statement seen; his
    small-angle answer 5.57 and 1.84 m from memory). Exact equilibrium, derived: 5.5716 and 1.8479 m; by hand 5.5757, 1.8448."""
    case, _ = _flooded(60, 10, 3, 2.5, 0, 8)
    assert (case.water.forward, case.water.after) == pytest.approx((5.5716219, 1.8479453), abs=1e-6)
    assert case.hand == pytest.approx((5.5757, 1.8448), abs=5e-5)


@pytest.mark.published
def test_a_long_barge_of_the_lecture_set_holed_at_the_fore_end():
    """120 x 8 x 3, KG 2.8, 6 m at the extreme fore end (statement from the same set); drafts derived by weight and B under G."""
    case, _ = _flooded(120, 8, 3, 2.8, 0, 6)
    slope = (case.water.forward - case.water.after) / 120
    left = [(6.0, 120.0)]
    volume = moment = height = 0.0
    for start, end in left:
        a, b = case.water.forward - slope * start, case.water.forward - slope * end
        volume += (a + b) / 2 * (end - start)
        moment += (end - start) * (a * (2 * start + end) + b * (start + 2 * end)) / 6
        height += (end - start) * (a * a + a * b + b * b) / 6
    assert volume == pytest.approx(360.0, abs=1e-6)
    assert moment / volume - 60 == pytest.approx(slope * (height / volume - 2.8), abs=1e-7)


@pytest.mark.published
def test_a_low_hold_forward_with_a_flat_over_it_by_the_moment_to_trim():
    """64 x 10 x 5, 6 m forward with a flat at 3.5 m, permeability 0.25: printed (Derrett, as worked) sinkage 0.082 m and change
    of trim 0.446 m, by added weight and the intact moment to trim with BM for GM. That is no equilibrium, but the flat keeps the
    waterplane whole, and with G at the height of B the exact answer may differ only by the tangent: within 5 mm of trim."""
    case, _ = _flooded(64, 10, 5, 2.5, 0, 6, permeability=0.25, top=3.5, depth=6)
    assert (case.water.forward + case.water.after) / 2 - 5 == pytest.approx(0.082, abs=0.0005)
    assert case.water.forward - case.water.after == pytest.approx(0.446, abs=0.005)


@pytest.mark.published
def test_a_box_of_150_tonnes_draws_1016_mm_in_salt_water():
    """24 x 6 x 3 m displacing 150 t: printed 1.016 m (a published set of stability problems with answers)."""
    form = box_boat(24, 6, 3)
    scene = scene_of(form, 1.016, kg=1.0)
    afloat, _ = floating(scene, form, water_plane(scene, form))
    assert afloat.displacement / 1000 == pytest.approx(150.0, abs=0.0005 / 1.016 * 150)


@pytest.mark.published
def test_a_box_from_dock_water_to_the_sea_rises_to_7361_mm():
    """7.5 m in dock water of 1006 kg/m3: printed 7.361 m in sea water (the same set). Here as a loss of weight at one density."""
    form = box_boat(60, 10, 12)
    heavy = 60 * 10 * 7.5 * 1025
    weights = (Weight(name="the dock water's lightness", kg=60 * 10 * 7.5 * 1006 - heavy, at=(30.0, 0.0, 4.0)),)
    scene = scene_of(form, 7.5, kg=4.0, weights=weights)
    layout = layout_of(scene, form, (room("none", (0, -1, 11), (1, 1, 12)),))
    water = water_plane(scene, form)
    (case,) = flooding_cases(layout, water, floating(scene, form, water)[0], ["none"])
    assert loading(layout, water).mass == pytest.approx(60 * 10 * 7.5 * 1006)
    assert case.water.forward == pytest.approx(7.361, abs=0.0005)


@pytest.mark.published
def test_a_wall_sided_box_heels_by_a_weight_as_the_wall_sided_formula_says():
    """Wall-sided formula (Barrass & Derrett, from memory): GZ = sin h (GM + BM tan^2 h / 2).
    Box 2.4 wide, draft 0.5, KG 0.6: GZ 0.108517 m at 10 degrees, so that arm's weight lays her over by 10 degrees."""
    form = box_boat(8, 2.4, 1.6)
    mass, arm = 1025 * 9.6, 0.108517

    shift = arm / np.cos(np.radians(10))
    weights = (Weight(name="off", kg=-100.0, at=(4.0, 0.0, 0.6)), Weight(name="on", kg=100.0, at=(4.0, mass * shift / 100, 0.6)))
    scene = scene_of(form, 0.5, kg=0.6, weights=weights)
    layout = layout_of(scene, form, (room("none", (0, -1, 1.5), (1, 1, 1.6)),))
    water = water_plane(scene, form)
    (case,) = flooding_cases(layout, water, floating(scene, form, water)[0], ["none"])
    assert case.water.heel == pytest.approx(10.0, abs=1e-4)
