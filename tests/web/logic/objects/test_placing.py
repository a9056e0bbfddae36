"""What waits to be placed: shown where it would be, with what it would change, and nothing changed until it is placed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from driven_sketch import DrivenSketch, driven

from sketcher.outputs.scene3d.objects import OBJECT_KINDS
from sketcher.outputs.wording.quantities import length_with_unit, litres
from sketcher.web.logic.objects.placing import SIDES, Placing

KINDS = [kind for kind in OBJECT_KINDS if kind not in ("compartment", "waterline")]


def hover(sketch: DrivenSketch, pane: int, u: float, v: float, **more: str) -> None:
    """Move the pointer over a drawing: to so far along its axes [m]."""
    shown = sketch.sheet.panes[pane]
    x, up = shown.placing.spot(u, v)
    sketch.ask("hover", where="drawing", at=[x, sketch.sheet.size[1] - up], **more)


def placing(sketch: DrivenSketch) -> Placing:
    return sketch.workspace.placing


@pytest.mark.property
@pytest.mark.parametrize(
    ("kind", "scene"),
    [
        *(("bulkhead", scene) for scene in ("quillet-forepeak", "marram-forepeak", "pellwick-bows")),
        ("partition", "quillet-forepeak"),
        ("lid", "marram-forepeak"),
    ],
)
def test_what_is_told_and_shown_beforehand_is_what_comes(boats: Path, scene: str, kind: str) -> None:
    """The litres on either side and the outline are those of the panel once it is placed; meanwhile the scene is as it was."""
    sketch = driven(boats / "scenes" / f"{scene}.yaml")
    before = sketch.scene
    sketch.ask("add", value=kind)
    hover(sketch, *((1, 1.602, 0.151) if kind == "partition" else (0, 1.602, 0.62)))
    assert "…" in sketch.parts()["hand"]
    sketch.rest()
    figures = placing(sketch).figures(resting=True)
    told = {figure.value for figure in figures[1:] if figure.value.endswith(" L")}
    lengths = {berth.name: berth.length for berth in sketch.evaluation.berths}
    ghost = placing(sketch).would_be().ghost
    assert all(amount in sketch.parts()["hand"] for amount in told)
    assert sketch.parts()["sheet-ghost"].count("<path") == 3 * len(ghost.faces)
    assert 'class="ghost face"' in sketch.parts()["labels"]
    assert sketch.scene == before
    sketch.ask("place")
    assert sketch.selected is not None
    layout = sketch.evaluation.layout
    faces = {(sketch.selected.name, face) for face, _ in SIDES[kind]}
    assert told == {f"{litres(space.volume)} L" for space in layout.compartments if faces & set(space.bounds)}
    shortened = {
        berth.name: length_with_unit(berth.length, "mm")
        for berth in sketch.evaluation.berths
        if berth.length is not None and abs(berth.length - lengths[berth.name]) >= 5e-4
    }
    assert bool(shortened) == (kind == "bulkhead")
    assert {figure.label: figure.value for figure in figures if figure.label in lengths} == shortened
    placed = next(shape for shape in layout.panels if shape.name == sketch.selected.name)
    shown = np.concatenate([ring for rings in ghost.faces for ring in rings])
    for point in shown[:: max(len(shown) // 50, 1)]:
        assert np.linalg.norm(placed.trimmed.vertices - point, axis=1).min() < 1e-9
    assert sketch.parts()["sheet-ghost"] == ""


@pytest.mark.property
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_waits_is_moved_by_keys_and_left(boats: Path, kind: str) -> None:
    """Each can be shown wherever arrow keys take it, is read out once they rest, and Escape leaves the scene as it was."""
    sketch = driven(boats / "scenes" / "quillet-filled.yaml")
    before = sketch.scene
    sketch.ask("add", value=kind)
    for towards in ("left", "up", "right", "down", "left"):
        sketch.ask("nudge", towards=towards)
        assert sketch.parts()["spoken"] == ""
    sketch.rest()
    assert kind in sketch.parts()["spoken"]
    assert "Enter places it" in sketch.parts()["spoken"]
    assert f'data-value="{kind}" data-letter' in sketch.parts()["make"].replace(f' data-key="add/{kind}"', "")
    assert sketch.parts()["make"].count('aria-pressed="true"') == 1
    sketch.ask("escape")
    sketch.rest()
    assert placing(sketch).kind is None
    assert sketch.parts()["spoken"] == sketch.parts()["hand"] == ""
    assert sketch.scene == before
    assert sketch.session.history.undo_name is None


@pytest.mark.example
def test_arrow_keys_go_fifty_millimetres_or_five(sketch: DrivenSketch) -> None:
    """A bulkhead that waits a third of her length aft: along the boat only."""
    sketch.ask("add", value="bulkhead")
    start = placing(sketch).would_be().item.at
    sketch.ask("nudge", towards="right")
    assert placing(sketch).would_be().item.at == pytest.approx(start + 0.050)
    sketch.ask("nudge", towards="left", fine=True)
    sketch.ask("nudge", towards="up")
    assert placing(sketch).would_be().item.at == pytest.approx(start + 0.045)


@pytest.mark.example
def test_an_opening_is_a_hatch_or_a_port_by_what_it_goes_through(sketch: DrivenSketch) -> None:
    """Through the deck and a lid a rectangle of which nobody knows that it is tight, through a bulkhead a port that is."""
    sketch.ask("add", value="opening")
    hover(sketch, 0, 1.5, 1.0)
    hatch = placing(sketch).would_be().item
    assert (hatch.through, hatch.size, hatch.cover, hatch.name) == ("deck", (0.45, 0.45), "loose", "hatch")
    hover(sketch, 1, 1.5, 0.1)
    lid = placing(sketch).would_be().item
    assert (lid.through, lid.size, lid.at) == ("berth top", (0.4, 0.3), pytest.approx((1.5, 0.1)))
    hover(sketch, 2, 0.1, 0.6, part="bulkhead/main")
    port = placing(sketch).would_be().item
    assert (port.through, port.size, port.diameter, port.cover, port.name) == ("main", None, 0.15, "tight", "port")


@pytest.mark.example
def test_a_hatch_is_made_in_the_page_and_given_its_size(sketch: DrivenSketch) -> None:
    """Chosen, clicked, and any other size typed; a diameter takes the place of a size, and a size that of a diameter."""
    sketch.ask("add", value="opening")
    hover(sketch, 0, 1.5, 1.0)
    sketch.ask("place")
    for key, text, expected in (
        ("size", "600 x 400", (0.6, 0.4)),
        ("diameter", "380", None),
        ("size", "450 x 450", (0.45, 0.45)),
    ):
        sketch.ask("set", field=key, value=text)
        assert sketch.notice is None
        assert sketch.scene.openings[-1].size == expected


@pytest.mark.example
def test_what_goes_into_a_space_goes_from_one_to_the_next(sketch: DrivenSketch) -> None:
    """By arrow keys, from forward to aft and round again."""
    spaces = sorted(sketch.evaluation.layout.compartments, key=lambda space: space.centroid[0])
    sketch.ask("add", value="stowage")
    met = []
    for _ in spaces:
        sketch.ask("nudge", towards="right")
        met.append(placing(sketch).would_be().item.space)
    first = [space.name for space in spaces].index(met[0])
    assert met == [space.name for space in (*spaces[first:], *spaces[:first])]


@pytest.mark.example
def test_what_cannot_be_here_says_why_and_goes_on_waiting(boats: Path) -> None:
    """A stringer without a lid to carry: in its figures, and when it is placed; a bulkhead ahead of the boat likewise."""
    sketch = driven(boats / "scenes" / "quillet-forepeak.yaml")
    sketch.ask("add", value="stringer")
    hover(sketch, 0, 4.0, 0.4)
    assert "carries a lid" in sketch.parts()["hand"]
    sketch.ask("place")
    assert sketch.notice is not None
    assert sketch.notice.refused
    assert placing(sketch).kind == "stringer"
    sketch.ask("add", value="bulkhead")
    hover(sketch, 0, -0.3, 1.2)
    before = sketch.scene
    assert "nothing of it is in the hull" in sketch.parts()["hand"]
    sketch.ask("place")
    assert sketch.notice is not None
    assert sketch.notice.refused
    assert (placing(sketch).kind, sketch.scene) == ("bulkhead", before)


@pytest.mark.example
def test_chosen_twice_it_is_left_and_the_build_gives_way_to_the_boat(sketch: DrivenSketch) -> None:
    """Where neither boat nor drawings are seen nothing could be pointed to."""
    sketch.ask("arrange", arrangement="build")
    sketch.ask("add", value="lid")
    assert sketch.state().look.arrangement == "both"
    sketch.ask("add", value="lid")
    assert placing(sketch).kind is None


@pytest.mark.example
def test_two_fingers_or_escape_let_go_and_leave_it_waiting(sketch: DrivenSketch) -> None:
    """The hand that slides is taken away: nothing is placed, nothing selected, and it can be pointed to anew."""
    before = sketch.scene
    sketch.ask("add", value="bulkhead")
    sketch.ask("press", where="picture", at=[0.5, 0.5])
    sketch.ask("escape")
    sketch.ask("release")
    assert (sketch.scene, sketch.selected, placing(sketch).kind) == (before, None, "bulkhead")


@pytest.mark.example
def test_the_right_button_still_moves_the_boat(sketch: DrivenSketch) -> None:
    """What waits is not placed by it."""
    sketch.ask("add", value="bulkhead")
    camera = sketch.workspace.view_settings.camera
    sketch.ask("press", where="picture", at=[0.5, 0.5], button="pan")
    sketch.ask("move", at=[0.6, 0.5])
    sketch.controller.before_picture()
    sketch.ask("release")
    assert sketch.workspace.view_settings.camera != camera
    assert placing(sketch).kind == "bulkhead"
