"""Points to mark a board out by, of outlines whose curves are known."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st
from pattern_specimens import OUTLINE, board

from sketcher.analysis.cut.boards.marking_out import MISS, MarkedFace, marked_faces
from sketcher.analysis.cut.results import Cutout


def faces_of(outline: shapely.Polygon, **other: object) -> tuple[MarkedFace, ...]:
    return marked_faces(replace(board(), outline=outline, other_outline=outline, cutouts=(), **other))


@pytest.mark.property
@given(st.floats(0.3, 4.0), st.floats(0.02, 0.25))
def test_straight_lines_between_the_points_follow_a_curve(half: float, sag: float) -> None:
    """A board whose lower edge is a parabola: the chords lie within half a millimetre of it, at even places along it."""
    x = np.linspace(-half, half, 801)
    hollow = sag * half
    curve = np.stack([x, hollow * (x / half) ** 2], axis=1)
    (face,) = faces_of(shapely.Polygon([*curve, (half, hollow + 0.2), (-half, hollow + 0.2)]))
    marked = shapely.LinearRing([point.at for point in face.points])
    assert shapely.distance(marked, shapely.points(curve)).max() <= MISS + 1e-9
    between = [point.at for point in face.points if not point.letter]
    assert all(at[1] == pytest.approx(hollow * (at[0] / half) ** 2, abs=1e-4) for at in between)
    if hollow < 0.2 * half:
        # Near-level all along, so that the even places are to the right.
        assert all(abs(at[0] / 0.001 - round(at[0] / 0.001)) < 1e-6 for at in between)


@pytest.mark.closed_form
def test_a_curve_that_bends_more_has_more_points() -> None:
    """Along an arc of radius r a chord that misses it by d is the root of 8 r d long; even places make it no longer than that."""
    counts = []
    for radius in (0.4, 4.0):
        turn = np.linspace(0.0, 0.5 / radius, 400) - 0.25 / radius
        arc = np.stack([radius * np.sin(turn), radius * (1 - np.cos(turn))], axis=1)
        (face,) = faces_of(shapely.Polygon([*arc, (0.3, 0.5), (-0.3, 0.5)]))
        counts.append(sum(not point.letter for point in face.points))
        assert counts[-1] >= 0.5 / np.sqrt(8 * radius * MISS) - 2
    assert counts[0] > 2 * counts[1]


@pytest.mark.closed_form
def test_an_opening_is_told_by_centre_size_and_its_distance_from_two_edges() -> None:
    """100 x 80 mm about (0, 140) in a taper of half-breadth 200 + height / 3: 247 mm from either side, 140 from below."""
    (opening,) = marked_faces(board())[0].openings
    assert (opening.name, opening.shape, opening.radius, opening.turned) == ("port", "square", 0.0, 0.0)
    assert (*opening.centre, *opening.size) == pytest.approx((0.0, 0.14, 0.1, 0.08), abs=1e-9)
    assert dict(opening.to_edges)["below"] == pytest.approx(0.14)
    assert [run for way, run in opening.to_edges if way != "below"] == pytest.approx([0.2 + 0.14 / 3])


@pytest.mark.closed_form
@pytest.mark.parametrize("turned", [0.0, 20.0, -35.0])
def test_openings_of_every_shape(turned: float) -> None:
    """A circle, a turned square with round corners, and an L that is neither and comes with points of its own."""
    square = shapely.affinity.rotate(shapely.box(-0.03, 0.12, 0.03, 0.16).buffer(0.02, quad_segs=16), turned, origin="centroid")
    circle = shapely.Point(-0.15, 0.2).buffer(0.03, quad_segs=32)
    ell = shapely.Polygon([(0.12, 0.2), (0.2, 0.2), (0.2, 0.22), (0.14, 0.22), (0.14, 0.25), (0.12, 0.25)])
    holes = {"round": circle, "square": square, "other": ell}
    cutouts = tuple(Cutout(name=name, kind="opening", outline=hole, radius=0.02) for name, hole in holes.items())
    outline = OUTLINE.difference(shapely.union_all(list(holes.values())))
    faces = marked_faces(replace(board(), outline=outline, other_outline=outline, cutouts=cutouts))
    found = {opening.name: opening for opening in faces[0].openings}
    assert {name: opening.shape for name, opening in found.items()} == {name: name for name in holes}
    assert found["round"].size[0] == pytest.approx(0.06, abs=1e-6)
    assert (*found["square"].centre, *found["square"].size) == pytest.approx((0.0, 0.14, 0.1, 0.08), abs=1e-6)
    assert found["square"].turned == pytest.approx(turned, abs=1e-3)
    assert [point.letter for point in found["other"].points] == list("ABCDEF")


@pytest.mark.example
def test_the_other_face_s_corners_have_the_letters_of_those_they_lie_behind() -> None:
    """The right edge of the face behind is 10 mm shorter: b and c lie 10 mm to the left of B and C."""
    drawn, other = marked_faces(board())
    assert [point.letter for point in drawn.points] == ["A", "B", "C", "D"]
    assert [point.letter for point in other.points] == ["a", "b", "c", "d"]
    assert [point.at for point in other.points] == [(-0.2, 0.0), (0.19, 0.0), (0.29, 0.3), (-0.3, 0.3)]


@pytest.mark.example
def test_figures_fall_on_the_strokes_of_the_owner_s_tape() -> None:
    """Even places in whole inches, and parts of them, for a boat measured in inches."""
    x = np.linspace(-0.5, 0.5, 801)
    outline = shapely.Polygon([*np.stack([x, 0.2 * x**2], axis=1), (0.5, 0.4), (-0.5, 0.4)])
    (face,) = marked_faces(replace(board(), outline=outline, other_outline=outline, cutouts=()), 0.050, "in")
    inches = [point.at[0] / 0.0254 for point in face.points if not point.letter]
    assert len(inches) > 8
    assert inches == pytest.approx(np.round(inches).tolist(), abs=1e-9)
