"""Spaces as tanks in the box boat: masses, levels and free surface by arithmetic."""

import pytest
from floats import space
from shapes import box
from specimens import contents_of

from sketcher.analysis.fit.tanks import LIQUIDS, free_surface_inertia
from sketcher.model.contents import Tank

VOID = 1.98 * 2.0 * 0.49
"""[m3] of the space under the lid."""


@pytest.mark.closed_form
@pytest.mark.parametrize("holds", sorted(LIQUIDS))
def test_a_box_tank_full_and_half_full(holds: str) -> None:
    """Full to the share stated, half full to half of that; the level half way up, less the share that is air."""
    (fill,) = contents_of(tanks=(Tank(name="t", space="void", holds=holds, share=0.9),)).tanks  # type: ignore[arg-type]
    assert fill.volume == pytest.approx(0.9 * VOID, rel=1e-5)
    assert fill.full == pytest.approx(LIQUIDS[holds] * 0.9 * VOID, rel=1e-5)
    assert fill.half == pytest.approx(fill.full / 2)
    assert fill.level == pytest.approx(0.45 * 0.49, abs=1e-4)
    assert fill.half_centre == pytest.approx((2.01, 0.0, 0.225 * 0.49), abs=1e-4)


@pytest.mark.closed_form
def test_free_surface_takes_inertia_over_displacement() -> None:
    """Density times l b^3 / 12 over the boat's mass, from her metacentric height."""
    (fill,) = contents_of(tanks=(Tank(name="t", space="void", holds="diesel"),)).tanks
    mass = 1025.0 * 4.0 * 2.0 * 0.5
    assert fill.gm_loss == pytest.approx(840.0 * 1.98 * 2.0**3 / 12 / mass, rel=1e-4)


@pytest.mark.closed_form
def test_each_separate_surface_counts_about_its_own_middle() -> None:
    """Two boxes side by side have twice the inertia of one, not that of both about the centreline."""
    one = space("one", box((0.0, 0.5, 0.0), (2.0, 1.5, 1.0)))
    assert free_surface_inertia(one, 0.4) == pytest.approx(2.0 / 12)
