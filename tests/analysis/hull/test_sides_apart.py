"""A hull whose sides were measured apart, against closed forms and against the boats that each side alone would make."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import HULLS
from strategies import hulls

from sketcher.analysis.afloat.buoyancy import buoyancy_of
from sketcher.analysis.afloat.equilibrium import Settled, settle
from sketcher.analysis.afloat.waterplane import deck_edge
from sketcher.analysis.hull.cockpit import cockpit_rim
from sketcher.analysis.hull.correction import moved_points
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.hull import Cockpit, Deck, Hull, Station, mirrored_hull, starboard_alone

WIDER = 0.05


def barge(**fields: object) -> Hull:
    """4 m long, 1 m deep, 1 m to starboard and 50 mm more to port."""
    points, port = (((0.0, 0.0), (half, 0.0), (half, 1.0)) for half in (1.0, 1.0 + WIDER))
    stations = tuple(Station(at=x, points=points, port=port, knuckles=(2,)) for x in (0.0, 4.0))
    return Hull(name="barge", units="m", stations=stations, **fields)  # type: ignore[arg-type]


def ellipsoid(beams: tuple[float, float]) -> Hull:
    """The lower half of an ellipsoid 8 m long and 0.6 m deep, other half-breadths to starboard and to port."""
    angle, stations = np.linspace(0.0, np.pi / 2, 15), []
    for x in 4.0 * (1.0 - np.cos(np.linspace(0.0, np.pi, 21))):
        size = np.sqrt(max(0.0, 1.0 - (x / 4.0 - 1.0) ** 2))
        points, port = (
            tuple(
                (0.0 if k == 0 else float(half * size * np.sin(a)), float(-0.6 * size * np.cos(a))) for k, a in enumerate(angle)
            )
            for half in beams
        )
        ends = ((0.0, 0.0),)
        stations.append(Station(at=float(x), points=ends) if size < 1e-9 else Station(at=float(x), points=points, port=port))
    return Hull(name="ellipsoid", units="m", stations=tuple(stations))


def wider_to_port(name: str, by: float = 1.03) -> Hull:
    """A demo boat whose port side is so much broader."""
    hull = read_hull(HULLS / f"{name}.yaml")
    stations = (replace(station, port=tuple((by * y, z) for y, z in station.points)) for station in hull.stations)
    return replace(hull, stations=tuple(stations))


def centroid(body: TriMesh) -> Floats:
    a, b, c = body.vertices[body.triangles.T]
    sixths = np.einsum("ij,ij->i", a, np.cross(b, c))
    return np.asarray((sixths[:, None] * (a + b + c)).sum(axis=0) / 4.0 / sixths.sum())


@pytest.mark.closed_form
def test_a_barge_fuller_to_port() -> None:
    """2.05 by 4 by 1 m, its middle 25 mm to port; outside with 20 mm of shell and deck 2.09 by 4.04 by 1.04 m, as far off."""
    form = form_hull(barge(shell=0.02, deck=Deck(thickness=0.02)))
    assert form.inside.volume == pytest.approx(8.2, rel=1e-9)
    assert form.outside.volume == pytest.approx(2.09 * 4.04 * 1.04, rel=1e-9)
    for body in (form.inside, form.outside):
        assert centroid(body)[1] == pytest.approx(-WIDER / 2, abs=1e-9)
    assert form.port_sheer[[0, -1]] == pytest.approx(np.array([[-0.02, -1.07, 1.02], [4.02, -1.07, 1.02]]))


@pytest.mark.closed_form
def test_one_cylinder_closes_both_sides_of_a_curved_transom() -> None:
    """200 mm of curve at 1.05 m of half-breadth: less its drop R - sqrt(R^2 - y^2) over each side; the other face 20 mm out."""
    form = form_hull(barge(transom_curve=0.2, shell=0.02, deck=Deck(thickness=0.02)))
    radius = (1.05**2 + 0.2**2) / 0.4

    def missing(radius: float, *halves: float) -> float:
        under = (half * np.sqrt(radius**2 - half**2) / 2.0 + radius**2 * np.arcsin(half / radius) / 2.0 for half in halves)
        return float(sum(radius * half for half in halves) - sum(under))

    assert form.inside.volume == pytest.approx(8.2 - missing(radius, 1.0, 1.05), abs=3e-4)
    outer = 2.09 * 4.04 - missing(radius + 0.02, 1.02, 1.07)
    assert form.outside.volume == pytest.approx(outer * 1.04, abs=3e-4)


@pytest.mark.closed_form
def test_a_barge_fuller_to_port_heels_to_starboard_at_rest() -> None:
    """Weighed down on her centreline to 0.4 m she leans to starboard: (GM + BM tan^2 / 2) tan = 25 mm, wall-sided, G at 0.6 m.

    BM = B^2 / 12 T, KB = T / 2, B = 2.05 m about her own middle, G 25 mm to starboard of that.
    """
    form = form_hull(barge())
    rest = settle(buoyancy_of(form), 2.05 * 4.0 * 0.4, np.array([2.0, 0.0, 0.6]), Plane.level(0.4))
    assert isinstance(rest, Settled)
    tan = -rest.plane.normal[1] / rest.plane.normal[2]
    metacentric = 2.05**2 / 12.0 / 0.4
    assert (0.2 + metacentric - 0.6 + 0.5 * metacentric * tan**2) * tan == pytest.approx(WIDER / 2, abs=1e-6)


@pytest.mark.closed_form
def test_two_different_half_ellipses() -> None:
    """Half-breadths of 1.2 and 1 m: 2/3 pi of half the length, the mean half-breadth and the depth; 3/8 of 200 mm off."""
    form = form_hull(ellipsoid((1.2, 1.0)))
    assert form.inside.volume == pytest.approx(2.0 / 3.0 * np.pi * 4.0 * 1.1 * 0.6, rel=5e-4)
    assert centroid(form.inside)[1] == pytest.approx(0.375 * 0.2, rel=2e-3)


@pytest.mark.closed_form
def test_the_deck_is_one_parabola_from_edge_to_edge() -> None:
    """100 mm of camber over 2.05 m: highest in the middle of her breadth, 25 mm to port; level with the sheer at both edges."""
    form = form_hull(barge(deck=Deck(camber=0.1)), sag=1e-5)
    across = np.array([-1.05, -0.6, -0.025, 0.5, 1.0])
    heights = 1.0 + 0.1 * (1.0 - across) * (1.05 + across) / 1.025**2
    found = form.deck_undersides(np.column_stack([np.full(5, 2.0), across]))
    assert found == pytest.approx(heights, abs=2e-5)


@pytest.mark.closed_form
def test_a_well_s_rim_lies_on_that_deck() -> None:
    """Sides of a cockpit 0.4 m off: (1 - y)(1.05 + y) of the camber's parabola, other heights to port than to starboard."""
    rim = cockpit_rim(
        form_hull(barge(deck=Deck(camber=0.1), cockpit=Cockpit(start=1.0, end=3.0, half_breadth=(0.4, 0.4), sole=0.5)))
    )
    assert rim is not None
    assert rim[:, 2] == pytest.approx(1.0 + 0.1 * (1.0 - rim[:, 1]) * (1.05 + rim[:, 1]) / 1.025**2, abs=1e-6)
    assert {round(float(y), 9) for y in rim[:, 1]} == {0.4, -0.4}


@pytest.mark.closed_form
def test_sides_that_are_alike_make_the_same_boat() -> None:
    """Measured apart and found alike: the very volumes of the boat measured on one side, both faces."""
    alike = form_hull(wider_to_port("quillet-21", 1.0), 0.2)
    one = form_hull(read_hull(HULLS / "quillet-21.yaml"), 0.2)
    for body, other in ((alike.inside, one.inside), (alike.outside, one.outside)):
        assert body.volume == pytest.approx(other.volume, rel=1e-12)
        assert len(body.triangles) == len(other.triangles)


@pytest.fixture(scope="module", params=["quillet-21", "canoe-1889"])
def uneven(request: pytest.FixtureRequest) -> HullForm:
    """A boat with coachroof and cockpit, and one that is sharp at both ends, each broader to port."""
    return form_hull(wider_to_port(request.param))


@pytest.mark.closed_form
def test_each_half_is_the_boat_of_its_side(uneven: HullForm) -> None:
    """Volumes are the mean of both sides' own boats but for the deck between them; her section is as wide as theirs."""
    one, other = (form_hull(starboard_alone(hull)) for hull in (uneven.hull, mirrored_hull(uneven.hull)))
    assert uneven.inside.volume == pytest.approx((one.inside.volume + other.inside.volume) / 2.0, rel=2e-6)
    assert uneven.outside.volume == pytest.approx((one.outside.volume + other.outside.volume) / 2.0, rel=2e-6)
    for body in (uneven.inside, uneven.outside):
        assert to_manifold(body, reserve_ids(1)).genus() == 0
    x = (uneven.x_forward + uneven.x_after) / 2.0
    low, _, high, _ = uneven.section_at(x).bounds
    assert (high, -low) == pytest.approx((one.section_at(x).bounds[2], other.section_at(x).bounds[2]), abs=1e-4)


@pytest.mark.closed_form
def test_the_deck_s_edge_is_each_side_s_own(uneven: HullForm) -> None:
    """3 % more to port all along, at one height from end to end; freeboards are measured to both."""
    starboard, port = deck_edge(uneven)
    assert starboard.shape == port.shape
    wide = starboard[:, 1] > 0.2
    assert (-port[wide, 1] / starboard[wide, 1]) == pytest.approx(1.03, abs=2e-3)
    assert port[:, 2] == pytest.approx(starboard[:, 2], abs=5e-3)


@pytest.mark.closed_form
def test_a_catamaran_s_port_hull_is_the_mirror_image_of_her_starboard_one() -> None:
    """Hulls fuller outboard: 5 m apart their bodies lie symmetrically about the middle between them."""
    form = form_hull(barge(twin_spacing=5.0))
    carried = buoyancy_of(form).under(Plane.level(0.4))
    assert (carried.volume, carried.centre[1]) == pytest.approx((2 * 2.05 * 4.0 * 0.4, -2.5))
    assert sorted(deck_edge(form)[:, 0, 1]) == pytest.approx([-6.0, -3.95, -1.05, 1.0])


@pytest.mark.example
def test_readings_move_the_points_of_the_side_they_were_taken_on() -> None:
    """A gap of 10 mm read half-way up the port side moves port's points there, and none of starboard's."""
    form = form_hull(barge())
    moved = moved_points(form, np.array([[2.0, -1.05, 0.5], [1.0, -1.05, 0.8]]), np.array([0.01, 0.01]), 0.001)
    assert moved
    assert all(each.port for each in moved)
    assert max(each.to[0] for each in moved) > 1.052


@pytest.mark.example
def test_what_is_wrong_to_port_says_so() -> None:
    """A port side whose transom runs forward past the station before it names the side."""
    hull = barge()
    last = replace(hull.stations[-1], port=((0.0, 0.0), (1.05, 0.0), (1.05, 2.4)))
    with pytest.raises(SketchError, match="to port, station 2 at 4 m lies forward"):
        form_hull(replace(hull, stations=(hull.stations[0], last), transom_rake=-60.0))


@pytest.mark.property
@settings(max_examples=3, deadline=None)
@given(hulls(), st.floats(0.93, 1.07))
def test_any_hull_with_another_port_side_closes(hull: Hull, share: float) -> None:
    """Both faces are closed, and their volumes the mean of both sides' own boats to what the deck between them differs by."""
    apart = replace(
        hull, stations=tuple(replace(s, port=tuple((round(share * y, 4), z) for y, z in s.points)) for s in hull.stations)
    )
    form = form_hull(apart, 0.2)
    one, other = (form_hull(starboard_alone(side), 0.2) for side in (apart, mirrored_hull(apart)))
    for body, mine, theirs in ((form.inside, one.inside, other.inside), (form.outside, one.outside, other.outside)):
        assert to_manifold(body, reserve_ids(1)).volume() == pytest.approx((mine.volume + theirs.volume) / 2.0, rel=1e-3)
