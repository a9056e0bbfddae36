"""Messages about the objects of the scene."""

from __future__ import annotations

from pathlib import Path

import pytest
from driven_sketch import driven

pytestmark = pytest.mark.example


def test_every_finding_leads_to_what_it_is_about(boats: Path) -> None:
    """Pressing a finding selects its panel, opening, berth or compartment."""
    sketch = driven(boats / "scenes" / "ternholm-forepeak.yaml")
    about = [finding.object for finding in sketch.evaluation.findings if finding.severity != "note"]
    assert about
    for name in about:
        sketch.ask("select", part="")
        sketch.ask("find", object=name)
        assert sketch.selected is not None, name
        assert sketch.selected.name == name
