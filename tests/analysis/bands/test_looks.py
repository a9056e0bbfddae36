"""Boats that are looked at."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from box_boat import box_known

from sketcher.analysis.bands.looks import BoatLook


def values(look: BoatLook | None) -> object:
    return None if look is None else look.values


@pytest.mark.example
def test_boats_are_looked_at_in_order_whoever_does_it() -> None:
    """By an executor as by none; a boat whose stations would change places is none."""
    looking = box_known().looking
    moves = [np.eye(len(looking.readings))[0], np.eye(len(looking.readings))[0] * 1000.0]
    with ThreadPoolExecutor(2) as executor:
        shared = looking.all(moves, executor)
    alone = looking.all(moves, None)
    assert [values(look) for look in shared] == [values(look) for look in alone]
    assert alone[1] is None
    assert alone[0] is not None
    assert alone[0].values["compartments.peak.volume_m3"] == pytest.approx(1.8 * 0.995, rel=1e-9)
