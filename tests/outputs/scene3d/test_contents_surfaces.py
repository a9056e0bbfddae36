"""Cushions and boards of berths as bodies, and where they are cut."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import filled

from sketcher.analysis.results import BerthFigures
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, section
from sketcher.model.contents import Chain
from sketcher.outputs.scene3d.boat_shapes import boat_shapes
from sketcher.outputs.scene3d.contents_surfaces import FAINT, berth_slab, slab_face
from sketcher.outputs.scene3d.objects import Appearance, CutAway, ObjectRef

POST = np.array([[1.0, -0.1], [1.0, 0.3], [1.2, 0.3], [1.2, -0.1]])
"""What stands in a berth."""


def berth(bay: float) -> BerthFigures:
    """A V berth 2 m long with a bay in its after end, round a post."""
    outline = np.array([[0.0, 0.0], [2.0, -0.8], [2.0 - bay, 0.0], [2.0, 0.8]])
    return BerthFigures(name="vee", surface=0.7, outline=outline, holes=(POST,), line=None, stature=None)


@pytest.mark.closed_form
def test_a_cushion_holds_its_area_times_its_thickness() -> None:
    """A V of 2 x 1.6 / 2 m2 less the post's 0.2 x 0.4, 0.1 m thick."""
    slab = berth_slab(berth(0.0), 0.6, 0.7)
    assert slab.volume == pytest.approx((1.6 - 0.08) * 0.1)


@pytest.mark.property
@given(
    st.floats(0.0, 0.6),
    st.sampled_from([(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)]),
    st.floats(-1.0, 2.0),
)
def test_a_cushion_is_cut_where_its_body_is(bay: float, normal: tuple[float, float, float], at: float) -> None:
    """On any side of the boat: in one piece, in several, round the post, or not at all."""
    room, cut = berth(bay), Plane.of(normal, at)
    slab: TriMesh = berth_slab(room, 0.6, 0.7)
    general = section(slab, frame_on(cut))
    assert slab_face(room, 0.6, 0.7, cut).symmetric_difference(general).area < 1e-9


@pytest.mark.example
def test_a_chain_still_to_follow_is_faint_where_she_is_cut_too() -> None:
    """Heap and face are drawn through; once it has followed neither is."""
    chain = ObjectRef("chain", "rode")
    boat = filled(chains=(Chain(name="rode", space="locker", length=20.0, size=0.008, pipe=(0.5, 0.0, 0.95)),))
    look = Appearance(cut=CutAway(kind="port"))
    for faded, opacity in ((frozenset({chain}), FAINT), (frozenset[ObjectRef](), 1.0)):
        surfaces = boat_shapes(boat, replace(look, faded=faded), None).shapes.surfaces
        drawn = {key: surface.opacity for key, surface in surfaces.items() if "chain/rode" in key}
        assert len(drawn) == 2
        assert set(drawn.values()) == {opacity}
