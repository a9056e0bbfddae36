"""Every deed with everything that can be selected: done, or refused in a sentence; never a failure of the sketcher's own."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import pytest
from driven_sketch import DrivenSketch, copied_boats, driven

from sketcher.web.logic.scene_objects import BLOCK_OF
from sketcher.web.state import ObjectKind

SCENE = """\
scene: One of each kind
hull: ../hulls/quillet-21.yaml
units: mm
waterline: {forward: 268, after: 262}
centre_of_gravity: {height: 420}
bulkheads:
  collision: {at: 700, thickness: 12}
  main: {at: 2700, thickness: 12}
partitions:
  side: {off_centre: -300, from: 2000, to: main, bottom: berth top, thickness: 9}
lids:
  berth top: {height: 470, from: collision, to: main, thickness: 9}
stringers:
  bearer: {under: berth top, side: both, from: collision, to: main, width: 20, depth: 30}
berths:
  vee berth: {lies_on: berth top, from: collision, to: main, span: [side, hull], stature: 1780}
openings:
  port: {through: berth top, at: [1900, 0], size: [300, 220], cover: tight}
  hose: {joins: [berth space, forepeak], diameter: 25}
compartments:
  forepeak: {at: [550, 0, 600], use: bottles}
  berth space: {at: [1700, 0, 300], use: stowage}
weights:
  anchor: {kg: 20, at: [950, 0, 650]}
fittings:
  log: {at: [2000, 200, 200], size: [80, 80, 120], reach: true}
people:
  Ada: {berth: vee berth, stature: 1780}
stowage:
  sail bag: {in: berth space}
bottles:
  two litres: {in: forepeak, diameter: 108, length: 310, litres: 2.06, kg: 0.052, at_most: 1}
chains:
  cable: {in: forepeak, length: 20 m, size: 8, pipe: [500, 0, 900]}
foams:
  block: {in: forepeak, form: blocks}
tanks:
  water: {in: berth space}
parts:
  ballast: {kg: 330, made_of: lead}
"""

TARGETS = [*get_args(ObjectKind), "compartment without a name"]
DEEDS: list[tuple[str, dict[str, Any]]] = [
    ("delete", {}),
    ("delete", {"free": "yes"}),
    ("duplicate", {}),
    *(("rename", {"value": name}) for name in ("other", "", "main", "1150", "deck")),
    ("toggle", {}),
    ("hole", {}),
    ("name_space", {"name": "other", "use": "void"}),
    ("name_space", {"name": "", "use": "nothing"}),
    ("dialog", {"name": "name space"}),
    ("add", {"value": "opening"}),
    *(("nudge", {"towards": towards}) for towards in ("left", "up")),
    *(("set", {"field": key, "value": value}) for key in ("at", "kg", "nothing") for value in ("250", "[1, 2")),
    ("joint_in", {"value": "100"}),
    ("joint_out", {"number": 0}),
    ("joints", {"whose": "mine"}),
]


def ref_of(sketch: DrivenSketch, target: str) -> str:
    """The first object of a kind as the page names it."""
    if target == "waterline":
        return "waterline/waterline"
    named = [space.name for space in sketch.scene.compartments]
    if target == "compartment without a name":
        found = next(space.name for space in sketch.evaluation.layout.compartments if space.name not in named)
        return f"compartment/{found}"
    return f"{target}/{getattr(sketch.scene, BLOCK_OF[target])[0].name}"


@pytest.fixture(scope="module")
def one_of_each(tmp_path_factory: pytest.TempPathFactory) -> DrivenSketch:
    """A sketch with one object of each kind, most tied to another; as she begins she is worked out once, whatever is undone."""
    boats: Path = copied_boats(tmp_path_factory.mktemp("boats"))
    scene = boats / "scenes" / "one-of-each.yaml"
    scene.write_text(SCENE, encoding="utf-8")
    sketch = driven(scene)
    afresh, first = sketch.session.evaluate, sketch.evaluation
    sketch.session.evaluate = lambda scene: first if scene == first.scene else afresh(scene)
    return sketch


@pytest.mark.slow
@pytest.mark.property
@pytest.mark.parametrize("target", TARGETS)
def test_every_deed_is_done_or_refused_in_a_sentence(
    target: str, one_of_each: DrivenSketch, caplog: pytest.LogCaptureFixture
) -> None:
    """Nothing fails, the page can be shown after each, and undo brings back what was done. Each kind has a third of the deeds."""
    sketch = one_of_each
    ref, before = ref_of(sketch, target), sketch.scene
    for do, values in DEEDS[TARGETS.index(target) % 3 :: 3]:
        sketch.ask("select", part=ref)
        assert sketch.selected is not None, ref
        sketch.ask(do, **values)
        assert sketch.parts()
        assert [record.getMessage() for record in caplog.records if record.exc_info] == [], (do, values)
        if sketch.notice is not None and sketch.notice.refused:
            assert len(sketch.notice.text.split()) > 3, (do, values)
            assert "Error" not in sketch.notice.text, (do, values)
            assert len(sketch.notice.text + sketch.notice.remedy) < 400, (do, values)
        sketch.workspace.dialog = None
        sketch.workspace.placing.kind = None
        sketch.ask("close_holes")
        if sketch.session.unsaved:
            sketch.ask("undo")
        assert sketch.scene == before, (do, values)


@pytest.mark.example
def test_a_berth_goes_with_those_who_lie_in_it(one_of_each: DrivenSketch) -> None:
    """Asked first, since a person is tied to it; then the person goes with the berth, in one step that can be undone."""
    sketch = one_of_each
    sketch.ask("select", part="berth/vee berth")
    sketch.ask("delete")
    assert sketch.dialog is not None
    assert "Ada" in sketch.dialog.problem
    sketch.ask("delete", part="berth/vee berth", free="yes")
    assert (sketch.scene.berths, sketch.scene.people) == ((), ())
    sketch.ask("undo")
    assert len(sketch.scene.people) == 1
    assert sketch.scene == sketch.session.opened.scene


@pytest.mark.property
@pytest.mark.parametrize(("deed", "word"), [("duplicate", "duplicated"), ("delete", "deleted"), ("rename", "no other name")])
def test_what_cannot_be_done_with_the_waterline_is_said(deed: str, word: str, one_of_each: DrivenSketch) -> None:
    """It is there by itself: no second, none less, no other name."""
    one_of_each.ask("select", part="waterline/waterline")
    one_of_each.ask(deed, value="other")
    assert one_of_each.notice is not None
    assert word in one_of_each.notice.text
