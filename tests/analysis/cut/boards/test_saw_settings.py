"""Saw settings round a board whose right edge leans, and what no saw cuts."""

from dataclasses import replace

import pytest
import shapely
from pattern_specimens import board

from sketcher.analysis.cut.boards.saw_settings import edge_cautions, narrow_corners, saw_stretches
from sketcher.analysis.cut.results import Bevel, Cutout, Pattern
from sketcher.outputs.paper.booklet_marking import saw_rows
from sketcher.outputs.wording.sentences import words


def leaning(*angles: float, to: str = "hull") -> Pattern:
    """The board whose right edge, from B (200, 0) to C (300, 300), leans so at places as far apart as each other."""
    steps = [k / (len(angles) - 1) for k in range(len(angles))]
    bevels = tuple(
        Bevel(at=(0.2 + 0.1 * k, 0.3 * k), along=k, angle=angle, against=to, edge="hull")
        for k, angle in zip(steps, angles, strict=True)
    )
    return replace(board(), bevels=bevels, marks=())


@pytest.mark.example
def test_settings_go_round_the_edge_from_corner_to_corner() -> None:
    """Square from A to B; at +19 to +20 up to half-way and then at +37, the drawn face up; square back to A."""
    pattern = leaning(19.0, 20.4, 37.0)
    assert saw_rows(pattern, saw_stretches(pattern), "mm") == [
        ["A", "B", "0", "either", "90", "nothing"],
        ["B", "300, 300", "19 to 20", "after", "71 to 70", "hull"],
        ["300, 300", "C", "37", "after", "53", "hull"],
        ["C", "A", "0", "either", "90", "nothing"],
    ]


@pytest.mark.example
def test_the_longer_face_is_up() -> None:
    """Where the drawn face is the shorter, its line lies under the board: the other face goes up."""
    pattern = leaning(*[-19.0] * 5)
    assert saw_rows(pattern, saw_stretches(pattern), "mm")[1] == ["B", "C", "19", "forward", "109", "hull"]


@pytest.mark.example
def test_notches_and_joints_stand_in_their_order() -> None:
    """A notch of 40 by 60 mm in the upper edge stands between C and D, from corner to corner of it, with its rounds."""
    notch = shapely.box(-0.02, 0.24, 0.02, 0.4).buffer(-0.005, quad_segs=16).buffer(0.005, quad_segs=16)
    whole = leaning(*[10.0] * 5)
    pattern = replace(
        whole,
        outline=whole.outline.difference(notch),
        cutouts=(*whole.cutouts, Cutout(name="bearer", kind="notch", outline=notch, radius=0.005)),
    )
    assert [row[5] for row in saw_rows(pattern, saw_stretches(pattern), "mm")] == [
        "nothing",
        "hull",
        "nothing",
        "bearer, inner corners round 5",
        "nothing",
    ]


@pytest.mark.example
def test_an_edge_past_what_saws_tilt_to_is_planed() -> None:
    """45 degrees is sawn; 52 is not, and 63 leaves a corner of 27 degrees that no fillet fills."""
    said = {}
    for angle in (45.0, 52.0, 63.0):
        pattern = leaning(*[angle] * 5)
        stretches = saw_stretches(pattern)
        said[angle] = ([words(each) for each in edge_cautions(pattern, stretches)], saw_rows(pattern, stretches, "mm")[1][2])
    assert said[45.0] == ([], "45")
    (past,), blade = said[52.0]
    assert blade == "square, then plane"
    assert past.startswith("From B to C the edge leans 52° off square, and saws tilt to 45°.")
    assert "square on the after face's line, then plane it down to the forward face's" in past
    _, narrow = said[63.0][0]
    assert narrow.startswith("From B to C the corner between the forward face and the hull is 27°")


@pytest.mark.closed_form
@pytest.mark.parametrize(("high", "told"), [(0.5, True), (0.6, False)])
def test_a_corner_narrower_than_thirty_degrees_is_told(high: float, told: bool) -> None:
    """A right-angled board 1 m long: its tip's tangent is its height; tan 30 is 0.577."""
    tip = shapely.Polygon([(0.0, 0.0), (1.0, 0.0), (0.0, high)])
    pattern = replace(board(), outline=tip, other_outline=tip, cutouts=(), bevels=(), marks=())
    assert ([letter for letter, _ in narrow_corners(pattern)] == ["B"]) == told
    assert any("Corner B is 27°" in words(each) for each in edge_cautions(pattern, ())) == told


@pytest.mark.example
def test_where_an_edge_turns_faster_than_a_saw_is_set_it_is_planed() -> None:
    """From 19 to 28 degrees in steps of 20 mm: one stretch, sawn at 19 and planed; a short rest joins what is alike."""
    place = {at: (0.2 + 0.1 * at, 0.3 * at) for at in (0.0, 0.3, 0.4, 0.46, 0.52, 0.58, 0.8, 1.0)}
    angles = dict(zip(place, (14.0, 14.0, 19.0, 23.0, 28.0, 32.0, 37.0, 37.0), strict=True))
    bevels = tuple(Bevel(at=at, along=k, angle=angles[k], against="hull", edge="hull") for k, at in place.items())
    rows = saw_rows(pattern := replace(board(), bevels=bevels, marks=()), saw_stretches(pattern), "mm")[1:-1]
    assert [row[2] for row in rows] == ["14", "19, then plane", "32", "37"]
    assert rows[1][4] == "71 to 62"
    near = {0.0: 14.0, 0.5: 14.0, 0.95: 17.0, 1.0: 17.0}
    bevels = tuple(
        Bevel(at=(0.2 + 0.1 * k, 0.3 * k), along=k, angle=angle, against="hull", edge="hull") for k, angle in near.items()
    )
    rows = saw_rows(pattern := replace(board(), bevels=bevels, marks=()), saw_stretches(pattern), "mm")[1:-1]
    assert [row[:3] for row in rows] == [["B", "C", "14 to 17"]]
