"""What bends cold, and of how many strips what does not is glued up."""

import numpy as np
import pytest

from sketcher.analysis.cut.timber.bends import BEND, least_radius, strips_for


@pytest.mark.closed_form
@pytest.mark.parametrize("radius", [0.5, 2.0, 10.0])
def test_the_least_radius_of_an_arc_is_its_own(radius: float) -> None:
    """Over a metre of a circle; strips of it are no thicker than a hundredth of it, and one fewer would be."""
    turn = np.linspace(0.0, 1.0 / radius, 400)
    line = radius * np.column_stack([np.sin(turn), 1.0 - np.cos(turn), 0.0 * turn])
    assert least_radius(line) == pytest.approx(radius, rel=1e-3)
    count = strips_for(0.045, radius)
    if count is not None:
        assert 0.045 / count <= radius / BEND + 1e-9
        assert count == 1 or 0.045 / (count - 1) > radius / BEND
