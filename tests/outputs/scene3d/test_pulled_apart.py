"""Spaces pulled apart: what is beside stays beside, nothing overlaps, and all of it can be framed."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from evaluation_specimen import box_boat

from sketcher.outputs.scene3d.boat_shapes import boat_shapes
from sketcher.outputs.scene3d.camera import holding, named_view
from sketcher.outputs.scene3d.objects import Appearance, CutAway
from sketcher.outputs.scene3d.pulled_apart import ALONG, UP, extent_apart, pulled

NAMES = ("after space", "forepeak", "low void")


@pytest.mark.closed_form
def test_each_space_moves_by_its_place_along_the_boat_and_its_height() -> None:
    """The forepeak's middle lies 1.5 m ahead of the boat's and 0.5 m up: ahead and up by that times the share of each."""
    boat = box_boat()
    before, after = (boat_shapes(boat, Appearance(apart=apart), None).shapes.surfaces["space/forepeak"] for apart in (0.0, 0.5))
    assert after.points - before.points == pytest.approx(np.tile([-1.5 * ALONG / 2, 0.0, 0.5 * UP / 2], (8, 1)))
    assert pulled(boat, (0.5, 0.0, 0.5), 0.0) == pytest.approx([0.0, 0.0, 0.0])


@pytest.mark.closed_form
def test_pulled_apart_no_two_spaces_touch() -> None:
    """Between the boxes there is air, along the boat or up."""
    shapes = boat_shapes(box_boat(), Appearance(apart=1.0), None).shapes
    boxes = [(points.min(axis=0), points.max(axis=0)) for name in NAMES for points in [shapes.surfaces[f"space/{name}"].points]]
    for (low, high), (other_low, other_high) in combinations(boxes, 2):
        assert ((low > other_high + 0.05) | (other_low > high + 0.05)).any()


@pytest.mark.property
@pytest.mark.parametrize("apart", [0.0, 0.3, 1.0])
@pytest.mark.parametrize("view", ["quarter", "profile", "ahead"])
def test_all_of_her_is_in_the_picture_however_far_apart(apart: float, view: str) -> None:
    """Every point of what is drawn, whole or cut, lies in the picture."""
    boat, size = box_boat(), (900, 400)
    camera = holding(named_view(view), extent_apart(boat, apart), size)  # type: ignore[arg-type]
    for look in (Appearance(apart=apart), Appearance(apart=apart, cut=CutAway(kind="port"))):
        shapes = boat_shapes(boat, look, None).shapes
        drawn = [*shapes.surfaces.items(), *shapes.strokes.items()]
        points = np.concatenate([shape.points for key, shape in drawn if not key.startswith(("water", "inside"))])
        seen = camera.project(points, size)[:, :2]
        assert (seen >= 0.0).all()
        assert (seen <= size).all()


@pytest.mark.example
def test_pulled_apart_panels_are_solids_and_no_water_is_left_in_the_air() -> None:
    """Panels stand between the spaces, pointed at as ever; the sheet of water and the cut's faces of panels are gone."""
    boat = boat_shapes(box_boat(), Appearance(apart=1.0, cut=CutAway(kind="port")), None)
    assert boat.part(int(boat.shapes.surfaces["panel/lid/tank top"].owner_of[0])).key == "lid/tank top"
    assert not [key for key in boat.shapes.surfaces if key.startswith(("water", "inside", "cut/lid", "cut/bulkhead"))]
