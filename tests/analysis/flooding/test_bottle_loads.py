"""What bottles in flooded water push up with, on the lid over them."""

from dataclasses import replace

import numpy as np
import pytest
from specimens import filled

from sketcher.analysis.evaluate import with_flooding
from sketcher.analysis.fit.bottles import BottleStow
from sketcher.analysis.flooding.bottle_loads import bottle_pushes, wet_shares
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.geometry.plane import Plane
from sketcher.model.contents import Bottles
from sketcher.model.scene import Waterline
from sketcher.outputs.wording.sentences import message as in_words

LARGE = Bottles(name="large", space="void", diameter=0.1, length=0.4, litres=0.003, kg=0.05, direction="fore and aft")


def stow(direction: tuple[float, float, float], base: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> BottleStow:
    """One bottle, 100 mm through and 400 mm long."""
    return BottleStow(
        name="one", space="void", count=1, layers=1, direction=np.array(direction), base=np.array([base]), diameter=0.1,
        length=0.4, displaced=0.003, share=None, packed=0.0, lift=3.0, weight=0.05, passes=(),
    )  # fmt: skip


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("direction", "level", "share"),
    [
        ((0, 0, 1), 0.1, 0.25),
        ((0, 0, 1), -0.1, 0.0),
        ((1, 0, 0), 0.0, 0.5),
        ((1, 0, 0), 0.05, 1.0),
        ((1, 0, 0), 0.025, 1 - (np.pi / 3 - np.sqrt(3) / 4) / np.pi),
        ((np.sqrt(0.5), 0, np.sqrt(0.5)), np.sqrt(0.5) * 0.2, 0.5),
    ],
)
def test_the_part_of_a_cylinder_under_water(direction: tuple[float, float, float], level: float, share: float) -> None:
    """Upright by its length, on its side by the segment of a circle, askew half where the water stands at its middle."""
    assert wet_shares(stow(direction), Plane.of((0.0, 0.0, 1.0), level))[0] == pytest.approx(share, abs=0.0025)


@pytest.mark.closed_form
def test_bottles_all_under_push_with_lift_less_weight() -> None:
    """In a void flooded over its lid each bottle of 3 litres pushes with 3 x 1.025 - 0.05 kg; half the bottles' height, half."""
    boat = filled(bottles=(LARGE,), waterline=Waterline(forward=0.6, after=0.6))
    assert boat.contents is not None
    assert boat.water is not None
    (case,) = flooding_cases(boat.layout, boat.water, boat.floating, ["void"])
    assert case.water is not None
    assert case.water.height(2.0) > 0.5
    (push,) = bottle_pushes(boat.contents.bottles, case, 1025.0)
    (space,) = boat.contents.bottles
    assert push.load == pytest.approx(space.stows[0].count * (3 * 1.025 - 0.05))
    assert push.load == pytest.approx(space.uplift)
    assert (push.lids, push.share) == (("top",), 1.0)
    assert bottle_pushes(boat.contents.bottles, replace(case, floods=()), 1025.0) == ()


@pytest.mark.closed_form
def test_the_low_lid_is_told_of_the_bottles_under_it() -> None:
    """The finding on a lid under the flooded water gives the water's lift and the bottles'."""
    boat = filled(bottles=(LARGE,), waterline=Waterline(forward=0.6, after=0.6))
    assert boat.contents is not None
    assert boat.water is not None
    cases = flooding_cases(boat.layout, boat.water, boat.floating)
    (finding,) = [each for each in with_flooding(boat, cases).findings if each.code == "lid-under-flooded-water"]
    assert f"and the bottles in void with {boat.contents.bottles[0].uplift:.0f} kg" in in_words(finding)
