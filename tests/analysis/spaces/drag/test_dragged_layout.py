"""A panel under the hand: the figures of a fresh layout, whatever was moved and however often."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from specimens import layout_scene, wigley_form

from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag import dragged_layout
from sketcher.analysis.spaces.drag.dragged_cuts import PreCut
from sketcher.analysis.spaces.drag.dragged_layout import Mover, moving_with
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, FromPanel, Lid, NamedSpace, Opening, Panel, Partition, Scene
from sketcher.outputs.wording.sentences import message as in_words

FORM = wigley_form(columns=26, rows=12)
"""8 m long, 2.4 m wide, 0.5 m deep."""
SAME = 1e-9
"""Figures of a move are those of a fresh layout to this [m, m2, m3]."""

SCENE = layout_scene(
    FORM,
    bulkheads=(
        Bulkhead(name="collision", at=1.2, thickness=0.018),
        Bulkhead(name="main", at=3.2, thickness=0.012, rake=3),
        Bulkhead(name="half", at=4.5, thickness=0.012, top=0.4),
        Bulkhead(name="aft", at=5.8, thickness=0.012),
        Bulkhead(name="step", at=FromPanel("aft", 0.8), thickness=0.012),
    ),
    partitions=(
        Partition(name="side", off_centre=(-0.3, -0.4), start="collision", end="main", bottom="tank top", thickness=0.009),
        Partition(name="web", off_centre=(0.0, 0.0), start="aft", end="transom", thickness=0.009),
    ),
    lids=(
        Lid(name="tank top", height=0.25, start="collision", end="main", thickness=0.012),
        Lid(name="sole", height=0.12, start="main", end="aft", thickness=0.012, watertight=False),
        Lid(name="shelf", height=0.3, start=4.6, end=5.79, thickness=0.010),
    ),
    openings=(
        Opening(name="limber", through="collision", at=(0.0, 0.1), diameter=0.03),
        Opening(name="door", through="main", at=(0.2, 0.4), size=(0.4, 0.2)),
        Opening(name="hatch", through="deck", at=(2.0, 0.0), size=(0.4, 0.4)),
    ),
    compartments=(NamedSpace(name="forepeak", at=(0.6, 0.0, 0.3), use="chain"), NamedSpace(name="cabin", at=(3.6, 0.0, 0.3))),
)
LAYOUT = lay_out(SCENE, FORM)


def with_panel(scene: Scene, panel: Panel) -> Scene:
    """The scene with a panel of that name replaced."""
    block = {Bulkhead: "bulkheads", Partition: "partitions", Lid: "lids"}[type(panel)]
    return replace(scene, **{block: tuple(panel if p.name == panel.name else p for p in getattr(scene, block))})


def moved(scene: Scene, name: str, by: float) -> Scene:
    """The scene with a bulkhead that much further aft [m], a partition to starboard, a lid higher."""
    panel = next(p for p in scene.panels if p.name == name)
    if isinstance(panel, Bulkhead):
        at = replace(panel.at, distance=panel.at.distance + by) if isinstance(panel.at, FromPanel) else panel.at + by
        return with_panel(scene, replace(panel, at=at))
    if isinstance(panel, Partition):
        return with_panel(scene, replace(panel, off_centre=(panel.off_centre[0] + by, panel.off_centre[1] + by)))
    return with_panel(scene, replace(panel, height=panel.height + by / 4))


def figures(layout: Layout) -> list[float]:
    """Every figure of a layout in a row."""
    rows: list[Sequence[float]] = [
        (space.volume, *space.centroid, space.lowest, space.highest, space.permeability) for space in layout.compartments
    ]
    rows += [(path.lowest, path.area, *path.lowest_at) for path in layout.flow_paths]
    rows.append((layout.panel_volume, layout.gap_volume, layout.sliver_volume, layout.inside_volume))
    return [value for row in rows for value in row]


def assert_same(quick: Layout, fresh: Layout) -> None:
    """Equal names, ways and findings, and figures to SAME."""
    assert [(s.name, s.use, s.bounds, s.open_to, s.bounded, s.watertight) for s in quick.compartments] == [
        (s.name, s.use, s.bounds, s.open_to, s.bounded, s.watertight) for s in fresh.compartments
    ]
    assert [(w.name, w.kind, w.between, w.through) for w in quick.flow_paths] == [
        (w.name, w.kind, w.between, w.through) for w in fresh.flow_paths
    ]
    assert quick.adjoining == fresh.adjoining
    assert [(f.code, f.object, in_words(f)) for f in quick.findings] == [(f.code, f.object, in_words(f)) for f in fresh.findings]
    np.testing.assert_allclose(figures(quick), figures(fresh), rtol=0, atol=SAME)


@pytest.mark.property
@pytest.mark.parametrize("name", [panel.name for panel in SCENE.panels])
def test_a_move_gives_the_figures_of_a_fresh_layout(name: str) -> None:
    """For each panel in turn, a little, further, back across where it stood, and to where it stood."""
    mover = Mover(LAYOUT, name)
    for by in (0.005, 0.05, -0.04, 0.0):
        scene = moved(SCENE, name, by)
        assert_same(mover.at(scene), lay_out(scene, FORM))


@pytest.mark.property
@pytest.mark.parametrize("lid_ends", ["main", 3.18, 2.4])
def test_a_tied_panel_that_keeps_its_planes_is_taken_out_once(lid_ends: float | str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tank top and side end at the collision bulkhead: their piece needs no cut in order, and the figures are the same.

    So also where they end in a wall, just short of it (a gap), or in the middle of the space.
    """
    straight = replace(SCENE.partitions[0], off_centre=(-0.3, -0.3))
    lids = (replace(SCENE.lids[0], end=lid_ends), *SCENE.lids[1:])
    scene = replace(SCENE, partitions=(straight, *SCENE.partitions[1:]), lids=lids)
    answers = []
    without = PreCut.without
    monkeypatch.setattr(PreCut, "without", lambda *piece: answers.append(without(*piece)) or answers[-1])
    mover = Mover(lay_out(scene, FORM), "collision")
    for by in (0.005, 0.05, -0.04):
        assert_same(mover.at(moved(scene, "collision", by)), lay_out(moved(scene, "collision", by), FORM))
        assert any(answers)
        answers.clear()


@pytest.mark.property
@pytest.mark.parametrize("lid_ends", ["main", 3.18, 2.4])
@pytest.mark.parametrize("name", ["collision", "main", "tank top"])
def test_what_is_seen_at_once_is_as_in_the_whole_layout(name: str, lid_ends: float | str) -> None:
    """Spaces, names and volumes, and where the openings of what moves are; also with a gap, near the move or far from it."""
    straight = replace(SCENE.partitions[0], off_centre=(-0.3, -0.3))
    lids = (replace(SCENE.lids[0], end=lid_ends), *SCENE.lids[1:])
    scene = replace(SCENE, partitions=(straight, *SCENE.partitions[1:]), lids=lids)
    start = lay_out(scene, FORM)
    mover = Mover(start, name)
    for by in (0.005, 0.05, 0.2, -0.04):
        there = moved(scene, name, by)
        seen, whole = mover.seen_at(there, start), lay_out(there, FORM)
        assert [(space.name, space.bounds) for space in seen.compartments] == [(s.name, s.bounds) for s in whole.compartments]
        figures = [[(space.volume, *space.centroid) for space in layout.compartments] for layout in (seen, whole)]
        np.testing.assert_allclose(*figures, rtol=0, atol=SAME)
        (port, there_now) = (next(path for path in layout.flow_paths if path.name == "limber") for layout in (seen, whole))
        np.testing.assert_allclose(port.outline, there_now.outline, rtol=0, atol=SAME)


@pytest.mark.example
def test_a_place_the_hand_comes_back_to_is_not_cut_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its spaces are the same ones; of what joins them the newest is told; a place left long ago is cut anew, to the same."""
    monkeypatch.setattr(dragged_layout, "PLACES_KEPT", 2)
    mover, cuts = Mover(LAYOUT, "collision"), []
    monkeypatch.setattr(dragged_layout, "together", lambda *blocks, real=dragged_layout.together: cuts.append(1) or real(*blocks))
    there = [moved(SCENE, "collision", by) for by in (0.01, 0.02, 0.03)]
    first = [mover.seen_at(scene, LAYOUT) for scene in there[:2]]
    again = mover.seen_at(there[0], replace(LAYOUT, flow_paths=()))
    assert len(cuts) == 2
    assert again.compartments[0].mesh is first[0].compartments[0].mesh
    assert (again.scene, again.flow_paths) == (there[0], ())
    mover.seen_at(there[2], LAYOUT)
    anew = mover.seen_at(there[1], LAYOUT)
    assert len(cuts) == 4
    volumes = [[space.volume for space in layout.compartments] for layout in (anew, first[1])]
    np.testing.assert_allclose(*volumes, rtol=0, atol=SAME)


@pytest.mark.example
def test_a_piece_that_nothing_moving_is_in_is_not_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tank top is tied to both bulkheads and reaches a micrometre into the one that stays, but not beyond it."""
    reaches: list[float] = []
    block = dragged_layout.sealed_block
    monkeypatch.setattr(
        dragged_layout, "sealed_block", lambda *of: reaches.append(of[1].parts.vertices[:, 0].max()) or block(*of)
    )
    mover = Mover(LAYOUT, "collision")
    mover.at(moved(SCENE, "collision", 0.05))
    reaches.clear()
    mover.at(moved(SCENE, "collision", -0.04))
    assert [reach < 3.3 for reach in reaches] == [True]


@pytest.mark.example
def test_a_tied_panel_whose_planes_move_is_cut_in_order() -> None:
    """A lid that slopes from the bulkhead rises and falls with it."""
    scene = replace(SCENE, lids=(replace(SCENE.lids[0], slope=4.0), *SCENE.lids[1:]))
    mover = Mover(lay_out(scene, FORM), "collision")
    for by in (0.05, -0.04):
        assert_same(mover.at(moved(scene, "collision", by)), lay_out(moved(scene, "collision", by), FORM))


@pytest.mark.property
@pytest.mark.slow
@settings(max_examples=8, deadline=None)
@given(st.lists(st.floats(-0.5, 0.5), min_size=1, max_size=4))
def test_any_series_of_moves_ends_in_the_figures_of_its_last_place(steps: list[float]) -> None:
    """What went before leaves no trace: through other panels, past them, and back."""
    mover = Mover(LAYOUT, "half")
    for by in steps:
        last = mover.at(moved(SCENE, "half", by))
    assert_same(last, lay_out(moved(SCENE, "half", steps[-1]), FORM))


@pytest.mark.example
def test_what_is_tied_moves_along() -> None:
    """Lids and partitions tied to a bulkhead, a bulkhead placed from it, and what is tied to those in turn."""
    assert moving_with(SCENE, "collision") == {"collision", "tank top", "side"}
    assert moving_with(SCENE, "aft") == {"aft", "step", "web", "sole"}
    assert moving_with(SCENE, "shelf") == {"shelf"}


@pytest.mark.example
def test_a_gap_opens_and_closes_under_the_hand() -> None:
    """The bulkhead drawn 3 mm away from a shelf that ends in a number: a finding on the way, none at its place."""
    scene = replace(SCENE, lids=(*SCENE.lids[:2], replace(SCENE.lids[2], start="half")))
    mover = Mover(lay_out(scene, FORM), "aft")
    assert [f.measured for f in mover.at(moved(scene, "aft", -0.007)).findings if f.object == "shelf"] == [pytest.approx(0.003)]
    assert_same(mover.at(moved(scene, "aft", -0.007)), lay_out(moved(scene, "aft", -0.007), FORM))


@pytest.mark.example
def test_a_panel_dragged_out_of_the_boat_is_said_to_be_outside() -> None:
    """The other spaces stay as they are without it."""
    scene = moved(SCENE, "half", -6.0)
    layout = Mover(LAYOUT, "half").at(scene)
    assert [(f.code, f.object) for f in layout.findings if f.severity == "stop"] == [("panel-outside-hull", "half")]
    assert_same(layout, lay_out(scene, FORM))


@pytest.mark.example
def test_a_panel_that_is_taken_away_may_be_moved() -> None:
    """It cuts nothing, here or there."""
    scene = with_panel(SCENE, replace(next(p for p in SCENE.panels if p.name == "half"), built="removed"))
    start = lay_out(scene, FORM)
    assert_same(Mover(start, "half").at(moved(scene, "half", 0.1)), start)


@pytest.mark.example
def test_another_change_is_laid_out_afresh() -> None:
    """A panel that does not move, a name or the gap limit changed meanwhile: the answer is still right."""
    mover = Mover(LAYOUT, "half")
    for scene in (
        moved(moved(SCENE, "half", 0.1), "shelf", 0.02),
        replace(SCENE, compartments=SCENE.compartments[:1]),
        replace(SCENE, gap_limit=0.001),
        replace(SCENE, bulkheads=SCENE.bulkheads[:2]),
    ):
        if len(scene.bulkheads) == 2:
            scene = replace(scene, partitions=(), lids=SCENE.lids[:1])
        assert_same(mover.at(scene), lay_out(scene, FORM))


@pytest.mark.example
def test_an_opening_may_change_while_a_panel_moves() -> None:
    """It is looked at anew each time."""
    scene = replace(moved(SCENE, "half", 0.1), openings=(replace(SCENE.openings[0], cover="tight"), *SCENE.openings[1:]))
    layout = Mover(LAYOUT, "half").at(scene)
    assert "limber" in {path.name for path in LAYOUT.flow_paths}
    assert "limber" not in {path.name for path in layout.flow_paths}
    assert_same(layout, lay_out(scene, FORM))


@pytest.mark.example
def test_a_move_leaves_the_first_layout_as_it_was() -> None:
    """Its meshes and figures are values; a drag that is given up goes back to them."""
    before = figures(LAYOUT)
    corners = [space.mesh.vertices.copy() for space in LAYOUT.compartments]
    Mover(LAYOUT, "main").at(moved(SCENE, "main", 0.3))
    assert figures(LAYOUT) == before
    for space, kept in zip(LAYOUT.compartments, corners, strict=True):
        np.testing.assert_array_equal(space.mesh.vertices, kept)
