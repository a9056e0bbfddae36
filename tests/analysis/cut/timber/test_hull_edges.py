"""Where lids meet the hull, and how the skin leans below them."""

import numpy as np
import pytest
from shapes import wedge
from specimens import form_of

from sketcher.analysis.cut.timber.hull_edges import hull_edge
from sketcher.geometry.plane import Plane


@pytest.mark.closed_form
@pytest.mark.parametrize("side", [-1, 1])
def test_the_edge_of_a_wedge_is_straight_and_leans_as_its_side(side: int) -> None:
    """0.5 m up a side that leans 0.6 m out for each metre: 0.3 m off the centreline, atan 0.6 all along, and nothing hollow."""
    edge = hull_edge(form_of(wedge(4.0, 1.2, 1.0)), Plane.of((0.0, 0.0, -1.0), -0.5), side, 0.045)
    assert edge is not None
    assert edge.points[:, 1] == pytest.approx(0.3 * side, abs=1e-6)
    assert edge.inboard == pytest.approx(np.broadcast_to([0.0, -side], edge.inboard.shape), abs=1e-9)
    assert edge.bevel == pytest.approx(np.degrees(np.arctan(0.6)), abs=1e-3)
    assert edge.hollow == pytest.approx(0.0, abs=1e-6)


@pytest.mark.closed_form
def test_a_lid_over_the_hull_has_no_edge() -> None:
    """2 m up there is nothing of a hull 1 m deep."""
    assert hull_edge(form_of(wedge(4.0, 1.2, 1.0)), Plane.of((0.0, 0.0, -1.0), -2.0), 1, 0.045) is None
