"""Objects that divide nothing, as lines: stringers, weights, and things in the way."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.spaces.leaks.hollow_stringers import core_points
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.geometry.mesh import Floats, Ints
from sketcher.model.scene import Scene
from sketcher.outputs import palette
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.objects import Appearance, ObjectRef
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, polyline

WEIGHT_ARM = 0.06
"""Half the size of the cross that stands for a weight [m]."""
CORNERS = np.array([[x, y, z] for x in (-0.5, 0.5) for y in (-0.5, 0.5) for z in (-0.5, 0.5)])
BOX_EDGES = np.array([[a, b] for a in range(8) for b in range(a + 1, 8) if bin(a ^ b).count("1") == 1])


def add_loose_things(
    shapes: Shapes, number: Callable[[ObjectRef], int], evaluation: Evaluation, look: Appearance, selected: ObjectRef | None
) -> None:
    """Add lines for stringers, weights and fittings that are not hidden; number: gives a part its number."""
    scene = evaluation.scene
    lines: list[tuple[ObjectRef, Floats, Ints]] = []
    for weight in scene.weights:
        ends = np.array(weight.at) + WEIGHT_ARM * np.concatenate([np.eye(3), -np.eye(3)])
        lines.append((ObjectRef("weight", weight.name), ends, np.array([[0, 3], [1, 4], [2, 5]])))
    for fitting in scene.fittings:
        lines.append((ObjectRef("fitting", fitting.name), np.array(fitting.at) + CORNERS * np.array(fitting.size), BOX_EDGES))
    for name, runs in _stringers(scene, evaluation.layout.hull):
        for run in runs:
            lines.append((ObjectRef("stringer", name), run, polyline(run)))
    for count, (part, points, segments) in enumerate(lines):
        if part in look.hidden or len(points) < 2:
            continue
        colour = shade(palette.ACCENT if part == selected else palette.PENCIL if part.kind == "fitting" else palette.TIMBER_EDGE)
        shapes.strokes[f"{part.key}/{count}"] = Strokes(
            points=points,
            segments=segments,
            colour=colour,
            width=2.2,
            owner=number(part),
            source=(points.tobytes(), colour),
            cut=colour,
        )


def _stringers(scene: Scene, form: HullForm) -> Iterator[tuple[str, tuple[Floats, ...]]]:
    """The middle of each stringer on each side it runs on, as points from forward to aft."""
    sides = {"port": (-1,), "starboard": (1,), "both": (-1, 1)}
    faces = faces_by_name(scene, form) if scene.stringers else {}
    for stringer in scene.stringers:
        runs = (core_points(faces, form, stringer, side) for side in sides[stringer.side])
        yield stringer.name, tuple(np.array(points).reshape(-1, 3) for points in runs)
