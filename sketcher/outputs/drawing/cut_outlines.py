"""What a plane through the boat meets: shell, compartments and panels as outlines in the plane."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import PanelShape, WaterPlane
from sketcher.geometry.crossing import ring_part
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.section import Frame, frame_x, frame_y, frame_z, section
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces

Kind = Literal["profile", "plan", "section"]
AXES: dict[Kind, tuple[str, tuple[int, int]]] = {"profile": ("xz", (1, 1)), "plan": ("xy", (1, 1)), "section": ("yz", (-1, 1))}
"""The boat's axes across and up each drawing: the bow to the left; a section is seen from ahead, her starboard on the left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSpace:
    """A compartment where the plane cuts it; wet: the part of the outline below the water."""

    known: KnownSpace
    outline: shapely.MultiPolygon
    wet: shapely.MultiPolygon


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPanel:
    """A panel where the plane cuts it, inside the hull."""

    shape: PanelShape
    outline: shapely.MultiPolygon


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneCut:
    """A plane at `at` [m] through a boat; outlines [m] along the drawing's axes. water: the half-plane below, None: unknown."""

    kind: Kind
    at: float
    hull: shapely.MultiPolygon
    inside: shapely.MultiPolygon
    spaces: tuple[CutSpace, ...]
    panels: tuple[CutPanel, ...]
    water: shapely.Polygon | None

    @property
    def lids(self) -> tuple[CutPanel, ...]:
        """The lids that the plane cuts."""
        return tuple(panel for panel in self.panels if panel.shape.kind == "lid")


def plane_cut(evaluation: Evaluation, kind: Kind, at: float) -> PlaneCut:
    """Cut the boat: profile at `at` [m] off the centreline, plan at a height, section at a distance aft."""
    frame = {"profile": frame_y, "plan": frame_z, "section": frame_x}[kind](at)
    form = evaluation.layout.hull
    inside = _outline(form.inside, frame)
    below = _below(evaluation.water, kind, at) if evaluation.water else None
    if evaluation.water is not None and kind == "plan" and not _clearly_over(evaluation.water, at, inside):
        below = shapely.Polygon()
    spaces = []
    for known in known_spaces(evaluation):
        outline = _outline(known.space.mesh, frame)
        if not outline.is_empty:
            wet = outline_polygons(shapely.intersection(outline, below)) if below is not None else shapely.MultiPolygon()
            spaces.append(CutSpace(known=known, outline=outline, wet=wet))
    return PlaneCut(
        kind=kind,
        at=at,
        hull=_outline(form.outside, frame),
        inside=inside,
        spaces=tuple(spaces),
        panels=tuple(_panels(evaluation, frame, inside)),
        water=below,
    )


def _outline(mesh: TriMesh, frame: Frame) -> shapely.MultiPolygon:
    """Where a plane cuts a mesh; one along the seam of both sides may cross itself by rounding, which is undone."""
    found = section(mesh, frame)
    return found if shapely.is_valid(found) else outline_polygons(shapely.make_valid(found))


def outline_polygons(geometry: shapely.Geometry) -> shapely.MultiPolygon:
    """The polygons of any geometry; points and lines left by touching outlines are dropped."""
    if isinstance(geometry, shapely.MultiPolygon):
        return geometry
    parts = getattr(geometry, "geoms", [geometry])
    return shapely.MultiPolygon([part for part in parts if isinstance(part, shapely.Polygon) and not part.is_empty])


def _panels(evaluation: Evaluation, frame: Frame, inside: shapely.MultiPolygon) -> Iterator[CutPanel]:
    """Panels run past the hull and into each other: trimmed to it, bulkheads run through, then partitions, then lids."""
    taken = shapely.MultiPolygon()
    order = ("bulkhead", "partition", "lid")
    for shape in sorted(evaluation.layout.panels, key=lambda shape: (order.index(shape.kind), shape.name)):
        whole = section(shape.mesh, frame)
        outline = outline_polygons(shapely.difference(shapely.intersection(whole, inside), taken))
        if not outline.is_empty:
            taken = shapely.union(taken, outline)
            yield CutPanel(shape=shape, outline=outline)


LEAST_OVER = 0.005
"""[m] that water must somewhere stand over a plan for any of it to be called under water: a tape's error."""
REACH = 100.0
"""[m]: farther than any boat extends."""


def _below(water: WaterPlane, kind: Kind, at: float) -> shapely.Polygon:
    """The part of the plane that lies under water, along the drawing's axes."""
    far = REACH
    if kind == "profile":
        return shapely.Polygon(
            [(-far, water.height(-far, at)), (far, water.height(far, at)), (far, -far * 10), (-far, -far * 10)]
        )
    if kind == "section":
        return shapely.Polygon(
            [(-far, water.height(at, -far)), (far, water.height(at, far)), (far, -far * 10), (-far, -far * 10)]
        )
    return _wet_plan(water, at)


def _clearly_over(water: WaterPlane, height: float, inside: shapely.MultiPolygon) -> bool:
    """Whether water stands anywhere over a plan by more than a measurement errs; it is highest at a corner of the plan's box."""
    if inside.is_empty:
        return False
    x0, y0, x1, y1 = inside.bounds
    return max(water.height(x, y) for x in (x0, x1) for y in (y0, y1)) - height > LEAST_OVER


def _wet_plan(water: WaterPlane, height: float) -> shapely.Polygon:
    """Where the water stands above a level plane: all, nothing, or what lies to one side of a line."""
    square = [(-REACH, -REACH), (REACH, -REACH), (REACH, REACH), (-REACH, REACH)]
    ring = ring_part(np.array(square), np.array([height - water.height(x, y) for x, y in square]), under=True)
    return shapely.Polygon(ring) if len(ring) >= 3 else shapely.Polygon()
