"""The demo boats and their layouts: they read, float, and raise exactly the findings they are there to show."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import scene_specimens
import yaml
from layouts.shortened_panels import shortened
from places import ROOT

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.survey.findings import check_hull
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.tables.tape_table import read_tape_table
from sketcher.outputs.tables.json_figures import figures
from sketcher.outputs.wording.sentences import message as in_words

EXPECTED: dict[str, list[dict[str, Any]]] = yaml.safe_load((Path(__file__).parent / "demo_findings.yaml").read_text())
SCENES = sorted(path.name for path in (ROOT / "scenes").glob("*.yaml"))
HULLS = sorted(path.name for path in (ROOT / "hulls").glob("*.yaml"))
QUICK = ("pellwick-bows.yaml", "quillet-forepeak.yaml")
NO_LONGER_WHOLE = {"collision-bulkhead-racing", "collision-bulkhead-passenger"}
"""Codes that change with any bulkhead that does not reach the deck: then the next one aft counts as the collision bulkhead."""
NO_LONGER_TIGHT = {"sealed-air-warmed"}
"""Codes that change with any gap: what is no longer sealed is left out of them."""
SHORT = 0.003
"""[m] how much each panel is made too short."""


def demo(name: str) -> Evaluation:
    return scene_specimens.demo(name.removesuffix(".yaml"))


@pytest.mark.example
def test_every_demo_scene_has_its_findings_listed() -> None:
    """No scene without its list, no list without its scene."""
    assert sorted(EXPECTED) == SCENES


@pytest.mark.golden
@pytest.mark.parametrize("name", SCENES)
def test_a_demo_raises_exactly_its_findings(name: str) -> None:
    """None missing, none extra, each saying what to move and how far."""
    found = demo(name).findings
    assert [(f.severity, f.code, f.object) for f in found] == [(e["severity"], e["code"], e["object"]) for e in EXPECTED[name]]
    for finding, expected in zip(found, EXPECTED[name], strict=True):
        for words in expected["says"]:
            assert words in in_words(finding)


@pytest.mark.property
@pytest.mark.parametrize("name", SCENES)
def test_every_compartment_of_a_demo_is_named_by_its_owner(name: str) -> None:
    """Nothing is found in a demo that its owner did not point at, and all that was pointed at is there."""
    spaces = demo(name).layout.compartments
    assert all(space.named for space in spaces)
    assert {space.name for space in spaces} == {seed.name for seed in demo(name).scene.compartments}


@pytest.mark.property
@pytest.mark.parametrize("name", [name for name in SCENES if not name.startswith("ternholm")])
def test_a_demo_boat_floats_as_she_should(name: str) -> None:
    """Upright by herself, deck and openings clear of the water, her weight over her length cubed that of a cruising boat."""
    afloat = demo(name).floating
    assert afloat.displacement is not None
    assert afloat.gm is not None
    assert afloat.least_freeboard is not None
    assert afloat.least_opening_clear is not None
    length = demo(name).layout.hull.x_after - demo(name).layout.hull.x_forward
    assert 2.0 < afloat.displacement / length**3 < 10.0
    assert 0.5 < afloat.gm < (20.0 if demo(name).scene.hull.twin_spacing else 2.0)
    assert afloat.least_freeboard > 0.08 * length
    assert afloat.least_opening_clear > 0.5


@pytest.mark.property
@pytest.mark.parametrize("name", [name if name in QUICK else pytest.param(name, marks=pytest.mark.slow) for name in SCENES])
def test_each_panel_of_a_demo_made_3_mm_short_is_reported(name: str) -> None:
    """Panel, place and width: each edge that meets the deck, a lid or a bulkhead, drawn in in turn.

    Of the two smallest all that is found is looked through, of the others what laying them out finds.
    """
    whole = name in QUICK
    before = {(f.object, in_words(f)) for f in (demo(name) if whole else demo(name).layout).findings}
    told = set()
    for short in shortened(demo(name).layout, SHORT):
        found = evaluate(short.scene) if whole else lay_out(short.scene, demo(name).layout.hull)
        new = [f for f in found.findings if (f.object, in_words(f)) not in before]
        mine = [f for f in new if f.object == short.panel and f.code in ("gap", "short-edge")]
        assert mine, f"{short.panel} {short.edge}"
        others = {f.code for f in new if f not in mine}
        assert others <= NO_LONGER_WHOLE | NO_LONGER_TIGHT, f"{short.panel} {short.edge}"
        for finding in mine:
            assert isinstance(finding.measured, float)
            assert short.least <= finding.measured <= short.most, f"{short.panel} {short.edge}: {in_words(finding)}"
            assert f"short of {short.beyond}" in in_words(finding)
            assert finding.at is not None
        told.add(short.panel)
    assert told == {panel.name for panel in demo(name).scene.panels}


@pytest.mark.example
def test_the_partly_measured_boat_tells_nothing_that_needs_the_rest_of_her() -> None:
    """Without the block on the whole boat every such figure is null: never 0, never the measured part's own."""
    scene = demo("ternholm-forepeak.yaml").scene
    bare = figures(evaluate(replace(scene, hull=replace(scene.hull, boat=None))))
    known = {key for key, value in bare["floating"].items() if value not in (None, [])}
    assert known == {"forward_freeboard_m", "least_opening_clear_m"}
    saloon = next(space for space in bare["compartments"] if space["name"] == "saloon")
    assert saloon["bounded"] is False
    assert saloon["watertight"] is False
    assert [saloon[key] for key in ("volume_m3", "below_waterline_m3", "centroid_m", "lowest_m", "highest_m")] == [None] * 5
    assert [f["code"] for f in bare["findings"] if f["object"] == "Ternholm 34"] == ["hull-open-aft"]


@pytest.mark.example
def test_the_partly_measured_boats_estimates_are_marked_as_such() -> None:
    """With the block, what rests on it is listed as estimated, and what it cannot give stays null."""
    afloat = figures(demo("ternholm-forepeak.yaml"))["floating"]
    known = {key for key, value in afloat.items() if value is not None} - {"estimated"}
    assert known - set(afloat["estimated"]) == {"forward_freeboard_m", "least_opening_clear_m"}
    assert [afloat[key] for key in ("draft_m", "centre_of_buoyancy_m", "gm_m", "least_freeboard_m")] == [None] * 4


@pytest.mark.property
@pytest.mark.parametrize("name", SCENES)
def test_no_figure_of_a_demo_is_not_a_number(name: str) -> None:
    """Every number in the figures is finite."""

    def numbers(value: Any) -> list[float]:
        if isinstance(value, dict):
            return [n for v in value.values() for n in numbers(v)]
        if isinstance(value, list):
            return [n for v in value for n in numbers(v)]
        return [value] if isinstance(value, float) else []

    found = numbers(figures(demo(name)))
    assert found
    assert all(math.isfinite(n) for n in found)


@pytest.mark.property
@pytest.mark.parametrize("name", [name for name in HULLS if not name.startswith("canoe")])
def test_demo_hulls_are_measured_as_boats_are(name: str) -> None:
    """Whole millimetres, unequal counts of points from station to station, and nothing a loftsman would warn of."""
    hull = read_hull(ROOT / "hulls" / name)
    counts = {len(station.points) for station in hull.stations}
    assert len(counts) >= 3
    for station in hull.stations:
        for y, z in station.points:
            assert round(y, 3) == y
            assert round(z, 3) == z
    assert [f for f in check_hull(hull) if f.severity != "note"] == []


@pytest.mark.example
def test_the_tape_table_gives_the_plywood_boats_hull() -> None:
    """Both sides measured at two stations: their means are the hull file's points, and one difference over 5 mm is told."""
    table = read_tape_table(ROOT / "hulls" / "quillet-21-tape.csv")
    assert table.hull.stations == read_hull(ROOT / "hulls" / "quillet-21.yaml").stations
    (note,) = table.notes
    assert (note.station, note.point) == (1.35, 5)
    assert "differ by 8 mm; the mean is used" in note.message
