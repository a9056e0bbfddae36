"""Hull files, read and written."""

from dataclasses import replace
from pathlib import Path

import pytest

from sketcher.model.demos import demo_folder
from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from, hull_text, read_hull, write_hull
from sketcher.model.hull import Appendage, Coachroof, Cockpit, Deck, DistanceCheck, Hull, Station, WholeBoat, with_heights_up

EVERYTHING = """\
hull: Marram 29
units: in
offsets_to: outside
shell: 1/2 in
material: steel
measured: {trim: 0.5, heel: -1.3, level: [[20, 0, 30], [300, 4 port, 30]], heights_from: -14}
measured_to: 0.2
stem: [[55, 0], [27 1/2 in, 20], [0, 69]]
stations:
  - at: 55
    points: [[0, 0], [15, 13], [27.5, 41], ["2 ft 10 in", 64]]
    knuckles: [2]
  - {at: 118, points: [[0, 0], [34, 64]], port: [[0, 0], [35, 64]],
     measured_to: 1/4 in, points_measured_to: {2: 0.05}, at_measured_to: 0.1}
between_stations: straight
between_points: straight
transom: {rake: 12, curve: 4}
deck: {camber: 3, thickness: 0.75}
coachroof: {from: 60, to: 100, half_breadth: [20, 30], height: 12, camber: 2}
cockpit: {from: 101, to: 115, half_breadth: [15, 16], sole: 24}
aft_end: open
appendages:
  fin keel: {litres: 280, at: [80, 2 port, -17], lowest: -37}
checks:
  girth: {from: [55, 1], to: [55, 4], measured: 80, along: skin}
  diagonal: {from: [55, 2], to: [118, 2], measured: 70, across: true}
twin: {spacing: 210}
boat:
  {length: 350, waterline_from: 27, waterline_to: 327, displacement: 4200, kg_per_cm: 118, moment_per_cm: 52,
   centre_of_flotation: 185}
"""


@pytest.mark.closed_form
def test_every_key_of_a_hull_is_read_in_its_unit() -> None:
    """Each key lands where it belongs, inches as 25.4 mm exactly (definition of the inch), litres as thousandths."""
    hull = hull_from(compose(EVERYTHING, "x.yaml"))
    assert hull.offsets_to == "outside"
    assert hull.shell == 0.0127
    assert (hull.material, hull.made_of, hull.bolted) == ("steel", "steel", True)
    assert (hull.measured_trim, hull.measured_heel, hull.transom_rake, hull.transom_curve) == (0.5, -1.3, 12.0, 0.1016)
    assert hull.level == ((0.508, 0.0, 0.762), (7.62, -0.1016, 0.762))
    assert (hull.heights_from, hull.heights_down) == (-0.3556, False)
    assert hull.checks == (
        DistanceCheck(name="girth", start=(1.397, 1), end=(1.397, 4), measured=2.032, skin=True),
        DistanceCheck(name="diagonal", start=(1.397, 2), end=(2.9972, 2), measured=1.778, across=True),
    )
    assert hull.stem == ((1.397, 0.0), (0.6985, 0.508), (0.0, 1.7526))
    assert hull.stations[0].points[3] == (0.8636, 1.6256)
    assert hull.stations[0].knuckles == (2,)
    assert (hull.apart, hull.stations[0].port, hull.stations[1].port) == (True, (), ((0.0, 0.0), (0.889, 1.6256)))
    assert (hull.measured_to, hull.stations[0].measured_to, hull.stations[1].measured_to) == (0.00508, None, 0.00635)
    assert (hull.stations[1].points_measured_to, hull.stations[1].at_measured_to) == (((2, 0.00127),), 0.00254)
    assert (hull.between_stations, hull.between_points) == ("straight", "straight")
    assert hull.deck == Deck(camber=0.0762, thickness=0.01905)
    assert hull.coachroof == Coachroof(start=1.524, end=2.54, half_breadth=(0.508, 0.762), height=0.3048, camber=0.0508)
    assert hull.cockpit == Cockpit(start=2.5654, end=2.921, half_breadth=(0.381, 0.4064), sole=0.6096)
    assert hull.open_aft
    assert hull.appendages == (Appendage(name="fin keel", volume=0.28, at=(2.032, -0.0508, -0.4318), lowest=-0.9398),)
    assert hull.twin_spacing == 5.334
    assert hull.boat == WholeBoat(
        length=8.89,
        waterline_from=0.6858,
        waterline_to=8.3058,
        displacement=4200.0,
        kg_per_cm=118.0,
        moment_per_cm=52.0,
        centre_of_flotation=4.699,
    )


@pytest.mark.example
def test_what_a_hull_file_leaves_out_is_plain() -> None:
    """Only a name, a unit and stations are needed."""
    hull = hull_from(
        compose("hull: x\nunits: m\nstations:\n- {at: 0, points: [[0, 0]]}\n- {at: 2, points: [[0, 0], [1, 1]]}\n", "x.yaml")
    )
    stations = (Station(at=0.0, points=((0.0, 0.0),)), Station(at=2.0, points=((0.0, 0.0), (1.0, 1.0))))
    assert hull == Hull(name="x", units="m", stations=stations, file="x.yaml")
    assert (hull.material, hull.made_of, hull.bolted) == (None, "grp", False)


@pytest.mark.property
@pytest.mark.parametrize("path", sorted((demo_folder() / "hulls").glob("*.yaml")), ids=lambda path: path.stem)
def test_a_written_hull_reads_back_the_same(path: Path, tmp_path: Path) -> None:
    """Every demo hull, written anew, is the same hull to the last bit."""
    hull = read_hull(path)
    target = tmp_path / "again.yaml"
    write_hull(hull, target, "written anew")
    assert replace(read_hull(target), file=None) == replace(hull, file=None)


@pytest.mark.example
def test_a_hull_with_everything_is_written_and_read_back() -> None:
    """Each key that can be written is written so that it comes back."""
    hull = hull_from(compose(EVERYTHING, "x.yaml"))
    assert hull_from(compose(hull_text(hull), "x.yaml")) == hull


@pytest.mark.example
def test_heights_read_downwards_are_kept_as_read() -> None:
    """From a string 1.9 m over the base line: the file's numbers stay, and the heights over the base line are what is left."""
    text = "hull: x\nunits: mm\nmeasured: {heights_from: 1900, heights: down}\nstations:\n"
    text += "- {at: 0, points: [[0, 1500], [400, 300]]}\n- {at: 2000, points: [[0, 1600], [900, 350]]}\n"
    hull = hull_from(compose(text, "x.yaml"))
    assert hull.stations[0].points == ((0.0, 1.5), (0.4, 0.3))
    assert with_heights_up(hull).stations[0].points[1] == pytest.approx((0.4, 1.6))
    assert hull_from(compose(hull_text(hull), "x.yaml")) == hull


@pytest.mark.example
def test_a_hull_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    """A folder that is not there is an error in words."""
    hull = hull_from(compose(EVERYTHING, "x.yaml"))
    with pytest.raises(SketchError, match=r"cannot be written: .*\nMake the folder first"):
        write_hull(hull, tmp_path / "no" / "hull.yaml")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.example
def test_tumblehome_tunnels_and_flat_bottoms_are_in_order() -> None:
    """Sections that turn inwards at the top, fall outwards or run level are no mistake."""
    rows = [
        "[[0, 0], [900, 300], [800, 1000]]",
        "[[0, 200], [400, 0], [900, 300], [900, 1000]]",
        "[[0, 0], [900, 0], [900, 1000]]",
    ]
    text = "hull: x\nunits: mm\nstations:\n" + "".join(f"- {{at: {i * 1000}, points: {row}}}\n" for i, row in enumerate(rows))
    assert len(hull_from(compose(text, "x")).stations) == 3
