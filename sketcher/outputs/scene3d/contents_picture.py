"""What goes into the spaces, in the picture: whole, so that it is seen through the tint of the space it is in."""

from __future__ import annotations

from typing import Any

from sketcher.analysis.fit.contents_results import Contents
from sketcher.outputs.contents_shapes import KEY_WORDS, ShapeKind, kinds_of, shapes_of
from sketcher.outputs.palette import BOTTLE, CUSHION, FOAM, INK, TIMBER, WATER
from sketcher.outputs.scene3d.picture_sheet import Key

COLOURS: dict[ShapeKind, str] = {
    "bottles": BOTTLE,
    "sleeper": CUSHION,
    "chain": INK,
    "stowage": TIMBER,
    "foam": FOAM,
    "tank": WATER,
}


def add_contents(plotter: Any, contents: Contents, as_polydata: Any) -> None:
    """Add every shape to a plotter; as_polydata makes of a closed mesh what the plotter draws."""
    for shape in shapes_of(contents):
        mesh = as_polydata(shape.mesh)
        plotter.add_mesh(mesh, color=COLOURS[shape.kind], ambient=0.45, diffuse=0.6, culling="back")
        if shape.kind in ("sleeper", "stowage"):
            edges = mesh.extract_feature_edges(
                feature_angle=40, boundary_edges=False, non_manifold_edges=False, manifold_edges=False
            )
            plotter.add_mesh(edges, color=INK, line_width=2.0, lighting=False)


def keys_of(contents: Contents | None) -> list[Key]:
    """What the picture's key has to say of them."""
    if contents is None:
        return []
    shown = kinds_of(contents)
    return [Key(words, whole=COLOURS[kind]) for kind, words in KEY_WORDS.items() if kind in shown]


def filled_spaces(contents: Contents) -> frozenset[str]:
    """Spaces with something to see in them, whose tint is drawn thinner."""
    stows = {space.space for space in contents.bottles if any(stow.count for stow in space.stows)}
    others = [[item.space for item in block] for block in (contents.chains, contents.rooms, contents.foams, contents.tanks)]
    return frozenset(stows.union(*others))
