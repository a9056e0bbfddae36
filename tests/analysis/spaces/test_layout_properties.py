import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import layouts, mirrored, mirrored_form, scaled, scaled_form, volumes

from sketcher.analysis.afloat.immersion import immersion
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import WaterPlane
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.tolerances import INTO_NEIGHBOUR, SLIVER_VOLUME
from sketcher.model.scene import Scene

SOME = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
TIE = INTO_NEIGHBOUR * 0.018 * 4.0
"""[m3] a tied edge goes that far into its neighbour at any scale; where it stands over it, so much panel is in the way."""
ROUNDING = 1e-11
"""Share of the hull's volume: what double precision leaves of some ten thousand products."""


@pytest.mark.property
@pytest.mark.slow
@SOME
@given(layouts())
def test_volumes_are_conserved(case: tuple[Scene, HullForm]) -> None:
    """What is not panel is compartment, gap or sliver, to rounding; the hull's own volume is taken from its mesh, not the cut."""
    scene, form = case
    layout = lay_out(scene, form)
    total = sum(c.volume for c in layout.compartments) + layout.panel_volume + layout.gap_volume + layout.sliver_volume
    assert total == pytest.approx(form.inside.volume, rel=ROUNDING)


@pytest.mark.property
@pytest.mark.slow
@SOME
@given(layouts())
def test_compartments_are_closed(case: tuple[Scene, HullForm]) -> None:
    """Every edge of a compartment's surface is walked once each way, and its own volume is what the layout says."""
    scene, form = case
    for space in lay_out(scene, form).compartments:
        t = space.mesh.triangles
        edges = np.concatenate([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]])
        there = np.sort(edges[:, 0] * len(space.mesh.vertices) + edges[:, 1])
        back = np.sort(edges[:, 1] * len(space.mesh.vertices) + edges[:, 0])
        np.testing.assert_array_equal(there, back)
        assert space.mesh.volume == pytest.approx(space.volume, rel=1e-9)
        assert space.volume > 0


def _holds(mesh: object, point: np.ndarray) -> bool:  # type: ignore[type-arg]
    """Whether a closed mesh winds about a point: its solid angle there, by van Oosterom and Strackee (1983)."""
    a, b, c = mesh.vertices[mesh.triangles.T] - point  # type: ignore[attr-defined]
    la, lb, lc = (np.linalg.norm(v, axis=1) for v in (a, b, c))
    top = np.einsum("ij,ij->i", a, np.cross(b, c))
    below = la * lb * lc + np.einsum("ij,ij->i", a, b) * lc + np.einsum("ij,ij->i", b, c) * la + np.einsum("ij,ij->i", c, a) * lb
    return bool(np.arctan2(top, below).sum() > np.pi)


@pytest.mark.property
@pytest.mark.slow
@SOME
@given(layouts(), st.tuples(st.floats(0.02, 0.98), st.floats(0.02, 0.98), st.floats(0.02, 0.98)))
def test_no_point_is_in_two_compartments(case: tuple[Scene, HullForm], share: tuple[float, float, float]) -> None:
    """A point of the hull's box lies in one compartment at most, and in none when it is in a panel or outside."""
    scene, form = case
    low, high = form.inside.bounds
    point = low + np.array(share) * (high - low)
    layout = lay_out(scene, form)
    inside = sum(_holds(c.mesh, point) for c in layout.compartments)
    in_panel = any(_holds(shape.mesh, point) for shape in layout.panels)
    in_hull = _holds(form.inside, point)
    assert inside == (1 if in_hull and not in_panel else 0)


@pytest.mark.property
@pytest.mark.slow
@SOME
@given(layouts(), st.sampled_from([0.5, 1.7, 3.0]))
def test_scaling_scales_volumes_by_the_cube(case: tuple[Scene, HullForm], k: float) -> None:
    """The same layout k times as large has the same compartments above a sliver's size, each k cubed times the volume."""
    scene, form = case
    small, large = lay_out(scene, form), lay_out(scaled(scene, k), scaled_form(form, k))
    counted = 2 * SLIVER_VOLUME * max(1.0, k**-3)
    expected = [v * k**3 for v in volumes(small.compartments, above=counted)]
    assert volumes(large.compartments, above=counted * k**3) == pytest.approx(expected, rel=1e-9, abs=TIE * max(1.0, k**3))


@pytest.mark.property
@pytest.mark.slow
@SOME
@given(layouts())
def test_mirroring_swaps_sides(case: tuple[Scene, HullForm]) -> None:
    """Port for starboard leaves every volume, and turns every centroid's side."""
    scene, form = case
    one, other = lay_out(scene, form), lay_out(mirrored(scene), mirrored_form(form))
    there = sorted((c.volume, c.centroid) for c in one.compartments)
    assert len(other.compartments) == len(there)
    for volume, (x, y, z) in there:
        assert any(
            c.volume == pytest.approx(volume, rel=1e-9) and c.centroid == pytest.approx((x, -y, z), abs=1e-9)
            for c in other.compartments
        )


@pytest.mark.property
@pytest.mark.slow
@SOME
@given(layouts(), st.floats(0.05, 0.9), st.floats(0.0, 0.2), st.floats(-8.0, 8.0), st.floats(-0.1, 0.1))
def test_higher_water_never_leaves_less_below(
    case: tuple[Scene, HullForm], level: float, rise: float, heel: float, trim: float
) -> None:
    """Whatever the trim and heel, water that stands higher leaves no compartment less below it."""
    scene, form = case
    layout = lay_out(scene, form)
    low, high = (WaterPlane(forward=z, after=z + trim, heel=heel, x_forward=0.0, x_after=4.0) for z in (level, level + rise))
    for before, after in zip(immersion(layout.compartments, low), immersion(layout.compartments, high), strict=True):
        assert before is not None
        assert after is not None
        assert after.below >= before.below - 1e-12
