"""Which numbers of an object can be moved through a range, and how far each can go."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil, floor, log10

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Layout, PanelShape
from sketcher.geometry.mesh import Floats, bounds_of
from sketcher.model.edits.actions import Edit, MoveBulkhead
from sketcher.model.edits.number_range import LEVEL, MARKS, STATED_WATER, NumberRange, move_to, number_at
from sketcher.model.errors import SketchError
from sketcher.model.lookup import bulkhead_at, find
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.grips import step

MOST_PLACES = 60
"""Places of a range: closer than that no eye tells them apart on the page."""
STEPS = (1, 2, 4, 5, 10, 20, 40, 50, 100, 200, 400)
"""In how many steps of the hand places of a range may stand from each other."""
AXES = {"bulkhead": 0, "partition": 1, "lid": 2}
"""Along which of the boat's axes a panel moves as a whole."""
TURNS = {"bulkhead": ("rake",), "partition": ("lean",), "lid": ("slope",)}
PLANES = {"bulkhead": (1, 2), "partition": (0, 2), "lid": (0, 1), "deck": (0, 1)}
"""Along which axes the two numbers of an opening's place count, by what it is in."""
UPRIGHT = {"forward": (1, 2), "aft": (1, 2), "port": (0, 2), "starboard": (0, 2)}
"""The same in an upright face of cockpit or coachroof."""
PLACE_WORDS = ("place fore and aft", "place off the centreline", "height")
SIZE_WORDS = ("width", "height of it")
"""Of an opening: across and up, in its panel's plane."""
WATER_EITHER_WAY = 0.15
"""[m] How far the stated water is moved up and down: what stores, tanks and crew come to in a small boat."""
MOST_HEEL = 30.0
"""[degrees] Either way."""
MARGIN = 0.1
"""[m] Hull so far beyond a lid's ends still bounds how low and how high it can go."""
MOST_TURN, TURN_STEP = 20.0, 1.0
"""[degrees] How far a panel is turned either way, and in which steps."""


@dataclass(frozen=True, slots=True)
class MovedNumber:
    """range: the number and its places; word: what it is called beside the object."""

    range: NumberRange
    word: str

    def now(self, scene: Scene) -> float | None:
        """Where it stands in a scene; None where that is no number."""
        if self._is_bulkhead:
            return bulkhead_at(scene, self.range.name)
        return number_at(scene, self.range)

    def edit(self, scene: Scene, value: float) -> Edit:
        """What puts it at a value."""
        return MoveBulkhead(self.range.name, value) if self._is_bulkhead else move_to(scene, self.range, value)

    @property
    def _is_bulkhead(self) -> bool:
        return (self.range.block, self.range.key) == ("bulkheads", "at")


def moved_numbers(evaluation: Evaluation, ref: ObjectRef) -> tuple[MovedNumber, ...]:
    """The numbers of an object that can be moved through a range, the most usual first; none where it has none."""
    scene = evaluation.scene
    try:
        if ref.kind == "berth" and (lid := find(scene, "berths", ref.name).lies_on) is not None:
            ref = ObjectRef("lid", lid)
        found = _of_panel if ref.kind in AXES else OTHERS.get(ref.kind, _of_nothing)
        return tuple(found(evaluation, ref))
    except SketchError:
        return ()


def _of_nothing(_: Evaluation, __: ObjectRef) -> Iterator[MovedNumber]:
    return iter(())


def _of_panel(evaluation: Evaluation, ref: ObjectRef) -> Iterator[MovedNumber]:
    layout, scene, block = evaluation.layout, evaluation.scene, f"{ref.kind}s"
    shape = next((shape for shape in layout.panels if (shape.kind, shape.name) == (ref.kind, ref.name)), None)
    if shape is None:
        return
    low, high = _free_way(layout, shape)
    if ref.kind == "partition":
        fore, aft = find(scene, block, ref.name).off_centre
        word = "off the centreline"
        numbers = [(0, word)] if fore == aft else [(1, f"{word} forward"), (2, f"{word} aft")]
        for index, word in numbers:
            yield from _lengths(scene, NumberRange(block, ref.name, "off_centre", low, high, 0.0, index), word)
    else:
        key, word = ("at", "place") if ref.kind == "bulkhead" else ("height", "height")
        yield from _lengths(scene, NumberRange(block, ref.name, key, low, high, 0.0), word)
    for key in TURNS[ref.kind]:
        yield MovedNumber(NumberRange(block, ref.name, key, -MOST_TURN, MOST_TURN, TURN_STEP), key)


def _of_berth(evaluation: Evaluation, ref: ObjectRef) -> Iterator[MovedNumber]:
    lowest, highest = _ends(evaluation.layout.hull.inside.vertices, 2)
    yield from _lengths(evaluation.scene, NumberRange("berths", ref.name, "height", lowest, highest, 0.0), "height")


def _of_weight(evaluation: Evaluation, ref: ObjectRef) -> Iterator[MovedNumber]:
    scene, hull = evaluation.scene, evaluation.layout.hull
    kg = find(scene, "weights", ref.name).kg
    for axis, word in enumerate(PLACE_WORDS):
        low, high = _ends(hull.inside.vertices, axis)
        yield from _lengths(scene, NumberRange("weights", ref.name, "at", low, high, 0.0, axis + 1), word)
    if kg:
        by = 10.0 ** floor(log10(abs(kg))) / 10.0
        most = ceil(2 * abs(kg) / (40 * by)) * 40 * by
        low, high = (0.0, most) if kg > 0 else (-most, 0.0)
        yield MovedNumber(NumberRange("weights", ref.name, "kg", low, high, most / 40), "mass")


def _of_water(evaluation: Evaluation, _: ObjectRef) -> Iterator[MovedNumber]:
    """The stated water as a whole, each of its marks, and her heel."""
    water, floating = evaluation.scene.waterline, evaluation.water
    if water is None or floating is None:
        return
    marks = next(marks for marks in MARKS if getattr(water, marks[0]) is not None)
    for key, word in ((LEVEL, "level, trim kept"), *((mark, mark.replace("_", " ")) for mark in marks)):
        now = getattr(water, marks[0] if key == LEVEL else key)
        yield from _lengths(
            evaluation.scene,
            NumberRange(STATED_WATER, STATED_WATER, key, now - WATER_EITHER_WAY, now + WATER_EITHER_WAY, 0.0),
            word,
        )
    yield MovedNumber(NumberRange(STATED_WATER, STATED_WATER, "heel", -MOST_HEEL, MOST_HEEL, TURN_STEP), "heel")


def _of_opening(evaluation: Evaluation, ref: ObjectRef) -> Iterator[MovedNumber]:
    """Where it is in its panel, deck or hull, as far as that reaches, and how large."""
    scene = evaluation.scene
    opening = find(scene, "openings", ref.name)
    if opening.through is None:
        return
    shape = next((shape for shape in evaluation.layout.panels if shape.name == opening.through), None)
    points = evaluation.layout.hull.inside.vertices if shape is None else shape.trimmed.vertices
    axes = PLANES["deck" if shape is None else shape.kind] if len(opening.at) == 2 else (0, 1, 2)
    for number, axis in enumerate(UPRIGHT[opening.face] if opening.face else axes):
        low, high = _ends(points, axis)
        yield from _lengths(scene, NumberRange("openings", ref.name, "at", low, high, 0.0, number + 1), PLACE_WORDS[axis])
    sizes = [("diameter", 0, "diameter")] if opening.size is None else [("size", k + 1, SIZE_WORDS[k]) for k in (0, 1)]
    for key, index, word in sizes:
        now = opening.diameter if index == 0 else opening.size[index - 1]
        yield from _lengths(scene, NumberRange("openings", ref.name, key, 0.0, 2 * now, 0.0, index), word)


def _of_stringer(evaluation: Evaluation, ref: ObjectRef) -> Iterator[MovedNumber]:
    stringer = find(evaluation.scene, "stringers", ref.name)
    for key, now in (("width", stringer.width), ("depth", stringer.depth)):
        yield from _lengths(evaluation.scene, NumberRange("stringers", ref.name, key, 0.0, 3 * now, 0.0), key)


OTHERS: dict[str, Callable[[Evaluation, ObjectRef], Iterator[MovedNumber]]] = {
    "weight": _of_weight,
    "berth": _of_berth,
    "opening": _of_opening,
    "stringer": _of_stringer,
    "waterline": _of_water,
}
"""What moves of objects that are no panels."""


def _free_way(layout: Layout, shape: PanelShape) -> tuple[float, float]:
    """How far a panel can go [m] before it meets the end of the hull, or another of its kind that stands in its way."""
    axis = AXES[shape.kind]
    own, hull = bounds_of(shape.trimmed.vertices), layout.hull.inside.vertices
    if shape.kind == "lid":
        hull = hull[(hull[:, 0] >= own[0][0] - MARGIN) & (hull[:, 0] <= own[1][0] + MARGIN)]
    low, high = _ends(hull, axis)
    for other in layout.panels:
        if other.kind != shape.kind or other.name == shape.name or not other.reaches_in:
            continue
        bounds = bounds_of(other.trimmed.vertices)
        if any(bounds[0][k] >= own[1][k] - 1e-6 or bounds[1][k] <= own[0][k] + 1e-6 for k in range(3) if k != axis):
            continue
        if bounds[0][axis] + bounds[1][axis] < own[0][axis] + own[1][axis]:
            low = max(low, float(bounds[1][axis]))
        else:
            high = min(high, float(bounds[0][axis]))
    return low, high


def _ends(points: Floats, axis: int) -> tuple[float, float]:
    return float(points[:, axis].min()), float(points[:, axis].max())


def _lengths(scene: Scene, way: NumberRange, word: str) -> Iterator[MovedNumber]:
    """A length between two ends, at places that the hand also has; nothing where no two are between them."""
    finest = step(scene.units, fine=False)
    by = next((each * finest for each in STEPS if (way.high - way.low) / (each * finest) <= MOST_PLACES), None)
    if by is None:
        return
    low, high = ceil(way.low / by + 0.01) * by, floor(way.high / by - 0.01) * by
    if high > low:
        yield MovedNumber(NumberRange(way.block, way.name, way.key, round(low, 9), round(high, 9), by, way.index), word)
