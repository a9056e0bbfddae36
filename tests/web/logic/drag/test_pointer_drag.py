"""The pointer on the boat: what a press, a drag and a release do, in the picture and in the drawings alike."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.analysis.evaluate import evaluate
from sketcher.outputs.scene3d.objects import ObjectRef


@pytest.mark.example
def test_a_drag_in_the_picture_is_one_named_step(sketch: DrivenSketch) -> None:
    """The bulkhead moves in whole 5 mm; the history names the move; undo puts it back to the bit."""
    before = sketch.scene
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    sketch.drag("picture", (x, y), (x + 0.05, y - 0.03))
    moved = sketch.collision_at
    assert moved > 0.7
    assert round(moved * 1000) % 5 == 0
    assert sketch.session.history.names == (f"Move collision bulkhead 700 to {moved * 1000:.0f} mm",)
    sketch.ask("undo")
    assert sketch.scene == before
    sketch.ask("redo")
    assert sketch.collision_at == moved


@pytest.mark.property
@pytest.mark.parametrize(
    ("selected", "moved"),
    [
        (COLLISION, "collision"),
        ("compartment/forepeak", "collision"),
        ("opening/forward port", "forward port"),
        ("", "forward port"),
    ],
)
def test_a_port_is_dragged_only_when_it_is_meant(sketch: DrivenSketch, selected: str, moved: str) -> None:
    """Pressed on its line it moves when it is selected or nothing is, else its panel moves; a click selects it all the same."""
    # On its rim, starboard of the cut: at its middle one looks at the panel round it.
    rim = np.array([[0.7, 0.0625 * np.sqrt(0.5), 0.620 + 0.0625 * np.sqrt(0.5)]])
    settings = sketch.workspace.view_settings
    settings.resize((1800, 1000))
    x, y, _ = settings.camera.project(rim, settings.size)[0].tolist()
    at = (x / settings.size[0], y / settings.size[1])
    sketch.ask("select", part=selected)
    sketch.drag("picture", at, (at[0] + 0.03, at[1] - 0.03))
    assert moved in sketch.session.history.names[-1]
    sketch.ask("undo")
    sketch.ask("select", part=selected)
    sketch.drag("picture", at, at)
    assert sketch.selected == ObjectRef("opening", "forward port")


@pytest.mark.example
def test_figures_after_a_drag_are_those_of_a_fresh_look(sketch: DrivenSketch) -> None:
    """What the page shows at the end of a drag is what a fresh evaluation gives, to the last bit."""
    sketch.ask("select", part="lid/berth top")
    x, y = sketch.handle()
    sketch.drag("picture", (x, y), (x, y - 0.04))
    fresh = evaluate(sketch.scene)
    shown = sketch.evaluation
    assert [(s.name, s.volume) for s in shown.layout.compartments] == [(s.name, s.volume) for s in fresh.layout.compartments]
    assert shown.findings == fresh.findings
    assert shown.floating == fresh.floating


@pytest.mark.example
def test_figures_under_the_hand_are_close_to_fresh_ones(sketch: DrivenSketch) -> None:
    """During the drag the quick figures agree with fresh ones to a millilitre."""
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    sketch.drag("picture", (x, y), (x + 0.04, y - 0.02), drop=False)
    quick = {s.name: s.volume for s in sketch.evaluation.layout.compartments}
    fresh = {s.name: s.volume for s in evaluate(sketch.scene).layout.compartments}
    assert quick == pytest.approx(fresh, abs=1e-6)
    words = {line.label: line for line in sketch.workspace.drag.figures}
    assert words["vee berth"].change.startswith("−")
    assert words["forepeak"].change.startswith("+")


@pytest.mark.example
def test_what_is_dragged_is_what_the_margin_tells_of(sketch: DrivenSketch) -> None:
    """Taken hold of while something else is selected, it is selected as soon as it moves, and stays so when it is put back."""
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    sketch.ask("select", part=None)
    sketch.ask("press", where="picture", at=[x, y], button="main")
    assert sketch.selected is None
    sketch.ask("move", where="picture", at=[x + 0.03, y - 0.015], fine=False)
    sketch.controller.before_picture()
    assert sketch.selected == ObjectRef("bulkhead", "collision")
    assert 'value="collision"' in sketch.parts()["selected"]
    sketch.ask("escape")
    assert sketch.selected == ObjectRef("bulkhead", "collision")


@pytest.mark.example
def test_escape_puts_back_what_is_dragged(sketch: DrivenSketch) -> None:
    """Nothing is left of a drag given up, not even in the history."""
    before, figures = sketch.scene, sketch.evaluation
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    sketch.drag("picture", (x, y), (x + 0.1, y - 0.05), drop=False)
    assert sketch.scene != before
    sketch.ask("escape")
    assert sketch.scene == before
    assert sketch.evaluation is figures
    assert sketch.session.history.undo_name is None
    assert not sketch.session.unsaved


@pytest.mark.example
def test_a_click_selects_and_moves_nothing(sketch: DrivenSketch) -> None:
    """Pressing and letting go on the spot selects what is there."""
    before = sketch.scene
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    sketch.ask("select", part="")
    sketch.drag("picture", (x, y), (x, y))
    assert sketch.selected == ObjectRef("bulkhead", "collision")
    assert sketch.scene is before


@pytest.mark.example
def test_a_drag_past_the_stem_stops_at_the_last_good_place(sketch: DrivenSketch) -> None:
    """The hand is told in words, the figures of the last place in the boat stay, and there the bulkhead is left."""
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    sketch.drag("picture", (x, y), (x, y), drop=False)
    for share in (0.03, 0.06, 0.3, 0.6):
        sketch.ask("move", where="picture", at=[x - share, y + share / 2], fine=False)
        sketch.controller.before_picture()
    assert "outside the hull" in sketch.workspace.drag.figures[0].label
    last = sketch.evaluation
    assert not [finding for finding in last.findings if finding.code == "panel-outside-hull"]
    sketch.ask("release")
    assert 0.0 <= sketch.collision_at < 0.5
    assert sketch.notice is not None
    assert sketch.notice.refused


@pytest.mark.example
def test_a_drag_that_was_never_in_the_boat_is_refused_when_it_ends(sketch: DrivenSketch) -> None:
    """Thrown past the stem in one move, the bulkhead stays, the page says why, and there is no step to undo."""
    sketch.ask("select", part=COLLISION)
    (x, y), before, figures = sketch.handle(), sketch.scene, sketch.evaluation
    sketch.drag("picture", (x, y), (x - 0.6, y + 0.3))
    assert sketch.scene is before
    assert sketch.evaluation is figures
    assert sketch.notice is not None
    assert "outside the hull" in sketch.notice.text
    assert sketch.session.history.undo_name is None


@pytest.mark.property
@pytest.mark.parametrize(
    ("pane", "part", "by", "read", "moved"),
    [
        (0, COLLISION, (0.1, 0.02), lambda s: s.bulkheads[0].at, 0.1),
        (1, COLLISION, (-0.05, 0.3), lambda s: s.bulkheads[0].at, -0.05),
        (0, "lid/berth top", (0.5, 0.03), lambda s: s.lids[0].height, 0.03),
        (2, "lid/berth top", (0.5, -0.02), lambda s: s.lids[0].height, -0.02),
        (0, "waterline/waterline", (0.0, 0.06), lambda s: s.waterline.after, 0.062),
    ],
)
def test_drawings_are_dragged_in_as_the_picture_is(
    sketch: DrivenSketch, pane: int, part: str, by: tuple[float, float], read: Callable[..., float], moved: float
) -> None:
    """In profile, plan and section a part moves along its own way with the pointer."""
    before = read(sketch.scene)
    place = sketch.sheet.panes[pane].placing
    start = {"bulkhead": (0.7, 0.3), "lid": (1.5, 0.47), "waterline": (3.0, 0.265)}[part.split("/")[0]]
    if pane == 2:
        start = (0.2, start[1])
    (x0, y0), (x1, y1) = place.spot(*start), place.spot(start[0] + by[0], start[1] + by[1])
    high = sketch.sheet.size[1]
    sketch.ask("press", where="drawing", at=[x0, high - y0], part=part)
    sketch.ask("move", where="drawing", at=[x1, high - y1])
    sketch.controller.before_picture()
    sketch.ask("release")
    assert read(sketch.scene) - before == pytest.approx(moved, abs=1e-9)


@pytest.mark.example
def test_the_waterline_tips_when_taken_near_an_end(sketch: DrivenSketch) -> None:
    """Taken near the bow its fore end moves and the after end stays."""
    place, high = sketch.sheet.panes[0].placing, sketch.sheet.size[1]
    (x0, y0), (x1, y1) = place.spot(0.6, 0.267), place.spot(0.6, 0.327)
    sketch.ask("press", where="drawing", at=[x0, high - y0], part="waterline/waterline")
    sketch.ask("move", where="drawing", at=[x1, high - y1])
    sketch.controller.before_picture()
    sketch.ask("release")
    water = sketch.scene.waterline
    assert water is not None
    assert (water.forward, water.after) == (pytest.approx(0.33), 0.262)


@pytest.mark.property
@pytest.mark.parametrize("kind", ["plan", "section"])
def test_the_profiles_place_is_dragged_where_it_is_marked(sketch: DrivenSketch, kind: str) -> None:
    """By its knob in plan and section: the profile is cut there, and keys move it on; emptied it follows what is selected."""
    cut, sheet = f"{kind}/profile", sketch.sheet
    assert f'data-cut="{cut}"' in sketch.parts()["sheet-marks"]
    pane = next(pane for pane in sheet.panes if pane.kind == kind)
    axis = pane.placing.axes.index("y")
    spots = [pane.placing.spot(at, at) for at in (0.0, 0.25)]
    start, end = ([x, sheet.size[1] - y] for x, y in spots)
    end[1 - axis] = start[1 - axis]
    sketch.drag("drawing", start, end, cut=cut)
    assert sketch.workspace.view_settings.look.profile_at == pytest.approx(0.25)
    assert "250 mm to starboard" in sketch.parts()["sheet-profile"]
    sketch.ask("nudge", towards="right", where="drawing", cut=cut, at=[0, 0])
    assert sketch.workspace.view_settings.look.profile_at == pytest.approx(0.255)
    sketch.ask("drawn_at", which="profile", value="")
    assert "on the centreline" in sketch.parts()["sheet-profile"]
