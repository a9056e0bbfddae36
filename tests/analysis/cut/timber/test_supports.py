"""Supports under lids: counted by hand in a box, bevelled in a wedge, clear of openings, and clear of all in the demo boats."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold
from scene_specimens import cut_out
from shapes import wedge
from specimens import box_form, form_of, layout_scene
from timber import bearer_solid

from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Support
from sketcher.analysis.cut.timber.borne_joints import borne_share
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.cut.timber.supports import APART, USUAL, lids_supports, places_across
from sketcher.analysis.findings import Phrase
from sketcher.analysis.flooding.clear_spans import clear_span
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.model.scene import Lid, Opening, Scene

WIDTH, DEPTH = USUAL
LID = Lid(name="top", height=0.5, start="stem", end="transom", thickness=0.012)
GAP = layout_scene(box_form()).cutting.gap


def supports_in(form: HullForm, scene: Scene) -> tuple[Support, ...]:
    layout = lay_out(scene, form)
    boards = [(each, (each,)) for each in panel_patterns(layout, None)]
    return lids_supports(scene, form, boards, layout.panels)


@pytest.mark.closed_form
def test_a_wide_lid_is_borne_every_400_mm_the_short_way() -> None:
    """4 x 2 m less 6 mm all round: nine square battens of 1988 mm across, 372 mm clear between."""
    found = supports_in(box_form(), layout_scene(box_form(), lids=(LID,)))
    assert len(found) == ceil((4.0 - 2 * GAP - APART) / (APART + WIDTH)) == 9
    for each in found:
        upper, lower = each.corners
        # Seen from above, along to the right, its second edge is below its first.
        assert np.cross(upper[1] - upper[0], upper[0] - upper[3]) @ (upper[0] - lower[0]) > 0.0
        assert each.edges == pytest.approx((2.0 - 2 * GAP,) * 2, abs=1e-5)
        assert [angle for end in each.ends for angle in (end.side, end.face, end.tilt)] == pytest.approx([90.0] * 6, abs=0.01)
        assert {end.place for end in each.ends} == {"hull"}
    middles = np.sort([each.corners[0, :, 0].mean() for each in found])
    assert np.diff(middles) == pytest.approx((4.0 - 2 * GAP + WIDTH - WIDTH) / 10, abs=1e-3)


@pytest.mark.closed_form
def test_a_lid_no_wider_than_usual_needs_none() -> None:
    """A box 0.4 m wide inside its gaps."""
    form = box_form(4.0, 0.4 + 2 * GAP, 1.0)
    assert supports_in(form, layout_scene(form, lids=(LID,))) == ()


@pytest.mark.closed_form
def test_the_ends_of_a_support_follow_the_hull() -> None:
    """Between sides that lean 0.6: upper face to cut 90 - atan 0.6, and each end 27 mm shorter below."""
    form = form_of(wedge(4.0, 1.2, 1.0))
    found = supports_in(form, layout_scene(form, lids=(LID,)))
    assert found
    for each in found:
        lean = 90.0 - np.degrees(np.arctan(0.6))
        assert [angle for end in each.ends for angle in (end.side, end.tilt)] == pytest.approx([90.0, lean] * 2, abs=0.05)
        short = [abs(float(each.corners[0, k, 1] - each.corners[1, k, 1])) for k in range(4)]
        assert short == pytest.approx([0.6 * DEPTH] * 4, abs=1e-4)


@pytest.mark.example
def test_a_support_is_shifted_off_an_opening() -> None:
    """A hatch in the middle is crossed by none, for which one more is taken: four are needed on each side beside its own two."""
    hatch = Opening(name="hatch", through="top", at=(2.0, 0.0), size=(0.3, 0.3), cover="tight")
    found = supports_in(box_form(), layout_scene(box_form(), lids=(LID,), openings=(hatch,)))
    assert len(found) == 10
    assert all(each.edges[0] > 1.9 for each in found)
    assert not any((np.abs(each.corners[0, :, 0] - 2.0) < 0.15).any() for each in found)


@pytest.mark.closed_form
@pytest.mark.parametrize("joint", [1.1, 2.1])
def test_a_support_lies_under_a_joint(joint: float) -> None:
    """A lid 4 m long with a strap 180 mm wide across it: a support lies under the joint's middle, let in by the strap's length.

    One more than the nine that are needed at least, where that takes it, and nowhere more than the usual clear.
    """
    scene = layout_scene(box_form(), lids=(LID,))
    layout = lay_out(scene, box_form())
    (whole,) = panel_patterns(layout, None)
    middle = whole.frame.flat(np.array([[joint, 0.0, 0.5]]))[0]
    across = shapely.box(middle[0] - 0.9, middle[1] - 0.09, middle[0] + 0.9, middle[1] + 0.09)
    strap = replace(whole, kind="butt strap", outline=across, forward=Phrase("strap", {"face": "under"}))
    found = lids_supports(scene, layout.hull, [(whole, (whole, strap))], layout.panels)
    places = np.sort([each.corners[0, :, 0].mean() for each in found])
    assert len(found) in (9, 10)
    assert np.diff([GAP - WIDTH / 2, *places, 4.0 - GAP + WIDTH / 2]).max() <= APART + WIDTH + 1e-6
    under = min(found, key=lambda each: abs(each.corners[0, :, 0].mean() - joint))
    assert under.corners[0, :, 0].mean() == pytest.approx(joint, abs=0.006)
    assert [end - start for start, end in under.notches] == pytest.approx([1.8], abs=1e-6)


@pytest.mark.closed_form
def test_an_opening_bears_nothing() -> None:
    """A lid half a metre square spans half a metre, hatch or no hatch in its middle: one support, beside the hatch."""
    form = box_form(0.5 + 2 * GAP, 0.5 + 2 * GAP, 1.0)
    hatch = Opening(name="hatch", through="top", at=(0.25 + GAP, 0.0), size=(0.15, 0.15), cover="tight")
    (found,) = supports_in(form, layout_scene(form, lids=(LID,), openings=(hatch,)))
    assert found.edges == pytest.approx((0.5, 0.5), abs=1e-5)


@pytest.mark.property
@given(st.floats(0.0, 3.0), st.integers(0, 2**32 - 1))
def test_no_more_than_is_usual_is_left_clear(span: float, seed: int) -> None:
    """Whatever is in the way: supports stand in order, and between them and to both sides no more than 400 mm are clear."""
    rng = np.random.default_rng(seed)
    faults = rng.integers(0, 2, int(np.ceil(span / 0.01)) + 2).astype(float)
    places = places_across(0.0, span, WIDTH, faults)
    edges = np.array([0.0, *(side for place in places for side in (place - WIDTH / 2, place + WIDTH / 2)), span])
    assert (edges[1::2] - edges[0::2]).max() <= APART + 1e-6
    assert (np.diff(places) > WIDTH - 1e-9).all()
    least = max(0, ceil((span - APART) / (APART + WIDTH) - 1e-9))
    assert least <= len(places) <= least + 1


@pytest.mark.closed_form
def test_supports_are_bought_screwed_and_glued() -> None:
    """Nine of 1988 mm: 5 % over in timber, a screw every 150 mm and one more each; the glue beds their upper faces and ends."""
    scene = layout_scene(box_form(), lids=(LID,))
    layout = lay_out(scene, box_form())
    patterns = panel_patterns(layout, None)
    supports = lids_supports(scene, box_form(), [(each, (each,)) for each in patterns], layout.panels)
    with_them, without = (bonding_list(layout, patterns, (), supports=each) for each in (supports, ()))
    assert with_them is not None
    assert without is not None
    (timber,) = [each for each in with_them.purchases if each.note is not None and each.note.code == "for-supports"]
    assert timber.amount.metres == pytest.approx(9 * 1.988 * 1.05)  # type: ignore[union-attr]
    (screws,) = [each for each in with_them.screws if each.to == "supports"]
    assert screws.count == 9 * (ceil(1.988 / 0.15) + 1)
    glue = 9 * 0.003 * WIDTH * (1.988 + 2 * DEPTH) * (1.0 + scene.bonding.waste)
    assert with_them.glue_volume - without.glue_volume == pytest.approx(glue)


@pytest.mark.slow
@pytest.mark.property
@pytest.mark.parametrize("name", ["marram-two-tanks", "ternholm-forepeak", "quillet-forepeak"])
def test_no_support_lies_in_the_shell_a_panel_or_a_bearer(name: str) -> None:
    """As cut, by the kernel: none shares more than a cubic millimetre with anything that is there."""
    plan = cut_out(name)
    layout = plan.evaluation.layout
    form = layout.hull.fine
    inside = to_manifold(form.inside, 0)
    there = {shape.name: to_manifold(shape.trimmed, 1) for shape in layout.panels if shape.reaches_in}
    there |= {run.name: bearer_solid(run) for run in stringer_runs(layout.scene, form)}
    solids = {each.name: Manifold.hull_points(each.corners.reshape(-1, 3)) for each in plan.supports}
    assert solids
    assert {each: left for each, solid in solids.items() if (left := (solid - inside).volume()) > 1e-9} == {}
    crossed = {(each, other): (solid ^ what).volume() for each, solid in solids.items() for other, what in there.items()}
    assert {pair: volume for pair, volume in crossed.items() if volume > 1e-9} == {}
    planned_lids = [k for k, shape in enumerate(layout.panels) if shape.kind == "lid" and shape.panel.built == "planned"]
    wide = {layout.panels[k].name for k in planned_lids if clear_span(layout, k, "under") > APART + 0.02}
    assert wide <= {each.lid for each in plan.supports}
    for joint in plan.joints:
        shares = {each.name: borne_share(joint, each) for each in plan.supports if each.lid == joint.panel}
        # A lid's joint lies over a support or a panel, or says why not; never both and never neither.
        assert bool(joint.borne_by) != (joint.unborne is not None) or joint.panel not in {
            layout.panels[k].name for k in planned_lids
        }
        assert (sum(shares.values()) > 0.5) == any(each in shares for each in joint.borne_by)


@pytest.mark.example
def test_a_strap_that_crosses_is_in_no_supports_way() -> None:
    """Two straps fore and aft under a lid 4 m long with a hatch: the supports across it are those of a lid without straps."""
    hatch = Opening(name="hatch", through="top", at=(2.0, 0.0), size=(0.3, 0.3), cover="tight")
    scene = layout_scene(box_form(), lids=(LID,), openings=(hatch,))
    layout = lay_out(scene, box_form())
    (whole,) = panel_patterns(layout, None)
    middle = whole.frame.flat(np.array([[2.0, 0.0, 0.5]]))[0]
    lines = [shapely.box(middle[0] + y - 0.09, middle[1] - 1.9, middle[0] + y + 0.09, middle[1] + 1.9) for y in (-0.6, 0.6)]
    straps = [replace(whole, kind="butt strap", outline=line, forward=Phrase("strap", {"face": "under"})) for line in lines]
    with_them, bare = (lids_supports(scene, layout.hull, [(whole, (whole, *each))], layout.panels) for each in (straps, ()))
    assert [each.corners[0].tolist() for each in with_them] == [each.corners[0].tolist() for each in bare]
    assert {len(each.notches) for each in with_them} == {2}
