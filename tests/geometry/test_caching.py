import gc
import weakref

import numpy as np
import pytest
from shapely.geometry import box

from sketcher.geometry.caching import kept_with_owner, remembered, value_of
from sketcher.geometry.mesh import TriMesh


def triangle(height: float) -> TriMesh:
    corners = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, height]])
    return TriMesh(corners, np.array([[0, 1, 2]]), np.zeros(1, dtype=np.int64))


@pytest.mark.example
def test_equal_numbers_are_asked_only_once() -> None:
    """A mesh made anew with the same numbers gets the answer kept; another one is worked out."""
    asked = []

    @remembered(2)
    def height(mesh: TriMesh, over: float = 0.0) -> float:
        asked.append(mesh)
        return float(mesh.vertices[:, 2].max()) + over

    assert [height(triangle(1.0)), height(triangle(1.0)), height(triangle(2.0)), height(triangle(1.0), over=1.0)] == [1, 1, 2, 2]
    assert len(asked) == 3


@pytest.mark.example
def test_the_oldest_answer_goes_first() -> None:
    """Only so many answers are kept, those asked for last."""
    asked = []

    @remembered(2)
    def same(number: float) -> float:
        asked.append(number)
        return number

    for number in (1.0, 2.0, 1.0, 3.0, 1.0, 2.0):
        same(number)
    assert asked == [1.0, 2.0, 3.0, 2.0]


@pytest.mark.example
def test_what_tells_arguments_apart() -> None:
    """Shape and kind of numbers count beside the numbers; outlines by their corners; what has no value is refused."""
    assert value_of(np.zeros(4)) != value_of(np.zeros((2, 2)))
    assert value_of(np.zeros(4)) != value_of(np.zeros(4, dtype=np.int64))
    assert value_of(box(0, 0, 1, 1)) == value_of(box(0, 0, 1, 1)) != value_of(box(0, 0, 1, 2))
    assert value_of([np.ones(2), 1.0]) == value_of((np.ones(2), 1.0))
    with pytest.raises(TypeError, match="a dict cannot be remembered"):
        value_of({})


@pytest.mark.example
def test_what_watches_the_work_is_no_part_of_the_question_and_half_an_answer_is_not_kept() -> None:
    """A named argument may be ignored, and answers that are not whole are worked out again."""
    asked = []

    @remembered(4, ignore=("watch",), whole=lambda answer: answer > 0)
    def work(number: int, watch: object = None) -> int:
        asked.append(number)
        return number

    assert [work(1, watch=[]), work(1, watch={}), work(-1), work(-1)] == [1, 1, -1, -1]
    assert asked == [1, -1, -1]


@pytest.mark.example
def test_an_answer_about_a_mesh_is_worked_out_once_for_each_question() -> None:
    """Another mesh or another question is asked afresh; of many questions about one mesh the oldest is forgotten."""
    asked = []
    question = kept_with_owner(4)(lambda mesh, more: asked.append(more) or more)
    mesh = triangle(1.0)
    assert [question(mesh, 1), question(mesh, 1), question(mesh, 2), question(triangle(1.0), 1)] == [1, 1, 2, 1]
    assert asked == [1, 2, 1]
    for more in range(2, 6):
        question(mesh, more)
    asked.clear()
    question(mesh, 1)
    assert asked == [1]


@pytest.mark.example
def test_an_answer_keeps_no_mesh_alive() -> None:
    """A mesh that nothing else uses is gone, with its answers."""
    question = kept_with_owner(4)(lambda mesh: len(mesh.vertices))
    mesh = triangle(1.0)
    gone = weakref.ref(mesh)
    assert question(mesh) == 3
    del mesh
    gc.collect()
    assert gone() is None
