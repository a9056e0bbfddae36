from dataclasses import replace
from math import cos, radians, tan

import numpy as np
import pytest
from shapes import box, wedge
from specimens import box_form, form_of, layout_scene

from sketcher.analysis.findings import Finding
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.results import BerthFigures
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import TriMesh
from sketcher.model.contents import Person
from sketcher.model.errors import SketchError
from sketcher.model.scene import Berth, Bulkhead, Fitting, Lid, Partition, Scene
from sketcher.outputs.wording.sentences import message as in_words

COLLISION = Bulkhead(name="collision", at=0.8, thickness=0.018)
MAIN = Bulkhead(name="main", at=2.8, thickness=0.012)
BUNK = Berth(name="bunk", height=0.3, start="collision", end="main", cushion=0.1, stature=1.9)


def room_in(scene: Scene, form: object = None) -> tuple[BerthFigures, tuple[Finding, ...]]:
    (room,), findings = berth_figures(lay_out(scene, form or box_form()))  # type: ignore[arg-type]
    return room, findings


@pytest.mark.closed_form
def test_berth_in_a_box_lies_between_finished_faces() -> None:
    """Between two plumb bulkheads in a box: from the after face of one to the forward face of the other, full width."""
    room, _ = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), berths=(BUNK,)))
    assert room.length == pytest.approx(2.8 - 0.818, abs=1e-9)
    assert (room.shoulder_width, room.foot_width) == pytest.approx((2.0, 2.0), abs=1e-9)
    assert room.headroom == pytest.approx(1.0 - 0.4, abs=1e-9)


@pytest.mark.example
def test_while_something_moves_a_berth_keeps_its_outline_and_length() -> None:
    """The rest is not looked for then."""
    layout = lay_out(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), berths=(BUNK,)), box_form())
    ((room,), _), ((quick,), said) = berth_figures(layout), berth_figures(layout, outlines_only=True)
    np.testing.assert_array_equal(quick.outline, room.outline)
    assert (quick.length, quick.line, quick.surface) == (room.length, room.line, room.surface)
    assert (quick.headroom, quick.shoulder_width, said) == (None, None, ())


@pytest.mark.closed_form
@pytest.mark.parametrize("rake", [-10.0, 12.0])
def test_rake_counts_at_the_cushions_top(rake: float) -> None:
    """A raked head: the length is to its near face at the cushion's top, thickness square to the panel."""
    raked = replace(COLLISION, rake=rake)
    room, _ = room_in(layout_scene(box_form(), bulkheads=(raked, MAIN), berths=(BUNK,)))
    after_face = 0.8 + 0.4 * tan(radians(rake)) + 0.018 / cos(radians(rake))
    assert room.length == pytest.approx(2.8 - after_face, abs=1e-9)


@pytest.mark.closed_form
def test_berth_on_a_sloping_lid_is_measured_along_it() -> None:
    """On a lid that rises aft, the cushion's top is parallel to the lid and the run is measured along the slope."""
    lid = Lid(name="top", height=0.3, start="collision", end="main", thickness=0.012, slope=5.0)
    bunk = Berth(name="bunk", start="collision", end="main", cushion=0.1, lies_on="top")
    room, _ = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), lids=(lid,), berths=(bunk,)))
    assert room.length == pytest.approx((2.8 - 0.818) / cos(radians(5)), abs=1e-9)


@pytest.mark.closed_form
def test_a_post_through_the_berth_is_a_hole_in_it() -> None:
    """A post 100 x 80 mm from sole to deck leaves such a hole; the run goes past it, and a box overhead lowers it."""
    post = Fitting(name="post", at=(1.5, 0.0, 0.5), size=(0.1, 0.08, 1.0))
    winch = Fitting(name="winch motor", at=(2.0, 0.0, 0.85), size=(2.0, 2.0, 0.1))
    room, _ = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), berths=(BUNK,), fittings=(post, winch)))
    (hole,) = room.holes
    assert (hole.min(axis=0), hole.max(axis=0)) == (pytest.approx([1.45, -0.04]), pytest.approx([1.55, 0.04]))
    assert room.length == pytest.approx(2.8 - 0.818, abs=1e-9)
    assert room.headroom == pytest.approx(0.8 - 0.4, abs=1e-9)


@pytest.mark.closed_form
def test_a_locker_across_the_foot_shortens_the_berth() -> None:
    """A chest across the whole foot, 300 mm long, leaves a berth of 300 mm less; one that stays below the cushion does not."""
    chest = Fitting(name="chest", at=(0.968, 0.0, 0.5), size=(0.3, 3.0, 0.5))
    low = replace(chest, at=(0.968, 0.0, 0.0))
    scene = layout_scene(box_form(), bulkheads=(COLLISION, MAIN), berths=(BUNK,), fittings=(chest,))
    assert room_in(scene)[0].length == pytest.approx(2.8 - 0.818 - 0.3, abs=1e-9)
    assert room_in(replace(scene, fittings=(low,)))[0].length == pytest.approx(2.8 - 0.818, abs=1e-9)


@pytest.mark.closed_form
def test_a_sloping_cushion_runs_into_a_fitting_where_it_is_as_high() -> None:
    """Where a cushion that rises 5 degrees aft meets the underside of a box hung 450 mm up, the run ends."""
    lid = Lid(name="top", height=0.3, start="collision", end="main", thickness=0.012, slope=5.0)
    bunk = Berth(name="bunk", start="collision", end="main", cushion=0.1, lies_on="top")
    hung = Fitting(name="hung", at=(2.0, 0.0, 0.95), size=(4.0, 3.0, 1.0))
    scene = layout_scene(box_form(), bulkheads=(COLLISION, MAIN), lids=(lid,), berths=(bunk,), fittings=(hung,))
    # Its top at the collision bulkhead's after face, then up by tan 5 degrees.
    height = 0.3 + 0.1 / cos(radians(5.0))
    meets = 0.818 + (0.45 - height) / tan(radians(5.0))
    assert room_in(scene)[0].length == pytest.approx((meets - 0.818) / cos(radians(5.0)), abs=1e-6)


@pytest.mark.closed_form
def test_feet_in_a_vee_have_the_width_at_the_foremost_face() -> None:
    """In a wedge laid on its side the foot is as wide as the wedge there, and shoulders 400 mm in from the head."""
    v = wedge(1.0, 2.0, 4.0)  # breadth 0.5 x depth; turned so that its depth runs aft
    turned = TriMesh(v.vertices[:, [2, 1, 0]], v.triangles[:, ::-1], v.labels)
    form = form_of(turned)
    room, _ = room_in(layout_scene(form, bulkheads=(COLLISION, MAIN), berths=(BUNK,)), form)
    assert room.length == pytest.approx(2.8 - 0.818, abs=1e-9)
    assert room.foot_width == pytest.approx(0.818 / 2, abs=1e-5)
    assert room.shoulder_width == pytest.approx((2.8 - 0.4) / 2, abs=1e-9)


@pytest.mark.closed_form
def test_a_post_cuts_the_run() -> None:
    """A narrow bulkhead on the centreline, reaching above the cushion, is in the way of the run there only."""
    post = Bulkhead(name="post", at=1.5, thickness=0.05, span=(-0.9, 1.0))
    room, _ = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN, post), berths=(BUNK,)))
    assert room.length == pytest.approx(1.982, abs=1e-9)
    assert room.line is not None
    assert -1.0 <= room.line[0][1] <= -0.9


@pytest.mark.closed_form
def test_headroom_stops_at_a_shelf() -> None:
    """A lid above the head end is the ceiling, not the deck."""
    shelf = Lid(name="shelf", height=0.9, start="collision", end="main", thickness=0.02)
    room, _ = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), lids=(shelf,), berths=(BUNK,)))
    assert room.headroom == pytest.approx(0.88 - 0.4, abs=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize("rake", [-0.5, 0.5])
def test_a_bulkhead_that_leans_over_the_head_is_no_ceiling(rake: float) -> None:
    """Half a degree off plumb either way, at either end: the deck, 600 mm over the cushion, is still what is overhead."""
    leaning = (replace(COLLISION, rake=-rake), replace(MAIN, rake=rake))
    room, _ = room_in(layout_scene(box_form(), bulkheads=leaning, berths=(BUNK,)))
    assert room.headroom == pytest.approx(0.6, abs=1e-6)


@pytest.mark.closed_form
def test_a_side_that_tumbles_home_is_the_ceiling_over_a_head_beside_it() -> None:
    """Sides that come in 1 in 2, the longest run along one: half a head in from the cushion's edge the side is 150 mm up."""
    hull = box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0))
    inwards = np.column_stack([np.ones(8), 1.0 - 0.5 * hull.vertices[:, 2], np.ones(8)])
    form = form_of(TriMesh(hull.vertices * inwards, hull.triangles, hull.labels))
    scene = layout_scene(form, bulkheads=(COLLISION, replace(MAIN, angle=10.0)), berths=(BUNK,))
    room, _ = room_in(scene, form)
    assert room.line is not None
    assert room.line[0][1] == pytest.approx(0.8, abs=1e-6)
    assert room.headroom == pytest.approx((1.0 - 0.725) / 0.5 - 0.4, abs=1e-6)


@pytest.mark.closed_form
def test_span_to_a_partition_bounds_the_width() -> None:
    """A berth that spans from a partition to the hull has the clear width between their faces."""
    web = Partition(name="web", off_centre=(0.1, 0.1), start="collision", end="main", thickness=0.02)
    bunk = replace(BUNK, span=("web", None))
    room, _ = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), partitions=(web,), berths=(bunk,)))
    assert room.shoulder_width == pytest.approx(1.0 - 0.11, abs=1e-9)


@pytest.mark.closed_form
def test_a_berth_above_the_deck_is_nowhere() -> None:
    """Where nothing is clear there is no length, and a finding says so: null, never 0."""
    room, findings = room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), berths=(replace(BUNK, height=1.5),)))
    assert room.length is None
    assert room.fits is None
    assert [f.code for f in findings] == ["berth-nowhere"]


@pytest.mark.closed_form
def test_a_berth_on_a_lid_that_is_not_there_is_refused() -> None:
    """The error names the berth's key and the lids there are."""
    bunk = replace(BUNK, height=None, lies_on="tpo")
    with pytest.raises(SketchError, match="'tpo' is no lid"):
        room_in(layout_scene(box_form(), bulkheads=(COLLISION, MAIN), berths=(bunk,)))


@pytest.mark.example
def test_a_berth_without_a_stature_says_why_nothing_is_said_of_its_fit() -> None:
    """Its length is known, whether it fits is not, and a note says what to state; with somebody named there is none."""
    bunk = replace(BUNK, stature=None)
    blocks = {"bulkheads": (COLLISION, MAIN), "berths": (bunk,)}
    room, (note,) = room_in(layout_scene(box_form(), **blocks))
    assert (room.fits, room.short_by) == (None, None)
    assert (note.code, note.severity, note.object) == ("berth-without-stature", "note", "bunk")
    assert "No stature is stated for bunk" in in_words(note)
    ada = Person(name="Ada", berth="bunk", stature=1.7)
    assert room_in(layout_scene(box_form(), people=(ada,), **blocks))[1] == ()
