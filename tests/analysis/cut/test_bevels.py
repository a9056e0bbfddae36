"""Bevels and outlines of a board in a box and between leaning panels, by trigonometry."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bevels import bevel_angles, lean_along, marked_bevels
from sketcher.analysis.cut.outlines import BoardFace, board_face, clip_lines, edges_of_area
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.vectors import triple
from sketcher.model.cutting import USUAL_CUTTING
from sketcher.model.scene import Bulkhead, Scene

THICKNESS = 0.02
FORM = box_form(4.0, 2.0, 1.0)


def scene_with(bulkhead: Bulkhead) -> Scene:
    return layout_scene(FORM, bulkheads=(bulkhead,))


def faces_of(bulkhead: Bulkhead) -> tuple[BoardFace, BoardFace]:
    """A bulkhead's after face, drawn, and its forward face, both seen with u to starboard and v up."""
    shapes = place_panels(scene_with(bulkhead), FORM).shapes
    after = shapes[0].back
    place = np.array([(after.distance - 0.5 * after.normal[2]) / after.normal[0], 0.0, 0.5])
    up = triple(np.cross(after.normal, (0.0, 1.0, 0.0)))
    frames = [Frame(triple(each), (0.0, 1.0, 0.0), up) for each in (place, place - THICKNESS * after.normal)]
    drawn, other = (board_face(FORM, shapes, 0, shapes[0].convex[0], frame, USUAL_CUTTING) for frame in frames)
    return drawn, other


@pytest.mark.closed_form
@given(st.floats(-80.0, 80.0))
def test_the_bevel_is_the_angle_between_surface_and_board(angle: float) -> None:
    """A surface that leans by an angle out of square gives that angle, positive where the face looked at is the longer."""
    facing = np.array([[-np.sin(np.radians(angle)), np.cos(np.radians(angle)), 0.0]])
    assert bevel_angles(facing, np.array([1.0, 0.0, 0.0])) == pytest.approx([angle])


@pytest.mark.closed_form
def test_a_square_board_in_a_box_is_the_box_less_its_gaps() -> None:
    """The hull's section exactly, 6 mm less all round where it is cut, and no bevel anywhere."""
    drawn, other = faces_of(Bulkhead(name="b", at=2.0, thickness=THICKNESS))
    gap = USUAL_CUTTING.gap
    assert drawn.exact.area == pytest.approx(2.0)
    assert drawn.net.area == pytest.approx((2.0 - 2 * gap) * (1.0 - 2 * gap), rel=1e-6)
    assert {each.kind for each in drawn.stretches.neighbours} == {"hull", "deck"}
    lean = lean_along(drawn.net.exterior, (drawn, other), THICKNESS, shapely.Polygon(), 0.05)
    assert np.abs(lean.angle).max() < 1e-6


@pytest.mark.closed_form
@pytest.mark.parametrize("rake", [-12.0, 5.0, 20.0])
def test_a_raked_board_is_bevelled_by_its_rake_above_and_below(rake: float) -> None:
    """Against the level bottom and deck of a box by the rake itself, one face longer at each; against its sides not at all."""
    drawn, other = faces_of(Bulkhead(name="b", at=2.0, at_height=0.5, rake=rake, thickness=THICKNESS))
    lean = lean_along(drawn.net.exterior, (drawn, other), THICKNESS, shapely.Polygon(), 0.05)
    marked = marked_bevels(lean, drawn)
    above = [bevel.angle for bevel in marked if bevel.edge == "deck"]
    below = [bevel.angle for bevel in marked if bevel.edge == "hull" and bevel.at[1] < 0.0 and abs(bevel.at[0]) < 0.98]
    sides = [bevel.angle for bevel in marked if abs(bevel.at[1]) < 0.4]
    assert above == pytest.approx([rake] * len(above))
    assert below == pytest.approx([-rake] * len(below))
    assert sides == pytest.approx([0.0] * len(sides), abs=1e-6)
    assert min(len(above), len(below), len(sides)) >= 10


@pytest.mark.closed_form
def test_a_panels_own_limits_clip_a_plane_to_a_rectangle() -> None:
    """From 300 mm to port to 500 to starboard, between 200 and 700 mm: its edges' lines leave just that."""
    scene = scene_with(Bulkhead(name="b", at=2.0, thickness=THICKNESS, span=(-0.3, 0.5), bottom=0.2, top=0.7))
    (shape,) = place_panels(scene, FORM).shapes
    area = clip_lines(shape.convex[0], Frame((2.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    assert area.bounds == pytest.approx((-0.3, 0.2, 0.5, 0.7))
    starts, ends = edges_of_area(area)
    assert np.hypot(*(ends - starts).T).sum() == pytest.approx(2 * (0.8 + 0.5))
