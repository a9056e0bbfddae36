"""The section of the report on changes in weight, on a real boat of the demo."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scene_specimens import demo
from specimens import filled

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.loading.weights import loaded
from sketcher.model.contents import Chain
from sketcher.model.scene import Weight
from sketcher.outputs.tables.report import report
from sketcher.outputs.tables.weight_changes import loads


@pytest.fixture(scope="module")
def marram() -> Evaluation:
    """The round-bilge demo with an anchor chain put in and a water tank taken out."""
    return demo("marram-forepeak")


@pytest.mark.example
def test_before_and_after_stand_side_by_side(marram: Evaluation) -> None:
    """Displacement before, rounded to what it is known to, and the sum of the changes, 84 - 120 kg, to the kilogram."""
    row = next(line for line in loads(marram, "mm", 96) if line.startswith("displacement"))
    assert row.split()[-3:] == ["4500", "4500", "-36"]


@pytest.mark.example
def test_each_item_shows_what_it_does_by_itself(marram: Evaluation) -> None:
    """Chain in the bow puts the bow down and the stern up; the figure beside it is the one reckoned by hand."""
    row = next(line for line in loads(marram, "mm", 96) if line.startswith("anchor chain")).split()
    item = next(item for item in loaded(marram.layout, marram.water, marram.floating).items if item.name == "anchor chain")
    assert item.forward is not None
    assert row[2:4] == ["+84", f"{1000 * item.forward:+.0f}"]
    assert int(row[4]) < 0 < int(row[3])


@pytest.mark.example
def test_conditions_have_a_column_each(marram: Evaluation) -> None:
    """Weights grouped as loaded and light give two columns beside the boat as she floats."""
    weights = (
        Weight(name="stores", kg=300.0, at=(4.0, 0.0, 0.5), condition="loaded"),
        Weight(name="ballast out", kg=-100.0, at=(4.0, 0.0, 0.1), condition="light"),
    )
    scene = replace(marram.scene, weights=weights)
    changed = replace(marram, scene=scene, layout=replace(marram.layout, scene=scene))
    assert loads(changed, "mm", 96)[0].split()[-4:] == ["as", "stated", "loaded", "light"]


@pytest.mark.example
def test_a_boat_without_changes_has_no_such_section(marram: Evaluation) -> None:
    """Nothing put in or taken out: nothing is printed."""
    scene = replace(marram.scene, weights=())
    assert loads(replace(marram, scene=scene, layout=replace(marram.layout, scene=scene)), "mm", 96) == []


@pytest.mark.closed_form
def test_what_goes_into_the_spaces_counts_as_a_change() -> None:
    """60 m of 10 mm chain and nothing else: the report shows 4100 kg as stated and 132 kg, by the table of weights, more."""
    chain = Chain(name="rode", space="locker", length=60.0, size=0.010, pipe=(0.5, 0.0, 0.95))
    row = next(line for line in report(filled(chains=(chain,))).splitlines() if line.startswith("displacement, kg"))
    assert row.split()[2:5] == ["4100", "4100", "+132"]


@pytest.mark.golden
def test_she_heels_to_a_side_and_trims_by_an_end(marram: Evaluation) -> None:
    """To starboard, by the bow: as sailors say it."""
    heeled = replace(marram, water=replace(marram.water, heel=2.0))
    rows = {line.split("  ")[0]: line for line in loads(heeled, "mm", 96)}
    assert "2.0° to starboard" in rows["heel"]
    assert "° by the " in rows["trim"]
