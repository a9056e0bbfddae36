"""Openings in the upright faces of coachroof and cockpit: areas, sills and places by arithmetic in a box hull."""

from dataclasses import replace

import pytest
from specimens import layout_scene

from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.access import entrances_to
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.results import OUTSIDE
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.leaks.house_openings import in_house
from sketcher.model.hull import Coachroof, Cockpit, Deck, Hull, Station
from sketcher.model.scene import Bulkhead, NamedSpace, Opening, Waterline
from sketcher.outputs.wording.sentences import message as in_words

HULL = Hull(
    name="box",
    units="m",
    stations=tuple(Station(at=x, points=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), knuckles=(2,)) for x in (0.0, 4.0)),
    between_points="straight",
    between_stations="straight",
    coachroof=Coachroof(start=0.5, end=2.0, half_breadth=(0.5, 0.6), height=0.4),
    cockpit=Cockpit(start=2.5, end=3.5, half_breadth=(0.4, 0.4), sole=0.5),
)
FORM = form_hull(HULL)
DOOR = Opening(name="companionway", through="cockpit", face="forward", at=(0.0, 0.8), size=(0.5, 0.4), cover="loose")


def boat(*openings: Opening) -> Evaluation:
    water = Waterline(forward=0.3, after=0.3)
    return judged(lay_out(layout_scene(FORM, openings=openings, waterline=water), FORM))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("opening", "area", "lowest", "axis", "place"),
    [
        (DOOR, 0.20, 0.6, 0, 2.5),
        (replace(DOOR, at=(0.0, 0.9)), 0.15, 0.7, 0, 2.5),
        (replace(DOOR, face="aft"), 0.20, 0.6, 0, 3.5),
        (replace(DOOR, face="port", at=(3.0, 0.8)), 0.20, 0.6, 1, -0.4),
        (replace(DOOR, face="starboard", at=(3.0, 0.8)), 0.20, 0.6, 1, 0.4),
        (replace(DOOR, through="coachroof", at=(0.1, 1.2), size=(0.3, 0.2)), 0.06, 1.1, 0, 0.5),
        (replace(DOOR, through="coachroof", face="aft", at=(0.1, 1.2), size=(0.3, 0.2)), 0.06, 1.1, 0, 2.0),
    ],
)
def test_an_opening_in_a_face_has_its_area_and_its_sill(
    opening: Opening, area: float, lowest: float, axis: int, place: float
) -> None:
    """As wide and high as stated, cut off at the deck's edge, its lowest point the sill, all of it in that face."""
    found = boat(opening)
    (path,) = found.layout.flow_paths
    assert (path.kind, path.between[1], path.through) == ("opening", OUTSIDE, opening.through)
    assert path.area == pytest.approx(area, rel=1e-6)
    assert path.lowest == pytest.approx(lowest, abs=1e-6)
    assert path.outline[:, axis] == pytest.approx(place, abs=1e-6)
    assert found.floating.least_opening_clear == pytest.approx(lowest - 0.3, abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize(("face", "side"), [("port", -1.0), ("starboard", 1.0)])
def test_a_window_in_a_tapered_side_lies_on_it(face: str, side: float) -> None:
    """1.25 m aft the coachroof's side stands 550 mm off the centreline, 1 in 15 wider aft."""
    window = Opening(name="window", through="coachroof", face=face, at=(1.25, 1.2), size=(0.6, 0.2))  # type: ignore[arg-type]
    (path,) = in_house(HULL, boat().layout.compartments, window)
    assert path.outline[:, 1] == pytest.approx(side * (0.55 + (path.outline[:, 0] - 1.25) / 15.0), abs=1e-6)
    assert (path.area, path.lowest) == (pytest.approx(0.12, rel=1e-6), pytest.approx(1.1, abs=1e-6))


@pytest.mark.closed_form
def test_the_face_inside_is_a_decks_thickness_away() -> None:
    """Measured outside, under a deck of 20 mm, the companionway's frame inside stands 20 mm forward of the well."""
    form = form_hull(replace(HULL, offsets_to="outside", shell=0.02, deck=Deck(thickness=0.02)))
    layout = lay_out(layout_scene(form, openings=(DOOR,)), form)
    (path,) = layout.flow_paths
    assert path.outline[:, 0] == pytest.approx(2.48, abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize(("sill", "verdict"), [(0.91, "floats"), (0.51, "founders")])
def test_holed_forward_she_floods_on_over_a_low_sill(sill: float, verdict: str) -> None:
    """Holed forward, she settles: over a sill 60 mm above the water the sea comes in, over one 460 mm above it does not."""
    door = replace(DOOR, at=(0.0, sill + 0.04), size=(0.4, 0.08), cover="none")
    water = Waterline(forward=0.45, after=0.45)
    panels = (Bulkhead(name="main", at=1.0, thickness=0.02),)
    spaces = (NamedSpace(name="forepeak", at=(0.5, 0.0, 0.5)), NamedSpace(name="cabin", at=(2.0, 0.0, 0.3)))
    scene = layout_scene(
        FORM, bulkheads=panels, compartments=spaces, openings=(door,), waterline=water, centre_of_gravity_height=0.3
    )
    boat = judged(lay_out(scene, FORM))
    case, *_ = flooding_cases(boat.layout, boat.water, boat.floating, ["forepeak"])
    assert case.verdict == verdict
    assert ("companionway" in case.through) is (verdict == "founders")


@pytest.mark.example
def test_a_person_gets_in_through_a_companionway() -> None:
    """It is an entrance of the space behind it; one too high for its face, or in a hull without a cockpit, misses."""
    found = boat(DOOR)
    (space,) = found.layout.compartments
    (entrance,) = entrances_to(found.layout, space)
    assert (entrance.name, entrance.limb, sorted(entrance.sides)) == ("companionway", "person", pytest.approx([0.4, 0.5]))
    assert entrance.inwards[0] == pytest.approx(-1.0)
    (wrong,) = [one for one in boat(replace(DOOR, at=(0.0, 1.8))).findings if one.code == "opening-misses"]
    assert "beside the forward face of the cockpit" in in_words(wrong)
    assert in_house(replace(HULL, cockpit=None), found.layout.compartments, DOOR) == []
