"""Panels taken out of a box: what each cut leaves, which parts face each other, and which lie in which block."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from specimens import PANELS, box_form, layout_scene

from sketcher.analysis.spaces.blocks import LayoutBlock, home_of, layout_block, together
from sketcher.analysis.spaces.boolean_cuts import hull_solid, owners_of, panel_solids, taken_apart, with_trim
from sketcher.analysis.spaces.bounds import bounding_faces
from sketcher.analysis.spaces.compartments import spaces_from
from sketcher.analysis.spaces.drag.lazy_sequence import LazySequence
from sketcher.analysis.spaces.face_regions import board_frame, meetings, merged
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.analysis.spaces.plane_cuts import columns, cutting_order, faces_through, height_over, taken_out, without_panels
from sketcher.geometry.solid.boolean import solid_of
from sketcher.model.scene import Bulkhead, Lid, Scene

FORM = box_form(4.0, 2.0, 1.0)
HULL = hull_solid(FORM)
VOLUMES = {"locker": 2.0, "void": 1.98 * 2.0 * 0.49, "cabin": 1.98 * 2.0 * 0.5, "saloon": 0.98 * 2.0}
"""[m3] of the box boat's spaces."""


def block_of(scene: Scene) -> LayoutBlock:
    solids = panel_solids(place_panels(scene, FORM).shapes)
    rest, _ = taken_apart(HULL, solids)
    return layout_block(scene, rest, with_trim(HULL, solids), HULL, owners_of(HULL, solids))


BOAT = layout_scene(FORM, **PANELS)
BLOCK = block_of(BOAT)


@pytest.mark.closed_form
@given(st.floats(0.2, 3.7), st.floats(0.005, 0.1))
def test_a_bulkhead_parts_a_box_in_two_and_itself(at: float, thickness: float) -> None:
    """Ahead of it at x 2 m2, abaft it the rest less its thickness; its own volume is found by itself."""
    scene = layout_scene(FORM, bulkheads=(Bulkhead(name="b", at=at, thickness=thickness),))
    solids = panel_solids(place_panels(scene, FORM).shapes)
    pieces, board = taken_out(HULL.surface, [(solids.shapes[0], solids.origins[0], solids.solids[0])])
    assert sorted(solid_of(piece).volume() for piece in pieces) == pytest.approx(sorted([2.0 * at, 2.0 * (4.0 - at - thickness)]))
    assert board == pytest.approx(2.0 * thickness)
    (forward, after) = faces_through(HULL.surface, solids.shapes[0], solids.origins[0]) or ()
    assert [forward.plane.distance, after.plane.distance] == pytest.approx([-at, at + thickness])


@pytest.mark.example
def test_a_panel_that_ends_within_a_space_is_left_to_the_kernel() -> None:
    """Its two faces alone do not tell what it takes out; one beside the hull takes out nothing."""
    ending = Bulkhead(name="b", at=2.0, thickness=0.02, top=0.5)
    (shape,) = place_panels(layout_scene(FORM, bulkheads=(ending,)), FORM).shapes
    assert without_panels(HULL.surface, [(shape, 7)]) is None
    assert faces_through(HULL.surface, shape, 7) is None


@pytest.mark.property
@given(st.floats(0.1, 0.9), st.floats(0.0, 20.0))
def test_a_panel_inside_the_hull_is_what_the_solid_kernel_has_of_it(height: float, slope: float) -> None:
    """A lid that runs into two bulkheads, one of which ends within the space: the kernel is a library of its own, manifold3d."""
    bulkheads = (Bulkhead(name="a", at=1.0, thickness=0.02), Bulkhead(name="b", at=2.0, thickness=0.02, top=0.5))
    lid = Lid(name="top", height=height, slope=slope, start=0.5, end=3.0, thickness=0.01)
    solids = panel_solids(place_panels(layout_scene(FORM, bulkheads=bulkheads, lids=(lid,)), FORM).shapes)
    kernel = {shape.name: solid for shape, solid in zip(solids.shapes, solids.solids, strict=True)}
    for shape in with_trim(HULL, solids):
        expected = HULL.solid ^ kernel[shape.name]
        expected = expected - kernel["a"] - kernel["b"] if shape.kind == "lid" else expected
        assert shape.volume == pytest.approx(expected.volume(), abs=1e-12)
        assert set(shape.trimmed.labels.tolist()) <= {-1, *range(len(shape.faces))}


@pytest.mark.example
def test_what_a_panel_is_tied_to_is_cut_before_it() -> None:
    """A bulkhead under a lid comes after it, though bulkheads go first else."""
    scene = layout_scene(
        FORM,
        bulkheads=(Bulkhead(name="a", at=2.0, thickness=0.02, top="top"), Bulkhead(name="z", at=3.0, thickness=0.02)),
        lids=(Lid(name="top", height=0.5, start="stem", end="z", thickness=0.01),),
    )
    shapes = place_panels(scene, FORM).shapes
    order = [shape.name for shape, _ in cutting_order([(shape, k) for k, shape in enumerate(shapes)])]
    assert order == ["z", "top", "a"]


@pytest.mark.property
@given(st.lists(st.tuples(*[st.floats(-2.0, 5.0)] * 3), min_size=1, max_size=20))
def test_heights_over_a_face_are_those_over_its_plane(points: list[tuple[float, float, float]]) -> None:
    """To within what counts as in the plane."""
    (shape, *_) = BLOCK.shapes
    heights = height_over(columns(np.array(points)), shape, 0)
    assert heights == pytest.approx(np.array([shape.front.over(point) for point in points]), abs=2e-6)


@pytest.mark.closed_form
def test_the_parts_are_the_boxes_between_the_panels() -> None:
    """Each with its volume, its naming point and the faces that bound it."""
    spaces = spaces_from(BOAT, together([BLOCK]), BLOCK.shapes).compartments
    assert {space.name: space.volume for space in spaces} == pytest.approx(VOLUMES, rel=1e-5)
    bounds = {space.name: space.bounds for space in spaces}
    assert bounds["void"] == (("collision", "after"), ("main", "forward"), ("top", "under"))
    assert bounds["saloon"] == (("main", "after"),)
    assert sorted(bounding_faces(BLOCK.parts, BLOCK.shapes)) == sorted(bounds.values())


@pytest.mark.closed_form
def test_void_and_cabin_face_each_other_across_the_lid() -> None:
    """On its whole plan; locker and both spaces abaft it on the bulkhead's heights, saloon likewise."""
    found = meetings(BLOCK.boards)
    area = {frozenset((meeting.front, meeting.back)): meeting.region.area for meeting in found}
    locker, void, cabin, saloon = BLOCK.homes
    assert area[frozenset((void, cabin))] == pytest.approx(1.98 * 2.0, rel=1e-5)
    assert area[frozenset((locker, void))] == pytest.approx(2.0 * 0.49, rel=1e-4)
    assert area[frozenset((locker, cabin))] == pytest.approx(2.0 * 0.5, rel=1e-4)
    assert area[frozenset((void, saloon))] == pytest.approx(2.0 * 0.49, rel=1e-4)
    (lid,) = (k for k, shape in enumerate(BLOCK.shapes) if shape.kind == "lid")
    assert board_frame(BLOCK.shapes[lid], 0).plane.over((2.0, 0.0, 0.495)) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.property
@given(st.integers(0, 50), st.integers(0, 50))
def test_blocks_put_together_keep_their_regions(first: int, second: int) -> None:
    """Only the numbers of their parts are raised."""
    for board in merged([(BLOCK.boards, first), (BLOCK.boards, first + second + 4)]):
        mine = next(each for each in BLOCK.boards if (each.panel, each.piece) == (board.panel, board.piece))
        assert len(board.front) == 2 * len(mine.front)
        for k, region in mine.front.items():
            assert shapely.equals(board.front[k + first], region)


@pytest.mark.closed_form
def test_a_point_lies_in_the_part_that_holds_it() -> None:
    """In the middle of each space; in a board and outside the hull in none."""
    for home, point in zip(BLOCK.homes, ((0.5, 0.0, 0.5), (2.0, 0.5, 0.2), (2.0, 0.5, 0.8), (3.5, 0.0, 0.5)), strict=True):
        assert home_of(np.array(point), BLOCK.meshes) == home
    assert home_of(np.array((1.01, 0.0, 0.5)), BLOCK.meshes) == -1
    assert home_of(np.array((9.0, 0.0, 0.5)), BLOCK.meshes) == -1


@pytest.mark.property
@given(st.lists(st.integers()).map(tuple))
def test_a_later_sequence_is_its_tuple_worked_out_once(values: tuple[int, ...]) -> None:
    """Length, items, order, equality and hash; made at the first look and never again."""
    made: list[int] = []
    later = LazySequence(lambda: made.append(1) or values)
    assert made == []
    assert (len(later), tuple(later), later == values, hash(later), repr(later)) == (
        len(values),
        values,
        True,
        hash(values),
        repr(values),
    )
    assert later == LazySequence(lambda: values)
    assert made == [1]
