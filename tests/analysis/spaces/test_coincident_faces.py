"""Faces in one plane: which gives way, which way, and who is told to have."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import box_form, layout_scene

from sketcher.analysis.spaces.coincident_faces import parted_faces
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.plane import Plane
from sketcher.geometry.tolerances import INTO_NEIGHBOUR
from sketcher.model.scene import Bulkhead, Lid, Partition, Scene

FORM = box_form(4.0, 2.0, 1.0)


def two_lids(height: float, apart: float = 0.0) -> Scene:
    """Two lids over the whole boat, the second so far above the first; each 10 mm thick."""
    lids = tuple(
        Lid(name=name, height=at, start="stem", end="transom", thickness=0.01)
        for name, at in (("first", height), ("second", height + apart))
    )
    return layout_scene(FORM, lids=lids)


@pytest.mark.closed_form
@given(st.integers(100, 900).map(lambda mm: mm / 1000))
def test_of_two_lids_in_one_place_the_later_by_name_goes_in(height: float) -> None:
    """By a micrometre at either face; the first stays as stated."""
    scene = two_lids(height)
    first, second = place_panels(scene, FORM).shapes
    assert first.front.distance == height
    assert second.front.distance == pytest.approx(height - INTO_NEIGHBOUR, abs=1e-12)
    assert second.back.distance == pytest.approx(-height + 0.01 - INTO_NEIGHBOUR, abs=1e-12)
    assert place_panels(scene, FORM).leaning == {"second": {"first"}}


@pytest.mark.closed_form
@given(st.integers(100, 900).map(lambda mm: mm / 1000))
def test_lids_that_lie_on_each_other_leave_no_room_between(height: float) -> None:
    """Face to face the later goes into the other; the spaces above and below are those that the two leave as one board."""
    scene = two_lids(height, apart=0.01)
    _, second = place_panels(scene, FORM).shapes
    assert second.back.distance == pytest.approx(-height + INTO_NEIGHBOUR, abs=1e-12)
    volumes = [space.volume for space in lay_out(scene, FORM).compartments]
    assert sorted(volumes) == pytest.approx(sorted([8.0 * (height - 0.01), 8.0 * (0.99 - height)]), abs=1e-9)


@pytest.mark.property
@pytest.mark.parametrize("apart", [1e-5 + 0.01, 0.002, 0.3])
def test_faces_in_planes_of_their_own_stay(apart: float) -> None:
    """Only what lies in one plane is moved; a hundredth of a millimetre between two boards counts as none."""
    scene = two_lids(0.5, apart)
    faces = faces_by_name(scene, FORM)
    found, gave_way = parted_faces(faces, place_panels(scene, FORM).shapes)
    assert (gave_way == {}) == (apart != 1e-5 + 0.01)
    assert found["first"] == faces["first"]


@pytest.mark.property
@pytest.mark.parametrize("short", [0.0, 1e-6, 1e-5])
def test_an_edge_stated_to_end_at_a_face_ends_in_it(short: float) -> None:
    """A lid given as a number up to a bulkhead, or a hundredth of a millimetre short of it: no gap, nothing said."""
    lid = Lid(name="lid", height=0.5, start="stem", end=2.0 - short, thickness=0.01)
    layout = lay_out(layout_scene(FORM, bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.02),), lids=(lid,)), FORM)
    assert (len(layout.compartments), layout.flow_paths, layout.findings) == (3, (), ())


@pytest.mark.closed_form
@pytest.mark.parametrize(("low", "high", "least", "most"), [(0.0, 4.0, 0.0, 8e-6), (20.0, 24.0, 4e-5, 4.8e-5)])
def test_planes_not_quite_parallel_are_as_far_apart_as_where_they_are_looked_at(
    low: float, high: float, least: float, most: float
) -> None:
    """A plane that rises 2 micrometres in each metre over a level one."""
    found = Plane.level(0.5).heights_within(
        Plane.through((0.0, 0.0, 0.5), (-2e-6, 0.0, 1.0)), np.array([low, -1.0, 0.5]), np.array([high, 1.0, 0.5])
    )
    assert found == pytest.approx((least, most), abs=1e-12)


@pytest.mark.example
def test_a_face_a_micrometre_askew_takes_the_plane_that_it_lies_in() -> None:
    """A partition that is 1 micrometre further out at its after end gives way as one in line does, and turns into the plane."""
    ends = {"first": (0.5, 0.5), "second": (0.5, 0.500001)}
    webs = tuple(Partition(name=n, off_centre=at, start="stem", end="transom", thickness=0.01) for n, at in ends.items())
    one, other = place_panels(layout_scene(FORM, partitions=webs), FORM).shapes
    assert other.front == one.front.moved(-INTO_NEIGHBOUR)
