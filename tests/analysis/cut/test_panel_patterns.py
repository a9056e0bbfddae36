"""Patterns against closed forms and against the solid that they are cut to fit."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
from places import SCENES
from shapes import ellipsoid, tube
from specimens import box_form, form_of, layout_scene

from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.cut.boards.marking_out import marked_faces
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.hull.form import DECK, SKIN, HullForm
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.model.cutting import Cutting
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, Lid, Opening, Partition, Stringer, Waterline
from sketcher.outputs.wording.sentences import words

EXACT = Cutting(gap=0.0, panel_gap=0.0)
DEMOS = ("marram-two-tanks", "quillet-forepeak", "ternholm-forepeak", "pellwick-bows")


def cone_form(sides: int = 720) -> HullForm:
    """A cone frustum along x: radius 0.3 at 0, 0.5 at 0.4 m."""
    angle = np.linspace(0.0, 2 * np.pi, sides, endpoint=False)
    rings = [np.column_stack([np.full(sides, x), r * np.cos(angle), r * np.sin(angle)]) for x, r in ((0.0, 0.3), (0.4, 0.5))]
    return form_of(tube(np.array(rings)))


def patterns(form: HullForm, water: Waterline | None = None, **blocks: object) -> tuple[Pattern, ...]:
    scene = layout_scene(form, waterline=water, **blocks)
    return panel_patterns(lay_out(scene, form), water_plane(scene, form))


def box_bulkhead(**blocks: object) -> Pattern:
    return patterns(box_form(), bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.018),), **blocks)[0]


@pytest.mark.closed_form
def test_a_bulkhead_in_a_cone_is_two_circles_and_one_bevel() -> None:
    """Radii 0.400 and 0.410 m at the two faces, the larger drawn, and everywhere the cone's own slope of 26.565 degrees."""
    (pattern,) = patterns(cone_form(), bulkheads=(Bulkhead(name="disc", at=0.2, thickness=0.020),), cutting=EXACT)
    assert pattern.drawn_face == "after"
    assert np.sqrt(pattern.outline.area / np.pi) == pytest.approx(0.410, abs=2e-5)
    assert np.sqrt(pattern.other_outline.area / np.pi) == pytest.approx(0.400, abs=2e-5)
    angles = np.array([bevel.angle for bevel in pattern.bevels])
    assert len(angles) > 20
    assert angles == pytest.approx(np.full(len(angles), np.degrees(np.arctan(0.5))), abs=0.1)
    assert pattern.bevels[0].gauge == pytest.approx(90.0 - 26.565, abs=0.1)


@pytest.mark.closed_form
def test_the_gap_is_measured_square_to_the_hull() -> None:
    """6 mm square to a surface that leans by 26.565 degrees take 6.708 mm off the radius in the board's plane."""
    cutting = Cutting(gap=0.006)
    (pattern,) = patterns(cone_form(), bulkheads=(Bulkhead(name="disc", at=0.2, thickness=0.020),), cutting=cutting)
    assert np.sqrt(pattern.outline.area / np.pi) == pytest.approx(0.410 - 0.006708, abs=2e-5)
    assert np.sqrt(pattern.other_outline.area / np.pi) == pytest.approx(0.400 - 0.006708, abs=2e-5)


@pytest.mark.closed_form
def test_the_gap_is_kept_from_a_bottom_whose_knuckle_lies_just_below() -> None:
    """Sides stand plumb at 1 m; 2 mm below a lid's top the bottom turns inward, rising 1 in 10: it, not the side, is nearest.

    At a distance e from the side the bottom is (0.002 + 0.1 e) cos(atan 0.1) away, which is 6 mm where e is 40.3 mm.
    """
    corners = [(0.0, -0.102), (1.0, -0.002), (1.0, 1.0), (-1.0, 1.0), (-1.0, -0.002)]
    form = form_of(tube(np.array([[(x, y, z) for y, z in corners] for x in (0.0, 4.0)])))
    shelf = Lid(name="shelf", height=0.0, start=1.0, end=3.0, thickness=0.001)
    (lid,) = patterns(form, lids=(shelf,), cutting=Cutting(gap=0.006))
    west, _, east, _ = lid.outline.bounds
    assert lid.drawn_face == "top"
    e = (0.006 / np.cos(np.arctan(0.1)) - 0.002) / 0.1
    # The gap is kept to a hundredth of itself square to the surface, ten times that along so flat a one.
    assert (-west, east) == pytest.approx((1.0 - e, 1.0 - e), abs=1e-3)


@pytest.mark.closed_form
@pytest.mark.parametrize("at", [-2.5, -0.4, 1.7])
def test_bevels_follow_the_normals_of_an_ellipsoid(at: float) -> None:
    """Within half a degree of the exact normals of an ellipsoid meshed about as coarsely as a hull, on both sides."""
    axes = np.array([4.0, 1.2, 0.5])
    form = form_of(ellipsoid(*axes.tolist(), columns=48, rows=96))
    (pattern,) = patterns(form, bulkheads=(Bulkhead(name="ring", at=at, thickness=0.012),), cutting=EXACT)
    outward = pattern.frame.normal
    for bevel in pattern.bevels:
        point = pattern.frame.space(np.array([bevel.at]))[0]
        normal = point / axes**2
        assert bevel.angle == pytest.approx(-np.degrees(np.arcsin(normal @ outward / np.linalg.norm(normal))), abs=0.5)


@pytest.mark.closed_form
def test_a_raked_bulkhead_in_a_box_is_longer_by_its_rake() -> None:
    """In a box 1 m deep a bulkhead raked by 30 degrees is 1/cos 30 high and bevelled by its rake at keel and deck."""
    (pattern,) = patterns(box_form(), bulkheads=(Bulkhead(name="leaning", at=1.0, thickness=0.018, rake=30.0),), cutting=EXACT)
    west, south, east, north = pattern.outline.bounds
    assert (east - west, north - south) == pytest.approx((2.0, 1 / np.cos(np.radians(30.0))), abs=1e-5)
    flat = {round(abs(b.angle), 3) for b in pattern.bevels}
    assert flat == {0.0, 30.0}


@pytest.mark.closed_form
def test_corners_and_diagonals_of_a_plain_board() -> None:
    """A board 1.988 x 0.988 m: four corners, no point between them, and two diagonals of 2.220 m."""
    pattern = box_bulkhead(cutting=Cutting(gap=0.006))
    assert pattern.area == pytest.approx(1.988 * 0.988, abs=1e-5)
    (face,) = marked_faces(pattern)
    assert [point.letter for point in face.points] == ["A", "B", "C", "D"]
    at = [(-0.994, 0.0), (0.994, 0.0), (0.994, 0.988), (-0.994, 0.988)]
    assert np.array([point.at for point in face.points]) == pytest.approx(np.array(at), abs=1e-5)
    assert [d.length for d in pattern.diagonals] == pytest.approx([np.hypot(1.988, 0.988)] * 2, abs=1e-5)


@pytest.mark.closed_form
def test_openings_are_cut_with_rounded_inner_corners() -> None:
    """A square opening of 400 x 300 mm with corners of 20 mm at least lacks (4 - pi) r2 of its area."""
    hatch = Opening(name="hatch", through="main", at=(0.1, 0.5), size=(0.4, 0.3))
    pattern = box_bulkhead(openings=(hatch,), cutting=EXACT)
    (cutout,) = pattern.cutouts
    assert cutout.radius == 0.020
    assert cutout.outline.area == pytest.approx(0.12 - (4 - np.pi) * 0.0004, abs=1e-6)
    assert pattern.outline.area == pytest.approx(2.0 - cutout.outline.area, abs=1e-5)
    middle = pattern.frame.space(np.array([cutout.outline.centroid.coords[0]]))[0]
    assert middle[1:] == pytest.approx([0.1, 0.5], abs=1e-9)


@pytest.mark.closed_form
def test_a_stringer_that_passes_leaves_a_notch_its_own_size() -> None:
    """A bearer of 30 x 45 mm under a lid runs through the middle bulkhead: a notch on each side, 1 mm clear all round.

    The board itself goes a micrometre into the lid that it is tied to, over its whole breadth of 2 m.
    """
    blocks = {
        "bulkheads": (Bulkhead(name="main", at=2.0, thickness=0.018, top="shelf"),),
        "lids": (Lid(name="shelf", height=0.6, start="stem", end="transom", thickness=0.012),),
        "stringers": (Stringer(name="bearer", under="shelf", side="both", start=0.5, end=3.5, width=0.03, depth=0.045),),
    }
    main = next(p for p in patterns(box_form(), cutting=Cutting(gap=0.0, panel_gap=0.001), **blocks) if p.name == "main")
    whole = 2.0 * (0.588 - 0.001)
    assert [cutout.kind for cutout in main.cutouts] == ["notch", "notch"]
    rounded = (1 - np.pi / 4) * 0.005**2
    assert whole - main.outline.area == pytest.approx(2 * (0.031 * 0.045 - rounded), abs=3e-6)


@pytest.mark.example
def test_a_stringer_that_ends_at_a_bulkhead_leaves_no_notch() -> None:
    """A bearer cut to the bulkhead's face does not pierce it."""
    blocks = {
        "bulkheads": (Bulkhead(name="main", at=2.0, thickness=0.018),),
        "lids": (Lid(name="shelf", height=0.6, start="stem", end="main", thickness=0.012),),
        "stringers": (Stringer(name="bearer", under="shelf", side="both", start=0.5, end="main", width=0.03, depth=0.045),),
    }
    assert all(pattern.cutouts == () for pattern in patterns(box_form(), **blocks))


@pytest.mark.closed_form
def test_marks_stand_where_the_boat_has_them() -> None:
    """Waterline at its height, centreline on it, a level line at a whole 50 mm, and both edges of the lid that lands."""
    blocks = {
        "bulkheads": (Bulkhead(name="main", at=2.0, thickness=0.018),),
        "lids": (Lid(name="sole", height=0.3, start="stem", end="main", thickness=0.012),),
    }
    water = Waterline(forward=0.4, after=0.4)
    main = next(p for p in patterns(box_form(), water=water, cutting=EXACT, **blocks) if p.name == "main")
    at = {mark.kind: main.frame.space(mark.line) for mark in main.marks}
    assert at["waterline"][:, 2] == pytest.approx([0.4, 0.4])
    assert at["centreline"][:, 1] == pytest.approx([0.0, 0.0])
    assert at["level line"][:, 2] == pytest.approx([0.5, 0.5])
    assert (at["touches"][:, 2].min(), at["touches"][:, 2].max()) == pytest.approx((0.288, 0.300), abs=1e-5)
    assert main.touches == ("sole",)


@pytest.mark.closed_form
@pytest.mark.parametrize(("units", "height"), [("mm", 0.5), ("in", 20 * 0.0254)])
def test_a_level_line_stands_at_a_whole_step_of_the_owners_tape(units: str, height: float) -> None:
    """Nearest to the middle of a board 1 m high: 500 mm of whole 50, or 20 in of whole 2, and so it is said."""
    scene = replace(layout_scene(box_form(), bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.018),)), units=units)
    (main,) = panel_patterns(lay_out(scene, box_form()), None)
    (level,) = [mark for mark in main.marks if mark.kind == "level line"]
    assert main.frame.space(level.line)[:, 2] == pytest.approx([height, height])
    assert level.says is not None
    assert words(level.says, units) == {"mm": "level, 500 mm up", "in": "level, 20 in up"}[units]


@pytest.mark.example
def test_a_lid_with_a_knuckle_is_two_boards_unmirrored() -> None:
    """A lid that rises to both sides is cut as a port and a starboard board, each drawn as it lies."""
    found = patterns(box_form(), lids=(Lid(name="bunk", height=0.5, start=1.0, end=3.0, thickness=0.012, slope_across=10.0),))
    assert [(p.name, p.hand) for p in found] == [("bunk, port", "port"), ("bunk, starboard", "starboard")]
    across = [p.frame.space(np.array([p.outline.centroid.coords[0]]))[0][1] for p in found]
    assert across[0] == pytest.approx(-across[1])
    assert across[0] < 0


@pytest.mark.example
def test_a_partition_that_cuts_a_bulkhead_in_two_is_not_there() -> None:
    """Bulkheads run through: the bulkhead stays whole, the partition is cut in two pieces."""
    found = patterns(
        box_form(),
        bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.018),),
        partitions=(Partition(name="web", off_centre=(0.3, 0.3), start=1.0, end=3.0, thickness=0.009),),
        cutting=EXACT,
    )
    assert [p.name for p in found] == ["main", "web, piece 1", "web, piece 2"]
    assert sum(p.area for p in found if p.panel == "web") == pytest.approx((2.0 - 0.018) * 1.0, abs=1e-5)


@lru_cache(maxsize=4)
def demo(name: str) -> tuple[Layout, tuple[Pattern, ...]]:
    scene = read_scene(SCENES / f"{name}.yaml")
    form = hull_form(scene.hull)
    layout = lay_out(scene, form)
    return layout, panel_patterns(layout, water_plane(scene, form))


@pytest.mark.property
@pytest.mark.parametrize("name", DEMOS)
def test_patterns_without_gaps_weigh_what_the_solid_does(name: str) -> None:
    """Half the sum of both faces, times the thickness, is the volume of the panel's own solid, less what is cut out of it."""
    scene = replace(read_scene(SCENES / f"{name}.yaml"), cutting=EXACT, openings=(), stringers=())
    layout = lay_out(scene, hull_form(scene.hull))
    for shape in layout.panels:
        found = panel_patterns(layout, None, [shape.name])
        volume = sum(p.outline.area + p.other_outline.area for p in found) / 2 * shape.panel.thickness
        assert volume == pytest.approx(shape.volume, rel=1e-3), shape.name


def edge_as_sawn(pattern: Pattern, step: float = 0.02) -> tuple[Floats, list[str]]:
    """The edge as it comes off the saw by what the pattern states and nothing else: its drawn outline and its marked bevels.

    Points (3, n, 3) on the drawn face, in the middle and on the other face, n of them along the outline, and what each is
    against. Within two thicknesses of a corner, where two saw cuts meet in a mitre, there are none.
    """
    ring = pattern.outline.exterior
    marked = pattern.bevels
    places = np.array([b.along for b in marked])
    corner = [place for a, b in pairwise(marked) if a.against != b.against for place in (a.along, b.along)]
    keep, angles, against = [], [], []
    for at in np.arange(0.0, ring.length, step).tolist():
        k = int(np.searchsorted(places, at, side="right"))
        if not 0 < k < len(marked) or marked[k - 1].against != marked[k].against or places[k] - places[k - 1] > 0.11:
            continue
        near = np.abs(np.array([*corner, 0.0, ring.length]) - at).min() < 2 * pattern.thickness
        if near or turning(ring, at, 2 * pattern.thickness) > 12.0:
            continue
        share = (at - places[k - 1]) / (places[k] - places[k - 1])
        keep.append(at)
        angles.append(marked[k - 1].angle * (1 - share) + marked[k].angle * share)
        against.append(marked[k].against)
    at = np.array(keep)
    flat = on_ring(ring, at)
    way = on_ring(ring, (at + 0.002) % ring.length) - on_ring(ring, (at - 0.002) % ring.length)
    outward = np.column_stack([way[:, 1], -way[:, 0]]) / np.linalg.norm(way, axis=1, keepdims=True)
    if not ring.is_ccw:
        outward = -outward
    rows = []
    for share in (0.0, 0.5, 1.0):
        moved = flat - outward * (np.tan(np.radians(angles)) * pattern.thickness * share)[:, None]
        rows.append(pattern.frame.space(moved) - pattern.frame.normal * pattern.thickness * share)
    return np.array(rows), against


def on_ring(ring: shapely.LinearRing, along: Floats) -> Floats:
    return shapely.get_coordinates(shapely.line_interpolate_point(ring, along))


def turning(ring: shapely.LinearRing, at: float, reach: float) -> float:
    """How far [deg] an outline turns within a reach of a place."""
    a, b, c = on_ring(ring, np.array([at - reach, at, at + reach]) % ring.length)
    angles = np.degrees([np.arctan2(*(b - a)), np.arctan2(*(c - b))])
    return float(abs((angles[1] - angles[0] + 180.0) % 360.0 - 180.0))


def clear_of(points: Floats, form: HullForm, label: int) -> Floats:
    """Distance (n,) [m] from points to the hull's skin or deck, where it is less than 30 mm."""
    mine: Ints = form.inside.triangles[form.inside.labels == label]
    corners = form.inside.vertices[mine]
    lowest, highest = corners.min(axis=1) - 0.03, corners.max(axis=1) + 0.03
    near = ((lowest <= points.max(axis=0)) & (highest >= points.min(axis=0))).all(axis=1)
    mine, lowest, highest = mine[near], lowest[near], highest[near]
    by = [mine[((lowest <= point) & (highest >= point)).all(axis=1)] for point in points]
    return np.array([distances_to_mesh(at, form.inside.vertices, of).min() for at, of in zip(points, by, strict=True)])


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_boards_sawn_as_stated_fit_the_solid_with_the_gap_as_set(name: str) -> None:
    """Edges against shell and deck, sawn by the marked bevels alone, keep 6 mm to half a millimetre at both faces, all round.

    In the middle of the thickness they never come nearer; over a keel that is sharp within the thickness they stay further off.
    """
    layout, found = demo(name)
    looked_at = 0
    for pattern in found:
        sawn, against = edge_as_sawn(pattern)
        for label, word in ((SKIN, "hull"), (DECK, "deck")):
            mine = np.array([each == word for each in against])
            if not mine.any():
                continue
            faces = clear_of(np.concatenate([sawn[0][mine], sawn[2][mine]]), layout.hull.fine, label)
            assert faces == pytest.approx(np.full(len(faces), 0.006), abs=5e-4), pattern.name
            assert clear_of(sawn[1][mine], layout.hull.fine, label).min() > 0.0055, pattern.name
            looked_at += len(faces)
    assert looked_at > 200


@pytest.mark.example
def test_every_marked_bevel_leads_to_the_other_faces_line() -> None:
    """From each mark, beside corners too, the other face's outline is as far as thickness and bevel say, to a millimetre."""
    layout = lay_out(scene := read_scene(SCENES / "ternholm-forepeak.yaml"), hull_form(scene.hull))
    for pattern in panel_patterns(layout, None):
        for bevel in pattern.bevels:
            across = pattern.other_outline.exterior.distance(shapely.Point(bevel.at))
            assert across == pytest.approx(abs(pattern.thickness * np.tan(np.radians(bevel.angle))), abs=1e-3)
