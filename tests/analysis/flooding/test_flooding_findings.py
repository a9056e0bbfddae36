"""What is said of a layout and of its flooding: each finding when it must be, with what to do, and not when it must not."""

from dataclasses import replace
from math import ceil

import numpy as np
import pytest
from floats import box_boat, hole, layout_of, room, scene_of
from scene_specimens import demo
from shapes import box

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.findings import Length, Share
from sketcher.analysis.flooding.cases import flooding_cases, single_cases
from sketcher.analysis.flooding.findings import flooding_findings
from sketcher.analysis.results import OUTSIDE, PanelFace, PanelShape
from sketcher.analysis.sources import SOURCES
from sketcher.analysis.spaces.standing_findings import standing_findings, waterline_ends
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.model.hull import WholeBoat
from sketcher.model.scene import Bulkhead, Lid
from sketcher.outputs.wording.sentences import message as in_words

FORM = box_boat(8, 2.4, 1.6)
ROOMS = (
    room("fore", (0, -1.2, 0), (1, 1.2, 1.6), use="void"),
    room("cabin", (1.02, -1.2, 0), (8, 1.2, 1.6), use="accommodation"),
)
HATCHES = (
    hole(("fore", OUTSIDE), (0.5, 0, 1.55), name="fore hatch", through="deck"),
    hole(("cabin", OUTSIDE), (4, 0, 1.55), name="hatch", through="deck"),
)


def _wall(at, name="collision", **fields):
    panel = Bulkhead(name=name, at=at, thickness=0.02, **fields)
    faces = (PanelFace("forward", Plane.of((-1.0, 0.0, 0.0), -at)), PanelFace("after", Plane.of((1.0, 0.0, 0.0), at + 0.02)))
    return PanelShape(panel=panel, kind="bulkhead", mesh=FORM.inside, faces=faces, depends_on=())


def _said(panels=(), paths=HATCHES, spaces=ROOMS, form=FORM, closed=()):
    scene = scene_of(form, 0.5, kg=0.6)
    layout = replace(layout_of(scene, form, spaces, paths, panels=panels), closed=closed)
    return {finding.code: finding for finding in standing_findings(layout, water_plane(scene, form))}


def _of_singles(boat):
    return flooding_findings(boat.layout, single_cases(boat.layout, boat.water, boat.floating), contents=boat.contents)


@pytest.mark.published
@pytest.mark.parametrize(
    ("at", "racing", "passenger"),
    [
        (0.3, "inside that window", "too far forward by 100 mm"),
        (0.8, "inside that window", "inside that window"),
        (1.3, "too far aft by 100 mm", "too far aft by 100 mm"),
    ],
)
def test_the_collision_bulkhead_is_set_against_both_windows_even_where_they_disagree(at, racing, passenger):
    """8 m: offshore racing within 1200 mm of the bow; US small passenger vessels 400 to 1200 mm (46 CFR 179.310)."""
    found = _said(panels=(_wall(at),))
    assert racing in in_words(found["collision-bulkhead-racing"])
    assert passenger in in_words(found["collision-bulkhead-passenger"])
    assert {each.severity for each in found.values()} == {"note"}
    assert all(found[code].source in SOURCES and found[code].binding for code in found)


@pytest.mark.closed_form
def test_the_foremost_whole_watertight_bulkhead_is_the_one_that_counts():
    """A leaky one, and one that stops at a lid, are passed over."""
    panels = (_wall(0.3, "frame", watertight=False), _wall(0.5, "half", top="lid"), _wall(0.9), _wall(2.0, "main"))
    found = _said(panels=panels)
    assert {finding.object for finding in found.values()} == {"collision"}


@pytest.mark.example
def test_a_bulkhead_before_the_waterline_is_told_so_and_not_by_a_minus():
    """In the overhang, 542 mm before the water begins: in words, with the figures of where it should be."""
    note = _said(panels=(_wall(0.3),))["collision-bulkhead-passenger"]
    overhung = replace(note, values={**note.values, "abaft": Length(-0.542), "share": Share(-0.068)})
    assert "collision stands 542 mm before the forward end of the waterline, 6.8 % of its length" in in_words(overhung)


@pytest.mark.closed_form
def test_a_partly_measured_boat_is_set_against_her_stated_length():
    """10 m by the block, not the 4 m measured: 15 % is 1500 mm."""
    block = WholeBoat(length=10.0, waterline_from=0.0, waterline_to=9.0)
    found = _said(panels=(_wall(1.3),), form=box_boat(4, 2.4, 1.6, open_aft=True, boat=block))
    assert "to 1500 mm (15 %)" in in_words(found["collision-bulkhead-racing"])
    assert "want 450 mm to 1350 mm (5 to 15 %" in in_words(found["collision-bulkhead-passenger"])


@pytest.mark.closed_form
def test_the_waterline_ends_where_the_hull_leaves_the_water():
    """A box trimmed by the bow meets the water over its whole length; out of the water it meets it nowhere."""
    scene = scene_of(FORM, 0.6, 0.5)
    assert waterline_ends(FORM, water_plane(scene, FORM)) == pytest.approx((0.0, 8.0))


@pytest.mark.example
def test_a_hatch_across_a_bulkhead_is_told_with_both_spaces():
    """One that lies over a bulkhead's top opens into the spaces on both sides; a door between two spaces does not."""
    across = [hole((name, OUTSIDE), (1.3, 0, 1.6), size=0.3, name="chain hatch", through="deck") for name in ("fore", "cabin")]
    found = _said(paths=(*HATCHES, *across))
    assert "chain hatch opens into fore and cabin: it joins them" in in_words(found["opening-straddles"])
    door = hole(("fore", "cabin"), (1.3, 0, 1.2), size=0.3, name="door")
    assert "opening-straddles" not in _said(paths=(*HATCHES, door))


@pytest.mark.closed_form
def test_a_limber_hole_under_the_water_joins_two_spaces_and_is_told():
    """300 mm under the waterline: a warning with the depth, both names and what to do."""
    path = hole(("fore", "cabin"), (1.0, 0, 0.2), size=0.025, name="limber hole")
    found = _said(paths=(*HATCHES, path))
    assert set(found) == {"spaces-joined"}
    assert "limber hole reaches 300 mm under the waterline and makes one space of fore and cabin" in in_words(
        found["spaces-joined"]
    )
    flow = 60_000 * 0.6 * path.area * np.sqrt(2 * 9.81 * (0.3 - np.ptp(path.outline[:, 2]) / 2))
    assert f"about {flow:.0f} litres a minute run through" in in_words(found["spaces-joined"])
    assert "cover: tight" in in_words(found["spaces-joined"])


@pytest.mark.closed_form
@pytest.mark.parametrize(("z", "uses"), [(0.7, ("void", "accommodation")), (0.2, ("accommodation", "accommodation"))])
def test_a_hole_over_the_water_and_a_door_between_cabins_are_no_mistake(z, uses):
    """Only what joins a space meant to be tight under water is told."""
    spaces = tuple(replace(space, use=use) for space, use in zip(ROOMS, uses, strict=True))
    assert _said(paths=(*HATCHES, hole(("fore", "cabin"), (1.0, 0, z))), spaces=spaces) == {}


@pytest.mark.closed_form
@pytest.mark.parametrize(("bottom", "told"), [(0.5, True), (0.4997, True), (0.499, False)])
def test_a_crash_space_with_less_than_a_litre_under_water_is_told(bottom, told):
    """1 x 2.4 m afloat at 0.5 m: with its sole at 499.7 mm it holds 0.72 litres under the water, at 499 mm 2.4 litres."""
    fore = room("fore", (0, -1.2, bottom), (1, 1.2, 1.6), use="void", bounds=(("wall", "forward"),))
    wall = PanelShape(
        panel=Bulkhead(name="wall", at=1.0, thickness=0.02), kind="bulkhead", mesh=fore.mesh, depends_on=(),
        faces=(PanelFace("forward", Plane.of((-1.0, 0.0, 0.0), -1.0)), PanelFace("after", Plane.of((1.0, 0.0, 0.0), 1.02))),
    )  # fmt: skip
    found = _said(paths=HATCHES, spaces=(fore, ROOMS[1]), panels=(wall,))
    assert ("crash-space-above-water" in found) == told
    if told:
        assert "fore holds less than 1 litre under the waterline" in in_words(found["crash-space-above-water"])


@pytest.mark.closed_form
def test_a_space_that_nothing_opens_into_is_told_and_a_tight_port_is_enough():
    """Shut in on all sides: a warning; with a port under a tight cover: none."""
    assert set(_said(paths=HATCHES[1:])) == {"no-access"}
    assert _said(paths=HATCHES[1:], closed=(hole(("fore", "cabin"), (1.0, 0, 0.9)),)) == {}


def _lidded(height):
    under = room("under", (0, -1.2, 0), (1.2, 1.2, height - 0.012), bounds=(("lid", "under"),))
    over = room("over", (0, -1.2, height), (1.2, 1.2, 1.6), bounds=(("lid", "top"),))
    spaces = []
    for space, level in ((under, height - 0.012), (over, height)):
        flat = (space.mesh.vertices[space.mesh.triangles][:, :, 2] == level).all(axis=1)
        mesh = TriMesh(space.mesh.vertices, space.mesh.triangles, np.where(flat, 10, 0).astype(np.int64))
        spaces.append(replace(space, mesh=mesh))
    panel = Lid(name="lid", height=height, start="stem", end=1.2, thickness=0.012)
    faces = (PanelFace("top", Plane.of((0.0, 0.0, 1.0), height)), PanelFace("under", Plane.of((0.0, 0.0, -1.0), 0.012 - height)))
    board = box((0, -1.2, height - 0.012), (1.2, 1.2, height))
    return tuple(spaces), (PanelShape(panel=panel, kind="lid", mesh=board, faces=faces, depends_on=()),)


def _flooded(spaces, panels=(), paths=(), form=FORM, kg=0.6):
    scene = scene_of(form, 0.5, kg=kg)
    layout = layout_of(scene, form, spaces, paths, panels=panels)
    water = water_plane(scene, form)
    cases = flooding_cases(layout, water, floating(scene, form, water)[0])
    return {finding.code: finding for finding in flooding_findings(layout, cases)}, cases


@pytest.mark.closed_form
def test_a_lid_under_the_flooded_water_is_told_with_its_uplift_and_a_height_that_would_do():
    """150 mm over the still water, under the flooded one: by how much, with what push, and what height would clear it."""
    spaces, panels = _lidded(0.65)
    found, cases = _flooded(spaces, panels)
    lid = found["lid-under-flooded-water"]
    level = cases[0].lids[0]
    assert f"{-1000 * level.clear_of_water:.0f} mm under the water" in in_words(lid)
    assert "with under holed" in in_words(lid)
    assert "kgf. Its fastenings must hold that." in in_words(lid)
    assert f"Raise it to {ceil(1000 * level.lowest_safe_height - 1e-3)} mm" in in_words(lid)


@pytest.mark.example
def test_a_lid_is_judged_for_the_emptiest_space_under_it_whatever_its_use_is_called():
    """A space called stowage, 0.60, leaves its lid dry; called a void it goes under: the worse is told, the other beside it."""
    spaces, panels = _lidded(0.79)
    empty = (replace(spaces[0], permeability=0.95), spaces[1])
    void = _flooded(empty, panels)[0]["lid-under-flooded-water"]
    stores = (replace(spaces[0], use="stowage", permeability=0.60), spaces[1])
    found, cases = _flooded(stores, panels)
    told = found["lid-under-flooded-water"]
    assert cases[0].lids[0].clear_of_water > 0.05
    assert told.measured == void.measured
    assert told.measured < 0
    over = f"{1000 * cases[0].lids[0].clear_of_water:.0f} mm over"
    assert f"That is with her spaces empty but for what is placed there; as stated it stands {over}." in in_words(told)
    assert "empty" not in in_words(void)


@pytest.mark.example
def test_a_space_that_sinks_her_only_when_empty_is_told_as_such():
    """A hold called stowage she floats with by the table's 0.60, and founders without the stores."""
    hold = room("hold", (0.2, -1.2, 0), (7.8, 1.2, 1.6), 0.60, use="stowage")
    found, cases = _flooded((hold,))
    assert [state.verdict for state in cases[0].states] == ["floats", "founders"]
    assert "With hold (when empty) holed she founders" in in_words(found["flooded-founders"])


@pytest.mark.example
def test_spaces_by_themselves_tell_all_that_pairs_do():
    """What is found is found of single spaces: a report need not work out the pairs."""
    boat = demo("marram-forepeak")
    by_pairs = flooding_findings(boat.layout, flooding_cases(boat.layout, boat.water, boat.floating))
    assert {each.code: each.measured for each in _of_singles(boat)} == {each.code: each.measured for each in by_pairs}


@pytest.mark.example
def test_a_lid_that_is_built_is_not_told_to_be_raised():
    """A lid that is in the boat already stays at its height, and the space under it is tight: it is to be held down."""
    spaces, panels = _lidded(0.65)
    built = tuple(replace(shape, panel=replace(shape.panel, built="already")) for shape in panels)
    message = in_words(_flooded(spaces, built)[0]["lid-under-flooded-water"])
    assert "It is built: hold it down." in message
    assert "Raise" not in message


@pytest.mark.example
def test_a_height_at_which_a_lid_would_cut_across_a_doorway_is_not_advised():
    """In the demo boat the height that keeps the lid clear lies above the doorway's sill: it would join what it parts."""
    boat = demo("marram-forepeak")
    told = next(each for each in _of_singles(boat) if each.code == "lid-under-flooded-water")
    assert "it would cut across doorway: make it tight and hold it down." in in_words(told)
    assert "Raise" not in in_words(told)
    shut = replace(boat.layout, flow_paths=tuple(path for path in boat.layout.flow_paths if path.name != "doorway"))
    cases = single_cases(boat.layout, boat.water, boat.floating)
    free = next(each for each in flooding_findings(shut, cases) if each.code == "lid-under-flooded-water")
    assert "Raise it to 1127 mm, and vee berth with it, for 50 mm to spare, or make it tight" in in_words(free)


@pytest.mark.closed_form
def test_a_lid_well_clear_of_the_flooded_water_is_not_mentioned():
    """A lid half a metre above any flooded water: only what is not known is said."""
    spaces, panels = _lidded(1.5)
    assert set(_flooded(spaces, panels)[0]) == {"flooding-in-calm-water"}


@pytest.mark.closed_form
def test_bad_ends_are_told_with_the_space_and_the_opening():
    """The sea through a named hatch when the bow dips."""
    rooms = (room("fore", (0, -1.2, 0), (1.2, 1.2, 1.6)), room("next", (1.2, -1.2, 0), (2.0, 1.2, 1.6)))
    hatch = hole(("next", OUTSIDE), (1.4, 0, 0.7), name="fore hatch", through="deck")
    assert "the sea comes in through fore hatch" in in_words(_flooded(rooms, paths=(hatch,))[0]["flooded-downfloods"])


@pytest.mark.example
def test_a_bad_end_of_several_spaces_is_about_the_first_and_names_them_all():
    """Two large holds, each enough to sink her: programs find one space by its name, people read both."""
    holds = (room("fore hold", (0.1, -1.2, 0), (3.9, 1.2, 1.6)), room("after hold", (4.0, -1.2, 0), (7.9, 1.2, 1.6)))
    lost = _flooded(holds)[0]["flooded-founders"]
    assert lost.object == "fore hold"
    assert "With fore hold or after hold holed she founders" in in_words(lost)


@pytest.mark.example
def test_foundering_and_the_lift_of_her_parts_are_reconciled_where_both_are_told():
    """157 kg of lift swamped, and she founders with the saloon holed: one sentence says how both can be."""
    boat = demo("quillet-filled")
    founders = next(each for each in _of_singles(boat) if each.code == "founders-by-main-space")
    balance = next(each for each in boat.findings if each.code == "swamped-balance")
    assert "Swamped, her listed parts lift 157 kg more than they weigh: some of her may stay at the surface" in in_words(founders)
    assert "with a space holed she may founder all the same" in in_words(balance)
    bare = next(each for each in _of_singles(demo("quillet-forepeak")) if each.code == "founders-by-main-space")
    assert "Swamped" not in in_words(bare)


@pytest.mark.example
def test_a_hole_with_no_answer_is_told_with_the_lid_that_its_water_comes_to():
    """The measured forward part alone, the saloon running on past it: not known, and the lid on the void open to it is named."""
    boat = demo("ternholm-forepeak")
    found = {each.code: each for each in _of_singles(boat)}
    told = found["flooding-no-answer"]
    assert told.severity == "warn"
    assert in_words(told) == (
        "What happens with tank space or saloon holed is not known: saloon runs on past the measured end of the hull. Take tank "
        "top to be under water then."
    )
    dry = demo("marram-forepeak")
    assert "flooding-no-answer" not in {each.code for each in _of_singles(dry)}


@pytest.mark.closed_form
def test_to_founder_by_the_main_space_is_said_as_what_it_is():
    """One space of 7.6 m in a hull of 8 m, 95 % of her: nearly no boat floats so, and it is a note and no warning."""
    found = _flooded((room("hold", (0.2, -1.2, 0), (7.8, 1.2, 1.6)),))[0]
    assert "flooded-founders" not in found
    assert found["founders-by-main-space"].severity == "note"
    assert "With hold holed she does not stay afloat, as nearly no small boat" in in_words(found["founders-by-main-space"])


@pytest.mark.closed_form
def test_what_is_not_known_is_said_once_and_only_where_there_are_cases():
    """One note for all cases; no cases, no note."""
    scene = scene_of(FORM, 0.5, kg=0.6)
    layout = layout_of(scene, FORM, ROOMS)
    assert flooding_findings(layout, ()) == ()
    assert list(_flooded(ROOMS[:1])[0]) == ["flooding-in-calm-water"]


@pytest.mark.example
def test_spaces_that_run_out_of_an_open_end_say_why_they_have_no_figures():
    """The cabin runs on past the last station: a note about it, with where the measuring ended."""
    spaces = (ROOMS[0], replace(ROOMS[1], bounded=False))
    found = _said(spaces=spaces, form=box_boat(8, 2.4, 1.6, open_aft=True))
    assert found["space-runs-on"].object == "cabin"
    assert "hull ends at 8000 mm, and cabin runs on past it" in in_words(found["space-runs-on"])
    assert "space-runs-on" not in _said()


@pytest.mark.example
def test_a_boat_without_any_way_outside_says_why_none_has_a_height():
    """No hatch entered at all: a note that asks for them; with one there is none."""
    assert "how high the lowest stands above the water is not known" in in_words(_said(paths=())["no-way-outside"])
    assert "no-way-outside" not in _said(paths=HATCHES[1:])
