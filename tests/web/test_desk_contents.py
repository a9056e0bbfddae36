"""What goes into the spaces on the page, without a browser: added, typed, dragged, undone, shown."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import Add
from sketcher.model.scene import Berth
from sketcher.web.app import desk_for
from sketcher.web.controller import Controller
from sketcher.web.logic.new_contents import KINDS
from sketcher.web.state import ObjectRef

pytestmark = pytest.mark.property


@pytest.fixture
def boats(tmp_path: Path) -> Path:
    """A copy of the demo scenes and hulls."""
    for folder in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / folder, tmp_path / folder)
    return tmp_path


def desk_on(boats: Path, name: str) -> Controller:
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


def test_how_long_one_can_lie_is_said_to_be_the_most(boats: Path) -> None:
    """It is more than the berth's own length where they lie aslant, and would be taken for another measure of it."""
    desk = desk_on(boats, "quillet-filled")
    side, inside = desk.parts()["contents"], desk.session.evaluation.contents
    assert inside is not None
    lying = [one for place in inside.sleeping for one in place.each]
    assert lying
    for one in lying:
        assert one.length is not None
        assert f'data-figure="person/{one.name}">at most {one.length * 1000:.0f} mm<' in side


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


def test_afloat_shows_gm_only_where_a_centre_of_gravity_is_stated(boats: Path) -> None:
    """With the height of the centre of gravity GM stands there as the report gives it; without it there is no such row."""
    desk = desk_on(boats, "quillet-forepeak")
    desk.take({"do": "set", "part": "waterline/waterline", "field": "centre_of_gravity", "value": "400"})
    gm = desk.session.evaluation.floating.gm
    assert gm is not None
    assert f">{gm * 1000:.0f} " in desk.parts()["afloat"].partition("Metacentric height GM")[2]
    assert "GM" not in desk_on(boats, "ternholm-forepeak").parts()["afloat"]


@pytest.mark.parametrize("fill", ["bottles", "foam", "tank", "stowage"])
def test_what_fills_a_space_is_dragged_into_another(boats: Path, fill: str) -> None:
    """Taken in the profile and let go over another space it goes there: one named step, undone at once; outside it stays."""
    desk = desk_on(boats, "quillet-forepeak")
    desk.take({"do": "select", "part": "compartment/forepeak"})
    desk.take({"do": "add", "value": fill})
    desk.take({"do": "place"})
    part = desk.selected
    assert part is not None
    block = {"tank": "tanks", "foam": "foams"}.get(fill, fill)
    scene = desk.session.scene

    def home() -> str:
        return str(next(item for item in getattr(desk.session.scene, block) if item.name == part.name).space)

    assert home() == "forepeak"
    centres = {space.name: space.centroid for space in desk.session.evaluation.layout.compartments}
    pane = next(pane for pane in desk.sheet.panes if pane.kind == "profile")

    def spot(x: float, z: float) -> list[float]:
        u, v = pane.placing.spot(x, z)
        return [u, desk.sheet.size[1] - v]

    begun, aim = centres["forepeak"], centres["berth space"]
    for ends, goes in (((aim[0], aim[2]), "berth space"), ((begun[0], 3.0), "forepeak")):
        desk.take({"do": "press", "where": "drawing", "part": part.key, "at": spot(begun[0], begun[2]), "button": "main"})
        desk.take({"do": "move", "where": "drawing", "at": spot(*ends), "fine": False})
        desk.before_picture()
        desk.take({"do": "release"})
        assert home() == goes
        if goes != "forepeak":
            assert desk.session.history.names[-1] == f"Move {part.name} from forepeak to berth space"
            desk.take({"do": "undo"})
        assert desk.session.scene == scene


def test_a_person_is_dragged_to_another_berth(boats: Path) -> None:
    """In the plan Ada goes to the berth under the hand, which is named there, and lies in it when let go."""
    desk = desk_on(boats, "quillet-filled")
    desk.session.do(Add(Berth(name="bunk", height=0.4, start="main", end=4.8, span=(0.1, 0.9), cushion=0.08)))
    desk.select(ObjectRef("person", "Ada"))
    desk.parts()
    pane = next(pane for pane in desk.sheet.panes if pane.kind == "plan")

    def spot(x: float, y: float) -> list[float]:
        u, v = pane.placing.spot(x, y)
        return [u, desk.sheet.size[1] - v]

    desk.take({"do": "press", "where": "drawing", "part": "person/Ada", "at": spot(1.8, 0.0), "button": "main"})
    desk.take({"do": "move", "where": "drawing", "at": spot(3.5, 0.5), "fine": False})
    desk.before_picture()
    assert [(line.label, line.value) for line in desk.dragging.hand()] == [("Ada in", "bunk")]
    desk.take({"do": "release"})
    assert desk.session.scene.people[0].berth == "bunk"
    assert desk.session.evaluation.contents is not None
    assert [place.berth for place in desk.session.evaluation.contents.sleeping] == ["bunk"]
    assert desk.session.history.names[-1] == "Move Ada from vee berth to bunk"


def test_a_berths_verdict_is_that_of_the_people_named_for_it(boats: Path) -> None:
    """Ada grown to 2.10 m: the berth is short for Ada by what her own row says, whatever stature the berth itself states."""
    desk = desk_on(boats, "quillet-filled")
    assert "room for Ada" in desk.parts()["berths"]
    desk.take({"do": "set", "part": "person/Ada", "field": "stature", "value": "2100"})
    contents = desk.session.evaluation.contents
    assert contents is not None
    (place,) = contents.sleeping
    short = f"{1000 * (place.short_by or 0.0):.0f} mm"
    assert f"{short} short for Ada" in desk.parts()["berths"]
    assert f"short by {short}" in desk.parts()["contents"]


def test_in_the_picture_bottles_go_into_the_space_that_is_seen_under_the_hand(boats: Path) -> None:
    """Pressed where they stand and let go where one looks into the cabin they go there; let go beside the boat they stay."""
    desk = desk_on(boats, "quillet-filled")
    spaces = {space.name: space for space in desk.session.evaluation.layout.compartments}
    scene = desk.session.scene

    def spot(point: tuple[float, float, float]) -> list[float]:
        x, y, _ = desk.looking.camera.project(np.array(point), desk.looking.size)[0].tolist()
        return [x / desk.looking.size[0], y / desk.looking.size[1]]

    begun = spot(spaces["forepeak"].centroid)
    assert desk.dragging.hit(desk.boat, (begun[0], begun[1]))[0] == ObjectRef("bottles", "two litres")  # type: ignore[index]
    for end, goes in ((spot((2.5, 0.0, 1.0)), "cabin"), ([0.98, 0.02], "forepeak")):
        desk.take({"do": "press", "where": "picture", "at": begun, "button": "main"})
        desk.take({"do": "move", "where": "picture", "at": end, "fine": False})
        desk.before_picture()
        desk.take({"do": "release"})
        assert desk.session.scene.bottles[0].space == goes
        desk.take({"do": "undo"})
        assert desk.session.scene == scene
