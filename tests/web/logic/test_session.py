"""The scene being worked on: what is saved, what is kept, and what is refused."""

from __future__ import annotations

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.files.recovery import find_recoveries
from sketcher.model.scene import Scene

pytestmark = pytest.mark.example


def test_saving_and_undoing_past_it_is_unsaved_again(sketch: DrivenSketch) -> None:
    """The mark tells whether the file says what the page shows."""
    sketch.ask("nudge")
    sketch.ask("select", part=COLLISION)
    sketch.ask("nudge", towards="right")
    assert sketch.state().unsaved
    sketch.ask("save")
    assert not sketch.state().unsaved
    sketch.ask("undo")
    assert sketch.state().unsaved
    sketch.ask("redo")
    assert not sketch.state().unsaved


def test_a_typed_number_is_kept_before_its_figures_are_worked_out(sketch: DrivenSketch) -> None:
    """A crash while the figures of an edit are worked out does not lose it; an edit that is refused is not kept."""
    reckon, kept = sketch.session.evaluate, []

    def reckoned(scene: Scene) -> Evaluation:
        kept.append(find_recoveries(sketch.session.opened, held=True))
        return reckon(scene)

    sketch.session.evaluate = reckoned
    sketch.ask("set", part=COLLISION, field="at", value="815")
    assert kept[0][0].stated.bulkheads[0].at == pytest.approx(0.815)
    sketch.ask("set", part=COLLISION, field="at", value="-5000")
    assert sketch.notice is not None
    assert sketch.notice.refused
    (found,) = find_recoveries(sketch.session.opened, held=True)
    assert found.stated.bulkheads[0].at == pytest.approx(0.815)
    sketch.ask("undo")
    assert kept[-1] == []


def test_any_step_is_gone_back_to_by_name(sketch: DrivenSketch) -> None:
    """All steps are listed by what they did; one choice goes back over several and another forward again, as undo and redo do."""
    for place in ("800", "815", "830"):
        sketch.ask("set", part=COLLISION, field="at", value=place)
    sketch.ask("dialog", name="steps")
    assert sketch.dialog is not None
    assert [name.split()[-2] for name in sketch.dialog.options] == ["800", "815", "830"]
    for number in range(4):
        assert f'data-number="{number}"' in sketch.parts()["dialog"]
    sketch.ask("go_to", number="1")
    assert sketch.dialog is None
    assert sketch.collision_at == sketch.evaluation.scene.bulkheads[0].at == pytest.approx(0.8)
    assert sketch.notice is not None
    assert sketch.notice.text == "2 steps back, to before: Move collision bulkhead 800 to 815 mm"
    sketch.ask("dialog", name="steps")
    assert len(sketch.dialog.options) == 3
    assert sketch.parts()["dialog"].count('class="undone"') == 2
    sketch.ask("go_to", number="2")
    assert sketch.collision_at == pytest.approx(0.815)
    assert sketch.notice.text == "One step forward, to after: Move collision bulkhead 800 to 815 mm"
    sketch.ask("go_to", number="99")
    assert sketch.collision_at == pytest.approx(0.83)
    (found,) = find_recoveries(sketch.session.opened, held=True)
    assert found.stated.bulkheads[0].at == pytest.approx(0.83)
