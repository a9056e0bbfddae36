"""Sweeps in a table, as a spreadsheet, as JSON, curves and maps."""

from __future__ import annotations

import csv
import io
import json
import re
from concurrent.futures import ThreadPoolExecutor
from functools import cache

import pytest
from scene_specimens import HULL

from sketcher.analysis.places.answer import best_place, goal_asked, with_noticed
from sketcher.analysis.places.rows import Question, Sweep
from sketcher.analysis.places.sweep import sweep
from sketcher.model.document import compose
from sketcher.model.edits.number_range import number_range
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import scene_from
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Line, Words
from sketcher.outputs.places.figure_words import figure_name, told
from sketcher.outputs.places.png import drawing_png
from sketcher.outputs.places.sweep_curves import sweep_curves
from sketcher.outputs.places.sweep_map import sweep_map
from sketcher.outputs.places.sweep_table import sweep_csv, sweep_json, sweep_report

TEXT = """scene: box
hull: box.yaml
units: mm
bulkheads:
  collision: {at: 1000, thickness: 12}
  main: {at: 2000, thickness: 12}
lids:
  top: {height: 500, from: collision, to: main, thickness: 12}
compartments:
  peak: {at: [300, 0, 300]}
limits:
  large: {figure: litres, of: peak, at_least: 1700}
"""


@cache
def swept(*asked: str) -> Sweep:
    scene = scene_from(compose(TEXT, "x"), hull=hull_from(compose(HULL, "box.yaml")))
    with ThreadPoolExecutor(1) as threads:
        return sweep(Question(scene, tuple(number_range(scene, each) for each in asked)), threads)


ONE = ("collision.at=-200:1200:200",)
TWO = ("collision.at=800:1100:100", "top.height=400:600:100")


@pytest.mark.example
def test_the_table_tells_each_place_and_what_forbids_it() -> None:
    """Litres beside the place, the limit missed by name, where there is no boat and why."""
    text = sweep_report(swept(*ONE), None, "mm")
    assert "8 places, 2 keep to every limit, at 1 there is no boat" in text
    assert re.search(r"1000 mm +1800 L", text)
    assert re.search(r"800 mm +1440 L.*misses large", text)
    assert re.search(r"-200 mm.*no boat", text)
    assert "No boat at collision.at -200 mm:" in text


@pytest.mark.golden
def test_the_json_has_the_keys_that_other_programs_know() -> None:
    """As promised: moved, rows with figures by path and limits, feasible, error; best and excluded_by without a goal empty."""
    values = json.loads(sweep_json(swept(*ONE), None))
    assert list(values) == ["moved", "complete", "rows", "best", "excluded_by"]
    assert values["moved"] == [{"object": "collision", "key": "at"}]
    assert (values["best"], values["excluded_by"]) == (None, [])
    row = values["rows"][6]
    assert set(row) == {"values_m", "figures", "limits", "feasible", "rules", "error"}
    assert row["values_m"] == [1.0]
    assert row["figures"]["compartments.peak.volume_m3"] == pytest.approx(1.8)
    assert row["limits"][0] | {"value": 0} == {
        "name": "large",
        "figure": "litres",
        "path": "compartments.peak.volume_m3",
        "value": 0,
        "limit": 1.7,
        "met": True,
    }
    assert values["rows"][0]["error"]
    assert set(values["rows"][0]["figures"].values()) == {None}


@pytest.mark.example
def test_the_spreadsheet_has_a_row_for_each_place() -> None:
    """Places, figures by path and limits; blank where there is no boat."""
    rows = list(csv.DictReader(io.StringIO(sweep_csv(swept(*ONE), "mm"))))
    assert len(rows) == 8
    assert float(rows[6]["compartments.peak.volume_m3"]) == pytest.approx(1.8)
    assert [row["limit large"] for row in rows] == ["", "", "", "false", "false", "false", "true", "true"]
    assert rows[0]["error"]
    assert rows[0]["compartments.peak.volume_m3"] == ""


def words_of(drawing: Drawing) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Words)]


@pytest.mark.example
def test_curves_break_where_there_is_no_boat_and_name_what_forbids() -> None:
    """One line of litres from the first boat to the last, the limit's line, shades under both, and names beside them."""
    drawing = sweep_curves(swept(*ONE), "mm", 1.0)
    peak = [item for item in drawing.items if isinstance(item, Line) and item.part == "figure/compartments.peak.volume_m3"]
    assert [len(item.points) for item in peak] == [5]
    heights = [y for _, y in peak[0].points]
    assert heights == sorted(heights)
    assert {"missed: large", "no boat", "large", "peak"} <= set(words_of(drawing))
    assert {item.fill for item in drawing.items if isinstance(item, FilledArea)} >= {"#ecd9d2", "#dddbd5"}
    assert sum(isinstance(item, Line) and item.layer == "now" for item in drawing.items) > 0


@pytest.mark.example
def test_a_map_has_a_field_for_each_pair_and_a_letter_for_what_forbids_it() -> None:
    """Twelve pairs: half of them forbidden by the one limit, under the letter a."""
    drawing = sweep_map(swept(*TWO), "mm")
    areas = [item.layer for item in drawing.items if isinstance(item, FilledArea) and item.layer != "key"]
    assert (areas.count("forbidden"), areas.count("allowed")) == (6, 6)
    assert words_of(drawing).count("a") == 6
    assert "a  misses large" in words_of(drawing)


@pytest.mark.property
@pytest.mark.parametrize("asked", [ONE, TWO], ids=["curves", "map"])
def test_a_drawing_is_a_picture_of_its_size(asked: tuple[str, ...]) -> None:
    """PNG of 8 pixels to a millimetre, marked as this program's."""
    drawing = sweep_curves(swept(*asked), "in") if len(asked) == 1 else sweep_map(swept(*asked), "in")
    data = drawing_png(drawing)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert abs(int.from_bytes(data[16:20], "big") - 8 * drawing.width) <= 2
    assert b"Software\x00sketcher" in data


@pytest.mark.example
def test_an_answer_tells_the_place_or_what_excludes_it() -> None:
    """The best place with its limits; or the limit that is met nowhere, with what it would have to give and where."""
    question = swept("collision.at=800:1200:200").question
    with ThreadPoolExecutor(1) as threads:
        found, _ = best_place(question, *goal_asked("least:litres of peak"), threads)
        narrow = Question(question.scene, (number_range(question.scene, "collision.at=700:900:10"),))
        none, _ = best_place(narrow, *goal_asked("most:litres of peak"), threads)
    assert "BEST, with the least litres of peak: collision.at 945 mm" in sweep_report(swept(*ONE), found, "mm")
    text = sweep_report(Sweep(narrow, ()), none, "mm")
    assert "`large` alone is met nowhere." in text
    assert "If `large` gives 80 L, to 1620 L, all others are met at collision.at 900 mm." in text
    values = json.loads(sweep_json(Sweep(narrow, ()), none))
    assert (values["best"], values["excluded_by"]) == (None, ["large"])
    assert values["relaxations"][0]["values_m"] == [pytest.approx(0.9)]


@pytest.mark.property
@pytest.mark.parametrize(
    ("path", "value", "words", "said"),
    [
        ("compartments.a.b.volume_m3", 0.905, "litres of a.b", "905 L"),
        ("flooding.a and b.lids.top.clear_of_water_m", -0.05, "lid over water of top with a and b holed", "-50 mm"),
        ("flooding.a.emptiest.least_freeboard_m", 0.2, "least freeboard with a holed and empty", "200 mm"),
        ("with_changes.floating.gm_m", 0.7, "GM", "700 mm"),
        ("with_changes.waterline.trim_deg", 1.26, "trim", "1.3°"),
        ("bulkheads.collision.place", 0.1349, "place of collision", "13.5 %"),
        ("chains.rode.goes_in_kg", 84.2, "chain kg of rode", "84 kg"),
        ("boards.sheets", 3.0, "sheets", "3"),
        ("berths.vee.length_m", None, "berth length of vee", "not known"),
    ],
)
def test_a_figure_has_the_owners_words(path: str, value: float | None, words: str, said: str) -> None:
    """By its path in the report's JSON, names with points in them included."""
    assert figure_name(path).words == words
    assert told(path, value, "mm") == said


@pytest.mark.example
def test_a_best_place_tells_what_its_limits_do_not() -> None:
    """Where the peak is largest the bulkhead stands on the name of the space behind it: the warnings that come there are told,
    and at how many places the space is not known; boards of no material too."""
    text = TEXT.replace("  peak: {at: [300, 0, 300]}", "  peak: {at: [300, 0, 300]}\n  void: {at: [1106, 0, 300]}")
    scene = scene_from(compose(text, "x"), hull=hull_from(compose(HULL, "box.yaml")))
    question = Question(scene, (number_range(scene, "collision.at=900:1100:100"),))
    goal, most = goal_asked("most:litres of peak")
    with ThreadPoolExecutor(1) as threads:
        answer, search = best_place(question, goal, most, threads)
    answer = with_noticed(question, answer)
    rows = tuple(sorted(search.rows.values(), key=lambda row: row.values))
    said = sweep_report(Sweep(search.question, rows), answer, "mm")
    assert "the report warns" in said
    assert "void" in [finding.object for finding in answer.noticed]
    assert "Counted as weighing nothing" in said
