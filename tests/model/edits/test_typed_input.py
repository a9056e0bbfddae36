"""What is typed into a field, decimal commas among it."""

from __future__ import annotations

from pathlib import Path

import pytest

from sketcher.model.demos import demo_folder
from sketcher.model.edits.typed_input import read_typed, typed, typed_length
from sketcher.model.errors import SketchError
from sketcher.model.fields.scene_fields import SCENE_FIELD_BY_KEY
from sketcher.model.files.scene_file import read_scene
from sketcher.model.lookup import field_of
from sketcher.model.scene import Scene

SCENE = Path(demo_folder()) / "scenes" / "marram-forepeak.yaml"


@pytest.fixture(scope="module")
def scene() -> Scene:
    """A scene in millimetres."""
    return read_scene(SCENE)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1,2 m", 1.2),
        ("1150,5", 1.1505),
        ("0,125 m", 0.125),
        ("45,3 in", 45.3 * 0.0254),
        ("115,25cm", 1.1525),
        ("3,5 ft", 1.0668),
    ],
)
def test_a_decimal_comma_is_taken_where_it_can_only_be_one(scene: Scene, text: str, metres: float) -> None:
    """A comma that no thousands can stand behind is read as a point, in every unit, for a panel's place and for a view's cut."""
    assert typed(scene, "bulkheads", "collision", "at", text).value == pytest.approx(metres)
    assert typed_length(text, scene.units) == pytest.approx(metres)


@pytest.mark.closed_form
def test_a_decimal_comma_is_taken_in_degrees_and_off_the_centreline(scene: Scene) -> None:
    """Also where the number is no length, or a side of the boat is said behind it."""
    assert typed(scene, "bulkheads", "collision", "rake", "2,5").value == pytest.approx(2.5)
    assert typed(scene, "partitions", scene.partitions[0].name, "off_centre", "450,5 port").value == pytest.approx((-0.4505,) * 2)


@pytest.mark.closed_form
def test_a_decimal_comma_is_taken_within_a_block(scene: Scene) -> None:
    """Both heights of the waterline, in any unit; the comma before the next key stays what it is."""
    field = SCENE_FIELD_BY_KEY["waterline"]
    with_points = read_typed(field, "{forward: 655.5, after: 0.6105 m, heel: 1.5}", scene.units)
    assert read_typed(field, "{forward: 655,5, after: 0,6105 m, heel: 1,5}", scene.units) == with_points
    with pytest.raises(SketchError, match="can be read two ways"):
        read_typed(field, "{forward: 1,655, after: 610}", scene.units)


@pytest.mark.property
@pytest.mark.parametrize("text", ["1,200", "1,200 m", "12,500 mm"])
def test_a_comma_that_may_stand_for_thousands_is_refused(scene: Scene, text: str) -> None:
    """Three digits behind it: the message says both readings."""
    with pytest.raises(SketchError, match="can be read two ways"):
        typed(scene, "bulkheads", "collision", "at", text)


@pytest.mark.property
@pytest.mark.parametrize("text", ["1,2,3", "1.200,5", "1,,2", "a,5"])
def test_other_commas_are_refused_in_words(scene: Scene, text: str) -> None:
    """Nothing is guessed of a text with more than one comma, or a comma and a point."""
    with pytest.raises(SketchError, match=text.replace(".", r"\.")):
        typed(scene, "bulkheads", "collision", "at", text)


@pytest.mark.closed_form
@pytest.mark.parametrize(("text", "kilograms"), [("40 g", 0.04), ("0,04", 0.04), ("2,5 lb", 2.5 * 0.45359237)])
def test_a_mass_is_typed_in_any_unit(scene: Scene, text: str, kilograms: float) -> None:
    """What the kitchen scales say, with a comma too."""
    assert read_typed(field_of("weights", "kg"), text, scene.units) == pytest.approx(kilograms)


@pytest.mark.example
def test_a_bare_gallon_is_refused(scene: Scene) -> None:
    """It is 3.8 litres on one side of the ocean and 4.5 on the other."""
    with pytest.raises(SketchError, match="gallons are not the same everywhere"):
        read_typed(field_of("bottles", "litres"), "5 gal", scene.units)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("600 x 200 x 250", (0.6, 0.2, 0.25)),
        ("600x200×250", (0.6, 0.2, 0.25)),
        ("60 x 20 x 25 cm", (0.6, 0.2, 0.25)),
        ("0.6 m x 200 x 25 cm", (0.6, 0.2, 0.25)),
        ("[600, 200, 250]", (0.6, 0.2, 0.25)),
    ],
)
def test_sides_are_typed_with_x_between(scene: Scene, text: str, sides: tuple[float, ...]) -> None:
    """As people say a box; a unit behind the last alone is meant for all three."""
    assert read_typed(field_of("stowage", "size"), text, scene.units) == pytest.approx(sides)


@pytest.mark.property
@pytest.mark.parametrize("text", ["600 x 200", "600 x x 250", "600"])
def test_sides_that_are_not_three_are_refused(scene: Scene, text: str) -> None:
    """Nothing is guessed for a side that is missing."""
    with pytest.raises(SketchError, match=r"three sides|nothing is written|length"):
        read_typed(field_of("stowage", "size"), text, scene.units)


@pytest.mark.example
def test_a_chain_without_a_unit_is_asked_for_metres(scene: Scene) -> None:
    """45 in a scene in millimetres would be a chain of 45 mm: the message says what to type instead."""
    with pytest.raises(SketchError, match="`45` is 45 mm of chain") as refusal:
        read_typed(field_of("chains", "length"), "45", scene.units)
    assert 'Write "45 m" for metres' in refusal.value.remedy
    assert read_typed(field_of("chains", "length"), "45 m", scene.units) == 45.0
