"""A refit in steps: which objects are there after each, and what is cut in it."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from typing import Any

from sketcher.model.errors import SketchError
from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.scene import Scene
from sketcher.model.ties import ties_of

Key = tuple[str, str]
"""An object's block and name."""
TODAY = 0
"""The stage before the first: as she is today."""
STANDING = ("already", "removed")
"""What is said of panels that stand today: those that are to be taken out do."""


def stage_numbers(scene: Scene) -> tuple[int, ...]:
    """The stages of a scene in order; of one that has no steps only the first."""
    return tuple(sorted({*comes_with(scene).values(), *(stage.number for stage in scene.stages)} or {1}))


def called_after(scene: Scene, number: int) -> str:
    """What a scene is called as it is after a stage."""
    name = stage_name(scene, number)
    return f"{scene.name}, {'as she is today' if number == TODAY else f'after {name}'}"


def stage_name(scene: Scene, number: int) -> str:
    """A stage in words: its name, else its number."""
    if number == TODAY:
        return "today"
    named = next((stage.name for stage in scene.stages if stage.number == number), None)
    return named or f"stage {number}"


def comes_with(scene: Scene, own: Callable[[str, Any], int] = lambda _, item: getattr(item, "stage", 1)) -> dict[Key, int]:
    """The stage that each object comes with: its own, or that of the latest object it is tied to, without which it cannot be.

    own: the stage of an object by itself, by its block.
    """
    keys = [block.key for block in BLOCKS]
    stages = {(key, item.name): own(key, item) for key in keys for item in getattr(scene, key)}
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
    """The scene with what belongs to stages up to this one only. Raises SketchError where there is no such stage.

    At `TODAY` that is what stands, and nothing that is planned to be built, put in or taken out.
    """
    if number == TODAY:
        return _today(scene)
    known = stage_numbers(scene)
    if number not in known:
        raise SketchError(
            f"there is no stage {number}", f"This layout has {', '.join(map(str, known))}.", scene.file, key="stages"
        )
    stages = comes_with(scene)
    named = tuple(stage for stage in scene.stages if stage.number <= number)
    return replace(scene, stages=named, **_kept(scene, lambda key, item: item if stages[key, item.name] <= number else None))


def before_panels(scene: Scene, missing: Collection[str]) -> Scene:
    """The scene while some of its panels do not stand yet, without what is tied to them."""
    panels = ("bulkheads", "partitions", "lids")
    waits = comes_with(scene, lambda key, item: int(key in panels and item.name in missing))
    return replace(scene, **_kept(scene, lambda key, item: None if waits[key, item.name] else item))


def _today(scene: Scene) -> Scene:
    there = comes_with(scene, _from_today)

    def standing(key: str, item: Any) -> Any:
        if there[key, item.name] > TODAY:
            return None
        return replace(item, built="already") if getattr(item, "built", None) == "removed" else item

    return replace(scene, stages=(), **_kept(scene, standing))


def _from_today(key: str, item: Any) -> int:
    """`TODAY` for what is there as she floats at the stated waterline: what is not said to be planned, by its nature or in words.

    A berth is where the lid is that it lies on; one of its own boards is planned as long as these are.
    """
    match key:
        case "bulkheads" | "partitions" | "lids":
            planned = item.built not in STANDING
        case "openings":
            planned = item.built == "planned"
        case "berths":
            planned = item.lies_on is None
        case _:
            planned = key in PLANNED
    return max(item.stage, 1) if planned and hasattr(item, "stage") else int(planned)


PLANNED = ("weights", "bottles", "chains", "foams", "tanks", "limits")
"""Blocks of changes to her as she floats, and of what is asked of the layout as planned."""


def standing_before(scene: Scene, number: int, there: Scene) -> Scene:
    """`there`, the scene after a stage, as that stage builds it: what earlier ones built stands, so only what is new is cut.

    It may have more than the file states, as what contents weigh: that stays.
    """
    stages = comes_with(scene)

    def standing(key: str, item: Any) -> Any:
        new = stages.get((key, item.name)) == number
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
