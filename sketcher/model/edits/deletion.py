"""Taking an object out of a scene, and what becomes of those tied to it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sketcher.model.edits.edit_words import value_words
from sketcher.model.errors import SketchError
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY
from sketcher.model.files.scene_file import settled
from sketcher.model.lookup import bulkhead_at, find, swapped, with_items
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Partition, Scene
from sketcher.model.ties import Tie, called, ties_to

_GOES_TOO = ("under", "through", "joins", "berth", "in", "of", "when_holed")
"""Keys of ties without which an object has no place of its own: it goes with what it was in, under or on."""


@dataclass(frozen=True, slots=True)
class Delete:
    """Take an object out. Others tied to it make this a refusal, unless `free`: then each keeps the place it has, as a distance.

    A freed edge takes the neighbour's face as it stands on the centreline without rake or slope.
    """

    block: str
    name: str
    free: bool = False

    def apply(self, scene: Scene) -> Scene:
        item = find(scene, self.block, self.name)
        ties = ties_to(scene, self.block, self.name)
        if ties and not self.free:
            what = called(self.name, BLOCK_BY_KEY[self.block].word)
            raise SketchError(
                f"{', '.join(tie.words for tie in ties)} {'is' if len(ties) == 1 else 'are'} tied to {what}",
                "Tie them elsewhere first, or free them with it: they keep their places as distances.",
            )
        for tie in ties:
            scene = _freed(scene, tie, item)
        kept = tuple(other for other in getattr(scene, self.block) if other.name != self.name)
        return settled(with_items(scene, self.block, kept), like=scene)

    def describe(self, scene: Scene) -> str:
        parts = [f"Delete {called(self.name, BLOCK_BY_KEY[self.block].word)}"]
        after = self.apply(scene)
        for tie in ties_to(scene, self.block, self.name) if self.free else ():
            owner = next((other for other in getattr(after, tie.block.key) if other.name == tie.name), None)
            if owner is None:
                parts.append(f"{called(tie.name, tie.block.word)} goes with it")
            elif tie.field.key == "lies_on":
                parts.append(f"{called(tie.name, tie.block.word)} keeps its height")
            else:
                value = value_words(tie.field, getattr(owner, tie.field.attribute), scene.units)
                parts.append(f"{tie.words} stays at {value}")
        return "; ".join(parts)


def _freed(scene: Scene, tie: Tie, gone: Any) -> Scene:
    """The scene with one tie to an object replaced by the place it stood for."""
    items = getattr(scene, tie.block.key)
    owner = next((item for item in items if item.name == tie.name), None)
    if owner is None:
        return scene
    if tie.field.key in _GOES_TOO:
        return with_items(scene, tie.block.key, (item for item in items if item is not owner))
    return swapped(scene, tie.block.key, owner, replace(owner, **_freed_fields(scene, tie, owner, gone)))


def _freed_fields(scene: Scene, tie: Tie, owner: Any, gone: Bulkhead | Partition | Lid) -> dict[str, Any]:
    attribute = tie.field.attribute
    value = getattr(owner, attribute)
    if isinstance(gone, Bulkhead):
        at = bulkhead_at(scene, gone.name)
        if isinstance(value, FromPanel):
            return {attribute: at + value.distance}
        return {attribute: at + gone.thickness if attribute == "start" else at}
    if isinstance(gone, Lid):
        if attribute == "lies_on":
            return {"lies_on": None, "height": gone.height}
        return {attribute: gone.height - gone.thickness if attribute == "top" else gone.height}
    middle = (gone.off_centre[0] + gone.off_centre[1]) / 2.0
    port, starboard = value
    return {
        attribute: (
            middle + gone.thickness / 2.0 if port == gone.name else port,
            middle - gone.thickness / 2.0 if starboard == gone.name else starboard,
        )
    }
