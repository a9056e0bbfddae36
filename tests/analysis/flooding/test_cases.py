"""What floods, and how she floats then: derived cases, the rule of crossing, and every verdict."""

from dataclasses import replace

import numpy as np
import pytest
from floats import box_boat, hole, layout_of, room, scene_of
from shapes import box

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.findings import Angle, Length
from sketcher.analysis.flooding.cases import all_cases, flooding_cases
from sketcher.analysis.flooding.course import rest_words
from sketcher.analysis.flooding.results import Attitude
from sketcher.analysis.results import OUTSIDE, PanelShape, WaterPlane
from sketcher.geometry.mesh import TriMesh
from sketcher.model.errors import SketchError
from sketcher.model.hull import Appendage, Cockpit, WholeBoat
from sketcher.model.scene import Lid, Weight
from sketcher.outputs.wording.sentences import words

LENGTH, BREADTH, DEPTH, DRAFT, KG = 8.0, 2.4, 1.6, 0.5, 0.6


def _rooms(*ends, permeability=1.0, bottom=0.0, top=DEPTH, **fields):
    """Full-width rooms between these distances aft, called a, b, c ..."""
    names = "abcdefgh"
    return tuple(
        room(names[k], (start, -BREADTH / 2, bottom), (end, BREADTH / 2, top), permeability, **fields)
        for k, (start, end) in enumerate(ends)
    )


def _cases(spaces, holed=None, paths=(), adjoining=(), form=None, kg=KG, panels=(), level=DRAFT, **options):
    fields = {key: options.pop(key) for key in ("weights", "water_density") if key in options}
    form = form or box_boat(LENGTH, BREADTH, DEPTH)
    scene = scene_of(form, level, kg=kg, **fields)
    water = water_plane(scene, form)
    layout = layout_of(scene, form, spaces, paths, adjoining, panels)
    return flooding_cases(layout, water, floating(scene, form, water)[0], holed, **options)


def _case(*args, **kwargs):
    (case,) = _cases(*args, **kwargs)
    return case


@pytest.mark.closed_form
def test_amidships_she_sinks_by_the_lost_share():
    """Full-width room amidships: sinkage m l T / (L - m l), no trim; the water inside is what she lost."""
    case = _case(_rooms((3.2, 4.8), permeability=0.95), ["a"])
    sinkage = 0.95 * 1.6 * DRAFT / (LENGTH - 0.95 * 1.6)
    assert (case.water.forward, case.water.after) == pytest.approx((DRAFT + sinkage,) * 2, abs=1e-8)
    assert case.water_volume == pytest.approx(0.95 * 1.6 * BREADTH * (DRAFT + sinkage), abs=1e-7)
    assert (case.verdict, case.floods, case.trim_change) == ("floats", ("a",), pytest.approx(0.0, abs=1e-7))
    assert case.least_freeboard == pytest.approx(DEPTH - DRAFT - sinkage, abs=1e-8)


@pytest.mark.closed_form
@pytest.mark.parametrize(("permeability", "forward", "after"), [(1.0, 1.0280947, 0.2631218), (0.95, 0.9794479, 0.2848476)])
def test_the_end_room_of_a_small_boat_ends_where_equilibrium_is(permeability, forward, after):
    """8 x 2.4 x 0.5, KG 0.6, 1.2 m at the bow: derived from weight and B plumb under G, not from the moment to trim."""
    case = _case(_rooms((0, 1.2), permeability=permeability), ["a"])
    assert (case.water.forward, case.water.after) == pytest.approx((forward, after), abs=6e-8)
    assert case.trim_change == pytest.approx(np.degrees(np.arctan((forward - after) / 8)), abs=1e-6)


@pytest.mark.closed_form
def test_the_small_angle_formulas_are_printed_beside_the_exact_answer():
    """By hand at the end room: sinkage v/(A - a), trim by the lost waterplane's moments; close to, not at, equilibrium."""
    case = _case(_rooms((0, 1.2)), ["a"])
    left, flotation, boat = 6.8, 4.6, LENGTH * BREADTH * DRAFT
    sinkage = 1.2 * DRAFT / left
    draft = DRAFT + sinkage
    stiffness = BREADTH * left**3 / 12 + boat * (draft / 2 - KG)
    slope = boat * (flotation - 4.0) / stiffness
    assert case.hand[0] == pytest.approx(draft + slope * flotation, abs=1e-9)
    assert case.hand[1] == pytest.approx(draft - slope * (LENGTH - flotation), abs=1e-9)
    assert case.hand[0] - 1.0280947 == pytest.approx(0.0021094, abs=1e-7)  # both derived: the formulas' own error at 5 degrees


@pytest.mark.closed_form
def test_a_flooded_space_under_its_lid_leaves_the_waterplane_alone():
    """Lid under water: she sinks by the lost volume over the whole waterplane; GM changes only through B."""
    case = _case(_rooms((3.2, 4.8), top=0.3), ["a"])
    assert case.water.forward == pytest.approx(DRAFT + 1.6 * 0.3 / LENGTH, abs=1e-8)
    draft = case.water.forward
    up = (LENGTH * draft**2 / 2 - 1.6 * 0.3**2 / 2) / (LENGTH * DRAFT)
    assert case.gm == pytest.approx(LENGTH * BREADTH**3 / 12 / (LENGTH * BREADTH * DRAFT) + up - KG, abs=1e-7)


@pytest.mark.closed_form
def test_a_space_above_the_water_takes_none():
    """Holed well above the flooded water: nothing changes."""
    case = _case(_rooms((0, 1.2), bottom=1.0), ["a"])
    assert (case.water.forward, case.water_volume) == (pytest.approx(DRAFT, abs=1e-9), 0.0)


@pytest.mark.closed_form
def test_every_space_and_every_adjoining_pair_is_a_case():
    """Three rooms in a row: three single cases and the two pairs that share a panel."""
    rooms = _rooms((0, 1), (1, 2), (2, 3))
    cases = _cases(rooms, adjoining=(("a", "b"), ("b", "c")))
    assert [case.holed for case in cases] == [("a",), ("b",), ("c",), ("a", "b"), ("b", "c")]
    layout = layout_of(scene_of(box_boat(8, 2.4, 1), 0.5), box_boat(8, 2.4, 1), rooms, adjoining=(("a", "b"),))
    assert all_cases(layout) == [("a",), ("b",), ("c",), ("a", "b")]


@pytest.mark.closed_form
def test_a_side_room_heels_her_to_the_hole():
    """A room to starboard heels her to starboard, its mirror image as far to port."""
    heels = []
    for side, low, high in (("starboard", (3, 0.4, 0), (5, 1.2, DEPTH)), ("port", (3, -1.2, 0), (5, -0.4, DEPTH))):
        case = _case((room("side", low, high),), ["side"])
        heels.append(case.water.heel)
        assert f"heeled {abs(case.water.heel):.1f} degrees to {side}" in words(case.reason)
    assert heels[0] > 1
    assert heels[0] == pytest.approx(-heels[1], abs=1e-6)


@pytest.mark.closed_form
def test_water_crosses_each_hole_only_once_the_trim_brings_it_under():
    """Three rooms in a chain: each sill stands over the water until the room before has filled and put her down by the bow."""
    rooms = _rooms((0, 1.0), (1.0, 2.0), (2.0, 3.0), permeability=0.6)
    sills = []
    for holed in (["a"], ["a", "b"]):
        water = _case(rooms, holed).water
        sills.append(water.height(1.0 if holed == ["a"] else 2.0) - 0.01)
    paths = (hole(("a", "b"), (1.0, 0, sills[0])), hole(("b", "c"), (2.0, 0, sills[1])))
    static = _case(rooms, ["c"], paths=paths)
    assert static.floods == ("c",)
    case = _case(rooms, ["a"], paths=paths)
    assert case.floods == ("a", "b", "c")
    assert [crossing.into for crossing in case.crossed] == ["b", "c"]
    assert [crossing.head for crossing in case.crossed] == pytest.approx([0.01, 0.01], abs=1e-3)
    stops = _case(rooms, ["a"], paths=(hole(("a", "b"), (1.0, 0, sills[0])), hole(("b", "c"), (2.0, 0, sills[1] + 0.02))))
    assert stops.floods == ("a", "b")


@pytest.mark.example
def test_joined_spaces_end_at_one_level_as_if_they_were_one():
    """Two rooms joined by a hole low down, one of them holed, equal one room of both."""
    case = _case(_rooms((0, 0.8), (0.8, 1.6)), ["a"], paths=(hole(("a", "b"), (0.8, 0, 0.1)),))
    whole = _case(_rooms((0, 1.6)), ["a"])
    assert case.water.forward == pytest.approx(whole.water.forward, abs=1e-7)
    assert case.water_volume == pytest.approx(whole.water_volume, abs=1e-6)


@pytest.mark.example
def test_halves_flooded_together_equal_the_whole():
    """A room parted on the centreline: both halves holed end where the whole room ends."""
    halves = (room("port", (0, -1.2, 0), (1.2, 0, DEPTH), 0.7), room("starboard", (0, 0, 0), (1.2, 1.2, DEPTH), 0.7))
    both = _case(halves, ["port", "starboard"])
    whole = _case(_rooms((0, 1.2), permeability=0.7), ["a"])
    assert (both.water.forward, both.water.after) == pytest.approx((whole.water.forward, whole.water.after), abs=1e-7)


@pytest.mark.closed_form
def test_a_deck_opening_that_dips_is_downflooding_with_figures_before_and_after():
    """A hatch forward that goes under when the bow room floods lets the sea into the next room: told through which."""
    rooms = _rooms((0, 1.2), (1.2, 2.4))
    dry = _case(rooms, ["a"])
    hatch = hole(("b", OUTSIDE), (1.4, 0, dry.water.height(1.4) - 0.03), name="fore hatch", through="deck")
    case = _case(rooms, ["a"], paths=(hatch,))
    assert (case.verdict, case.through, case.floods) == ("downfloods", ("fore hatch",), ("a", "b"))
    assert case.before.water.forward == pytest.approx(dry.water.forward, abs=1e-8)
    assert case.water.forward > case.before.water.forward + 0.05


@pytest.mark.closed_form
def test_a_cockpit_whose_rim_goes_under_is_downflooding():
    """Its rim lies on the deck: flooded aft until the deck there is under, the rim is named, and listed with the openings."""
    form = box_boat(LENGTH, BREADTH, 0.9, cockpit=Cockpit(start=6.0, end=7.6, half_breadth=(0.5, 0.5), sole=0.8))
    case = _case((room("aft", (6.4, -1.2, 0), (8, 1.2, 0.9)),), ["aft"], form=form)
    assert (case.verdict, case.through) == ("downfloods", ("the cockpit's rim",))
    (rim,) = [level for level in case.openings if level.name == "the cockpit's rim"]
    assert rim.clear_of_water < 0.0


@pytest.mark.closed_form
def test_with_too_little_left_to_carry_her_she_founders():
    """Nearly all of her lost: founders, said without a search."""
    case = _case(_rooms((0, 7)), ["a"])
    assert (case.verdict, case.water, case.steps) == ("founders", None, 0)


@pytest.mark.closed_form
def test_a_boat_that_loses_her_waterplane_to_one_side_capsizes():
    """A long starboard room, all stability gone: rolls over, and it is said."""
    form = box_boat(LENGTH, BREADTH, 1.0)
    case = _case((room("side", (0.2, 0.0, 0), (7.8, 1.2, 1.0)),), ["side"], form=form, kg=0.9)
    assert case.verdict == "capsizes"
    assert case.water is None


@pytest.mark.closed_form
def test_a_boat_unstable_without_a_hole_is_said_not_searched():
    """KG over the metacentre: every case capsizes with that reason and no steps."""
    case = _case(_rooms((0, 1)), ["a"], kg=1.5)
    assert (case.verdict, case.steps) == ("capsizes", 0)
    assert "even without a hole" in words(case.reason)


@pytest.mark.closed_form
def test_without_the_height_of_gravity_the_verdict_is_unknown():
    """No guess: unknown, no waterline, and the reason."""
    case = _case(_rooms((0, 1)), ["a"], kg=None)
    assert (case.verdict, case.water, case.gm) == ("unknown", None, None)
    assert words(case.reason) == "the height of the centre of gravity is not stated"


@pytest.mark.closed_form
def test_a_name_that_is_no_space_brings_the_nearest():
    """A slip of the pen in `holed` is refused with the name that was meant."""
    with pytest.raises(SketchError, match="forepaek") as caught:
        _cases((room("forepeak", (0, -1, 0), (1, 1, 1)),), ["forepaek"])
    assert "forepeak" in caught.value.remedy


@pytest.mark.closed_form
def test_weights_aboard_count_before_the_hole():
    """With ballast amidships she floods from her loaded waterline: trim change is against that, not the stated one."""
    weights = (Weight(name="stores", kg=400.0, at=(4.0, 0.0, KG)),)
    case = _case(_rooms((3.2, 4.8)), ["a"], weights=weights)
    loaded = DRAFT + 400 / (1025 * LENGTH * BREADTH)
    assert case.water.forward == pytest.approx(loaded * LENGTH / (LENGTH - 1.6), abs=1e-7)
    assert case.trim_change == pytest.approx(0.0, abs=1e-6)


@pytest.mark.closed_form
def test_weight_is_conserved_and_the_residual_given():
    """Buoyancy less weight is under a tenth of a gram in every case."""
    for case in _cases(_rooms((0, 1), (1, 2.5), (4, 6), permeability=0.85), adjoining=(("a", "b"),)):
        assert abs(case.residual) < 1e-4


@pytest.mark.closed_form
def test_appendages_go_on_carrying():
    """A keel's litres are not lost with the space above it: the box sinks from the mass with the keel."""
    keel = Appendage(name="keel", volume=0.4, at=(4.0, 0.0, -0.4), lowest=-0.9)
    case = _case(_rooms((3.2, 4.8)), ["a"], form=box_boat(LENGTH, BREADTH, DEPTH, appendages=(keel,)))
    assert case.water.forward == pytest.approx(DRAFT * LENGTH / (LENGTH - 1.6), abs=1e-8)


@pytest.mark.closed_form
def test_one_hull_of_a_catamaran_flooded_heels_her():
    """A room over the full width of the starboard hull: lost buoyancy and its moment balance with trim kept by symmetry."""
    form = box_boat(LENGTH, 1.0, 1.6, twin_spacing=4.0)
    case = _case((room("starboard", (3.2, -0.5, 0), (4.8, 0.5, 1.6)),), ["starboard"], form=form, kg=0.8)
    assert case.verdict == "floats"
    assert case.water.heel > 1.0
    slope, deep = np.tan(np.radians(case.water.heel)), case.water.forward
    left, right = LENGTH * (deep - 4 * slope), (LENGTH - 1.6) * deep
    assert left + right == pytest.approx(2 * LENGTH * DRAFT, abs=1e-6)
    second = 1 / 12 * slope
    up = [(LENGTH * ((deep - 4 * slope) ** 2 / 2 + slope**2 / 24)), (LENGTH - 1.6) * (deep**2 / 2 + slope**2 / 24)]
    athwart = left * -4 + LENGTH * second + (LENGTH - 1.6) * second
    y, z = athwart / (left + right), sum(up) / (left + right)
    assert y + 2 == pytest.approx(slope * (0.8 - z), abs=1e-6)


@pytest.mark.closed_form
def test_a_partly_measured_boat_is_estimated_and_marked():
    """By kg per cm and moment per cm from the block; verdict unknown, waterline estimated, freeboard and GM not told."""
    block = WholeBoat(length=10.0, displacement=8000, kg_per_cm=200, moment_per_cm=100, centre_of_flotation=5.0)
    form = box_boat(4, BREADTH, DEPTH, open_aft=True, boat=block)
    case = _case(_rooms((0, 1), permeability=0.95), ["a"], form=form)
    assert (case.verdict, case.estimated) == ("unknown", True)
    kilograms = 1025 * case.water_volume
    mean = 0.5 * (case.water.forward + case.water.height(1.0))
    assert case.water_volume == pytest.approx(0.95 * BREADTH * mean, rel=1e-5)
    at = (case.water.forward + 2 * case.water.height(1.0)) / (6 * mean)
    slope = kilograms * (5.0 - at) / 100 / 100 / 10
    assert case.water.forward == pytest.approx(DRAFT + kilograms / 200 / 100 + slope * 5.0, abs=1e-5)
    assert (case.least_freeboard, case.gm) == (None, None)


@pytest.mark.closed_form
def test_a_space_that_runs_past_the_measured_end_is_unknown():
    """Its volume is not known, so nothing is said of it flooded."""
    block = WholeBoat(length=10.0, displacement=8000, kg_per_cm=200, moment_per_cm=100, centre_of_flotation=5.0)
    form = box_boat(4, BREADTH, DEPTH, open_aft=True, boat=block)
    case = _case((room("cabin", (2, -1.2, 0), (4, 1.2, 1.6), bounded=False),), ["cabin"], form=form)
    assert (case.verdict, case.water, case.water_volume) == ("unknown", None, None)
    assert "past the measured end" in words(case.reason)


def _lidded(height):
    """A bow room under a lid, with the air over it as a space of its own; the lid is panel number 0."""
    under = room("under", (0, -1.2, 0), (1.2, 1.2, height - 0.012), bounds=(("lid", "under"),))
    over = room("over", (0, -1.2, height), (1.2, 1.2, DEPTH), bounds=(("lid", "top"),))
    spaces = []
    for space, level in ((under, height - 0.012), (over, height)):
        flat = (space.mesh.vertices[space.mesh.triangles][:, :, 2] == level).all(axis=1)
        spaces.append(
            replace(space, mesh=TriMesh(space.mesh.vertices, space.mesh.triangles, np.where(flat, 10, 0).astype(np.int64)))
        )
    panel = Lid(name="lid", height=height, start="stem", end=1.2, thickness=0.012)
    board = box((0, -BREADTH / 2, height - 0.012), (1.2, BREADTH / 2, height))
    return tuple(spaces), (PanelShape(panel=panel, kind="lid", mesh=board, faces=(), depends_on=()),)


@pytest.mark.closed_form
def test_a_lid_150_mm_over_the_static_water_can_be_under_the_flooded_water():
    """The lid stands 150 mm over the waterline; with the bow room flooded to it she trims until it is under: called under."""
    spaces, panels = _lidded(DRAFT + 0.150)
    case = _case(spaces, ["under"], panels=panels, form=box_boat(LENGTH, BREADTH, DEPTH))
    (lid,) = case.lids
    plumb = np.cos(np.arctan((case.water.forward - case.water.after) / 8))
    assert lid.clear_of_water == pytest.approx((DRAFT + 0.150 - case.water.forward) * plumb, abs=1e-8)
    assert lid.clear_of_water < 0


@pytest.mark.closed_form
def test_the_height_that_would_do_counts_the_room_that_a_higher_lid_leaves_for_water():
    """It is 50 mm over the water that stands there with the whole bow room flooded, not over the water as it stands now."""
    spaces, panels = _lidded(DRAFT + 0.150)
    whole = _case(_rooms((0, 1.2)), ["a"])
    (lid,) = _case(spaces, ["under"], panels=panels, form=box_boat(LENGTH, BREADTH, DEPTH)).lids
    assert lid.lowest_safe_height == pytest.approx(whole.water.forward + 0.05 / whole.water.plane.normal[2], abs=1e-8)


@pytest.mark.closed_form
def test_each_case_tells_the_waterline_she_floods_from():
    """With stores aboard that is the loaded one, even where she then founders."""
    weights = (Weight(name="stores", kg=400.0, at=(4.0, 0.0, KG)),)
    loaded = DRAFT + 400 / (1025 * LENGTH * BREADTH)
    for ends in ((3.2, 4.8), (0.5, 7.5)):
        case = _case(_rooms(ends), ["a"], weights=weights)
        assert case.intact.forward == pytest.approx(loaded, abs=1e-7)


@pytest.mark.closed_form
def test_a_space_named_twice_is_holed_once():
    """Named again it loses no more buoyancy: sinkage m l T / (L - m l) as for once, and the names stand once, in their order."""
    rooms = _rooms((3.2, 4.8), (5.0, 5.2), permeability=0.95)
    case = _case(rooms[:1], ["a", "a"])
    assert case.water.forward == pytest.approx(DRAFT + 0.95 * 1.6 * DRAFT / (LENGTH - 0.95 * 1.6), abs=1e-8)
    assert _case(rooms, ["b", "a", "b"]).holed == ("b", "a")


@pytest.mark.closed_form
@pytest.mark.parametrize(("heel", "told"), [(0.49, None), (-0.5, -0.5)])
def test_a_heel_is_told_once_people_aboard_would_feel_it(heel, told):
    """Half a degree or more, to either side; the deck's edge 100 mm under water by its depth."""
    water = WaterPlane(forward=0.5, after=0.5, heel=heel, x_forward=0.0, x_after=8.0)
    lies = Attitude(water=water, least_freeboard=-0.1, least_freeboard_at=(4.0, 1.2, 1.6), gm=0.3)
    said = rest_words(lies, (), lolled=False).values
    assert said["heel"] == (None if told is None else Angle(told))
    assert said["edge_depth"] == Length(0.1)
