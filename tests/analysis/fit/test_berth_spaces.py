"""What a berth's space gives: a way out, air, height to sit up; by hand in the box boat, whoever is named for it or nobody."""

import json
from dataclasses import replace

import pytest
from scene_specimens import demo_scene
from specimens import PANELS, box_form, codes, filled, layout_scene

from sketcher.analysis.evaluate import evaluate, judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.fit.berth_spaces import AIR_EACH, with_berth_spaces
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.contents import Person
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Berth, Lid, Opening
from sketcher.outputs.tables.json_figures import as_json
from sketcher.outputs.tables.report import fit_in_words, who_fits
from sketcher.outputs.wording.sentences import message as in_words

BUNK = Berth(name="bunk", height=0.3, start="collision", end="main", cushion=0.1, span=(-0.4, 0.2))
HATCH = Opening(name="hatch", through="deck", at=(2.0, 0.0), size=(0.5, 0.5), cover="loose")
SMALL = Opening(name="small hatch", through="deck", at=(2.0, 0.0), size=(0.3, 0.3), cover="loose")
DOORWAY = Opening(name="doorway", through="main", at=(0.0, 0.5), size=(0.6, 0.9), cover="none")
COMPANIONWAY = Opening(name="companionway", through="deck", at=(3.5, 0.0), size=(0.6, 0.6), cover="loose")


def slept_in(*openings: Opening, berth: Berth = BUNK, **blocks: object) -> Evaluation:
    return filled(**({"lids": (), "compartments": (), "openings": openings, "berths": (berth,)} | blocks))


def said(boat: Evaluation, code: str) -> Finding:
    return next(finding for finding in boat.findings if finding.code == code)


@pytest.mark.published
@pytest.mark.parametrize(
    ("size", "diameter", "lacks"),
    [((0.5, 0.5), None, False), ((0.4, 0.44), None, True), (None, 0.45, False), (None, 0.44, True), ((0.4, 0.46), None, False)],
)
@pytest.mark.parametrize("people", [(), (Person(name="Ada", berth="bunk", stature=1.8),)], ids=["nobody named", "Ada"])
def test_way_out_by_the_published_size(
    size: tuple[float, float] | None, diameter: float | None, lacks: bool, people: tuple[Person, ...]
) -> None:
    """450 mm round, or 380 mm least side and 0.18 m2 (ISO 9094, from memory): less over a berth is said, whoever lies in it."""
    hatch = Opening(name="hatch", through="deck", at=(2.0, 0.0), size=size, diameter=diameter, cover="loose")
    assert codes(slept_in(hatch, people=people)).count("berth-way-out") == int(lacks)


@pytest.mark.example
def test_a_way_out_through_another_space_is_one_way_and_none_is_a_warning() -> None:
    """By a doorway into the saloon and its companionway: a note that names both. With the companionway gone: a warning."""
    through = said(slept_in(SMALL, DOORWAY, COMPANIONWAY), "berth-way-out")
    assert through.severity == "note"
    assert "The way out is by doorway and companionway" in in_words(through)
    assert "its largest, small hatch, is 300 mm x 300 mm" in in_words(through)
    shut = said(slept_in(SMALL, DOORWAY), "berth-way-out")
    assert shut.severity == "warn"
    assert "Nor does any other way out" in in_words(shut)


@pytest.mark.example
@pytest.mark.parametrize(("diameter", "lacks"), [(0.50, False), (0.40, True), (None, True)])
def test_a_twin_hull_is_also_left_upside_down(diameter: float | None, lacks: bool) -> None:
    """Under the deck's hatches is water then: only an opening through the hull as large as a person counts, deck hatch or not."""
    side = Opening(name="escape hatch", through="hull", at=(2.0, 1.0, 0.5), diameter=diameter, cover="tight")
    form = box_form()
    form = replace(form, hull=replace(form.hull, twin_spacing=4.0))
    openings = (HATCH,) if diameter is None else (HATCH, side)
    scene = layout_scene(form, **(PANELS | {"lids": (), "compartments": (), "berths": (BUNK,), "openings": openings}))
    boat = with_berth_spaces(judged(lay_out(scene, form)))
    assert ("berth-way-out-upside-down" in codes(boat)) is lacks
    assert "berth-way-out" not in codes(boat)
    assert "berth-way-out-upside-down" not in codes(slept_in(HATCH))


@pytest.mark.closed_form
def test_air_is_what_opens_to_the_outside_here_and_through_what_is_never_shut() -> None:
    """A 300 mm hatch is 0.09 m2, tight when shut or not; a doorway without a door adds the companionway's 0.36 m2, one with a
    door does not; a seacock is none."""
    seacock = Opening(name="seacock", through="hull", at=(2.0, 0.0, 0.0), diameter=0.3, cover="loose")
    for openings, area in (
        ((SMALL,), 0.09),
        ((SMALL, DOORWAY, COMPANIONWAY), 0.45),
        ((SMALL, replace(DOORWAY, cover="loose"), COMPANIONWAY), 0.09),
        ((replace(SMALL, cover="tight"),), 0.09),
        ((replace(DOORWAY, cover="loose"), COMPANIONWAY, seacock), 0.0),
    ):
        boat = slept_in(*openings)
        assert boat.berths[0].air == pytest.approx(area, abs=1e-9)
        assert ("berth-air" in codes(boat)) is (area == 0.0)


@pytest.mark.closed_form
@pytest.mark.parametrize(("people", "lacks"), [(1, False), (2, True)])
def test_each_sleeper_has_a_ventilator(people: int, lacks: bool) -> None:
    """One 101 mm across is enough for one and not for two (100 mm for each, from memory)."""
    vent = Opening(name="vent", through="deck", at=(2.0, 0.0), diameter=0.101, cover="none")
    boat = slept_in(vent, berth=replace(BUNK, people=people))
    assert ("berth-air" in codes(boat)) is lacks
    if lacks:
        assert said(boat, "berth-air").limit == pytest.approx(2 * AIR_EACH)
        assert "for each of 2" in in_words(said(boat, "berth-air"))


@pytest.mark.closed_form
def test_height_to_sit_is_the_greatest_over_a_whole_seat() -> None:
    """600 mm from cushion to deck; a shelf 200 mm lower over all but 700 mm of the berth leaves a seat, over all but 350 none."""
    boat = slept_in(HATCH)
    assert boat.berths[0].sitting_headroom == pytest.approx(0.6, abs=1e-6)
    low = said(boat, "berth-low-to-sit")
    assert (low.measured, low.limit) == pytest.approx((0.6, 0.95), abs=1e-6)
    for clear, height in ((0.70, 0.6), (0.35, 0.38)):
        shelf = Lid(name="shelf", height=0.8, start=1.02 + clear, end="main", thickness=0.02)
        assert slept_in(HATCH, lids=(shelf,)).berths[0].sitting_headroom == pytest.approx(height, abs=1e-6)


@pytest.mark.closed_form
def test_where_nobody_can_sit_the_height_is_not_known() -> None:
    """On a ledge 300 mm wide no seat of 400 mm lies; the report and JSON say so, and give the height where there is one."""
    narrow = slept_in(HATCH, berth=replace(BUNK, span=(-0.2, 0.1)))
    assert narrow.berths[0].sitting_headroom is None
    assert "berth-low-to-sit" not in codes(narrow)
    boat = slept_in(HATCH)
    assert json.loads(as_json(boat))["berths"][0]["sitting_headroom_m"] == pytest.approx(0.6)
    assert json.loads(as_json(boat))["berths"][0]["air_m2"] == pytest.approx(0.25)
    assert who_fits(boat, "mm")[1].split()[5] == "600"


@pytest.mark.example
def test_a_berth_is_judged_where_nobody_and_no_stature_is_stated() -> None:
    """A demo boat's berth of which only its place is stated: one way out, by two openings, and 780 mm to sit."""
    scene = read_scene(demo_scene("quillet-forepeak"))
    (berth,) = scene.berths
    boat = evaluate(replace(scene, berths=(replace(berth, stature=None),)))
    assert said(boat, "berth-way-out").values["by"] == ("way through", "companionway")
    assert boat.berths[0].sitting_headroom == pytest.approx(0.78, abs=0.01)


@pytest.mark.closed_form
@pytest.mark.parametrize(("start", "aside"), [(1.5, True), (1.0, False)])
def test_one_who_fits_only_aslant_is_told_so(start: float, aside: bool) -> None:
    """In a box 2 m wide one of 1.8 m lies across a berth 1.5 m long, and fore and aft on one of 2 m: the words say which."""
    berth = Berth(name="bunk", height=0.3, start=start, end="main", cushion=0.1)
    boat = slept_in(HATCH, berth=berth, people=(Person(name="Ada", berth="bunk", stature=1.8),))
    words = "fits Ada, but not fore and aft" if aside else "fits Ada"
    assert boat.berths[0].fits is True
    assert fit_in_words(boat.berths[0], "mm") == words
