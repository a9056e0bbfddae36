"""A number of any part moved through a range: how it is asked for, and the scene at each of its places."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sketcher.model.edits.actions import Edit, SetSceneValue, SetValue
from sketcher.model.edits.typed_input import read_typed
from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.fields.reading import Field
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY, BLOCKS, WATERLINE_FIELDS
from sketcher.model.lookup import field_of, find
from sketcher.model.scene import Scene, Waterline
from sketcher.model.units import format_length, format_number, parse_length, parse_number

MOST_PLACES = 20_000
"""Places of one range: beyond this nobody waits."""

FORM = "Write it like collision.at=900:1500:10, from, to and step."

STATED_WATER = "waterline"
"""In place of a block and a name, where it is the stated water that moves."""
LEVEL = "level"
"""The water as a whole, told by its first mark, its trim kept."""
MARKS = (("forward", "after"), ("bow_freeboard", "stern_freeboard"))
"""How a waterline may be stated: the heights or freeboards of its two marks."""


@dataclass(frozen=True, slots=True)
class NumberRange:
    """One number of an object from `low` to `high` by `step`, all in SI or degrees.

    index: which number of a list, from 1; 0: the field is a number itself.
    """

    block: str
    name: str
    key: str
    low: float
    high: float
    step: float
    index: int = 0

    @property
    def object(self) -> str:
        """The object's name and its key, as they are asked for."""
        return f"{self.name}.{self.key}{f'.{self.index}' if self.index else ''}"

    @property
    def field(self) -> Field:
        """The field that holds the number."""
        if self.block == STATED_WATER:
            return next(field for field in WATERLINE_FIELDS if field.key == ("forward" if self.key == LEVEL else self.key))
        return field_of(self.block, self.key)

    @property
    def is_length(self) -> bool:
        """Whether it is a length [m]."""
        return self.field.kind.unit == "length"

    @property
    def values(self) -> tuple[float, ...]:
        """Every place, from the low end in whole steps."""
        count = int((self.high - self.low) / self.step + 1e-9) + 1
        return tuple(round(self.low + k * self.step, 9) for k in range(count))

    def text(self, value: float, units: str) -> str:
        """A place as a file of these units would have it."""
        return format_length(value, units) if self.is_length else format_number(round(value, 9))


def number_range(scene: Scene, asked: str) -> NumberRange:
    """A range as it is typed, `tank top.height=600:800:20`. Raises SketchError with the nearest right name, key or form."""
    what, equals, ends = asked.rpartition("=")
    if not equals or ends.count(":") not in (1, 2):
        raise SketchError(f"--move {quoted(asked)} is no range", FORM)
    block, name, key, index = _found(scene, what.strip())
    is_length = NumberRange(block, name, key, 0.0, 0.0, 1.0).is_length
    low, high, *step = (_end(text, scene.units if is_length else None, asked) for text in ends.split(":"))
    by = step[0] if step else (high - low) / 50.0
    if high <= low or by <= 0.0:
        raise SketchError(f"--move {quoted(asked)} goes nowhere", "Give a lower end, a higher end and a step above 0.")
    if (high - low) / by > MOST_PLACES:
        raise SketchError(f"--move {quoted(asked)} has over {MOST_PLACES} places", "Give a longer step.")
    wanted = NumberRange(block, name, key, low, high, by, index)
    number_at(scene, wanted)
    return wanted


def number_at(scene: Scene, wanted: NumberRange) -> float | None:
    """The number as it stands in the scene; None where the place is tied to another. Raises SketchError where it is none."""
    if wanted.block == STATED_WATER:
        return float(getattr(scene.waterline, _mark(scene, wanted.key)))
    value = getattr(find(scene, wanted.block, wanted.name), wanted.field.attribute)
    if wanted.index:
        if not isinstance(value, tuple) or not 1 <= wanted.index <= len(value):
            raise SketchError(f"`{wanted.key}` of {wanted.name} has no number {wanted.index}", FORM)
        value = value[wanted.index - 1]
    elif isinstance(value, tuple) and len(set(value)) == 1:
        value = value[0]
    if isinstance(value, tuple):
        raise SketchError(f"`{wanted.key}` of {wanted.name} is a list", f"Say which number: {wanted.object}.1=…")
    return float(value) if isinstance(value, float | int) and not isinstance(value, bool) else None


def at_places(scene: Scene, ranges: Sequence[NumberRange], values: Sequence[float]) -> Scene:
    """The scene with each number at its value, as if its file said so. Raises SketchError where that cannot be."""
    for wanted, value in zip(ranges, values, strict=True):
        scene = move_to(scene, wanted, value).apply(scene)
    return scene


def move_to(scene: Scene, wanted: NumberRange, value: float) -> Edit:
    """The edit that puts one number at a value."""
    if wanted.block == STATED_WATER:
        return SetSceneValue(STATED_WATER, _with_water(scene, wanted.key, value))
    text = wanted.text(value, scene.units)
    if wanted.index:
        item = find(scene, wanted.block, wanted.name)
        parts = wanted.field.kind.write(getattr(item, wanted.field.attribute), scene.units).strip("[]").split(", ")
        text = f"[{', '.join([*parts[: wanted.index - 1], text, *parts[wanted.index :]])}]"
    key = f"{wanted.block}.{wanted.name}.{wanted.key}"
    return SetValue(wanted.block, wanted.name, wanted.key, read_typed(wanted.field, text, scene.units, key))


def _mark(scene: Scene, key: str) -> str:
    """What holds a number of the stated water. Raises SketchError where it is stated otherwise, or not at all."""
    water = scene.waterline
    if water is None:
        raise SketchError("no waterline is stated", "State one first: a height, or two freeboards.", scene.file, key=STATED_WATER)
    stated = next(marks for marks in MARKS if getattr(water, marks[0]) is not None)
    if key == LEVEL:
        return stated[0]
    known = (LEVEL, *stated, "heel")
    if key not in known:
        near = nearest(key, known)
        remedy = f"Did you mean {near}?" if near else f"Known: {', '.join(known)}."
        raise SketchError(f"the waterline has no `{key}` here", remedy, scene.file)
    return key


def _with_water(scene: Scene, key: str, value: float) -> Waterline:
    mark, water = _mark(scene, key), scene.waterline
    assert water is not None
    if key != LEVEL:
        return replace(water, **{mark: value})
    by, other = value - getattr(water, mark), dict(MARKS)[mark]
    return replace(water, **{mark: value, other: getattr(water, other) + by})


def _end(text: str, units: str | None, asked: str) -> float:
    value = parse_number(text) if units is None else parse_length(text, units)
    if value is None:
        raise SketchError(f"--move {quoted(asked)}: {quoted(text)!r} is no {'number' if units is None else 'length'}", FORM)
    return value


def _found(scene: Scene, what: str) -> tuple[str, str, str, int]:
    """Block, name, key and number in a list of what is asked for; a block may stand before a name that two objects have."""
    listed = re.match(r"(.+)\.(\d+)\Z", what)
    what, index = (listed[1], int(listed[2])) if listed else (what, 0)
    before, _, key = what.rpartition(".")
    first, _, rest = before.partition(".")
    blocks = [BLOCK_BY_KEY[first]] if first in BLOCK_BY_KEY and rest else list(BLOCKS)
    name = rest if first in BLOCK_BY_KEY and rest else before
    having = [block for block in blocks if any(item.name == name for item in getattr(scene, block.key))]
    if not having and before == STATED_WATER:
        _mark(scene, key)
        return STATED_WATER, STATED_WATER, key, 0
    if not having:
        names = [item.name for block in blocks for item in getattr(scene, block.key)]
        near = nearest(name, names)
        raise SketchError(f"nothing here is called {quoted(name)!r}", f"Did you mean {near!r}?" if near else FORM, scene.file)
    with_key = [block for block in having if any(field.key == key for field in block.fields)]
    if len(with_key) > 1:
        also = " or ".join(f"{block.key}.{name}.{key}" for block in with_key)
        raise SketchError(f"{quoted(name)!r} is two things here", f"Write {also}.", scene.file)
    block = (with_key or having)[0]
    field_of(block.key, key)
    return block.key, name, key, index
