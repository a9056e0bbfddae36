"""What is cut out of a board, and what is bought for it: openings, notches, covers and screws by arithmetic."""

from dataclasses import replace
from typing import Literal

import pytest
from specimens import box_form, filled, layout_scene

from sketcher.analysis.cut.boards.notes import unsawn_notes
from sketcher.analysis.cut.bonding.purchases import other_purchases
from sketcher.analysis.cut.cutouts import NOTCH_RADIUS, notches_in, openings_in
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.plan import build_plan
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.findings import Value
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.solid.section import Frame
from sketcher.model.scene import Bulkhead, Lid, Opening, Scene, Stringer
from sketcher.outputs.wording.sentences import words

THICKNESS = 0.02
FORM = box_form(4.0, 2.0, 1.0)
AFTER = Frame((1.0 + THICKNESS, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
"""The after face of a bulkhead at 1 m: u to starboard, v up."""


def scene_with(**blocks: object) -> Scene:
    return layout_scene(FORM, bulkheads=(Bulkhead(name="b", at=1.0, thickness=THICKNESS),), **blocks)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("size", "bounds", "radius"),
    [({"size": (0.3, 0.2)}, (0.1, 0.4, 0.4, 0.6), 0.02), ({"diameter": 0.25}, (0.125, 0.375, 0.375, 0.625), 0.125)],
)
def test_an_opening_is_cut_where_it_is_stated(size: dict[str, object], bounds: tuple[float, ...], radius: float) -> None:
    """In the board's own axes, inner corners no sharper than the owner's cutter goes round."""
    scene = scene_with(openings=(Opening(name="o", through="b", at=(0.25, 0.5), **size), Opening(name="p", through="deck")))  # type: ignore[arg-type]
    (shape,) = lay_out(layout_scene(FORM, bulkheads=scene.bulkheads), FORM).panels
    (found,) = openings_in(scene, shape, AFTER, THICKNESS)
    assert found.outline.bounds == pytest.approx(bounds, abs=1e-6)
    assert found.radius == pytest.approx(radius)


@pytest.mark.closed_form
def test_a_bearer_that_runs_through_is_let_into_the_board() -> None:
    """Its own 30 by 40 mm and the gap to a panel about it, on the one side where it runs; one that ends there needs none."""
    through = Stringer(name="s", under="top", side="starboard", start="stem", end="transom", width=0.03, depth=0.04)
    lid = Lid(name="top", height=0.5, start="stem", end="transom", thickness=0.01)
    scene = scene_with(lids=(lid,), stringers=(through,))
    layout = lay_out(scene, FORM)
    (shape,) = (each for each in layout.panels if each.name == "b")
    (found,) = notches_in(scene, shape, AFTER, THICKNESS, stringer_runs(scene, FORM))
    gap = scene.cutting.panel_gap
    inboard, below, _, above = found.outline.bounds
    assert inboard == pytest.approx(1.0 - 0.03 - gap, abs=1e-6)
    assert below == pytest.approx(0.49 - 0.04 - gap, abs=1e-6)
    assert above >= 0.49 + gap - 1e-6
    assert found.radius == NOTCH_RADIUS
    ending = scene_with(lids=(lid,), stringers=(replace(through, start="b"),))
    assert list(notches_in(ending, shape, AFTER, THICKNESS, stringer_runs(ending, FORM))) == []


@pytest.mark.example
def test_covers_of_a_planned_layout() -> None:
    """A cover for each in a planned panel; nothing where no bonding is planned."""
    boat = filled()
    plan = build_plan(boat)
    found = other_purchases(boat, plan.bonding)
    assert [p.note.values["opening"] for p in found if p.item.code == "cover-to-buy"] == ["port"]  # type: ignore[union-attr]
    assert other_purchases(boat, None) == ()


@pytest.mark.example
def test_what_stands_already_is_not_bought() -> None:
    """The deck's hatch is there unless it is stated as planned; so is one in a bulkhead that stands."""
    boat = filled()
    plan = build_plan(boat)

    def covers(**built: Literal["planned", "already"]) -> list[Value]:
        openings = tuple(replace(each, built=built.get(each.name)) for each in boat.scene.openings)
        bought = other_purchases(replace(boat, scene=replace(boat.scene, openings=openings)), plan.bonding)
        return [p.note.values["opening"] for p in bought if p.item.code == "cover-to-buy" and p.note is not None]

    assert covers() == ["port"]
    assert covers(hatch="planned") == ["port", "hatch"]
    assert covers(port="already") == []


@pytest.mark.example
@pytest.mark.parametrize(
    ("how", "sawn"),
    [
        ({"diameter": 0.025, "cover": "none"}, False),
        ({"diameter": 0.025, "cover": "tight"}, True),
        ({"size": (0.48, 0.42), "cover": "none"}, True),
        ({"size": (0.3, 0.2), "cover": "tight", "built": "already"}, False),
    ],
)
def test_a_drain_is_not_sawn_into_a_tight_panel(how: dict[str, object], sawn: bool) -> None:
    """A hole that the report asks to plug is not cut and the board says so; a gland, a way through, are; an old hole is not."""
    opening = Opening(name="o", through="b", at=(0.1, 0.5), **how)  # type: ignore[arg-type]
    (pattern,) = panel_patterns(lay_out(scene_with(openings=(opening,)), FORM), None)
    assert bool(pattern.cutouts) is sawn
    assert set(unsawn_notes(scene_with(openings=(opening,)), "b")) <= set(pattern.notes)
    assert any("o is not sawn" in words(note) for note in pattern.notes) is not sawn
    leaky = scene_with(openings=(opening,))
    leaky = replace(leaky, bulkheads=(replace(leaky.bulkheads[0], watertight=False),))
    (pattern,) = panel_patterns(lay_out(leaky, FORM), None)
    assert bool(pattern.cutouts) is (opening.built != "already")
