"""Keel, skeg and rudder by their outline: litres, middle and lowest point follow, and the outline is dragged."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from places import HULLS

from sketcher.model.edits.appendage_outlines import OutlineAppendage
from sketcher.model.edits.hull_edits import SetHullValue
from sketcher.model.edits.hull_outlines import DragOutline, outline_grips
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_text, read_hull
from sketcher.model.files.hull_saving import open_hull
from sketcher.model.hull import Appendage, with_heights_as_in, with_outlines
from sketcher.model.measurement_checks import hull_problem

MARRAM = read_hull(HULLS / "marram-29.yaml")
TRAPEZE = Appendage(
    name="skeg", volume=0.0, at=(0.0, 0.0, 0.0), outline=((6.0, 0.0), (7.2, 0.0), (6.9, -0.6), (6.3, -0.6)), thickness=0.05
)


@pytest.mark.closed_form
def test_litres_and_middle_follow_from_the_outline() -> None:
    """A trapeze 1.2 and 0.6 m long, 0.6 m deep, 50 mm thick: 0.54 m2, 27 litres, its middle h (a + 2 b) / 3 (a + b) down."""
    hull = with_outlines(replace(MARRAM, appendages=(TRAPEZE,)))
    (skeg,) = hull.appendages
    assert skeg.volume == pytest.approx(0.027)
    assert skeg.at == pytest.approx((6.6, 0.0, -0.6 * (1.2 + 2 * 0.6) / 3 / 1.8))
    assert skeg.lowest == -0.6
    down = with_outlines(with_heights_as_in(hull, replace(hull, heights_from=1.0, heights_down=True)))
    assert down.appendages[0].lowest == pytest.approx(1.6)
    backwards = with_outlines(replace(hull, appendages=(replace(TRAPEZE, outline=TRAPEZE.outline[::-1]),)))
    assert (backwards.appendages[0].volume, backwards.appendages[0].at) == (skeg.volume, pytest.approx(skeg.at))


@pytest.mark.example
def test_an_outline_is_read_written_and_refused_in_words(tmp_path: Path) -> None:
    """The file holds outline and thickness alone; without thickness, or crossing itself, it says so."""
    hull = with_outlines(replace(MARRAM, appendages=(TRAPEZE,)))
    file = tmp_path / "hull.yaml"
    file.write_text(hull_text(hull), encoding="utf-8")
    assert "{skeg: {outline: [[6000, 0], [7200, 0], [6900, -600], [6300, -600]], thickness: 50}}" in file.read_text()
    assert read_hull(file).appendages == hull.appendages
    file.write_text(hull_text(hull).replace(", thickness: 50}", "}"), encoding="utf-8")
    with pytest.raises(SketchError, match="`thickness` is missing"):
        read_hull(file)
    file.write_text(hull_text(hull).replace("[6900, -600], [6300, -600]", "[6300, -600], [6900, -600]"), encoding="utf-8")
    with pytest.raises(SketchError, match="the outline of skeg crosses itself"):
        read_hull(file)
    flat = with_outlines(replace(MARRAM, appendages=(replace(TRAPEZE, outline=TRAPEZE.outline[:2]),)))
    problem = hull_problem(flat)
    assert problem is not None
    assert problem.message == "the outline of skeg has no area"


@pytest.mark.example
def test_an_outline_begins_with_the_litres_and_its_corners_are_dragged(tmp_path: Path) -> None:
    """It holds the litres to the step of its thickness; a corner dragged changes one line, and litres that stay without it."""
    file = tmp_path / "hull.yaml"
    file.write_bytes((HULLS / "marram-29.yaml").read_bytes())
    opened = open_hull(file)
    name = opened.stated.appendages[0].name
    outlined = OutlineAppendage(name, True).apply(opened.stated)
    before, now = opened.stated.appendages[0], outlined.appendages[0]
    assert now.volume == pytest.approx(before.volume, rel=1e-5)
    assert now.at == pytest.approx(before.at, abs=1e-3)
    assert now.lowest == pytest.approx(before.lowest, abs=1e-3)
    key = f"appendages.{name}.outline.4"
    (grip,) = (each for each in outline_grips(outlined, "profile") if each.key == key)
    longer = DragOutline("profile", key, (grip.at[0] - 0.2, grip.at[1])).apply(outlined)
    assert longer.appendages[0].volume > now.volume
    assert longer.appendages[0].at[0] < now.at[0]
    text = opened.document_with(longer).text
    assert text.count("outline: [[") == 1
    assert [line for line in text.splitlines() if line.startswith("#")] == [
        line for line in opened.document.text.splitlines() if line.startswith("#")
    ]
    thicker = SetHullValue(f"appendages.{name}", "thickness", 0.2).apply(outlined).appendages[0]
    assert thicker.thickness == 0.2
    figures = OutlineAppendage(name, False).apply(longer).appendages[0]
    assert (figures.outline, figures.thickness) == ((), None)
    assert figures.volume == pytest.approx(longer.appendages[0].volume, rel=1e-5)
