"""Cleats along curves: a strip bends cold to a hundred of its thicknesses, and no thicker."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from shapes import cylinder, wedge
from specimens import box_form, form_of, layout_scene

from sketcher.analysis.cut.bonding.cleat_ends import CleatEnd
from sketcher.analysis.cut.bonding.cleats import Cleat, cleats_for
from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Seam
from sketcher.analysis.hull.form import HullForm
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


def unreached(form: HullForm, along: tuple[str, ...] = ("hull", "deck"), **bulkhead: float) -> list[Cleat]:
    """The cleats of a bulkhead in a hull, where nobody reaches any of its seams along so much."""
    stood = (Bulkhead(name="main", at=2.0, thickness=0.018, **bulkhead),)  # type: ignore[arg-type]
    layout = lay_out(layout_scene(form, bulkheads=stood), form)
    found = [replace(each, reached=0.0 if each.to in along else each.length) for each in seams(layout)]
    return list(cleats_for(layout.scene, found))


def angles(end: CleatEnd) -> tuple[float, float, float]:
    return end.cut.side, end.cut.face, end.cut.tilt


@pytest.mark.closed_form
def test_cleats_round_a_square_bulkhead_are_mitred() -> None:
    """In a box 2 m wide: each run goes from corner to corner, is straight, and is mitred at 45 degrees, square to its faces."""
    found = unreached(box_form())
    runs = [(run, ends) for each in found for run, ends in zip(each.settings, each.ends, strict=True)]
    assert sorted(run[-1].along for run, _ in runs) == pytest.approx([1.0] * 4 + [2.0] * 4, abs=3e-4)
    assert {each.strips for each in found} == {1}
    for _, ends in runs:
        for end in ends:
            assert end.mitred
            assert angles(end) == pytest.approx((45.0, 90.0, 90.0), abs=0.01)


@pytest.mark.closed_form
def test_a_cleat_is_cut_to_the_skin_that_bears_none() -> None:
    """Only the deck has a cleat, between sides that lean 0.6: each end is cut on the face to the corner of atan(1 / 0.6)."""
    found = unreached(form_of(wedge(4.0, 1.2, 1.0)), ("deck",))
    assert len(found) == 2
    for each in found:
        (ends,) = each.ends
        for end in ends:
            assert (end.cut.place, end.mitred) == ("hull", False)
            assert angles(end) == pytest.approx((np.degrees(np.arctan(1.0 / 0.6)), 90.0, 90.0), abs=0.05)


@pytest.mark.closed_form
def test_the_ends_of_a_cleat_under_a_raked_bulkhead() -> None:
    """Raked 20 degrees in a box: the mitre stays 45 on the face; along a side the back's end is square to the board's rake.

    Deck and bottom meet the board at 70 and 110, sides at 90. Their planes meet in a level line fore and aft, which leans 20
    degrees off the board's normal: along the sides it makes 90 -+ 20 with the edge, along deck and bottom 90.
    """
    runs = [pair for each in unreached(box_form(), rake=20.0) for pair in zip(each.settings, each.ends, strict=True)]
    level = [ends for run, ends in runs if run[-1].along == pytest.approx(2.0, abs=3e-4)]
    upright = [ends for run, ends in runs if run[-1].along == pytest.approx(1.0 / np.cos(np.radians(20.0)), abs=3e-4)]
    assert (len(level), len(upright)) == (4, 4)
    assert [end.cut.side for ends in (*level, *upright) for end in ends] == pytest.approx([45.0] * 16, abs=0.01)
    assert [end.cut.face for ends in level for end in ends] == pytest.approx([90.0] * 8, abs=0.01)
    for ends in upright:
        assert sorted(end.cut.face for end in ends) == pytest.approx([70.0, 110.0], abs=0.01)


@pytest.mark.closed_form
def test_a_cleat_round_a_log_has_its_length_and_curve() -> None:
    """A ring on a log of radius 1 m has no corner: one run of 2 pi metres, and its radius is the log's."""
    for each in unreached(form_of(cylinder(4.0, 1.0, facets=2880)), ("hull",)):
        assert sum(run[-1].along for run in each.settings) == pytest.approx(2.0 * pi, abs=3e-4)
        assert each.radius == pytest.approx(1.0, rel=0.01)
