"""Strakes of the shell laid flat: in hulls whose plates are known, and in the demo boats."""

from dataclasses import replace

import numpy as np
import pytest
from scene_specimens import at_once, cut_out, demo

from sketcher.analysis.cut.plan import build_plan
from sketcher.analysis.cut.plating import plating_findings, plating_patterns, strakes, transom_pattern
from sketcher.analysis.hull.form import form_hull
from sketcher.model.cutting import Cutting
from sketcher.model.hull import Hull, Station
from sketcher.model.scene import Scene
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words


def wedge(fore: tuple[float, float], shell: float = 0.0) -> Hull:
    """A straight vee, 2 m long: from the keel to a sheer at `fore` forward and at (1, 1) aft."""
    stations = tuple(Station(at=at, points=((0.0, 0.0), sheer)) for at, sheer in ((0.0, fore), (2.0, (1.0, 1.0))))
    return Hull(name="wedge", units="mm", stations=stations, shell=shell, between_stations="straight", between_points="straight")


@pytest.mark.closed_form
def test_a_plane_side_is_a_trapezoid() -> None:
    """From (0.5, 0.5) to (1, 1) the side lies in the plane y = z: 0.707 and 1.414 m at its ends, 2 m along the keel, exact."""
    hull = wedge((0.5, 0.5))
    (strake,) = strakes(form_hull(hull))
    assert strake.laid.miss < 1e-6
    for pattern in plating_patterns(Scene(name="s", units="mm", hull=hull, hull_path="x"), (strake,)):
        assert pattern.area == pytest.approx((np.sqrt(0.5) + np.sqrt(2.0)) / 2 * 2.0, abs=1e-4)
        lines = [np.linalg.norm(mark.line[-1] - mark.line[0]) for mark in pattern.marks]
        assert lines == pytest.approx([np.sqrt(0.5), np.sqrt(2.0)], abs=1e-4)


@pytest.mark.example
def test_port_and_starboard_are_each_others_mirror_with_their_own_way_round() -> None:
    """Seen from outside, forward is left on the port side, right to starboard: where the strake is narrow."""
    hull = wedge((0.5, 0.5))
    port, starboard = plating_patterns(Scene(name="s", units="mm", hull=hull, hull_path="x"), strakes(form_hull(hull)))
    assert (port.hand, starboard.hand) == ("port", "starboard")
    assert "right of the drawing is aft" in words(port.forward)
    assert "right of the drawing is forward" in words(starboard.forward)
    assert port.marks[0].line[:, 0].mean() < port.marks[-1].line[:, 0].mean()
    assert starboard.marks[0].line[:, 0].mean() > starboard.marks[-1].line[:, 0].mean()


@pytest.mark.example
def test_a_twisted_side_is_not_developable_and_says_by_how_much() -> None:
    """From a sheer at (0.2, 1.5) to one at (1, 1) the rulings twist: no pattern, and the finding gives the millimetres."""
    found = strakes(form_hull(wedge((0.2, 1.5))))
    (said,) = plating_findings(found)
    assert said.measured == found[0].laid.miss
    assert found[0].laid.miss > 0.005
    assert "not developable" in in_words(said)
    assert plating_patterns(Scene(name="s", units="mm", hull=wedge((0.2, 1.5)), hull_path="x"), found) == ()


@pytest.mark.example
@pytest.mark.slow
def test_chined_demo_boats_have_plates_and_round_ones_have_not() -> None:
    """Plywood Quillet's two strakes lie flat, of steel Ternholm's three all but the lowest; round Marram's one does not."""
    flat = {}
    for name in ("quillet-forepeak", "ternholm-forepeak", "marram-forepeak"):
        flat[name] = [strake.developable for strake in strakes(demo(name).layout.hull)]
    assert flat == {"quillet-forepeak": [True, True], "ternholm-forepeak": [False, True, True], "marram-forepeak": [False]}


@pytest.mark.example
@pytest.mark.slow
def test_plating_is_cut_only_where_asked_and_passes_no_hatch() -> None:
    """With `plating: true` strakes come on sheets in parts and go through no way below; without, there are none."""
    evaluation = demo("quillet-forepeak")
    assert not any(pattern.kind == "plating" for pattern in cut_out("quillet-forepeak").patterns)
    plan = build_plan(replace(evaluation, scene=replace(evaluation.scene, cutting=Cutting(plating=True))), at_once)
    plates = [pattern for pattern in plan.patterns if pattern.kind == "plating"]
    sides = {f"strake {k}, {hand}" for k in (1, 2) for hand in ("port", "starboard")}
    assert {pattern.panel for pattern in plates} == {"transom", *sides}
    laid = {placed.piece for layout in plan.sheets for placed in layout.nesting.placed}
    assert {pattern.name for pattern in plates} <= laid
    assert plan.passages
    assert not {passage.pattern for passage in plan.passages} & {pattern.name for pattern in plates}


@pytest.mark.closed_form
@pytest.mark.parametrize("rake", [0.0, 30.0])
def test_a_flat_transom_comes_in_its_true_shape(rake: float) -> None:
    """A vee 1 m high and 2 m wide at the sheer: 1 m2 plumb, and by 1/cos of its rake more where it leans."""
    hull = replace(wedge((0.5, 0.5)), transom_rake=rake)
    pattern = transom_pattern(Scene(name="s", units="mm", hull=hull, hull_path="x"), form_hull(hull))
    assert pattern is not None
    assert pattern.area == pytest.approx(1.0 / np.cos(np.radians(rake)), rel=3e-4)
    assert pattern.blank.bounds == pytest.approx((-1.0, 0.0, 1.0, 1.0 / np.cos(np.radians(rake))), abs=2e-4)
    open_aft = replace(hull, open_aft=True)
    assert transom_pattern(Scene(name="s", units="mm", hull=open_aft, hull_path="x"), form_hull(open_aft)) is None


@pytest.mark.closed_form
def test_a_curved_transom_is_laid_flat_along_its_arc() -> None:
    """A box's end, 2 m wide with a rise of 200 mm, is as wide as its arc, 2 R asin(1 / R) with R = 2.6 m."""
    points = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    stations = tuple(Station(at=at, points=points, knuckles=(2,)) for at in (0.0, 2.0))
    hull = Hull(name="box", units="mm", stations=stations, transom_curve=0.2)
    pattern = transom_pattern(Scene(name="s", units="mm", hull=hull, hull_path="x"), form_hull(hull))
    assert pattern is not None
    half = 2.6 * np.arcsin(1.0 / 2.6)
    assert pattern.outline.bounds == pytest.approx((-half, 0.0, half, 1.0), abs=2e-4)
    assert pattern.area == pytest.approx(2.0 * half, rel=2e-4)
    assert "bent to a radius of 2600 mm outside" in words(pattern.notes[0], "mm")
