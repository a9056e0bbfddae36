"""What a cut took out of a box, and where that touches the spaces left of it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from specimens import box_form, layout_scene

from sketcher.analysis.spaces.boolean_cuts import hull_solid, owners_of, panel_solids, parts_in, parts_together, taken_apart
from sketcher.analysis.spaces.leaks.contacts import contacts, one_plane
from sketcher.analysis.spaces.leaks.edge_extensions import open_edges, strips_along
from sketcher.analysis.spaces.leaks.gap_sealing import with_strips
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import solid_of, surface_of
from sketcher.model.scene import Bulkhead

FORM = box_form(4.0, 2.0, 1.0)
HULL = hull_solid(FORM)


@pytest.mark.closed_form
@given(st.integers(1, 19).map(lambda mm: mm / 1000))
@settings(max_examples=10, deadline=None)
def test_what_fills_a_gap_over_a_bulkhead_touches_the_space_before_and_that_behind(gap: float) -> None:
    """Over the beam and as high as the gap; ahead of it looking forward, abaft it looking aft; but for a rim of a micrometre."""
    panels = panel_solids(
        place_panels(layout_scene(FORM, bulkheads=(Bulkhead(name="b", at=2.0, thickness=0.02, top=1.0 - gap),)), FORM).shapes
    )
    parts = parts_in(taken_apart(HULL, panels)[0], HULL, owners_of(HULL, panels))
    (strip,) = strips_along(panels.shapes, open_edges(parts, panels.shapes)[0], 0.02)
    owners = with_strips(owners_of(HULL, panels), (strip,))
    inside, outside = solid_of(parts.of(0)).split(strip.solid)
    taken, left = (parts_in(surface_of(each), HULL, owners) for each in (inside, outside))
    found = [each for each in contacts(taken, left, (strip,)) if each.out[2] == 0.0]
    assert len(found) == 2
    assert {float(np.sign(left.centroid[each.space][0] - 2.01)) for each in found} == {-1.0, 1.0}
    for each in found:
        assert each.out[0] == np.sign(left.centroid[each.space][0] - 2.01)
        assert each.region.area == pytest.approx(2.0 * gap, abs=2.1e-6)
    again = parts_together([left.only(0), left.only(1)])
    assert again.volume.tolist() == left.volume.tolist()
    assert again.mesh(1).volume == pytest.approx(left.mesh(1).volume, abs=1e-12)


@pytest.mark.property
@given(st.integers(-3000, 3000), st.sampled_from([(1.0, 0.0, 0.0), (0.6, 0.8, 0.0), (0.0, 0.28, -0.96)]))
def test_a_plane_is_one_with_itself_either_way_and_with_no_other(distance: int, normal: tuple[float, float, float]) -> None:
    """A micrometre apart is another plane."""
    plane = Plane.of(normal, distance / 1000)
    assert one_plane(plane, plane.flipped)
    assert one_plane(plane, plane)
    assert not one_plane(plane, plane.moved(1e-6))
