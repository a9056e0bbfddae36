"""How far figures afloat may be out, against boxes measured 5 mm too large."""

from __future__ import annotations

import pytest
from floats import box_boat, scene_of

from sketcher.analysis.afloat.doubts import READING, afloat_doubts
from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.results import Floating, WaterPlane


def _afloat(breadth: float, draft: float) -> tuple[Floating, WaterPlane | None]:
    form = box_boat(8.0, breadth, 1.6)
    scene = scene_of(form, draft, kg=0.6)
    water = water_plane(scene, form)
    return floating(scene, form, water, ())[0], water


@pytest.mark.closed_form
def test_a_box_read_5_mm_out_is_out_by_the_doubts() -> None:
    """8 x 2.4 m at 0.5 m: 5 mm of draft are 8 * 2.4 * 0.005 m3 = 96 litres; 5 mm a side are 0.08 m2 and 1.25 % of GM's BM."""
    afloat, water = _afloat(2.4, 0.5)
    doubts = afloat_doubts(afloat, water)
    deeper, _ = _afloat(2.4, 0.5 + READING)
    wider, _ = _afloat(2.4 + 2 * READING, 0.5)
    assert doubts.volume == pytest.approx(8 * 2.4 * 0.005, rel=1e-6)
    assert doubts.displacement == pytest.approx(deeper.displacement - afloat.displacement, rel=1e-6)
    assert doubts.waterplane_area == pytest.approx(wider.waterplane_area - afloat.waterplane_area, rel=1e-6)
    assert doubts.kg_per_cm == pytest.approx(wider.kg_per_cm - afloat.kg_per_cm, rel=1e-6)
    # BM is B^2 / (12 T): the displacement grows too, so that a third of the cube's growth is taken back.
    assert afloat.gm is not None
    assert wider.gm is not None
    assert doubts.gm is not None
    assert wider.gm - afloat.gm == pytest.approx(doubts.gm * 2 / 3, rel=5e-3)


@pytest.mark.example
def test_what_is_not_known_has_no_doubt() -> None:
    """Without figures there is nothing to doubt, and nothing divides by zero."""
    doubts = afloat_doubts(Floating(), None)
    assert (doubts.displacement, doubts.waterplane_area, doubts.gm) == (None, None, None)
