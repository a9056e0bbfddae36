"""Taking the panels out of the hull: what is left, in separate parts, with every triangle's owner known."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
from manifold3d import Manifold
from numpy.typing import NDArray

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.plane_cuts import Volumes, taken_out, within_faces
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.solid.boolean import (
    Divided,
    TracedSurface,
    compact,
    divided,
    joined,
    reserve_ids,
    surface_of,
    to_manifold,
)
from sketcher.geometry.solid.rays import crossings_above
from sketcher.geometry.tolerances import NO_ROOM, NOTHING_LEFT

FIRST_PANEL = 10
"""Labels of triangles from here on count the panels; below are the hull's own."""
_NO_PLUGS = np.iinfo(np.int64).max


@dataclass(frozen=True, eq=False)
class HullSolid:
    """The space inside the hull. origin: its id in the boolean kernel; labels: of its triangles."""

    mesh: TriMesh
    origin: int
    volume: float

    @property
    def labels(self) -> Ints:
        """What each triangle of the hull belongs to."""
        return self.mesh.labels

    @cached_property
    def surface(self) -> TracedSurface:
        """The hull's triangles, each a face by itself."""
        count = len(self.mesh.triangles)
        return TracedSurface(self.mesh.vertices, self.mesh.triangles, np.full(count, self.origin), np.arange(count))

    @cached_property
    def solid(self) -> Manifold:
        """As a solid of the kernel, made when it is first asked for. Raises GeometryError where the hull is not closed."""
        return to_manifold(self.mesh, self.origin, what="the inside of the hull")


@kept_with_owner(1)
def hull_solid(form: HullForm) -> HullSolid:
    """The inside of a hull as a solid; made once for each form."""
    return HullSolid(form.inside, reserve_ids(1), float(form.inside.volume))


@kept_with_owner(4)
def panel_ids(form: HullForm, count: int) -> int:
    """The first of ids for so many panels in a hull, the same for each of its layouts, so that what they share can be kept."""
    hull_solid(form)
    return reserve_ids(count)


@dataclass(frozen=True, eq=False)
class PanelSolids:
    """Panels as solids of the kernel. origins: the id of each there."""

    shapes: tuple[PanelShape, ...]
    solids: tuple[Manifold, ...]
    origins: tuple[int, ...]


def panel_solids(shapes: tuple[PanelShape, ...], origin: int | None = None) -> PanelSolids:
    """Each panel as a solid whose face numbers are those of its shape. origin: the first of ids reserved for them; None: new."""
    origin = reserve_ids(len(shapes)) if origin is None else origin
    solids = tuple(
        to_manifold(shape.mesh, origin + k, flat_faces=True, what=f"{shape.kind} {shape.name!r}")
        for k, shape in enumerate(shapes)
    )
    return PanelSolids(shapes, solids, tuple(range(origin, origin + len(shapes))))


@dataclass(frozen=True, eq=False)
class Parts:
    """A solid's separate parts. part, owner, face, origin, plug: (m,) of each triangle.

    owner: the hull's label or FIRST_PANEL + panel; face: its number on the panel, or of the hull's triangle; origin: id in
    the kernel; plug: whether it closes a gap beyond the panel's edge. volume: (n,) [m3]; centroid: (n, 3) [m].
    """

    vertices: Floats
    triangles: Ints
    part: Ints
    owner: Ints
    face: Ints
    origin: Ints
    plug: NDArray[np.bool_]
    volume: Floats
    centroid: Floats

    @property
    def count(self) -> int:
        """How many parts there are."""
        return len(self.volume)

    def holding(self, point: Floats) -> int:
        """The part that holds a point (3,), -1 where none does."""
        inside = np.flatnonzero(crossings_above(self.vertices, self.triangles, self.part, self.count, point) > 0)
        return int(inside[0]) if len(inside) else -1

    def mesh(self, part: int) -> TriMesh:
        """The closed mesh of one part; its labels are the owners."""
        which = self.part == part
        return TriMesh(self.vertices, self.triangles[which], self.owner[which])

    def of(self, part: int) -> TracedSurface:
        """The closed surface of one part."""
        which = self.part == part
        return TracedSurface(self.vertices, self.triangles[which], self.origin[which], self.face[which])

    def only(self, part: int) -> Parts:
        """One of the parts by itself."""
        which = self.part == part
        used, triangles = compact(self.triangles[which], len(self.vertices))
        return Parts(
            self.vertices[used],
            triangles,
            np.zeros(len(triangles), dtype=np.int64),
            self.owner[which],
            self.face[which],
            self.origin[which],
            self.plug[which],
            self.volume[[part]],
            self.centroid[[part]],
        )


def parts_together(several: Sequence[Parts]) -> Parts:
    """Parts of solids that share no space as one, numbered one after the other."""
    corners = np.cumsum([0, *(len(parts.vertices) for parts in several)])
    counts = np.cumsum([0, *(parts.count for parts in several)])
    return Parts(
        np.concatenate([parts.vertices for parts in several]),
        np.concatenate([parts.triangles + start for parts, start in zip(several, corners, strict=False)]),
        np.concatenate([parts.part + start for parts, start in zip(several, counts, strict=False)]),
        np.concatenate([parts.owner for parts in several]),
        np.concatenate([parts.face for parts in several]),
        np.concatenate([parts.origin for parts in several]),
        np.concatenate([parts.plug for parts in several]),
        np.concatenate([parts.volume for parts in several]),
        np.concatenate([parts.centroid for parts in several]),
    )


@dataclass(frozen=True, eq=False)
class Owners:
    """The owner of each id of the kernel, ids ascending: the number of a panel, or -1 for the hull.

    Ids from `first_plug` on are of what closes the gaps beyond a panel's edges.
    """

    ids: Ints
    panel: Ints
    first_plug: int

    def of(self, origin: Ints) -> Ints:
        """The panel (m,) of each origin, -1 for the hull."""
        return self.panel[np.searchsorted(self.ids, origin)]

    def with_plugs(self, ids: Ints, panels: Ints) -> Owners:
        """These and newer ids in rising order, (n,), which are of plugs beyond the edges of the panels given, (n,)."""
        return Owners(np.concatenate([self.ids, ids]), np.concatenate([self.panel, panels]), min(self.first_plug, int(ids[0])))


def owners_of(hull: HullSolid, panels: PanelSolids) -> Owners:
    """The owners of the triangles of the hull and the panels."""
    ids = np.array([hull.origin, *panels.origins])
    order = np.argsort(ids)
    return Owners(ids[order], np.arange(-1, len(panels.shapes))[order], _NO_PLUGS)


def parts_in(surface: TracedSurface, hull: HullSolid, owners: Owners) -> Parts:
    """A surface's separate parts with their volumes; parts without room in them are left out."""
    separate = divided(surface)
    room = np.abs(separate.volume) > NO_ROOM
    if not room.all():
        which = room[separate.part]
        surface = TracedSurface(surface.vertices, surface.triangles[which], surface.origin[which], surface.face[which])
        number = np.cumsum(room) - 1
        separate = Divided(number[separate.part[which]], separate.volume[room], separate.centroid[room])
    panel = owners.of(surface.origin)
    on_hull = panel < 0
    owner = np.where(on_hull, hull.labels[np.where(on_hull, surface.face, 0)], panel + FIRST_PANEL)
    return Parts(
        surface.vertices,
        surface.triangles,
        separate.part,
        owner,
        surface.face,
        surface.origin,
        surface.origin >= owners.first_plug,
        separate.volume,
        separate.centroid,
    )


def taken_apart(hull: HullSolid, panels: PanelSolids, volumes: Volumes = "measured") -> tuple[TracedSurface, float]:
    """The inside of the hull less all the panels, and the volume [m3] of the panels inside it, each found by itself."""
    parts, volume = taken_out(hull.surface, list(zip(panels.shapes, panels.origins, panels.solids, strict=True)), volumes)
    return joined(parts), volume


def with_trim(hull: HullSolid, panels: PanelSolids) -> tuple[PanelShape, ...]:
    """The panels, each with its part inside the hull, which is worked out when it is asked for."""
    return tuple(replace(shape, trim=partial(trimmed, hull, panels, k)) for k, shape in enumerate(panels.shapes))


def runs_through(shapes: Sequence[PanelShape], number: int) -> tuple[PanelShape, ...]:
    """The panels near one that run through it where they cross it: those before it in rank."""
    low, high = shapes[number].mesh.bounds
    return tuple(
        shape
        for shape in shapes
        if shape.rank < shapes[number].rank and (shape.mesh.bounds[0] <= high).all() and (shape.mesh.bounds[1] >= low).all()
    )


def trimmed(hull: HullSolid, panels: PanelSolids, number: int) -> TriMesh:
    """The part of a panel inside the hull, less the panels that run through it."""
    shape = panels.shapes[number]
    near = {other.name for other in runs_through(panels.shapes, number)}
    through = [board for board in zip(panels.shapes, panels.origins, panels.solids, strict=True) if board[0].name in near]
    surface = within_faces(hull.surface, shape, panels.origins[number])
    if surface is None:
        surface = surface_of(hull.solid ^ panels.solids[number])
    if through and len(surface.triangles):
        surface = joined(taken_out(surface, through, "quick")[0])
    return TriMesh(surface.vertices, surface.triangles, np.where(surface.origin == hull.origin, -1, surface.face))


def outside(hull: HullSolid, panels: PanelSolids, shown: Container[str]) -> list[str]:
    """The panels that lie wholly outside the hull. shown: those of which a face bounds a space; they are not looked at."""
    return [
        shape.name
        for shape, solid in zip(panels.shapes, panels.solids, strict=True)
        if shape.name not in shown and (hull.solid ^ solid).volume() <= NOTHING_LEFT
    ]
