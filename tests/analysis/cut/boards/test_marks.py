"""Lines drawn on a board, where they can be worked out by hand."""

import numpy as np
import pytest
import shapely
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.marks import datum_marks, landing_marks
from sketcher.analysis.results import WaterPlane
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.solid.section import Frame
from sketcher.model.scene import Bulkhead, Lid

ACROSS = Frame((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
"""The plane of a bulkhead at 1 m: u to starboard, v up."""
BLANK = shapely.box(-0.8, 0.1, 0.8, 0.9)


@pytest.mark.closed_form
@pytest.mark.parametrize(("units", "level"), [("mm", 0.5), ("in", 0.508)])
def test_datum_lines_of_a_bulkhead(units: str, level: float) -> None:
    """Centreline plumb through the middle, waterline at its height, a level line at a whole step of the owner's tape."""
    water = WaterPlane(forward=0.42, after=0.42, heel=0.0, x_forward=0.0, x_after=4.0)
    found = {mark.kind: mark.line for mark in datum_marks("bulkhead", ACROSS, BLANK, water, units)}
    assert set(found) == {"centreline", "waterline", "level line"}
    assert found["centreline"][:, 0] == pytest.approx(0.0)
    assert np.sort(found["centreline"][:, 1]) == pytest.approx([0.1, 0.9])
    assert found["waterline"][:, 1] == pytest.approx(0.42)
    assert found["level line"][:, 1] == pytest.approx(level)


@pytest.mark.closed_form
def test_a_lid_lands_on_its_bulkhead_over_its_thickness() -> None:
    """A strip as high as the lid is thick, from side to side of the boat, on the face that it meets and on no other."""
    form = box_form()
    scene = layout_scene(
        form,
        bulkheads=(Bulkhead(name="collision", at=1.0, thickness=0.02),),
        lids=(Lid(name="top", height=0.5, start="collision", end=3.0, thickness=0.012),),
    )
    shapes = place_panels(scene, form).shapes
    (bulkhead,) = (shape for shape in shapes if shape.name == "collision")
    after = Frame((1.02, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    forward = Frame((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    (mark,) = landing_marks(bulkhead, shapes, after, shapely.box(-1.0, 0.0, 1.0, 1.0), forward, ("after", "forward"))
    assert mark.panel == "top"
    assert shapely.Polygon(mark.line).bounds == pytest.approx((-1.0, 0.488, 1.0, 0.5), abs=1e-5)
