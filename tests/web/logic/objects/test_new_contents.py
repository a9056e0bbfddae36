"""What goes into the spaces on the page, without a browser: added, typed, dragged, undone, shown."""

from pathlib import Path

import numpy as np
import pytest
from driven_sketch import DrivenSketch, driven

from sketcher.analysis.afloat.doubts import afloat_doubts
from sketcher.model.edits.actions import Add
from sketcher.model.scene import Berth
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.tables.afloat_report import gm_in_words
from sketcher.outputs.wording.quantities import borne
from sketcher.web.logic.drag.hit_testing import object_at
from sketcher.web.logic.objects.new_contents import CONTENT_KINDS


def sketch_of(boats: Path, name: str) -> DrivenSketch:
    return driven(boats / "scenes" / f"{name}.yaml")


@pytest.mark.property
@pytest.mark.parametrize("kind", CONTENT_KINDS)
def test_each_kind_is_added_with_first_values_typed_over_and_undone(boats: Path, kind: str) -> None:
    """Bottles, people, chain and the like are added like panels, one named step each, and can be taken back."""
    sketch = sketch_of(boats, "quillet-forepeak")
    before = sketch.scene
    sketch.ask("add", value=kind)
    sketch.ask("place")
    notice = sketch.notice
    assert notice is None or not notice.refused, notice
    assert sketch.scene != before
    assert sketch.session.history.names[-1].startswith("Add ")
    assert sketch.selected is not None
    assert sketch.selected.kind == kind
    assert sketch.evaluation.contents is not None
    sketch.ask("undo")
    assert sketch.scene == before


@pytest.mark.example
def test_the_margin_lists_what_goes_in(boats: Path) -> None:
    """The demo with everything in her: who lies where, how many bottles and what they lift, and the swamped answer."""
    side = sketch_of(boats, "quillet-filled").parts()["contents"]
    assert "What goes in" in side
    assert 'data_figure="person/Ada"'.replace("_", "-") in side
    assert "lift 5" in side
    assert "Swamped, what lifts outweighs what sinks" in side


@pytest.mark.example
def test_how_long_one_can_lie_is_said_to_be_the_most(boats: Path) -> None:
    """It is more than the berth's own length where they lie aslant, and would be taken for another measure of it."""
    sketch = sketch_of(boats, "quillet-filled")
    side, inside = sketch.parts()["contents"], sketch.evaluation.contents
    assert inside is not None
    lying = [one for place in inside.lying for one in place.each]
    assert lying
    for one in lying:
        assert one.length is not None
        assert f'data-figure="person/{one.name}">at most {one.length * 1000:.0f} mm<' in side


@pytest.mark.example
def test_what_goes_in_is_in_the_picture_and_can_be_hidden(boats: Path) -> None:
    """Bottles and sleepers are surfaces with a part of their own; hidden ones are not drawn."""
    sketch = sketch_of(boats, "quillet-filled")
    assert {part.key for part in sketch.workspace.drawn_boat().parts} >= {
        "bottles/two litres",
        "bottles/half litres",
        "person/Ada",
    }
    sketch.ask("toggle", part="bottles/two litres")
    assert not any(key.startswith("bottles/two litres") for key in sketch.workspace.drawn_boat().shapes.surfaces)
    assert any(key.startswith("bottles/half litres") for key in sketch.workspace.drawn_boat().shapes.surfaces)


@pytest.mark.property
@pytest.mark.parametrize("kind", ["stowage", "foam", "tank"])
def test_what_fills_a_space_is_seen_hidden_and_typed_over(boats: Path, kind: str) -> None:
    """A box, foam or a tank put in has a surface of its own in the picture, can be hidden, and changes with a number typed."""
    sketch = sketch_of(boats, "quillet-forepeak")
    sketch.ask("add", value=kind)
    sketch.ask("place")
    part = sketch.selected
    assert part is not None
    assert part in sketch.workspace.drawn_boat().parts
    before = sketch.evaluation.contents
    key, text = {"stowage": ("size", "200, 200, 100"), "foam": ("density", "60"), "tank": ("share", "0.5")}[kind]
    sketch.ask("set", part=part.key, field=key, value=text)
    assert sketch.notice is None or not sketch.notice.refused, sketch.notice
    assert sketch.evaluation.contents != before
    sketch.ask("toggle", part=part.key)
    assert not any(name.startswith(part.key) for name in sketch.workspace.drawn_boat().shapes.surfaces)
    sketch.ask("undo")
    assert sketch.evaluation.contents is not None


@pytest.mark.example
@pytest.mark.slow
def test_while_a_bulkhead_is_dragged_people_follow_and_bottles_wait(boats: Path) -> None:
    """Under the hand the sleeper's length follows the bulkhead; bottles in a space that changes come back when it is let go."""
    sketch = sketch_of(boats, "quillet-filled")
    sketch.ask("select", part="bulkhead/collision")
    found = sketch.state().handle
    assert found is not None
    x, y = found.at[0] / 900, found.at[1] / 500
    before = sketch.evaluation.contents
    assert before is not None
    sketch.ask("press", where="picture", at=[x, y], button="main")
    sketch.ask("move", where="picture", at=[x + 0.03, y - 0.02], fine=False)
    sketch.controller.before_picture()
    moving = sketch.evaluation.contents
    assert moving is not None
    assert moving.bottles == ()
    assert moving.lying[0].length is not None
    assert before.lying[0].length is not None
    assert moving.lying[0].length < before.lying[0].length
    sketch.ask("release")
    after = sketch.evaluation.contents
    assert after is not None
    assert len(after.bottles) == 1
    assert after.lying[0].length == pytest.approx(moving.lying[0].length, abs=2e-3)


@pytest.mark.example
def test_afloat_shows_her_as_stated_and_with_the_changes(boats: Path) -> None:
    """A weight of 100 kg forward: displacement as stated, rounded to what it is known to, and beside it the same with 100 kg."""
    sketch = sketch_of(boats, "quillet-forepeak")
    sketch.ask("add", value="weight")
    sketch.ask("place")
    scene = sketch.scene
    sketch.ask("set", part=f"weight/{scene.weights[-1].name}", field="kg", value="100")
    afloat = sketch.parts()["afloat"]
    doubt = afloat_doubts(sketch.evaluation.floating, sketch.evaluation.water).displacement
    stated = borne(sketch.evaluation.floating.displacement, doubt, 0)
    changes = sum(weight.kg for weight in sketch.scene.weights)
    assert f"with {changes:+.0f} kg" in afloat
    assert f">{stated} <" in afloat
    assert f">{stated} {changes:+.0f} <" in afloat
    assert "as stated" not in sketch_of(boats, "quillet-forepeak").parts()["afloat"]


@pytest.mark.example
def test_afloat_shows_gm_only_where_a_centre_of_gravity_is_stated(boats: Path) -> None:
    """With the height of the centre of gravity GM stands there as the report gives it; without it there is no such row."""
    sketch = sketch_of(boats, "quillet-forepeak")
    sketch.ask("set", part="waterline/waterline", field="centre_of_gravity", value="400")
    floating = sketch.evaluation.floating
    gm = gm_in_words(floating.gm, afloat_doubts(floating, sketch.evaluation.water).gm, "mm")
    assert f">{gm} " in sketch.parts()["afloat"].partition("Metacentric height GM")[2]
    assert "GM" not in sketch_of(boats, "ternholm-forepeak").parts()["afloat"]


@pytest.mark.property
@pytest.mark.parametrize("fill", ["bottles", "foam", "tank", "stowage"])
def test_what_fills_a_space_is_dragged_into_another(boats: Path, fill: str) -> None:
    """Taken in the profile and let go over another space it goes there: one named step, undone at once; outside it stays."""
    sketch = sketch_of(boats, "quillet-forepeak")
    sketch.ask("select", part="compartment/forepeak")
    sketch.ask("add", value=fill)
    sketch.ask("place")
    part = sketch.selected
    assert part is not None
    block = {"tank": "tanks", "foam": "foams"}.get(fill, fill)
    scene = sketch.scene

    def home() -> str:
        return str(next(item for item in getattr(sketch.scene, block) if item.name == part.name).space)

    assert home() == "forepeak"
    centres = {space.name: space.centroid for space in sketch.evaluation.layout.compartments}
    pane = next(pane for pane in sketch.sheet.panes if pane.kind == "profile")

    def spot(x: float, z: float) -> list[float]:
        u, v = pane.placing.spot(x, z)
        return [u, sketch.sheet.size[1] - v]

    begun, aim = centres["forepeak"], centres["berth space"]
    for ends, goes in (((aim[0], aim[2]), "berth space"), ((begun[0], 3.0), "forepeak")):
        sketch.ask("press", where="drawing", part=part.key, at=spot(begun[0], begun[2]), button="main")
        sketch.ask("move", where="drawing", at=spot(*ends), fine=False)
        sketch.controller.before_picture()
        sketch.ask("release")
        assert home() == goes
        if goes != "forepeak":
            assert sketch.session.history.names[-1] == f"Move {part.name} from forepeak to berth space"
            sketch.ask("undo")
        assert sketch.scene == scene


@pytest.mark.example
def test_a_person_is_dragged_to_another_berth(boats: Path) -> None:
    """In the plan Ada goes to the berth under the hand, which is named there, and lies in it when let go."""
    sketch = sketch_of(boats, "quillet-filled")
    sketch.session.do(Add(Berth(name="bunk", height=0.4, start="main", end=4.8, span=(0.1, 0.9), cushion=0.08)))
    sketch.workspace.selection.select(ObjectRef("person", "Ada"))
    sketch.parts()
    pane = next(pane for pane in sketch.sheet.panes if pane.kind == "plan")

    def spot(x: float, y: float) -> list[float]:
        u, v = pane.placing.spot(x, y)
        return [u, sketch.sheet.size[1] - v]

    sketch.ask("press", where="drawing", part="person/Ada", at=spot(1.8, 0.0), button="main")
    sketch.ask("move", where="drawing", at=spot(3.5, 0.5), fine=False)
    sketch.controller.before_picture()
    assert [(line.label, line.value) for line in sketch.workspace.drag.figures] == [("Ada in", "bunk")]
    sketch.ask("release")
    assert sketch.scene.people[0].berth == "bunk"
    assert sketch.evaluation.contents is not None
    assert [place.berth for place in sketch.evaluation.contents.lying] == ["bunk"]
    assert sketch.session.history.names[-1] == "Move Ada from vee berth to bunk"


@pytest.mark.example
def test_a_berths_verdict_is_that_of_the_people_named_for_it(boats: Path) -> None:
    """Ada grown to 2.10 m: the berth is short for Ada by what her own row says, whatever stature the berth itself states."""
    sketch = sketch_of(boats, "quillet-filled")
    assert "room for Ada" in sketch.parts()["berths"]
    sketch.ask("set", part="person/Ada", field="stature", value="2100")
    contents = sketch.evaluation.contents
    assert contents is not None
    (place,) = contents.lying
    short = f"{1000 * (place.short_by or 0.0):.0f} mm"
    assert f"{short} short for Ada" in sketch.parts()["berths"]
    assert f"short by {short}" in sketch.parts()["contents"]


@pytest.mark.example
def test_in_the_picture_bottles_go_into_the_space_that_is_seen_under_the_hand(boats: Path) -> None:
    """Pressed where they stand and let go where one looks into the cabin they go there; let go beside the boat they stay."""
    sketch = sketch_of(boats, "quillet-filled")
    spaces = {space.name: space for space in sketch.evaluation.layout.compartments}
    scene = sketch.scene

    def spot(point: tuple[float, float, float]) -> list[float]:
        x, y, _ = sketch.workspace.view_settings.camera.project(np.array(point), sketch.workspace.view_settings.size)[0].tolist()
        return [x / sketch.workspace.view_settings.size[0], y / sketch.workspace.view_settings.size[1]]

    begun = spot(spaces["forepeak"].centroid)
    assert object_at(sketch.workspace.drawn_boat(), sketch.workspace.view_settings, (begun[0], begun[1]))[0] == ObjectRef(
        "bottles", "two litres"
    )  # type: ignore[index]
    for end, goes in ((spot((2.0, 0.0, 1.0)), "cabin"), ([0.98, 0.02], "forepeak")):
        sketch.ask("press", where="picture", at=begun, button="main")
        sketch.ask("move", where="picture", at=end, fine=False)
        sketch.controller.before_picture()
        sketch.ask("release")
        assert sketch.scene.bottles[0].space == goes
        sketch.ask("undo")
        assert sketch.scene == scene
