"""Two sides joined on the centreline, of boxes whose volumes are arithmetic."""

import numpy as np
import pytest

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.surface.seam import joined_sides
from sketcher.geometry.surface.shell import half_body, mirrored

DECK = 1


def body(half: float, depth: float, steps: int = 1) -> TriMesh:
    """A box 4 m long about y = 0, up to z = 1, in so many steps along; what faces up is deck."""
    across = np.array([[0.0, 1.0 - depth], [half, 1.0 - depth], [half, 1.0], [0.0, 1.0]])
    grid = np.stack([np.column_stack([np.full(4, x), across]) for x in np.linspace(0.0, 4.0, steps + 1)])
    return mirrored(half_body(grid, np.array([0, 0, DECK]), (0, 0)))


@pytest.mark.closed_form
@pytest.mark.parametrize(("steps", "halfway"), [(1, False), (3, True)])
def test_each_half_keeps_its_breadth(steps: int, halfway: bool) -> None:
    """Half-breadths of 1 and 0.6 m, facets that do not meet along the seam: 4 x 1.6 x 1 m, closed, its deck all deck."""
    whole = joined_sides(body(1.0, 1.0), body(0.6, 1.0, steps), DECK, halfway=halfway)
    assert whole.volume == pytest.approx(6.4)
    a, b, c = whole.vertices[whole.triangles[whole.labels == DECK].T]
    assert np.cross(b - a, c - a)[:, 2].sum() / 2.0 == pytest.approx(6.4)
    assert to_manifold(whole, reserve_ids(1)).genus() == 0


@pytest.mark.closed_form
def test_edges_a_little_apart_meet_in_the_middle() -> None:
    """Depths of 1 and 0.96 m: 0.98 m deep on the centreline, each side's bottom rising or falling to its own edge."""
    whole = joined_sides(body(1.0, 1.0), body(1.0, 0.96), DECK, halfway=True)
    assert whole.volume == pytest.approx(4.0 * (1.0 + 0.96 - 0.02 / 2 + 0.02 / 2))
    assert whole.vertices[whole.vertices[:, 1] == 0.0, 2].min() == pytest.approx(0.02)


@pytest.mark.closed_form
def test_edges_far_apart_leave_a_step() -> None:
    """Depths of 1 and 0.7 m: each side's own volume, and nothing inside where they meet."""
    whole = joined_sides(body(1.0, 1.0), body(1.0, 0.7), DECK, halfway=True)
    assert whole.volume == pytest.approx(4.0 * 1.7)
    a, b, c = whole.vertices[whole.triangles.T]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0
    on_seam = (whole.vertices[whole.triangles][..., 1] == 0.0).all(axis=1)
    assert area[on_seam].sum() == pytest.approx(4.0 * 0.3)
