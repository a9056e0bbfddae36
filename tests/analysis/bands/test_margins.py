"""What stands behind verdicts."""

from __future__ import annotations

import pytest
from scene_specimens import box_scene, demo

from sketcher.analysis.bands.margins import STABLE, critical, margins_of
from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.flooding.cases import flooding_cases, single_cases

DOORWAY = """scene: x
hull: box.yaml
units: mm
waterline: 300
centre_of_gravity: {height: 400}
bulkheads:
  main: {at: 500, thickness: 12}
openings:
  sill: {through: main, at: [0, SILL], size: [400, 100], cover: none}
compartments:
  peak: {at: [250, 0, 300], permeability: 1}
  hold: {at: [2000, 0, 300], permeability: 1}
"""
"""A box of two spaces, a doorway between them: with the peak holed the water at the bulkhead is some 500 mm high."""


def doorway(sill: float) -> tuple[dict[str, float], tuple[str, ...], str]:
    """Of the peak holed: the verdict's margins, what it turns by, and the verdict; sill: the doorway's lowest height [mm]."""
    boat = evaluate(box_scene(DOORWAY.replace("SILL", str(sill + 50))))
    cases = flooding_cases(boat.layout, boat.water, boat.floating, ("peak",))
    path = "flooding.peak.verdict"
    return dict(margins_of(boat, cases)[path]), critical(boat, cases).get(path, ()), cases[0].verdict


@pytest.mark.example
def test_a_boat_is_lost_by_the_doorway_that_water_only_just_crosses() -> None:
    """Dry by a little the sill is what her floating turns by; under water by a little it is what her loss turns by."""
    over, turns, verdict = doorway(520.0)
    assert verdict == "floats"
    assert 0.0 < over["sill"] < 0.1
    assert turns == (STABLE, "sill")
    under, turns, verdict = doorway(520.0 - 1000.0 * over["sill"] - 10.0)
    assert verdict != "floats"
    assert under["sill"] == pytest.approx(-0.01, abs=0.001)
    assert turns == ("sill",)


@pytest.mark.example
def test_an_inner_way_far_over_the_water_is_not_asked() -> None:
    """A sill 200 mm clear is no margin that counts."""
    _, turns, _ = doorway(700.0)
    assert turns == (STABLE,)


@pytest.mark.example
def test_a_verdict_s_margins_are_what_it_is_judged_by() -> None:
    """A berth's as long as who lies there has room to spare; a lid's its height over the water; all above 0 where she floats."""
    boat = demo("quillet-filled")
    assert boat.contents is not None
    place = boat.contents.lying[0]
    cases = single_cases(boat.layout, boat.water, boat.floating)
    margins, turning = margins_of(boat, cases), critical(boat, cases)
    assert place.length is not None
    assert margins[f"berths.{place.berth}.fits"] == {"Ada": place.length - place.worst.needed}
    for case in cases:
        head = f"flooding.{case.holed[0]}."
        known = margins[f"{head}verdict"]
        assert case.verdict != "floats" or min(known[name] for name in turning[f"{head}verdict"]) > 0.0
        for lid in case.lids:
            assert margins[f"{head}lids.{lid.name}.dry"] == {lid.name: lid.clear_of_water}
