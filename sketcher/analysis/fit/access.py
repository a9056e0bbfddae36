"""A space as a place to put things: its free part, the openings that lead in, and how much is reached from each."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.results import Compartment, FlowPath, Layout
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.boolean import subtract, surface_of, to_manifold
from sketcher.geometry.solid.paths_inside import Walls, path_lengths
from sketcher.model.errors import SketchError, nearest
from sketcher.model.scene import Fitting

if TYPE_CHECKING:
    from sketcher.geometry.packing.largest_box import Grid

Cover = Literal["none", "loose", "tight"]
Limb = Literal["person", "arm", "hand", "nothing"]

HAND, ARM = 0.100, 0.150
"""Least width of an opening [m] for a hand, and for an arm with a lamp; source `access-opening`."""

REACH: dict[Limb, float] = {"person": np.inf, "arm": 0.60, "hand": 0.20, "nothing": 0.0}
"""How far beyond an opening each limb gets [m]: a hand to the wrist, an arm to the shoulder; source `arm-reach`."""

ESCAPE_ROUND, ESCAPE_LEAST, ESCAPE_AREA = 0.450, 0.380, 0.18
"""What a person gets through: this diameter [m], or this least side [m] and area [m2]; source `escape-opening`."""

SAME_REACH = 1e-3
"""[m] Corners whose distances differ by less are equally far."""

_ROUND_AREA = 0.999
"""[share of the circle's area] A round opening drawn in straight sides keeps more than this, so it counts as whole."""

_STEP_INSIDE = 2e-3
"""[m] How far inside its opening a path to all corners begins: clear of the opening's own rim."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Entrance:
    """An opening that leads into a space. sides: clear width and height [m], both the diameter of a round one.

    centre: (3,) on the space's own face [m]; inwards: (3,) unit vector into the space; beyond: the space it comes from.
    """

    name: str
    through: str
    beyond: str
    cover: Cover
    sides: tuple[float, float]
    round: bool
    area: float
    centre: tuple[float, float, float]
    inwards: Floats = field(repr=False)

    @property
    def limb(self) -> Limb:
        """The most that gets through."""
        least = min(self.sides)
        if (self.round and least >= ESCAPE_ROUND) or (not self.round and least >= ESCAPE_LEAST and self.area >= ESCAPE_AREA):
            return "person"
        return "arm" if least >= ARM else "hand" if least >= HAND else "nothing"

    def passes_round(self, diameter: float) -> bool:
        """Whether a cylinder of this diameter [m] goes through end on."""
        return diameter <= min(self.sides) + 1e-9

    def passes_box(self, size: tuple[float, float, float]) -> bool:
        """Whether a box goes through end on, its two shorter sides first; turning it inside is another matter."""
        return self.box_share(size) >= 1.0 - 1e-9

    def box_share(self, size: tuple[float, float, float]) -> float:
        """By which factor a box may grow, or must be made smaller, to just go through end on."""
        a, b, _ = sorted(size)
        if self.round:
            return float(self.sides[0] / np.hypot(a, b))
        return min(min(self.sides) / a, max(self.sides) / b)


@dataclass(frozen=True, slots=True, kw_only=True)
class Access:
    """How well a space is reached through one opening. share: of the space within reach; farthest [m]: to its farthest corner."""

    opening: str
    limb: Limb
    share: float
    farthest: float
    farthest_at: tuple[float, float, float]


def space_named(layout: Layout, name: str, key: str) -> Compartment:
    """The compartment called so. Raises SketchError, for the key that names it, where there is none."""
    for space in layout.compartments:
        if space.name == name:
            return space
    known = [space.name for space in layout.compartments]
    near = nearest(name, known)
    remedy = f"Did you mean `{near}`?" if near else f"The compartments are: {', '.join(known)}."
    raise SketchError(f"there is no compartment `{name}`", remedy, layout.scene.file, key=key)


def free_space(layout: Layout, space: Compartment) -> TriMesh:
    """The space less the fittings in it, as a closed mesh; stringers and framing are not taken off."""
    fittings = [fitting for fitting in layout.scene.fittings if _touches(fitting, space)]
    if not fittings:
        return space.mesh
    blocks = [Manifold.cube(fitting.size, True).translate(fitting.at) for fitting in fittings]
    surface = surface_of(subtract(to_manifold(space.mesh, 1, what=space.name), blocks))
    return TriMesh(surface.vertices.copy(), surface.triangles, np.zeros(len(surface.triangles), dtype=np.int64))


def _touches(fitting: Fitting, space: Compartment) -> bool:
    low, high = space.mesh.bounds
    at, half = np.array(fitting.at), np.array(fitting.size) / 2
    return bool((at - half < high).all() and (at + half > low).all())


def entrances_to(layout: Layout, space: Compartment, through_hull: bool = False) -> tuple[Entrance, ...]:
    """The openings in panels and deck, or also in the hull, that lead into a space, tight ones included, the largest first."""
    entrances = []
    for path, cover in [*((path, None) for path in layout.flow_paths), *((path, "tight") for path in layout.closed)]:
        if path.kind != "opening" or path.through is None or space.name not in path.between or len(path.outline) < 3:
            continue
        if path.through == "hull" and not through_hull:
            continue
        opening = next((o for o in layout.scene.openings if o.name == path.name), None)
        if opening is not None:
            entrances.append(_entrance(layout, space, path, "tight" if cover else opening.cover, opening.diameter))
    return tuple(sorted(entrances, key=lambda entrance: -entrance.area))


def _entrance(layout: Layout, space: Compartment, path: FlowPath, cover: Cover, diameter: float | None) -> Entrance:
    middle = path.outline.mean(axis=0)
    # The two directions in which the outline spreads most are its plane.
    axes = np.linalg.svd(path.outline - middle, full_matrices=False)[2]
    flat = (path.outline - middle) @ axes[:2].T
    sides = _least_rectangle(flat) if diameter is None else _round_sides(path.area, diameter)
    face = _on_own_face(layout, space, path, middle, axes[2])
    return Entrance(
        name=path.name,
        through=str(path.through),
        beyond=next((name for name in path.between if name != space.name), space.name),
        cover=cover,
        sides=sides,
        round=diameter is not None,
        area=path.area,
        centre=(float(face[0]), float(face[1]), float(face[2])),
        inwards=_inwards(space, face, axes[2]),
    )


def _round_sides(area: float, diameter: float) -> tuple[float, float]:
    """The clear diameter of a round opening, twice; one that something cuts into passes no more than a hole of the area left."""
    left = min(1.0, area / (np.pi / 4 * diameter**2) / _ROUND_AREA)
    clear = diameter if left > 1.0 - 1e-6 else float(diameter * np.sqrt(left))
    return clear, clear


def _least_rectangle(flat: Floats) -> tuple[float, float]:
    """Sides of the smallest rectangle about points (k, 2): one of its sides lies along a side of the outline."""
    step = np.roll(flat, -1, axis=0) - flat
    angles = np.sort(np.round(np.arctan2(step[:, 1], step[:, 0]) % (np.pi / 2), 6))
    turned = flat @ np.stack([[np.cos(angles), np.sin(angles)], [-np.sin(angles), np.cos(angles)]]).transpose(2, 1, 0)
    spans = turned.max(axis=1) - turned.min(axis=1)
    best = spans[int(spans.prod(axis=1).argmin())]
    return float(best[0]), float(best[1])


def _on_own_face(layout: Layout, space: Compartment, path: FlowPath, middle: Floats, normal: Floats) -> Floats:
    """The opening's middle moved, along its axis, onto the face of the panel that bounds the space."""
    shape = next((shape for shape in layout.panels if shape.name == path.through), None)
    if shape is None:
        return middle
    faces = [plane for name, plane in shape.faces[:2] if (shape.name, name) in space.bounds]
    # Where both faces bound the space, it lies round the panel: the face turned towards its middle is taken.
    face = max(faces or (shape.front, shape.back), key=lambda face: float(face.over(np.array(space.centroid))))
    across = float(face.normal @ normal)
    return middle if abs(across) < 0.1 else middle - float(face.over(middle)) / across * normal


def _inwards(space: Compartment, face: Floats, normal: Floats) -> Floats:
    """The opening's axis, pointing to where the space's middle lies, or up or down its own way if that cannot tell."""
    towards = float(normal @ (np.array(space.centroid) - face))
    return normal if towards >= 0.0 else -normal


def accesses(space: Compartment, entrances: tuple[Entrance, ...], walls: Walls, grid: Grid) -> tuple[Access, ...]:
    """How much of a space is reached through each of its entrances, by paths through the open space only."""
    corners = space.mesh.vertices
    i, j, k = np.nonzero(grid.inside)
    points = np.column_stack([grid.x[i], grid.y[j], grid.z[k]])
    points = points[:: max(1, len(points) // 800)]
    by_entrance = []
    for entrance in entrances:
        source = np.array(entrance.centre) + _STEP_INSIDE * entrance.inwards
        lengths = path_lengths(walls, source, np.vstack([points, corners]))
        inner, outer = lengths[: len(points)], lengths[len(points) :]
        reach = REACH[entrance.limb]
        # Of corners equally far to the millimetre the one furthest aft and to starboard is named, whatever order they come in.
        tied = np.flatnonzero(outer >= outer.max() - SAME_REACH)
        far = int(max(tied, key=lambda k: tuple(corners[k].round(3).tolist())))
        x, y, z = corners[far].tolist()
        share = float((inner <= reach).mean()) if np.isfinite(reach) else float(np.isfinite(inner).mean())
        by_entrance.append(
            Access(opening=entrance.name, limb=entrance.limb, share=share, farthest=float(outer[far]), farthest_at=(x, y, z))
        )
    return tuple(by_entrance)
