"""People as figures: as long as they are, within what was fitted for them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from scene_specimens import demo

from sketcher.analysis.fit.lying import LyingPlace, Sleeper
from sketcher.outputs.lying_figure import lying_figure


def place(surface: float, outline: np.ndarray) -> tuple[LyingPlace, Sleeper]:
    sleeper = Sleeper(name="Ada", outline=outline, over_head=None, over_knees=None, over_seat=None)
    return LyingPlace(
        berth="bunk",
        people=("Ada",),
        lengths=(1.8,),
        needs=(1.8,),
        fits=True,
        shoulders=0.5,
        feet=0.3,
        surface=surface,
        boards=None,
        cushion=None,
        boards_outline=outline,
        cushion_outline=outline,
        sleepers=(sleeper,),
    ), sleeper


@pytest.mark.closed_form
@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0, 200.0])
def test_a_figure_is_as_long_as_the_person_and_lies_on_the_cushion(turn: float) -> None:
    """An outline of 1.80 m, 0.1 m of it to spare: 1.70 m from crown to soles, however the berth is turned; none below it."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    outline = np.array([[0.0, -0.25], [0.0, 0.25], [1.8, 0.15], [1.8, -0.15]]) @ np.array([[c, s], [-s, c]])
    where, sleeper = place(0.6, outline)
    mesh = lying_figure(sleeper, where)
    along = mesh.vertices[:, :2] @ np.array([c, s])
    assert along.max() - along.min() == pytest.approx(1.7)
    assert mesh.vertices[:, 2].min() == pytest.approx(0.6, abs=1e-9)
    assert 0.15 < mesh.vertices[:, 2].max() - 0.6 < 0.3
    assert shapely.contains_xy(shapely.Polygon(outline).buffer(1e-9), mesh.vertices[:, :2]).all()


@pytest.mark.example
def test_every_figure_of_a_demo_lies_within_its_berth_and_the_hull() -> None:
    """Over the cushion's own outline, and below the deck."""
    evaluation = demo("quillet-filled")
    assert evaluation.contents is not None
    seen = 0
    for lying in evaluation.contents.lying:
        for sleeper in lying.sleepers:
            points = lying_figure(sleeper, lying).vertices
            assert shapely.contains_xy(shapely.Polygon(lying.cushion_outline).buffer(1e-6), points[:, :2]).all()
            assert (points[:, 2] < evaluation.layout.hull.deck_undersides(points[:, :2])).all()
            seen += 1
    assert seen


@pytest.mark.closed_form
def test_a_figure_is_closed_in_each_of_its_parts() -> None:
    """Every edge is run through once each way, and parts are turned outwards: together the volume of an adult, 50 to 110 l."""
    outline = np.array([[0.0, -0.25], [0.0, 0.25], [1.85, 0.15], [1.85, -0.15]])
    where, sleeper = place(0.0, outline)
    mesh = lying_figure(sleeper, where)
    edges = np.concatenate([mesh.triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    assert sorted(map(tuple, edges.tolist())) == sorted(map(tuple, edges[:, ::-1].tolist()))
    assert 0.05 < mesh.volume < 0.11
