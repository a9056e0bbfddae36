"""The heights of the deck's edge of which the least freeboard is the least."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from box_boat import BOX_BOAT, box_known
from scene_specimens import box_scene

from sketcher.analysis.bands.edges import PLACES, edges_of
from sketcher.analysis.bands.known import WITHIN, how_known
from sketcher.analysis.evaluate import evaluate
from sketcher.outputs.tables.sure.figure_paths import figure_values

LEAST = "floating.least_freeboard_m"


@pytest.mark.closed_form
def test_heights_are_over_the_water_from_end_to_end_on_both_sides() -> None:
    """The sheer is 1 m up, the water 300 mm forward and 320 aft: 700 mm down to 680, plumb to water that trims by 0.3 degrees."""
    boat = evaluate(box_known().looking.scene)
    heights = edges_of(boat, ())[LEAST].reshape(2, PLACES)
    assert heights[0] == pytest.approx(heights[1])
    assert heights[0] == pytest.approx(np.linspace(0.7, 0.68, PLACES), abs=2e-5)
    assert edges_of(boat, ())[LEAST].min() == pytest.approx(boat.floating.least_freeboard)


@pytest.mark.closed_form
def test_the_least_of_two_heights_is_off_as_the_least_of_two_draws() -> None:
    """Level water: bow and stern each err by 7.1 mm, sheer and water. The least of both is off by what 95 of 100 draws are."""
    known = how_known(evaluate(box_scene(BOX_BOAT.replace("after: 320", "after: 300"))), (), figure_values, holed="none")
    rng = np.random.default_rng(3)
    off = np.abs((0.005 * sqrt(2.0) * rng.standard_normal((40_000, 2))).min(axis=1))
    half = known.half(LEAST)
    assert half == pytest.approx(float(np.quantile(off, 0.95)), rel=0.08)
    slopes = known.slopes(LEAST)
    assert slopes is not None
    assert WITHIN * slopes.deviation == pytest.approx(half)
