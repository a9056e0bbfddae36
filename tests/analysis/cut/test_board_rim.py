"""The rim of a board beside shell and deck: what runs along what, how far off it is, and the rim moved out."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from specimens import box_form

from sketcher.analysis.cut.board_rim import BoardRim
from sketcher.geometry.solid.section import Frame

FRAME = Frame((2.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
"""Across the middle of a box that is 4 m long, 2 m wide and 1 m high."""
GAP = 0.006
BOARD = shapely.box(-1.0 + GAP, GAP, 1.0 - GAP, 1.0 - GAP)


@pytest.fixture(scope="module")
def rim() -> BoardRim:
    return BoardRim.of(BOARD, box_form(4.0, 2.0, 1.0), FRAME, GAP)


@pytest.mark.closed_form
def test_edges_run_along_the_box_and_face_out_of_it(rim: BoardRim) -> None:
    """Every stretch runs along bottom, side or deck, square to the board, and faces away from its middle."""
    assert (rim.kind >= 0).all()
    assert set(rim.kind[rim.middles[:, 1] > 0.99].tolist()) == {1}
    assert rim.slant == pytest.approx(np.ones(len(rim.slant)))
    assert (np.einsum("ij,ij->i", rim.out, rim.middles - [0.0, 0.5]) > 0.0).all()


@pytest.mark.closed_form
def test_a_planned_gap_is_the_least_distance(rim: BoardRim) -> None:
    """0.3 m off the starboard side: 0.3, facing starboard; too far from everything: infinite."""
    away, toward = rim.planned_gap((0.7, 0.5), 0, 0.4)
    assert (away, toward.tolist()) == (pytest.approx(0.3), pytest.approx([1.0, 0.0]))
    assert rim.planned_gap((0.0, 0.5), 0, 0.2)[0] == float("inf")


@pytest.mark.closed_form
def test_a_rim_moved_out_all_round_is_the_larger_box(rim: BoardRim) -> None:
    """By 4 mm: corners where the moved edges meet."""
    moved = rim.moved(np.full(len(rim.points), 0.004))
    assert moved.symmetric_difference(BOARD.buffer(0.004, join_style="mitre")).area < 1e-9
