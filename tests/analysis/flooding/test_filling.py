"""How long a space takes to fill through a hole, against closed forms of a box barge."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from floats import box_boat, hole, layout_of, room, scene_of

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.filling import Filling, filling
from sketcher.analysis.results import Compartment, FlowPath

LENGTH, BREADTH, DRAFT = 8.0, 2.4, 0.5
FORM = box_boat(LENGTH, BREADTH, 1.6)
DIAMETER = 0.05
RATE = 0.6 * np.pi / 4 * DIAMETER**2 * np.sqrt(2 * 9.81)
"""[m3/s per root of a metre of head]"""


def filled(*spaces: Compartment, paths: tuple[FlowPath, ...] = (), pump: float = 0.0, form=FORM, diameter=DIAMETER) -> Filling:
    scene = scene_of(form, DRAFT, kg=0.6)
    water = water_plane(scene, form)
    layout = layout_of(scene, form, spaces, paths)
    (case,) = flooding_cases(layout, water, floating(scene, form, water)[0], [spaces[0].name])
    found = filling(layout, water, case, diameter, pump)
    assert found is not None
    return found


@pytest.mark.closed_form
@pytest.mark.parametrize("permeability", [1.0, 0.6])
def test_a_box_amidships_fills_in_the_time_of_the_closed_form(permeability: float) -> None:
    """The head falls in line with the water in her, V: T - V (1/(m l B) - 1/(L B)); so t = 2 (sqrt T - sqrt h) / (c k), c the
    hole's rate and k that bracket; she ends with m l B T L / (L - m l)."""
    length = 1.6
    found = filled(room("hold", (3.2, -1.2, 0), (4.8, 1.2, 1.6), permeability))
    slope = 1 / (permeability * length * BREADTH) - 1 / (LENGTH * BREADTH)
    assert found.marks[-1].volume / 0.99 == pytest.approx(DRAFT / slope, rel=1e-3)
    for mark in found.marks:
        head = DRAFT - slope * mark.volume
        assert mark.seconds == pytest.approx(2 * (np.sqrt(DRAFT) - np.sqrt(head)) / RATE / slope, rel=0.01)
    assert found.first == pytest.approx(RATE * np.sqrt(DRAFT), rel=1e-6)
    assert (found.held, found.lost) == (None, False)


@pytest.mark.closed_form
def test_a_large_sea_on_a_small_space_is_a_constant_head_until_the_hole_is_covered() -> None:
    """A locker of 2 litres in a boat of 10 tonnes hardly moves her: from a head of 0.5 m that falls to none, twice the volume
    over the first flow, less the tail: 2 V / q (1 - sqrt(1 - share))."""
    found = filled(room("box", (3.98, -0.05, 0), (4.02, 0.05, 1.6), 1.0), diameter=0.005)
    for mark in found.marks:
        volume = found.marks[-1].volume / 0.99
        assert mark.seconds == pytest.approx(2 * volume / found.first * (1 - np.sqrt(1 - mark.share)), rel=0.01)


@pytest.mark.closed_form
def test_a_pump_holds_the_water_where_the_hole_runs_as_fast_as_it() -> None:
    """Half of the first flow pumped out leaves a quarter of the head: three quarters of the water stay; more than the first flow
    pumped out and she stays dry; a small pump only delays."""
    hold = room("hold", (3.2, -1.2, 0), (4.8, 1.2, 1.6), 1.0)
    free = filled(hold)
    everything = free.marks[-1].volume / 0.99
    half = filled(hold, pump=free.first / 2)
    assert half.held == pytest.approx(0.75 * everything, rel=0.01)
    assert [mark.seconds is None for mark in half.marks] == [False, True, True]
    dry = filled(hold, pump=1.1 * free.first)
    assert dry.held == pytest.approx(0.0, abs=1e-6)
    assert [mark.seconds for mark in dry.marks] == [None] * 3
    slow = filled(hold, pump=free.first / 20)
    assert free.marks[0].seconds < slow.marks[0].seconds < 1.2 * free.marks[0].seconds


@pytest.mark.closed_form
def test_a_limber_hole_sets_the_pace_of_the_space_behind_it() -> None:
    """A large hole in a small forward space, a limber hole of 20 x 20 mm behind it: the second space fills as through the limber
    hole alone."""
    fore, aft = room("fore", (3.0, -1.2, 0), (3.2, 1.2, 1.6), 1.0), room("aft", (3.2, -1.2, 0), (4.8, 1.2, 1.6), 1.0)
    limber = hole(("fore", "aft"), (3.2, 0.0, 0.0), size=0.02)
    both = filled(fore, aft, paths=(limber,), diameter=0.3)
    alone = filled(replace(aft, name="aft"), diameter=0.02 * 2 / np.sqrt(np.pi))
    assert both.marks[1].seconds == pytest.approx(alone.marks[1].seconds, rel=0.1)


@pytest.mark.example
def test_a_boat_that_founders_is_told_for_as_long_as_she_floats() -> None:
    """Nearly all of her holed: the time is until she can bear no more."""
    found = filled(room("hold", (0.2, -1.2, 0), (7.8, 1.2, 1.6), 1.0))
    assert found.lost
    assert found.marks[-1].seconds > 0
