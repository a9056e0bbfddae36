"""Places brought inside an outline by so much, or as far as there is room."""

import numpy as np
import pytest
from shapely.geometry import box

from sketcher.geometry.flat.inset import drawn_in


@pytest.mark.closed_form
def test_places_stand_so_far_inside_or_halfway_in_a_neck() -> None:
    """In a strip 100 mm wide, 40 mm inside it: from outside, from a corner and from within; 80 mm have no room there, 40 have."""
    strip = box(0.0, 0.0, 1.0, 0.1)
    places = np.array([[0.5, 0.2], [0.0, 0.0], [0.5, 0.05]])
    inside = np.array([[0.5, 0.06], [0.04, 0.04], [0.5, 0.05]])
    assert drawn_in(strip, places, 0.04) == pytest.approx(inside, abs=1e-9)
    assert drawn_in(strip, places, 0.08) == pytest.approx(inside, abs=1e-9)
