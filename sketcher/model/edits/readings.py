"""Recording what was read of boards, by hand or from a table."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.model.cutting import PartReadings
from sketcher.model.files.scene_file import settled
from sketcher.model.lookup import with_items
from sketcher.model.scene import Scene


@dataclass(frozen=True, slots=True)
class RecordReadings:
    """Put readings into the scene; those of a part that has some take their place."""

    readings: tuple[PartReadings, ...]

    def apply(self, scene: Scene) -> Scene:
        fresh = {each.name: each for each in self.readings}
        kept = [fresh.pop(each.name, each) for each in scene.as_built]
        return settled(with_items(scene, "as_built", (*kept, *fresh.values())), like=scene)

    def describe(self, scene: Scene) -> str:
        return f"Record what was read of {', '.join(each.name for each in self.readings)}"
