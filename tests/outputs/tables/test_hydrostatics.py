"""How she floats at other drafts, as table and curves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat

from sketcher.model.errors import SketchError
from sketcher.outputs.drawing.hydrostatic_curves import curves
from sketcher.outputs.drawing.recording import Line
from sketcher.outputs.tables.hydrostatics import hydrostatic_rows, hydrostatics_report


@pytest.mark.closed_form
def test_a_box_carries_its_draft_times_its_area() -> None:
    """8 m2 of waterplane at every draft: 82 kg per cm in sea water, displacement 8200 kg a metre of draft; KM = T/2 + B2/12T."""
    for row in hydrostatic_rows(box_boat()):
        assert row.displacement == pytest.approx(1025 * 8 * row.draft, rel=1e-9)
        assert row.kg_per_cm == pytest.approx(82.0, rel=1e-9)
        assert row.km_transverse == pytest.approx(row.draft / 2 + 4 / (12 * row.draft), rel=1e-6)


@pytest.mark.closed_form
def test_the_table_prints_what_was_worked_out() -> None:
    """The last row, at 95 per cent of the depth of 1 m: 950 mm, 7790 kg, 7600 litres, 82.0 kg per cm, 8 m2 of water.

    Wet are 8 m2 of bottom and 12 m of sides.
    """
    row = next(line for line in hydrostatics_report(box_boat()).splitlines() if line.strip().startswith("950"))
    assert row.split()[:7] == ["950", "950", "7790", "7600", "82.0", "8.00", "19.40"]


@pytest.mark.example
def test_curves_lie_on_their_sheet_and_show_the_boats_own_waterline() -> None:
    """Every line stays on the paper, and the waterline crosses all four fields at one height."""
    drawing = curves(box_boat())
    lines = [item for item in drawing.items if isinstance(item, Line)]
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for item in lines for x, y in item.points)
    water = [item for item in lines if item.layer == "water"]
    assert len(water) == 4
    assert len({y for item in water for _, y in item.points}) == 1


@pytest.mark.example
def test_a_boat_measured_in_part_has_no_such_table() -> None:
    """Without the after part there is nothing to reckon with, and the words say so."""
    boat = box_boat()
    part = replace(
        boat, layout=replace(boat.layout, hull=replace(boat.layout.hull, hull=replace(boat.scene.hull, open_aft=True)))
    )
    with pytest.raises(SketchError, match="only the forward part"):
        hydrostatic_rows(part)
