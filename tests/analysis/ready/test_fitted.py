"""Ready layouts: in hulls they were not drawn for nothing stops, lids stay dry, the berth fits, and what is guessed is said."""

from dataclasses import replace

import pytest

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.ready.fitted import UNWANTED, ready_layout
from sketcher.analysis.ready.layouts import LAYOUTS
from sketcher.analysis.ready.likely_waterline import likely_displacement, likely_waterline
from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import SetSceneValue
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.hull import Hull
from sketcher.model.scene import Scene, Waterline
from sketcher.outputs.wording.sentences import message

SLOW = pytest.mark.slow


def demo_hull(name: str) -> Hull:
    return read_hull(demo_folder() / "hulls" / f"{name}.yaml")


def narrowed(hull: Hull) -> Hull:
    """A boat nobody has: the same a fifth narrower and higher."""
    stations = tuple(replace(station, points=tuple((0.8 * y, 1.2 * z) for y, z in station.points)) for station in hull.stations)
    return replace(hull, stations=stations, stem=tuple((x, 1.2 * z) for x, z in hull.stem), name="Narrow")


@pytest.mark.property
@pytest.mark.parametrize(
    ("layout", "hull"),
    [
        ("boards-only", "quillet-21"),
        ("twin-bow", "pellwick-30"),
        pytest.param("two-tanks", "narrow", marks=SLOW),
        pytest.param("single-berth", "ternholm-34", marks=SLOW),
        pytest.param("chain-locker", "pellwick-30", marks=SLOW),
    ],
)
def test_a_ready_layout_suits_a_hull_that_it_was_not_drawn_for(layout: str, hull: str) -> None:
    """Nothing stops, lids stay dry when holed, the berth fits, and the bulkhead is inside the rules' windows."""
    evaluation = ready_layout(
        layout, narrowed(demo_hull("quillet-21")) if hull == "narrow" else demo_hull(hull), "hull.yaml", 1.7
    )
    told = [finding.code for finding in evaluation.findings]
    assert not [finding for finding in evaluation.findings if finding.severity == "stop"]
    assert not set(told) & set(UNWANTED)
    assert [berth.fits for berth in evaluation.berths] == [True]
    assert all(item.name in {space.name for space in evaluation.layout.compartments} for item in evaluation.scene.compartments)
    outside = [
        f.values["verdict"].code
        for f in evaluation.findings
        if f.code in ("collision-bulkhead-racing", "collision-bulkhead-passenger")
    ]
    assert set(outside) <= {"inside-that-window"}


@pytest.mark.example
def test_what_is_guessed_is_said_until_it_is_measured() -> None:
    """A measured waterline takes its name off the guesses; the centre of gravity stays one, and is told."""
    scene = ready_layout("boards-only", demo_hull("quillet-21"), "hull.yaml").scene
    assert scene.guessed == ("waterline", "centre_of_gravity")
    measured = SetSceneValue("waterline", Waterline(forward=0.27, after=0.26)).apply(scene)
    assert measured.guessed == ("centre_of_gravity",)
    form = hull_form(measured.hull)
    (guess,) = [f for f in floating(measured, form, water_plane(measured, form))[1] if f.code == "guessed-values"]
    assert message(guess, "mm").startswith("The height of her centre of gravity is a guess from her shape")


@pytest.mark.closed_form
def test_the_likely_waterline_carries_the_likely_displacement() -> None:
    """At the guessed waterline she displaces what a boat of her length usually does."""
    hull = demo_hull("quillet-21")
    form = hull_form(hull)
    water = likely_waterline(form, 1000.0)
    scene = Scene(name="x", units="mm", hull=hull, hull_path="x", water_density=1000.0, waterline=water)
    figures, _ = floating(scene, form, water_plane(scene, form))
    assert figures.displacement == pytest.approx(likely_displacement(form.x_after - form.x_forward, 1), rel=1e-6)


@pytest.mark.example
def test_a_hull_measured_in_part_floats_where_its_waterline_begins() -> None:
    """The guessed water meets the outside where the `boat` block has the waterline begin."""
    hull = demo_hull("ternholm-34")
    form = hull_form(hull)
    assert hull.boat is not None
    begins = hull.boat.waterline_from
    height = likely_waterline(form, 1025.0).forward
    assert begins is not None
    assert height is not None
    section = form.section_at(begins, "outside")
    assert section.bounds[1] == pytest.approx(height, abs=1e-6)


@pytest.mark.example
def test_a_misspelt_layout_brings_the_nearest() -> None:
    """The nearest right name is offered."""
    with pytest.raises(SketchError, match="no ready layout `crash-bert`") as refused:
        ready_layout("crash-bert", demo_hull("quillet-21"), "hull.yaml")
    assert refused.value.remedy == "Did you mean `crash-berth`?"


@pytest.mark.example
@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_hull_without_room_is_said_to_have_none(layout: str) -> None:
    """In a canoe no layout fits, and it is said which."""
    with pytest.raises(SketchError, match=f"no room for the layout `{layout}`"):
        ready_layout(layout, demo_hull("canoe-1889"), "hull.yaml")
