"""Compartments holed on the page."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from driven_sketch import DrivenSketch, copied_boats, driven
from scene_specimens import demo

from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.model.files.scene_file import scene_text
from sketcher.outputs.wording.quantities import flooded_words, length_with_unit
from sketcher.web.ui.margin.compartments import space_rows
from sketcher.web.ui.margin.damage import safe_words

pytestmark = pytest.mark.example


def test_a_holed_space_gives_the_answer_of_the_flood_command(sketch: DrivenSketch) -> None:
    """The page's case is the very case that the command line prints; closing the hole takes all of it away."""
    sketch.ask("hole", part="compartment/berth space")
    shown = sketch.state().damage
    evaluation = sketch.evaluation
    (case,) = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, ["berth space"])
    assert shown is not None
    for word in ("holed", "floods", "verdict", "water", "water_volume", "least_freeboard", "gm", "lids"):
        assert getattr(shown.case, word) == getattr(case, word), word
    assert "she floats" in sketch.parts()["flood"].casefold()
    sketch.ask("hole", part="compartment/berth space")
    assert sketch.state().damage is None


def test_a_space_that_runs_out_of_what_was_measured_says_so_and_no_sign_is_without_its_reason(tmp_path: Path) -> None:
    """Of a boat measured forward only, without an opening: the saloon is not closed, and no more is said than is known."""
    demo = driven(copied_boats(tmp_path) / "scenes" / "ternholm-forepeak.yaml").scene
    shut = tmp_path / "scenes" / "shut.yaml"
    shut.write_text(scene_text(replace(demo, openings=())), encoding="utf-8")
    rows = space_rows(driven(shut).state())
    (saloon,) = [row for row in rows.values() if "runs out of the measured part" in row]
    assert "not closed" in saloon
    assert not any(re.search(r"not tight</span>:\s*</small>", row) for row in rows.values())


def test_the_water_follows_a_lid_dragged_while_holed(sketch: DrivenSketch) -> None:
    """A higher lid leaves more room for water; the case shown at each place is the case of the scene as it stands there."""
    sketch.ask("hole", part="compartment/berth space")
    first = sketch.state().damage
    sketch.ask("select", part="lid/berth top")
    sketch.ask("set", part="lid/berth top", field="height", value="560")
    second = sketch.state().damage
    assert first is not None
    assert second is not None
    assert second.case.water_volume is not None
    assert first.case.water_volume is not None
    assert second.case.water_volume > first.case.water_volume
    assert second.case.lids[0].clear_of_water > first.case.lids[0].clear_of_water


def test_a_holed_space_is_called_flooded_wherever_it_is_named(sketch: DrivenSketch) -> None:
    """List, drawings and picture say flooded and how many litres, and all waters make up what she took in."""
    sketch.ask("hole", part="compartment/berth space")
    state = sketch.state()
    assert state.damage is not None
    waters = [water for water in state.damage.water_in.values() if water is not None]
    assert sum(waters) == pytest.approx(state.damage.case.water_volume, rel=1e-6)
    words = flooded_words(state.damage.water_in["berth space"])
    assert any(words in row for row in space_rows(state).values())
    assert any(words in label.lines for label in state.labels)
    sheet = [*state.sheet.values(), *(amount for _, _, amount, _ in state.drawn.key.numbers)]
    assert any(words in part for part in sheet)


def test_a_lid_is_shown_in_the_worse_state_whatever_the_use_of_its_space_is_called(sketch: DrivenSketch) -> None:
    """Called stowage or void, the space under it may be empty: the lid's figure on the page is the same, under water."""
    figures = []
    for use in ("void", "stowage"):
        sketch.ask("set", part="compartment/berth space", field="use", value=use)
        sketch.ask("hole", part="compartment/berth space")
        figures.append(re.findall(r'data-figure="lid/berth top"><span class="sign">(-\d+)<', sketch.parts()["flood"]))
        sketch.ask("hole", part="compartment/berth space")
    assert len(figures[0]) == 1
    assert figures[1] == figures[0]


def test_a_holed_boat_is_told_what_lifts_her_lid_and_what_comes_if_it_gives_way(tmp_path: Path) -> None:
    """Of the first demo with her void holed: the push on the tank top, and which spaces fill without it."""
    sketch = driven(copied_boats(tmp_path) / "scenes" / "marram-forepeak.yaml")
    sketch.ask("hole", part="compartment/forward void")
    said = sketch.parts()["flood"]
    assert re.search(r"Tank top goes \d+ mm under, and the water lifts it with \d+ kgf", said)
    assert "only while tank top and inspection port hold: with fore cabin and forward void both filled" in said


@pytest.mark.parametrize(
    ("raised", "said"), [(0.05, " over vee berth's pillow"), (0.6, "no height that leaves vee berth keeps it clear")]
)
def test_a_lid_under_a_berth_is_not_called_safe_at_a_height_that_is_no_berth(raised: float, said: str) -> None:
    """Raised 50 mm a berth keeps its height over the pillow less 50 mm; raised 600 mm it has less than a body needs."""
    boat = demo("quillet-forepeak")
    (berth,) = boat.berths
    (height,) = [lid.height for lid in boat.scene.lids if lid.name == "berth top"]
    words = safe_words(boat, LidLevel(name="berth top", clear_of_water=-0.1, lowest_safe_height=height + raised))
    assert said in words
    assert "safe" not in words
    assert berth.headroom is not None
    assert (length_with_unit(berth.headroom - 0.05, boat.scene.units) in words) is (raised == 0.05)
