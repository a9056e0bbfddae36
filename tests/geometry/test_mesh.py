"""Answers about a mesh, kept while the mesh is in use."""

from __future__ import annotations

import gc
import weakref

import numpy as np
import pytest

from sketcher.geometry.mesh import ANSWERS_KEPT, TriMesh, kept_with_mesh

pytestmark = pytest.mark.example


def triangle() -> TriMesh:
    """Three corners and one face."""
    return TriMesh(np.eye(3), np.array([[0, 1, 2]]), np.array([0]))


def test_an_answer_about_a_mesh_is_worked_out_once_for_each_question() -> None:
    """Another mesh or another question is asked afresh; of many questions about one mesh the oldest is forgotten."""
    asked = []
    question = kept_with_mesh(lambda mesh, more: asked.append(more) or more)
    mesh = triangle()
    assert [question(mesh, 1), question(mesh, 1), question(mesh, 2), question(triangle(), 1)] == [1, 1, 2, 1]
    assert asked == [1, 2, 1]
    for more in range(2, ANSWERS_KEPT + 2):
        question(mesh, more)
    asked.clear()
    question(mesh, 1)
    assert asked == [1]


def test_an_answer_keeps_no_mesh_alive() -> None:
    """A mesh that nothing else uses is gone, with its answers."""
    question = kept_with_mesh(lambda mesh: len(mesh.vertices))
    mesh = triangle()
    gone = weakref.ref(mesh)
    assert question(mesh) == 3
    del mesh
    gc.collect()
    assert gone() is None
