"""A hull's points moved to where her skin was found, near places at which it was read."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from tape_trials import demo_hull

from sketcher.analysis.hull.correction import LEAST, moved_points
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.model.edits.readings import MovePoints
from sketcher.model.hull import Hull

OUT = 0.010


@pytest.fixture(scope="module")
def form() -> HullForm:
    return form_hull(demo_hull("quillet-21"))


def _middle(form: HullForm) -> int:
    return len(form.hull.stations) // 2


def _read(form: HullForm, side: float = 1.0) -> np.ndarray:
    """Places on her skin at the middle station."""
    column = form.station_columns[_middle(form) + len(form.station_columns) - len(form.hull.stations) - bool(form.hull.stern)]
    return form.lines[column][:: max(1, form.lines.shape[1] // 10)] * [1.0, side, 1.0]


@pytest.mark.example
@pytest.mark.parametrize("side", [1.0, -1.0], ids=["starboard", "port"])
def test_points_move_out_where_the_skin_stands_out_and_ends_stay(form: HullForm, side: float) -> None:
    """Read 10 mm out all over one section, to either side: its points move 10 mm square to the skin, far stations not at all."""
    places = _read(form, side)
    edit = MovePoints(moved_points(form, places, np.full(len(places), OUT), 0.001), "main")
    hull = edit.apply(form.hull)
    middle = _middle(form) + 1
    assert {each.station for each in edit.points} >= {middle}
    assert {1, len(hull.stations)}.isdisjoint(each.station for each in edit.points)
    was = form.section_at(form.hull.stations[middle - 1].at, "inside")
    for point in hull.stations[middle - 1].points[1:-1]:
        assert was.boundary.distance(shapely.Point(point)) == pytest.approx(OUT, abs=1.5e-3)
        assert not was.contains(shapely.Point(point))
    assert edit.describe(form.hull) == f"Move {len(edit.points)} points of {_count(edit)} stations to the gaps read of main"


def _count(edit: MovePoints) -> int:
    return len({each.station for each in edit.points})


@pytest.mark.example
def test_a_skin_found_where_it_was_measured_moves_nothing(form: HullForm) -> None:
    """Half a millimetre is less than a tape's step."""
    places = _read(form)
    assert moved_points(form, places, np.full(len(places), LEAST / 2), 0.001) == ()


def _read_downwards(hull: Hull) -> Hull:
    stations = tuple(replace(each, points=tuple((b, 2.0 - z) for b, z in each.points)) for each in hull.stations)
    cockpit = hull.cockpit and replace(hull.cockpit, sole=2.0 - hull.cockpit.sole)
    stem = tuple((x, 2.0 - z) for x, z in hull.stem)
    appendages = tuple(
        replace(each, at=(each.at[0], each.at[1], 2.0 - each.at[2]), lowest=None if each.lowest is None else 2.0 - each.lowest)
        for each in hull.appendages
    )
    return replace(
        hull, stations=stations, stem=stem, cockpit=cockpit, appendages=appendages, heights_from=2.0, heights_down=True
    )


@pytest.mark.example
def test_heights_measured_downwards_are_moved_as_they_are_read(form: HullForm) -> None:
    """The same points of the same hull, read down from a string, move by the same with the height's sign turned."""
    places, off = _read(form), np.full(len(_read(form)), OUT)
    up, down = moved_points(form, places, off, 0.001), moved_points(form_hull(_read_downwards(form.hull)), places, off, 0.001)
    assert [(each.station, each.point) for each in up] == [(each.station, each.point) for each in down]
    for one, other in zip(up, down, strict=True):
        assert (other.to[0], 2.0 - other.to[1]) == pytest.approx(one.to, abs=1e-6)
