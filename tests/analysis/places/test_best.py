"""The best place, or what stands against there being one: against formulas of a box and against every place of a grid."""

from __future__ import annotations

from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scene_specimens import HULL, demo_scene

from sketcher.analysis.places.answer import Answer, best_place, goal_asked
from sketcher.analysis.places.best import PlaceSearch
from sketcher.analysis.places.excluding import excluding_sets, relaxations
from sketcher.analysis.places.rows import LimitRow, PlaceRow, Question
from sketcher.analysis.places.sweep import rows_of
from sketcher.model.document import compose
from sketcher.model.edits.number_range import NumberRange, number_range
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import read_scene, scene_from
from sketcher.model.scene import Scene
from sketcher.model.stated_limits import StatedLimit

TEXT = """scene: x
hull: box.yaml
units: mm
bulkheads:
  collision: {at: 1000, thickness: 12}
  main: {at: 2500, thickness: 12}
compartments:
  peak: {at: [500, 0, 300]}
  middle: {at: [2000, 0, 300]}
limits:
"""
IDLE = "idle: {figure: litres, of: peak, at_least: 1}"
BOX = hull_from(compose(HULL, "box.yaml"))


def box(*limits: str) -> Scene:
    """A box 1.8 m wide and 1 m deep; 1.8 litres for each millimetre of length."""
    return scene_from(compose(TEXT + "".join(f"  {each}\n" for each in limits), "x"), hull=BOX)


def found_in(scene: Scene, goal: str, *asked: str, executor: Executor | None = None) -> Answer:
    ranges = tuple(number_range(scene, each) for each in asked)
    if executor is not None:
        return best_place(Question(scene, ranges), *goal_asked(goal), executor)[0]
    with ThreadPoolExecutor(1) as one:
        return best_place(Question(scene, ranges), *goal_asked(goal), one)[0]


@pytest.mark.closed_form
def test_the_most_is_found_to_the_millimetre() -> None:
    """Most litres forward with at least 2200 left amidships: 2500 - 12 - at over 1.8 litres per mm, so 1265 mm at the most."""
    scene = box("enough: {figure: litres, of: middle, at_least: 2200}")
    answer = found_in(scene, "most:litres of peak", "collision.at=800:1500:10")
    assert answer.best is not None
    assert answer.best.values[0] == pytest.approx(1.265)
    assert answer.value == pytest.approx(1.8 * 1.265)


@pytest.mark.closed_form
def test_limits_that_exclude_each_other_are_named_with_the_least_that_lets_them() -> None:
    """Peak over 2000 litres asks 1112 mm, middle over 2600 leaves 1043: either may give 1.8 litres for each of these 69 mm."""
    limits = ("large: {figure: litres, of: peak, at_least: 2000}", "wide: {figure: litres, of: middle, at_least: 2600}")
    answer = found_in(box(*limits, IDLE), "most:litres of peak", "collision.at=800:1500:10")
    assert answer.best is None
    assert answer.excluding == (("large", "wide"),)
    large, wide = answer.relaxations
    assert large.by == pytest.approx(2.0 - 1.8 * 1.043, abs=1e-9)
    assert wide.by == pytest.approx(2.6 - 1.8 * (2.488 - 1.112), abs=1e-9)
    assert (large.row.values[0], wide.row.values[0]) == (pytest.approx(1.043), pytest.approx(1.112))  # type: ignore[union-attr]


def invented(question: Question, places: object) -> dict[tuple[float, ...], PlaceRow]:
    """Rows of a hill with a skew limit across it, by formula."""
    rows = {}
    for values in places:  # type: ignore[attr-defined]
        wanted = -sum((value - 0.7) ** 2 for value in values)
        margin = 2.0 - 3.0 * values[0] - sum(values[1:])
        limit = LimitRow("skew", "GM", "floating.gm_m", None, 2.0, margin >= 0.0, margin)
        rows[values] = PlaceRow(values, limits=(limit,), read=(LimitRow("", "GM", "g", wanted, 0.0, True, wanted),))
    return rows


@pytest.mark.property
@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_up_to_four_numbers_slide_along_a_skew_limit(count: int) -> None:
    """The point of 3 x + y + ... = 2 nearest to (0.7, ...), by formula, within a few millimetres in each number."""
    ranges = tuple(NumberRange("bulkheads", "b", "at", 0.0, 1.0, 0.01) for _ in range(count))
    question = Question(box("skew: {figure: GM, at_least: 1}"), ranges)
    search = PlaceSearch(question, lambda places: invented(question, places))
    found = search.best(lambda row: row.read[0].value, ["skew"])
    normal = np.array([3.0] + [1.0] * (count - 1))
    start = np.full(count, 0.7)
    best = start - normal * (normal @ start - 2.0) / (normal @ normal)
    assert found is not None
    short = -((best - start) @ (best - start)) - (found.read[0].value or 0.0)
    assert 0.0 <= short + 1e-12 < 0.004
    assert excluding_sets(search) == ()
    assert relaxations(search, ["skew"])[0].by == 0.0


@pytest.mark.property
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("most:litre of peak", "Did you mean 'litres'"),
        ("litres of peak", "is no goal"),
        ("most:litres", "of what?"),
        ("most:GM of peak", "of the whole boat"),
        ("least:lid over water of top", "told of a boat with a space holed"),
    ],
)
def test_what_is_no_goal_is_refused_with_what_to_write(text: str, said: str) -> None:
    """Nearest figures, and the form."""
    with pytest.raises(SketchError) as refused:
        goal_asked(text)
    assert said in str(refused.value)


def limit(figure: str, of: str, bound: str) -> StatedLimit:
    return StatedLimit(name=f"{figure} {of}", figure=figure, of=of, at_least=bound)


@pytest.mark.slow
@pytest.mark.property
@pytest.mark.parametrize(
    ("name", "asked", "goal", "limits"),
    [
        (
            "quillet-forepeak",
            ("collision.at=725:755:1",),
            "most:litres of forepeak",
            (limit("berth length", "vee berth", "1950"),),
        ),
        (
            "ternholm-forepeak",
            ("collision.at=1225:1255:1",),
            "most:litres of chain locker",
            (limit("berth length", "fore berth", "2050"),),
        ),
        (
            "pellwick-bows",
            ("crash.at=890:920:5", "bow berth top.height=630:660:5"),
            "most:litres of bilge",
            (limit("headroom", "bow berth", "550"), limit("litres", "crash space", "195"), limit("litres", "bow cabin", "845")),
        ),
    ],
)
def test_no_place_of_a_grid_is_better(name: str, asked: tuple[str, ...], goal: str, limits: tuple[StatedLimit, ...]) -> None:
    """Every millimetre of one number, every 5 mm of two, tried on three boats: what is found is as good, and its limits bind."""
    scene = replace(read_scene(demo_scene(name)), limits=limits)
    figure, most = goal_asked(goal)
    ranges = tuple(number_range(scene, each) for each in asked)
    question = Question(scene, ranges)
    with ThreadPoolExecutor(1) as executor:
        grid = rows_of(replace(question, more=(figure,)), list(product(*(each.values for each in ranges))), executor)
        answer, _ = best_place(question, figure, most, executor)
    kept = [row for row in grid.values() if row.feasible]
    assert 0 < len(kept) < len(grid)
    brute = max(row.read[0].value or 0.0 for row in kept)
    assert answer.value is not None
    if len(ranges) == 1:
        assert answer.value == brute
    else:
        assert brute <= answer.value < 1.02 * brute
