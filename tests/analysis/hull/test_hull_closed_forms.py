"""Hulls of which every figure is known, measured as an owner would: stations, points, nothing else.

Closed forms: the volumes and waterplanes below follow from the equations of each form by integration.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from places import HULLS

from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip
from sketcher.geometry.solid.section import frame_z, section
from sketcher.model.files.hull_file import read_hull
from sketcher.model.hull import Deck, Hull, Point2, Station

LENGTH, BREADTH, DRAFT = 8.0, 2.4, 0.5
UP = np.array([0.0, 0.0, 1.0])


def _cosine_spaced(count: int) -> Floats:
    return LENGTH / 2 * (1.0 - np.cos(np.linspace(0.0, np.pi, count)))


def _hull(stations: list[Station], **fields: object) -> Hull:
    return Hull(name="closed form", units="m", stations=tuple(stations), **fields)  # type: ignore[arg-type]


def _points(half_breadths: Floats, heights: Floats) -> tuple[Point2, ...]:
    pairs = [(float(y), float(z)) for y, z in zip(half_breadths, heights, strict=True)]
    return ((0.0, pairs[0][1]), *pairs[1:])


def wigley(count: int, points: int = 15) -> Hull:
    """y = B/2 (1 - (2x/L)^2)(1 - (z/T)^2), plumb and sharp at both ends, points at equal angles."""
    heights = -DRAFT * np.cos(np.linspace(0.0, np.pi / 2, points))
    stations = []
    for x in _cosine_spaced(count):
        fullness = 1.0 - (2.0 * x / LENGTH - 1.0) ** 2
        if fullness < 1e-12:
            stations.append(Station(at=float(x), points=((0.0, -DRAFT), (0.0, 0.0))))
        else:
            half_breadths = BREADTH / 2 * fullness * (1.0 - (heights / DRAFT) ** 2)
            stations.append(Station(at=float(x), points=_points(half_breadths, heights)))
    return _hull(stations)


def half_ellipsoid(count: int, points: int = 15) -> Hull:
    """The lower half of an ellipsoid, a point at either end, points at equal angles."""
    angle = np.linspace(0.0, np.pi / 2, points)
    stations = []
    for x in _cosine_spaced(count):
        size = np.sqrt(max(0.0, 1.0 - (2.0 * x / LENGTH - 1.0) ** 2))
        if size < 1e-9:
            stations.append(Station(at=float(x), points=((0.0, 0.0),)))
        else:
            stations.append(
                Station(at=float(x), points=_points(BREADTH / 2 * size * np.sin(angle), -DRAFT * size * np.cos(angle)))
            )
    return _hull(stations)


def half_cylinder(count: int, points: int = 15) -> Hull:
    """The lower half of a lying cylinder of radius 0.6, flat ends."""
    angle = np.linspace(0.0, np.pi / 2, points)
    section_points = _points(0.6 * np.sin(angle), -0.6 * np.cos(angle))
    return _hull([Station(at=float(x), points=section_points) for x in _cosine_spaced(count)])


def box(count: int) -> Hull:
    points = ((0.0, -DRAFT), (BREADTH / 2, -DRAFT), (BREADTH / 2, 0.0))
    return _hull([Station(at=float(x), points=points, knuckles=(2,)) for x in np.linspace(0.0, LENGTH, count)])


def v_prism(count: int) -> Hull:
    points = ((0.0, -DRAFT), (BREADTH / 2, 0.0))
    return _hull([Station(at=float(x), points=points) for x in np.linspace(0.0, LENGTH, count)])


ROUND = {
    "wigley": (wigley, 4 / 9 * LENGTH * BREADTH * DRAFT, 2 / 3 * LENGTH * BREADTH),
    "half ellipsoid": (half_ellipsoid, np.pi / 3 * LENGTH / 2 * BREADTH * DRAFT, np.pi / 4 * LENGTH * BREADTH),
    "half cylinder": (half_cylinder, np.pi / 2 * 0.6**2 * LENGTH, 2 * 0.6 * LENGTH),
}


def _waterplane(form: HullForm) -> float:
    """Area [m2] at the top, taken a thousandth of a millimetre under it."""
    return section(form.inside, frame_z(-1e-6)).area


@pytest.mark.closed_form
@pytest.mark.parametrize("name", ROUND)
def test_round_hulls_to_what_is_promised(name: str) -> None:
    """21 cosine-spaced stations of 15 points: volume within 0.05 %, waterplane within 0.1 %."""
    make, volume, waterplane = ROUND[name]
    form = form_hull(make(21))
    assert form.inside.volume == pytest.approx(volume, rel=5e-4)
    assert _waterplane(form) == pytest.approx(waterplane, rel=1e-3)


@pytest.mark.closed_form
@pytest.mark.parametrize("name", ROUND)
def test_more_stations_come_closer(name: str) -> None:
    """With facets nine times finer, what is left falls from 11 to 21 to 41 stations towards the facets' own 0.005 %."""
    make, volume, _ = ROUND[name]
    errors = [abs(form_hull(make(count), resolution=9.0).inside.volume / volume - 1.0) for count in (11, 21, 41)]
    assert errors[0] < 6e-4
    assert errors[1] < 1e-4
    assert errors[2] < 6e-5


@pytest.mark.closed_form
@pytest.mark.parametrize("count", [2, 5, 21])
def test_flat_sided_hulls_are_exact(count: int) -> None:
    """A box and a V prism come out to a billionth, however many stations they are measured at."""
    for hull, volume, waterplane in (
        (box(count), LENGTH * BREADTH * DRAFT, LENGTH * BREADTH),
        (v_prism(count), LENGTH * BREADTH * DRAFT / 2, LENGTH * BREADTH),
    ):
        form = form_hull(hull)
        assert form.inside.volume == pytest.approx(volume, rel=1e-9)
        assert section(form.inside, frame_z(-1e-12)).area == pytest.approx(waterplane, rel=1e-9)


@pytest.mark.closed_form
def test_wigley_figures_under_its_waterline() -> None:
    """Centre of buoyancy, second moments and the share of volume ahead of a bulkhead, each from the form's equation.

    KB 5T/8, BM across 3B^2/35T and along 3L^2/40T; ahead of x the share 1/2 - 3s/2 + 2s^3 of the volume, s from midship.
    """
    form = form_hull(wigley(21))
    cut = clip(form.inside, Plane(UP, 0.0))
    assert DRAFT + cut.centroid[2] == pytest.approx(5 * DRAFT / 8, rel=1e-3)
    assert cut.centroid[0] == pytest.approx(LENGTH / 2, abs=1e-6)
    for s, share in ((0.35, 0.06075), (0.2, 0.216)):
        ahead = clip(form.inside, Plane.of((1.0, 0.0, 0.0), LENGTH / 2 - s * LENGTH))
        assert ahead.volume / form.inside.volume == pytest.approx(share, abs=2e-4)


@pytest.mark.closed_form
def test_shell_round_a_cylinder() -> None:
    """A shell of 15 mm round a half cylinder leaves the ring between two radii, square to the skin, and thick flat ends."""
    hull = half_cylinder(11)
    hull = Hull(name=hull.name, units="m", stations=hull.stations, shell=0.015)
    form = form_hull(hull)
    outer = np.pi / 2 * 0.615**2 * (LENGTH + 0.03)
    assert form.outside.volume == pytest.approx(outer, rel=3e-4)


# W. P. Stephens, Canoe and Boat Building (1885-89), Plate XI; the figures are the hull's own with straight lines between
# its points, worked out by trapezoids along x, ends 0. That is exact where only half-breadths vary; as the rabbet's height
# varies too, 0.1 % is allowed (a fine quadrature of the ruled hull gives 0.110492 and 0.204390 m3).
CANOE_WATERPLANES = {2: 1.329675, 4: 1.739997, 6: 1.956770}
CANOE_VOLUMES = {4: 0.110579, 6: 0.204477}
INCH = 0.0254


@pytest.fixture(scope="module")
def canoe() -> HullForm:
    return form_hull(read_hull(HULLS / "canoe-1889.yaml"))


@pytest.mark.published
def test_canoe_of_1889_waterplanes(canoe: HullForm) -> None:
    """Areas at the 2, 4 and 6 inch waterlines."""
    for inches, area in CANOE_WATERPLANES.items():
        assert section(canoe.outside, frame_z(inches * INCH)).area == pytest.approx(area, rel=1e-3)


@pytest.mark.published
def test_canoe_of_1889_volumes(canoe: HullForm) -> None:
    """Displacement to the 4 and 6 inch waterlines, its centre, and the waterplane's second moment."""
    for inches, volume in CANOE_VOLUMES.items():
        assert clip(canoe.outside, Plane(UP, inches * INCH)).volume == pytest.approx(volume, rel=1e-3)
    for inches, volume in {4: 0.110492, 6: 0.204390}.items():
        assert clip(canoe.outside, Plane(UP, inches * INCH)).volume == pytest.approx(volume, rel=3e-5)
    cut = clip(canoe.outside, Plane(UP, 6 * INCH))
    assert cut.centroid is not None
    assert cut.centroid[0] == pytest.approx(85.427 * INCH, rel=1e-3)


@pytest.mark.published
def test_canoe_of_1889_second_moment(canoe: HullForm) -> None:
    """The 6 inch waterplane's second moment about the centreline: the integral of 2/3 y^3 over straight pieces, 0.0614835 m4.

    Trapezoids of y^3 instead, as worked by hand, give 0.0623458: 1.4 % more, since y^3 sags between the stations.
    """
    moment = 0.0
    for part in section(canoe.outside, frame_z(6 * INCH)).geoms:
        x, y = np.asarray(part.exterior.coords).T
        twice = x[:-1] * y[1:] - x[1:] * y[:-1]
        moment += abs(float((twice * (y[:-1] ** 2 + y[:-1] * y[1:] + y[1:] ** 2)).sum())) / 12
    assert moment == pytest.approx(0.0614835015, rel=1e-6)


@pytest.mark.published
def test_fair_canoe_of_1889_agrees_with_simpson() -> None:
    """Fair lines through her straight-sided sections agree with Simpson's rule over the 15 stations, within 0.1 %.

    By Simpson: waterplanes at 2, 4 and 6 in 1.331610, 1.743222 and 1.965157 m2, displacement to 6 in 0.204867 m3. Curved sections
    hold 0.220 m3: nothing was measured between the keel and the first waterline, 12 inches out amidships.
    """
    form = form_hull(replace(read_hull(HULLS / "canoe-1889.yaml"), between_stations="smooth"))
    assert clip(form.outside, Plane(UP, 6 * INCH)).volume == pytest.approx(0.204867, rel=1e-3)
    for inches, area in {2: 1.331610, 4: 1.743222}.items():
        assert section(form.outside, frame_z(inches * INCH)).area == pytest.approx(area, rel=1e-3)
    # At 6 in a fair line lies 0.11 % under Simpson's parabolas, which swell at the hollow ends.
    assert section(form.outside, frame_z(6 * INCH)).area == pytest.approx(1.965157, rel=1.5e-3)


@pytest.mark.example
def test_resolution_multiplies_the_triangles() -> None:
    """Some 22 000 triangles as it comes, and in step with the resolution asked for."""
    counts = [len(form_hull(wigley(21), resolution).inside.triangles) for resolution in (1.0, 10.0)]
    assert 20_000 < counts[0] < 26_000
    assert counts[1] == pytest.approx(10 * counts[0], rel=0.2)


def curved_box(rake: float, **fields: object) -> Hull:
    """A box 4 m long, 2 m wide, 1 m deep whose transom's middle stands 200 mm aft of its sides."""
    points = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    stations = [Station(at=x, points=points, knuckles=(2,)) for x in (0.0, 4.0)]
    return _hull(stations, transom_rake=rake, transom_curve=0.2, **fields)


def _segment(rise: float, half: float) -> float:
    """The area between a chord of half-length `half` and its arc: R^2 asin(half / R) - half (R - rise)."""
    radius = (half * half + rise * rise) / (2.0 * rise)
    return float(radius**2 * np.arcsin(half / radius) - half * (radius - rise))


@pytest.mark.closed_form
@pytest.mark.parametrize("rake", [0.0, 20.0])
@pytest.mark.parametrize("lines", ["smooth", "straight"])
def test_a_transom_curved_across_closes_with_a_cylinder_s_segment(rake: float, lines: str) -> None:
    """A box with such an end: less what lies between a chord's rectangle and its segment, and more by the rake's wedge.

    The other face, 20 mm out, is the same with a radius 20 mm larger than the 2.6 m of a 200 mm rise over 2 m. Facets lie
    within 0.1 mm of the cylinder.
    """
    form = form_hull(curved_box(rake, shell=0.02, deck=Deck(thickness=0.02), between_stations=lines, between_points=lines))
    lean = np.tan(np.radians(rake))
    faces = ((form.inside, 1.0, (0.0, 1.0), 0.0), (form.outside, 1.02, (-0.02, 1.02), 0.02))
    for body, half, (low, high), out in faces:
        rise = 2.6 + out - np.sqrt((2.6 + out) ** 2 - half**2)
        plan = 2.0 * half * (4.0 + out + out * np.hypot(1.0, lean))
        plan -= (2.0 * half * rise - _segment(rise, half)) * np.hypot(1.0, lean)
        assert body.volume == pytest.approx((high - low) * plan + lean * half * (high**2 - low**2), abs=4e-4)
    assert form.sheer[-1, 1] == pytest.approx(1.02, abs=1e-6)
    assert form.x_after - form.sheer[-1, 0] == pytest.approx(rise * np.hypot(1.0, lean), abs=1e-4)
