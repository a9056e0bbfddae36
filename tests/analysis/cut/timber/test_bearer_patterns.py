"""Bearers as they are cut, against hulls whose sides have a known angle or curve, and against the shell of every demo boat."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from manifold3d import Manifold
from shapes import cylinder, mesh_of, wedge
from specimens import box_form, form_of, layout_scene
from timber import bearer_solid

from sketcher.analysis.cut.boards.saw_settings import saw_stretches
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.timber.bearer_patterns import bearer_findings, stringer_patterns
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.geometry.solid.section import section
from sketcher.model.demos import demo_scenes
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, Lid, Scene, Stringer

WIDTH, DEPTH = 0.030, 0.045
WEDGE = form_of(wedge(4.0, 1.2, 1.0))
"""Its sides lean 0.6 m out over 1 m up."""


def scene_in(form: HullForm, lid: Lid, bulkheads: tuple[Bulkhead, ...] = (), **bearer: object) -> Scene:
    stated = {"start": 1.0, "end": 3.0, "width": WIDTH, "depth": DEPTH, **bearer}
    stringer = Stringer(name="bearer", under=lid.name, side="both", **stated)  # type: ignore[arg-type]
    return layout_scene(form, lids=(lid,), stringers=(stringer,), bulkheads=bulkheads)


def layout_in(form: HullForm, lid: Lid, bulkheads: tuple[Bulkhead, ...] = (), **bearer: object) -> Layout:
    return lay_out(scene_in(form, lid, bulkheads, **bearer), form)


def lid_at(height: float) -> Lid:
    return Lid(name="shelf", height=height + 0.012, start="stem", end="transom", thickness=0.012)


@pytest.mark.closed_form
def test_the_back_of_a_bearer_has_the_bevel_of_a_flat_side() -> None:
    """In a wedge: atan 0.6 all along, 30 mm wide above and 3 mm below, no twist, nothing hollow, square in plan."""
    for each in stringer_patterns(layout_in(WEDGE, lid_at(0.5))):
        assert [setting.angle for setting in each.settings] == pytest.approx(
            [np.degrees(np.arctan(0.6))] * len(each.settings), abs=0.01
        )
        assert [setting.under for setting in each.settings] == pytest.approx([WIDTH - 0.6 * DEPTH] * len(each.settings), abs=1e-5)
        assert (each.twist, each.hollow) == pytest.approx((0.0, 0.0), abs=1e-4)
        assert each.stock == pytest.approx(WIDTH)
        assert each.board.outline.area == pytest.approx(2.0 * WIDTH, rel=1e-4)
        assert each.board.other_outline.area == pytest.approx(2.0 * (WIDTH - 0.6 * DEPTH), rel=1e-3)


@pytest.mark.closed_form
def test_the_end_of_a_bearer_is_measured_on_its_bevelled_back() -> None:
    """At a bulkhead raked 20 degrees on a side that leans 0.6: by the cross products of the planes, worked out by hand."""
    rake = np.tan(np.radians(20.0))
    stood = (Bulkhead(name="main", at=3.0, thickness=0.012, rake=20.0),)
    port, starboard = stringer_patterns(layout_in(WEDGE, lid_at(0.5), stood, end="main"))
    down = np.array([-rake, -0.6, -1.0])
    for each, side in ((port, -1.0), (starboard, 1.0)):
        way = down * [1.0, side, 1.0]
        face = np.degrees(np.arccos(-way[0] / np.linalg.norm(way)))
        assert (each.ends[1].side, each.ends[1].face) == pytest.approx((90.0, face), abs=0.01)
        assert each.ends[1].tilt == pytest.approx(70.0, abs=0.01)


@pytest.mark.closed_form
def test_a_bearer_in_a_box_is_a_plain_batten() -> None:
    """30 x 45 mm of solid, square all over: 2 m less nothing, for its ends are free."""
    (run, _) = stringer_runs(scene_in(box_form(), lid_at(0.5)), box_form())
    assert bearer_solid(run).volume() == pytest.approx(2.0 * WIDTH * DEPTH, rel=1e-6)


@pytest.mark.closed_form
def test_a_bearer_round_an_upright_cylinder_bends_to_its_radius() -> None:
    """Radius 1.6 m: 30 mm take two strips of 15, and the back stays square."""
    upright = mesh_of(Manifold.cylinder(1.0, 1.6, 1.6, 720))
    form = form_of(replace(upright, vertices=upright.vertices + np.array([1.6, 0.0, 0.0])))
    for each in stringer_patterns(layout_in(form, lid_at(0.5))):
        assert each.least_radius == pytest.approx(1.6, rel=0.01)
        assert (each.strips, each.strip) == pytest.approx((2, 0.015))
        assert [setting.angle for setting in each.settings] == pytest.approx([0.0] * len(each.settings), abs=0.05)


@pytest.mark.closed_form
def test_a_back_clears_a_round_bilge() -> None:
    """In a log of radius 1 m, 0.4 m below its axis: the bevel is the chord's over the depth, and the bulge behind it is left."""

    def breadth(z: float) -> float:
        return float(np.sqrt(1.0 - z * z))

    top = -0.4
    for each in stringer_patterns(layout_in(form_of(cylinder(4.0, 1.0, facets=2880)), lid_at(top))):
        lean = (breadth(top) - breadth(top - DEPTH)) / DEPTH
        assert [setting.angle for setting in each.settings] == pytest.approx(
            [np.degrees(np.arctan(lean))] * len(each.settings), abs=0.05
        )
        bulge = breadth(top - DEPTH / 2) - (breadth(top) + breadth(top - DEPTH)) / 2
        assert each.hollow == pytest.approx(bulge, abs=5e-5)


@pytest.mark.closed_form
def test_where_the_hull_is_wider_below_the_stock_is_wider() -> None:
    """Over the axis of the log the lower face is the wider by what the skin recedes; the upper one keeps 30 mm for the lid."""
    top = 0.6
    lean = (0.8 - np.sqrt(1.0 - (top - DEPTH) ** 2)) / DEPTH
    for each in stringer_patterns(layout_in(form_of(cylinder(4.0, 1.0, facets=2880)), lid_at(top))):
        assert each.stock == pytest.approx(WIDTH - lean * DEPTH, abs=1e-3)
        assert each.board.outline.area == pytest.approx(2.0 * WIDTH, rel=1e-3)


@pytest.mark.closed_form
def test_a_bevel_that_takes_the_whole_lower_face_is_told() -> None:
    """In a side that leans 1 for 1 a bearer of 30 x 45 mm is 30 deep; one 45 mm wide would keep its depth."""
    form = form_of(wedge(4.0, 2.0, 1.0))
    patterns = stringer_patterns(layout_in(form, lid_at(0.5)))
    assert [each.shallowest for each in patterns] == pytest.approx([0.030, 0.030], abs=1e-4)
    found = list(bearer_findings(patterns))
    assert [finding.values["wide"].metres for finding in found] == pytest.approx([0.045, 0.045], abs=1e-4)  # type: ignore[union-attr]
    assert not list(bearer_findings(stringer_patterns(layout_in(WEDGE, lid_at(0.5)))))


@pytest.mark.example
def test_the_drawn_faces_are_the_solid_cut_level() -> None:
    """Upper and under face on the paper are where levels just inside the solid as cut meet it."""
    stood = (Bulkhead(name="main", at=3.0, thickness=0.012, rake=20.0, angle=10.0),)
    layout = layout_in(WEDGE, lid_at(0.5), stood, end="main")
    for each, run in zip(stringer_patterns(layout), stringer_runs(layout.scene, WEDGE), strict=True):
        solid = mesh_of(bearer_solid(run))
        for outline, down in ((each.board.outline, 1e-6), (each.board.other_outline, DEPTH - 1e-6)):
            frame = each.board.frame
            level = replace(frame, origin=tuple(np.array(frame.origin) - frame.normal * down))
            assert shapely.symmetric_difference(section(solid, level), outline).area < 2e-6


@pytest.mark.example
def test_the_saw_is_set_all_along_the_back_and_at_both_ends() -> None:
    """The settings round the pattern name the hull and the bulkhead; the inner edge is free."""
    stood = (Bulkhead(name="main", at=3.0, thickness=0.012, rake=20.0),)
    for each in stringer_patterns(layout_in(WEDGE, lid_at(0.5), stood, end="main")):
        stretches = saw_stretches(each.board)
        assert {stretch.against for stretch in stretches} >= {"hull", "main"}
        back = next(stretch for stretch in stretches if stretch.against == "hull")
        assert back.angles == pytest.approx((30.96, 30.96), abs=0.1)
        assert next(stretch for stretch in stretches if stretch.against == "main").angles == pytest.approx((20.0, 20.0), abs=0.1)


@pytest.mark.example
def test_a_notch_holds_the_bearer_that_passes() -> None:
    """Its inner and lower edge stand off the bearer as cut by the gap between panels, at both faces of the board and between."""
    stood = (Bulkhead(name="through", at=2.0, thickness=0.018),)
    layout = layout_in(WEDGE, lid_at(0.5), stood)
    (board,) = panel_patterns(layout, None, ["through"])
    gap = layout.scene.cutting.panel_gap
    for run in stringer_runs(layout.scene, WEDGE):
        solid, notch = mesh_of(bearer_solid(run)), next(each for each in board.cutouts if each.name == run.name)
        for depth in (1e-4, 0.009, 0.018 - 1e-4):
            frame = replace(board.frame, origin=tuple(np.array(board.frame.origin) - board.frame.normal * depth))
            there, square = section(solid, frame), notch.outline.envelope
            assert square.contains(there)
            assert there.bounds[1] - square.bounds[1] == pytest.approx(gap, abs=1e-4)
            assert min(abs(there.bounds[k] - square.bounds[k]) for k in (0, 2)) == pytest.approx(gap, abs=1e-4)


def demo_hulls() -> list[Path]:
    by_hull = {read_scene(path).hull_path: path for path in demo_scenes()}
    return sorted(by_hull.values())


def bearers_of(scene: Scene, lid: Lid) -> Stringer:
    return Stringer(name=f"under {lid.name}", under=lid.name, side="both", start=lid.start, end=lid.end, width=WIDTH, depth=DEPTH)


@pytest.mark.slow
@pytest.mark.property
@pytest.mark.parametrize("path", demo_hulls(), ids=lambda path: path.stem)
def test_no_bearer_lies_in_the_shell(path: Path) -> None:
    """Under each lid of every demo boat, as cut: moved inboard by half a millimetre, no cubic millimetre is in the shell."""
    scene = read_scene(path)
    scene = replace(scene, stringers=(*scene.stringers, *(bearers_of(scene, lid) for lid in scene.lids)))
    form = hull_form(scene.hull).fine
    runs = stringer_runs(scene, form)
    assert runs or not scene.lids
    inside = to_manifold(form.inside, 0)
    moved = {run.name: bearer_solid(run).translate((0.0, -run.side * 5e-4, 0.0)) for run in runs}
    assert {name: left for name, solid in moved.items() if (left := (solid - inside).volume()) > 1e-9} == {}
