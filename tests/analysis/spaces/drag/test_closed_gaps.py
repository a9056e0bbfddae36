"""Gaps closed before a panel cuts their piece: only where the cut is well clear of them."""

import numpy as np
import pytest

from sketcher.analysis.spaces.drag.closed_gaps import ClosedPiece
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface

NONE = np.zeros(0, dtype=np.int64)
PARTED, CLOSED = (TracedSurface(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64), NONE, NONE) for _ in range(2))


def aft_of(x: float) -> Plane:
    return Plane.of((1.0, 0.0, 0.0), x)


def piece(*places: float, gap_volume: float = 1e-4) -> ClosedPiece:
    """A piece with strips at places along it [m], each looking 20 mm far."""
    return ClosedPiece(CLOSED, np.array([[x, 0.0, 0.0] for x in places]), 0.02, NONE, NONE, gap_volume)


@pytest.mark.example
def test_a_gap_near_the_cut_is_looked_for_anew() -> None:
    """Within the reach of its strip, on either side."""
    assert piece(1.0).beyond(aft_of(1.01), PARTED) is None
    assert piece(1.0).beyond(aft_of(0.99), PARTED) is None


@pytest.mark.example
def test_a_gap_clear_of_the_cut_stays_closed_on_its_own_side() -> None:
    """On the other side of the cut there is no gap, and the piece is as it was."""
    kept = piece(1.0).beyond(aft_of(0.9), PARTED)
    assert kept is not None
    assert kept.surface is CLOSED
    gone = piece(1.0).beyond(aft_of(0.9).flipped, PARTED)
    assert gone is not None
    assert (gone.surface is PARTED, len(gone.strips), gone.gap_volume) == (True, 0, 0.0)


@pytest.mark.example
def test_of_gaps_on_both_sides_one_may_tell_for_the_other() -> None:
    """So they are looked for anew; strips along which there is no gap may lie anywhere."""
    assert piece(0.5, 1.0).beyond(aft_of(0.8), PARTED) is None
    assert piece(0.5, 1.0, gap_volume=0.0).beyond(aft_of(0.8), PARTED) is not None
