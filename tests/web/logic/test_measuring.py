"""Measured in a drawing: what the measure holds to, what it says, by pointer and by keys; and the cuts that are dragged there."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from driven_sketch import DrivenSketch
from hypothesis import given
from hypothesis import strategies as st
from scene_specimens import demo

from sketcher.outputs.drawing.cut_outlines import plane_cut
from sketcher.web.view.sheet.snapping import TOWARDS, Holds, holds_of

KINDS = ("profile", "plan", "section")


def corner(holds: Holds, of: str, x: float) -> tuple[float, float]:
    """The highest corner of something at a distance aft [m] in a profile."""
    found = [tuple(at) for at, name in zip(holds.corners.tolist(), holds.corner_of, strict=True) if name == of]
    return max((at for at in found if abs(at[0] - x) < 1e-6), key=lambda at: at[1])


def spot(sketch: DrivenSketch, kind: str, at: tuple[float, float]) -> list[float]:
    """Where a place of the boat [m] lies on the sheet [mm, y down]."""
    sheet = sketch.sheet
    pane = next(pane for pane in sheet.panes if pane.kind == kind)
    x, y = pane.placing.spot(*at)
    return [x, sheet.size[1] - y]


def told(sketch: DrivenSketch) -> dict[str, str]:
    return {figure.label: figure.value for figure in sketch.state().drag_figures}


@pytest.mark.closed_form
def test_between_two_bulkheads_it_is_what_the_scene_states(sketch: DrivenSketch) -> None:
    """From forward face to forward face, 700 and 2700 mm aft: 2000, pressed two pixels beside the corners; a free point too."""
    sketch.ask("measure")
    holds = holds_of(sketch.evaluation, "profile", 0.0)
    ends = [corner(holds, name, x) for name, x in (("collision", 0.7), ("main", 2.7))]
    for at in ends:
        x, y = spot(sketch, "profile", at)
        sketch.ask("press", where="drawing", at=[x - 0.3, y + 0.3], button="main")
        sketch.ask("release")
    found = told(sketch)
    assert found["aft"] == "2000 mm"
    up = ends[1][1] - ends[0][1]
    assert found["up" if up > 0 else "down"] == f"{abs(up) * 1000:.0f} mm"
    assert found["corner of collision to corner of main"] == f"{np.hypot(2.0, up) * 1000:.0f} mm"
    assert 'class="measure"' in sketch.parts()["sheet-measure"]
    assert sketch.selected is None
    sketch.ask("press", where="drawing", at=spot(sketch, "plan", (1.5, 0.1)), button="main")
    assert sketch.workspace.measuring.kind == "plan"
    assert told(sketch)["a free point to a free point"] == "0 mm"


@pytest.mark.example
def test_by_keys_it_goes_from_corner_to_corner(sketch: DrivenSketch) -> None:
    """Each is read out; Enter sets one, Shift goes 5 mm; Escape forgets the first point, then puts the measure away."""
    sketch.ask("measure")
    measuring = sketch.workspace.measuring
    for towards in ("left", "right"):
        sketch.ask("nudge", towards=towards, where="drawing")
        assert measuring.here is not None
        assert measuring.here.what.startswith("corner of ")
        assert measuring.here.what in sketch.workspace.spoken
    start = measuring.here.at
    sketch.ask("place")
    sketch.ask("nudge", towards="up", where="drawing", fine=True)
    assert told(sketch)["up"] == "5 mm"
    sketch.ask("place")
    assert measuring.ends == (start, pytest.approx((start[0], start[1] + 0.005)))
    sketch.ask("escape")
    assert (measuring.on, measuring.start) == (True, None)
    sketch.ask("escape")
    assert not measuring.on
    assert sketch.parts()["sheet-measure"] == ""


@pytest.mark.example
def test_what_was_measured_goes_when_the_boat_changes(sketch: DrivenSketch) -> None:
    """Its ends may no longer be where they were; the measure stays in the hand."""
    sketch.ask("measure")
    for towards in ("left", "right"):
        sketch.ask("nudge", towards=towards, where="drawing")
        sketch.ask("place")
    assert sketch.workspace.measuring.end is not None
    sketch.ask("set", part="bulkhead/collision", field="at", value="760")
    sketch.parts()
    assert (sketch.workspace.measuring.on, sketch.workspace.measuring.start) == (True, None)


@pytest.mark.property
@given(st.sampled_from(KINDS), st.floats(0.1, 5.0), st.floats(-1.0, 1.0))
def test_it_holds_to_what_is_cut_or_is_free(kind: str, u: float, v: float) -> None:
    """A corner or edge lies on an outline as it is cut, and within reach; an arrow key's corner lies the way it points."""
    evaluation = demo("quillet-forepeak")
    at = {"profile": 0.0, "plan": 0.5, "section": 1.5}[kind]
    holds, cut = holds_of(evaluation, kind, at), plane_cut(evaluation, kind, at)  # type: ignore[arg-type]
    found = holds.nearest((u, v), 0.1, 0.05)
    drawn = [panel.outline for panel in cut.panels] + [space.outline for space in cut.spaces] + [cut.hull]
    lines = shapely.union_all([outline.boundary for outline in drawn])
    if found.what and "water" not in found.what and "hatch" not in found.what and "berth" not in found.what:
        assert shapely.distance(shapely.Point(found.at), lines) < 2e-5
        assert np.hypot(found.at[0] - u, found.at[1] - v) <= 0.1 + 1e-9
    for across, up in TOWARDS.values():
        there = holds.next_corner((u, v), across, up)
        assert there is None or (there.at[0] - u) * across + (there.at[1] - v) * up > 0


@pytest.mark.closed_form
@pytest.mark.parametrize(("name", "view", "by"), [("section", "profile", (8.0, 0.0)), ("plan", "profile", (0.0, -3.0))])
def test_the_mark_of_a_cut_is_dragged_where_it_is_marked(
    sketch: DrivenSketch, name: str, view: str, by: tuple[float, float]
) -> None:
    """It goes as far as the hand at the drawing's scale, in whole 5 mm; the boat is not touched; Escape puts it back."""
    sheet = sketch.sheet
    pane = next(pane for pane in sheet.panes if pane.kind == view)
    assert f'data-cut="{view}/{name}"' in sketch.parts()["sheet-marks"]
    was = sheet.places[name]  # type: ignore[index]
    start = spot(sketch, view, (was, 0.2) if name == "section" else (0.2, was))
    sketch.drag("drawing", start, [start[0] + by[0], start[1] + by[1]], cut=f"{view}/{name}")
    sketch.parts()
    moved = (by[0] - by[1]) * pane.placing.scale / 1000.0
    now = sheet.places[name]  # type: ignore[index]
    assert now == pytest.approx(was + moved, abs=0.0026)
    assert now * 200 == pytest.approx(round(now * 200), abs=1e-6)
    assert (sketch.session.unsaved, sketch.selected) == (False, None)
    sketch.ask("nudge", towards="right", where="drawing", cut=f"{view}/{name}")
    sketch.parts()
    assert sheet.places[name] == pytest.approx(now + 0.005)  # type: ignore[index]
    sketch.drag("drawing", start, [start[0] + 5, start[1] + 5], drop=False, cut=f"{view}/{name}")
    sketch.ask("escape")
    sketch.parts()
    assert sheet.places[name] == pytest.approx(now + 0.005)  # type: ignore[index]
