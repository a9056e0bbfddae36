"""Where the fewest supports of a lid can lie: for all places of a grid at once, against all arrangements tried one by one."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from sketcher.analysis.cut.boards.straps import Cut
from sketcher.analysis.cut.boards.support_room import SupportBay, SupportRoom

STEP = 0.05


def bay(faults: list[float], count: int, bad: float) -> SupportBay:
    """A bay whose supports lie one step from either end at the least, and one to three steps apart."""
    length = STEP * (len(faults) - 1)
    area = shapely.box(0.0, 0.0, length, 2.0)
    return SupportBay(0, area, 0.0, STEP, np.array(faults), count, bad, (1, 3), (1, 3), len(faults) - 4)


@pytest.mark.property
@settings(max_examples=40)
@given(st.lists(st.sampled_from([0.0, 0.3]), min_size=5, max_size=11))
def test_the_places_are_those_of_all_arrangements(faults: list[float]) -> None:
    """Every place, and every pair of places, that some arrangement of the fewest supports takes, and no others."""
    last = len(faults) - 4

    def sound(chosen: tuple[int, ...]) -> bool:
        apart = np.diff(chosen)
        return 1 <= chosen[0] <= 3 and chosen[-1] >= last and bool((apart <= 3).all())

    count = next(n for n in range(1, len(faults)) if any(map(sound, combinations(range(len(faults)), n))))
    ways = [chosen for chosen in combinations(range(len(faults)), count) if sound(chosen)]
    least = min(sum(faults[k] for k in way) for way in ways)
    best = [way for way in ways if sum(faults[k] for k in way) <= least + 1e-9]
    found = bay(faults, count, least)
    assert np.flatnonzero(found.alone).tolist() == sorted({k for way in best for k in way})
    pairs = {pair for pair in combinations(range(len(faults)), 2) if found.alone[pair[0]] and found.both(*pair)}
    assert pairs == {pair for way in best for pair in combinations(way, 2)}


@pytest.mark.example
def test_a_joint_is_borne_for_as_long_as_the_bay_is() -> None:
    """A joint 5 m long over a bay 2 m long, between places of its grid; none beside the bay, and none across it."""
    room = SupportRoom((bay([0.0] * 8, 2, 0.0),))
    wide = shapely.box(-1.0, -1.0, 1.0, 4.0)
    (found,) = room.under(Cut(0, 2 * STEP + 0.01), wide)
    assert (found.number, found.length) == (2, pytest.approx(2.0))
    assert room.under(Cut(0, -STEP), wide) == room.under(Cut(1, 0.1), wide) == []
    assert list(room.places(0)) == pytest.approx([STEP, 6 * STEP])
