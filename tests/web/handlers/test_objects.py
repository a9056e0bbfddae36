"""Messages about the objects of the scene."""

from __future__ import annotations

import re
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


def test_a_number_typed_right_after_a_rename_is_taken(boats: Path) -> None:
    """A page that has not shown the new name yet still says the old one: the object of that name before is meant."""
    sketch = driven(boats / "scenes" / "quillet-forepeak.yaml")
    sketch.ask("rename", part="bulkhead/collision", value="crash")
    sketch.ask("set", part="bulkhead/collision", field="thickness", value="15")
    assert [(each.name, each.thickness) for each in sketch.scene.bulkheads if each.name == "crash"] == [("crash", 0.015)]
    assert sketch.selected is not None
    assert sketch.selected.name == "crash"


def test_a_name_given_to_something_else_means_that_again(boats: Path) -> None:
    """Two bulkheads change names by way of a third: each name leads to what now bears it."""
    sketch = driven(boats / "scenes" / "quillet-forepeak.yaml")
    sketch.ask("rename", part="bulkhead/collision", value="aside")
    sketch.ask("rename", part="bulkhead/main", value="collision")
    sketch.ask("set", part="bulkhead/collision", field="thickness", value="21")
    assert {each.name: each.thickness for each in sketch.scene.bulkheads}["collision"] == pytest.approx(0.021)
    assert {each.name: each.thickness for each in sketch.scene.bulkheads}["aside"] != pytest.approx(0.021)


def test_what_is_about_the_whole_boat_leads_to_her_waterline(boats: Path) -> None:
    """A finding whose object is no part of the layout, as that no waterline is stated, leads to where it is stated."""
    sketch = driven(boats / "scenes" / "quillet-forepeak.yaml")
    sketch.ask("find", object="Quillet 21, forepeak, first layout")
    assert sketch.selected is not None
    assert sketch.selected.kind == "waterline"


def test_a_remedy_is_made_as_its_button_says_in_one_step(boats: Path) -> None:
    """Every button of the margin: done, said, no longer offered; one undo brings all of it back. Pressed again it is refused."""
    sketch = driven(boats / "scenes" / "quillet-forepeak.yaml")
    sketch.rest()

    def offered() -> list[str]:
        parts = sketch.parts()
        return re.findall('data-do="mend" data-value="([^"]+)"', parts["first"] + parts["noticed"])

    words, before = offered(), sketch.scene
    assert words == ["Move collision 145 mm aft", "Weigh collision and berth top as plywood"]
    for word in words:
        sketch.ask("mend", value=word)
        assert sketch.notice is not None
        assert not sketch.notice.refused
        assert sketch.session.history.undo_name == sketch.notice.text
        assert word not in offered()
        sketch.ask("mend", value=word)
        assert sketch.notice.refused
        sketch.ask("undo")
        assert sketch.scene == before
