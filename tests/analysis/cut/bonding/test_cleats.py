"""Cleats along curves: a strip bends cold to a hundred of its thicknesses, and no thicker."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bonding.cleats import cleats_for
from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Seam
from sketcher.analysis.sources import SOURCES
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Bonding
from sketcher.model.scene import Bulkhead
from sketcher.outputs.tables.costs import sold
from sketcher.outputs.wording.sentences import words

FORM = box_form()
LAYOUT = lay_out(layout_scene(FORM, bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.018),)), FORM)


def arc(radius: float) -> Seam:
    """A seam of half a metre to starboard, on a circle, that nobody reaches."""
    turn = np.linspace(0.0, 0.5 / radius, 200)
    line = np.column_stack([np.full(200, 2.0), 0.1 + radius * np.sin(turn), radius * (1.0 - np.cos(turn))])
    corner = {"angle": 90.0, "least_angle": 90.0, "greatest_angle": 90.0, "fillet": 0.0, "lines": (line,)}
    return Seam(panel="main", face="forward", to="hull", length=0.5, reached=0.0, **corner)  # type: ignore[arg-type]


@pytest.mark.closed_form
@pytest.mark.parametrize(("radius", "strips"), [(2.6, 1), (2.4, 2), (0.9, 3), (0.7, 4), (0.4, None)])
def test_a_cleat_is_of_strips_that_bend(radius: float, strips: int | None) -> None:
    """25 mm bend to 2.5 m; to 0.7 m bend 7 mm, so four strips of 6.25; below 4 mm a strip, it is sawn to the curve."""
    (cleat,) = cleats_for(LAYOUT.scene, (arc(radius),))
    assert cleat.strips == strips
    if strips is not None:
        assert 100.0 * cleat.strip <= radius * (1.0 + 1e-3)


@pytest.mark.closed_form
def test_timber_is_bought_for_each_strip() -> None:
    """Half a metre to 0.7 m takes four strips: two metres and a twentieth of 25 by 6.25 mm, and none 25 mm thick."""
    found = bonding_list(LAYOUT, panel_patterns(LAYOUT, None), (), (arc(0.7),))
    assert found is not None
    timber = {words(each.item): sold(each.amount, "mm")[0] for each in found.purchases if each.item.code == "timber-to-buy"}
    assert timber == {"timber 25 mm × 6.2 mm": pytest.approx(2.1)}
    assert found.cleats == pytest.approx(0.5)


@pytest.mark.closed_form
def test_the_tape_that_is_stated_is_the_tape_that_is_given() -> None:
    """The source's rule, 50 mm and 25 more for each layer, and its sum for three layers are those of the usual bonding."""
    how = Bonding()
    assert (how.first, how.step, how.layers) == (0.050, 0.025, 3)
    reach = round(1000 * (how.first + (how.layers - 1) * how.step))
    assert f"three layers reach {reach} mm" in SOURCES["tabbing"].title
    found = bonding_list(LAYOUT, panel_patterns(LAYOUT, None), (), (replace(arc(3.0), reached=0.5, fillet=pi * 1e-6),))
    assert found is not None
    assert found.tapes[-1].width == pytest.approx(2 * reach / 1000)


@pytest.mark.closed_form
def test_the_back_of_a_cleat_is_planed_by_its_corner() -> None:
    """Corners that open from 80 to 90 degrees over half a metre: 10 degrees off square at one end, square at the other."""
    seam = replace(arc(2.0), angles=(np.linspace(80.0, 90.0, 200),))
    (cleat,) = cleats_for(LAYOUT.scene, (seam,))
    (run,) = cleat.settings
    assert [run[0].angle, run[-1].angle] == pytest.approx([10.0, 0.0])
    assert [run[0].along, run[-1].along] == pytest.approx([0.0, 0.5], abs=1e-4)
    assert run[0].under == pytest.approx(0.025 * (1.0 - np.tan(np.radians(10.0))))
    steps = np.diff([each.angle for each in run])
    assert np.abs(steps[:-1]).max() == pytest.approx(2.0, abs=0.06)


@pytest.mark.closed_form
def test_the_corner_of_a_seam_is_known_all_along_it() -> None:
    """A bulkhead that stands square in a box meets it at 90 degrees at every point of its seams."""
    found = seams(LAYOUT)
    assert found
    for seam in found:
        for line, angles in zip(seam.lines, seam.angles, strict=True):
            assert len(line) == len(angles)
            assert angles == pytest.approx(90.0, abs=1e-6)
