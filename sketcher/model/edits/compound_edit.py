"""An edit together with what has to follow it, as one step under the edit's own name."""

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
