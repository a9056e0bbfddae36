"""Findings about an intact layout."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scene_specimens import demo

from sketcher.analysis.spaces.standing_findings import standing_findings
from sketcher.model.scene import Opening
from sketcher.outputs.wording.sentences import message


@pytest.mark.property
@pytest.mark.parametrize(("off", "told"), [(-0.3, False), (-0.2, True), (0.0, True), (0.2, True), (0.3, False)])
def test_a_hatch_across_the_front_of_the_coachroof_is_told(off: float, told: bool) -> None:
    """One 0.5 m long crosses the front of the roof where its middle is nearer to it than 0.25 m; wide of it, never."""
    layout = demo("quillet-forepeak").layout
    roof = layout.scene.hull.coachroof
    assert roof is not None
    hatch = Opening(name="fore hatch", through="deck", at=(roof.start + off, 0.0), size=(0.5, 0.3), cover="loose")
    found = standing_findings(replace(layout, scene=replace(layout.scene, openings=(hatch,))), None)
    said = [message(finding, "mm") for finding in found if finding.code == "opening-across-step"]
    assert len(said) == told
    assert all(each.startswith("fore hatch lies across the edge of the coachroof") for each in said)
