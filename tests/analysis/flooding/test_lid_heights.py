"""How high a lid must be over flooded water, and still water of a boat measured in part: by the geometry of boxes."""

import pytest
from floats import box_boat, layout_of, room, scene_of
from specimens import filled

from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.flooding.estimates import ROUNDS, estimate, still_water
from sketcher.analysis.flooding.freeboards import lid_tops
from sketcher.analysis.flooding.lid_heights import lids_in_water, over_and_under, room_over
from sketcher.analysis.results import Floating
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip_body
from sketcher.model.hull import WholeBoat

LID = 1.98 * 2.0
"""[m2] plan of the box boat's lid between its bulkheads."""


@pytest.mark.closed_form
def test_the_room_of_a_lid_is_its_board_and_what_stands_on_it() -> None:
    """The lid's 10 mm and the cabin's 500 mm over it, within its own edges."""
    layout = filled(openings=()).layout
    over, under = over_and_under(layout, "top")
    assert [[space.name for space in spaces] for spaces in (over, under)] == [["cabin"], ["void"]]
    number = next(k for k, shape in enumerate(layout.panels) if shape.name == "top")
    assert sum(mesh.volume for mesh in room_over(layout, number, frozenset({"void"}))) == pytest.approx(LID * 0.51, rel=1e-4)


@pytest.mark.closed_form
@pytest.mark.parametrize("margin", [0.0, 0.05])
def test_a_lid_must_clear_the_water_that_stands_without_it(margin: float) -> None:
    """Water at 600 mm over a lid at 500: if none more comes in, 600 mm and the margin are wanted."""
    layout = filled(openings=()).layout
    (level,) = lids_in_water(layout, lid_tops(layout), Plane.level(0.6), margin, {"void": 1.0}, lambda _: Plane.level(0.6))
    assert level.clear_of_water == pytest.approx(-0.1)
    assert level.lowest_safe_height == pytest.approx(0.6 + margin)
    (sunk,) = lids_in_water(layout, lid_tops(layout), Plane.level(0.6), margin, {"void": 1.0}, lambda _: None)
    assert sunk.lowest_safe_height is None


def measured_in_part(kg_per_cm: float | None) -> tuple:  # type: ignore[type-arg]
    form = box_boat(4.0, 2.0, 1.0, open_aft=True, boat=WholeBoat(length=10.0, kg_per_cm=kg_per_cm, moment_per_cm=100.0))
    scene = scene_of(form, 0.5, kg=0.4)
    layout = layout_of(scene, form, (room("a", (0.0, -1.0, 0.0), (1.0, 1.0, 1.0)),))
    return layout, water_plane(scene, form), Floating(kg_per_cm=kg_per_cm, moment_per_cm=100.0, centre_of_flotation=0.5)


@pytest.mark.closed_form
def test_still_water_is_the_sum_of_a_geometric_series() -> None:
    """1 by 2 m open to the sea under the centre of flotation: rise r holds 1025 * 2 * (0.5 + r) / (100 kg per cm) = r."""
    layout, water, afloat = measured_in_part(100.0)
    lost = [(clip_body(layout.compartments[0].mesh), 1.0)]
    then = still_water(layout, water, afloat, lost)
    share = 1025.0 * 2.0 / 100.0 / 100.0
    assert then is not None
    assert then.height(0.5) - 0.5 == pytest.approx(share * 0.5 / (1.0 - share), abs=ROUNDS * 1e-6)


@pytest.mark.example
def test_where_every_round_lets_in_more_there_is_no_still_water() -> None:
    """1 kg per cm sinks by metres under two tons of water; without the figure nothing is estimated at all."""
    layout, water, afloat = measured_in_part(1.0)
    assert estimate(layout, water, afloat, ("a",), {}).reason.code == "fills-without-end"
    layout, water, afloat = measured_in_part(None)
    assert estimate(layout, water, afloat, ("a",), {}).reason.code == "measured-forward-only"
