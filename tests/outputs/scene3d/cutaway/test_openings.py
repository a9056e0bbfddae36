"""Openings as holes in walls and in cut faces."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from evaluation_specimen import box_boat
from scene_specimens import demo

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats
from sketcher.outputs.scene3d.boat_shapes import boat_shapes
from sketcher.outputs.scene3d.cutaway.openings import holes, pierced_hull
from sketcher.outputs.scene3d.objects import Appearance, CutAway
from sketcher.outputs.scene3d.shapes import FIRST_PANEL, Surface

RING = np.array([[1.01, -0.2, 0.1], [1.01, 0.3, 0.1], [1.01, 0.3, 0.5], [1.01, -0.2, 0.5]])
"""An opening 0.5 x 0.4 m in the box boat's bulkhead."""


def open_boat(ring: Floats = RING) -> Evaluation:
    boat = box_boat()
    path = replace(boat.layout.flow_paths[0], through="collision", outline=ring)
    return replace(boat, layout=replace(boat.layout, flow_paths=(path,)))


def area(surface: Surface) -> float:
    a, b, c = surface.points[surface.triangles.T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


@pytest.mark.closed_form
@pytest.mark.parametrize("ring", [RING, RING[::-1]], ids=["to and", "fro"])
def test_a_hole_takes_its_area_from_the_wall_and_no_more(ring: Floats) -> None:
    """The wall that the bulkhead is in the forepeak is less by 0.5 x 0.4 m2; nothing is where the hole is; faces stay turned."""
    boat = open_boat(ring)
    after, forepeak, void = boat.layout.compartments
    mesh = forepeak.mesh
    of_bulkhead = (np.abs(mesh.vertices[mesh.triangles][:, :, 0] - 1.0) < 1e-9).all(axis=1)
    forepeak = replace(forepeak, mesh=replace(mesh, labels=np.where(of_bulkhead, FIRST_PANEL, 0)))
    boat = replace(boat, layout=replace(boat.layout, compartments=(after, forepeak, void)))
    closed = replace(boat, layout=replace(boat.layout, flow_paths=()))
    walls, whole = (boat_shapes(each, Appearance(), None).shapes.surfaces["space/forepeak"] for each in (boat, closed))
    assert area(whole) - area(walls) == pytest.approx(0.5 * 0.4)
    corners = walls.points[walls.triangles]
    middles = corners.mean(axis=1)
    on_bulkhead = np.abs(middles[:, 0] - 1.0) < 1e-9
    in_hole = (
        on_bulkhead & (middles[:, 1:] > RING.min(axis=0)[1:]).all(axis=1) & (middles[:, 1:] < RING.max(axis=0)[1:]).all(axis=1)
    )
    assert not in_hole.any()
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[walls.kinds == 1]
    assert (facing[:, 0] > 0.0).all()


@pytest.mark.closed_form
def test_a_cut_face_ends_at_an_opening() -> None:
    """The bulkhead 1 m high and 20 mm thick, an opening 0.4 m high in it on the centreline: 0.6 x 0.02 m2 are left."""
    face = boat_shapes(open_boat(), Appearance(cut=CutAway(kind="port")), None).shapes.surfaces["cut/bulkhead/collision"]
    assert area(face) == pytest.approx(0.6 * 0.02)


@pytest.mark.closed_form
def test_the_board_shows_its_thickness_round_an_opening() -> None:
    """Round 0.5 x 0.4 m, 20 mm deep: 1.8 x 0.02 m2."""
    (hole,) = holes(open_boat().layout)["collision"]
    points, triangles = hole.rim
    a, b, c = points[triangles.T]
    assert np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2 == pytest.approx(1.8 * 0.02)


@pytest.mark.example
def test_a_deck_seen_as_solid_has_its_hatches_open() -> None:
    """The deck is less by each hatch's own area, both of her deck's faces being one body: to 1 %, for the camber."""
    layout = demo("quillet-filled").layout
    through = holes(layout)["deck"]
    points, triangles = pierced_hull(layout.hull, through)
    a, b, c = points[triangles.T]
    left = np.cross(b - a, c - a)[:, 2].clip(min=0.0).sum() / 2
    a, b, c = layout.hull.outside.vertices[layout.hull.outside.triangles.T]
    whole = np.cross(b - a, c - a)[:, 2].clip(min=0.0).sum() / 2
    assert whole - left == pytest.approx(sum(hole.outline.area for hole in through), rel=0.01)
