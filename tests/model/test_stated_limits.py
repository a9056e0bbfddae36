"""What must hold, as a scene says it."""

from __future__ import annotations

import pytest
from scene_specimens import HULL

from sketcher.model.document import compose
from sketcher.model.edits.actions import Rename
from sketcher.model.edits.deletion import Delete
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import scene_from, scene_text
from sketcher.model.scene import Scene
from sketcher.model.stated_limits import FIGURES

BOX = hull_from(compose(HULL, "box.yaml"))
HEAD = """scene: x
hull: box.yaml
units: mm
bulkheads:
  collision: {at: 1000, thickness: 12}
lids:
  top: {height: 500, from: stem, to: collision, thickness: 12}
limits:
"""


def with_limit(keys: str) -> Scene:
    return scene_from(compose(f"{HEAD}  mine: {{{keys}}}\n", "x"), hull=BOX)


@pytest.mark.property
@pytest.mark.parametrize(
    ("keys", "bound"),
    [
        ("figure: litres, of: fore space, at_least: 600", 0.6),
        ("figure: lid over water, of: top, when_holed: fore space, at_least: 2 in", 0.0508),
        ("figure: place, of: collision, at_most: 15 %", 0.15),
        ("figure: GM, at_least: 450", 0.45),
        ("figure: boards kg, at_most: 10 lb", 4.5359237),
        ("figure: trim, when_holed: [fore space, after space], at_most: 1.5", 1.5),
        ("figure: sheets, at_most: 2", 2.0),
    ],
)
def test_a_bound_is_read_by_its_figure_and_written_as_it_was(keys: str, bound: float) -> None:
    """Lengths in the file's unit, litres, kilograms, degrees, shares or counts; the text of the file gives the scene again."""
    scene = with_limit(keys)
    assert scene.limits[0].bound(scene.units) == pytest.approx(bound, rel=1e-15)
    assert scene_from(compose(scene_text(scene), "x"), hull=BOX).limits == scene.limits


@pytest.mark.property
@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ("figure: litre, of: a, at_least: 6", "Did you mean `litres`?"),
        ("figure: speed, at_least: 6", "There are: litres, litres below"),
        ("figure: litres, of: a, at_least: 6, at_most: 7", "one of them"),
        ("figure: litres, of: a", "one of them"),
        ("figure: litres, at_least: 6", "litres: of what?"),
        ("figure: litres, of: a, at_least: a lot", "Write litres, such as 600."),
        ("figure: sheets, at_most: 2.5", "Write a whole number, such as 2."),
        ("figure: GM, of: top, at_least: 6", "is a figure of the whole boat"),
        ("figure: lid over water, of: top, at_least: 6", "when_holed: \\[a space\\]"),
        ("figure: litres, of: a, when_holed: a, at_least: 6", "does not change where a space is holed"),
        ("figure: lid over water, of: tip, when_holed: a, at_least: 6", "Did you mean `top`?"),
        ("figure: place, of: top, at_most: 12 %", "there is no bulkhead called `top`"),
    ],
)
def test_a_limit_that_says_nothing_is_refused_with_what_to_write(keys: str, said: str) -> None:
    """A misspelt figure or name gets the nearest right one, a missing or contradictory key is named."""
    with pytest.raises(SketchError, match=said):
        with_limit(keys)


@pytest.mark.example
def test_a_limit_follows_the_name_of_what_it_is_about_and_goes_with_it() -> None:
    """The lid renamed, its limit names it anew; the lid deleted, so is its limit."""
    scene = with_limit("figure: lid over water, of: top, when_holed: a, at_least: 6")
    assert Rename("lids", "top", "upper").apply(scene).limits[0].of == "upper"
    assert Delete("lids", "top", free=True).apply(scene).limits == ()


@pytest.mark.property
@pytest.mark.parametrize("word", FIGURES)
def test_every_figure_is_known_whole_or_holed(word: str) -> None:
    """Each has a place among the report's figures, and its objects a block of the scene."""
    figure = FIGURES[word]
    assert figure.whole or figure.holed
    assert all(hasattr(with_limit("figure: GM, at_least: 1"), block) for block in figure.of)
