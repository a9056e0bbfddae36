"""How far each number of a part can go, and which numbers it has."""

from __future__ import annotations

from functools import cache

import pytest

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.places.moved_numbers import MOST_PLACES, moved_numbers

PARTS = {
    "bulkhead/collision": ["place", "rake"],
    "bulkhead/main": ["place", "rake"],
    "partition/locker side": ["off the centreline", "lean"],
    "lid/tank top": ["height", "slope"],
    "berth/vee berth": ["height", "slope"],
    "weight/anchor chain": ["place fore and aft", "place off the centreline", "height", "mass"],
    "weight/old water tank": ["place fore and aft", "place off the centreline", "height", "mass"],
    "opening/doorway": ["place off the centreline", "height", "width", "height of it"],
    "opening/limber hole": ["place off the centreline", "height", "diameter"],
    "opening/fore hatch": ["place fore and aft", "place off the centreline", "width", "height of it"],
    "stringer/bearer": ["width", "depth"],
    "waterline/waterline": ["level, trim kept", "forward", "after", "heel"],
    "compartment/saloon": [],
}


@cache
def marram() -> Evaluation:
    return evaluate(read_scene(str(demo_folder() / "scenes" / "marram-forepeak.yaml")))


@pytest.mark.property
@pytest.mark.parametrize("part", PARTS)
def test_a_range_holds_where_it_stands_and_ends_within_the_boat(part: str) -> None:
    """Of every number of every kind: not too many places, each put there and read again, lengths within the hull's box."""
    kind, name = part.split("/")
    boat = marram()
    numbers = moved_numbers(boat, ObjectRef(kind, name))  # type: ignore[arg-type]
    assert [number.word for number in numbers] == PARTS[part]
    low, high = boat.layout.hull.inside.bounds
    for number in numbers:
        places, now = number.range.values, number.now(boat.scene)
        assert 2 <= len(places) <= MOST_PLACES + 1
        assert now is not None
        assert places[0] <= now <= places[-1]
        if number.range.is_length:
            assert low.min() <= places[0] < places[-1] <= high.max()
        for value in (places[0], places[-1]):
            assert number.now(number.edit(boat.scene, value).apply(boat.scene)) == pytest.approx(value, abs=1e-6)


@pytest.mark.example
def test_a_bulkhead_stops_at_its_neighbours_and_a_weight_is_at_most_doubled() -> None:
    """The main bulkhead between the collision bulkhead and the stern; what is taken off stays taken off."""
    boat = marram()
    collision, main = (moved_numbers(boat, ObjectRef("bulkhead", name))[0].range for name in ("collision", "main"))
    assert collision.high < 3.25
    assert main.low > 1.18 + 0.018
    assert main.high > 8.0
    chain, tank = (moved_numbers(boat, ObjectRef("weight", name))[-1].range for name in ("anchor chain", "old water tank"))
    assert (chain.low, tank.high) == (0.0, 0.0)
    assert chain.high >= 168.0
    assert tank.low <= -240.0
