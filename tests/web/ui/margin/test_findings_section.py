"""What was noticed, in the margin."""

from __future__ import annotations

from dataclasses import replace
from html import unescape

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.analysis.findings import Finding
from sketcher.outputs.tables.first import if_holed
from sketcher.outputs.wording.sentences import message
from sketcher.web.logic.damage import holed_in_turn
from sketcher.web.ui.margin.findings import WAITS, findings_section, first_section

pytestmark = pytest.mark.example


def test_a_note_is_folded_to_a_line_and_what_must_be_minded_is_not(sketch: DrivenSketch) -> None:
    """A note opens at a click; a warning stands in the verdict, and is not told again below."""
    sketch.rest()
    notes = [found for found in holed_in_turn(sketch.evaluation).evaluation.findings if found.severity == "note"]
    told_where_holed = [found for found in notes if found.code == "founders-by-main-space"]
    assert findings_section(sketch.state()).count("<details") == len(notes) - len(told_where_holed) > 0
    graver = Finding(code="no-way-outside", severity="warn", object="b")
    evaluation = replace(sketch.evaluation, findings=(graver,))
    judged = replace(sketch.state(), evaluation=evaluation, holes=None)
    assert message(graver) in first_section(judged)
    assert message(graver) not in findings_section(judged)


def test_the_worst_hole_stands_with_the_verdict_and_waits_while_a_hand_moves(sketch: DrivenSketch) -> None:
    """At rest the same sentences as the report's; while something is dragged it says that it waits, and tells no old figure."""
    sketch.rest()
    holes = holed_in_turn(sketch.evaluation)
    said = if_holed(holes.evaluation, holes.cases, sketch.evaluation.scene.units)
    at_rest = unescape(first_section(sketch.state()))
    assert said
    assert all(text in at_rest for text in said)
    dragged = unescape(first_section(replace(sketch.state(), holes=None)))
    assert WAITS in dragged
    assert not any(text in dragged for text in said)


def test_no_picture_waits_for_the_holes(sketch: DrivenSketch) -> None:
    """They are judged once the page rests, kept while she is only looked at, and judged anew after an edit."""
    assert sketch.state().holes is None
    sketch.rest()
    judged = sketch.state().holes
    assert judged is not None
    sketch.controller.picture(fine=False)
    assert sketch.state().holes is judged
    sketch.ask("set", part=COLLISION, field="at", value="710")
    assert sketch.state().holes is None
    sketch.rest()
    assert sketch.state().holes not in (None, judged)
