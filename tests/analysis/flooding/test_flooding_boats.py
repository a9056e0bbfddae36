"""Flooding of layouts as they are laid out: joined spaces, lids, and the demo boats."""

from dataclasses import replace

import numpy as np
import pytest
from floats import box_boat, scene_of
from places import SCENES
from rivals import by_scipy, solid
from scene_specimens import demo
from scipy.optimize import brentq

from sketcher.analysis.evaluate import evaluate, judged
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.loading.weights import loading
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Stringer

DEMOS = sorted(SCENES.glob("*.yaml"))
BOX = box_boat(8.0, 2.4, 1.6)


def _demo(path):
    return demo(path.stem)


def _boat(lid=0.65, wall=1.2, stringers=()):
    """A box boat, KG 0.6, floating at 0.5: a bow space under a lid that runs from the stem to the bulkhead and beyond."""
    scene = scene_of(
        BOX,
        0.5,
        kg=0.6,
        bulkheads=(Bulkhead(name="first", at=wall, thickness=0.018), Bulkhead(name="second", at=2 * wall, thickness=0.018)),
        lids=(Lid(name="lid", height=lid, start=0.0, end="second", thickness=0.012),),
        stringers=stringers,
        compartments=(
            NamedSpace(name="bow", at=(0.5, 0.0, 0.2), permeability=1.0),
            NamedSpace(name="next", at=(wall + 0.5, 0.0, 0.2), permeability=1.0),
        ),
    )
    return judged(lay_out(scene, BOX))


def _holed(done, *names):
    (case,) = flooding_cases(done.layout, done.water, done.floating, names)
    return case


@pytest.mark.closed_form
def test_a_lid_150_mm_over_the_still_water_ends_81_mm_under_the_flooded_water():
    """A bow space that, flooded up to its lid, puts her so far down by the bow: its length found from the closed form of a box
    that trims on a whole waterplane, and the lid called under by 81 mm at its forward edge."""

    def under(wall):
        lost, at, top = 2.4 * wall * 0.638, wall / 2, 0.638
        sinkage = lost / (2.4 * 8)

        def moment(slope):
            fore, aft = 0.5 + sinkage + 4 * slope, 0.5 + sinkage - 4 * slope
            x = 8 * (fore + 2 * aft) / (3 * (fore + aft))
            z = (fore**2 + fore * aft + aft**2) / (3 * (fore + aft))
            whole = 2.4 * 8 * (fore + aft) / 2
            left = whole - lost
            return (whole * x - lost * at) / left - 4.0 - slope * ((whole * z - lost * top / 2) / left - 0.6)

        slope = brentq(moment, 0.0, 0.3)
        return (0.5 + sinkage + 4 * slope - 0.65) / np.hypot(1.0, slope)

    wall = brentq(lambda length: under(length) - 0.081, 0.2, 2.0)
    case = _holed(_boat(wall=wall), "bow")
    assert case.lids[0].clear_of_water == pytest.approx(-0.081, abs=1e-6)


@pytest.mark.closed_form
def test_a_hollow_stringer_joins_two_spaces_and_a_sealed_one_does_not():
    """An open top-hat under the lid runs through the bulkhead: hole one space and both fill."""
    floods = {}
    for hollow in ("open", "sealed"):
        bearer = Stringer(
            name="bearer", under="lid", side="port", start=0.0, end="second", width=0.03, depth=0.045, hollow=hollow
        )
        floods[hollow] = _holed(_boat(lid=0.55, stringers=(bearer,)), "bow").floods
    assert floods == {"open": ("bow", "next"), "sealed": ("bow",)}


@pytest.mark.closed_form
def test_the_safe_height_of_a_lid_lets_the_water_stay_50_mm_below_it():
    """A higher lid leaves more room to flood, and that is counted: the height told is right when the boat is laid out with it."""
    height = _holed(_boat(), "bow").lids[0].lowest_safe_height
    assert height > 0.65 + 0.05 + 0.02
    (level,) = _holed(_boat(lid=height), "bow").lids
    assert level.clear_of_water == pytest.approx(0.05, abs=1e-6)
    (lower,) = _holed(_boat(lid=height - 0.005), "bow").lids
    assert lower.clear_of_water < 0.05


@pytest.mark.property
@pytest.mark.parametrize(
    ("name", "lid", "holed"),
    [("quillet-forepeak", "berth top", "berth space"), ("marram-forepeak", "tank top", "chain locker")],
)
def test_a_demo_laid_out_with_its_lid_at_the_safe_height_keeps_it_clear(name, lid, holed):
    """Told from one layout, found again in another, though heeled and wider where it is raised: to 0.5 mm."""
    done = _demo(next(path for path in DEMOS if path.stem == name))
    level = next(each for each in _holed(done, holed).lids if each.name == lid)
    assert level.clear_of_water < 0
    lids = tuple(replace(each, height=level.lowest_safe_height) if each.name == lid else each for each in done.scene.lids)
    then = judged(lay_out(replace(done.scene, lids=lids), done.layout.hull))
    raised = next(each for each in _holed(then, holed).lids if each.name == lid)
    assert raised.clear_of_water == pytest.approx(0.05, abs=0.0005)


@pytest.mark.closed_form
def test_where_no_height_under_the_deck_is_enough_none_is_told():
    """A bow space so large that with its lid out of the way the water would stand above the deck."""
    case = _holed(_boat(lid=0.9, wall=2.6), "bow")
    assert case.lids[0].clear_of_water < 0
    assert case.lids[0].lowest_safe_height is None


@pytest.mark.property
@pytest.mark.parametrize(
    "path",
    [
        pytest.param(path, marks=[pytest.mark.slow] if "filled" in path.name else [])
        for path in DEMOS
        if "ternholm" not in path.name
    ],
    ids=lambda path: path.stem,
)
def test_every_case_of_a_demo_conserves_weight_and_gives_its_reason(path):
    """Weight carried to a gram where she rests; a waterline for what floats and none for what does not."""
    done = _demo(path)
    for case in flooding_cases(done.layout, done.water, done.floating):
        assert case.reason
        assert (case.water is not None) == (case.verdict in ("floats", "downfloods"))
        if case.residual is not None:
            assert abs(case.residual) < 1e-3
            assert case.gm > 0


@pytest.mark.property
@pytest.mark.parametrize(
    ("name", "holed"),
    [("quillet-forepeak", "berth space"), ("marram-two-tanks", "port void"), ("marram-forepeak", "chain locker")],
)
def test_a_root_finder_on_capped_solids_finds_the_same_waterline(name, holed):
    """Another way to the same equations: the hull and its spaces cut by a boolean kernel, scipy's root finder, 0.1 mm."""
    done = _demo(next(path for path in DEMOS if path.stem == name))
    case = _holed(done, holed)
    spaces = {space.name: solid(space.mesh) for space in done.layout.compartments}
    boat = loading(done.layout, done.water)
    level, along, across = by_scipy(done.layout, boat, done.water, solid(done.layout.hull.outside), spaces, case.floods)
    half = 0.5 * (case.water.x_after - case.water.x_forward)
    assert case.water.forward == pytest.approx(level - along * half, abs=1e-4)
    assert case.water.after == pytest.approx(level + along * half, abs=1e-4)
    assert np.tan(np.radians(case.water.heel)) == pytest.approx(across, abs=1e-4)


@pytest.mark.property
@pytest.mark.parametrize("path", [path for path in DEMOS if "two-tanks" in path.name], ids=lambda path: path.stem)
def test_a_void_in_two_halves_heels_her_one_way_and_the_other(path):
    """Port half holed heels her to port as far as the starboard one to starboard; both together leave her upright."""
    done = _demo(path)
    port, starboard, both = (
        _holed(done, *names) for names in (["port void"], ["starboard void"], ["port void", "starboard void"])
    )
    assert port.water.heel < -1
    assert port.water.heel == pytest.approx(-starboard.water.heel, abs=1e-4)
    assert both.water.heel == pytest.approx(0.0, abs=1e-4)


@pytest.mark.property
@pytest.mark.parametrize("path", [path for path in DEMOS if "ternholm" in path.name], ids=lambda path: path.stem)
def test_a_partly_measured_demo_yields_estimates_and_nothing_that_needs_the_rest(path):
    """Verdict unknown throughout; where a waterline is given it is marked as estimated, with no freeboard and no GM."""
    done = _demo(path)
    cases = flooding_cases(done.layout, done.water, done.floating)
    assert {case.verdict for case in cases} == {"unknown"}
    assert any(case.estimated for case in cases)
    for case in cases:
        assert case.estimated == (case.water is not None)
        assert (case.gm, case.least_freeboard) == (None, None)


@pytest.mark.property
@pytest.mark.parametrize("path", [path for path in DEMOS if path.stem == "quillet-forepeak"], ids=lambda path: path.stem)
def test_a_demo_starts_from_the_same_place_whatever_the_stated_trim_was_found_from(path):
    """Stated by the freeboards she then has, she floods as when stated by heights: to a thousandth of a millimetre."""
    done = _demo(path)
    stated = replace(
        done.scene.waterline,
        forward=None,
        after=None,
        bow_freeboard=done.floating.forward_freeboard,
        stern_freeboard=done.floating.after_freeboard,
    )
    again = evaluate(replace(done.scene, waterline=stated))
    first, second = (_holed(each, "berth space") for each in (done, again))
    assert second.water.forward == pytest.approx(first.water.forward, abs=1e-6)
