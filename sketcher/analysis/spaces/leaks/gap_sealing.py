"""Where panels stop short: narrow slots beyond their open edges, and which of them keep two spaces apart but for a leak."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
import shapely.affinity
from manifold3d import Manifold

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL, HullSolid, Owners, Parts, parts_in
from sketcher.analysis.spaces.leaks.edge_extensions import Strip, edge_frame, open_edges, strips_along
from sketcher.analysis.spaces.leaks.lapped_gaps import laps_between
from sketcher.geometry.flat.regions import flat_regions, polygons
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.boolean import TracedSurface, joined, solid_of, subtract, surface_of
from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.tolerances import ADJOINING_AREA, GAP_SEEN, INTO_NEIGHBOUR, SLIVER_VOLUME
from sketcher.geometry.vectors import triple


@dataclass(frozen=True, eq=False)
class Slot:
    """The narrow space between a panel's open edge and what it stops short of.

    region: its outline in `frame`, which lies on the edge with v outward. beyond: owner of what it stops short of.
    between: the parts before and behind the panel that it joins; None where it keeps none apart. blind: closed at one face.
    lapping: it is between the faces of two panels that pass each other.
    """

    panel: int
    face: int
    frame: Frame
    region: shapely.Polygon
    beyond: int
    between: tuple[int, int] | None = None
    blind: bool = False
    lapping: bool = False

    @property
    def width(self) -> float:
        """Widest distance [m] from the edge to what is beyond."""
        return float(self.region.bounds[3])

    @property
    def length(self) -> float:
        """Length [m] along the edge."""
        return float(self.region.bounds[2] - self.region.bounds[0])

    @property
    def at(self) -> tuple[float, float, float]:
        """A point in the middle of it."""
        x, y, z = self.frame.space(np.array([[self.region.centroid.x, self.region.centroid.y]]))[0].tolist()
        return x, y, z


@dataclass(frozen=True, eq=False)
class Sealed:
    """The parts once every gap up to the limit counts as closed. gap_volume [m3]: of the gaps; slots: every one found."""

    parts: Parts
    owners: Owners
    slots: tuple[Slot, ...]
    gap_volume: float


def seal(parts: Parts, shapes: Sequence[PanelShape], hull: HullSolid, owners: Owners, reach: float) -> Sealed:
    """Close the gaps no wider than `reach` [m] that alone join two spaces, and find every narrow slot beside."""
    edges = open_edges(parts, shapes)
    strips = (*strips_along(shapes, edges, reach), *laps_between(shapes, edges, reach)) if edges and reach > 0 else ()
    if not strips:
        return Sealed(parts, owners, (), 0.0)
    owners = with_strips(owners, strips)
    surfaces: list[TracedSurface] = []
    seen: list[tuple[Strip, TriMesh]] = []
    near: dict[int, list[Slot]] = {strip.origin: [] for strip in strips}
    keeping: list[Strip] = []
    for part in range(parts.count):
        mesh = parts.mesh(part)
        mine = [strip for strip in strips if looks_into(parts, part, strip)]
        for strip in mine:
            seen.append((strip, mesh))
            near[strip.origin] += slots_beyond(strip, mesh, shapes[strip.panel])
        cut, kept = _keeping_apart(solid_of(parts.of(part)), mine, near, hull, owners) if mine else (None, [])
        surfaces.append(parts.of(part) if cut is None else cut)
        keeping += kept
    kept_apart = {strip.origin for strip in keeping}
    alone = [(strip, mesh) for strip, mesh in seen if strip.origin not in kept_apart and not strip.lapping]
    short = [slot for strip, mesh in alone for slot in _short(strip, mesh, shapes[strip.panel])]
    if not keeping:
        return Sealed(parts, owners, tuple(short), 0.0)
    sealed = parts_in(joined(surfaces), hull, owners)
    gaps = [_drawn_out(gap, strip.aside) for strip in keeping for gap in joins(sealed, strip, near[strip.origin])]
    return Sealed(sealed, owners, (*gaps, *short), float(parts.volume.sum() - sealed.volume.sum()))


def _drawn_out(slot: Slot, aside: tuple[float, float, float]) -> Slot:
    """The slot as wide as it is from edge to edge: panels in two planes that do not quite pass each other gape aslant."""
    if not any(aside):
        return slot
    v = slot.width * np.array(slot.frame.v) + aside
    width = float(np.linalg.norm(v))
    origin = np.array(slot.frame.origin) - np.array(aside) / 2
    frame = Frame(triple(origin), slot.frame.u, triple(v / width))
    return replace(slot, frame=frame, region=shapely.affinity.scale(slot.region, 1.0, width / slot.width, origin=(0.0, 0.0)))


def with_strips(owners: Owners, strips: Sequence[Strip]) -> Owners:
    """These owners and those of the strips."""
    return owners.with_plugs(np.array([strip.origin for strip in strips]), np.array([strip.panel for strip in strips]))


def looks_into(parts: Parts, part: int, strip: Strip) -> bool:
    """Whether a strip's edge is open towards a part."""
    own = (parts.owner == FIRST_PANEL + strip.panel) & (parts.face == strip.face) & ~parts.plug
    return bool((parts.part[own] == part).any())


def slots_beyond(strip: Strip, mesh: TriMesh, shape: PanelShape, offset: float = 0.0) -> list[Slot]:
    """What a strip holds of a part right beyond the edge, in a plane `offset` [m] from the middle of the panel's thickness."""
    frame = strip.frame if strip.lapping else edge_frame(shape, strip.piece, strip.face, offset)
    within = shapely.intersection(section(mesh, frame), section(strip.mesh, frame))
    found = [area for area in polygons(within) if area.bounds[1] < GAP_SEEN < area.bounds[3]]
    return [
        Slot(strip.panel, strip.face, frame, area, _beyond(frame, area, mesh, strip.panel), lapping=strip.lapping)
        for area in found
    ]


def _short(strip: Strip, mesh: TriMesh, shape: PanelShape) -> list[Slot]:
    """The slots beyond an edge that keep nothing apart and end at an obstacle all along.

    Taken in mid-thickness; where it closes at one face or the other they are blind, and taken where they are widest.
    """
    middle = slots_beyond(strip, mesh, shape)
    half = shape.panel.thickness / 2 - INTO_NEIGHBOUR
    found = middle
    if not any(slot.width >= strip.reach - INTO_NEIGHBOUR for slot in middle):
        faces = [slots_beyond(strip, mesh, shape, offset) for offset in (half, -half)]
        if not all((middle, *faces)):
            widest = max((middle, *faces), key=lambda slots: max((slot.width for slot in slots), default=0.0))
            found = [replace(slot, blind=True) for slot in widest]
    return [slot for slot in found if slot.width < strip.reach - INTO_NEIGHBOUR]


def _beyond(frame: Frame, region: shapely.Polygon, mesh: TriMesh, panel: int) -> int:
    """The owner of what lies opposite the edge: next to the middle of the longest side that faces away from it."""
    ring = np.asarray(shapely.geometry.polygon.orient(region).exterior.coords)
    facing = ring[:-1, 0] - ring[1:, 0]
    side = int(np.argmax(facing))
    point = frame.space((ring[side] + ring[side + 1])[None] / 2)[0]
    others = np.flatnonzero(mesh.labels != FIRST_PANEL + panel)
    corners = mesh.triangles[others]
    short, past = mesh.vertices < point - GAP_SEEN, mesh.vertices > point + GAP_SEEN
    near = ~(short[corners].all(axis=1) | past[corners].all(axis=1)).any(axis=1)
    chosen = others[near] if near.any() else others
    return int(mesh.labels[chosen[np.argmin(distances_to_mesh(point, mesh.vertices, mesh.triangles[chosen]))]])


def _keeping_apart(
    solid: Manifold, strips: Sequence[Strip], near: dict[int, list[Slot]], hull: HullSolid, owners: Owners
) -> tuple[TracedSurface | None, list[Strip]]:
    """The part less those strips that keep two spaces apart, and these strips; None where it stays one space."""
    kept = list(strips)
    while kept:
        surface = surface_of(subtract(solid, [strip.solid for strip in kept]))
        cut = parts_in(surface, hull, owners)
        if np.count_nonzero(cut.volume > SLIVER_VOLUME) < 2:
            break
        still = [strip for strip in kept if joins(cut, strip, near[strip.origin])]
        if len(still) == len(kept):
            return surface, kept
        kept = still
    return None, []


def joins(parts: Parts, strip: Strip, near: Sequence[Slot]) -> list[Slot]:
    """The slots through which a strip, taken out of the parts, lets two of them leak into each other."""
    sides: list[dict[int, shapely.Geometry]] = []
    for face in strip.boards:
        on = np.flatnonzero((parts.origin == strip.origin) & (parts.face == face))
        used, index = np.unique(parts.triangles[on], return_inverse=True)
        sides.append(flat_regions(strip.frame.flat(parts.vertices[used]), index.reshape(-1, 3), parts.part[on]))
    found: list[Slot] = []
    large = parts.volume > SLIVER_VOLUME
    for front, before in sides[0].items():
        for back, behind in sides[1].items():
            if front == back or not (large[front] and large[back]):
                continue
            shared = shapely.intersection(before, behind)
            for slot in near:
                through = [area for area in polygons(shapely.intersection(shared, slot.region)) if area.area > ADJOINING_AREA]
                found += [replace(slot, region=area, between=(front, back), blind=False) for area in through]
    return found
