"""What stands behind verdicts."""

from __future__ import annotations

import pytest
from scene_specimens import box_scene, demo
from specimens import filled

from sketcher.analysis.bands.margins import STABLE, critical, margins_of
from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.flooding.cases import flooding_cases, single_cases
from sketcher.model.contents import Chain

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
  hold: {at: [2000, 0, 600], permeability: 1}
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
    assert (
        margins[f"people.{place.berth}.each.Ada.fits"]
        == margins[f"people.{place.berth}.fits"]
        == margins[f"berths.{place.berth}.fits"]
    )
    for case in cases:
        head = f"flooding.{case.holed[0]}."
        known = margins[f"{head}verdict"]
        assert case.verdict != "floats" or min(known[name] for name in turning[f"{head}verdict"]) > 0.0
        for lid in case.lids:
            assert margins[f"{head}lids.{lid.name}.dry"] == {lid.name: lid.clear_of_water}
    for room in boat.contents.rooms:
        if room.wanted is not None and room.proportioned is not None:
            assert (margins[f"stowage.{room.name}.fits"][room.name] >= -1e-6) == room.fits


@pytest.mark.example
def test_two_of_whom_no_names_are_known_are_two_margins() -> None:
    """So that whether both fit is drawn from what each has to spare, and not counted in a few boats."""
    boat = demo("marram-forepeak")
    (place,) = boat.lying_as_stated
    assert len(place.each) == 2
    assert list(margins_of(boat, ())[f"berths.{place.berth}.fits"]) == ["1", "2"]


@pytest.mark.example
def test_chain_stows_itself_by_the_fall_it_has_to_spare() -> None:
    """Short chain has more than it must, 150 m of it has less, and does not."""
    for length, stows in ((20.0, True), (150.0, False)):
        chain = Chain(name="rode", space="locker", length=length, size=0.010, pipe=(0.5, 0.0, 0.95))
        margin = margins_of(filled(chains=(chain,)), ())["chains.rode.stows_itself"]["rode"]
        assert (margin >= 0.0) == stows


@pytest.mark.closed_form
def test_where_a_space_lies_turns_by_its_top_or_its_bottom() -> None:
    """In water 300 mm up a lid 12 mm thick whose top is at 250 keeps the space under it 62 mm below; one over it crosses."""
    boat = evaluate(
        box_scene(DOORWAY.replace("SILL", "800") + "lids:\n  sole: {height: 250, from: main, to: transom, thickness: 12}\n")
    )
    found = {space.name: f"compartments.{space.name}.position" for space in boat.layout.compartments}
    margins, turning = margins_of(boat, ()), critical(boat, ())
    assert turning[found["hold"]] == ("top over", "bottom under")
    assert margins[found["hold"]]["bottom under"] == pytest.approx(0.05)
    (under,) = [path for name, path in found.items() if name not in ("hold", "peak")]
    assert turning[under] == ("top under", "bottom under")
    assert margins[under]["top under"] == pytest.approx(0.062)
