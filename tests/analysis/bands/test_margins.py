"""What stands behind verdicts."""

from __future__ import annotations

import pytest
from scene_specimens import demo

from sketcher.analysis.bands.margins import margins_of
from sketcher.analysis.flooding.cases import single_cases


@pytest.mark.example
def test_a_verdict_s_margins_are_what_it_is_judged_by() -> None:
    """A berth's as long as who lies there has room to spare; a lid's its height over the water; none where she founders."""
    boat = demo("quillet-filled")
    assert boat.contents is not None
    place = boat.contents.lying[0]
    cases = single_cases(boat.layout, boat.water, boat.floating)
    margins = margins_of(boat, cases)
    assert place.length is not None
    assert margins[f"berths.{place.berth}.fits"] == (place.length - place.worst.needed,)
    for case in cases:
        head = f"flooding.{case.holed[0]}."
        assert (f"{head}verdict" in margins) == (case.verdict == "floats")
        assert [margins[f"{head}lids.{lid.name}.dry"] for lid in case.lids] == [(lid.clear_of_water,) for lid in case.lids]
