import numpy as np
import pytest

from sketcher.geometry.mesh import Floats, GeometryError
from sketcher.geometry.surface.shell import grid_triangles
from sketcher.geometry.surface.trim import MarkedSheet

LEFT, RIGHT = 1, 2


def _square(steps: int = 7) -> MarkedSheet:
    """A plane sheet over x and z from 0 to 1, at y = 1."""
    x, z = np.meshgrid(np.linspace(0.0, 1.0, steps), np.linspace(0.0, 1.0, steps), indexing="ij")
    vertices = np.stack([x, np.ones_like(x), z], axis=2).reshape(-1, 3)
    return MarkedSheet(vertices, grid_triangles(steps, steps), np.zeros(len(vertices), dtype=np.int64))


def _area(sheet: MarkedSheet) -> float:
    a, b, c = sheet.vertices[sheet.triangles.T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def _slope(vertices: Floats) -> Floats:
    """Height over the line that rises from x = 0.31 at the bottom to 0.51 at the top."""
    return vertices[:, 0] - 0.31 - 0.2 * vertices[:, 2]


@pytest.mark.closed_form
def test_square_is_cut_along_a_sloping_line() -> None:
    """A square cut along a line from 0.31 to 0.51 keeps 0.59 of its area on one side and 0.41 on the other."""
    sheet = _square()
    assert _area(sheet.trimmed(_slope(sheet.vertices), LEFT)) == pytest.approx(0.59)
    assert _area(sheet.trimmed(-_slope(sheet.vertices), LEFT)) == pytest.approx(0.41)


@pytest.mark.example
def test_cut_edges_are_found_by_what_cut_them() -> None:
    """Each of two cuts leaves its own run of the open edge, corner included, lying on the cut."""
    sheet = _square()
    sheet = sheet.trimmed(_slope(sheet.vertices), LEFT)
    sheet = sheet.trimmed(0.72 - sheet.vertices[:, 2], RIGHT).tidy()
    left, right = sheet.edges((LEFT, RIGHT))
    assert _slope(left) == pytest.approx(0.0, abs=1e-12)
    assert right[:, 2] == pytest.approx(0.72)
    assert (np.linalg.norm(left[:, None] - right[None], axis=2) < 1e-12).sum() == 1


@pytest.mark.example
def test_edge_in_two_pieces_is_refused() -> None:
    """A cut with a tongue left across its middle is no single run of the edge."""
    sheet = _square(11)
    x, _, z = sheet.vertices.T
    tongued = sheet.trimmed(np.where(np.abs(z - 0.5) < 0.15, 1.0, x - 0.31), LEFT).tidy()
    with pytest.raises(GeometryError, match="more than one piece"):
        tongued.edges((LEFT,))


@pytest.mark.example
def test_sheet_cut_away_is_refused() -> None:
    """Nothing left of a sheet has no edge."""
    sheet = _square()
    with pytest.raises(GeometryError, match="nothing is left"):
        sheet.trimmed(np.full(len(sheet.vertices), -1.0), LEFT).edges((LEFT,))


@pytest.mark.example
def test_vertex_on_the_cut_stays_where_it_is() -> None:
    """A cut along a line of the grid adds no slivers and moves nothing."""
    sheet = _square(5)
    cut = sheet.trimmed(sheet.vertices[:, 0] - 0.5, LEFT).tidy()
    assert _area(cut) == pytest.approx(0.5)
    assert len(cut.triangles) == len(sheet.triangles) // 2
