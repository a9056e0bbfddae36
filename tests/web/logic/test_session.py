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
    assert kept[0][0].scene.bulkheads[0].at == pytest.approx(0.815)
    sketch.ask("set", part=COLLISION, field="at", value="-5000")
    assert sketch.notice is not None
    assert sketch.notice.refused
    (found,) = find_recoveries(sketch.session.opened, held=True)
    assert found.scene.bulkheads[0].at == pytest.approx(0.815)
    sketch.ask("undo")
    assert kept[-1] == []
