"""Whatever is shown belongs to the scene that would be saved, however hand, keys and a second page get into each other's way."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from driven_sketch import COLLISION, DrivenSketch, copied_boats, driven
from hypothesis import given, settings
from hypothesis import strategies as st

from sketcher.analysis.evaluate import evaluate

MOVES = st.tuples(st.floats(-0.06, 0.06), st.floats(-0.06, 0.06))
HAND: st.SearchStrategy[tuple[str, dict[str, Any]]] = st.one_of(
    st.sampled_from([COLLISION, "lid/berth top", "waterline/waterline"]).map(lambda part: ("press on", {"part": part})),
    MOVES.map(lambda by: ("move by", {"by": by})),
    st.just(("release", {})),
    st.just(("escape", {})),
)
KEYS: st.SearchStrategy[tuple[str, dict[str, Any]]] = st.one_of(
    st.sampled_from(["left", "right", "up", "down"]).map(lambda way: ("nudge", {"towards": way})),
    st.integers(600, 900).map(lambda mm: ("set", {"part": COLLISION, "field": "at", "value": str(mm)})),
    st.integers(420, 520).map(lambda mm: ("set", {"part": "lid/berth top", "field": "height", "value": str(mm)})),
    st.sampled_from([("undo", {}), ("redo", {}), ("duplicate", {"part": "lid/berth top"}), ("delete", {"part": COLLISION})]),
    st.sampled_from([("save", {}), ("echo", {"number": 1}), ("select", {"part": COLLISION})]),
)


def figures_are_of_the_scene(sketch: DrivenSketch) -> None:
    """The list's figures are those of a fresh evaluation of what would be saved."""
    shown, fresh = sketch.evaluation, evaluate(sketch.scene)
    assert shown.scene == sketch.scene
    volumes = {space.name: pytest.approx(space.volume, abs=1e-9) for space in fresh.layout.compartments}
    assert {space.name: space.volume for space in shown.layout.compartments} == volumes
    assert [berth.length for berth in shown.berths] == [
        None if berth.length is None else pytest.approx(berth.length, abs=1e-9) for berth in fresh.berths
    ]


def do(sketch: DrivenSketch, deed: str, values: dict[str, Any]) -> None:
    """Send what a page sends for it."""
    if deed == "press on":
        sketch.ask("select", part=values["part"])
        at = list(sketch.handle()) if sketch.state().handle is not None else list(sketch.workspace.drag.pressed_at)
        sketch.ask("press", where="picture", at=at, button="main")
    elif deed == "move by":
        x, y = sketch.workspace.drag.pressed_at
        sketch.ask("move", at=[x + values["by"][0], y + values["by"][1]])
        sketch.controller.before_picture()
    else:
        sketch.ask(deed, **values)


@pytest.mark.property
@pytest.mark.slow
@settings(max_examples=3)
@given(deeds=st.lists(st.one_of(HAND, HAND, KEYS), min_size=3, max_size=14))
def test_hand_keys_and_a_second_page_at_once_show_one_boat(
    tmp_path_factory: pytest.TempPathFactory, deeds: list[tuple[str, dict[str, Any]]]
) -> None:
    """After each message, in any order: press, move, let go, give up, type, nudge, undo, delete, save."""
    scene: Path = copied_boats(tmp_path_factory.mktemp("race")) / "scenes" / "quillet-forepeak.yaml"
    sketch = driven(scene)
    for deed, values in deeds:
        do(sketch, deed, values)
        figures_are_of_the_scene(sketch)
    sketch.ask("release")
    figures_are_of_the_scene(sketch)


@pytest.mark.property
@pytest.mark.parametrize("between", ["nudge", "set", "undo", "duplicate"])
@pytest.mark.parametrize("moved", [False, True])
def test_a_panel_edited_by_key_while_it_is_held_shows_the_edited_boat(sketch: DrivenSketch, between: str, moved: bool) -> None:
    """Pressed on, perhaps moved, edited, let go: the list shows the boat as edited."""
    values = {"nudge": {"towards": "right"}, "set": {"part": COLLISION, "field": "at", "value": "860"}}
    do(sketch, "press on", {"part": COLLISION})
    if moved:
        do(sketch, "move by", {"by": (0.05, 0.0)})
    sketch.ask(between, **values.get(between, {} if between == "undo" else {"part": "lid/berth top"}))
    figures_are_of_the_scene(sketch)
    sketch.ask("release")
    figures_are_of_the_scene(sketch)
    if between == "set":
        assert sketch.collision_at == 0.860
