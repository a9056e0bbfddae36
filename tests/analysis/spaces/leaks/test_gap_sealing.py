"""Panels that stop short: which gaps keep two spaces apart but for a leak, how wide they are, and what they are called."""

from math import cos, radians, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from specimens import box_form, layout_scene, wigley_form

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import FlowPath, Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Panel, Partition
from sketcher.outputs.wording.sentences import message as in_words

BOX = box_form()
"""4 m long, 2 m wide, 1 m deep, keel at height 0."""
MAIN = Bulkhead(name="main", at=2.0, thickness=0.012)
WIGLEY = wigley_form(columns=60, rows=30)


def laid_out(form: HullForm = BOX, **blocks: object) -> Layout:
    return lay_out(layout_scene(form, **blocks), form)


def found(layout: Layout, *codes: str) -> list[Finding]:
    return [finding for finding in layout.findings if finding.code in (codes or ("gap", "short-edge"))]


def only_gap(layout: Layout) -> tuple[Finding, FlowPath]:
    (finding,) = found(layout)
    (path,) = layout.flow_paths
    assert (finding.code, finding.severity, path.kind) == ("gap", "warn", "gap")
    return finding, path


def short_lid(gap: float, **changes: object) -> Lid:
    return Lid(name="lid", height=0.5, start="stem", end=2.0 - gap, thickness=0.010, **changes)  # type: ignore[arg-type]


@pytest.mark.closed_form
def test_a_lid_3_mm_short_of_a_bulkhead() -> None:
    """Both spaces remain, open to each other; panel, neighbour, place, width and length are said, and what to do."""
    layout = laid_out(bulkheads=(MAIN,), lids=(short_lid(0.003),))
    finding, path = only_gap(layout)
    low, high, aft = layout.compartments
    assert (low.open_to, high.open_to, aft.open_to) == ((high.name,), (low.name,), ())
    assert (low.watertight, high.watertight, aft.watertight) == (False, False, True)
    assert finding.object == "lid"
    assert finding.measured == pytest.approx(0.003, abs=1e-9)
    assert finding.limit == 0.020
    assert finding.at == pytest.approx((1.9985, 0, 0.495), abs=1e-6)
    assert in_words(finding) == (
        "The after end of lid stops 3 mm short of main over 2000 mm, round 1998 mm aft, on the centreline, 495 mm up: water "
        f"passes between {high.name} and {low.name}. Extend its after end by 3 mm, or write to: main."
    )
    assert path.between == (high.name, low.name)
    assert path.area == pytest.approx(0.003 * 2, abs=1e-8)
    assert path.lowest == pytest.approx(0.495, abs=1e-9)


@pytest.mark.closed_form
def test_the_gap_itself_belongs_to_neither_space() -> None:
    """Its volume is the gap's, counted apart; with it the sum is the hull's."""
    layout = laid_out(bulkheads=(MAIN,), lids=(short_lid(0.003),))
    assert layout.gap_volume == pytest.approx(0.003 * 2 * 0.010, abs=2e-7)
    assert abs(layout.residual) < 1e-12


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(st.floats(0.00005, 0.0199))
def test_every_gap_up_to_the_limit_is_measured(gap: float) -> None:
    """To a hundredth of a millimetre, and never merges the two spaces."""
    layout = laid_out(bulkheads=(MAIN,), lids=(short_lid(gap),))
    finding, _ = only_gap(layout)
    assert finding.measured == pytest.approx(gap, abs=1e-5)
    assert len(layout.compartments) == 3


@pytest.mark.example
def test_a_wider_gap_merges_two_spaces() -> None:
    """21 mm is a way through: one space, and without names for both sides nothing is amiss."""
    layout = laid_out(bulkheads=(MAIN,), lids=(short_lid(0.021),))
    assert len(layout.compartments) == 2
    assert layout.findings == ()


@pytest.mark.closed_form
@pytest.mark.parametrize("gap", [0.0205, 0.026, 0.039])
def test_between_two_edges_a_gap_wider_than_the_limit_is_told_as_one(gap: float) -> None:
    """What the room before either edge, as deep as the limit, closes together: as wide as it is, with all of its area."""
    ends = (("stem", 1.0), (1.0 + gap, "main"))
    lids = tuple(
        Lid(name=name, height=0.5, start=start, end=end, thickness=0.010)  # type: ignore[arg-type]
        for name, (start, end) in zip(("one", "other"), ends, strict=True)
    )
    finding, path = only_gap(laid_out(bulkheads=(MAIN,), lids=lids))
    assert finding.measured == pytest.approx(gap, abs=1e-5)
    assert path.area == pytest.approx(gap * 2, abs=1e-5)


@pytest.mark.example
def test_the_limit_is_the_scenes() -> None:
    """With a limit of 25 mm the same gap is a leak, with 2 mm a gap of 3 is a way through."""
    assert len(laid_out(bulkheads=(MAIN,), lids=(short_lid(0.021),), gap_limit=0.025).compartments) == 3
    assert len(laid_out(bulkheads=(MAIN,), lids=(short_lid(0.003),), gap_limit=0.002).compartments) == 2


@pytest.mark.example
def test_two_names_in_one_space_are_told_where_they_join() -> None:
    """Which edge of which panel, how wide, how long, and where."""
    names = (NamedSpace(name="low", at=(1, 0, 0.2)), NamedSpace(name="high", at=(1, 0, 0.8)))
    layout = laid_out(bulkheads=(MAIN,), lids=(short_lid(0.150),), compartments=names)
    (finding,) = found(layout, "names-in-one-space")
    assert finding.severity == "stop"
    assert (
        "low and high are one space: they join past the after end of lid, which stops 150 mm short of main over 2000 mm"
        in in_words(finding)
    )
    assert [space.name for space in layout.compartments] == ["low", "aft of main"]


@pytest.mark.example
def test_two_names_with_no_panel_between_them_are_told_so() -> None:
    """There is nothing to close."""
    names = (NamedSpace(name="one", at=(1, 0, 0.2)), NamedSpace(name="other", at=(1, 0, 0.8)))
    (finding,) = found(laid_out(bulkheads=(MAIN,), compartments=names), "names-in-one-space")
    assert "one and other are one space: no panel parts the one from the other" in in_words(finding)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("panel", "edge", "beyond"),
    [
        (Bulkhead(name="p", at=1.0, thickness=0.012, top=0.997), "top edge", "the deck"),
        (Bulkhead(name="p", at=1.0, thickness=0.012, bottom=0.003), "bottom edge", "the hull"),
        (Bulkhead(name="p", at=1.0, thickness=0.012, span=(-0.997, None)), "port edge", "the hull"),
        (Bulkhead(name="p", at=1.0, thickness=0.012, span=(None, 0.997)), "starboard edge", "the hull"),
        (Partition(name="p", off_centre=(0.3, 0.3), start=0.003, end="main", thickness=0.009), "fore end", "the hull"),
        (Partition(name="p", off_centre=(0.3, 0.3), start="stem", end=1.997, thickness=0.009), "after end", "main"),
        (Lid(name="p", height=0.3, start="stem", end="main", thickness=0.009, span=(None, 0.997)), "starboard edge", "the hull"),
    ],
)
def test_every_edge_of_every_kind_of_panel_is_watched(panel: Panel, edge: str, beyond: str) -> None:
    """3 mm short of hull, deck or neighbour at any one edge is said, with that edge and what it misses."""
    block = {Bulkhead: "bulkheads", Partition: "partitions", Lid: "lids"}[type(panel)]
    blocks: dict[str, tuple[Panel, ...]] = {"bulkheads": (MAIN,)}
    blocks[block] = (*blocks.get(block, ()), panel)
    finding, _ = only_gap(laid_out(**blocks))
    assert finding.measured == pytest.approx(0.003, abs=1e-9)
    assert f"The {edge} of p stops 3 mm short of {beyond}" in in_words(finding)


@pytest.mark.closed_form
def test_a_gap_round_a_corner_is_one_leak_at_both_edges() -> None:
    """A lid short by 3 mm aft and 5 mm to starboard: each edge with its own width, and the corner closed with them."""
    layout = laid_out(bulkheads=(MAIN,), lids=(short_lid(0.003, span=(None, 0.995)),))
    widths = {in_words(finding).split(" stops")[0]: finding.measured for finding in found(layout)}
    assert widths == {"The after end of lid": pytest.approx(0.003), "The starboard edge of lid": pytest.approx(0.005)}
    assert len(layout.compartments) == 3


@pytest.mark.closed_form
def test_a_board_clear_all_round_parts_two_leaking_spaces() -> None:
    """A bulkhead cut small by 5 mm below and above and 4 mm at the sides touches nothing, and is said at all four edges."""
    board = Bulkhead(name="main", at=2.0, thickness=0.012, bottom=0.005, top=0.995, span=(-0.996, 0.996))
    layout = laid_out(bulkheads=(board,))
    assert len(layout.compartments) == 2
    assert sorted(f.measured for f in found(layout) if isinstance(f.measured, float)) == pytest.approx(
        [0.004, 0.004, 0.005, 0.005]
    )


@pytest.mark.example
def test_a_gap_beside_a_panel_that_parts_nothing_is_a_note() -> None:
    """A low bulkhead with an open top, 10 mm short of the side: the spaces are one anyway, but the board is short."""
    layout = laid_out(bulkheads=(Bulkhead(name="low", at=2.0, thickness=0.012, top=0.6, span=(-0.990, None)),))
    (finding,) = found(layout)
    assert (finding.code, finding.severity) == ("short-edge", "note")
    assert "The port edge of low stops 10 mm short of the hull" in in_words(finding)
    assert "joined elsewhere" in in_words(finding)
    assert len(layout.compartments) == 1


@pytest.mark.example
def test_a_free_edge_is_no_gap() -> None:
    """A shelf that ends in the middle of the boat, and a bulkhead that ends well below the deck, are meant so."""
    layout = laid_out(
        bulkheads=(Bulkhead(name="low", at=2.0, thickness=0.012, top=0.6),),
        lids=(Lid(name="shelf", height=0.3, start="low", end=3.0, thickness=0.01),),
    )
    assert layout.findings == ()


@pytest.mark.example
def test_a_lid_that_passes_over_a_low_bulkhead_by_10_mm_leaks() -> None:
    """Neither stops short along its own plane, yet 10 mm of air joins what they part."""
    layout = laid_out(
        bulkheads=(Bulkhead(name="low", at=2.0, thickness=0.012, top=0.3),),
        lids=(Lid(name="lid", height=0.322, start="low", end="transom", thickness=0.012),),
    )
    finding, _ = only_gap(layout)
    assert "The top edge of low stops 10 mm short of lid over 2000 mm" in in_words(finding)
    assert len(layout.compartments) == 2


@pytest.mark.closed_form
def test_a_gap_under_the_deck_is_as_long_as_the_boat_is_wide() -> None:
    """In the parabolic hull a bulkhead 3 mm short of the flat deck gapes by that over the whole beam at its place."""
    layout = laid_out(WIGLEY, bulkheads=(Bulkhead(name="b", at=3.0 - 0.006, thickness=0.012, top=0.497),))
    finding, path = only_gap(layout)
    beam = 2.4 * (1 - (2 * -1.0 / 8) ** 2)
    assert finding.measured == pytest.approx(0.003, abs=1e-9)
    assert path.area == pytest.approx(0.003 * beam, rel=2e-3)


@pytest.mark.example
def test_a_square_edge_on_flare_that_closes_at_one_face_does_not_leak() -> None:
    """Where the side draws in fast, a board cut square to its smaller face gapes at the other: a note, no leak."""
    bow = Bulkhead(name="b", at=1.0, thickness=0.040, span=(None, 0.528))
    layout = laid_out(wigley_form(), bulkheads=(bow,))
    (finding,) = found(layout)
    assert (finding.code, finding.severity) == ("short-edge", "note")
    assert "at one face only; at the other it is closed, so nothing leaks. Bevel the edge to fit." in in_words(finding)
    assert layout.flow_paths == ()
    assert len(layout.compartments) == 2


@pytest.mark.example
def test_a_gap_may_lead_to_several_spaces() -> None:
    """A lid 3 mm short over a partition lets water into the spaces on both of its sides."""
    layout = laid_out(
        bulkheads=(MAIN,),
        lids=(short_lid(0.003),),
        partitions=(Partition(name="mid", off_centre=(0, 0), start="stem", end="main", top="lid", thickness=0.010),),
    )
    high = next(space for space in layout.compartments if "over" in space.name)
    assert sorted(path.between for path in layout.flow_paths) == [
        (high.name, "ahead of main, to port of mid, under lid"),
        (high.name, "ahead of main, to starboard of mid, under lid"),
    ]


@pytest.mark.example
def test_a_gap_beside_a_thin_neighbour_does_not_bite_the_space_beyond_it() -> None:
    """What closes a 3 mm gap reaches 20 mm, through a 9 mm bulkhead; the space behind it keeps its volume."""
    thin = Bulkhead(name="main", at=2.0, thickness=0.009)
    layout = laid_out(bulkheads=(thin,), lids=(short_lid(0.003),))
    assert layout.compartments[-1].volume == pytest.approx(1.991 * 2 * 1, abs=1e-12)


@pytest.mark.closed_form
@settings(max_examples=25, deadline=None)
@given(gap=st.floats(0.004, 0.017), rake=st.floats(-12, 12), slope=st.floats(-6, 6))
def test_a_gap_along_raked_and_sloped_boards_is_found(gap: float, rake: float, slope: float) -> None:
    """Along the lid's own plane, from its square end to the raked face, where they are nearest: at its top or its underside."""
    rise = tan(radians(slope))
    lid = Lid(name="lid", height=0.5, start="fore", end=2.0 - gap, thickness=0.010, slope=slope)
    layout = laid_out(
        bulkheads=(
            Bulkhead(name="fore", at=1.0, thickness=0.012),
            Bulkhead(name="main", at=2.0, at_height=0.5 + rise * 0.988, thickness=0.012, rake=rake),
        ),
        lids=(lid,),
    )
    (finding,) = found(layout)
    assert isinstance(finding.measured, float)
    assert finding.object == "lid"
    r, s = radians(rake), radians(slope)
    below = rise * gap + 0.005 / cos(s)  # from the top at main's zero down to the middle of the square end
    ends = [(gap - side * 0.005 * sin(s), below + side * 0.005 * cos(s)) for side in (-1, 1)]
    widths = [(aft - down * tan(r)) / (cos(s) - sin(s) * tan(r)) for aft, down in ends]
    assert finding.measured == pytest.approx(min(widths), abs=1e-6)


def lapped(apart: float, lap: float, **changes: object) -> tuple[Bulkhead, Bulkhead]:
    """Two half bulkheads, the starboard one abaft the other by `apart`, passing each other by `lap`."""
    port = Bulkhead(name="port half", at=2.0, thickness=0.012, span=(None, lap / 2))
    return port, Bulkhead(name="starboard half", at=2.012 + apart, thickness=0.012, span=(-lap / 2, None), **changes)  # type: ignore[arg-type]


@pytest.mark.closed_form
def test_boards_that_pass_each_other_5_mm_apart_leak() -> None:
    """Neither board's own plane meets the other: the room between their faces is the gap, as wide and long as it is."""
    layout = laid_out(bulkheads=lapped(0.005, 0.100))
    finding, path = only_gap(layout)
    fore, aft = layout.compartments
    assert (fore.open_to, aft.open_to) == ((aft.name,), (fore.name,))
    assert finding.measured == pytest.approx(0.005, abs=1e-9)
    assert finding.at == pytest.approx((2.0145, 0.0, 0.5), abs=1e-6)
    assert "port half and starboard half pass each other 5 mm apart over 1000 mm" in in_words(finding)
    assert path.area == pytest.approx(0.005 * 1.0, abs=1e-8)
    assert abs(layout.residual) < 1e-12


@pytest.mark.property
@settings(max_examples=30, deadline=None)
@given(apart=st.floats(0.0005, 0.0199), lap=st.floats(0.001, 0.6), rake=st.floats(-0.2, 0.2))
def test_boards_that_pass_each_other_never_merge_two_spaces_up_to_the_limit(apart: float, lap: float, rake: float) -> None:
    """However long the lap, and where the two are not quite parallel."""
    narrow = apart + 0.004 > 0.0199
    layout = laid_out(bulkheads=lapped(apart, lap, rake=0.0 if narrow else rake))
    assert len(layout.compartments) == 2
    assert len(found(layout, "gap")) == 1
    assert abs(layout.residual) < 1e-12


@pytest.mark.example
def test_boards_that_pass_each_other_further_apart_than_the_limit_are_one_space() -> None:
    """21 mm from face to face is a way through."""
    assert len(laid_out(bulkheads=lapped(0.021, 0.100)).compartments) == 1


@pytest.mark.closed_form
def test_boards_in_two_planes_that_do_not_quite_meet_gape_aslant() -> None:
    """3 mm apart fore and aft and 4 mm across: 5 mm from edge to edge."""
    finding, path = only_gap(laid_out(bulkheads=lapped(0.003, -0.004)))
    assert finding.measured == pytest.approx(0.005, abs=1e-9)
    assert path.area == pytest.approx(0.005 * 1.0, abs=1e-8)
    assert finding.at == pytest.approx((2.0135, 0.0, 0.5), abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize("lid", [False, True], ids=["clear", "a lid's edge before it"])
@pytest.mark.parametrize("aside", [0.0, 0.002, 0.0047])
def test_a_gap_between_partitions_not_quite_in_line_is_told_once(aside: float, lid: bool) -> None:
    """18 mm between two ends, from the keel to the deck 1 m up: one path, less what a lid 10 mm thick stands before."""
    webs = (
        Partition(name="a", off_centre=(0.0, 0.0), start="stem", end=2.0, thickness=0.006),
        Partition(name="b", off_centre=(aside, aside), start=2.018, end="transom", thickness=0.006),
    )
    lids = (Lid(name="lid", height=0.5, start=1.8, end=2.2, span=(None, -0.003), thickness=0.010),) if lid else ()
    finding, path = only_gap(laid_out(partitions=webs, lids=lids))
    assert (finding.measured, finding.values["beyond"]) == (pytest.approx(0.018, abs=1e-9), "b")
    assert path.area == pytest.approx(0.018 * (0.990 if lid else 1.0), abs=1e-8)


@pytest.mark.closed_form
def test_lids_that_pass_each_other_leak() -> None:
    """The after lid 8 mm over the fore one, 60 mm lap, over the whole beam."""
    fore = Lid(name="fore lid", height=0.400, start="stem", end=2.03, thickness=0.012)
    aft = Lid(name="after lid", height=0.420, start=1.97, end="transom", thickness=0.012)
    layout = laid_out(lids=(fore, aft))
    finding, path = only_gap(layout)
    assert finding.measured == pytest.approx(0.008, abs=1e-9)
    assert path.area == pytest.approx(0.008 * 2.0, abs=1e-8)
    assert len(layout.compartments) == 2


@pytest.mark.closed_form
def test_a_gap_and_two_names_in_one_space_are_both_reported() -> None:
    """A bulkhead 15 mm short of the top, and ahead of it two names where nothing parts them: neither hides the other."""
    short = Bulkhead(name="d", at=2.0, thickness=0.020, top=0.985)
    names = (NamedSpace(name="A", at=(0.5, 0.0, 0.5)), NamedSpace(name="B", at=(1.5, 0.0, 0.5)))
    gap, shared = found(laid_out(bulkheads=(short,), compartments=names), "gap", "names-in-one-space")
    by_code = {finding.code: finding for finding in (gap, shared)}
    assert by_code["gap"].measured == pytest.approx(0.015, abs=1e-9)
    assert "A and B are one space: no panel parts the one from the other" in in_words(by_code["names-in-one-space"])
