"""Where a reference to an object leads: into the scene that is saved, or to a compartment found from its panels."""

from __future__ import annotations

from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import ObjectRef

BLOCK_OF = {block.word: block.key for block in BLOCKS}
"""The scene's block that holds objects of a kind."""


def scene_object(scene: Scene, ref: ObjectRef) -> Any | None:
    """The object in the scene; None where it is not there, and for the waterline."""
    objects = () if ref.kind == "waterline" else getattr(scene, BLOCK_OF[ref.kind])
    return next((each for each in objects if each.name == ref.name), None)


def exists(evaluation: Evaluation, ref: ObjectRef) -> bool:
    """Whether there is such an object, or such a compartment, in the layout as it stands."""
    if ref.kind == "compartment":
        return any(space.name == ref.name for space in evaluation.layout.compartments)
    return ref.kind == "waterline" or scene_object(evaluation.scene, ref) is not None
