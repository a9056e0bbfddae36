"""Flow paths: openings in panels, deck and hull, leaky panels, hoses and hollow stringers."""

import re
from math import cos, pi, radians, tan

import numpy as np
import pytest
from specimens import box_form, layout_scene, wigley_form

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import SKIN, HullForm
from sketcher.analysis.results import OUTSIDE, FlowPath, Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.leaks.hollow_stringers import core_points
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.geometry.solid.rays import pierced
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Opening, Partition, Stringer
from sketcher.outputs.wording.sentences import message as in_words

BOX = box_form()
"""4 m long, 2 m wide, 1 m deep, keel at height 0."""
MAIN = Bulkhead(name="main", at=2.0, thickness=0.012)
LID = Lid(name="lid", height=0.5, start="stem", end="main", thickness=0.010)
NAMES = (
    NamedSpace(name="low", at=(1, 0, 0.2)),
    NamedSpace(name="high", at=(1, 0, 0.8)),
    NamedSpace(name="aft", at=(3, 0, 0.5)),
)


def laid_out(*openings: Opening, form: HullForm = BOX, **blocks: object) -> Layout:
    """The box with a bulkhead at 2 m and a lid before it at 0.5 m, unless told otherwise."""
    given = {"bulkheads": (MAIN,), "lids": (LID,), "compartments": NAMES} | blocks
    return lay_out(layout_scene(form, openings=openings, **given), form)


def pairs(layout: Layout) -> set[tuple[str, ...]]:
    return {tuple(sorted(path.between)) for path in layout.flow_paths}


def only(layout: Layout) -> FlowPath:
    (path,) = layout.flow_paths
    return path


def findings(layout: Layout) -> list[tuple[str, str]]:
    return [(finding.code, finding.object) for finding in layout.findings]


@pytest.mark.closed_form
def test_a_limber_hole_joins_the_spaces_on_both_sides() -> None:
    """Its area is that of its circle, its lowest point a radius below its centre, in the middle of the board."""
    layout = laid_out(Opening(name="limber", through="main", at=(0.1, 0.05), diameter=0.025))
    path = only(layout)
    assert (path.kind, path.through, set(path.between)) == ("opening", "main", {"low", "aft"})
    assert path.area == pytest.approx(pi * 0.0125**2, rel=1e-3)
    assert path.lowest_at == pytest.approx((2.006, 0.1, 0.0375), abs=1e-9)
    assert {space.name: space.open_to for space in layout.compartments} == {"low": ("aft",), "high": (), "aft": ("low",)}
    assert {space.name: space.watertight for space in layout.compartments} == {"low": False, "high": True, "aft": False}


@pytest.mark.example
def test_a_tight_cover_lets_nothing_through_and_a_loose_one_does() -> None:
    """A loose hatch is no seal."""
    hole = {"through": "lid", "at": (1.0, 0.0), "size": (0.3, 0.2)}
    assert laid_out(Opening(name="port", cover="tight", **hole)).flow_paths == ()  # type: ignore[arg-type]
    assert pairs(laid_out(Opening(name="port", cover="loose", **hole))) == {("high", "low")}  # type: ignore[arg-type]


@pytest.mark.closed_form
def test_an_opening_across_a_lids_end_joins_three_spaces() -> None:
    """In the bulkhead, half above and half below the lid that stands against it: each gets its own share of the hole."""
    layout = laid_out(Opening(name="hole", through="main", at=(0.0, 0.495), size=(0.4, 0.2)))
    assert pairs(layout) == {("aft", "low"), ("aft", "high")}
    assert [path.area for path in layout.flow_paths] == [pytest.approx(0.4 * 0.095, abs=1e-7)] * 2


@pytest.mark.closed_form
def test_a_doorway_is_cut_by_the_panels_own_edge() -> None:
    """What of it lies past the bulkhead's edge is no hole: a door through to the deck ends there."""
    layout = laid_out(Opening(name="door", through="main", at=(0.0, 0.9), size=(0.5, 0.6)))
    path = only(layout)
    assert path.area == pytest.approx(0.5 * 0.4, abs=1e-9)
    assert path.outline[:, 2].max() == pytest.approx(1.0, abs=1e-9)
    assert path.lowest == pytest.approx(0.6, abs=1e-9)


@pytest.mark.closed_form
def test_rounded_corners_make_a_hole_smaller() -> None:
    """By (4 - pi) r^2."""
    square = only(laid_out(Opening(name="port", through="lid", at=(1.0, 0.0), size=(0.3, 0.2))))
    rounded = only(laid_out(Opening(name="port", through="lid", at=(1.0, 0.0), size=(0.3, 0.2), radius=0.05)))
    assert square.area - rounded.area == pytest.approx((4 - pi) * 0.05**2, rel=2e-2)
    round_one = only(laid_out(Opening(name="port", through="lid", at=(1.0, 0.0), size=(0.2, 0.2), radius=0.1)))
    assert round_one.area == pytest.approx(pi * 0.1**2, rel=1e-3)


@pytest.mark.closed_form
def test_an_opening_is_measured_in_its_panels_plane() -> None:
    """In a raked bulkhead 200 mm of hole take 200 mm x cos(rake) of height, about a centre at the height stated."""
    raked = Bulkhead(name="main", at=2.0, thickness=0.012, rake=20)
    path = only(laid_out(Opening(name="hole", through="main", at=(0.1, 0.25), size=(0.3, 0.2)), bulkheads=(raked,)))
    assert path.area == pytest.approx(0.06, abs=1e-9)
    assert np.ptp(path.outline[:, 2]) == pytest.approx(0.2 * cos(radians(20)), abs=1e-9)
    assert path.outline[:, 2].mean() == pytest.approx(0.25, abs=1e-9)
    assert path.outline[:, 1].mean() == pytest.approx(0.1, abs=1e-9)


@pytest.mark.closed_form
def test_an_opening_in_a_partition_is_placed_aft_and_up() -> None:
    """`at` is [aft, height] there, and `size` in the same order."""
    side = Partition(name="side", off_centre=(0.3, 0.3), start="stem", end="main", bottom="lid", thickness=0.010)
    names = (NamedSpace(name="port", at=(1, -0.5, 0.8)), NamedSpace(name="starboard", at=(1, 0.7, 0.8)))
    path = only(
        laid_out(
            Opening(name="locker door", through="side", at=(1.2, 0.75), size=(0.4, 0.3)), partitions=(side,), compartments=names
        )
    )
    assert set(path.between) == {"port", "starboard"}
    assert [np.ptp(path.outline[:, k]) for k in range(3)] == pytest.approx([0.4, 0.0, 0.3], abs=1e-9)
    assert path.outline.mean(axis=0) == pytest.approx([1.2, 0.3, 0.75], abs=1e-9)


@pytest.mark.closed_form
def test_a_hole_in_a_knuckled_lid_follows_both_halves() -> None:
    """Across the centreline of a lid that rises outboard it is one way, lowest in the middle, where the halves are mitred."""
    lid = Lid(name="lid", height=0.5, start="stem", end="main", thickness=0.010, slope_across=10)
    path = only(laid_out(Opening(name="port", through="lid", at=(1.0, 0.0), size=(0.3, 0.2)), lids=(lid,)))
    middle = 0.5 - 0.005 / cos(radians(10))
    mitre = 0.005 * tan(radians(10)) ** 2
    assert middle - 1e-6 <= path.lowest <= middle + mitre
    assert path.outline[:, 2].max() == pytest.approx(middle + 0.1 * tan(radians(10)), abs=0.002)


@pytest.mark.example
def test_a_deck_hatch_joins_what_lies_under_it_to_the_outside() -> None:
    """Over the bulkhead it joins both spaces; its corners lie on the deck's inside face."""
    layout = laid_out(Opening(name="hatch", through="deck", at=(2.0, 0.0), size=(0.5, 0.5)))
    assert pairs(layout) == {("aft", OUTSIDE), ("high", OUTSIDE)}
    assert all(path.lowest == pytest.approx(1.0) for path in layout.flow_paths)
    assert sum(path.area for path in layout.flow_paths) == pytest.approx(0.5 * (0.5 - 0.012), abs=1e-9)
    assert next(space for space in layout.compartments if space.name == "aft").open_to == (OUTSIDE,)


@pytest.mark.example
def test_a_seacock_joins_the_space_behind_it_to_the_outside() -> None:
    """The hole lies in the plane of the shell where its centre is; 20 mm off, for the shell's thickness, is near enough."""
    layout = laid_out(Opening(name="seacock", through="hull", at=(1.0, 0.5, -0.02), diameter=0.04))
    path = only(layout)
    assert path.between == ("low", OUTSIDE)
    assert path.through == "hull"
    assert np.ptp(path.outline[:, 2]) == pytest.approx(0, abs=1e-12)
    assert path.lowest == pytest.approx(0.0, abs=1e-12)


@pytest.mark.closed_form
def test_a_hole_in_the_side_is_as_low_as_its_rim() -> None:
    """40 mm across at 300 mm of height on a plumb side: 280 mm."""
    path = only(laid_out(Opening(name="outlet", through="hull", at=(3.0, 1.0, 0.3), diameter=0.04)))
    assert path.between == ("aft", OUTSIDE)
    assert path.lowest == pytest.approx(0.28, abs=1e-9)


@pytest.mark.closed_form
def test_a_leaky_panel_joins_all_that_face_each_other_across_it() -> None:
    """A sole with a partition on it: each side of the partition with the space below, lowest at mid-thickness of the board."""
    sole = Lid(name="sole", height=0.3, start="main", end="transom", thickness=0.020, watertight=False)
    mid = Partition(name="mid", off_centre=(0, 0), start="main", end="transom", bottom="sole", thickness=0.010)
    layout = laid_out(lids=(LID, sole), partitions=(mid,), compartments=())
    below = "aft of main, under sole"
    assert pairs(layout) == {
        tuple(sorted((below, "aft of main, to port of mid, over sole"))),
        tuple(sorted((below, "aft of main, to starboard of mid, over sole"))),
    }
    assert all(path.kind == "panel" and path.name == path.through == "sole" for path in layout.flow_paths)
    assert all(path.lowest == pytest.approx(0.29, abs=1e-9) for path in layout.flow_paths)
    assert sum(path.area for path in layout.flow_paths) == pytest.approx(1.988 * 1.990, abs=1e-4)


@pytest.mark.closed_form
def test_a_hose_joins_two_spaces_by_name() -> None:
    """Without a place it lets water through where the higher space begins; with one, there."""
    joins = ("low", "high")
    assert only(laid_out(Opening(name="hose", through=None, joins=joins, diameter=0.02))).lowest == pytest.approx(0.5)
    placed = only(laid_out(Opening(name="hose", through=None, joins=joins, diameter=0.02, at=(1.0, 0.2, 0.35))))
    assert (placed.kind, placed.through, placed.between) == ("conduit", None, joins)
    assert placed.lowest_at == (1.0, 0.2, 0.35)


@pytest.mark.example
def test_a_hose_to_a_space_that_is_not_there_is_reported() -> None:
    """With the nearest name, and all the names there are."""
    layout = laid_out(Opening(name="hose", through=None, joins=("low", "hihg"), diameter=0.02))
    assert findings(layout) == [("hose-joins-nothing", "hose")]
    assert "hose is to join hihg" in in_words(layout.findings[0])
    assert "Is high meant? The compartments are aft, high, low." in in_words(layout.findings[0])
    assert layout.flow_paths == ()


@pytest.mark.property
@pytest.mark.parametrize(
    ("opening", "words"),
    [
        (Opening(name="o", through="main", at=(1.5, 0.2), diameter=0.1), "lies beside main.* runs from -1000 mm to 1000 mm"),
        (Opening(name="o", through="lid", at=(2.5, 0.0), diameter=0.1), "lies beside lid.* runs from 0 mm to 2000 mm"),
        (Opening(name="o", through="deck", at=(5.0, 0.0), diameter=0.1), "lies beside the deck"),
        (Opening(name="o", through="hull", at=(1.0, 0.0, 0.3), diameter=0.1), "lies 300 mm off the inside of the shell"),
    ],
)
def test_an_opening_beside_what_it_goes_through_is_reported(opening: Opening, words: str) -> None:
    """With where the panel is, so that the mistake is seen."""
    layout = laid_out(opening)
    assert findings(layout) == [("opening-misses", "o")]
    assert re.search(words, in_words(layout.findings[0]))
    assert layout.flow_paths == ()


@pytest.mark.example
def test_an_opening_in_a_panel_that_is_not_there_is_reported() -> None:
    """It joins nothing, and says so."""
    assert findings(laid_out(Opening(name="o", through="old", at=(0, 0), diameter=0.1))) == [("opening-without-panel", "o")]


def _bearer(hollow: str, side: str = "both") -> tuple[Stringer, ...]:
    return (
        Stringer(name="bearer", under="lid", side=side, start=0.5, end=3.5, width=0.04, depth=0.06, hollow=hollow),  # type: ignore[arg-type]
    )


@pytest.mark.property
@pytest.mark.parametrize(("hollow", "count"), [("open", 2), ("sealed", 0), ("solid", 0)])
def test_an_open_hollow_stringer_joins_what_it_runs_through(hollow: str, count: int) -> None:
    """From before the bulkhead to abaft it, on either side of the boat; sealed or solid it joins nothing."""
    layout = laid_out(stringers=_bearer(hollow))
    assert [(path.kind, path.between, path.through) for path in layout.flow_paths] == [("conduit", ("low", "aft"), None)] * count


@pytest.mark.closed_form
def test_a_hollow_stringer_lies_against_the_hull_under_its_lid() -> None:
    """Its core is half its depth below the lid and half its width off the side."""
    path = only(laid_out(stringers=_bearer("open", "starboard")))
    assert path.lowest == pytest.approx(0.49 - 0.03, abs=1e-9)
    assert path.outline[:, 1] == pytest.approx([0.98, 0.98], abs=1e-9)


@pytest.mark.property
@pytest.mark.parametrize("slope", [-4.0, 0.0, 1.0])
def test_a_core_lies_where_a_line_across_meets_the_skin(slope: float) -> None:
    """At every place of it: half its width within where a line straight across pierces the skin, under a sloping lid too."""
    form = wigley_form(columns=60, rows=30)
    lid = Lid(name="lid", height=0.4, start=0.5, end=6.0, thickness=0.01, slope=slope)
    bearer = Stringer(name="b", under="lid", side="both", start=0.6, end=5.9, width=0.03, depth=0.045, hollow="open")
    scene = layout_scene(form, bulkheads=(), lids=(lid,), stringers=(bearer,), compartments=())
    skin = form.inside.triangles[form.inside.labels == SKIN]
    for side in (-1, 1):
        points = core_points(faces_by_name(scene, form), form, bearer, side)
        assert len(points) > 20
        for x, y, z in points:
            _, across = pierced(form.inside.vertices, skin, np.array([x, 0.0, z]), 1)
            assert y == pytest.approx(side * (max(side * across) - 0.015), abs=1e-9)


@pytest.mark.example
def test_a_stringer_that_ends_at_the_bulkheads_joins_nothing() -> None:
    """Tied to them it stays within one space."""
    form = wigley_form(columns=60, rows=30)
    layout = laid_out(
        form=form,
        bulkheads=(MAIN, Bulkhead(name="next", at=5.0, thickness=0.012)),
        lids=(Lid(name="lid", height=0.3, start="main", end="next", thickness=0.01),),
        stringers=(
            Stringer(name="b", under="lid", side="both", start="main", end="next", width=0.03, depth=0.045, hollow="open"),
        ),
        compartments=(),
    )
    assert layout.flow_paths == ()


@pytest.mark.example
def test_findings_say_what_to_do() -> None:
    """Every one about openings ends in an order."""
    layout = laid_out(
        Opening(name="a", through="main", at=(1.5, 0.2), diameter=0.1),
        Opening(name="b", through="deck", at=(5.0, 0.0), diameter=0.1),
        Opening(name="c", through="hull", at=(1.0, 0.0, 0.3), diameter=0.1),
    )
    found: tuple[Finding, ...] = layout.findings
    assert all(". Move " in in_words(finding) for finding in found)
