"""Every action on a scene as a named, frozen edit: Scene -> Scene, with what it does in words, before and after.

An edit checks what it makes as the reader would check the file, and keeps lengths to the steps that the file can hold, so
that the scene after an edit and the scene read back from the saved file are the same to the last bit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Protocol

from sketcher.model.cutting import JointDirection, Joints
from sketcher.model.edits.edit_words import from_to, joint_place, said, value_words
from sketcher.model.errors import SketchError, nearest
from sketcher.model.fields.reading import Field
from sketcher.model.fields.records import Block
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY, SCENE_FIELD_BY_KEY
from sketcher.model.files.scene_file import settled
from sketcher.model.lookup import block_of, bulkhead_at, field_of, find, rivals, swapped, with_item, with_items
from sketcher.model.scene import (
    Berth,
    Bulkhead,
    Fitting,
    FromPanel,
    Lid,
    NamedSpace,
    Opening,
    Partition,
    Scene,
    Waterline,
    Weight,
)
from sketcher.model.ties import called, names_in, renamed_in, ties_to


class Edit(Protocol):
    """A change to a scene. `apply` raises SketchError, in words, where it cannot be; `describe` is given the scene before."""

    def apply(self, scene: Scene) -> Scene: ...

    def describe(self, scene: Scene) -> str: ...


@dataclass(frozen=True, slots=True)
class SetValue:
    """Set one field of a named object: `block` and `key` as in the file, `value` as on the model (metres, degrees, names).

    A value takes the place of what excludes it: a size that of a diameter.
    """

    block: str
    name: str
    key: str
    value: Any

    def apply(self, scene: Scene) -> Scene:
        item = find(scene, self.block, self.name)
        field = field_of(self.block, self.key)
        changes = {field.attribute: _kept(self.value)}
        if field.instead_of and self.value is not None:
            changes[field.instead_of] = None
        return with_item(scene, self.block, self.name, replace(item, **changes))

    def describe(self, scene: Scene) -> str:
        block, field = BLOCK_BY_KEY[self.block], field_of(self.block, self.key)
        old = getattr(find(scene, self.block, self.name), field.attribute)
        new = getattr(find(self.apply(scene), self.block, self.name), field.attribute)
        what = called(self.name, block.word)
        if field.attribute in ("space", "berth"):
            return f"Move {self.name} from {old} to {new}"
        if isinstance(new, str) and names_in(new) and field.ties:
            return f"Tie {what}'s {field.words} to {new}"
        if isinstance(new, FromPanel) and names_in(old) != names_in(new):
            return f"Place {what} {value_words(field, new, scene.units)}"
        if (block.key, field.key) in _MOVES:
            return f"Move {what} {said(field, old, new, scene.units)}"
        return f"Set {what}'s {field.words} {_from(old)}{said(field, old, new, scene.units)}"


_MOVES = {
    ("bulkheads", "at"),
    ("partitions", "off_centre"),
    ("lids", "height"),
    ("openings", "at"),
    ("weights", "at"),
    ("fittings", "at"),
}
"""Fields whose change a person calls a move."""


@dataclass(frozen=True, slots=True)
class SetJoints:
    """Cut a panel in parts at the places given; None: where it must be, as it is found."""

    block: str
    name: str
    joints: Joints | None

    def apply(self, scene: Scene) -> Scene:
        return SetValue(self.block, self.name, "joints", self.joints).apply(scene)

    def describe(self, scene: Scene) -> str:
        old, new = (find(each, self.block, self.name).joints for each in (scene, self.apply(scene)))
        gone, come = _joints_in(old) - _joints_in(new), _joints_in(new) - _joints_in(old)
        before, after = (" and ".join(joint_place(*each, scene.units) for each in sorted(some)) for some in (gone, come))
        if len(gone) == len(come) == 1:
            return f"Move joint of {self.name} {from_to(before, after, scene.units)}"
        if come:
            return f"Cut {self.name} at {after}{f' in place of {before}' if gone else ''}"
        return f"Take {self.name}'s joint at {before} out"


def _joints_in(joints: Joints | None) -> set[tuple[JointDirection, float]]:
    return set() if joints is None else {(joints.direction, at) for at in joints.places}


@dataclass(frozen=True, slots=True)
class MoveBulkhead:
    """Move a bulkhead's forward face to a distance aft [m]; one placed from another keeps to it, at the new distance."""

    name: str
    at: float

    def apply(self, scene: Scene) -> Scene:
        return self._set(scene).apply(scene)

    def describe(self, scene: Scene) -> str:
        field = field_of("bulkheads", "at")
        before, after = bulkhead_at(scene, self.name), bulkhead_at(self.apply(scene), self.name)
        return f"Move {called(self.name, 'bulkhead')} {said(field, before, after, scene.units)}"

    def _set(self, scene: Scene) -> SetValue:
        bulkhead: Bulkhead = find(scene, "bulkheads", self.name)
        if isinstance(bulkhead.at, FromPanel):
            distance = self.at - bulkhead_at(scene, bulkhead.at.panel)
            return SetValue("bulkheads", self.name, "at", FromPanel(bulkhead.at.panel, distance))
        return SetValue("bulkheads", self.name, "at", self.at)


@dataclass(frozen=True, slots=True)
class SetSceneValue:
    """Set one of the scene's own values by its key in the file; its unit and hull are fixed. What is set is guessed no more."""

    key: str
    value: Any

    def apply(self, scene: Scene) -> Scene:
        field = _scene_field(self.key)
        changes: dict[str, Any] = {field.attribute: self.value}
        if self.key in scene.guessed:
            changes["guessed"] = tuple(key for key in scene.guessed if key != self.key)
        changed = settled(replace(scene, **changes), like=scene)
        return scene if changed == scene else changed

    def describe(self, scene: Scene) -> str:
        field = _scene_field(self.key)
        old, new = getattr(scene, field.attribute), getattr(self.apply(scene), field.attribute)
        if field.key == "scene":
            return f"Rename the layout to {new}"
        return f"Set {field.words} {_from(old)}{said(field, old, new, scene.units)}"


@dataclass(frozen=True, slots=True)
class RaiseWaterline:
    """Move the stated waterline up by so much [m] (negative: down), its trim and heel kept."""

    by: float

    def apply(self, scene: Scene) -> Scene:
        return SetSceneValue("waterline", self._raised(scene)).apply(scene)

    def describe(self, scene: Scene) -> str:
        return SetSceneValue("waterline", self._raised(scene)).describe(scene)

    def _raised(self, scene: Scene) -> Waterline:
        water = scene.waterline
        if water is None:
            raise SketchError("no waterline is stated yet", "State one first: a height, or two freeboards.", key="waterline")
        if water.forward is not None and water.after is not None:
            return replace(water, forward=water.forward + self.by, after=water.after + self.by)
        assert water.bow_freeboard is not None
        assert water.stern_freeboard is not None
        return replace(water, bow_freeboard=water.bow_freeboard - self.by, stern_freeboard=water.stern_freeboard - self.by)


@dataclass(frozen=True, slots=True)
class Add:
    """Add an object (a `Bulkhead`, `Lid`, `Opening`, `NamedSpace`, ...) as the last of its block."""

    item: Any

    def apply(self, scene: Scene) -> Scene:
        block = block_of(self.item)
        _refuse_taken(scene, block, self.item.name)
        return settled(with_items(scene, block.key, (*getattr(scene, block.key), self.item)), like=scene)

    def describe(self, scene: Scene) -> str:
        return f"Add {called(self.item.name, block_of(self.item).word)}"


@dataclass(frozen=True, slots=True)
class Duplicate:
    """Copy an object under another name, moved by `by` [m] along the direction it moves in (0: in the same place)."""

    block: str
    name: str
    new_name: str
    by: float = 0.0

    def apply(self, scene: Scene) -> Scene:
        block = BLOCK_BY_KEY[self.block]
        item = find(scene, self.block, self.name)
        _refuse_taken(scene, block, self.new_name)
        copy = _moved(replace(item, name=self.new_name), self.by)
        items = getattr(scene, block.key)
        place = items.index(item) + 1
        return settled(with_items(scene, block.key, (*items[:place], copy, *items[place:])), like=scene)

    def describe(self, scene: Scene) -> str:
        word = BLOCK_BY_KEY[self.block].word
        return f"Duplicate {called(self.name, word)} as {called(self.new_name, word)}"


@dataclass(frozen=True, slots=True)
class Rename:
    """Give an object another name; what is tied to it follows."""

    block: str
    name: str
    new_name: str

    def apply(self, scene: Scene) -> Scene:
        block = BLOCK_BY_KEY[self.block]
        item = find(scene, self.block, self.name)
        if self.new_name == self.name:
            return scene
        _refuse_taken(scene, block, self.new_name)
        ties = ties_to(scene, self.block, self.name)
        changed = swapped(scene, block.key, item, replace(item, name=self.new_name))
        for tie in ties:
            owner = find(changed, tie.block.key, tie.name)
            value = renamed_in(getattr(owner, tie.field.attribute), self.name, self.new_name)
            changed = swapped(changed, tie.block.key, owner, replace(owner, **{tie.field.attribute: value}))
        return settled(changed, like=scene)

    def describe(self, scene: Scene) -> str:
        return f"Rename {called(self.name, BLOCK_BY_KEY[self.block].word)} to {self.new_name}"


@dataclass(frozen=True, slots=True)
class NameCompartment:
    """Give the space that holds the point `at` [m] a name and a use; one of that name is changed."""

    name: str
    at: tuple[float, float, float]
    use: str = "void"
    permeability: float | None = None

    def apply(self, scene: Scene) -> Scene:
        space = NamedSpace(name=self.name, at=self.at, use=self.use, permeability=self.permeability)
        if any(known.name == self.name for known in scene.compartments):
            return with_item(scene, "compartments", self.name, space)
        return Add(space).apply(scene)

    def describe(self, scene: Scene) -> str:
        return f"Name a compartment {self.name}, for {self.use}"


def _refuse_taken(scene: Scene, block: Block, name: str) -> None:
    for key in rivals(block):
        if any(item.name == name for item in getattr(scene, key)):
            raise SketchError(f"there is a {BLOCK_BY_KEY[key].word} called `{name}` already", "Choose another name.")


def _scene_field(key: str) -> Field:
    if key in ("units", "hull"):
        raise SketchError(f"a scene's {key} cannot be changed", "Start a new scene.", key=key)
    if key not in SCENE_FIELD_BY_KEY:
        near = nearest(key, SCENE_FIELD_BY_KEY)
        raise SketchError(f"a scene has no `{key}`", f"Did you mean `{near}`?" if near else "")
    return SCENE_FIELD_BY_KEY[key]


def _from(old: Any) -> str:
    return "" if old is None else "from "


def _kept(value: Any) -> Any:
    """Lists, as a page sends them, as tuples."""
    return tuple(value) if isinstance(value, list) else value


def _moved(item: Any, by: float) -> Any:
    """An object moved along the direction it is dragged in; one without a place of its own stays."""
    if by == 0.0:
        return item
    if isinstance(item, Bulkhead):
        at = FromPanel(item.at.panel, item.at.distance + by) if isinstance(item.at, FromPanel) else item.at + by
        return replace(item, at=at)
    if isinstance(item, Partition):
        return replace(item, off_centre=(item.off_centre[0] + by, item.off_centre[1] + by))
    if isinstance(item, Lid | Berth):
        return item if item.height is None else replace(item, height=item.height + by)
    if isinstance(item, Opening):
        return replace(item, at=(item.at[0] + by, *item.at[1:])) if item.at else item
    if isinstance(item, NamedSpace | Weight | Fitting):
        return replace(item, at=(item.at[0] + by, item.at[1], item.at[2]))
    return item
