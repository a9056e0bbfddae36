"""Openings, hoses, pipes and hollow stringers of the box boat as flow paths: areas and lowest points by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import PANELS, box_form, layout_scene

from sketcher.analysis.results import OUTSIDE, Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.leaks.chain_pipes import BORE_SIZES, chain_pipes
from sketcher.analysis.spaces.leaks.flow_paths import SpaceNames, Through, flat_paths, flow_path
from sketcher.analysis.spaces.leaks.hollow_stringers import core_points, hollow_stringers
from sketcher.analysis.spaces.leaks.opening_paths import in_deck
from sketcher.analysis.spaces.leaks.opening_shapes import centre_on, opening_frame, outline
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame
from sketcher.model.contents import Chain
from sketcher.model.scene import Opening, Stringer

FORM = box_form(4.0, 2.0, 1.0)
SIDES = st.floats(0.02, 1.0)


def boat(**blocks: object) -> Layout:
    return lay_out(layout_scene(FORM, **(PANELS | blocks)), FORM)


BOAT = boat(openings=())


@pytest.mark.closed_form
@given(SIDES, SIDES, st.integers(0, 600).map(lambda mm: mm / 1000))
def test_a_rounded_opening_lacks_its_corners(width: float, height: float, radius: float) -> None:
    """Width by height less (4 - pi) r^2, the radius no more than half its lesser side."""
    hole = outline(Opening(name="o", through="b", size=(width, height), radius=radius))
    r = min(radius, width / 2, height / 2)
    assert hole.area == pytest.approx(width * height - (4.0 - np.pi) * r * r, rel=1e-3)
    assert hole.bounds == pytest.approx((-width / 2, -height / 2, width / 2, height / 2))


@pytest.mark.closed_form
@given(SIDES)
def test_a_round_opening_is_a_circle(diameter: float) -> None:
    """Drawn in straight sides it is less by under a thousandth; without any size it is nothing."""
    assert outline(Opening(name="o", through="b", diameter=diameter)).area == pytest.approx(np.pi / 4 * diameter**2, rel=1e-3)
    assert outline(Opening(name="o", through="b")).is_empty


@pytest.mark.property
@pytest.mark.parametrize("kind", ["bulkhead", "partition", "lid"])
@given(lean=st.floats(-0.3, 0.3), turn=st.floats(-0.3, 0.3))
def test_an_opening_is_placed_and_measured_in_its_panels_plane(kind: str, lean: float, turn: float) -> None:
    """Its centre lies in the plane with both numbers as stated; its axes lie along it, square to each other, never mirrored."""
    normal = {"bulkhead": (1.0, turn, lean), "partition": (turn, 1.0, lean), "lid": (turn, lean, 1.0)}[kind]
    middle = Plane.through((2.0, 0.1, 0.5), normal)
    centre = centre_on(kind, (0.2, 0.4), middle)
    known = {"bulkhead": [1, 2], "partition": [0, 2], "lid": [0, 1]}[kind]
    assert middle.over(centre) == pytest.approx(0.0, abs=1e-12)
    assert centre[known] == pytest.approx([0.2, 0.4])
    frame = opening_frame(kind, centre, middle)
    u, v = np.array(frame.u), np.array(frame.v)
    assert [u @ middle.normal, v @ middle.normal, u @ v] == pytest.approx([0.0] * 3, abs=1e-12)
    assert u[known[0]] > 0.9
    assert v[known[1]] > 0.9


@pytest.mark.property
@given(st.lists(st.tuples(*[st.floats(-5.0, 5.0)] * 3), min_size=1, max_size=12))
def test_a_ways_lowest_point_is_the_lowest_of_its_corners(corners: list[tuple[float, float, float]]) -> None:
    """Of several as low the foremost."""
    found = flow_path("w", "opening", ("a", "b"), None, 1.0, np.array(corners))
    lowest = min(z for _, _, z in corners)
    assert found.lowest == pytest.approx(lowest, abs=1e-6)
    assert found.lowest_at in corners


@pytest.mark.example
def test_regions_of_the_same_two_spaces_are_one_flow_path() -> None:
    """Their areas add up; a sliver's side and a space's way to itself are none."""
    frame = Frame((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    hole = outline(Opening(name="o", through="b", size=(0.1, 0.2)))
    regions = [Through(a, b, frame, hole) for a, b in ((0, 1), (0, 1), (0, 2), (1, 1))]
    (found,) = flat_paths("w", "opening", "b", SpaceNames(("a", "b", None)), regions)
    assert found.between == ("a", "b")
    assert found.area == pytest.approx(0.04)
    assert found.lowest == pytest.approx(-0.1)


@pytest.mark.closed_form
def test_a_hatch_half_over_a_bulkhead_opens_what_lies_under_it() -> None:
    """400 mm fore and aft over the bulkhead's middle: 190 mm of it over either space, at the deck's height."""
    (paths, wrong) = in_deck(BOAT.compartments, Opening(name="hatch", through="deck", at=(1.01, 0.0), size=(0.4, 0.5)))
    assert wrong == []
    assert {each.between[0]: each.area for each in paths} == pytest.approx({"locker": 0.095, "cabin": 0.095}, rel=1e-6)
    assert {each.lowest for each in paths} == {1.0}
    _, (miss,) = in_deck(BOAT.compartments, Opening(name="hatch", through="deck", at=(9.0, 0.0), size=(0.4, 0.5)))
    assert miss.code == "opening-misses"


@pytest.mark.closed_form
@pytest.mark.parametrize("cover", ["none", "tight"])
def test_a_chain_pipe_is_a_hole_in_the_deck_of_eight_links(cover: str) -> None:
    """Into the space it ends in, through the one it passes without a way; stopped tight it lets nothing in."""
    chain = Chain(name="rode", space="void", length=20.0, size=0.01, pipe=(2.0, 0.0, 0.3), pipe_cover=cover)  # type: ignore[arg-type]
    scene = layout_scene(FORM, **(PANELS | {"chains": (chain,)}))
    paths, closed, wrong = chain_pipes(scene, BOAT.compartments)
    (pipe,) = closed if cover == "tight" else paths
    assert len(paths) + len(closed) == 1
    assert wrong == []
    assert pipe.between == ("void", OUTSIDE)
    assert pipe.area == pytest.approx(np.pi / 4 * (BORE_SIZES * 0.01) ** 2, rel=1e-3)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("hollow", "joined"), [("open", [("locker", "void"), ("void", "saloon")]), ("sealed", []), ("solid", [])]
)
def test_an_open_stringer_joins_every_space_it_runs_through(hollow: str, joined: list[tuple[str, str]]) -> None:
    """Under the lid from stem to transom on one side: its core's area, from the locker to the void and on to the saloon."""
    bearer = Stringer(name="s", under="top", side="port", start="stem", end="transom", width=0.03, depth=0.04, hollow=hollow)  # type: ignore[arg-type]
    scene = layout_scene(FORM, **(PANELS | {"stringers": (bearer,)}))
    found = hollow_stringers(scene, FORM, BOAT.compartments)
    assert [each.between for each in found] == joined
    assert [each.area for each in found] == pytest.approx([0.0012] * len(joined))
    points = np.array(core_points(faces_by_name(scene, FORM), FORM, bearer, -1))
    assert points[:, 1] == pytest.approx(-1.0 + 0.015)
    assert points[:, 2] == pytest.approx(0.49 - 0.02)
