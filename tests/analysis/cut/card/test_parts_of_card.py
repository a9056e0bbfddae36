"""Joints of flat parts of card worked out by hand: halved, tabbed, flapped, and cut to fit a page."""

import numpy as np
import pytest
import shapely

from sketcher.analysis.cut.card.abutments import abutments
from sketcher.analysis.cut.card.card_panels import CardPanel
from sketcher.analysis.cut.card.flaps import WIDE, Assembly, flaps_on_face
from sketcher.analysis.cut.card.halved import halved_joints
from sketcher.analysis.cut.card.page_pieces import in_pieces, on_a_page, straps
from sketcher.analysis.cut.card.parts import CardPart, ModelScale
from sketcher.analysis.cut.card.solids import overlap_depth, part_solid, slab
from sketcher.analysis.cut.card.tabs import PROUD, tab_way, tabbed
from sketcher.analysis.results import PanelFace, PanelPiece
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, frame_x, frame_y, frame_z
from sketcher.geometry.tolerances import CLEAR

OF = ModelScale(scale=10.0, card=0.4)
"""A card of 4 mm in the boat."""


def flat(name: str, frame: Frame, low: tuple[float, float], high: tuple[float, float], kind: str = "partition") -> CardPart:
    return CardPart(name=name, kind=kind, frame=frame, outline=shapely.box(*low, *high), of=name)  # type: ignore[arg-type]


def lid_on_bulkhead() -> tuple[CardPanel, CardPart]:
    """A lid 1 m long and 0.6 m wide at half height, whose after end is on a bulkhead 1 m wide and 0.8 m high at x = 2."""
    met = Plane.of((1.0, 0.0, 0.0), 2.0 - OF.thickness / 2)
    lid = flat("lid", frame_z(0.4), (1.0, -0.3), (met.distance, 0.3), "lid")
    nothing = PanelFace("top", Plane.of((0.0, 0.0, 1.0), 0.4))
    panel = CardPanel(lid, PanelPiece(nothing, nothing, ()), (("bulkhead", met),))
    return panel, flat("bulkhead", frame_x(2.0), (-0.5, 0.0), (0.5, 0.8), "bulkhead")


@pytest.mark.closed_form
def test_an_overlap_is_as_deep_as_its_thin_side() -> None:
    """Two slabs of which one goes a millimetre into the other overlap by a millimetre; beside each other by nothing."""
    square = shapely.box(0.0, 0.0, 0.5, 0.5)
    one, other = slab(square, frame_z(0.0), 0.0, 0.004), slab(square, frame_z(0.0), 0.003, 0.007)
    assert overlap_depth(one, other) == pytest.approx(0.001, rel=1e-9)
    assert overlap_depth(one, slab(square, frame_z(0.0), 0.004, 0.008)) == 0.0


@pytest.mark.closed_form
def test_parts_that_cross_are_slotted_by_half_each() -> None:
    """Two parts 100 mm high lose a slot 50 mm high and a card wide, and share no space any more."""
    changed, (seam,) = halved_joints(
        [flat("web", frame_y(0.0), (0.0, 0.0), (0.4, 0.1)), flat("wall", frame_x(0.2), (-0.3, 0.0), (0.3, 0.1))], OF
    )
    assert [0.04 - changed["web"].outline.area, 0.06 - changed["wall"].outline.area] == pytest.approx([0.05 * OF.thickness] * 2)
    solids = [part_solid(part, OF.thickness) for part in changed.values()]
    assert overlap_depth(*solids) < CLEAR
    assert (seam.part, seam.against) == ("wall", "web")


@pytest.mark.closed_form
def test_a_taller_part_is_slotted_from_below() -> None:
    """Where one part goes on above the other it goes down over it, so that no slot stays open above."""
    changed, (seam,) = halved_joints(
        [flat("web", frame_y(0.0), (0.0, 0.0), (0.4, 0.1)), flat("wall", frame_x(0.2), (-0.3, 0.0), (0.3, 0.9))], OF
    )
    assert seam.part == "wall"
    assert changed["wall"].outline.contains(shapely.Point(0.0, 0.5))
    assert not changed["wall"].outline.contains(shapely.Point(0.0, 0.02))


@pytest.mark.closed_form
def test_tabs_fill_slots_as_wide_as_the_card() -> None:
    """A lid's edge of 60 mm on paper has one tab, which fills a slot of the card's thickness and stands out behind it."""
    panel, bulkhead = lid_on_bulkhead()
    (contact,) = abutments(panel, [panel.part, bulkhead], OF)
    assert contact.length == pytest.approx(0.6)
    assert tab_way(panel.part, [contact], False, OF) == "aft"
    changed = {"lid": panel.part, "bulkhead": bulkhead}
    seam = tabbed(changed, contact, OF)
    assert seam is not None
    assert seam.tabs == 1
    (slot,) = changed["bulkhead"].outline.interiors
    west, south, east, north = slot.bounds
    assert (east - west, north - south) == pytest.approx((0.1, OF.thickness))
    assert changed["lid"].outline.bounds[2] == pytest.approx(2.0 + OF.thickness / 2 + OF.full(PROUD))
    assert overlap_depth(*(part_solid(part, OF.thickness) for part in changed.values())) < CLEAR


@pytest.mark.example
def test_a_slot_keeps_off_what_is_there() -> None:
    """No tab is made where the bulkhead has a hole behind all of the edge but its ends."""
    panel, bulkhead = lid_on_bulkhead()
    holed = flat("bulkhead", bulkhead.frame, (-0.5, 0.0), (0.5, 0.8), "bulkhead")
    holed = CardPart(
        name="bulkhead",
        kind="bulkhead",
        frame=holed.frame,
        of="bulkhead",
        outline=holed.outline.difference(shapely.box(-0.25, 0.3, 0.25, 0.5)),
    )
    found = list(abutments(panel, [panel.part, holed], OF))
    assert [contact.length for contact in found] == pytest.approx([0.05, 0.05], abs=2e-5)
    changed = {"lid": panel.part, "bulkhead": holed}
    assert [tabbed(changed, contact, OF) for contact in found] == [None, None]


@pytest.mark.closed_form
def test_a_flap_lies_on_what_it_is_glued_to() -> None:
    """Flaps along 60 mm are two, 5 mm wide on paper; folded they lie on the bulkhead's face, a card thick, off the lid."""
    panel, bulkhead = lid_on_bulkhead()
    assembly = Assembly(OF, {"lid": panel.part, "bulkhead": bulkhead})
    (contact,) = abutments(panel, [panel.part, bulkhead], OF)
    assert flaps_on_face(assembly, contact) == 2
    for flap in assembly.parts["lid"].flaps:
        assert np.ptp(flap.solid[:, 0]) == pytest.approx(OF.thickness)
        assert flap.solid[:, 0].max() == pytest.approx(2.0 - OF.thickness / 2)
        assert np.ptp(flap.solid[:, 2]) == pytest.approx(OF.full(WIDE))
        assert flap.solid[:, 2].max() == pytest.approx(0.4 - OF.thickness / 2)
    assert assembly.parts["lid"].whole.area > panel.part.outline.area


@pytest.mark.closed_form
def test_a_part_larger_than_a_page_is_cut_and_strapped() -> None:
    """A web of 600 by 90 mm on paper comes in three pieces that add up, with a strap behind each of two joints."""
    web = flat("web", frame_y(0.0), (0.0, 0.0), (6.0, 0.9))
    pieces, cuts = in_pieces(web, OF, (190.0, 260.0))
    assert len(pieces) == 3
    assert all(on_a_page(piece.outline, OF, (190.0, 260.0)) for piece in pieces)
    assert sum(piece.outline.area for piece in pieces) == pytest.approx(5.4)
    found = list(straps(web, pieces, cuts, [], OF))
    assert len(found) == 2
    for strap, _ in found:
        assert strap.frame.origin[1] == pytest.approx(OF.thickness, abs=1e-12)
        assert sum(strap.outline.intersects(piece.outline) for piece in pieces) == 2
