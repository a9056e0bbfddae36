"""What must hold, in the margin."""

from __future__ import annotations

from dataclasses import replace

import pytest
from driven_sketch import DrivenSketch

from sketcher.analysis.limits.judging import with_limits
from sketcher.model.stated_limits import StatedLimit
from sketcher.web.ui.margin.limits import limits_section


@pytest.mark.example
def test_each_limit_has_a_row_that_says_whether_it_is_met(sketch: DrivenSketch) -> None:
    """One met, one missed and marked; a scene without limits has no section."""
    state = sketch.state()
    assert limits_section(state) is None
    limits = tuple(StatedLimit(name=f"GM {bound}", figure="GM", at_least=bound) for bound in ("0.1 m", "99 m"))
    judged = with_limits(replace(sketch.evaluation, scene=replace(sketch.evaluation.scene, limits=limits)))
    shown = str(limits_section(replace(state, evaluation=judged)))
    assert shown.count("met by") == 1
    assert shown.count('class="sign">MISSED by') == 1
