"""Bands beside the figures in the margin."""

from __future__ import annotations

from dataclasses import replace

import pytest
from driven_sketch import DrivenSketch

from sketcher.outputs.bands.measured_again import ToldAgain
from sketcher.outputs.tables.sure.certainty import Certainty
from sketcher.web.state import PageState, SureFigures
from sketcher.web.ui.margin.afloat import afloat_section
from sketcher.web.ui.margin.again import again_section
from sketcher.web.ui.margin.berths import berths_section
from sketcher.web.ui.margin.compartments import space_rows

pytestmark = pytest.mark.example


def known(state: PageState) -> PageState:
    """The page once it is known how sure its first space, its berth and her displacement are."""
    space, berth = state.evaluation.layout.compartments[0], state.evaluation.berths[0]
    bands = {
        f"compartments.{space.name}.volume_m3": (0.5, 0.524),
        f"compartments.{space.name}.below_waterline_m3": (0.1, 0.106),
        f"berths.{berth.name}.length_m": (1.9, 1.91),
        "floating.displacement_kg": (1100.0, 1300.0),
    }
    rows = (("station 1 at 480 mm, point 4", "to 1 mm", "±5.7 L"), ("the waterline at the bow", "to 1 mm", "±5.9 L"))
    again = ToldAgain(name="litres of peak", figure="512 ±12 L", rows=rows, now="±6.6 L", together="±4.1 L")
    return replace(state, sure=SureFigures(Certainty(bands, {f"berths.{berth.name}.fits": 0.08}), (again,)))


def test_figures_are_shown_with_their_bands_once_these_are_known(sketch: DrivenSketch) -> None:
    """Litres, a berth's length and how often it turns out otherwise, her displacement; before that no band."""
    state = sketch.state()
    sure = known(state)
    spaces = "".join(map(str, space_rows(sure).values()))
    assert "<small>±12</small>" in spaces
    assert "<small>±3</small>" in spaces
    assert "<small>±5</small>" in str(berths_section(sure))
    assert "in 8 of 100 not" in str(berths_section(sure))
    assert '<span class="unit">±100 kg</span>' in str(afloat_section(sure))
    shown = (*map(str, space_rows(state).values()), str(berths_section(state)), str(afloat_section(state)))
    assert not any("±" in text for text in shown)


def test_litres_below_a_flooded_waterline_have_no_band(sketch: DrivenSketch) -> None:
    """The band is of the water as stated."""
    sketch.ask("hole", part=f"compartment/{sketch.evaluation.layout.compartments[-1].name}")
    state = sketch.state()
    assert state.damage is not None
    spaces = "".join(map(str, space_rows(known(state)).values()))
    assert "±12" in spaces
    assert "±3<" not in spaces


def test_what_to_measure_again_has_a_section(sketch: DrivenSketch) -> None:
    """Each reading with how it is taken and what it brings; none while it is not known."""
    assert again_section(sketch.state()) is None
    shown = str(again_section(known(sketch.state())))
    assert "litres of peak" in shown
    assert "station 1 at 480 mm, point 4" in shown
    assert "±4.1 L" in shown
