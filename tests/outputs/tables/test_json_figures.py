"""The figures that other programs read."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest
from evaluation_specimen import box_boat, compartment
from scene_specimens import demo_scene
from specimens import filled

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.results import Floating, Immersion
from sketcher.model.contents import Chain
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Weight
from sketcher.outputs.tables.json_figures import as_csv, as_json, figures

KEYS = {
    "": "scene hull waterline floating compartments berths bulkheads flooding findings",
    "waterline": "forward_m after_m heel_deg trim_deg",
    "floating": "displacement_kg volume_m3 draft_m canoe_body_draft_m centre_of_buoyancy_m waterplane_area_m2 "
    "centre_of_flotation_m kg_per_cm moment_per_cm_kgm gm_m forward_freeboard_m after_freeboard_m "
    "least_freeboard_m least_opening_clear_m",
    "compartments": "name use volume_m3 below_waterline_m3 position centroid_m lowest_m highest_m bounded"
    " watertight open_to permeability",
    "berths": "name length_m shoulder_width_m foot_width_m headroom_m stature_m fits short_by_m sitting_headroom_m air_m2"
    " tallest_m",
    "bulkheads": "name place",
    "findings": "code severity object message measured limit source binding",
}


def open_boat() -> Evaluation:
    """The box boat, her after space running out of an open end."""
    boat = box_boat()
    spaces = (compartment("after space", (1.02, -1, 0.4), (4, 1, 1), bounded=False), *boat.layout.compartments[1:])
    return replace(
        boat,
        layout=replace(boat.layout, compartments=spaces),
        floating=Floating(displacement=8600.0, estimated=("displacement",)),
    )


@pytest.mark.golden
@pytest.mark.parametrize("block", list(KEYS))
def test_the_keys_are_those_that_other_programs_know(block: str) -> None:
    """Each block has exactly the keys that are promised, in their order."""
    values = figures(box_boat())
    found = values if not block else values[block][0] if isinstance(values[block], list) else values[block]
    assert list(found) == KEYS[block].split()


@pytest.mark.example
def test_a_window_that_limits_a_finding_is_told_in_metres() -> None:
    """What is measured and its limit are in SI, words about them too, whatever the scene's unit."""
    window = Phrase("from-the-bow", {"least": Length(0.84), "most": Length(1.3412)})
    boat = replace(box_boat(), findings=(Finding(code="no-way-outside", severity="note", object="boat", limit=window),))
    assert figures(boat)["findings"][0]["limit"] == "0.840 to 1.341 m from the bow"


@pytest.mark.closed_form
def test_the_boxes_have_their_own_volumes() -> None:
    """A box of 2.98 x 2 x 0.39 m is 2.3244 m3, all of it below a waterline at 0.5 m, and its centre is in its middle."""
    low = next(space for space in figures(box_boat())["compartments"] if space["name"] == "low void")
    assert low["volume_m3"] == pytest.approx(2.98 * 2 * 0.39, abs=1e-12)
    assert low["below_waterline_m3"] == pytest.approx(2.3244, abs=1e-12)
    assert low["position"] == "below"
    assert low["centroid_m"] == pytest.approx([2.51, 0.0, 0.195])


@pytest.mark.example
def test_what_is_not_known_is_there_and_null() -> None:
    """Without a waterline every figure that needs one is null, never 0 and never missing."""
    boat = box_boat()
    dry = replace(boat, water=None, floating=Floating(), immersion=(None,) * 3)
    values = figures(dry)
    assert set(values["waterline"].values()) == {None}
    assert set(values["floating"].values()) == {None}
    assert {space["position"] for space in values["compartments"]} == {None}
    assert {space["below_waterline_m3"] for space in values["compartments"]} == {None}


@pytest.mark.example
def test_a_space_that_runs_on_past_the_measured_end_has_no_volume() -> None:
    """Of a space out of an open end only what is sure is given: it crosses the water; litres, centre and extent are null."""
    space = figures(open_boat())["compartments"][0]
    assert space["bounded"] is False
    assert space["position"] == "crosses"
    assert {space[key] for key in ("volume_m3", "below_waterline_m3", "lowest_m", "highest_m")} == {None}
    assert space["centroid_m"] is None


@pytest.mark.example
def test_a_space_measured_only_below_the_water_may_yet_rise_above_it() -> None:
    """Of a space that runs on, measured below the water so far, nobody knows whether it stays below."""
    boat = open_boat()
    found = figures(replace(boat, immersion=(Immersion(below=3.0, position="below"), *boat.immersion[1:])))["compartments"][0]
    assert found["position"] is None


@pytest.mark.example
def test_estimates_are_marked_as_estimates() -> None:
    """Where a figure comes from what is stated of the whole boat, the block lists it; a boat measured whole has no such list."""
    assert figures(open_boat())["floating"]["estimated"] == ["displacement_kg"]
    assert "estimated" not in figures(box_boat())["floating"]


@pytest.mark.example
def test_json_has_no_word_that_json_does_not_know() -> None:
    """A figure that came out as no number is null in the text, which any reader takes; negative zeros are zeros."""
    boat = box_boat()
    odd = replace(boat, floating=replace(boat.floating, gm=float("nan"), draft=float("inf"), kg_per_cm=-0.0))
    text = as_json(odd)
    values = json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert values["floating"]["gm_m"] is None
    assert values["floating"]["draft_m"] is None
    assert "-0.0" not in text


@pytest.mark.example
def test_the_same_boat_gives_the_same_text() -> None:
    """Two evaluations of equal values print the same, letter for letter."""
    assert as_json(box_boat()) == as_json(box_boat())


@pytest.mark.example
def test_the_table_is_rectangular_and_holds_what_the_json_holds() -> None:
    """Every row of the CSV has every column; volumes read from it are those of the JSON figures, to the last bit."""
    rows = list(csv.reader(io.StringIO(as_csv(box_boat()))))
    assert {len(row) for row in rows} == {len(rows[0])}
    table = [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]
    volumes = {row["name"]: float(row["volume_m3"]) for row in table if row["kind"] == "compartment"}
    assert volumes == {space["name"]: space["volume_m3"] for space in figures(box_boat())["compartments"]}
    assert [row["length_m"] for row in table if row["kind"] == "berth"] == ["2.98"]


@pytest.mark.property
@pytest.mark.parametrize("name", ["=1+1", "+cmd", "-2", "@here"])
def test_a_name_is_never_run_by_a_spreadsheet(name: str) -> None:
    """A name that begins like a formula is written as text."""
    boat = box_boat()
    spaces = (replace(boat.layout.compartments[0], name=name), *boat.layout.compartments[1:])
    text = as_csv(replace(boat, layout=replace(boat.layout, compartments=spaces)))
    assert next(csv.DictReader(io.StringIO(text)))["name"] == f"'{name}"


@pytest.mark.closed_form
def test_figures_with_the_changes_stand_beside_those_as_stated() -> None:
    """132 kg of chain by the table of weights: as stated 4100 kg at 0.5 m, with the changes 4232 kg and deeper forward."""
    chain = Chain(name="rode", space="locker", length=60.0, size=0.010, pipe=(0.5, 0.0, 0.95))
    values = figures(filled(chains=(chain,)))
    then = values["with_changes"]
    assert (values["waterline"]["forward_m"], values["floating"]["displacement_kg"]) == pytest.approx((0.5, 4100.0))
    assert then["change_kg"] == pytest.approx(132.0)
    assert then["floating"]["displacement_kg"] == pytest.approx(4232.0)
    assert then["waterline"]["forward_m"] > 0.5
    assert "with_changes" not in figures(filled())


@pytest.mark.closed_form
def test_a_partly_measured_boats_weight_with_the_changes_is_an_estimate_and_gives_her_volume() -> None:
    """8600 kg by the hull's block and 50 kg put in, in sea water: 8650 kg, 8650 / 1025 m3, both marked as estimates."""
    scene = read_scene(demo_scene("ternholm-forepeak"))
    loaded = replace(scene, weights=(Weight(name="anchor", kg=50.0, at=(1.0, 0.0, 1.0)),))
    afloat = figures(evaluate(loaded))["with_changes"]["floating"]
    assert afloat["displacement_kg"] == pytest.approx(8650.0)
    assert afloat["volume_m3"] == pytest.approx(8650.0 / 1025.0)
    assert {"displacement_kg", "volume_m3"} <= set(afloat["estimated"])


@pytest.mark.closed_form
def test_a_boat_that_finds_no_rest_with_the_changes_still_has_a_volume() -> None:
    """A box of 4100 kg with 60 t put into her: no waterline, but the mass and, over 1025, the volume she would displace."""
    weights = (Weight(name="ore", kg=60_000.0, at=(2.0, 0.0, 0.3)),)
    boat = filled()
    scene = replace(boat.scene, weights=weights)
    afloat = figures(replace(boat, scene=scene, layout=replace(boat.layout, scene=scene)))["with_changes"]["floating"]
    assert afloat["displacement_kg"] == pytest.approx(64_100.0)
    assert afloat["volume_m3"] == pytest.approx(64_100.0 / 1025.0)
    assert afloat["gm_m"] is None
