"""What goes into the spaces on the page, without a browser: added, typed, dragged, undone, shown."""

import shutil
from pathlib import Path

import pytest

from sketcher.model.demos import demo_folder
from sketcher.web.app import desk_for
from sketcher.web.desk import Desk
from sketcher.web.logic.filling import KINDS

pytestmark = pytest.mark.property


@pytest.fixture
def boats(tmp_path: Path) -> Path:
    """A copy of the demo scenes and hulls."""
    for folder in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / folder, tmp_path / folder)
    return tmp_path


def desk_on(boats: Path, name: str) -> Desk:
    made = desk_for(boats / "scenes" / f"{name}.yaml", None)
    made.take({"do": "size", "size": [900, 500], "sheet": [900, 400]})
    made.parts()
    return made


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_is_added_with_first_values_typed_over_and_undone(boats: Path, kind: str) -> None:
    """Bottles, people, chain and the like are added like panels, one named step each, and can be taken back."""
    desk = desk_on(boats, "quillet-forepeak")
    before = desk.session.scene
    desk.take({"do": "add", "value": kind})
    desk.take({"do": "place"})
    notice = desk.session.notice
    assert notice is None or not notice.refused, notice
    assert desk.session.scene != before
    assert desk.session.history.names[-1].startswith("Add ")
    assert desk.selected is not None
    assert desk.selected.kind == kind
    assert desk.session.evaluation.contents is not None
    desk.take({"do": "undo"})
    assert desk.session.scene == before


def test_the_margin_lists_what_goes_in(boats: Path) -> None:
    """The demo with everything in her: who lies where, how many bottles and what they lift, and the swamped answer."""
    side = desk_on(boats, "quillet-filled").parts()["contents"]
    assert "What goes in" in side
    assert 'data_figure="person/Ada"'.replace("_", "-") in side
    assert "lift 5" in side
    assert "Swamped, what lifts outweighs what sinks" in side


def test_what_goes_in_is_in_the_picture_and_can_be_hidden(boats: Path) -> None:
    """Bottles and sleepers are surfaces with a part of their own; hidden ones are not drawn."""
    desk = desk_on(boats, "quillet-filled")
    assert {part.key for part in desk.boat.parts} >= {"bottles/two litres", "bottles/half litres", "person/Ada"}
    desk.take({"do": "toggle", "part": "bottles/two litres"})
    assert not any(key.startswith("bottles/two litres") for key in desk.boat.shapes.surfaces)
    assert any(key.startswith("bottles/half litres") for key in desk.boat.shapes.surfaces)


@pytest.mark.parametrize("kind", ["stowage", "foam", "tank"])
def test_what_fills_a_space_is_seen_hidden_and_typed_over(boats: Path, kind: str) -> None:
    """A box, foam or a tank put in has a surface of its own in the picture, can be hidden, and changes with a number typed."""
    desk = desk_on(boats, "quillet-forepeak")
    desk.take({"do": "add", "value": kind})
    desk.take({"do": "place"})
    part = desk.selected
    assert part is not None
    assert part in desk.boat.parts
    before = desk.session.evaluation.contents
    key, text = {"stowage": ("size", "200, 200, 100"), "foam": ("density", "60"), "tank": ("share", "0.5")}[kind]
    desk.take({"do": "set", "part": part.key, "field": key, "value": text})
    assert desk.session.notice is None or not desk.session.notice.refused, desk.session.notice
    assert desk.session.evaluation.contents != before
    desk.take({"do": "toggle", "part": part.key})
    assert not any(name.startswith(part.key) for name in desk.boat.shapes.surfaces)
    desk.take({"do": "undo"})
    assert desk.session.evaluation.contents is not None


def test_while_a_bulkhead_is_dragged_people_follow_and_bottles_wait(boats: Path) -> None:
    """Under the hand the sleeper's length follows the bulkhead; bottles in a space that changes come back when it is let go."""
    desk = desk_on(boats, "quillet-filled")
    desk.take({"do": "select", "part": "bulkhead/collision"})
    found = desk.state().handle
    assert found is not None
    x, y = found.at[0] / 900, found.at[1] / 500
    before = desk.session.evaluation.contents
    assert before is not None
    desk.take({"do": "press", "where": "picture", "at": [x, y], "button": "main"})
    desk.take({"do": "move", "where": "picture", "at": [x + 0.03, y - 0.02], "fine": False})
    desk.before_picture()
    moving = desk.session.evaluation.contents
    assert moving is not None
    assert moving.bottles == ()
    assert moving.sleeping[0].length is not None
    assert before.sleeping[0].length is not None
    assert moving.sleeping[0].length < before.sleeping[0].length
    desk.take({"do": "release"})
    after = desk.session.evaluation.contents
    assert after is not None
    assert len(after.bottles) == 1
    assert after.sleeping[0].length == pytest.approx(moving.sleeping[0].length, abs=2e-3)


def test_afloat_shows_her_as_stated_and_with_the_changes(boats: Path) -> None:
    """A weight of 100 kg forward: displacement as stated and, beside it, 100 kg more; without changes there is one column."""
    desk = desk_on(boats, "quillet-forepeak")
    desk.take({"do": "add", "value": "weight"})
    desk.take({"do": "place"})
    scene = desk.session.scene
    desk.take({"do": "set", "part": f"weight/{scene.weights[-1].name}", "field": "kg", "value": "100"})
    afloat = desk.parts()["afloat"]
    stated = desk.session.evaluation.floating.displacement
    assert stated is not None
    changes = sum(weight.kg for weight in desk.session.scene.weights)
    assert f"with {changes:+.0f} kg" in afloat
    assert f">{stated:.0f} " in afloat
    assert f">{stated + changes:.0f} " in afloat
    assert "as stated" not in desk_on(boats, "quillet-forepeak").parts()["afloat"]
