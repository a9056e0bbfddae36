"""Edits of a hull: each is named, keeps to the file's step, and may leave a hull half-entered."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sketcher.model.edits.history import History
from sketcher.model.edits.hull_edits import (
    AddPoint,
    AddStation,
    HullEdit,
    MarkKnuckle,
    RemovePoint,
    RemoveStation,
    SetHullValue,
    SetPoint,
    SetStationAt,
    with_station,
)
from sketcher.model.edits.hull_parts import AddPart, RemovePart
from sketcher.model.edits.hull_sides import SetSidesApart
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Station
from sketcher.model.measurement_checks import hull_problem

pytestmark = pytest.mark.example

POINTS = ((0.0, 0.1), (0.4, 0.3), (0.6, 1.0))


def guessed(at: float) -> Station:
    return Station(at=at, points=POINTS, knuckles=(2,), guessed=(1, 2, 3))


HULL = Hull(name="Trial", units="mm", stations=tuple(guessed(at) for at in (1.0, 2.0, 3.0, 4.0)))


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (SetStationAt(1, 1.05), "Move station 1 1000 to 1050 mm"),
        (SetPoint(2, 2, 0, 0.38), "Station 2 at 2000 mm, point 2: half-breadth 400 to 380 mm"),
        (SetPoint(2, 3, 1, 1.0), "Station 2 at 2000 mm, point 3: height 1000 mm"),
        (AddPoint(2, 1), "Add a point 2 to Station 2 at 2000 mm"),
        (RemovePoint(2, 1), "Take point 1 of Station 2 at 2000 mm out"),
        (MarkKnuckle(2, 2, False), "Station 2 at 2000 mm, point 2: no knuckle"),
        (AddStation(2.5), "Add a station at 2500 mm"),
        (RemoveStation(2), "Take Station 2 at 2000 mm out"),
        (SetHullValue("deck", "camber", 0.06), "Set deck's camber from 0 to 60 mm"),
        (SetHullValue("transom", "rake", 12.0), "Set transom's rake from 0 to 12°"),
        (SetSidesApart(True), "Measure port and starboard apart"),
        (SetPoint(2, 2, 0, 0.41, port=True), "Station 2 at 2000 mm, point 2 to port: half-breadth 400 to 410 mm"),
        (AddPart("coachroof"), "Add a coachroof"),
        (AddPart("fin keel"), "Add fin keel"),
    ],
    ids=lambda value: type(value).__name__ if not isinstance(value, str) else "",
)
def test_each_edit_is_one_named_step_that_is_taken_back(edit: HullEdit, words: str) -> None:
    """What was done is said with the old value and the new one, and undo gives the very hull back."""
    history: History[Hull] = History(HULL)
    assert history.do(edit) != HULL
    assert history.undo_name == words
    assert history.undo() is HULL


def test_a_point_is_measured_once_its_height_is_typed() -> None:
    """Its half-breadth alone leaves it guessed; a height that was guessed right counts as measured too."""
    half = SetPoint(2, 2, 0, 0.38).apply(HULL)
    assert half.stations[1].guessed == (1, 2, 3)
    assert SetPoint(2, 2, 1, 0.3).apply(half).stations[1].guessed == (1, 3)


def test_marks_stay_with_their_points() -> None:
    """A point put in or taken out moves the knuckles, guesses and errors after it."""
    read = replace(HULL, stations=(replace(HULL.stations[0], points_measured_to=((1, 0.001), (3, 0.002))), *HULL.stations[1:]))
    assert AddPoint(1, 1).apply(read).stations[0].points_measured_to == ((1, 0.001), (4, 0.002))
    assert RemovePoint(1, 1).apply(read).stations[0].points_measured_to == ((2, 0.002),)
    more = AddPoint(1, 1).apply(HULL).stations[0]
    assert (more.points[1], more.knuckles, more.guessed) == ((0.2, 0.2), (3,), (1, 2, 3, 4))
    less = RemovePoint(1, 1).apply(HULL).stations[0]
    assert (less.points, less.knuckles, less.guessed) == (POINTS[1:], (1,), (1, 2))


def test_each_side_keeps_its_numbers_and_both_meet_on_the_centreline() -> None:
    """Measured apart port begins as starboard is; points come and go on both sides; the keel's height is one for both."""
    apart = SetSidesApart(True).apply(HULL)
    assert (apart.apart, apart.stations[1].port) == (True, POINTS)
    wider = SetPoint(2, 3, 0, 0.66, port=True).apply(apart).stations[1]
    assert (wider.points, wider.port) == (POINTS, (*POINTS[:2], (0.66, 1.0)))
    for port in (False, True):
        lower = SetPoint(2, 1, 1, 0.05, port=port).apply(apart).stations[1]
        assert lower.points[0] == lower.port[0] == (0.0, 0.05)
    more = AddPoint(2, 2).apply(with_station(apart, 2, wider)).stations[1]
    assert (more.points[2], more.port[2]) == ((0.5, 0.65), (0.53, 0.65))
    assert RemovePoint(2, 2).apply(with_station(apart, 2, wider)).stations[1].port == (POINTS[0], (0.66, 1.0))
    assert AddStation(2.5).apply(with_station(apart, 2, wider)).stations[2].port[2] == (0.63, 1.0)
    assert SetSidesApart(False).apply(with_station(apart, 2, wider)) == HULL
    uneven = replace(HULL, stations=(replace(HULL.stations[0], port=POINTS[1:]), *HULL.stations[1:]))
    problem = hull_problem(uneven)
    assert problem is not None
    assert (problem.message, problem.key) == ("station 1 at 1000 mm has 3 points and to port 2", "stations.1.port")


def test_guessed_stations_make_way_for_a_measured_one() -> None:
    """The first, measured at 2.2 m, spreads the guessed ones between it and the last; measured ones stay where they are."""
    moved = SetStationAt(1, 2.2).apply(HULL)
    assert [station.at for station in moved.stations] == [2.2, 2.8, 3.4, 4.0]
    measured = replace(HULL, stations=(HULL.stations[0], replace(HULL.stations[1], guessed=()), *HULL.stations[2:]))
    stands = SetStationAt(1, 2.2).apply(measured)
    assert [station.at for station in stands.stations] == [2.2, 2.0, 3.0, 4.0]
    assert hull_problem(stands) is not None


def test_a_station_added_between_two_is_guessed_from_them() -> None:
    """Point by point half way, all of it guessed, in its place in the order."""
    wider = replace(HULL, stations=(*HULL.stations[:2], replace(HULL.stations[2], points=((0.0, 0.1), (0.6, 0.3), (0.8, 1.0)))))
    added = AddStation(2.5).apply(wider).stations[2]
    assert (added.at, added.points[1], added.guessed) == (2.5, (0.5, 0.3), (1, 2, 3))


def test_lengths_keep_to_the_step_of_the_file() -> None:
    """A third of a metre in a file of millimetres is kept to a thousandth of one, as it would be read again."""
    assert SetPoint(1, 2, 0, 1 / 3).apply(HULL).stations[0].points[1][0] == 0.333333


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (SetPoint(9, 1, 0, 0.1), "there is no station 9"),
        (SetPoint(1, 9, 0, 0.1), "there is no point 9 on station 1"),
        (SetPoint(1, 2, 0, -0.1), "-100` is not a half-breadth of 0 or more"),
        (AddStation(2.0), "a station stands there already"),
        (SetHullValue("coachroof", "from", 1.0), "the hull has no coachroof"),
        (SetHullValue("deck", "colour", 1.0), "a hull has no `deck.colour`"),
        (RemovePart("appendages.keel"), "the hull has no keel"),
        (AddPart("hull"), "cannot be a name"),
    ],
)
def test_what_no_file_could_hold_is_refused(edit: HullEdit, words: str) -> None:
    """It is said what is wrong, and the hull stays."""
    with pytest.raises(SketchError, match=words):
        edit.apply(HULL)


def test_a_hull_may_be_left_without_a_surface() -> None:
    """Numbers out of order, a station of one point: that is half-entered, and no edit refuses it."""
    for edit in (SetPoint(2, 2, 1, 0.0), RemovePoint(2, 2)):
        half = edit.apply(RemovePoint(2, 2).apply(HULL))
        assert hull_problem(half) is not None


def test_parts_come_in_round_figures_where_boats_have_them() -> None:
    """Coachroof and cockpit lie within the hull, one behind the other; each goes again."""
    whole = AddPart("cockpit").apply(AddPart("coachroof").apply(AddPart("stem").apply(HULL)))
    assert hull_problem(whole) is None
    assert whole.coachroof is not None
    assert whole.cockpit is not None
    assert whole.coachroof.end < whole.cockpit.start < whole.cockpit.end < 4.0
    bare = RemovePart("cockpit").apply(RemovePart("coachroof").apply(RemovePart("stem").apply(whole)))
    assert bare == HULL
