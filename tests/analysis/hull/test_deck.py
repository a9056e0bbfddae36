"""The deck's surface, what stands on it and what is let into it: in a box hull every figure is arithmetic."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import box_form

from sketcher.analysis.hull.checks import check_measurements, check_sections
from sketcher.analysis.hull.coachroof import check_houses
from sketcher.analysis.hull.cockpit import PLACES_ALONG, cockpit_rim
from sketcher.analysis.hull.deck import DeckSurface, deck_lid
from sketcher.analysis.hull.form import form_hull
from sketcher.geometry.plane import Plane
from sketcher.model.errors import SketchError
from sketcher.model.hull import Coachroof, Cockpit, Deck, Hull, Station

BOX = Hull(
    name="box",
    units="m",
    stations=tuple(Station(at=x, points=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), knuckles=(2,)) for x in (0.0, 4.0)),
    between_points="straight",
    between_stations="straight",
)
FLAT = DeckSurface(np.array([0.0, 4.0]), np.array([1.0, 1.0]), np.array([1.0, 1.0]), camber=0.0)
HULL_LINES = np.array([[[x, 0.0, 0.0], [x, 1.0, 0.0], [x, 1.0, 1.0]] for x in (0.0, 2.0, 4.0)])


@pytest.mark.closed_form
@given(st.floats(0.0, 0.2), st.floats(0.0, 1.0), st.floats(0.0, 4.0))
def test_the_deck_is_one_parabola_across(camber: float, y: float, x: float) -> None:
    """As high as the camber on the centreline, at the sheer's height at its edge, the same to port and to starboard."""
    deck = replace(FLAT, camber=camber)
    assert deck.at(np.array(x), np.array(y)) == pytest.approx(1.0 + camber * (1.0 - y * y))
    assert deck.at(np.array(x), np.array(y)) == deck.at(np.array(x), np.array(-y))


@pytest.mark.closed_form
def test_past_its_ends_the_sheer_goes_on_straight() -> None:
    """A sheer that rises by 100 mm a metre does so ahead of the stem and behind the transom too."""
    deck = DeckSurface(np.array([0.0, 1.0, 4.0]), np.ones(3), np.array([1.4, 1.3, 1.0]), camber=0.0)
    assert deck.at(np.array([-1.0, 5.0]), np.zeros(2)) == pytest.approx([1.5, 0.9])


@pytest.mark.closed_form
def test_the_lid_over_a_flat_deck_is_a_box() -> None:
    """From end plane to end plane, the widest half-breadth and twice its reach across, from the deck down to its bottom."""
    lid = deck_lid(FLAT, 4, 0.1, 0.4, (Plane.of((1.0, 0.0, 0.0), 0.0), Plane.of((1.0, 0.0, 0.0), 4.0)))
    assert lid.volume == pytest.approx(4.0 * 1.2 * 0.6, rel=1e-4)


@pytest.mark.closed_form
def test_a_coachroof_adds_its_box_and_a_cockpit_takes_its_own() -> None:
    """A roof 1.5 m long, 1 m wide and 400 mm high; a well of 1 by 0.8 m, 500 mm deep."""
    plain = form_hull(BOX).inside.volume
    assert plain == pytest.approx(8.0)
    roofed = form_hull(replace(BOX, coachroof=Coachroof(start=0.5, end=2.0, half_breadth=(0.5, 0.5), height=0.4)))
    assert roofed.inside.volume - plain == pytest.approx(1.5 * 1.0 * 0.4, rel=1e-6)
    welled = form_hull(replace(BOX, cockpit=Cockpit(start=2.5, end=3.5, half_breadth=(0.4, 0.4), sole=0.5)))
    assert plain - welled.inside.volume == pytest.approx(1.0 * 0.8 * 0.5, rel=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize("deck_camber", [0.0, 0.001])
def test_a_coachroofs_camber_is_a_parabola_on_a_flat_deck_too(deck_camber: float) -> None:
    """Over its sides a roof 1.5 m long and 1 m wide holds two thirds of its camber's box; half way out it is a quarter lower.

    Eight chords on each side leave out 1/128 of the parabola's area and, half way out, nothing.
    """
    cambered = replace(BOX, deck=Deck(camber=deck_camber))
    plain = form_hull(cambered)
    roof = Coachroof(start=0.5, end=2.0, half_breadth=(0.5, 0.5), height=0.4, camber=0.24)
    roofed = form_hull(replace(cambered, coachroof=roof))
    over_deck = 1.5 * 1.0 * (0.4 - 0.24 + 2.0 / 3.0 * 0.24)
    assert roofed.inside.volume - plain.inside.volume == pytest.approx(over_deck, rel=0.005)
    heights = roofed.deck_undersides(np.array([[1.2, 0.0], [1.2, 0.25], [1.2, -0.25]]))
    assert heights == pytest.approx(1.4 + deck_camber - np.array([0.0, 0.06, 0.06]), abs=1e-6)


@pytest.mark.example
@pytest.mark.parametrize(
    ("house", "message"),
    [
        ({"coachroof": Coachroof(start=0.5, end=2.0, half_breadth=(0.5, 1.1), height=0.4)}, "as wide as the deck"),
        ({"coachroof": Coachroof(start=-0.5, end=2.0, half_breadth=(0.5, 0.5), height=0.4)}, "past the end of the deck"),
        ({"coachroof": Coachroof(start=0.5, end=2.0, half_breadth=(0.5, 0.5), height=0.1, camber=0.2)}, "down to the deck"),
        ({"cockpit": Cockpit(start=2.5, end=3.5, half_breadth=(0.4, 0.4), sole=1.1)}, "above the sheer"),
        ({"cockpit": Cockpit(start=2.5, end=3.5, half_breadth=(0.4, 0.4), sole=-0.1)}, "under the hull"),
        ({"cockpit": Cockpit(start=2.5, end=3.5, half_breadth=(0.4, 1.2), sole=0.5)}, "comes through the hull's side"),
        ({"cockpit": Cockpit(start=5.0, end=6.0, half_breadth=(0.4, 0.4), sole=0.5)}, "does not lie on the deck"),
    ],
)
def test_a_house_that_does_not_fit_the_deck_is_refused_in_words(house: dict[str, Coachroof | Cockpit], message: str) -> None:
    """Each with what to change."""
    with pytest.raises(SketchError, match=message):
        check_houses(replace(BOX, **house), FLAT, HULL_LINES)  # type: ignore[arg-type]


@pytest.mark.closed_form
def test_the_cockpits_rim_lies_on_the_deck_along_both_sides() -> None:
    """At the well's half-breadth, as high as the camber's parabola there; none without a cockpit."""
    form = box_form(4.0, 2.0, 1.0)
    hull = replace(form.hull, deck=Deck(camber=0.1), cockpit=Cockpit(start=2.5, end=3.5, half_breadth=(0.4, 0.4), sole=0.5))
    sheer = np.array([[0.0, 1.0, 1.0], [4.0, 1.0, 1.0]])
    rim = cockpit_rim(replace(form, hull=hull, sheer=sheer))
    assert rim is not None
    assert len(rim) == 2 * PLACES_ALONG
    assert np.abs(rim[:, 1]) == pytest.approx(0.4)
    assert rim[:, 2] == pytest.approx(1.0 + 0.1 * (1.0 - 0.4**2))
    assert cockpit_rim(form) is None


@pytest.mark.example
def test_a_section_inside_out_is_told_by_its_stations() -> None:
    """Walked from sheer to keel its area is negative; what no file has checked is looked over too."""
    turned = HULL_LINES.copy()
    turned[1] = turned[1, ::-1]
    with pytest.raises(SketchError, match="inside out between a and b"):
        check_sections(BOX, turned, (0, 2), ("a", "b"))
    check_sections(BOX, HULL_LINES, (0, 2), ("a", "b"))
    check_measurements(BOX)
    with pytest.raises(SketchError):
        check_measurements(replace(BOX, stations=BOX.stations[:1]))
