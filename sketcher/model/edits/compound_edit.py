"""Several changes as one step: those of one remedy, an edit with what has to follow it, a whole layout in another's place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sketcher.model.edits.actions import Edit
from sketcher.model.errors import SketchError
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


@dataclass(frozen=True, slots=True)
class TakeUp:
    """Go on with another layout in the same hull, in the file of the one it takes the place of."""

    layout: Scene
    words: str

    def apply(self, scene: Scene) -> Scene:
        if replace(self.layout.hull, file=scene.hull.file) != scene.hull:
            raise SketchError(f"{self.layout.name} is laid out in another hull, {self.layout.hull.name}", "Open its own file.")
        if self.layout.units != scene.units:
            units = f"{self.layout.units}, this one in {scene.units}"
            raise SketchError(f"{self.layout.name} is measured in {units}", "Open its own file.")
        return replace(self.layout, hull=scene.hull, file=scene.file, hull_path=scene.hull_path)

    def describe(self, _: Scene) -> str:
        return self.words
