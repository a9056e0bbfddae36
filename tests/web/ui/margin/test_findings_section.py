"""What was noticed, in the margin."""

from __future__ import annotations

from dataclasses import replace

import pytest
from driven_sketch import DrivenSketch

from sketcher.analysis.findings import Finding
from sketcher.web.ui.margin.findings import findings_section

pytestmark = pytest.mark.example


def test_a_note_is_folded_to_a_line_and_what_must_be_minded_is_not(sketch: DrivenSketch) -> None:
    """A note opens at a click; a stop or a warning stands in full."""
    list_of = findings_section(sketch.state())
    notes = [finding for finding in sketch.evaluation.findings if finding.severity == "note"]
    assert list_of.count("<details") == len(notes) > 0
    graver = Finding(code="no-way-outside", severity="warn", object="b")
    evaluation = replace(sketch.evaluation, findings=(graver,))
    assert "<details" not in findings_section(replace(sketch.state(), evaluation=evaluation))
