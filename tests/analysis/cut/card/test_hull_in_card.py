"""Hulls of known shape in card: the skin's plates and their flaps, frames and spine."""

import numpy as np
import pytest
from specimens import box_form

from sketcher.analysis.cut.card.egg_crate import (
    APART,
    DEPTH,
    frames_between,
    skin_section,
    spine,
    transom,
    with_ring,
    without_deck,
)
from sketcher.analysis.cut.card.flaps import Assembly
from sketcher.analysis.cut.card.parts import CardPart, ModelScale
from sketcher.analysis.cut.card.plate_seams import glued_plates
from sketcher.analysis.cut.card.shell_strakes import mirrored_plate, shell_plates
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.solid.section import frame_x, section
from sketcher.model.hull import Hull, Station

OF = ModelScale(scale=20.0, card=0.4)
ROOM = (180.0, 250.0)


@pytest.fixture(scope="module")
def trough() -> HullForm:
    """A hull of one section throughout, 4 m long: a bottom 0.5 m out and 0.2 m up, sides 0.2 m out and 0.6 m up."""
    points = ((0.0, 0.0), (0.5, 0.2), (0.7, 0.8))
    stations = tuple(Station(at=at, points=points, knuckles=(2,)) for at in (0.0, 2.0, 4.0))
    return form_hull(Hull(name="trough", units="m", stations=stations, between_points="straight"))


@pytest.mark.closed_form
def test_plates_of_flat_sides_are_as_long_and_wide_as_they(trough: HullForm) -> None:
    """Flat bottom and sides come out flat in their true size, each whole where it lies on a page."""
    found = shell_plates(trough, OF, ROOM)
    assert found is not None
    ((bottom,), (side,)), miss = found
    for plate, width in ((bottom, np.hypot(0.5, 0.2)), (side, np.hypot(0.2, 0.6))):
        assert plate.curved is not None
        assert np.ptp(plate.curved.flat.reshape(-1, 2), axis=0) == pytest.approx([4.0, width], abs=1e-6)
    assert miss < 1e-6
    assert mirrored_plate(side).outline.area == pytest.approx(side.outline.area)


@pytest.mark.closed_form
def test_a_plate_is_cut_in_lengths_that_lie_on_a_page(trough: HullForm) -> None:
    """On a page that takes 3 m of 4 the plates come in two lengths of 2 m."""
    found = shell_plates(trough, OF, (60.0, 150.0))
    assert found is not None
    assert [[plate.name for plate in strake] for strake in found[0]] == [
        [f"strake {strake}.{k}, starboard" for k in (1, 2)] for strake in (1, 2)
    ]
    assert sum(plate.outline.area for plate in found[0][0]) == pytest.approx(4.0 * np.hypot(0.5, 0.2), rel=1e-6)


@pytest.mark.example
def test_plates_hold_to_each_other_along_keel_and_knuckles(trough: HullForm) -> None:
    """Flaps run along the keel from port to starboard, and along each knuckle from the bottom to the side."""
    found = shell_plates(trough, OF, ROOM)
    assert found is not None
    plates = [each for strake in found[0] for plate in strake for each in (plate, mirrored_plate(plate))]
    seams = glued_plates(Assembly(OF, {plate.name: plate for plate in plates}), plates)
    assert sorted((seam.part, seam.against) for seam in seams) == [
        ("strake 1, port", "strake 1, starboard"),
        ("strake 1, port", "strake 2, port"),
        ("strake 1, starboard", "strake 2, starboard"),
    ]


@pytest.mark.example
def test_a_hull_without_knuckles_has_no_plates() -> None:
    """Nothing says where a round hull's skin could be parted."""
    stations = tuple(Station(at=at, points=((0.0, 0.0), (0.5, 0.2), (0.7, 0.8))) for at in (0.0, 4.0))
    assert shell_plates(form_hull(Hull(name="round", units="m", stations=stations)), OF, ROOM) is None


@pytest.mark.closed_form
def test_the_skin_of_a_box_is_its_bottom_and_sides() -> None:
    """A box 2 m wide and 1 m deep has 2 m2 within its skin, and 4 m of skin without the deck."""
    skin = skin_section(box_form(), frame_x(1.7))
    assert skin.area == pytest.approx(2.0, abs=1e-4)
    assert without_deck(skin).length == pytest.approx(4.0, abs=0.05)


@pytest.mark.closed_form
def test_frames_stand_evenly_and_near_enough(trough: HullForm) -> None:
    """Between ends 4 m apart they are as few as keep within the distance, and all alike in a straight hull."""
    frames = list(frames_between(trough, [], OF))
    places = [0.0, *(frame.frame.origin[0] for frame in frames), 4.0]
    assert np.diff(places) == pytest.approx(4.0 / np.ceil(4.0 / OF.full(APART)))
    assert [frame.outline.area for frame in frames] == pytest.approx([frames[0].outline.area] * len(frames), rel=1e-6)


@pytest.mark.closed_form
def test_a_bulkhead_and_its_frame_are_one_part() -> None:
    """Across a box 2 m by 1 m: the bulkhead, sides and bottom d wide and two quarters of a circle, without a gap between."""
    form, d = box_form(), OF.full(DEPTH)
    frame = frame_x(1.0)
    bulkhead = CardPart(name="b", kind="bulkhead", frame=frame, outline=largest(section(form.inside, frame)), of="b")
    ringed = with_ring(bulkhead, form, OF)
    assert ringed.ring
    assert ringed.outline.area == pytest.approx(2.0 + 2 * d + 2 * d + np.pi * d**2 / 2, rel=1e-3)
    assert not ringed.outline.interiors


@pytest.mark.closed_form
def test_spine_and_transom_of_a_straight_trough(trough: HullForm) -> None:
    """The spine goes about both ends and under the keel; the transom is the section, a card before the after end."""
    d = OF.full(DEPTH)
    assert spine(trough, OF).outline.bounds == pytest.approx((-d, -d, 4.0 + d, 0.8), abs=2e-3)
    end = transom(trough, OF)
    assert end is not None
    assert end.outline.area == pytest.approx(0.5 * 0.2 + 0.6 * (0.5 + 0.7), rel=1e-3)
    assert end.frame.origin[0] == pytest.approx(4.0 - OF.thickness / 2)
