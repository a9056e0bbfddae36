"""The card of the selected object."""

from __future__ import annotations

import re

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.web.ui.margin.selected_object import selected_card

pytestmark = pytest.mark.property


@pytest.mark.parametrize(("part", "lead"), [("berth/vee berth", "lies_on"), ("lid/berth top", "height"), (COLLISION, "at")])
def test_a_card_is_led_by_a_value_that_is_given(sketch: DrivenSketch, part: str, lead: str) -> None:
    """A berth on a lid by that lid, not by the empty field of its own height."""
    sketch.ask("select", part=part)
    assert re.findall(r'class="first[^>]*>[^<]*<input[^>]*data-field="(\w+)"', str(selected_card(sketch.state()))) == [lead]
