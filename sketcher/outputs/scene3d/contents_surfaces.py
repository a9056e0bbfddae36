"""What goes into the spaces, in the picture, as surfaces to see and to point at."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.fit.contents_results import Contents
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.model.scene import Scene
from sketcher.outputs import palette
from sketcher.outputs.contents_shapes import ShapeKind, fitting_mesh, shapes_of
from sketcher.outputs.scene3d.loose_things import shade
from sketcher.outputs.scene3d.objects import Appearance, ObjectKind, ObjectRef
from sketcher.outputs.scene3d.shapes import Colour, Shapes, Surface

COLOURS: dict[ShapeKind, str] = {
    "bottles": palette.BOTTLE,
    "sleeper": palette.CUSHION,
    "chain": palette.INK,
    "stowage": palette.TIMBER,
    "foam": palette.FOAM,
    "tank": palette.WATER,
}
PARTS: dict[ShapeKind, ObjectKind] = {
    "bottles": "bottles",
    "sleeper": "person",
    "chain": "chain",
    "stowage": "stowage",
    "foam": "foam",
    "tank": "tank",
}
ACCENT, FITTING = shade(palette.ACCENT), shade(palette.PENCIL)
FAINT = 0.25
"""Opacity of what is still to follow something that moves."""
SHADED = 0.45
"""How dark the faces turned away from the light become: without it a stack of bottles is one patch of colour."""
LIGHT = np.array([-0.45, -0.35, 0.82])
"""From where light falls on what stands in a space: from ahead, to port and above."""


def add_contents(
    shapes: Shapes, number: Callable[[ObjectRef], int], contents: Contents, look: Appearance, selected: ObjectRef | None
) -> None:
    """Add what stands or lies somewhere and is not hidden; number: gives a part its number."""
    for count, shape in enumerate(shapes_of(contents)):
        part = ObjectRef(PARTS[shape.kind], shape.name)
        if part in look.hidden:
            continue
        colour = ACCENT if part == selected else shade(COLOURS[shape.kind])
        shapes.surfaces[f"{part.key}/{count}"] = Surface(
            points=shape.mesh.vertices,
            triangles=shape.mesh.triangles,
            colours=_shaded(shape.mesh, colour),
            owner_of=np.array([number(part)]),
            culling="back",
            opacity=FAINT if part in look.faded else 1.0,
            source=(shape.mesh, colour, part in look.faded),
        )


def add_fittings(
    shapes: Shapes, number: Callable[[ObjectRef], int], scene: Scene, look: Appearance, selected: ObjectRef | None
) -> None:
    """Add things in the way as plain boxes, unless hidden; number: gives a part its number."""
    for fitting in scene.fittings:
        part = ObjectRef("fitting", fitting.name)
        if part in look.hidden:
            continue
        mesh, colour = fitting_mesh(fitting), ACCENT if part == selected else FITTING
        shapes.surfaces[part.key] = Surface(
            points=mesh.vertices,
            triangles=mesh.triangles,
            colours=_shaded(mesh, colour),
            owner_of=np.array([number(part)]),
            culling="back",
            source=(mesh, colour),
        )


@kept_with_owner(2)
def _shaded(mesh: TriMesh, colour: Colour) -> NDArray[np.uint8]:
    """The colour of each triangle (m, 3), darker where it is turned away from the light."""
    a, b, c = mesh.vertices[mesh.triangles.T]
    normal: Floats = np.cross(b - a, c - a)
    facing = normal @ LIGHT / np.maximum(np.linalg.norm(normal, axis=1), 1e-18)
    shares = 1.0 - SHADED * np.clip(0.5 - 0.5 * facing, 0.0, 1.0)
    shades: NDArray[np.uint8] = np.round(np.array(colour) * shares[:, None]).astype(np.uint8)
    return shades
