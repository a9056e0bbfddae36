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


def test_those_of_a_kind_stand_in_one_line_and_what_must_be_minded_is_not_told_again(sketch: DrivenSketch) -> None:
    """A line for each kind of note, that opens to what is said of each; a warning stands in the verdict, not again below."""
    sketch.rest()
    notes = [found for found in holed_in_turn(sketch.evaluation).evaluation.findings if found.severity == "note"]
    codes = {found.code for found in notes} - {"founders-by-main-space"}
    assert findings_section(sketch.state()).count("<summary") == len(codes) > 0
    graver = tuple(Finding(code="no-way-outside", severity="warn", object=name) for name in ("one", "other"))
    lesser = tuple(replace(found, code="bottles-stopped", severity="note", values={"space": found.object}) for found in graver)
    judged = replace(sketch.state(), evaluation=replace(sketch.evaluation, findings=(*graver, *lesser)), holes=None)
    assert message(graver[0]) in first_section(judged)
    below = findings_section(judged)
    assert message(graver[0]) not in below
    assert below.count("<summary") == 1
    assert all(message(found) in below for found in lesser)
    assert [f">Show {name}<" in below for name in ("one", "other")] == [True, True]


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
