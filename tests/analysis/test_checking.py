"""A file looked over before anything is built on it."""

from dataclasses import replace
from pathlib import Path

import pytest
from specimens import box_form

from sketcher.analysis.checking import LONGEST, SHORTEST, findings_of_file, length_finding
from sketcher.model.demos import demo_folder, demo_scenes
from sketcher.model.errors import SketchError

HULLS = sorted((demo_folder() / "hulls").glob("*.yaml"))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("length", "told"), [(SHORTEST - 0.01, 1), (SHORTEST, 0), (6.0, 0), (LONGEST, 0), (LONGEST + 0.01, 1), (6000.0, 1)]
)
def test_a_hull_of_no_boats_length_is_noted(length: float, told: int) -> None:
    """Shorter than a dinghy or longer than a yacht, as where a unit is mistaken."""
    assert len(length_finding(box_form(length))) == told


@pytest.mark.example
def test_a_hull_measured_only_in_part_may_be_short() -> None:
    """Its forward metre is no mistake; sixty of them still are."""
    form = box_form(1.0)
    assert length_finding(replace(form, hull=replace(form.hull, open_aft=True))) == ()
    long = box_form(60.0)
    assert len(length_finding(replace(long, hull=replace(long.hull, open_aft=True)))) == 1


@pytest.mark.property
@pytest.mark.parametrize("path", [*HULLS, demo_scenes()[0]], ids=lambda path: path.stem)
def test_demo_hulls_and_scenes_are_looked_over_with_what_stops_first(path: Path) -> None:
    """In the file's own unit; findings in the order of their gravity."""
    checked = findings_of_file(path)
    assert checked.unit in ("mm", "cm", "m", "in", "ft")
    order = [("stop", "warn", "note").index(finding.severity) for finding in checked.findings]
    assert order == sorted(order)


@pytest.mark.example
def test_a_file_that_is_neither_is_refused_with_how_each_begins(tmp_path: Path) -> None:
    """So that its owner sees what is missing."""
    path = tmp_path / "list.yaml"
    path.write_text("shopping: [bread, milk]\n")
    with pytest.raises(SketchError, match="neither a hull nor a scene"):
        findings_of_file(path)
