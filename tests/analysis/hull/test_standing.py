"""How a boat stood while she was measured, by marks that are level when she floats, and heights from any reference."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy.spatial.transform import Rotation
from tape_trials import demo_hull

from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.hull.standing import own_axes, standing_of
from sketcher.model.errors import SketchError
from sketcher.model.hull import Appendage, Cockpit, Hull, Point3, Station, with_heights_up
from sketcher.outputs.wording.sentences import message as in_words

LENGTH, BOTTOM, SHEER = 6.0, 0.3, 1.4
MARKS = ((0.5, 0.0, 0.8), (5.5, 0.9, 0.8), (5.2, -0.85, 0.8))
"""Of the wedge below: a mark at the stem and two on her quarters, all 800 mm up when she floats as she should."""
TILTS = [(1.3, 0.0), (0.0, 1.3), (-2.0, 0.7), (3.0, -1.5)]


def _half_breadth(x: float) -> float:
    return 0.2 + 0.15 * x


def stood(point: Point3, trim: float, heel: float) -> Point3:
    """Where a place of the boat was while she stood: heeled to starboard about her length, then trimmed by the bow (scipy)."""
    x, y, z = Rotation.from_euler("xy", [-heel, -trim], degrees=True).apply(point)
    return (float(x), 0.0 if point[1] == 0.0 else float(y), float(z))


def wedge(trim: float, heel: float) -> Hull:
    """A box that widens aft, upright sides and a flat bottom, measured in plumb planes while she stands tilted."""
    lines = [((0.0, 0.0), BOTTOM), ((0.2, 0.15), BOTTOM), ((0.2, 0.15), SHEER)]
    stations = []
    for at in np.linspace(0.2, LENGTH, 5):
        points = []
        for (base, slope), height in lines:
            x = float(at)
            for _ in range(50):
                place = stood((x, base + slope * x, height), trim, heel)
                x += float(at) - place[0]
            points.append(place[1:])
        stations.append(Station(at=float(at), points=tuple(points), knuckles=(2,)))
    marks = tuple(stood(mark, trim, heel) for mark in MARKS)
    return Hull(
        name="wedge", units="mm", stations=tuple(stations), between_stations="straight", between_points="straight", level=marks
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(("trim", "heel"), TILTS)
def test_three_marks_tell_how_she_stood(trim: float, heel: float) -> None:
    """Turned by scipy's rotation and told by the marks alone: the same trim and heel to a millionth of a degree."""
    found = standing_of(wedge(trim, heel))
    assert (found.trim, found.heel, found.apart) == pytest.approx((trim, heel, 0.0), abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize(("trim", "heel"), TILTS)
def test_a_wedge_measured_out_of_level_comes_back(trim: float, heel: float) -> None:
    """Her sections are the rectangles that she was made of, within 0.5 mm (measured: 1e-6 mm), by marks alone."""
    form = form_hull(wedge(trim, heel))
    for x in (1.0, 2.9, 5.0):
        half = _half_breadth(x)
        assert form.section_at(x).hausdorff_distance(shapely.box(-half, BOTTOM, half, SHEER)) < 5e-4


@pytest.mark.closed_form
def test_two_marks_tell_what_their_line_lies_along() -> None:
    """Marks at bow and stern tell trim and leave the heel as it is stated; two across her tell heel."""
    hull = wedge(1.5, 0.0)
    along = (stood((0.5, 0.0, 0.8), 1.5, 0.0), stood((5.5, 0.0, 0.8), 1.5, 0.0))
    assert standing_of(replace(hull, level=along, measured_heel=2.0)).trim == pytest.approx(1.5)
    across = (stood((5.5, 0.9, 0.8), 0.0, 0.7), stood((5.5, -0.9, 0.8), 0.0, 0.7))
    assert standing_of(replace(hull, level=across)).heel == pytest.approx(0.7)


@pytest.mark.example
@pytest.mark.parametrize(
    ("marks", "trim", "why"),
    [
        ((MARKS[0],), 0.0, "one mark tells nothing"),
        ((MARKS[0], (0.6, 0.0, 0.8)), 0.0, "so near to each other"),
        (((0.5, -0.6, 0.8), (1.5, 0.6, 0.8)), 0.0, "neither trim nor heel"),
        (MARKS, 1.0, "`trim` is stated"),
        (((1.0, 0.0, 0.0), (1.5, 0.0, 2.0)), 0.0, "on her side"),
    ],
)
def test_marks_that_cannot_tell_are_refused(marks: tuple[Point3, ...], trim: float, why: str) -> None:
    """Each with what is wrong, at the key of the marks."""
    with pytest.raises(SketchError, match=why) as refused:
        form_hull(replace(wedge(0.0, 0.0), level=marks, measured_trim=trim))
    assert refused.value.key == "measured.level"


@pytest.mark.example
def test_how_she_stood_is_said_and_marks_that_disagree_are_too() -> None:
    """A note with trim and heel; a fourth mark 40 mm off the others' plane makes it a warning with how far."""
    hull = wedge(-2.0, 0.7)
    (note,) = (each for each in form_hull(hull).findings if each.code == "measured-out-of-level")
    assert (note.severity, in_words(note)) == (
        "note",
        "By the 3 marks of `level` she stood 2.0 degrees by the stern and 0.7 to starboard; every figure is for her turned back.",
    )
    x, y, z = stood((2.0, 0.5, 0.8), -2.0, 0.7)
    (warning,) = (
        each
        for each in form_hull(replace(hull, level=(*hull.level, (x, y, z + 0.04)))).findings
        if each.code == "measured-out-of-level"
    )
    assert warning.severity == "warn"
    assert "disagree by" in in_words(warning)


@pytest.mark.property
@pytest.mark.parametrize(("reference", "down"), [(-0.35, False), (1.9, True)])
def test_heights_from_any_reference_are_the_same_boat(reference: float, down: bool) -> None:
    """A floor under her or a string above, heights measured downwards: the same surface to a nanometre."""
    hull = demo_hull("marram-29")
    sign = -1.0 if down else 1.0

    def read(height: float) -> float:
        return sign * (height - reference)

    assert hull.cockpit is not None
    measured = replace(
        hull,
        stations=tuple(replace(each, points=tuple((b, read(z)) for b, z in each.points)) for each in hull.stations),
        stem=tuple((x, read(z)) for x, z in hull.stem),
        cockpit=replace(hull.cockpit, sole=read(hull.cockpit.sole)),
        heights_from=reference,
        heights_down=down,
    )
    assert np.abs(form_hull(measured, 0.1).outside.vertices - form_hull(hull, 0.1).outside.vertices).max() < 1e-9
    assert with_heights_up(measured).stations[0].points[0] == pytest.approx(hull.stations[0].points[0])


@pytest.mark.closed_form
def test_what_hangs_under_her_and_is_let_into_her_is_turned_too() -> None:
    """A keel's centre and tip and a cockpit's sole, where scipy's rotation puts them back."""
    trim, heel = 2.0, 1.0
    at, tip = stood((3.0, 0.4, -0.4), trim, heel), stood((3.0, 0.0, -0.9), trim, 0.0)
    ends = [stood((x, 0.0, 0.9), trim, heel) for x in (4.0, 5.0)]
    hull = replace(
        wedge(trim, heel),
        appendages=(Appendage(name="keel", volume=0.1, at=at), Appendage(name="skeg", volume=0.1, at=tip, lowest=tip[2])),
        cockpit=Cockpit(start=ends[0][0], end=ends[1][0], half_breadth=(0.3, 0.3), sole=(ends[0][2] + ends[1][2]) / 2),
    )
    own = own_axes(hull)
    assert own.appendages[0].at == pytest.approx((3.0, 0.4, -0.4))
    tipped = own_axes(replace(hull, level=(), measured_trim=trim)).appendages[1]
    assert (tipped.at, tipped.lowest) == (pytest.approx((3.0, 0.0, -0.9)), pytest.approx(-0.9))
    assert own.cockpit is not None
    assert (own.cockpit.start, own.cockpit.end, own.cockpit.sole) == pytest.approx((4.0, 5.0, 0.9), abs=1e-3)
