"""A number of any part through a range: how it is asked for, and the scene at a place."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scene_specimens import HULL, SCENE

from sketcher.model.document import compose
from sketcher.model.edits.number_range import at_places, number_at, number_range
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import scene_from
from sketcher.model.scene import Waterline

SCENE_READ = scene_from(compose(SCENE, "x"), hull=hull_from(compose(HULL, "box.yaml")))


@pytest.mark.property
@pytest.mark.parametrize(
    ("asked", "count", "now", "text"),
    [
        ("collision.at=900:1500:10", 61, 1.15, "900"),
        ("tank top.height=600:800:20 mm", 11, 0.78, "600"),
        ("collision.at=36 in:48 in:1 in", 13, 1.15, "914.4"),
        ("main.rake=0:5:0.5", 11, 3.0, "0"),
        ("old water tank.kg=-120:0:40", 4, -120.0, "-120"),
        ("anchor chain.at.1=800:1000:100", 3, 0.9, "800"),
        ("lids.chain floor.slope=0:4", 51, 4.0, "0"),
        ("locker side.off_centre=-500:-400:50", 3, -0.45, "-500"),
        ("step.at=1500:1700:100", 3, None, "1500"),
        ("waterline.level=600:700:50", 3, 0.655, "600"),
        ("waterline.after=600:700:50", 3, 0.61, "600"),
        ("waterline.heel=-5:5:5", 3, 0.0, "-5"),
    ],
)
def test_a_range_is_read_in_the_files_unit(asked: str, count: int, now: float | None, text: str) -> None:
    """Any length unit, angles, kilograms, a number of a list; what stands in the scene now, None where it is tied."""
    wanted = number_range(SCENE_READ, asked)
    assert len(wanted.values) == count
    assert number_at(SCENE_READ, wanted) == now
    assert wanted.text(wanted.values[0], "mm") == text
    moved = at_places(SCENE_READ, (wanted,), wanted.values[:1])
    assert number_at(moved, wanted) == pytest.approx(wanted.low)


@pytest.mark.property
@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("colision.at=1:2:1", "Did you mean 'collision'"),
        ("collision.att=1:2:1", "Did you mean `at`"),
        ("collision.at=1:2:1:4", "is no range"),
        ("collision.at", "is no range"),
        ("collision.at=a:2:1", "is no length"),
        ("main.rake=1 in:2:1", "is no number"),
        ("collision.at=900:800:10", "goes nowhere"),
        ("collision.at=0:100:0.001", "has over 20000 places"),
        ("anchor chain.at=800:900:10", "Say which number"),
        ("anchor chain.at.4=800:900:10", "has no number 4"),
        ("waterline.forwards=600:700:50", "Did you mean forward"),
        ("waterline.bow_freeboard=600:700:50", "has no `bow_freeboard` here"),
    ],
)
def test_what_is_no_range_is_refused_with_what_to_write(asked: str, said: str) -> None:
    """Nearest names and keys, and the form."""
    with pytest.raises(SketchError) as refused:
        number_range(SCENE_READ, asked)
    assert said in str(refused.value)


@pytest.mark.example
def test_the_water_as_a_whole_keeps_its_trim() -> None:
    """45 mm down by the bow stay; stated by freeboards the stern's goes with the bow's; none stated is said."""
    lifted = number_range(SCENE_READ, "waterline.level=700:750:50")
    water = at_places(SCENE_READ, (lifted,), (0.7,)).waterline
    assert water is not None
    assert (water.forward, water.after) == (0.7, pytest.approx(0.655))
    dry = replace(SCENE_READ, waterline=Waterline(bow_freeboard=1.0, stern_freeboard=0.8))
    water = at_places(dry, (number_range(dry, "waterline.level=900:950:50"),), (0.9,)).waterline
    assert water is not None
    assert (water.bow_freeboard, water.stern_freeboard) == (0.9, pytest.approx(0.7))
    with pytest.raises(SketchError, match="no waterline is stated"):
        number_range(replace(SCENE_READ, waterline=None), "waterline.level=900:950:50")
