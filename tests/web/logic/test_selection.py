"""What a click selects: what lies there, and clicked again what is under it."""

from __future__ import annotations

import pytest
from driven_sketch import DrivenSketch

from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.hit_testing import objects_at
from sketcher.web.logic.selection import Selection

UPPER, LOWER, LAST = (ObjectRef("lid", name) for name in ("upper", "lower", "last"))
HERE, THERE = ("paper", (10.0, 10.0)), ("paper", (30.0, 10.0))


@pytest.mark.example
def test_clicked_again_the_next_one_under_it_is_meant() -> None:
    """Then the first again; elsewhere, or with something else selected meanwhile, it begins anew."""
    selection = Selection()
    chosen = []
    for at in (HERE, HERE, HERE, HERE, HERE, THERE, HERE):
        selection.select(selection.clicked(UPPER, at, (UPPER, LOWER, LAST)))
        chosen.append(selection.selected)
    assert chosen == [UPPER, LOWER, LAST, UPPER, LOWER, UPPER, UPPER]
    selection.select(LAST)
    assert selection.clicked(UPPER, HERE, (UPPER, LOWER, LAST)) == UPPER


@pytest.mark.property
@pytest.mark.parametrize("at", [(0.3, 0.6), (0.45, 0.5), (0.35, 0.5)])
def test_clicks_in_the_picture_go_through_all_that_lies_there(sketch: DrivenSketch, at: tuple[float, float]) -> None:
    """From the nearest to the furthest, each once, and round again; nothing is moved by it."""
    workspace, before = sketch.workspace, sketch.scene
    beneath = objects_at(workspace.drawn_boat(), workspace.view_settings, at)
    assert len(beneath) > 1
    met = []
    for _ in range(len(beneath) + 1):
        sketch.ask("press", where="picture", at=list(at))
        sketch.ask("release")
        met.append(sketch.selected)
    assert met == [*beneath, beneath[0]]
    assert sketch.scene == before


@pytest.mark.example
def test_clicks_in_a_drawing_go_through_what_the_page_says_lies_there(sketch: DrivenSketch) -> None:
    """The page names what it draws there, the uppermost first; words that name nothing are left out."""
    at = [100.0, 40.0]
    met = []
    for _ in range(3):
        names = ["lid/berth top", "nothing", 7, "compartment/cabin"]
        sketch.ask("press", where="drawing", at=at, part="lid/berth top", beneath=names)
        sketch.ask("release")
        met.append(sketch.selected and sketch.selected.key)
    assert met == ["lid/berth top", "compartment/cabin", "lid/berth top"]
