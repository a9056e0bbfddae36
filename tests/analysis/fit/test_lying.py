from dataclasses import replace

import numpy as np
import pytest
from scene_specimens import demo_scene
from shapely.geometry import Polygon, box
from specimens import PANELS, box_form, codes, contents_of, filled

from sketcher.analysis.evaluate import evaluate, judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.lying import FEET, SHOULDERS, LyingPlace
from sketcher.analysis.fit.lying_findings import stated_followed
from sketcher.analysis.mending import edits_for
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.contents import Person
from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Berth, Bulkhead, Lid, Partition
from sketcher.outputs.tables.report import report
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words

BUNK = Berth(name="bunk", height=0.3, start="collision", end="main", cushion=0.1, span=(-0.4, 0.2))
WIDE = Berth(name="bunk", height=0.3, start="collision", end="main", cushion=0.1)
BARE = {"lids": (), "openings": (), "compartments": ()}


def person(name: str = "Ada", **changes: object) -> Person:
    return Person(**{"name": name, "berth": "bunk", "stature": 1.80} | changes)  # type: ignore[arg-type]


def place_of(berth: Berth, *people: Person, **blocks: object) -> LyingPlace:
    (place,) = contents_of(**(BARE | {"berths": (berth,), "people": people} | blocks)).lying
    return place


@pytest.mark.closed_form
def test_bunk_between_two_bulkheads() -> None:
    """On a bunk 600 mm wide between faces 1 980 mm apart a person with usual widths lies 1 980 mm long."""
    place = place_of(BUNK, person())
    assert place.length == pytest.approx(1.98, abs=1e-5)
    assert place.needed == pytest.approx(1.90)
    assert place.fits is True
    assert (place.shoulders, place.feet) == (SHOULDERS, FEET)


@pytest.mark.closed_form
def test_heights_to_the_deck_and_areas() -> None:
    """Over a cushion at 400 mm in a box 1 m deep every height is 600 mm; boards and cushion are 1.98 x 0.60 m."""
    place = place_of(BUNK, person())
    (sleeper,) = place.sleepers
    assert (sleeper.over_head, sleeper.over_knees, sleeper.over_seat) == pytest.approx((0.6, 0.6, 0.6), abs=1e-6)
    assert place.cushion == pytest.approx(1.98 * 0.6, abs=1e-6)
    assert place.boards == pytest.approx(1.98 * 0.6, abs=1e-6)
    assert Polygon(place.cushion_outline).bounds == pytest.approx((1.02, -0.4, 3.0, 0.2), abs=1e-6)
    assert Polygon(place.boards_outline).bounds == pytest.approx((1.02, -0.4, 3.0, 0.2), abs=1e-6)


@pytest.mark.closed_form
def test_the_seat_between_plumb_sides_is_as_high_as_the_deck() -> None:
    """On a bunk as wide as the square to sit on, between two plumb partitions, the height to sit up is the deck's, 600 mm."""
    webs = [Partition(name=f"web {y}", off_centre=(y, y), start="collision", end="main", thickness=0.02) for y in (-0.21, 0.21)]
    between = replace(BUNK, span=tuple(web.name for web in webs))  # type: ignore[arg-type]
    place = place_of(between, person(shoulders=0.4, feet=0.3), partitions=tuple(webs))
    (sleeper,) = place.sleepers
    assert (sleeper.over_head, sleeper.over_knees, sleeper.over_seat) == pytest.approx((0.6, 0.6, 0.6), abs=1e-6)


@pytest.mark.closed_form
def test_too_long_a_person_is_short_by_the_difference_and_a_bulkhead_mends_it() -> None:
    """2 000 mm of person and 100 mm of room are 120 mm more than 1 980: the planned bulkhead goes 120 mm forward."""
    tall = filled(**(BARE | {"berths": (BUNK,), "people": (person(stature=2.0),)}))
    assert tall.contents is not None
    (place,) = tall.contents.lying
    assert place.fits is False
    assert place.short_by == pytest.approx(0.120, abs=1e-5)
    (move,) = place.mends
    assert (move.code, move.values["panel"], move.values["direction"]) == ("panel-moved", "collision", "forward")
    assert move.values["distance"].metres == pytest.approx(0.120)  # type: ignore[union-attr]
    assert words(move) == "collision 120 mm forward"
    finding = next(f for f in tall.findings if f.code == "person-does-not-fit")
    assert "120 mm short of the 2100 mm that Ada needs (stature and 100 mm of room). Move collision 120 mm forward." in in_words(
        finding
    )


@pytest.mark.closed_form
def test_person_wider_than_the_berth() -> None:
    """Shoulders of 620 mm have no place on a bunk 600 mm wide; that is said, with what would help."""
    wide = filled(**(BARE | {"berths": (BUNK,), "people": (person(shoulders=0.62, feet=0.61),)}))
    assert wide.contents is not None
    (place,) = wide.contents.lying
    assert (place.length, place.fits, place.sleepers) == (None, False, ())
    assert "person-too-wide" in codes(wide)


@pytest.mark.closed_form
def test_two_lie_beside_each_other() -> None:
    """Two on a berth twice as wide as shoulders each have its whole length, and do not touch."""
    place = place_of(replace(WIDE, span=(-0.533, 0.533)), person(), person("Ben", stature=1.75))
    assert place.people == ("Ada", "Ben")
    assert place.length == pytest.approx(1.98, abs=1e-4)
    assert place.needed == pytest.approx(1.90)
    assert len(place.sleepers) == 2


@pytest.mark.closed_form
@pytest.mark.slow
def test_each_of_two_is_judged_by_their_own_stature() -> None:
    """On 1 980 mm Ada, 1 950 tall, is 70 short of the 2 050 she needs, and Ben, who needs 1 780, fits; so it is said."""
    berth = replace(WIDE, span=(-0.533, 0.533))
    boat = filled(**(BARE | {"berths": (berth,), "people": (person(stature=1.95), person("Ben", stature=1.68))}))
    assert boat.contents is not None
    ada, ben = boat.contents.lying[0].each
    assert (ada.name, ada.fits, ben.name, ben.fits, ben.short_by) == ("Ada", False, "Ben", True, 0.0)
    assert (ada.needed, ben.needed) == pytest.approx((2.05, 1.78))
    assert ada.short_by == pytest.approx(0.07, abs=1e-4)
    (finding,) = [found for found in boat.findings if found.code == "person-does-not-fit"]
    assert "short of the 2050 mm that Ada needs" in in_words(finding)
    assert "Ben needs 1780 mm and fits" in in_words(finding)


@pytest.mark.closed_form
def test_a_third_is_told_to_find_another_berth() -> None:
    """Of three in one berth two are placed, and the finding names all."""
    crowd = filled(**(BARE | {"berths": (WIDE,), "people": (person(), person("Ben"), person("Cid"))}))
    finding = next(f for f in crowd.findings if f.code == "berth-more-than-two")
    assert "Ada, Ben and Cid" in in_words(finding)


@pytest.mark.closed_form
def test_a_partition_in_the_berth_is_lain_beside() -> None:
    """A post in the berth's middle (a short bulkhead of 100 mm) moves the sleeper aside, still at full length."""
    post = Bulkhead(name="post", at=2.0, thickness=0.1, span=(-0.05, 0.05))
    place = place_of(WIDE, person(), bulkheads=(*PANELS["bulkheads"], post))  # type: ignore[misc]
    assert place.length is not None
    assert place.length >= 1.98 - 1e-5
    (sleeper,) = place.sleepers
    assert Polygon(sleeper.outline).intersection(box(2.0, -0.05, 2.1, 0.05)).area < 1e-9


@pytest.mark.closed_form
def test_low_over_the_seat_is_noted_with_how_much() -> None:
    """A cushion 600 mm under the deck is 250 mm short of the published 850 mm over a place to sit."""
    low = filled(**(BARE | {"berths": (BUNK,), "people": (person(),)}))
    finding = next(f for f in low.findings if f.code == "berth-low-over-seat")
    assert finding.measured == pytest.approx(0.6, abs=1e-6)
    assert "Lay it 250 mm lower" in in_words(finding)


@pytest.mark.closed_form
def test_berth_that_is_not_there() -> None:
    """A person in a berth that the scene does not have is an error at that person."""
    with pytest.raises(SketchError, match="there is no berth `hammock`") as problem:
        filled(people=(person(berth="hammock"),))
    assert problem.value.key == "people.Ada.berth"


@pytest.mark.example
def test_moving_a_bulkhead_away_never_shortens_anybody() -> None:
    """The further forward the collision bulkhead, the longer the berth: each 50 mm adds 50 mm."""
    lengths = []
    for at in np.arange(0.8, 1.01, 0.05):
        moved = (Bulkhead(name="collision", at=float(at), thickness=0.02), PANELS["bulkheads"][1])  # type: ignore[index]
        lengths.append(place_of(BUNK, person(), bulkheads=moved).length)
    assert np.diff(lengths) == pytest.approx(np.full(len(lengths) - 1, -0.05), abs=1e-4)


def head_aft(place: LyingPlace) -> bool:
    outline = place.sleepers[0].outline
    return bool(outline[:2, 0].mean() > outline[2:, 0].mean())


def quillet(collision: float, *statures: float) -> Evaluation:
    """The small demo boat's vee berth, which widens aft, with one person or two in it."""
    scene = read_scene(demo_scene("quillet-filled"))
    (first, main) = scene.bulkheads
    people = tuple(Person(name=name, berth="vee berth", stature=s) for name, s in zip(("Ada", "Ben"), statures, strict=False))
    changes: dict[str, object] = dict.fromkeys(("stowage", "bottles", "parts"), ())
    return evaluate(replace(scene, people=people, bulkheads=(replace(first, at=collision), main), **changes))  # type: ignore[arg-type]


@pytest.mark.example
def test_the_wide_end_is_for_the_shoulders_wherever_that_is_long_enough() -> None:
    """In a vee the head lies aft, in the wide end, also where one lies askew because straight is too short."""
    for collision, stature in ((0.70, 1.86), (0.78, 1.86)):
        boat = quillet(collision, stature)
        assert boat.contents is not None
        (place,) = boat.contents.lying
        assert place.fits
        assert head_aft(place)
        assert "berth-head-narrow" not in codes(boat)


@pytest.mark.example
def test_one_who_fits_only_with_the_head_in_the_narrow_end_is_told_so() -> None:
    """Where only the narrow end at the head gives the length, the drawing shows it and a note says what is short otherwise."""
    boat = quillet(0.80, 1.86)
    assert boat.contents is not None
    (place,) = boat.contents.lying
    assert place.fits
    assert not head_aft(place)
    note = next(finding for finding in boat.findings if finding.code == "berth-head-narrow")
    assert note.measured is not None
    assert note.measured < place.needed <= (place.length or 0.0)
    assert "only with the head forward, in its narrow end" in in_words(note)


@pytest.mark.closed_form
def test_the_people_named_decide_and_the_berths_own_stature_does_not() -> None:
    """1 980 mm of bunk: its own stature of 2 000 mm would be 120 mm short, but Ada, 1 800 mm, is named for it and fits."""
    boat = filled(**(BARE | {"berths": (replace(BUNK, stature=2.0),), "people": (person(),)}))
    (room,) = boat.berths
    assert (room.fits, room.short_by, room.who) == (True, 0.0, ("Ada",))
    assert room.stature == pytest.approx(1.80)
    assert not {"berth-short", "person-does-not-fit"} & set(codes(boat))
    assert "its own stature of 2000 mm does not count" in report(boat)


@pytest.mark.closed_form
def test_a_berth_is_judged_by_its_own_stature_as_by_a_person_named() -> None:
    """In a bed 700 mm wide whose head end stands askew by 25 degrees nobody lies as long as its longest line; nor does Ada.

    On a run of 2 061 mm both are short by the same, and the berth's own finding says that its clear length is a line.
    """
    main = replace(PANELS["bulkheads"][1], angle=25.0)  # type: ignore[index]
    bed = replace(WIDE, span=(-0.35, 0.35), stature=2.061 - 0.1)
    panels = {"bulkheads": (replace(PANELS["bulkheads"][0], at=2.98 + 0.35 * np.tan(np.radians(25.0)) - 2.061), main)}  # type: ignore[index]
    stated = filled(**(BARE | panels | {"berths": (bed,)}))
    named = filled(**(BARE | panels | {"berths": (bed,), "people": (person(stature=2.061 - 0.1),)}))
    (own,), (ada,) = stated.berths, named.berths
    assert own.length == pytest.approx(ada.length)
    assert (own.fits, own.who, ada.fits) == (False, (), False)
    assert own.short_by == pytest.approx(ada.short_by, abs=1e-6)
    assert own.short_by is not None
    assert own.short_by > 0.1
    (finding,) = [found for found in stated.findings if found.code == "berth-short"]
    assert "is a line: shoulders of 533 mm" in in_words(finding)
    assert "the clear length is its longest straight line" in report(stated)


@pytest.mark.closed_form
@pytest.mark.parametrize(("width", "people", "fits"), [(0.4, 1, False), (0.4, 2, False), (0.54, 1, True), (1.07, 2, True)])
def test_a_berth_for_two_is_as_wide_as_two(width: float, people: int, fits: bool) -> None:
    """Long enough for anybody: 400 mm hold nobody's 533 mm of shoulders, 540 one person, 1 070 two side by side."""
    bunk = replace(WIDE, span=(-width / 2, width / 2), people=people, stature=1.80)
    boat = filled(**(BARE | {"berths": (bunk,)}))
    (room,) = boat.berths
    assert room.fits is fits
    assert room.stature == 1.80
    assert ("berth-too-narrow" in codes(boat)) is not fits


@pytest.mark.closed_form
def test_a_short_berth_says_what_to_move_and_how_far() -> None:
    """A person of 1 900 mm wants 2 000 mm (common practice): 20 mm are missing, and the planned panel can give them."""
    boat = filled(**(BARE | {"berths": (replace(BUNK, stature=1.9),)}))
    (room,) = boat.berths
    assert (room.fits, room.short_by) == (False, pytest.approx(0.02, abs=1e-5))
    (finding,) = [found for found in boat.findings if found.code == "berth-short"]
    assert "a person lies 1980 mm long at the most, 20 mm short" in in_words(finding)
    assert "Move collision 20 mm forward." in in_words(finding)
    assert "Its clear length" not in in_words(finding)


@pytest.mark.example
def test_while_a_bulkhead_moves_the_stated_people_are_followed() -> None:
    """The bunk of 1 980 mm shortens by 50 mm: one who needs 1 900 has room still; by 100 mm, and lacks 20."""
    boat = filled(**(BARE | {"berths": (replace(BUNK, stature=1.8),)}))
    form = box_form()
    for by, short in ((0.05, 0.0), (0.1, 0.02)):
        moved = tuple(replace(one, at=one.at + by) if one.name == "collision" else one for one in PANELS["bulkheads"])  # type: ignore[attr-defined]
        now = judged(lay_out(replace(boat.scene, bulkheads=moved), form))
        (room,) = stated_followed(now, boat.lying_as_stated).berths
        assert (room.fits, room.short_by) == (short == 0.0, pytest.approx(short, abs=1e-5))


@pytest.mark.example
def test_a_berth_for_three_is_judged_for_two_and_says_so() -> None:
    """Whatever its width."""
    boat = filled(**(BARE | {"berths": (replace(WIDE, people=3, stature=1.8),)}))
    (finding,) = [found for found in boat.findings if found.code == "berth-judged-for-two"]
    assert "is for 3" in in_words(finding)


@pytest.mark.example
@pytest.mark.slow
def test_of_two_the_one_who_lacks_room_is_named_at_the_berth() -> None:
    """Beside Ada of 1 700 mm Ben of 2 300 mm has no room: the berth is short for Ben by what he lacks, in one finding only."""
    wide = replace(WIDE, span=(-0.533, 0.533), stature=1.70)
    boat = filled(**(BARE | {"berths": (wide,), "people": (person("Ada", stature=1.70), person("Ben", stature=2.30))}))
    assert boat.contents is not None
    (room,), (place,) = boat.berths, boat.contents.lying
    assert (room.fits, room.who, room.stature) == (False, ("Ben",), pytest.approx(2.30))
    assert room.short_by == place.short_by
    assert [code for code in codes(boat) if code in ("berth-short", "person-does-not-fit")] == ["person-does-not-fit"]
    assert f"short by {1000 * (place.short_by or 0.0):.0f} mm for Ben" in report(boat)


@pytest.mark.example
@pytest.mark.slow
def test_a_shorter_mate_leaves_a_tall_one_room_in_the_vee() -> None:
    """Two of 1 860 mm are short in the small boat's vee berth; one of 1 860 beside one of 1 640 mm fits, each drawn as long as
    they need, inside and clear of each other; and it is the same whoever is named first."""
    (alike,) = quillet(0.70, 1.86, 1.86).contents.lying  # type: ignore[union-attr]
    assert alike.fits is False
    for statures in ((1.86, 1.64), (1.64, 1.86)):
        boat = quillet(0.70, *statures)
        assert boat.contents is not None
        (place,) = boat.contents.lying
        assert place.fits is True
        assert "person-does-not-fit" not in codes(boat)
        assert all(one.length is not None and one.length >= one.needed for one in place.each)
        assert place.needed == pytest.approx(1.96)
        first, second = (Polygon(sleeper.outline) for sleeper in place.sleepers)
        assert first.intersection(second).area < 1e-6
        assert all(Polygon(place.cushion_outline).buffer(2e-6).covers(figure) for figure in (first, second))


@pytest.mark.example
@pytest.mark.slow
def test_a_move_that_is_advised_for_two_unlike_is_enough() -> None:
    """Where the taller of two lacks room, the planned bulkhead moved as far as is said gives both what they need."""
    boat = quillet(0.80, 1.86, 1.64)
    assert boat.contents is not None
    (place,) = boat.contents.lying
    assert place.fits is False
    assert place.short_by is not None
    moves = [move.values for move in place.mends]
    (by,) = [move["distance"].metres for move in moves if (move["panel"], move["direction"]) == ("collision", "forward")]  # type: ignore[union-attr]
    assert place.short_by <= by < place.short_by + 0.010
    assert quillet(0.80 - by, 1.86, 1.64).contents.lying[0].fits is True  # type: ignore[union-attr]


def low_seat(boat: Evaluation) -> str:
    return next(in_words(f) for f in boat.findings if f.code == "berth-low-over-seat")


@pytest.mark.closed_form
def test_lowering_is_advised_where_the_berth_can_go_lower() -> None:
    """600 mm over the seat in a box are 250 mm short of 850 mm; the boards at 300 mm can go down by that. On a built lid not."""
    assert "Lay it 250 mm lower" in low_seat(filled(**(BARE | {"berths": (BUNK,), "people": (person(),)})))
    lid = Lid(name="sole", height=0.3, start="collision", end="main", thickness=0.01, built="already")
    on_lid = Berth(name="bunk", lies_on="sole", start="collision", end="main", cushion=0.1)
    message = low_seat(filled(**(BARE | {"lids": (lid,), "berths": (on_lid,), "people": (person(),)})))
    assert "The lid it lies on, sole, is built" in message


@pytest.mark.example
def test_lowering_into_the_narrow_bottom_is_not_advised() -> None:
    """In a vee bottom the berth laid lower is too short for who lies in it: that is said in place of the advice."""
    message = low_seat(quillet(0.70, 1.86))
    assert "lower, where the hull is narrower" in message
    assert "Lay it" not in message


@pytest.mark.example
@pytest.mark.slow
def test_a_greater_height_that_is_advised_is_long_enough() -> None:
    """With both bulkheads built the vee berth mends by height alone: laid as much higher as is said, she fits."""
    boat = quillet(0.84, 1.95)
    built = replace(boat.scene, bulkheads=tuple(replace(one, built="already") for one in boat.scene.bulkheads))
    finding = next(f for f in evaluate(built).findings if f.code == "person-does-not-fit")
    assert "laid" in in_words(finding)
    (edit,) = edits_for(finding, built)
    higher = edit.apply(built)
    assert higher.lids[0].height > built.lids[0].height
    assert "person-does-not-fit" not in codes(evaluate(higher))


@pytest.mark.closed_form
def test_a_bulkhead_without_room_beyond_it_is_not_to_be_moved() -> None:
    """120 mm are missing; with another bulkhead 60 mm before the planned one that is no way to find them, at 140 mm it is."""
    berth = replace(BUNK, stature=2.0)

    def advice(behind: float) -> str:
        boards = (Bulkhead(name="chain", at=1.0 - behind - 0.02, thickness=0.02, built="already"), *PANELS["bulkheads"])  # type: ignore[misc]
        boat = filled(**(BARE | {"bulkheads": boards, "berths": (berth,)}))
        return next(in_words(f) for f in boat.findings if f.code == "berth-short")

    assert "Move collision 120 mm forward" in advice(0.14)
    assert "No planned bulkhead moved by itself mends it" in advice(0.06)
