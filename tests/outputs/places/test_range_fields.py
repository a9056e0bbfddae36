"""The curves of a range for the page: what is told of which figures, and what stands against which places."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from scene_specimens import PEAK_IN_BOX, box_scene

from sketcher.analysis.places.rows import LimitRow, PlaceRow, Question, Sweep
from sketcher.model.edits.number_range import number_range
from sketcher.outputs.drawing.recording import FilledArea, Line, Words
from sketcher.outputs.places.curve_field import STROKES, strokes_of
from sketcher.outputs.places.range_fields import (
    forbidden_stretches,
    range_fields,
    stretch_words,
    told_paths,
    window_stretches,
)

SIZE = (60.0, 22.0)
LITRES, OTHER = "compartments.peak.volume_m3", "compartments.ahead of main.volume_m3"
HOLED = "flooding.peak.lids.top.clear_of_water_m"
EMPTY = "flooding.peak.emptiest.lids.top.clear_of_water_m"


@cache
def swept() -> Sweep:
    """Ten places, 100 mm apart: no boat at the first, no peak at the last; a limit read full, then empty, missed from 700."""
    scene = box_scene(PEAK_IN_BOX)
    wanted = number_range(scene, "collision.at=100:1000:100")
    rows = [PlaceRow((0.1,), error="nothing is left of it")]
    for k in range(2, 11):
        at = k / 10
        path = HOLED if k < 6 else EMPTY
        limit = LimitRow("dry", "lid over water", path, 0.7 - at, 0.05, k < 7, 0.65 - at)
        litres = None if k == 10 else at * at
        figures = {LITRES: litres, OTHER: at, path: 0.7 - at, "bulkheads.collision.place": at, "berths.vee.length_m": 2.0 - at}
        rows.append(PlaceRow((at,), figures, (limit,), rules={"collision-racing": 4 <= k <= 6}))
    return Sweep(Question(scene, (wanted,)), tuple(rows))


@pytest.mark.example
def test_a_limit_comes_first_and_is_one_curve_in_whichever_state_it_is_read() -> None:
    """Not the place in other words, not spaces that only other places have; a field for the limit, whole from 200 to 1000 mm."""
    fields = told_paths(swept(), ["peak"])
    assert fields == [[HOLED], [LITRES], ["berths.vee.length_m"]]
    first = range_fields(swept(), "mm", SIZE, fields)[0]
    assert first.title == "lid over water with peak holed, mm"
    assert [name for _, name in first.curves] == ["top"]
    (curve,) = [item for item in first.drawing.items if isinstance(item, Line) and item.layer == "curves"]
    assert len(curve.points) == 9
    assert [item.text for item in first.drawing.items if isinstance(item, Words) and item.layer == "limits"] == ["dry"]


@pytest.mark.example
def test_a_field_stays_on_its_piece_of_screen_in_letters_that_can_be_read() -> None:
    """Lines, shades and figures within it; 2.2 mm are 11 pixels."""
    for field in range_fields(swept(), "mm", SIZE, told_paths(swept(), ["peak"])):
        assert (field.drawing.width, field.drawing.height) == SIZE
        for item in field.drawing.items:
            if isinstance(item, Words):
                assert item.size >= 2.2
                assert 0.0 <= item.at[1] <= SIZE[1] - item.size
            spots = item.points if isinstance(item, Line) else item.rings[0] if isinstance(item, FilledArea) else [item.at]
            assert all(0.0 <= x <= SIZE[0] and 0.0 <= y <= SIZE[1] for x, y in spots)


@pytest.mark.example
def test_what_stands_against_places_is_said_from_where_to_where() -> None:
    """Why there is no boat, which limit is missed, which space is not there; each place reaches half way to the next."""
    wanted = swept().question.ranges[0]
    assert [stretch_words(each, wanted, "mm") for each in forbidden_stretches(swept(), "mm", ["peak"])] == [
        "100 mm to 150 mm: no boat: nothing is left of it",
        "650 mm to 950 mm: misses dry",
        "950 mm to 1000 mm: misses dry; peak: not one space of its own",
    ]


@pytest.mark.example
def test_a_range_that_is_half_worked_out_has_curves_where_it_is() -> None:
    """No line leads over places of which nothing is known yet, and nothing is said of them."""
    whole = swept()
    half = Sweep(whole.question, (*whole.rows[1:4], *whole.rows[7:9]), complete=False)
    field = range_fields(half, "mm", SIZE, [[LITRES]])[0]
    curves = [item for item in field.drawing.items if isinstance(item, Line) and item.layer == "curves"]
    assert [len(curve.points) for curve in curves] == [3, 2]
    wanted = whole.question.ranges[0]
    assert [stretch_words(each, wanted, "mm") for each in forbidden_stretches(half, "mm", ["peak"])] == [
        "750 mm to 900 mm: misses dry"
    ]


@pytest.mark.example
def test_a_rule_s_window_is_a_bar_in_every_field_and_is_said() -> None:
    """Inside it from 400 to 600 mm, each place reaching half way to the next."""
    wanted = swept().question.ranges[0]
    assert [stretch_words(each, wanted, "mm") for each in window_stretches(swept())] == [
        "350 mm to 650 mm: inside the racing rule's window"
    ]
    for field in range_fields(swept(), "mm", SIZE, told_paths(swept(), ["peak"])):
        assert sum(isinstance(item, FilledArea) and item.layer == "windows" for item in field.drawing.items) == 1
    for block, said in (("waterline", 1), ("lids", 0)):
        moved = replace(swept().question, ranges=(replace(wanted, block=block),))
        assert len(window_stretches(replace(swept(), question=moved))) == said


@pytest.mark.example
def test_a_name_is_drawn_alike_in_every_field_and_no_two_alike_in_one() -> None:
    """Litres and litres below water of the same spaces; with more names than strokes two of one field still differ."""
    names = [f"space {k}" for k in range(len(STROKES) + 2)]
    all_of, some = [f"compartments.{name}.volume_m3" for name in names[:4]], [names[0], names[2], names[3]]
    strokes = strokes_of([all_of, [f"compartments.{name}.below_waterline_m3" for name in some]])
    for name in some:
        assert strokes[f"compartments.{name}.volume_m3"] == strokes[f"compartments.{name}.below_waterline_m3"]
    again = [f"compartments.{name}.volume_m3" for name in (names[0], names[len(STROKES)])]
    strokes = strokes_of([[f"compartments.{name}.volume_m3" for name in names], again][1:] + [[path] for path in all_of])
    assert len({strokes[path] for path in again}) == 2
