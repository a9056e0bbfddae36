"""Edges that stand open, what they fail to reach, and what is said of it: slots of known width and length in a box."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from specimens import box_form, layout_scene

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import Parts, hull_solid, owners_of, panel_solids, parts_in, taken_apart, with_trim
from sketcher.analysis.spaces.leaks.edge_extensions import edge_frame, in_plane, open_edges, strips_along
from sketcher.analysis.spaces.leaks.gap_findings import lost_seeds, owner_name, shared_names, short_panels
from sketcher.analysis.spaces.leaks.gap_sealing import Sealed, seal
from sketcher.analysis.spaces.leaks.lapped_gaps import laps_between
from sketcher.analysis.spaces.leaks.slots import slots_beyond
from sketcher.analysis.spaces.misplaced_panels import panel_misfits, two_in_one_place
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.analysis.spaces.shared_spaces import where_joined
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Partition, Scene

FORM = box_form(4.0, 2.0, 1.0)
HULL = hull_solid(FORM)
LIMIT = 0.02


def sealed_of(scene: Scene) -> tuple[tuple[PanelShape, ...], Parts, Sealed]:
    """The panels in place, the parts they leave, and these once gaps are closed."""
    solids = panel_solids(place_panels(scene, FORM).shapes)
    rest, _ = taken_apart(HULL, solids)
    shapes, owners = with_trim(HULL, solids), owners_of(HULL, solids)
    parts = parts_in(rest, HULL, owners)
    return shapes, parts, seal(parts, shapes, HULL, owners, LIMIT)


def short_by(gap: float) -> Scene:
    """A bulkhead across the boat that ends so far under the deck."""
    return layout_scene(FORM, bulkheads=(Bulkhead(name="b", at=2.0, thickness=0.02, top=1.0 - gap),), gap_limit=LIMIT)


@pytest.mark.closed_form
@given(st.integers(1, 19).map(lambda mm: mm / 1000))
@settings(max_examples=10)
def test_a_gap_up_to_the_limit_is_a_slot_that_keeps_two_spaces_apart(gap: float) -> None:
    """As wide as the panel stops short, as long as it is broad; closed, its room is the gap's over the board's thickness."""
    shapes, parts, sealed = sealed_of(short_by(gap))
    assert (parts.count, sealed.parts.count) == (1, 2)
    (slot,) = sealed.slots
    assert slot.between is not None
    assert (slot.width, slot.length) == (pytest.approx(gap, abs=1e-5), pytest.approx(2.0, abs=1e-5))
    assert slot.at[2] == pytest.approx(1.0 - gap / 2, abs=1e-5)
    assert sealed.gap_volume == pytest.approx(gap * 2.0 * 0.02, abs=1e-6)
    (finding,) = short_panels(short_by(gap), shapes, sealed.slots, ("fore", "aft"))
    assert (finding.code, finding.severity, finding.object) == ("gap", "warn", "b")
    assert finding.measured == pytest.approx(gap, abs=1e-5)


@pytest.mark.closed_form
def test_a_wider_gap_is_a_doorway() -> None:
    """21 mm under the deck leave one space; past which edge its two names are joined is said."""
    shapes, _, sealed = sealed_of(short_by(0.021))
    assert (sealed.parts.count, sealed.slots, sealed.gap_volume) == (1, (), 0.0)
    points = [np.array((1.0, 0.0, 0.5)), np.array((3.0, 0.0, 0.5))]
    joined = where_joined(sealed, 0, points, shapes, HULL)
    assert joined is not None
    assert (joined.values["edge"], joined.values["panel"], joined.values["beyond"]) == ("top edge", "b", "the deck")
    assert joined.values["width"].metres == pytest.approx(0.021, abs=1e-5)  # type: ignore[union-attr]
    seeds = tuple(NamedSpace(name=name, at=(x, 0.0, 0.5)) for name, x in (("fore", 1.0), ("aft", 3.0)))
    (shared,) = shared_names(layout_scene(FORM, compartments=seeds), (0, 0), {0: joined})
    assert (shared.severity, shared.values["names"]) == ("stop", ("fore", "aft"))


@pytest.mark.closed_form
def test_only_an_edge_that_looks_into_a_space_stands_open() -> None:
    """The top of a bulkhead that ends under the deck; its strip goes as far as asked, up and along it, into that space."""
    shapes, parts, _ = sealed_of(short_by(0.3))
    ((panel, face),) = open_edges(parts, shapes)[0]
    assert shapes[panel].faces[face].name == "top edge"
    (strip,) = strips_along(shapes, ((panel, face),), 0.1)
    assert strip.mesh.bounds[1][2] == pytest.approx(0.8)
    frame = edge_frame(shapes[panel], 0, face)
    assert (frame.v, abs(frame.u[1])) == (pytest.approx((0.0, 0.0, 1.0)), pytest.approx(1.0))
    _, length = in_plane(shapes[panel], 0, shapes[panel].faces[face].plane)
    assert length == pytest.approx(1.0)
    (slot,) = slots_beyond(strip, parts.mesh(0), shapes[panel])
    assert (slot.width, slot.length) == (pytest.approx(0.1), pytest.approx(2.0))


@pytest.mark.closed_form
@pytest.mark.parametrize(("apart", "laps"), [(0.015, 1), (0.05, 0)])
def test_two_lids_that_pass_each_other_leave_a_lap(apart: float, laps: int) -> None:
    """One ends 100 mm beyond the other's end, so far over it: closed where that is no more than the limit."""
    lids = (
        Lid(name="low", height=0.5, start="stem", end=2.1, thickness=0.01),
        Lid(name="high", height=0.51 + apart, start=2.0, end="transom", thickness=0.01),
    )
    shapes, parts, sealed = sealed_of(layout_scene(FORM, lids=lids, gap_limit=LIMIT))
    edges = open_edges(parts, shapes)[0]
    assert len(edges) == 2
    assert all(strip.lapping for strip in laps_between(shapes, edges, LIMIT))
    assert sealed.parts.count == 1 + laps


@pytest.mark.example
def test_owners_are_called_by_what_they_are() -> None:
    """Hull, deck and panels in words."""
    shapes, _, _ = sealed_of(short_by(0.3))
    assert [owner_name(owner, shapes) for owner in (0, 1, 10)] == ["the hull", "the deck", "b"]


@pytest.mark.example
@pytest.mark.parametrize(
    ("at", "code"), [((2.01, 0.0, 0.5), "seed-in-panel"), ((9.0, 0.0, 0.5), "seed-outside"), ((1.0, 0.0, 0.5), "seed-in-sliver")]
)
def test_a_naming_point_that_lies_in_no_space_is_told_by_where_it_lies(at: tuple[float, float, float], code: str) -> None:
    """In a board, outside the hull, or in a sliver of a space."""
    scene = layout_scene(FORM, compartments=(NamedSpace(name="lost", at=at),))
    shapes, _, _ = sealed_of(short_by(0.3))
    (finding,) = lost_seeds(scene, FORM, shapes, (-1,), ())
    assert (finding.code, finding.object, finding.at) == (code, "lost", at)


@pytest.mark.closed_form
@pytest.mark.parametrize(("apart", "told"), [(0.0, True), (0.009, True), (0.011, False), (0.5, False)])
def test_two_boards_in_one_place_share_more_than_half_of_one(apart: float, told: bool) -> None:
    """Bulkheads of 20 mm so far apart share the rest; a face in one plane with another gives way by a micrometre."""
    pair = (Bulkhead(name="a", at=2.0, thickness=0.02), Bulkhead(name="b", at=2.0 + apart, thickness=0.02))
    found = two_in_one_place(HULL, panel_solids(place_panels(layout_scene(FORM, bulkheads=pair), FORM).shapes))
    assert [finding.measured for finding in found] == ([pytest.approx(2.0 * (0.02 - apart), abs=2.0 * 2.1e-6)] if told else [])


@pytest.mark.example
def test_misplaced_panels_are_told_with_the_way_back() -> None:
    """One ahead of the stem by 300 mm, one of which nothing is left, one tied to what was taken out, one that bears the mast."""
    scene = layout_scene(
        FORM,
        bulkheads=(
            Bulkhead(name="astray", at=-0.3, thickness=0.02),
            Bulkhead(name="bare", at=1.0, thickness=0.02, bottom=0.8, top=0.2),
            Bulkhead(name="gone", at=2.0, thickness=0.02, built="removed"),
            Bulkhead(name="mast", at=3.0, thickness=0.02, carries=("mast",)),
        ),
        partitions=(Partition(name="web", off_centre=(0.0, 0.0), start="gone", end="transom", thickness=0.01),),
    )
    found = {finding.code: finding for finding in panel_misfits(scene, FORM, ("astray",), ("bare",))}
    assert set(found) == {"panel-outside-hull", "panel-nothing-left", "tied-to-removed", "panel-carries-load"}
    remedy = found["panel-outside-hull"].values["remedy"]
    assert (remedy.values["towards"], remedy.values["by"].metres) == ("aft", pytest.approx(0.3))  # type: ignore[union-attr]
    assert (found["tied-to-removed"].object, found["panel-carries-load"].object) == ("web", "mast")
