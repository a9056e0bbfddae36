"""Several edits as one step: those of one remedy, or an edit with what has to follow it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sketcher.model.edits.actions import Edit
from sketcher.model.lookup import with_item
from sketcher.model.scene import NamedSpace, Scene


@dataclass(frozen=True, slots=True)
class Following:
    """An edit, and named spaces whose points move so that each name stays with its space."""

    edit: Edit
    spaces: Sequence[NamedSpace]

    def apply(self, scene: Scene) -> Scene:
        scene = self.edit.apply(scene)
        for space in self.spaces:
            scene = with_item(scene, "compartments", space.name, space)
        return scene

    def describe(self, scene: Scene) -> str:
        return self.edit.describe(scene)


@dataclass(frozen=True, slots=True)
class Together:
    """One edit or more, made one after the other."""

    edits: Sequence[Edit]

    def apply(self, scene: Scene) -> Scene:
        for edit in self.edits:
            scene = edit.apply(scene)
        return scene

    def describe(self, scene: Scene) -> str:
        more = f", and {len(self.edits) - 1} more like it" if len(self.edits) > 1 else ""
        return f"{self.edits[0].describe(scene)}{more}"
