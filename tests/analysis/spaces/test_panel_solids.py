"""Panels in place: where their faces lie, what cuts them short, and panels that cannot be."""

from dataclasses import replace
from math import cos, radians, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import is_convex
from specimens import box_form, layout_scene

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Panel, Partition

BOX = box_form()
"""4 m long, 2 m wide, 1 m deep, keel at height 0."""


def shapes(*panels: Panel) -> dict[str, PanelShape]:
    """The panels placed in the box, by name."""
    blocks = {
        "bulkheads": tuple(p for p in panels if isinstance(p, Bulkhead)),
        "partitions": tuple(p for p in panels if isinstance(p, Partition)),
        "lids": tuple(p for p in panels if isinstance(p, Lid)),
    }
    return {shape.name: shape for shape in place_panels(layout_scene(BOX, **blocks), BOX).shapes}


def off(shape: PanelShape, face: str, point: tuple[float, float, float]) -> float:
    """How far a point stands out of a panel's face [m]."""
    plane = dict(shape.faces)[face]
    return float(np.dot(plane.normal, point)) - plane.distance


@pytest.mark.closed_form
def test_a_bulkheads_forward_face_is_where_it_stands() -> None:
    """`at` is the forward face on the centreline at `at_height`, rake and angle turning it about that point."""
    main = shapes(Bulkhead(name="main", at=2.0, at_height=0.4, thickness=0.012, rake=5, angle=3))["main"]
    assert off(main, "forward", (2.0, 0.0, 0.4)) == pytest.approx(0, abs=1e-12)
    assert off(main, "forward", (2.0 + 0.3 * tan(radians(5)), 0.0, 0.7)) == pytest.approx(0, abs=1e-12)
    assert off(main, "forward", (2.0 + 0.5 * tan(radians(3)), 0.5, 0.4)) == pytest.approx(0, abs=1e-12)


@pytest.mark.closed_form
def test_thickness_is_square_to_the_board_and_grows_aft() -> None:
    """A raked board 12 mm thick takes 12 mm / cos(rake) of the boat's length."""
    main = shapes(Bulkhead(name="main", at=2.0, thickness=0.012, rake=20))["main"]
    assert off(main, "after", (2.0 + 0.012 / cos(radians(20)), 0.0, 0.0)) == pytest.approx(0, abs=1e-12)


@pytest.mark.closed_form
def test_a_partition_stands_on_the_middle_of_its_thickness() -> None:
    """Half of it to either side of `off_centre`."""
    side = shapes(Partition(name="side", off_centre=(-0.4, -0.4), start=1.0, end=3.0, thickness=0.010))["side"]
    assert off(side, "port", (2.0, -0.405, 0.5)) == pytest.approx(0, abs=1e-12)
    assert off(side, "starboard", (2.0, -0.395, 0.5)) == pytest.approx(0, abs=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize("side", [-1, 1])
def test_a_partition_leans_outboard_at_the_top(side: int) -> None:
    """To port on the port side, to starboard on the other, about the base line."""
    leaning = shapes(Partition(name="p", off_centre=(side * 0.4, side * 0.4), start=1.0, end=3.0, thickness=0.010, lean=10))["p"]
    middle = (2.0, side * (0.4 + 0.5 * tan(radians(10))), 0.5)
    assert off(leaning, "port", middle) == pytest.approx(-0.005, abs=1e-12)


@pytest.mark.closed_form
def test_a_partition_runs_at_an_angle_between_its_ends() -> None:
    """`off_centre` fore and aft are taken where it starts and ends: at the near faces of the bulkheads it is tied to."""
    between = shapes(
        Bulkhead(name="a", at=1.0, thickness=0.020),
        Bulkhead(name="b", at=3.02, thickness=0.020),
        Partition(name="p", off_centre=(0.2, 0.6), start="a", end="b", thickness=0.010),
    )["p"]
    for x, y in ((1.02, 0.2), (3.02, 0.6)):
        assert off(between, "port", (x, y, 0.5)) == pytest.approx(-0.005, abs=1e-12)


@pytest.mark.closed_form
def test_a_lids_top_is_at_its_height_where_it_starts_and_rises_aft() -> None:
    """At the after face of the bulkhead it starts from, on the centreline."""
    lid = shapes(
        Bulkhead(name="a", at=1.0, thickness=0.020, rake=10),
        Lid(name="lid", height=0.4, start="a", end=3.0, thickness=0.01, slope=4),
    )["lid"]
    start = 1.0 + 0.4 * tan(radians(10)) + 0.020 / cos(radians(10))
    assert off(lid, "top", (start, 0.0, 0.4)) == pytest.approx(0, abs=1e-12)
    assert off(lid, "top", (start + 1, 0.7, 0.4 + tan(radians(4)))) == pytest.approx(0, abs=1e-12)


@pytest.mark.closed_form
def test_a_lid_that_slopes_across_rises_outboard_on_both_sides() -> None:
    """It has a knuckle on the centreline, and its litres of board are those of two flat halves."""
    scene = layout_scene(BOX, lids=(Lid(name="lid", height=0.4, start="stem", end="transom", thickness=0.010, slope_across=10),))
    lid = lay_out(scene, BOX).panels[0]
    tops = [plane for name, plane in lid.faces if name == "top"]
    assert len(tops) == 2
    for plane, y in zip(tops, (-0.5, 0.5), strict=True):
        assert np.dot(plane.normal, (2.0, y, 0.4 + 0.5 * tan(radians(10)))) == pytest.approx(plane.distance, abs=1e-12)
    assert lid.volume == pytest.approx(2 * 4.0 * 1.0 * 0.010 / cos(radians(10)), abs=1e-9)


@pytest.mark.closed_form
def test_a_tied_edge_follows_its_neighbours_near_face() -> None:
    """A lid tied to raked bulkheads ends in planes parallel to their faces, and has the volume of the wedge-ended board."""
    scene = layout_scene(
        BOX,
        bulkheads=(Bulkhead(name="a", at=1.0, thickness=0.02, rake=15), Bulkhead(name="b", at=3.0, thickness=0.02, rake=-10)),
        lids=(Lid(name="lid", height=0.5, start="a", end="b", thickness=0.1),),
    )
    lid = next(shape for shape in lay_out(scene, BOX).panels if shape.name == "lid")
    middle = 0.45
    length = (3.0 - middle * tan(radians(10))) - (1.0 + middle * tan(radians(15)) + 0.02 / cos(radians(15)))
    assert lid.volume == pytest.approx(length * 2.0 * 0.1, abs=1e-12)
    assert lid.area == pytest.approx(length * 2.0, abs=1e-11)


@pytest.mark.closed_form
def test_a_bulkhead_is_placed_from_another() -> None:
    """A distance from the other's own place, however often."""
    placed = shapes(
        Bulkhead(name="main", at=3.0, thickness=0.012),
        Bulkhead(name="step", at=FromPanel("main", -0.5), thickness=0.012),
        Bulkhead(name="next", at=FromPanel("step", -0.25), thickness=0.012),
    )
    assert off(placed["next"], "forward", (2.25, 0.3, 0.3)) == pytest.approx(0, abs=1e-12)


@pytest.mark.closed_form
def test_a_span_runs_between_distances_and_partitions() -> None:
    """The port limit is a number, the starboard one the near face of a partition."""
    scene = layout_scene(
        BOX,
        partitions=(Partition(name="side", off_centre=(0.5, 0.5), start="stem", end="transom", thickness=0.010),),
        lids=(Lid(name="shelf", height=0.5, start=1.0, end=3.0, thickness=0.010, span=(-0.7, "side")),),
    )
    shelf = next(shape for shape in lay_out(scene, BOX).panels if shape.name == "shelf")
    assert shelf.volume == pytest.approx(2.0 * (0.495 + 0.7) * 0.010, abs=1e-12)


@pytest.mark.closed_form
def test_bulkheads_run_through_then_partitions_then_lids() -> None:
    """Where boards cross, what both take up counts to the one that runs through."""
    scene = layout_scene(
        BOX,
        bulkheads=(Bulkhead(name="b", at=2.0, thickness=0.02),),
        partitions=(Partition(name="p", off_centre=(0, 0), start="stem", end="transom", thickness=0.01),),
        lids=(Lid(name="lid", height=0.5, start="stem", end="transom", thickness=0.03),),
    )
    volume = {shape.name: shape.volume for shape in lay_out(scene, BOX).panels}
    assert volume["b"] == pytest.approx(0.02 * 2 * 1, abs=1e-12)
    assert volume["p"] == pytest.approx((4 - 0.02) * 0.01 * 1, abs=1e-12)
    assert volume["lid"] == pytest.approx((4 - 0.02) * (2 - 0.01) * 0.03, abs=1e-12)


angles = st.floats(-25, 25)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(at=st.floats(0.2, 3.8), rake=angles, angle=angles, thickness=st.floats(1e-4, 0.05))
def test_every_bulkhead_is_a_closed_convex_solid(at: float, rake: float, angle: float, thickness: float) -> None:
    """Whatever its rake and angle, and of the volume that its two faces enclose in the box about the hull."""
    placed = shapes(Bulkhead(name="b", at=at, thickness=thickness, rake=rake, angle=angle))["b"]
    assert is_convex(placed.mesh)
    assert placed.mesh.volume > 0


@pytest.mark.example
def test_a_removed_panel_is_not_there() -> None:
    """It divides nothing and takes up nothing."""
    assert shapes(Bulkhead(name="old", at=2.0, thickness=0.012, built="removed")) == {}


@pytest.mark.property
@pytest.mark.parametrize(
    ("panel", "words"),
    [
        (
            Lid(name="lid", height=0.5, start="nowhere", end="main", thickness=0.01),
            "'nowhere', which is no bulkhead, partition or lid",
        ),
        (Lid(name="lid", height=0.5, start="main", end="shelf", thickness=0.01), "'shelf', which is no bulkhead"),
        (Bulkhead(name="b", at=1.0, thickness=0.01, top="main"), "'main', which is no lid"),
        (Bulkhead(name="b", at=FromPanel("shelf", 0.1), thickness=0.01), "placed from 'shelf', which is no bulkhead"),
        (Bulkhead(name="b", at=1.0, thickness=0.0), "'b' is 0 mm thick"),
        (Bulkhead(name="b", at=1.0, thickness=-0.012), "'b' is -12 mm thick"),
        (Bulkhead(name="b", at=float("nan"), thickness=0.012), "'b' has a place or an angle that is not a number"),
    ],
)
def test_a_panel_that_cannot_be_is_refused_by_name(panel: Panel, words: str) -> None:
    """The error names the panel, the value as written, and what may stand there."""
    with pytest.raises(SketchError, match=words):
        shapes(
            Bulkhead(name="main", at=3.0, thickness=0.012),
            Lid(name="shelf", height=0.6, start="main", end="transom", thickness=0.01),
            panel,
        )


@pytest.mark.example
def test_a_thickness_that_cannot_be_is_told_in_the_scenes_unit() -> None:
    """Whoever writes inches reads inches."""
    scene = replace(layout_scene(BOX, bulkheads=(Bulkhead(name="b", at=1.0, thickness=-0.0127),)), units="in")
    with pytest.raises(SketchError, match=r"'b' is -0\.5 in thick"):
        place_panels(scene, BOX)


@pytest.mark.example
def test_bulkheads_placed_in_a_ring_are_refused() -> None:
    """Each from the next: none has a place."""
    with pytest.raises(SketchError, match="placed in a ring: a from b from a"):
        shapes(
            Bulkhead(name="a", at=FromPanel("b", 1.0), thickness=0.01),
            Bulkhead(name="b", at=FromPanel("a", -1.0), thickness=0.01),
        )
