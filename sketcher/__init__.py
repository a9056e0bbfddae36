"""A 3D compartment layout sketcher for small boats, from Python:

    import sketcher
    boat = sketcher.evaluate("scenes/marram-forepeak.yaml")
    print(boat.layout.compartments)

Lengths are metres, volumes cubic metres, masses kilograms, angles degrees. Nothing heavy is imported until it is used.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.analysis.evaluation import Evaluation
    from sketcher.model.hull import Hull
    from sketcher.model.scene import Scene
    from sketcher.outputs.scene3d.camera import ViewName

__version__ = "0.1.0"

__all__ = ["SketchError", "evaluate", "figures", "picture", "read_hull", "read_scene", "report"]


def read_scene(path: str | os.PathLike[str]) -> Scene:
    """A scene from its file, hull included. Raises SketchError with file, line, key and remedy."""
    from sketcher.model.files import scene_file

    return scene_file.read_scene(path)


def read_hull(path: str | os.PathLike[str]) -> Hull:
    """A hull from its file. Raises SketchError with file, line, key and remedy."""
    from sketcher.model.files import hull_file

    return hull_file.read_hull(path)


def evaluate(scene: str | os.PathLike[str] | Scene) -> Evaluation:
    """Everything known of a scene or a scene's file: compartments, how she floats, berths, findings.

    Raises SketchError where the file cannot be read or the boat cannot be built from it.
    """
    from sketcher.analysis.evaluate import evaluate as evaluated
    from sketcher.model.scene import Scene

    return evaluated(scene if isinstance(scene, Scene) else read_scene(scene))


def figures(evaluation: Evaluation) -> dict[str, Any]:
    """The figures under the keys of `sketcher report --json`."""
    from sketcher.outputs.tables import json_figures as printed

    return printed.figures(evaluation)


def report(evaluation: Evaluation, units: str | None = None) -> str:
    """The report as text; units: mm, cm, m, in or ft, else those of the scene's file."""
    from sketcher.outputs.tables import report as printed

    return printed.report(evaluation, units)


def picture(evaluation: Evaluation, view: ViewName = "quarter") -> bytes:
    """A picture as PNG, seen from `quarter`, `profile`, `plan` or `ahead`. Raises SketchError where there is no OpenGL."""
    from sketcher.outputs.scene3d.picture import picture_png

    return picture_png(evaluation, view)
