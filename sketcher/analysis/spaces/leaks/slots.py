"""Narrow slots beyond panels' open edges: where they are, how wide, and what the panel stops short of there."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
import shapely.affinity

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.analysis.spaces.leaks.edge_extensions import Strip, edge_frame
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.tolerances import GAP_SEEN, IN_PLANE, INTO_NEIGHBOUR
from sketcher.geometry.vectors import triple


@dataclass(frozen=True, eq=False)
class Slot:
    """The narrow space between a panel's open edge and what it stops short of.

    region: its outline in `frame`, which lies on the edge with v outward; in parts where something stands before it. opposite:
    (3,) the middle of the side of it that faces the edge. between: the parts before and behind the panel that it joins; None
    where it keeps none apart. blind: closed at one face. lapping: it is between the faces of two panels that pass each other.
    beyond: owner of what it stops short of, once that has been looked for.
    """

    panel: int
    face: int
    frame: Frame
    region: shapely.Geometry
    opposite: Floats
    between: tuple[int, int] | None = None
    blind: bool = False
    lapping: bool = False
    beyond: int = -1

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


def slots_beyond(strip: Strip, mesh: TriMesh, shape: PanelShape, offset: float = 0.0) -> list[Slot]:
    """What a strip holds of a part right beyond the edge, in a plane `offset` [m] from the middle of the panel's thickness."""
    frame = strip.frame if strip.lapping else edge_frame(shape, strip.piece, strip.face, offset)
    within = shapely.intersection(section(mesh, frame), section(strip.mesh, frame))
    found = [area for area in polygons(within) if area.bounds[1] < GAP_SEEN and area.bounds[3] > IN_PLANE]
    return [Slot(strip.panel, strip.face, frame, area, _opposite(frame, area), lapping=strip.lapping) for area in found]


def short_slots(strip: Strip, mesh: TriMesh, shape: PanelShape, middle: list[Slot]) -> list[Slot]:
    """The slots beyond an edge that keep nothing apart and end at an obstacle all along.

    middle: taken in mid-thickness; where it closes at one face or the other they are blind, and taken where they are widest.
    """
    half = shape.panel.thickness / 2 - GAP_SEEN
    narrow = middle
    if not any(slot.width >= strip.reach - INTO_NEIGHBOUR for slot in middle):
        faces = [slots_beyond(strip, mesh, shape, offset) for offset in (half, -half)]
        if not all((middle, *faces)):
            widest = max((middle, *faces), key=lambda slots: max((slot.width for slot in slots), default=0.0))
            narrow = [replace(slot, blind=True) for slot in widest]
    return [slot for slot in narrow if slot.width < strip.reach - INTO_NEIGHBOUR]


def drawn_out(slot: Slot, aside: tuple[float, float, float]) -> Slot:
    """The slot as wide as it is from edge to edge: panels in two planes that do not quite pass each other gape aslant."""
    if not any(aside):
        return slot
    v = slot.width * np.array(slot.frame.v) + aside
    width = float(np.linalg.norm(v))
    origin = np.array(slot.frame.origin) - np.array(aside) / 2
    frame = Frame(triple(origin), slot.frame.u, triple(v / width))
    return replace(slot, frame=frame, region=shapely.affinity.scale(slot.region, 1.0, width / slot.width, origin=(0.0, 0.0)))


def _opposite(frame: Frame, region: shapely.Polygon) -> Floats:
    """The middle (3,) of the longest side of a slot's outline that faces away from the edge."""
    ring = np.asarray(shapely.geometry.polygon.orient(region).exterior.coords)
    side = int(np.argmax(ring[:-1, 0] - ring[1:, 0]))
    found: Floats = frame.space(ring[side : side + 2].mean(axis=0)[None])[0]
    return found


def looked_beyond(slot: Slot, mesh: TriMesh) -> Slot:
    """The slot, in a part with that mesh, with the owner of what is opposite its edge, but for its own panel."""
    point = slot.opposite
    others = np.flatnonzero(mesh.labels != FIRST_PANEL + slot.panel)
    corners = mesh.triangles[others]
    short, past = mesh.vertices < point - GAP_SEEN, mesh.vertices > point + GAP_SEEN
    near = ~np.logical_or(short[corners].all(axis=1), past[corners].all(axis=1)).any(axis=1)
    chosen = others[near] if near.any() else others
    nearest = chosen[np.argmin(distances_to_mesh(point, mesh.vertices, mesh.triangles[chosen]))]
    return replace(slot, beyond=int(mesh.labels[nearest]))
