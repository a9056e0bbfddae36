"""Findings about an intact layout."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scene_specimens import demo

from sketcher.analysis.spaces.standing_findings import collision_bulkhead, standing_findings
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


@pytest.mark.example
def test_a_bulkhead_under_the_mast_is_no_collision_bulkhead() -> None:
    """The foremost one is judged; that it carries the mast says that it stands where the mast does, and the next one is."""
    boat = demo("quillet-forepeak")
    assert boat.water is not None
    first = collision_bulkhead(boat.layout, boat.water)
    assert first is not None
    under_mast = [
        replace(shape, panel=replace(shape.panel, carries=("mast",))) if shape.name == first[0].name else shape
        for shape in boat.layout.panels
    ]
    then = collision_bulkhead(replace(boat.layout, panels=tuple(under_mast)), boat.water)
    assert then is None or then[0].name != first[0].name


@pytest.mark.example
def test_an_empty_boat_is_not_told_that_she_has_no_way_in() -> None:
    """Nothing is drawn in her yet; with a panel in her and still no opening it is told."""
    layout = demo("quillet-forepeak").layout
    empty = replace(layout, scene=replace(layout.scene, openings=()), flow_paths=(), closed=())
    codes = [{finding.code for finding in standing_findings(each, None)} for each in (replace(empty, panels=()), empty)]
    assert ["no-access" in found for found in codes] == [False, True]
