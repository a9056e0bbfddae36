"""Compartments: what panels leave of the inside, each closed, named and counted once."""

import re
from dataclasses import replace

import numpy as np
import pytest
from shapes import box, tube
from specimens import box_form, form_of, layout_scene, wigley_form

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import DECK, OPEN_END, SKIN, HullForm
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.boolean_cuts import hull_solid
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.misplaced_panels import volumes_missing
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.solid.boolean import connected
from sketcher.geometry.tolerances import INTO_NEIGHBOUR
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Opening, Partition, Scene
from sketcher.outputs.wording.sentences import message as in_words

BOX = box_form()
"""4 m long, 2 m wide, 1 m deep, keel at height 0."""
MAIN = Bulkhead(name="main", at=2.0, thickness=0.012)


def laid_out(form: HullForm = BOX, **blocks: object) -> Layout:
    return lay_out(layout_scene(form, **blocks), form)


def found(layout: Layout, code: str) -> list[Finding]:
    return [finding for finding in layout.findings if finding.code == code]


@pytest.mark.closed_form
def test_an_empty_hull_is_one_compartment() -> None:
    """Without a panel the whole inside is one space."""
    whole = laid_out().compartments
    assert [(space.name, space.volume, space.bounds) for space in whole] == [("whole inside", pytest.approx(8.0), ())]


@pytest.mark.closed_form
def test_a_box_divided_by_a_bulkhead_and_a_lid() -> None:
    """Three spaces, each a box between the faces of hull and panels, with its middle where a box has it."""
    layout = laid_out(bulkheads=(MAIN,), lids=(Lid(name="lid", height=0.5, start="stem", end="main", thickness=0.010),))
    expected = [(2.0 * 2 * 0.49, (1.0, 0, 0.245)), (2.0 * 2 * 0.5, (1.0, 0, 0.75)), (1.988 * 2 * 1, (3.006, 0, 0.5))]
    assert len(layout.compartments) == 3
    for space, (volume, middle) in zip(layout.compartments, expected, strict=True):
        assert space.volume == pytest.approx(volume, abs=1e-12)
        assert space.centroid == pytest.approx(middle, abs=1e-12)
    assert layout.findings == ()


@pytest.mark.closed_form
@pytest.mark.parametrize(("share", "ahead"), [(0.15, 0.060750), (0.30, 0.216000)])
def test_the_space_ahead_of_a_bulkhead_in_a_parabolic_hull(share: float, ahead: float) -> None:
    """Wigley's hull, y = (B/2)(1-(2x/L)^2)(1-(z/T)^2): 1/2 - (3/2)s + 2 s^3 of it lies ahead of s = x/L from midship.

    The share is by the closed form; the mesh's own volume, 0.01 % small, scales it.
    """
    form = wigley_form(columns=161)
    forward = laid_out(form, bulkheads=(Bulkhead(name="collision", at=8.0 * share, thickness=0.018),)).compartments[0]
    assert forward.volume / form.inside.volume == pytest.approx(ahead, rel=2e-4)


@pytest.mark.closed_form
def test_volumes_add_up_to_the_hull() -> None:
    """Spaces, boards, gaps and slivers make up the inside, the boards measured one by one."""
    layout = laid_out(
        wigley_form(columns=60, rows=30),
        bulkheads=(Bulkhead(name="a", at=2.0, thickness=0.02, rake=8), Bulkhead(name="b", at=5.0, thickness=0.02, angle=5)),
        lids=(Lid(name="lid", height=0.3, start="a", end="b", thickness=0.01, slope=2, slope_across=3),),
        partitions=(Partition(name="p", off_centre=(0.1, 0.3), start="b", end="transom", thickness=0.01, lean=6),),
    )
    spaces = sum(space.volume for space in layout.compartments)
    boards = sum(shape.volume for shape in layout.panels)
    assert boards == pytest.approx(layout.panel_volume, abs=1e-12)
    assert spaces + boards + layout.gap_volume + layout.sliver_volume == pytest.approx(layout.inside_volume, abs=1e-12)
    assert abs(layout.residual) < 1e-12


@pytest.mark.property
@pytest.mark.parametrize("missing", [1.1e-6, -1.1e-6, 1e-3, -0.5])
def test_volumes_that_do_not_add_up_are_told_with_the_two_panels_nearest_to_one_plane(missing: float) -> None:
    """Whatever is missing or too much from a millilitre on; the layout itself is still shown."""
    near = Lid(name="near", height=0.5, start="stem", end="transom", thickness=0.010)
    lids = (near, Lid(name="far", height=0.8, start="stem", end="transom", thickness=0.010))
    shapes = laid_out(lids=(*lids, Lid(name="next", height=0.5005, start=2.0, end="transom", thickness=0.010))).panels
    (finding,) = volumes_missing(shapes, missing, 8.0)
    assert (finding.code, finding.severity, finding.object) == ("volumes-do-not-add-up", "stop", "near")
    assert finding.values["panels"] == ("near", "next")
    assert "near and next lie nearest to one plane" in in_words(finding)


@pytest.mark.property
@pytest.mark.parametrize("missing", [0.0, 1.77e-8, -9e-7])
def test_rounding_in_the_sum_of_volumes_stops_nobody(missing: float) -> None:
    """Less than a millilitre of eight cubic metres is shown nowhere."""
    assert volumes_missing((), missing, 8.0) == []


@pytest.mark.example
def test_faces_know_what_they_belong_to() -> None:
    """Skin, deck and each panel by its number: the areas on a box-shaped space are those of its sides."""
    layout = laid_out(bulkheads=(MAIN,))
    forward = layout.compartments[0].mesh
    a, b, c = forward.vertices[forward.triangles.T]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2
    by_owner = {int(k): float(area[forward.labels == k].sum()) for k in np.unique(forward.labels)}
    assert by_owner == {SKIN: pytest.approx(2 * 2 + 2 * 1 + 2 * 2 * 1), DECK: pytest.approx(4.0), 10: pytest.approx(2.0)}


@pytest.mark.example
def test_a_space_that_runs_out_of_an_open_end_is_not_bounded() -> None:
    """Only the space behind the bulkhead reaches where the boat was not measured; it cannot be called tight."""
    closed = BOX.inside
    at_end = np.isclose(closed.vertices[closed.triangles][:, :, 0].min(axis=1), 4.0)
    form = form_of(closed)
    inside = TriMesh(closed.vertices, closed.triangles, np.where(at_end, OPEN_END, form.inside.labels))
    object.__setattr__(form, "inside", inside)
    spaces = laid_out(form, bulkheads=(MAIN,)).compartments
    assert [(space.bounded, space.watertight) for space in spaces] == [(True, True), (False, False)]


@pytest.mark.closed_form
def test_a_panel_clear_all_round_is_a_hollow_in_its_space() -> None:
    """A board that touches nothing takes its volume from the one space round it."""
    board = Bulkhead(name="board", at=2.0, thickness=0.02, bottom=0.3, top=0.7, span=(-0.5, 0.5))
    layout = laid_out(bulkheads=(board,))
    assert [space.volume for space in layout.compartments] == [pytest.approx(8.0 - 0.02 * 0.4 * 1.0, abs=1e-12)]


@pytest.mark.closed_form
def test_a_box_within_a_space_is_a_compartment_of_its_own() -> None:
    """Four walls, a floor and a lid away from the hull: the space round them is hollow, the space within is found."""
    walls = {"thickness": 0.01, "bottom": "floor", "top": "lid"}
    layout = laid_out(
        bulkheads=(
            Bulkhead(name="fore", at=1.5, span=(-0.505, 0.505), **walls),  # type: ignore[arg-type]
            Bulkhead(name="aft", at=2.5, span=(-0.505, 0.505), **walls),  # type: ignore[arg-type]
        ),
        partitions=(
            Partition(name="port", off_centre=(-0.5, -0.5), start="fore", end="aft", **walls),  # type: ignore[arg-type]
            Partition(name="starboard", off_centre=(0.5, 0.5), start="fore", end="aft", **walls),  # type: ignore[arg-type]
        ),
        lids=(
            Lid(name="floor", height=0.3, start=1.49, end=2.52, span=(-0.52, 0.52), thickness=0.01),
            Lid(name="lid", height=0.71, start=1.49, end=2.52, span=(-0.52, 0.52), thickness=0.01),
        ),
    )
    within = 0.99 * 0.99 * 0.40
    board = (1.03 * 1.04 * 0.02) + (1.01 * 1.01 - 0.99 * 0.99) * 0.40
    assert sorted(space.volume for space in layout.compartments) == [
        pytest.approx(within, abs=1e-12),
        pytest.approx(8.0 - within - board, abs=1e-12),
    ]


@pytest.mark.property
@pytest.mark.parametrize("thickness", [0.012, 1e-3, 1e-4, 1e-5])
def test_thin_boards_divide_as_thick_ones_do(thickness: float) -> None:
    """From 12 mm down to a hundredth of a millimetre the count and the adjoining pairs are the same."""
    layout = laid_out(
        wigley_form(columns=60, rows=30),
        bulkheads=(Bulkhead(name="a", at=2.0, thickness=thickness, rake=4), Bulkhead(name="b", at=5.0, thickness=thickness)),
        lids=(Lid(name="lid", height=0.3, start="a", end="b", thickness=thickness, slope=1),),
        partitions=(Partition(name="p", off_centre=(0.05, 0.0), start="a", end="b", bottom="lid", thickness=thickness),),
    )
    assert len(layout.compartments) == 5
    assert len(layout.adjoining) == 6 + 3  # each of three with the space ahead and abaft, and with one another
    assert layout.findings == ()


@pytest.mark.closed_form
def test_an_edge_stated_to_touch_closes() -> None:
    """A lid that ends in numbers exactly at a bulkhead's face and a partition's is as tight as one tied to them."""
    tied = laid_out(
        bulkheads=(MAIN,),
        partitions=(Partition(name="side", off_centre=(0.5, 0.5), start="stem", end="main", thickness=0.010),),
        lids=(Lid(name="lid", height=0.5, start="stem", end="main", span=(None, "side"), thickness=0.010),),
    )
    stated = laid_out(
        bulkheads=(MAIN,),
        partitions=(Partition(name="side", off_centre=(0.5, 0.5), start="stem", end=2.0, thickness=0.010),),
        lids=(Lid(name="lid", height=0.5, start="stem", end=2.0, span=(None, 0.495), thickness=0.010),),
    )
    assert [space.volume for space in stated.compartments] == [pytest.approx(space.volume) for space in tied.compartments]
    assert stated.findings == ()


@pytest.mark.example
def test_adjoining_spaces_share_a_face() -> None:
    """Over and under the lid, and either with what lies behind the bulkhead; not two that only meet at a corner."""
    layout = laid_out(
        bulkheads=(MAIN,),
        partitions=(Partition(name="mid", off_centre=(0, 0), start="main", end="transom", thickness=0.010),),
        lids=(Lid(name="lid", height=0.5, start="stem", end="main", thickness=0.010),),
        compartments=tuple(
            NamedSpace(name=name, at=at)
            for name, at in (("low", (1, 0, 0.2)), ("high", (1, 0, 0.8)), ("port", (3, -0.5, 0.5)), ("starboard", (3, 0.5, 0.5)))
        ),
    )
    assert layout.adjoining == (
        ("high", "low"), ("high", "port"), ("high", "starboard"), ("low", "port"), ("low", "starboard"), ("port", "starboard"),
    )  # fmt: skip


@pytest.mark.example
def test_spaces_on_two_sides_of_a_board_that_do_not_face_each_other_do_not_adjoin() -> None:
    """A lid ahead of the bulkhead at 0.7 m and one behind it at 0.3 m: low ahead and high behind share a face, high ahead and
    low behind do not."""
    layout = laid_out(
        bulkheads=(MAIN,),
        lids=(
            Lid(name="upper", height=0.7, start="stem", end="main", thickness=0.010),
            Lid(name="lower", height=0.3, start="main", end="transom", thickness=0.010),
        ),
        compartments=tuple(
            NamedSpace(name=name, at=at)
            for name, at in (
                ("low ahead", (1, 0, 0.2)),
                ("high ahead", (1, 0, 0.9)),
                ("low aft", (3, 0, 0.1)),
                ("high aft", (3, 0, 0.9)),
            )
        ),
    )
    assert ("high aft", "low ahead") in layout.adjoining
    assert ("high ahead", "low aft") not in layout.adjoining


@pytest.mark.example
def test_a_sliver_is_reported_and_is_no_compartment() -> None:
    """A bulkhead 0.5 mm behind another under a lid leaves 40 ml: said, counted apart, and in the sum."""
    layout = laid_out(
        bulkheads=(MAIN, Bulkhead(name="double", at=2.0125, thickness=0.012, top="lid")),
        lids=(Lid(name="lid", height=0.05, start="main", end="transom", thickness=0.010),),
    )
    assert layout.sliver_volume == pytest.approx(0.0005 * 2 * 0.04, abs=1e-12)
    assert len(layout.compartments) == 3
    (sliver,) = found(layout, "sliver")
    assert "only 40 ml round 2012 mm aft" in in_words(sliver)


@pytest.mark.example
def test_two_panels_in_one_place_are_reported() -> None:
    """Two boards that share most of their room stop the work; a crossing does not."""
    crossing = Partition(name="side", off_centre=(0.5, 0.5), start="stem", end="transom", thickness=0.012)
    layout = laid_out(bulkheads=(MAIN, Bulkhead(name="second", at=2.003, thickness=0.012)), partitions=(crossing,))
    (finding,) = found(layout, "panels-in-one-place")
    assert finding.severity == "stop"
    assert "main and second are in one place: they share 18.0 litres" in in_words(finding)


@pytest.mark.property
@pytest.mark.parametrize(
    ("panel", "words"),
    [
        (Bulkhead(name="x", at=-0.3, thickness=0.01), "forward face is at -300 mm.*Move it aft by more than 300 mm"),
        (Bulkhead(name="x", at=4.05, thickness=0.01), "forward face is at 4050 mm.*Move it forward by more than 50 mm"),
        (
            Lid(name="x", height=-0.2, start="stem", end="transom", thickness=0.01),
            "top is at -200 mm.*Move it up by more than 200 mm",
        ),
        (
            Partition(name="x", off_centre=(1.5, 1.5), start="stem", end="transom", thickness=0.01),
            "Move it to port by more than 500 mm",
        ),
    ],
)
def test_a_panel_outside_the_hull_is_reported(panel: Bulkhead | Partition | Lid, words: str) -> None:
    """With where it is, where the hull is, and how far to move it."""
    block = {Bulkhead: "bulkheads", Partition: "partitions", Lid: "lids"}[type(panel)]
    (finding,) = found(laid_out(**{block: (panel,)}), "panel-outside-hull")
    assert finding.severity == "stop"
    assert re.search(words, in_words(finding))


@pytest.mark.example
def test_a_panel_whose_limits_cross_is_reported() -> None:
    """From a bulkhead to one ahead of it: nothing is left."""
    lid = Lid(name="lid", height=0.5, start="main", end="fore", thickness=0.01)
    layout = laid_out(bulkheads=(MAIN, Bulkhead(name="fore", at=1.0, thickness=0.012)), lids=(lid,))
    (finding,) = found(layout, "panel-nothing-left")
    assert "Nothing is left of lid: its limits meet or cross" in in_words(finding)
    assert "from and to (main and fore)" in in_words(finding)


@pytest.mark.property
@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"built": "planned"}, "carries the mast and keel and is newly placed or moved"),
        ({"built": "removed"}, "is taken out"),
    ],
)
def test_a_panel_that_carries_a_load_stops_the_work(changes: dict[str, str], words: str) -> None:
    """Moved or taken out: ask a designer."""
    main = Bulkhead(name="main", at=2.0, thickness=0.012, carries=("mast", "keel"), **changes)  # type: ignore[arg-type]
    (finding,) = found(laid_out(bulkheads=(main,)), "panel-carries-load")
    assert finding.severity == "stop"
    assert words in in_words(finding)
    assert "ask a designer" in in_words(finding)


@pytest.mark.example
def test_a_hole_in_a_panel_that_carries_a_load_stops_the_work() -> None:
    """An existing bulkhead that stays where it is may be left alone, but not cut."""
    main = Bulkhead(name="main", at=2.0, thickness=0.012, carries=("chainplates",), built="already")
    assert found(laid_out(bulkheads=(main,)), "panel-carries-load") == []
    hole = Opening(name="door", through="main", at=(0, 0.5), size=(0.4, 0.6))
    (finding,) = found(laid_out(bulkheads=(main,), openings=(hole,)), "panel-carries-load")
    assert "is cut by door" in in_words(finding)
    there = replace(hole, built="already")
    assert found(laid_out(bulkheads=(main,), openings=(there,)), "panel-carries-load") == []


@pytest.mark.example
def test_a_tie_to_a_panel_that_was_taken_out_is_reported() -> None:
    """The lid ends in the open where the bulkhead stood."""
    old = Bulkhead(name="old", at=2.0, thickness=0.012, built="removed")
    layout = laid_out(bulkheads=(old,), lids=(Lid(name="lid", height=0.5, start="stem", end="old", thickness=0.01),))
    assert len(layout.compartments) == 1
    (finding,) = found(layout, "tied-to-removed")
    assert finding.object == "lid"


@pytest.mark.example
def test_the_order_of_a_file_does_not_change_a_figure() -> None:
    """Panels written in another order give the same spaces to the last bit."""
    form = wigley_form(columns=60, rows=30)
    panels = (
        Bulkhead(name="a", at=2.0, thickness=0.02, rake=8),
        Bulkhead(name="b", at=5.0, thickness=0.02, angle=5),
        Bulkhead(name="c", at=6.0, thickness=0.02),
    )
    one, other = laid_out(form, bulkheads=panels), laid_out(form, bulkheads=panels[::-1])
    assert [(s.name, s.volume, s.centroid) for s in one.compartments] == [
        (s.name, s.volume, s.centroid) for s in other.compartments
    ]


@pytest.mark.example
def test_a_hull_that_is_not_closed_is_refused() -> None:
    """A surface with a hole has no inside."""
    mesh = box((0, -1, 0), (4, 1, 1))
    form = form_of(TriMesh(mesh.vertices, mesh.triangles[1:], mesh.labels[1:]))
    with pytest.raises(GeometryError, match="the inside of the hull is not a closed solid"):
        hull_solid(form).solid  # noqa: B018


@pytest.mark.example
def test_connected_pieces_are_told_apart_whatever_their_order() -> None:
    """A long chain of triangles numbered backwards is one piece, two chains are two."""

    def chain(count: int) -> tuple[Floats, Ints]:
        ring = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
        rings = np.stack([np.column_stack([np.full(3, x), ring]) for x in np.arange(count)[::-1]])
        mesh = tube(rings[::-1])
        return mesh.vertices, mesh.triangles[::-1]

    (_, long), (_, short) = chain(200), chain(50)
    both = np.concatenate([long, short + 600])
    piece = connected(both, 750)
    assert len(np.unique(piece[: len(long)])) == 1
    assert len(np.unique(piece)) == 2


@pytest.mark.example
@pytest.mark.slow
def test_five_hundred_panels_are_laid_out() -> None:
    """As many as anyone will ever write, and each counted."""
    bulkheads = tuple(Bulkhead(name=f"b{k:03}", at=0.004 + 0.0079 * k, thickness=0.001) for k in range(500))
    scene: Scene = layout_scene(BOX, bulkheads=bulkheads)
    layout = lay_out(scene, BOX)
    assert len(layout.compartments) == 501
    assert layout.panel_volume == pytest.approx(500 * 0.001 * 2, abs=1e-12)


@pytest.mark.closed_form
def test_a_tie_that_stands_over_its_neighbour_takes_a_micrometre() -> None:
    """A lid tied to a low bulkhead goes that far beyond its face above it too, and no further."""
    low = Bulkhead(name="low", at=2.0, thickness=0.012, top=0.3)
    lid = Lid(name="lid", height=0.5, start="low", end="transom", thickness=0.010)
    layout = laid_out(bulkheads=(low,), lids=(lid,))
    assert layout.panel_volume - 0.012 * 2 * 0.3 == pytest.approx((1.988 + INTO_NEIGHBOUR) * 2 * 0.010, abs=1e-14)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("blocks", "volumes"),
    [
        ({"lids": (Lid(name="l", height=1.0, start="stem", end="transom", thickness=0.01),)}, [7.92]),
        ({"lids": (Lid(name="l", height=0.01, start="stem", end="transom", thickness=0.01),)}, [7.92]),
        ({"bulkheads": (Bulkhead(name="b", at=0.0, thickness=0.01),)}, [7.98]),
        ({"bulkheads": (Bulkhead(name="b", at=3.99, thickness=0.01),)}, [7.98]),
        ({"bulkheads": (Bulkhead(name="b", at=2.0, thickness=0.01), Bulkhead(name="c", at=2.01, thickness=0.01))}, [4.0, 3.96]),
        ({"partitions": (Partition(name="p", off_centre=(0.995, 0.995), start="stem", end="transom", thickness=0.01),)}, [7.96]),
    ],
)
def test_a_board_flush_with_deck_hull_or_another_board_leaves_no_sliver(blocks: dict[str, object], volumes: list[float]) -> None:
    """Faces in one plane have no room between them, and none is reported."""
    layout = laid_out(**blocks)
    assert [space.volume for space in layout.compartments] == [pytest.approx(volume, abs=1e-12) for volume in volumes]
    assert layout.findings == ()
    assert layout.sliver_volume == 0.0
