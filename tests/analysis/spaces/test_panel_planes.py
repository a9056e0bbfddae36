"""Where panels' faces lie and what cuts them short, by trigonometry in a box."""

from math import radians, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import box_form, layout_scene

from sketcher.analysis.spaces.panel_limits import limits_of, panel_edges, tied_panels
from sketcher.analysis.spaces.panel_planes import faces_by_name, place_of
from sketcher.geometry.tolerances import INTO_NEIGHBOUR
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Partition

FORM = box_form(4.0, 2.0, 1.0)
ANGLES = st.floats(-30.0, 30.0)


@pytest.mark.closed_form
@given(ANGLES, ANGLES, st.floats(0.003, 0.05))
def test_a_bulkheads_faces_are_its_thickness_apart_square_to_it(rake: float, angle: float, thickness: float) -> None:
    """The forward one through its place; the after one as far behind it as the board is thick, whatever it leans."""
    bulkhead = Bulkhead(name="b", at=2.0, at_height=0.3, rake=rake, angle=angle, thickness=thickness)
    forward, after = faces_by_name(layout_scene(FORM, bulkheads=(bulkhead,)), FORM)["b"][0]
    assert forward.over((2.0, 0.0, 0.3)) == pytest.approx(0.0, abs=1e-12)
    assert forward.over((2.0 + tan(radians(rake)), 0.0, 1.3)) == pytest.approx(0.0, abs=1e-12)
    assert after.over((2.0, 0.0, 0.3)) == pytest.approx(-thickness)
    assert after.normal == pytest.approx(-forward.normal)


@pytest.mark.closed_form
def test_a_partition_runs_from_face_to_face_of_its_bulkheads() -> None:
    """100 mm off at the after face of one and 300 at the forward face of the other, half its thickness to either side."""
    bulkheads = (Bulkhead(name="a", at=1.0, thickness=0.02), Bulkhead(name="b", at=3.0, thickness=0.02))
    web = Partition(name="web", off_centre=(0.1, 0.3), start="a", end="b", thickness=0.01)
    port, starboard = faces_by_name(layout_scene(FORM, bulkheads=bulkheads, partitions=(web,)), FORM)["web"][0]
    for x, y in ((1.02, 0.1), (3.0, 0.3)):
        assert [port.over((x, y, 0.5)), starboard.over((x, y, 0.5))] == pytest.approx([-0.005, -0.005])


@pytest.mark.closed_form
def test_a_lid_with_a_knuckle_slopes_to_both_sides() -> None:
    """Up by the slope from its `from` end, down or up outboard by the other, alike to port and starboard."""
    lid = Lid(name="top", height=0.5, start=1.0, end=3.0, thickness=0.01, slope=2.0, slope_across=4.0)
    faces = faces_by_name(layout_scene(FORM, lids=(lid,)), FORM)["top"]
    assert set(faces) == {-1, 1}
    for side, (top, _) in faces.items():
        height = 0.5 + 1.5 * tan(radians(2.0)) + 0.4 * tan(radians(4.0))
        assert top.over((2.5, side * 0.4, height)) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.property
@given(st.lists(st.floats(-0.5, 0.5), min_size=1, max_size=6))
def test_a_chain_of_ties_adds_up(steps: list[float]) -> None:
    """Each bulkhead placed from the last stands where the distances add up to."""
    bulkheads = [Bulkhead(name="b0", at=2.0, thickness=0.01)]
    for k, step in enumerate(steps):
        bulkheads.append(Bulkhead(name=f"b{k + 1}", at=FromPanel(f"b{k}", step), thickness=0.01))
    assert place_of(layout_scene(FORM, bulkheads=tuple(bulkheads)), f"b{len(steps)}") == pytest.approx(2.0 + sum(steps))


@pytest.mark.example
def test_a_ring_of_ties_and_a_tie_to_nothing_are_told() -> None:
    """By the names in them."""
    ring = tuple(Bulkhead(name=a, at=FromPanel(b, 0.1), thickness=0.01) for a, b in (("a", "b"), ("b", "a")))
    with pytest.raises(SketchError, match="in a ring: a from b from a"):
        place_of(layout_scene(FORM, bulkheads=ring), "a")
    with pytest.raises(SketchError, match="is no bulkhead"):
        place_of(layout_scene(FORM, bulkheads=(Bulkhead(name="a", at=FromPanel("z", 0.1), thickness=0.01),)), "a")


@pytest.mark.closed_form
def test_a_tied_edge_ends_a_micrometre_inside_its_neighbour() -> None:
    """A lid's fore end in the after face of the bulkhead ahead; one given as a number that touches it goes in as far."""
    bulkhead = Bulkhead(name="a", at=1.0, thickness=0.02)
    for start, tied in (("a", {"a"}), (1.02, set())):
        lid = Lid(name="top", height=0.5, start=start, end=3.0, thickness=0.01)
        scene = layout_scene(FORM, bulkheads=(bulkhead,), lids=(lid,))
        edges = panel_edges(lid, scene, faces_by_name(scene, FORM), FORM.inside.bounds)
        ends = {half.name: half.plane for halves in edges.halves for half in halves.values()}
        assert ends["fore end"].over((1.02 - INTO_NEIGHBOUR, 0.0, 0.5)) == pytest.approx(0.0, abs=1e-12)
        assert ends["after end"].over((3.0, 0.0, 0.5)) == pytest.approx(0.0, abs=1e-12)
        assert tied_panels(lid) == tied
        assert limits_of(lid)["fore end"] == start
    assert np.array_equal(ends["after end"].normal, (1.0, 0.0, 0.0))
