"""A refit in steps: which objects are there after each, and what is cut in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sketcher.model.errors import SketchError
from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.scene import Scene
from sketcher.model.ties import ties_of

Key = tuple[str, str]
"""An object's block and name."""


def stage_numbers(scene: Scene) -> tuple[int, ...]:
    """The stages of a scene in order; of one that has no steps only the first."""
    return tuple(sorted({*comes_with(scene).values(), *(stage.number for stage in scene.stages)} or {1}))


def stage_name(scene: Scene, number: int) -> str:
    """A stage in words: its name, else its number."""
    named = next((stage.name for stage in scene.stages if stage.number == number), None)
    return named or f"stage {number}"


def comes_with(scene: Scene) -> dict[Key, int]:
    """The stage that each object comes with: its own, or that of the latest object it is tied to, without which it cannot be."""
    keys = [block.key for block in BLOCKS]
    stages = {(key, item.name): getattr(item, "stage", 1) for key in keys for item in getattr(scene, key)}
    ties = [
        ((tie.block.key, tie.name), (key, tie.target))
        for tie in ties_of(scene)
        for key in tie.field.ties
        if (key, tie.target) in stages
    ]
    for _ in stages:
        moved = False
        for one, other in ties:
            if stages[one] < stages[other]:
                stages[one], moved = stages[other], True
        if not moved:
            break
    return stages


def at_stage(scene: Scene, number: int) -> Scene:
    """The scene with what belongs to stages up to this one only. Raises SketchError where there is no such stage."""
    known = stage_numbers(scene)
    if number not in known:
        raise SketchError(
            f"there is no stage {number}", f"This layout has {', '.join(map(str, known))}.", scene.file, key="stages"
        )
    stages = comes_with(scene)
    named = tuple(stage for stage in scene.stages if stage.number <= number)
    return replace(scene, stages=named, **_kept(scene, lambda key, item: item if stages[key, item.name] <= number else None))


def standing_before(scene: Scene, number: int, there: Scene) -> Scene:
    """`there`, the scene after a stage, as that stage builds it: what earlier ones built stands, so only what is new is cut."""
    stages = comes_with(scene)

    def standing(key: str, item: Any) -> Any:
        new = stages[key, item.name] == number
        if key == "openings":
            return replace(item, built=(item.built or "planned") if new else "already")
        if not new and getattr(item, "built", None) == "planned":
            return replace(item, built="already")
        return item

    return replace(there, **_kept(there, standing))


def _kept(scene: Scene, change: Callable[[str, Any], Any]) -> dict[str, Any]:
    """Each block of a scene with its objects changed; None drops one."""
    changed = {block.key: [change(block.key, item) for item in getattr(scene, block.key)] for block in BLOCKS}
    return {key: tuple(item for item in items if item is not None) for key, items in changed.items()}
