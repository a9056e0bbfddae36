"""By which point inside it a space keeps its name while a panel is dragged."""

import numpy as np
import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.spaces.drag.name_tracking import point_inside
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.solid.rays import holds
from sketcher.model.scene import Bulkhead

BOX = box_form()
"""4 m long, 2 m wide, 1 m deep."""


@pytest.mark.property
@pytest.mark.parametrize("share", [0.25, 0.4, 0.5, 0.6, 0.75])
def test_the_point_lies_in_the_space_and_not_in_a_low_bulkhead_half_way_along_it(share: float) -> None:
    """Wherever such a bulkhead's forward face stands in the space, just where it is looked at too."""
    low = Bulkhead(name="low", at=share * 4.0, top=0.9, thickness=0.012)
    (space,) = lay_out(layout_scene(BOX, bulkheads=(low,)), BOX).compartments
    assert holds(space.mesh, np.array(point_inside(space)))
