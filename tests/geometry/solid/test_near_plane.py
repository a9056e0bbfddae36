"""What lies near a plane, found among fewer triangles."""

import numpy as np
import pytest
import trimesh

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.cut_edges import cut_edges
from sketcher.geometry.solid.near_plane import around_plane
from sketcher.geometry.solid.section import frame_z, section


@pytest.mark.property
@pytest.mark.parametrize("height", [-0.4, 0.0, 0.13, 0.7])
def test_what_lies_around_a_plane_is_cut_as_the_whole_is(height: float) -> None:
    """The cut of a ball at a height, and how its surface faces there, from the few triangles around the plane alone."""
    ball = trimesh.creation.icosphere(subdivisions=4)
    whole = TriMesh(ball.vertices, ball.faces, np.zeros(len(ball.faces), dtype=np.int64))
    around = around_plane(whole, frame_z(height), 0.006)
    assert len(around.triangles) < len(whole.triangles) / 3
    assert section(around, frame_z(height)).equals(section(whole, frame_z(height)))
    one, other = (cut_edges(mesh, frame_z(height)) for mesh in (whole, around))
    assert np.array_equal(one.start_normals, other.start_normals)
