"""Cut edges of shell and panels: closed faces in their own thickness."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from evaluation_specimen import box_boat
from scene_specimens import demo
from shapes import box

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, section
from sketcher.model.demos import demo_scenes
from sketcher.outputs.scene3d.boat_shapes import beside_partitions, boat_shapes
from sketcher.outputs.scene3d.cutaway.cut_faces import panels_at_cut
from sketcher.outputs.scene3d.objects import Appearance, CutAway, CutKind, ObjectRef

SHELL = 0.05
"""[m] The shell of the box boat here."""
CUTS: dict[tuple[CutKind, float], tuple[float, float, float]] = {
    # On the centreline: a frame of 4.1 x 1.1 round 4 x 1; a bulkhead of 0.02 x 1; a lid of 2.98 x 0.01.
    ("port", 0.0): (4.1 * 1.1 - 4.0, 0.02, 2.98 * 0.01),
    ("starboard", 0.0): (4.1 * 1.1 - 4.0, 0.02, 2.98 * 0.01),
    # 2 m aft: 2.1 x 1.1 round 2 x 1; the bulkhead is not met; the lid 2 wide.
    ("forward", 2.0): (2.1 * 1.1 - 2.0, 0.0, 2.0 * 0.01),
    ("after", 2.0): (2.1 * 1.1 - 2.0, 0.0, 2.0 * 0.01),
    # At 0.7 m: 4.1 x 2.1 round 4 x 2; the bulkhead 2 wide; the lid lies below.
    ("above", 0.7): (4.1 * 2.1 - 8.0, 2.0 * 0.02, 0.0),
}
"""Areas [m2] of shell, bulkhead and lid by the cut."""


def shelled_boat() -> Evaluation:
    """The box boat, without openings, with a shell and a deck 50 mm thick round and over her."""
    boat = box_boat()
    outside = box((-SHELL, -1 - SHELL, -SHELL), (4 + SHELL, 1 + SHELL, 1 + SHELL))
    return replace(boat, layout=replace(boat.layout, hull=replace(boat.layout.hull, outside=outside), flow_paths=()))


def area(points: Floats, triangles: Ints) -> float:
    a, b, c = points[triangles.T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


@pytest.mark.closed_form
@pytest.mark.parametrize(("cut", "areas"), CUTS.items())
def test_cut_faces_have_the_area_of_what_is_cut(cut: tuple[CutKind, float], areas: tuple[float, float, float]) -> None:
    """Shell, bulkhead and lid of a box boat, each in its own thickness, whichever way she is cut; all in the cut's plane."""
    boat = boat_shapes(shelled_boat(), Appearance(cut=CutAway(kind=cut[0], at=cut[1])), None)
    (plane,) = boat.planes
    for key, expected in zip(("cut/shell", "cut/bulkhead/collision", "cut/lid/tank top"), areas, strict=True):
        face = boat.shapes.surfaces.get(key)
        assert (0.0 if face is None else area(face.points, face.triangles)) == pytest.approx(expected)
        if face is not None:
            np.testing.assert_allclose(plane.over(face.points), 0.0, atol=1e-12)


@pytest.mark.closed_form
def test_a_cut_face_has_a_closed_edge() -> None:
    """Round every face run closed lines: each of their points ends as many segments as it begins."""
    boat = boat_shapes(shelled_boat(), Appearance(cut=CutAway(kind="port")), None)
    for key in ("cut/shell", "cut/bulkhead/collision", "cut/lid/tank top"):
        segments = boat.shapes.strokes[key].segments
        assert sorted(segments[:, 0].tolist()) == sorted(segments[:, 1].tolist()) == list(range(len(segments)))


@pytest.mark.property
@pytest.mark.parametrize("scene", [path.stem for path in demo_scenes()])
def test_panels_are_cut_as_they_are_built(scene: str) -> None:
    """In every demo, cut on the centreline, each panel's face is that of its own solid trimmed to hull and panels, to 0.1 cm2."""
    layout, plane = demo(scene).layout, Plane.of((0.0, 1.0, 0.0), 0.0)
    outlines = panels_at_cut(layout.hull, layout.panels, frame_on(plane))
    for panel, outline in zip(layout.panels, outlines, strict=True):
        assert outline.area == pytest.approx(section(panel.trimmed, frame_on(plane)).area, abs=1e-5), panel.name


@pytest.mark.example
def test_a_cut_panel_can_be_pointed_at_and_hidden() -> None:
    """Its face belongs to it; hidden, its face goes too."""
    lid = ObjectRef("lid", "tank top")
    look = Appearance(cut=CutAway(kind="port"))
    boat = boat_shapes(box_boat(), look, None)
    assert boat.part(int(boat.shapes.surfaces["cut/lid/tank top"].owner_of[0])) == lid
    assert "cut/lid/tank top" not in boat_shapes(box_boat(), replace(look, hidden=frozenset([lid])), None).shapes.surfaces


@pytest.mark.example
@pytest.mark.parametrize(("kind", "beyond"), [("port", 0.011), ("starboard", -0.011)])
def test_a_partition_on_the_centreline_does_not_hide_what_is_behind_it(kind: CutKind, beyond: float) -> None:
    """A web 12 mm thick is cut 5 mm beyond its far face; any other place that is asked for stays."""
    layout = demo("marram-two-tanks").layout
    assert beside_partitions(Appearance(cut=CutAway(kind=kind)), layout).cut.at == pytest.approx(beyond)
    elsewhere = Appearance(cut=CutAway(kind=kind, at=0.2))
    assert beside_partitions(elsewhere, layout) is elsewhere
