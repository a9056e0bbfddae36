"""The loftsman's look: mistyped numbers found, named and put right; sound measurements left alone; limits said."""

from __future__ import annotations

from dataclasses import replace
from math import dist

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import hulls
from tape_trials import DEMOS, demo_hull, false_alarms, measured_again, plant, slipped

from sketcher.analysis.survey.findings import check_hull
from sketcher.analysis.survey.misread_digits import likely_reading
from sketcher.analysis.survey.outliers import JUDGED_UP_TO, judge
from sketcher.analysis.survey.prediction import Section
from sketcher.analysis.survey.residuals import residual_system
from sketcher.model.edits.hull_edits import SetPoint
from sketcher.model.edits.hull_sides import SetSidesApart
from sketcher.model.hull import DistanceCheck, Hull, Station
from sketcher.outputs.wording.kinds import in_brief
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words


def _warnings(hull: Hull) -> list[str]:
    return [finding.code for finding in check_hull(hull) if finding.severity != "note"]


def _without_marks(hull: Hull, station: int | None = None) -> Hull:
    stations = [replace(s, knuckles=()) if station in (None, j) else s for j, s in enumerate(hull.stations)]
    return replace(hull, stations=tuple(stations))


def _marks(hull: Hull) -> set[tuple[int, int]]:
    return {(j, k) for j, station in enumerate(hull.stations) for k in station.knuckles}


@pytest.mark.property
@pytest.mark.parametrize("name", DEMOS)
def test_the_demo_hulls_own_measurements_raise_no_warning(name: str) -> None:
    """A hull measured within 5 mm raises nothing but the note of what cannot be judged."""
    assert _warnings(demo_hull(name)) == []


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_none_of_25_sound_sets_of_measurements_raises_anything(name: str) -> None:
    """Fresh errors within 5 mm on every number, on top of the demo's own, raise no false alarm."""
    assert false_alarms(demo_hull(name), range(25)) == 0


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("square", [None, 0.035], ids=["50 mm", "35 mm square to the skin"])
def test_a_slip_is_found_in_95_of_100_trials_and_put_right(square: float | None) -> None:
    """A slip at an interior station, off keel and sheer: found, its point named first, the value proposed near the true one.

    25 trials on each demo hull.
    """
    tallies = [plant(demo_hull(name), range(1000, 1025), square) for name in DEMOS]
    assert sum(tally.found for tally in tallies) >= 95
    assert sum(tally.named_first for tally in tallies) >= 95
    assert all(np.median(tally.proposal_errors) <= 6e-3 for tally in tallies)


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("name", ["quillet-21", "pellwick-30"])
def test_a_slip_of_five_inches_at_one_of_eight_stations_is_named_first(name: str) -> None:
    """A 2 read as a 7 in inches: it roughens all about it, and is named for all that, in 8 of 10 places between the ends."""
    full = demo_hull(name)
    hull = replace(full, stations=tuple(full.stations[round(k * (len(full.stations) - 1) / 7)] for k in range(8)))
    places = [(j, k) for j in range(1, 7) for k in range(1, len(hull.stations[j].points) - 1)]
    first = [judge(slipped(hull, j, k, 0, 0.127)).slips[:1] for j, k in places]
    named = [bool(slips) and (slips[0].station, slips[0].point) == place for slips, place in zip(first, places, strict=True)]
    assert sum(named) >= 0.8 * len(named)


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_a_slip_on_keel_or_sheer_is_found_or_the_number_listed(name: str) -> None:
    """At keel and sheer and where a knuckle ends, a slip of 50 mm is found in 24 of 25 trials or listed as beyond judgement."""
    tally = plant(demo_hull(name), range(1000, 1025), None, edge=True)
    assert tally.found + tally.listed >= 24


@pytest.mark.example
def test_a_slip_on_the_port_side_is_named_there() -> None:
    """A 3 read as an 8 to port, sides measured apart: told once, with its side and place; checks across are not weighed."""
    hull = demo_hull("marram-29")
    check = DistanceCheck(name="diagonal", start=(4.0, 2), end=(4.7, 3), measured=2.0, across=True)
    apart = SetSidesApart(True).apply(replace(hull, checks=(check,)))
    slip = SetPoint(10, 6, 0, 1.381, port=True).apply(apart)
    (finding,) = (f for f in check_hull(slip) if f.severity == "warn")
    assert "Station 4000 mm, point 6 to port [1381, 876] stands" in in_words(finding)
    assert finding.at == (4.0, -1.381, 0.876)
    assert [in_words(f) for f in check_hull(apart) if f.code == "check-across-sides"] == [
        "The check diagonal goes across from one side to the other, and her sides were measured apart: it is not weighed."
    ]
    assert [f for f in check_hull(apart) if f.code != "check-across-sides"] == list(check_hull(hull))


@pytest.mark.example
def test_a_3_read_as_an_8_is_named_with_the_number_meant() -> None:
    """The finding names station and point, both readings of the number, and what to do."""
    hull = demo_hull("marram-29")
    assert hull.stations[9].points[5] == (1.331, 0.876)
    (finding,) = (f for f in check_hull(slipped(hull, 9, 5, 0, 0.050)) if f.severity == "warn")
    assert (finding.code, finding.object) == ("mistyped-number", "station 4000 point 6")
    assert "point 6 [1381, 876] stands" in in_words(finding)
    assert "mm outside, give or take" in in_words(finding)
    assert "half-breadth 1381 is likely 1331 (a 3 read as an 8)" in in_words(finding)
    assert in_words(finding).endswith("Measure it again.")


@pytest.mark.example
def test_two_slips_in_one_table_are_both_found() -> None:
    """One slip does not hide another one four stations away."""
    hull = demo_hull("quillet-21")
    wrong = slipped(slipped(hull, 4, 3, 1, 0.050), 8, 4, 0, -0.050)
    assert {(s.station, s.point) for s in judge(wrong).slips} == {(4, 3), (8, 4)}


@pytest.mark.example
def test_a_misread_distance_of_a_station_is_told_from_a_misread_point() -> None:
    """A station 50 mm too far aft shows in all its points, and its distance is proposed."""
    hull = demo_hull("ternholm-34")
    moved = replace(hull.stations[2], at=hull.stations[2].at + 0.050)
    wrong = replace(hull, stations=(*hull.stations[:2], moved, *hull.stations[3:]))
    (finding,) = (f for f in check_hull(wrong) if f.severity == "warn")
    assert (finding.code, finding.object) == ("station-distance", "station 1050")
    assert finding.measured == pytest.approx(0.050, abs=0.015)
    assert "too far aft" in in_words(finding)


@pytest.mark.property
@pytest.mark.parametrize("name", ["quillet-21", "ternholm-34"])
def test_knuckles_nobody_marked_are_proposed_and_nothing_else(name: str) -> None:
    """With every mark forgotten the corners are proposed as knuckles, but for the flat ones near the stem; no smooth point is."""
    hull = demo_hull(name)
    proposed = {(m.station, m.point + 1) for m in judge(_without_marks(hull)).missed}
    assert proposed <= _marks(hull)
    assert {mark for mark in _marks(hull) if mark[0] >= 3} <= proposed
    assert _warnings(_without_marks(hull)) == ["knuckle-not-marked"] * len(proposed)


@pytest.mark.example
def test_a_mark_forgotten_at_one_station_is_proposed_there() -> None:
    """A knuckle marked on both sides speaks for the corner between; the words give the line to write."""
    (finding,) = (f for f in check_hull(_without_marks(demo_hull("quillet-21"), 6)) if f.severity == "warn")
    assert (finding.code, finding.object) == ("knuckle-not-marked", "station 2700 point 4")
    assert "knuckles: [4]" in in_words(finding)


@pytest.mark.example
def test_a_round_bilge_is_not_taken_for_a_knuckle() -> None:
    """No mark is proposed for a hull that has no corners."""
    assert not judge(demo_hull("marram-29")).missed


@pytest.mark.example
def test_every_number_that_would_hide_a_slip_is_listed() -> None:
    """Every number of an end station is listed; what is not listed at an interior station is sure to 9.5 mm."""
    hull = demo_hull("marram-29")
    listed = {(u.station, u.point, u.coordinate): u.why for u in judge(hull).unjudged}
    for j in (0, len(hull.stations) - 1):
        for i in range(len(hull.stations[j].points)):
            assert listed[j, i, 1] == "end"
    assert listed[11, 5, 1] == "along", "a height on plumb topsides"
    assert (11, 5, 0) not in listed
    assert pytest.approx(0.0095, abs=1e-4) == JUDGED_UP_TO


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_a_50_mm_slip_in_any_number_that_is_not_listed_is_found(name: str) -> None:
    """Number by number, every third, on the demo's own measurements: found, or on the list."""
    hull = demo_hull(name)
    listed = {(u.station, u.point, u.coordinate) for u in judge(hull).unjudged}
    hidden = []
    for j, station in enumerate(hull.stations):
        for i, point in enumerate(station.points):
            for c in (0, 1):
                if (j + i + c) % 3 == 0 and (j, i, c) not in listed and (c or point[0] > 0.0):
                    slip = -0.050 if c == 0 and point[0] > 0.2 else 0.050
                    slips = judge(slipped(hull, j, i, c, slip)).slips
                    if (j, i) not in {named for s in slips for named in ((s.station, s.point), *s.rivals)}:
                        hidden.append((j, i, c))
    assert hidden == []


@pytest.mark.example
def test_the_list_says_where_and_why_in_words() -> None:
    """Stations, points and the reason stand in the note."""
    notes = [in_words(f) for f in check_hull(demo_hull("ternholm-34")) if f.code == "not-judged"]
    assert len(notes) == 3
    assert "heights at 350 (1-6), 4000 (1-9); all of the stem" in notes[0]
    assert "slides the point along the skin: at most 29 mm of it stand square to the skin" in notes[1]
    assert "a station between would tell" in notes[2]


@pytest.mark.example
def test_what_cannot_be_judged_is_a_count_and_three_numbers_to_measure_again() -> None:
    """All reasons together in one line: as many numbers as are not judged, and the three on which most of the skin hangs."""
    hull = demo_hull("marram-29")
    notes = [found for found in check_hull(hull) if found.code == "not-judged"]
    said = in_brief(notes, "mm")
    assert said.startswith(f"{len(judge(hull).unjudged)} numbers could be 50 mm wrong and not be noticed. Measure these 3 again")
    assert said.count(" of point ") == 3
    alone = next(found for found in notes if found.values["why"] == "end")
    assert "Measure these 3 again first: the half-breadth of point 4 at 8700 mm" in in_words(alone)


@pytest.mark.example
def test_three_stations_are_too_few_to_judge_and_it_says_so() -> None:
    """Nothing is claimed of a hull of three stations."""
    hull = demo_hull("quillet-21")
    few = replace(hull, stations=hull.stations[3:6])
    (note,) = check_hull(few)
    assert (note.code, note.severity) == ("not-judged", "note")
    assert "it takes four stations" in in_words(note)


@pytest.mark.example
def test_a_scanned_hull_is_not_judged_as_if_a_tape_had_measured_it() -> None:
    """More points than anybody reads off a tape: said at once, not worked on for minutes."""
    station = Station(at=0.0, points=tuple((0.02 * i, 0.001 * i * i) for i in range(41)))
    scanned = replace(demo_hull("quillet-21"), stations=tuple(replace(station, at=0.3 * j) for j in range(21)))
    (note,) = check_hull(scanned)
    assert (note.code, note.severity) == ("not-judged", "note")
    assert "more points than are read off a tape" in in_words(note)


@pytest.mark.example
def test_a_roughly_measured_hull_does_not_drown_in_findings() -> None:
    """With errors within 25 mm instead of 5 the look asks more of a slip, and few numbers are called wrong."""
    hull = demo_hull("marram-29")
    slips = [len(judge(measured_again(hull, np.random.default_rng(seed), 0.025)).slips) for seed in range(20)]
    assert np.mean(slips) <= 0.5


@pytest.mark.published
def test_the_canoes_printed_table_has_one_number_its_neighbours_contradict() -> None:
    """W. P. Stephens, Canoe and Boat Building, Plate XI: deck half-breadths 2 7/8, 7 1/2 in forward, but 4 1/2, 7 3/4 in aft."""
    (slip,) = judge(demo_hull("canoe-1889")).slips
    assert (slip.station, slip.point) == (1, 4)
    assert slip.off == pytest.approx(-1.25 * 0.0254, abs=0.006)


@pytest.mark.published
@pytest.mark.slow
def test_a_two_inch_slip_in_the_canoes_printed_table_is_found() -> None:
    """W. P. Stephens's Plate XI, a real boat's offsets: 2 in too much, or too little at every other of the printed half-breadths,
    is named, 95 of 100 times."""
    hull = demo_hull("canoe-1889")
    tried = found = 0
    for j in range(1, len(hull.stations) - 1):
        for i in range(1, len(hull.stations[j].points)):
            slip = 2 * 0.0254 if (i + j) % 2 else -2 * 0.0254
            if hull.stations[j].points[i][0] + slip > 0.0:
                tried += 1
                found += (j, i) in {(s.station, s.point) for s in judge(slipped(hull, j, i, 0, slip)).slips}
    assert tried >= 48
    assert found >= 0.95 * tried


@pytest.mark.closed_form
def test_a_cubic_is_predicted_exactly_from_its_neighbours() -> None:
    """Stations cut from y = z with cubic breadth along the hull leave no residual at all."""
    sections = []
    for x in (0.0, 0.7, 1.1, 1.9, 2.4, 3.0):
        breadth = 0.5 + 0.4 * x - 0.05 * x**2 + 0.003 * x**3
        heights = np.linspace(0.0, 1.0, 5)
        sections.append(Section(x, np.stack([breadth * heights, heights], axis=1), ((0, 0), (-1, 4))))
    assert np.abs(residual_system(tuple(sections)).residuals).max() < 1e-12


@pytest.mark.property
@pytest.mark.parametrize(
    ("typed", "slip", "unit", "meant", "reason"),
    [
        (0.886, 0.047, "mm", 0.836, "a 3 read as an 8"),
        (0.836, -0.054, "mm", 0.886, "an 8 read as a 3"),
        (0.471, 0.058, "mm", 0.411, "a 1 read as a 7"),
        (0.891, -0.089, "mm", 0.981, "9 and 8 changed about"),
        (0.742, 0.097, "mm", 0.642, "a hundred miscounted"),
        (0.742, 0.033, "mm", 0.709, ""),
        (0.0254 * 8.25, 0.0254 * 5.1, "in", 0.0254 * 3.25, "in the hull file's numbers, a 3 read as an 8"),
        (0.0254 * 7.5, 0.0254 * 1.52, "in", 0.0254 * 6.0, ""),
    ],
)
def test_the_likely_number_is_the_misreading_that_fits(typed: float, slip: float, unit: str, meant: float, reason: str) -> None:
    """A digit taken for its look-alike, two changed about, a hundred too many; else the fair value to the tape's step.

    Digits of inches are the file's: whoever reads millimetres does not see them.
    """
    reading = likely_reading(typed, slip, 0.005, unit)
    assert reading.value == pytest.approx(meant, abs=1e-9)
    assert ("" if reading.misread is None else words(reading.misread)) == reason


@pytest.mark.property
@settings(deadline=None, max_examples=25)
@given(hulls())
def test_any_plausible_hull_can_be_looked_at(hull: Hull) -> None:
    """Whatever its ends, knuckles and counts of points: an answer, each listed number one that was measured."""
    judged = judge(hull)
    for number in judged.unjudged:
        assert number.point < len(hull.stations[number.station].points)
    for slip in judged.slips:
        assert np.isfinite([slip.off, slip.spread]).all()
    assert all(in_words(finding) for finding in check_hull(hull))


@pytest.mark.example
def test_an_end_that_is_one_point_does_not_stop_the_look() -> None:
    """A hull that ends in a single point is judged by its other stations."""
    hull = demo_hull("quillet-21")
    sharp = replace(hull, stations=(Station(at=0.1, points=((0.0, 1.0),)), *hull.stations))
    assert _warnings(sharp) == []
    assert any(u.station == 0 and u.why == "end" for u in judge(sharp).unjudged)


@pytest.mark.property
@pytest.mark.parametrize("name", ["quillet-21", "marram-29", "ternholm-34"])
def test_a_height_that_slid_along_the_topsides_is_found_by_measured_diagonals(name: str) -> None:
    """Twelve seeds: a slip of 50 mm that the skin's run hides; three distances from its point name it first, every time.

    Without them fewer than two in three are found; the same distances raise nothing about sound numbers.
    """
    hull = demo_hull(name)
    hidden = [
        u for u in judge(hull).unjudged if u.why == "along" and u.coordinate == 1 and 2 <= u.station < len(hull.stations) - 3
    ]
    without, named = 0, 0
    for seed in range(12):
        rng = np.random.default_rng(seed)
        sound = measured_again(hull, rng)
        it = hidden[int(rng.integers(len(hidden)))]
        checks = diagonals(hull, it.station, it.point, rng)
        wrong = slipped(sound, it.station, it.point, 1, float(0.05 * rng.choice([-1, 1])))
        without += any((slip.station, slip.point) == (it.station, it.point) for slip in judge(wrong).slips)
        first = judge(replace(wrong, checks=checks)).slips[0]
        named += (first.station, first.point) == (it.station, it.point)
        assert judge(replace(sound, checks=checks)).slips == ()
    assert named == 12
    assert without < 8


def diagonals(hull: Hull, station: int, point: int, rng: np.random.Generator) -> tuple[DistanceCheck, ...]:
    """Distances from a point to the keel of both stations beside its own and to the sheer of one, measured within 5 mm."""
    ends = [(station - 1, 0), (station + 1, 0), (station + 1, len(hull.stations[station + 1].points) - 1)]
    return tuple(
        DistanceCheck(
            name=f"diagonal {number}",
            start=(hull.stations[station].at, point + 1),
            end=(hull.stations[j].at, i + 1),
            measured=float(dist(place(hull, station, point), place(hull, j, i)) + rng.uniform(-0.005, 0.005)),
        )
        for number, (j, i) in enumerate(ends, 1)
    )


def place(hull: Hull, station: int, point: int) -> tuple[float, float, float]:
    return (hull.stations[station].at, *hull.stations[station].points[point])
