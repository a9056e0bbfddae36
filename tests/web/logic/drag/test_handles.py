"""Handles: each kind of object is held where it can be changed by hand, and goes with the hand."""

from __future__ import annotations

from math import degrees, hypot, radians, tan
from pathlib import Path

import numpy as np
import pytest
from driven_sketch import COLLISION, DrivenSketch, driven

from sketcher.analysis.evaluate import evaluate
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef, object_ref
from sketcher.web.logic.drag.grips import in_whole_steps, stepped
from sketcher.web.logic.drag.handles import PartHandle, handles_of
from sketcher.web.state import WHOLE
from sketcher.web.view.handle_marks import APART, HOLD

MORE = """
partitions:
  side: {off_centre: [-150, -200], from: collision, to: 1600, top: berth top, thickness: 9}
stringers:
  bearer: {under: berth top, side: both, from: collision, to: main, width: 30, depth: 45}
weights:
  anchor: {kg: 12, at: [400, 0, 700]}
fittings:
  pump: {at: [3300, 200, 200], size: [120, 100, 80]}
people:
  Ada: {berth: vee berth, stature: 1700, shoulders: 500, feet: 320}
"""


@pytest.fixture
def full(boats: Path) -> DrivenSketch:
    """The smallest demo with one more of each kind that has handles."""
    scene = boats / "scenes" / "quillet-forepeak.yaml"
    scene.write_text(scene.read_text() + MORE)
    return driven(scene)


def held(sketch: DrivenSketch, part: str, key: str) -> PartHandle:
    ref = object_ref(part)
    assert ref is not None
    return next(handle for handle in handles_of(sketch.evaluation, ref) if handle.place.key == key)


@pytest.mark.property
@pytest.mark.parametrize(
    ("part", "key", "step", "says"),
    [
        (COLLISION, "rake", 0.5, "Set collision bulkhead's rake from 0 to 0.5°"),
        (COLLISION, "angle", -0.5, "Set collision bulkhead's angle in plan from 0 to -0.5°"),
        ("partition/side", "fore", 0.005, "Move side partition -150, -200 to -145, -200 mm"),
        ("partition/side", "aft", 0.005, "Move side partition -150, -200 to -150, -195 mm"),
        ("partition/side", "lean", 0.5, "Set side partition's lean from 0 to 0.5°"),
        ("partition/side", "from", 0.005, "Set side partition's forward end from collision to 715 mm"),
        (COLLISION, "port edge", 0.1, "Set collision bulkhead's span from hull, hull to -410, hull mm"),
        ("lid/berth top", "starboard edge", -0.1, "Set berth top lid's span from hull, hull to hull, 845 mm"),
        ("lid/berth top", "slope", 0.5, "Set berth top lid's slope from 0 to 0.5°"),
        ("lid/berth top", "slope_across", 0.5, "Set berth top lid's slope across from 0 to 0.5°"),
        ("lid/berth top", "from", 0.005, "Set berth top lid's forward end from collision to 715 mm"),
        ("lid/berth top", "to", -0.005, "Set berth top lid's after end from main to 2695 mm"),
        ("berth/vee berth", "from", 0.005, "Set vee berth's forward end from collision to 715 mm"),
        ("berth/vee berth", WHOLE, 0.005, "Move berth top lid 470 to 475 mm"),
        ("stringer/bearer", "from", 0.005, "Set bearer stringer's forward end from collision to 715 mm"),
        ("stringer/bearer", "to", -0.005, "Set bearer stringer's after end from main to 2695 mm"),
        ("opening/forward port", "size y", 0.005, "Set forward port opening's diameter from 125 to 130 mm"),
        ("opening/berth port", "size x", 0.005, "Set berth port opening's size from 300, 220 to 305, 220 mm"),
        ("opening/way through", "size z", 0.005, "Set way through opening's size from 480, 420 to 480, 425 mm"),
        ("fitting/pump", "size z", 0.005, "Set pump fitting's size from 120, 100, 80 to 120, 100, 85 mm"),
        ("waterline/waterline", "bow", 0.002, "Set waterline from 268 forward and 262 mm aft to 270 forward and 262 mm aft"),
    ],
)
def test_each_handle_changes_one_thing_by_a_step(full: DrivenSketch, part: str, key: str, step: float, says: str) -> None:
    """What it changes and by how much is said by the step in the history; a tied end that leaves its tie goes to a whole step."""
    grip = held(full, part, key).grip
    edit = grip.edit(stepped(grip, (step,), 0.5 if grip.arm else 0.005))
    assert edit.describe(full.scene) == says
    assert edit.apply(full.scene) != full.scene


@pytest.mark.closed_form
@pytest.mark.slow
@pytest.mark.parametrize(
    ("part", "key", "by"),
    [
        (COLLISION, "rake", 0.08),
        (COLLISION, "angle", -0.04),
        ("partition/side", "lean", 0.03),
        ("partition/side", "fore", -0.06),
        ("partition/side", "to", -0.1),
        ("lid/berth top", "from", 0.2),
        ("lid/berth top", "slope", 0.05),
        ("lid/berth top", "slope_across", 0.03),
        ("lid/berth top", "port edge", 0.2),
        (COLLISION, "starboard edge", -0.1),
        ("berth/vee berth", "to", -0.3),
        ("stringer/bearer", "from", 0.4),
        ("opening/berth port", "size x", 0.05),
        ("opening/way through", "size z", -0.04),
        ("fitting/pump", "size y", 0.06),
    ],
)
def test_what_is_held_goes_with_the_hand(full: DrivenSketch, part: str, key: str, by: float) -> None:
    """Where it was held, the object is where the hand went along its axis, to half a step."""
    before = held(full, part, key)
    grip, axis = before.grip, int(np.argmax(before.place.along))
    full.session.evaluation = evaluate(grip.edit(in_whole_steps(grip, (by,), 0.1 if grip.arm else 0.001)).apply(full.scene))
    shape = next((shape for shape in full.evaluation.layout.panels if shape.name == grip.ref.name), None)
    if shape is None or PANEL_KINDS.index(shape.kind) != axis:
        after = held(full, part, key).place.at[axis]
    else:
        after = shape.convex[-1].front.plane.coordinate(axis, before.place.at)
    half = abs(grip.arm) * radians(0.05) if grip.arm else 0.0005
    # A stringer is drawn in sixty steps.
    slack = 0.02 if part.startswith("stringer") else 1e-4
    assert after - before.place.at[axis] == pytest.approx(by, abs=half * 1.05 + slack)


@pytest.mark.closed_form
def test_an_angle_is_that_of_the_arm_to_the_hand(full: DrivenSketch) -> None:
    """The top of the bulkhead moved aft by so much: its rake has the tangent of that over the top's height."""
    handle = held(full, COLLISION, "rake")
    (rake,) = in_whole_steps(handle.grip, (0.1,), 1e-9)
    assert rake == pytest.approx(degrees(np.arctan(0.1 / handle.place.at[2])))
    assert tan(radians(rake)) * handle.place.at[2] == pytest.approx(0.1)


@pytest.mark.example
def test_an_end_dragged_near_a_bulkhead_is_tied_to_it(full: DrivenSketch) -> None:
    """Within a hand's uncertainty it takes the bulkhead's name; in fine steps only where it truly is there."""
    grip = held(full, "lid/berth top", "from").grip
    assert grip.values == (0.712,)
    assert in_whole_steps(grip, (0.018,), 0.005, 0.025) == grip.values
    assert in_whole_steps(grip, (0.018,), 0.001) == pytest.approx((0.730,))
    after = held(full, "lid/berth top", "to").grip
    assert after.edit(in_whole_steps(after, (-1.975,), 0.005, 0.025)).describe(full.scene) == (
        "Tie berth top lid's after end to collision"
    )


@pytest.mark.example
def test_a_handle_dragged_is_one_step_and_escape_gives_it_up(sketch: DrivenSketch) -> None:
    """Its figure is shown while it moves, and it alone is seen; let go it is one named step; given up it leaves no trace."""
    sketch.ask("select", part=COLLISION)
    before, size = sketch.scene, sketch.state().picture_size
    rake = next(handle for handle in sketch.state().handles if handle.key == "rake")
    at = rake.at[0] / size[0], rake.at[1] / size[1]
    sketch.drag("picture", at, (at[0] + 0.03, at[1] - 0.02), grip="rake", drop=False)
    state = sketch.state()
    assert [handle.key for handle in state.handles] == ["rake"]
    assert state.drag_figures[0].value.endswith("°")
    sketch.ask("escape")
    assert sketch.scene == before
    sketch.drag("picture", at, (at[0] + 0.03, at[1] - 0.02), grip="rake")
    assert len(sketch.session.history.names) == 1
    assert sketch.scene.bulkheads[0].rake > 2.0
    sketch.ask("undo")
    assert sketch.scene == before


@pytest.mark.example
def test_handles_are_held_in_the_drawings_too(sketch: DrivenSketch) -> None:
    """In the profile a bulkhead's rake and in the plan its angle; the part that a handle lies on does not move instead."""
    sketch.ask("select", part=COLLISION)
    sketch.parts()
    panes = {pane.kind: pane for pane in sketch.sheet.panes}
    for kind, key, turned in (("profile", "rake", "rake"), ("plan", "angle", "angle")):
        place = held(sketch, COLLISION, key).place
        pane = panes[kind]
        x, y = pane.placing.spot(*place.at[["xyz".index(axis) for axis in pane.placing.axes]].tolist())
        at = (x, sketch.sheet.size[1] - y)
        assert f'data-grip="{key}"' in sketch.parts()["sheet-grips"]
        sketch.drag("drawing", at, (at[0] + 2, at[1]), part=COLLISION, grip=key, pane=kind)
        assert getattr(sketch.scene.bulkheads[0], turned) > 0.0
        assert sketch.collision_at == 0.7


@pytest.mark.example
def test_arrow_keys_move_a_handle_that_has_the_keyboard(full: DrivenSketch) -> None:
    """Either pair of keys moves what goes one way only; in a drawing they go as it is seen; a person goes to the next berth."""
    full.ask("select", part="weight/anchor")
    full.ask("nudge", towards="up", grip=WHOLE, where="drawing", pane="plan")
    assert full.scene.weights[0].at == pytest.approx((0.4, 0.005, 0.7))
    full.ask("nudge", towards="up", grip=WHOLE)
    assert full.scene.weights[0].at == pytest.approx((0.4, 0.005, 0.705))
    full.ask("select", part=COLLISION)
    full.ask("nudge", towards="up", grip="rake", fine=True)
    assert full.scene.bulkheads[0].rake == pytest.approx(0.1)
    assert full.workspace.spoken.startswith("collision 0.1° rake, top aft")
    full.ask("undo")
    person = held(full, "person/Ada", WHOLE).grip
    assert person.next_to is not None
    assert person.says is not None
    assert person.says(person.next_to(1)) == "vee berth"


@pytest.mark.property
@pytest.mark.parametrize(
    "part", [COLLISION, "opening/forward port", "opening/companionway", "fitting/pump", "waterline/waterline"]
)
def test_handles_stand_apart_and_say_what_they_are(full: DrivenSketch, part: str) -> None:
    """Whatever is selected, each handle is 24 px wide, as WCAG 2.5.8 asks, clear of the others, named, and tells its figure."""
    full.ask("select", part=part)
    handles = full.state().handles
    places = [handle.beside or handle.at for handle in handles]
    assert len(handles) > 1
    assert 2 * HOLD >= 24
    gaps = [hypot(a[0] - b[0], a[1] - b[1]) for number, a in enumerate(places) for b in places[:number]]
    assert min(gaps) >= APART - 1e-6
    assert all(handle.word and handle.value for handle in handles)
    assert len({handle.key for handle in handles}) == len(handles)


@pytest.mark.example
def test_nothing_is_held_of_what_is_not_there(sketch: DrivenSketch) -> None:
    """A space has no handle: it follows from its panels."""
    assert handles_of(sketch.evaluation, ObjectRef("compartment", "forepeak")) == ()
