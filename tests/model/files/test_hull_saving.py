"""A hull's file under edits: comments stay, one number is one line, half-entered is kept."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sketcher.model.demos import demo_folder
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
)
from sketcher.model.edits.hull_parts import AddPart, RemovePart
from sketcher.model.edits.hull_sides import SetSidesApart
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.hull_saving import HullDocument, open_hull, save_hull
from sketcher.model.files.recovery import KeptWork, find_recoveries

HULLS = sorted((demo_folder() / "hulls").glob("*.yaml"))


def marram(tmp_path: Path) -> HullDocument:
    """A copy of a demo hull with comments among its stations."""
    path = tmp_path / "marram-29.yaml"
    path.write_bytes((demo_folder() / "hulls" / "marram-29.yaml").read_bytes())
    return open_hull(path)


def changed_lines(opened: HullDocument, *edits: HullEdit) -> tuple[list[str], list[str]]:
    """The lines that edits take out of a hull's text, and those they put in."""
    hull = opened.stated
    for edit in edits:
        hull = edit.apply(hull)
    before, after = (each.text.splitlines() for each in (opened.document, opened.document_with(hull)))
    told = list(difflib.ndiff(before, after))
    return [line[2:] for line in told if line[0] == "-"], [line[2:] for line in told if line[0] == "+"]


@pytest.mark.example
def test_one_number_is_one_line(tmp_path: Path) -> None:
    """A height typed again changes the line of its station's points, and nothing else."""
    out, put = changed_lines(marram(tmp_path), SetPoint(2, 3, 1, 1.02))
    assert out == ["    points: [[0, 732], [100, 830], [198, 1012], [302, 1297], [398, 1692]]"]
    assert put == ["    points: [[0, 732], [100, 830], [198, 1020], [302, 1297], [398, 1692]]"]


@pytest.mark.example
def test_a_station_comes_and_goes_between_the_others(tmp_path: Path) -> None:
    """Its own lines are put in or taken out; comments of the others stay."""
    opened = marram(tmp_path)
    out, put = changed_lines(opened, AddStation(2.65))
    assert (out, len(put), put[0]) == ([], 3, "  - at: 2650")
    out, put = changed_lines(opened, RemoveStation(1))
    assert (put, out) == ([], ["  - at: 300", "    points: [[0, 1040], [64, 1138], [118, 1288], [174, 1502], [212, 1713]]"])


@pytest.mark.example
def test_parts_and_marks_take_a_line_each(tmp_path: Path) -> None:
    """A knuckle, a changed camber, an appendage more: each where it belongs."""
    opened = marram(tmp_path)
    assert changed_lines(opened, MarkKnuckle(1, 2, True)) == ([], ["    knuckles: [2]"])
    assert changed_lines(opened, SetHullValue("deck", "camber", 0.07))[1] == ["deck: {camber: 70, thickness: 18}"]
    assert changed_lines(opened, AddPart("skeg"))[1] == ["  skeg: {litres: 0, at: [4500, 0, -202]}"]
    assert changed_lines(opened, SetHullValue("", "material", "grp"))[1] == ["material: grp"]
    assert changed_lines(opened, RemovePart("cockpit"))[1] == []


def an_edit(draw: Any, hull: Any) -> HullEdit:
    """Any edit that a page could ask of a hull."""
    number = draw(st.integers(1, len(hull.stations)))
    count = len(hull.stations[number - 1].points)
    point = draw(st.integers(1, max(count, 1)))
    length = draw(st.integers(0, 9000)) / 1000
    return draw(
        st.sampled_from(
            [
                SetStationAt(number, length),
                SetPoint(number, point, draw(st.sampled_from([0, 1])), length),
                AddPoint(number, draw(st.integers(0, count))),
                RemovePoint(number, point),
                MarkKnuckle(number, point, draw(st.booleans())),
                AddStation(length),
                RemoveStation(number),
                SetHullValue("deck", "camber", length / 10),
                SetHullValue("transom", "rake", float(draw(st.integers(-20, 20)))),
                SetHullValue("measured", "heel", float(draw(st.integers(-3, 3)))),
                AddPart(draw(st.sampled_from(["coachroof", "cockpit", "stem", "rudder"]))),
                RemovePart(draw(st.sampled_from(["coachroof", "cockpit", "stem", "appendages.fin keel"]))),
                SetSidesApart(draw(st.booleans())),
                SetPoint(number, point, draw(st.sampled_from([0, 1])), length, port=True),
                SetPoint("stem", draw(st.integers(1, 4)), draw(st.sampled_from([0, 1])), length),
            ]
        )
    )


@pytest.mark.property
@settings(max_examples=30, deadline=None)
@given(st.data())
def test_any_edits_save_what_they_made_and_keep_the_comments(data: st.DataObject) -> None:
    """The text reads back as the edited hull, also a half-entered one, and what was no part of a changed line still stands."""
    opened = open_hull(data.draw(st.sampled_from(HULLS)))
    hull = opened.stated
    for _ in range(data.draw(st.integers(1, 8))):
        try:
            hull = an_edit(data.draw, hull).apply(hull)
        except SketchError:
            continue
        if not hull.stations:
            return
    document = opened.document_with(hull)
    assert opened.stated_by(document) == hull
    heads = [line for line in opened.document.text.splitlines() if line.startswith("#")]
    assert [line for line in document.text.splitlines() if line.startswith("#")] == heads


@pytest.mark.example
def test_a_half_entered_hull_is_saved_and_opened_again(tmp_path: Path) -> None:
    """Numbers out of order are kept as they are; who needs a whole hull is told the place and the remedy."""
    opened = marram(tmp_path)
    half = SetPoint(2, 3, 1, 0.1).apply(SetPoint(2, 3, 0, 0.05).apply(opened.stated))
    saved = save_hull(opened, half)
    assert open_hull(saved.path).stated == half
    with pytest.raises(SketchError, match="point 3 of station 2 at 600 mm goes back down and inwards"):
        read_hull(saved.path)


@pytest.mark.example
def test_unsaved_measurements_are_kept_beside_the_hull(tmp_path: Path) -> None:
    """A program that ends without saving leaves them to the next opening."""
    opened = marram(tmp_path)
    typed = SetPoint(2, 3, 1, 1.02).apply(opened.stated)
    work: KeptWork[Any] = KeptWork(opened.path)
    work.keep(opened, typed)
    work.let_go()
    (found,) = find_recoveries(open_hull(opened.path))
    assert (found.stated, found.stale) == (typed, False)


@pytest.mark.example
def test_a_file_changed_elsewhere_is_not_written_over(tmp_path: Path) -> None:
    """What an editor wrote meanwhile stays."""
    opened = marram(tmp_path)
    path = Path(opened.path)
    path.write_text(path.read_text("utf-8") + "# mine\n", "utf-8")
    with pytest.raises(SketchError, match="changed elsewhere"):
        save_hull(opened, SetPoint(2, 3, 1, 1.02).apply(opened.stated))
    assert path.read_text("utf-8").endswith("# mine\n")
