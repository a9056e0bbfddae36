"""What goes below and comes out of a sheet, and panels in parts where they do not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.hatch_fit import passage
from sketcher.analysis.cut.boards.jointing import from_own_edges, in_parts
from sketcher.analysis.cut.fitting import fitted_in_boat, gaps_of_whole, read_places, reading_points, sawn_as_read
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.flat.widths import least_width, widest_through
from sketcher.model.cutting import Cutting, GapReading, PartReadings, Sheet
from sketcher.model.scene import Bulkhead, Opening, Scene

HATCH = Opening(name="fore hatch", through="deck", at=(1.0, 0.0), size=(0.5, 0.5))


def bulkhead(**blocks: object) -> tuple[Scene, Pattern]:
    form = box_form()
    scene = layout_scene(form, bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.018),), **blocks)
    return scene, panel_patterns(lay_out(scene, form), None)[0]


@pytest.mark.closed_form
@pytest.mark.parametrize("turn", [0.0, 0.3, 1.1])
def test_the_least_width_of_a_triangle_is_its_least_height(turn: float) -> None:
    """A 3-4-5 triangle is 2.4 wide at least, however it lies."""
    triangle = shapely.Polygon([(0, 0), (4, 0), (0, 3)])
    turned = shapely.transform(triangle, lambda p: p @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]))
    assert least_width(turned)[0] == pytest.approx(2.4)


@pytest.mark.published
def test_a_board_through_a_rectangular_hatch_meets_the_known_criterion() -> None:
    """The widest board w of thickness t through a x b: b (w2 + t2) = 2 w t a + (w2 - t2) sqrt(w2 + t2 - a2).

    Carver, The Mathematics of Packing Rectangles, 1957, as quoted in textbooks (from memory).
    """
    a, b, t = 0.6, 0.4, 0.018
    w = widest_through(shapely.box(-a / 2, -b / 2, a / 2, b / 2), t)
    assert b * (w**2 + t**2) == pytest.approx(2 * w * t * a + (w**2 - t**2) * np.sqrt(w**2 + t**2 - a**2), rel=1e-4)
    assert w == pytest.approx(np.hypot(a, b) - t, abs=0.003)


@pytest.mark.closed_form
def test_a_board_through_a_round_port_is_a_chord() -> None:
    """Through a round hole of diameter d goes a board sqrt(d2 - t2) wide."""
    port = shapely.Point(0, 0).buffer(0.2, quad_segs=256)
    assert widest_through(port, 0.05) == pytest.approx(np.sqrt(0.4**2 - 0.05**2), abs=1e-4)
    assert widest_through(port, 0.5) == 0.0


@pytest.mark.example
def test_a_panel_that_goes_below_stays_in_one_piece() -> None:
    """Where no way below is known and the sheet is large enough nothing is cut."""
    scene, whole = bulkhead()
    assert passage(scene, whole).passes is None
    assert in_parts(scene, whole) == ((whole,), ())


@pytest.mark.example
def test_parts_pass_the_hatch_and_add_up_to_the_panel() -> None:
    """A bulkhead 988 mm high through a hatch of 500 x 500 mm: parts that all pass, whose areas and masses sum to the whole."""
    scene, whole = bulkhead(openings=(HATCH,))
    assert not passage(scene, whole).passes
    found, joints = in_parts(scene, whole)
    parts = [p for p in found if p.kind != "butt strap"]
    assert len(parts) == len(joints) + 1
    assert all(passage(scene, part).passes for part in found)
    assert sum(part.area for part in parts) == pytest.approx(whole.area, rel=1e-9)
    assert shapely.union_all([part.outline for part in parts]).area == pytest.approx(whole.area, rel=1e-9)


@pytest.mark.published
def test_butt_straps_are_fifteen_thicknesses_wide_and_scarfs_overlap_by_eight() -> None:
    """18 mm: a strap of 270 mm, or parts that overlap by 144 mm (proportions as published for plywood)."""
    scene, whole = bulkhead(openings=(HATCH,))
    straps = [p for p in in_parts(scene, whole)[0] if p.kind == "butt strap"]
    assert {round(strap.blank.bounds[3], 6) for strap in straps} == {0.270}
    scarfed = replace(scene, cutting=replace(scene.cutting, joint="scarf"))
    parts, joints = in_parts(scarfed, whole)
    length = joints[0].line[0]
    across = np.hypot(joints[0].line[1][0] - length[0], joints[0].line[1][1] - length[1])
    shared = shapely.intersection(parts[0].outline, parts[1].outline).area
    assert joints[0].width == pytest.approx(0.144)
    assert shared == pytest.approx(0.144 * across, rel=1e-6)


@pytest.mark.example
def test_a_joint_keeps_clear_of_openings_where_it_can() -> None:
    """A port in the middle of the board moves the joint aside, strap and all."""
    port = Opening(name="port", through="main", at=(0.0, 0.5), diameter=0.15)
    sheet = Sheet(name="ply", thickness=0.018, size=(1.6, 1.22))
    scene, whole = bulkhead(openings=(port,), sheets=(sheet,), cutting=Cutting())
    parts, joints = in_parts(scene, whole)
    strap = shapely.LineString(joints[0].line).buffer(joints[0].width / 2, cap_style="flat")
    assert len(joints) == 1
    assert not any(strap.intersects(cutout.outline) for part in parts for cutout in part.cutouts)


@pytest.mark.property
@pytest.mark.parametrize("number", [0, -1])
def test_joints_stay_while_gaps_read_of_one_part_move_the_boards_edge(number: int) -> None:
    """4 mm wider at one part's edge: no joint moves, both parts meet in the same corners, and one that is sawn stays."""
    scene, whole = bulkhead(openings=(HATCH,))
    parts, joints = in_parts(scene, whole)
    own = tuple(from_own_edges(part) for part in parts if part.kind != "butt strap")
    mine, gap = own[number], scene.cutting.gap
    edge = next(bevel for bevel in mine.bevels if bevel.edge == "hull")
    read = (PartReadings(name=mine.name, gaps=(GapReading(at=edge.at, gap=gap + 0.004),)),)
    told = gaps_of_whole(whole, own, read)
    form = box_form()
    fitted = fitted_in_boat(whole, form, gap, told)
    assert fitted.area > whole.area + 1e-4
    again, moved = in_parts(scene, whole, fitted=fitted)
    boards = [part for part in again if part.kind != "butt strap"]
    assert shapely.union_all([part.outline for part in boards]).symmetric_difference(fitted.outline).area < 1e-9
    for was, now in zip(joints, moved, strict=True):
        axis = 0 if was.line[0][0] == was.line[1][0] else 1
        assert {end[axis] for end in now.line} == {end[axis] for end in was.line}
        ends = [shapely.intersection(part.outline, shapely.LineString(now.line).buffer(1e-6)).bounds for part in boards]
        meeting = [each for each in ends if not np.isnan(each[0])]
        assert meeting[0] == pytest.approx(meeting[1], abs=2e-6)
    sawn = (*told, PartReadings(name=mine.name, cut=True))
    kept = sawn_as_read(fitted, own, [from_own_edges(part) for part in boards], sawn)
    assert kept[number] is mine
    assert kept[-1 - number] is not own[-1 - number]


@pytest.mark.property
@pytest.mark.parametrize("hatch", [0.5, 0.3])
def test_gaps_of_parts_are_numbered_and_told_as_those_of_the_whole_board(hatch: float) -> None:
    """Each number once, on the part whose edge it lies on; from either zero it is the same place in the boat."""
    scene, whole = bulkhead(openings=(replace(HATCH, size=(hatch, 0.6)),))
    own = [from_own_edges(part) for part in in_parts(scene, whole)[0]]
    places = read_places(whole, own)
    assert set(places) == {part.name for part in own if part.kind != "butt strap"}
    assert len(places) > 1
    numbered = sorted((place.number, place.at) for each in places.values() for place in each)
    assert numbered == [(number, point.at) for number, point in enumerate(reading_points(whole), 1)]
    for part in own:
        for place in places.get(part.name, ()):
            assert part.outline.exterior.distance(shapely.Point(place.here)) < 1e-6
            assert part.frame.space(np.array([place.here])) == pytest.approx(whole.frame.space(np.array([place.at])))


@pytest.mark.example
def test_bevels_go_with_the_parts() -> None:
    """Each part keeps the bevels on its own edge and no others."""
    scene, whole = bulkhead(openings=(HATCH,))
    parts = [p for p in in_parts(scene, whole)[0] if p.kind != "butt strap"]
    kept = [bevel for part in parts for bevel in part.bevels]
    assert {bevel.at for bevel in kept} == {bevel.at for bevel in whole.bevels}
    for part in parts:
        assert all(part.outline.exterior.distance(shapely.Point(b.at)) < 1e-6 for b in part.bevels)


@pytest.mark.example
def test_grain_is_turned_where_only_that_brings_a_panel_out_of_the_sheets() -> None:
    """2 m wide and 1 m high: of sheets 1.1 by 0.6 m parallel cuts make parts only where the grain stands upright."""
    scene, whole = bulkhead(sheets=(Sheet(name="strips", thickness=0.018, size=(1.1, 0.6)),))
    assert whole.grain == (1.0, 0.0)
    parts = [part for part in in_parts(scene, whole)[0] if part.kind != "butt strap"]
    assert len(parts) > 1
    assert {tuple(np.abs(part.grain)) for part in parts if part.grain is not None} == {(0.0, 1.0)}
