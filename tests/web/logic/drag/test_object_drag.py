"""A name stays with its space when a panel moves past the point that gave it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.spaces.drag.name_tracking import names_following
from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import Add, MoveBulkhead, NameCompartment
from sketcher.model.files.saving import open_scene
from sketcher.model.scene import Opening, Waterline
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.grips import grip_on
from sketcher.web.logic.drag.object_drag import ObjectDrag, drag_figures
from sketcher.web.logic.session import Session

SCENE = """\
scene: Names
hull: {hull}
units: mm
waterline: 520
bulkheads:
  collision: {{at: 1150, thickness: 18}}
  main: {{at: 3250, thickness: 12}}
compartments:
  forepeak: {{at: [1100, 0, 700], use: chain}}
  cabin: {{at: [2000, 0, 700], use: accommodation}}
"""


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """A bow with two bulkheads: a forepeak named close ahead of the first, a cabin between both, the rest unnamed."""
    path = tmp_path / "names.yaml"
    path.write_text(SCENE.format(hull=demo_folder() / "hulls" / "marram-29.yaml"))
    return Session(open_scene(path), evaluate)


def uses(session: Session) -> list[tuple[str, str]]:
    """Names and uses of the spaces from forward, those without a name of the owner's as a dash."""
    return [(space.name if space.named else "-", space.use) for space in session.evaluation.layout.compartments]


@pytest.mark.example
def test_a_name_follows_its_space_when_a_bulkhead_is_dragged_past_its_point(session: Session) -> None:
    """The forepeak keeps name and use as one step with the move, the cabin's point stays, and undoing puts all back."""
    before, named = session.scene, uses(session)
    edit = MoveBulkhead("collision", 1.0)
    session.preview(MoveBulkhead("collision", 1.08), None)
    session.preview(edit, MoveBulkhead("collision", 1.08))
    session.commit()
    assert uses(session) == named == [("forepeak", "chain"), ("cabin", "accommodation"), ("-", "void")]
    assert session.scene.compartments[1] == before.compartments[1]
    assert session.scene.compartments[0].at[0] < 1.0
    assert session.history.names == (edit.describe(before),)
    session.undo()
    assert session.scene == before
    session.redo()
    assert uses(session) == named


@pytest.mark.example
def test_a_name_follows_its_space_when_a_distance_is_typed(session: Session) -> None:
    """What is typed or nudged does the same as a drag; a bulkhead that passes no point moves none."""
    points = session.scene.compartments
    assert session.do(MoveBulkhead("collision", 1.12))
    assert session.scene.compartments == points
    assert session.do(MoveBulkhead("collision", 0.9))
    assert uses(session)[:2] == [("forepeak", "chain"), ("cabin", "accommodation")]
    assert len(session.history.names) == 2


@pytest.mark.example
def test_dragging_past_and_back_moves_no_point(session: Session) -> None:
    """Only where the hand lets go counts."""
    points = session.scene.compartments
    session.preview(MoveBulkhead("collision", 0.9), None)
    session.preview(MoveBulkhead("collision", 1.12), MoveBulkhead("collision", 0.9))
    session.commit()
    assert session.scene.compartments == points


@pytest.mark.example
def test_a_name_that_the_owner_puts_elsewhere_is_let_go(session: Session) -> None:
    """Naming the aft space `cabin` instead is the owner's wish: the name does not run back."""
    assert session.do(NameCompartment("cabin", (4.0, 0.0, 0.7), "accommodation"))
    assert [name for name, _ in uses(session)] == ["forepeak", "-", "cabin"]


@pytest.mark.example
def test_names_that_stay_need_nothing(session: Session) -> None:
    """Between two layouts in which each name is in its space no point moves."""
    layout = session.evaluation.layout
    assert names_following(layout, layout) == ()


@pytest.mark.example
def test_under_the_hand_a_space_keeps_its_name(session: Session) -> None:
    """While the collision bulkhead is past the forepeak's point, the hand shows both spaces by name, neither gone nor new."""
    grip = grip_on(session.scene, ObjectRef("bulkhead", "collision"), 1.15, (0.0, 9.0))
    drag = ObjectDrag(grip, session.evaluation, (0.0, 0.0))
    session.preview(MoveBulkhead("collision", 1.0), None)
    drag.to = (1.0,)
    said = {line.label: line.change for line in drag_figures(drag, session.evaluation)}
    assert said["forepeak"].startswith("−")
    assert said["cabin"].startswith("+")
    assert len(said) == 3


@pytest.mark.example
def test_lists_show_in_a_drag_what_they_show_after_it(session: Session) -> None:
    """While the bulkhead is past the forepeak's point each space has the name and use that it keeps once the hand lets go."""
    began = uses(session)
    session.preview(MoveBulkhead("collision", 1.0), None)
    shown = [(space.name, space.use, space.permeability) for space in session.evaluation.layout.compartments]
    assert uses(session) == began
    session.commit()
    assert [(space.name, space.use, space.permeability) for space in session.evaluation.layout.compartments] == shown


@pytest.mark.example
def test_a_way_that_is_dragged_past_a_point_still_says_what_it_joins(session: Session) -> None:
    """A limber hole in the moving bulkhead joins forepeak and cabin by their names, before and after the hand lets go."""
    assert session.do(Add(Opening(name="limber hole", through="collision", at=(0.0, 0.6), diameter=0.025, cover="none")))
    session.preview(MoveBulkhead("collision", 1.0), None)
    joined = [(sorted(path.between), path.kind) for path in session.evaluation.layout.flow_paths]
    assert (["cabin", "forepeak"], "opening") in joined
    assert [space.open_to for space in session.evaluation.layout.compartments[:2]] == [("cabin",), ("forepeak",)]
    session.commit()
    assert [(sorted(path.between), path.kind) for path in session.evaluation.layout.flow_paths] == joined


@pytest.mark.example
def test_a_freeboard_is_told_as_it_is_typed_while_the_water_is_dragged(session: Session) -> None:
    """The water 155 mm up from a freeboard of 775 mm: 620 mm are left, 155 mm less than before."""
    scene = replace(session.scene, waterline=Waterline(bow_freeboard=0.775, stern_freeboard=0.700))
    grip = grip_on(scene, ObjectRef("waterline", "waterline"), near_x=4.0, ends=(0.0, 8.0))
    drag = ObjectDrag(grip=grip, started=session.evaluation, begun_at=(0.5, 0.5), to=(-0.620,))
    first = drag_figures(drag, session.evaluation)[0]
    assert (first.label, first.value, first.change) == ("freeboard at the bow", "620 mm", "−155 mm")
