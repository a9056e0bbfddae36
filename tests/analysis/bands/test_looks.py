"""Boats that are looked at."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest
from box_boat import box_known

from sketcher.analysis.bands.looks import BoatLook
from sketcher.model.contents import Bottles


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


@pytest.mark.example
def test_what_takes_long_is_left_out_where_nothing_depends_on_it() -> None:
    """Figures of flooding need a boat that is holed; where bottles are packed, what these change needs a boat with them."""
    plain = box_known().looking
    assert plain.seen_intact("limits.large.met")
    assert not plain.seen_intact("flooding.peak.verdict")
    soda = Bottles(name="soda", space="peak", diameter=0.09, length=0.32, litres=0.00155, kg=0.04)
    packed = replace(plain, scene=replace(plain.scene, bottles=(soda,)))
    assert packed.intact.scene.bottles == ()
    assert packed.seen_intact("compartments.peak.volume_m3")
    assert not packed.seen_intact("compartments.peak.permeability")
    assert not packed.seen_intact("bottles.peak.uplift_kg")
