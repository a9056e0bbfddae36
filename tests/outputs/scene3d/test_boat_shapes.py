"""The boat as shapes to draw."""

from __future__ import annotations

import numpy as np
import pytest
from shapes import box

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.outputs.scene3d.boat_shapes import plane_segments
from sketcher.outputs.scene3d.shapes import Surface, creases, label_edges

pytestmark = pytest.mark.closed_form


def labelled_box() -> TriMesh:
    """A box of 2 x 1 x 1 with its top labelled as deck, its fore face as a panel, the rest skin."""
    mesh = box((0, 0, 0), (2, 1, 1))
    middles = mesh.vertices[mesh.triangles].mean(axis=1)
    labels = np.where(middles[:, 2] > 0.999, 1, np.where(middles[:, 0] < 0.001, 10, 0))
    return TriMesh(mesh.vertices, mesh.triangles, labels)


def test_corners_are_where_labels_meet() -> None:
    """The deck's outline and the panel's, the edge they share counted once; no diagonal within a face."""
    mesh = labelled_box()
    edges = label_edges(mesh)
    lengths = np.linalg.norm(mesh.vertices[edges[:, 0]] - mesh.vertices[edges[:, 1]], axis=1)
    assert sorted(lengths.round(9).tolist()) == [1, 1, 1, 1, 1, 2, 2]


def test_whose_a_triangle_is_can_be_asked_by_the_owner() -> None:
    """Of triangles of three kinds, two of one owner; of those that are all of one kind."""
    points, triangles, kinds = np.zeros((3, 3)), np.zeros((4, 3), dtype=np.int64), np.array([0, 1, 2, 1])
    colours = np.zeros((3, 3), dtype=np.uint8)
    parted = Surface(points=points, triangles=triangles, colours=colours, owner_of=np.array([7, 5, 7]), kinds=kinds)
    plain = Surface(points=points, triangles=triangles, colours=colours[:1], owner_of=np.array([5]))
    for surface in (parted, plain):
        for owner in (5, 6, 7):
            assert surface.owned_by(owner).tolist() == (surface.owners == owner).tolist()


def test_a_body_is_outlined_where_it_turns_sharply() -> None:
    """A box has twelve edges: four of 2 m, eight of 1 m; no diagonal of its faces."""
    mesh = box((0, 0, 0), (2, 1, 1))
    ends = mesh.vertices[creases(mesh)]
    assert sorted(np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1).round(9).tolist()) == [1] * 8 + [2] * 4


@pytest.mark.example
def test_a_mesh_of_one_label_has_no_corners() -> None:
    """Skin alone has no line."""
    mesh = box((0, 0, 0), (1, 1, 1))
    assert len(label_edges(TriMesh(mesh.vertices, mesh.triangles, np.zeros(len(mesh.triangles), dtype=int)))) == 0


def test_the_waterline_goes_once_round_a_box() -> None:
    """A level plane meets a box of 2 x 1 in a line of 6 m."""
    pairs = plane_segments(box((0, 0, 0), (2, 1, 1)), Plane.level(0.4)).reshape(-1, 2, 3)
    assert np.linalg.norm(pairs[:, 0] - pairs[:, 1], axis=1).sum() == pytest.approx(6.0)
    assert pairs[:, :, 2] == pytest.approx(0.4)
