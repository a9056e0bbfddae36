"""What a measure holds to in a drawing: the corners and edges of what is cut there, as they truly are, not as they are drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats
from sketcher.outputs.drawing.cut_outlines import Kind, PlaneCut, plane_cut
from sketcher.outputs.drawing.recording import Spot
from sketcher.web.view.sheet.panes import Pane

TURN = np.cos(np.radians(10.0))
"""An outline that turns by more than 10 degrees has a corner there: a hull's curve turns by less from one point to the next."""
SAME = 5e-4
"""[m]: corners nearer than this to each other are one."""
TOWARDS: dict[str, tuple[float, float]] = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}
TICK, RING = 1.0, 1.3
"""[mm]: half a cross at an end of a measure, and the radius of the ring where it points."""
ASIDE = 2.5
"""A corner that an arrow key goes to counts as so many times farther for what it lies aside."""


@dataclass(frozen=True, slots=True)
class Held:
    """A place in a drawing, along its axes [m], and what it is: `corner of main`, `edge of the hull`; empty: free."""

    at: Spot
    what: str = ""


@dataclass(frozen=True, eq=False)
class Holds:
    """corners (k, 2) and edges (m, 2, 2) [m] along a drawing's axes, and of what each is, the first of its place named."""

    corners: Floats
    corner_of: tuple[str, ...]
    edges: Floats
    edge_of: tuple[str, ...]

    def nearest(self, at: Spot, corner_reach: float, edge_reach: float) -> Held:
        """The corner within reach [m] of a place, else the nearest place on an edge within reach, else the place itself."""
        here = np.array(at)
        if len(self.corners):
            away = np.hypot(*(self.corners - here).T)
            if away.min() <= corner_reach:
                best = int(away.argmin())
                return Held(_spot(self.corners[best]), f"corner of {self.corner_of[best]}")
        if len(self.edges):
            start, along = self.edges[:, 0], self.edges[:, 1] - self.edges[:, 0]
            share = np.einsum("ij,ij->i", here - start, along) / np.maximum(np.einsum("ij,ij->i", along, along), 1e-18)
            feet = start + np.clip(share, 0.0, 1.0)[:, None] * along
            away = np.hypot(*(feet - here).T)
            if away.min() <= edge_reach:
                best = int(away.argmin())
                return Held(_spot(feet[best]), f"edge of {self.edge_of[best]}")
        return Held(at)

    def next_corner(self, at: Spot, across: float, up: float) -> Held | None:
        """The nearest corner in a direction along the drawing's axes; None where there is none."""
        moved = self.corners - np.array(at)
        ahead, aside = moved @ np.array([across, up]), np.abs(moved @ np.array([-up, across]))
        cost = np.where(ahead > SAME, ahead + ASIDE * aside, np.inf)
        if not len(cost) or not np.isfinite(cost.min()):
            return None
        best = int(cost.argmin())
        return Held(_spot(self.corners[best]), f"corner of {self.corner_of[best]}")


def holds_of(evaluation: Evaluation, kind: Kind, at: float) -> Holds:
    """Corners and edges of panels, openings, spaces, hull, berths and water where a drawing of a kind cuts at `at` [m]."""
    corners: list[Spot] = []
    corner_of: list[str] = []
    edges: list[Floats] = []
    edge_of: list[str] = []
    for name, ring, closed in _rings(evaluation, plane_cut(evaluation, kind, at)):
        points = ring[:-1] if closed and np.allclose(ring[0], ring[-1]) else ring
        pairs = np.stack([points, np.roll(points, -1, axis=0)], axis=1)
        edges.append(pairs if closed else pairs[:-1])
        edge_of += [name] * len(edges[-1])
        for point in points[_turns(points)] if closed else points[:0]:
            if not any(abs(point[0] - x) < SAME and abs(point[1] - y) < SAME for x, y in corners):
                corners.append(_spot(point))
                corner_of.append(name)
    return Holds(
        np.array(corners).reshape(-1, 2),
        tuple(corner_of),
        np.concatenate(edges) if edges else np.zeros((0, 2, 2)),
        tuple(edge_of),
    )


def _rings(evaluation: Evaluation, found: PlaneCut) -> Iterator[tuple[str, Floats, bool]]:
    """Outlines (k, 2) [m] by what they are of, and whether they are closed: what is named first has a shared place."""
    u, v, deep = {"profile": (0, 2, 1), "plan": (0, 1, 2), "section": (1, 2, 0)}[found.kind]
    for panel in found.panels:
        yield from ((panel.shape.name, ring, True) for ring in _outline(panel.outline))
    for path in evaluation.layout.flow_paths:
        points = np.asarray(path.outline)
        if path.kind == "opening" and len(points) > 2 and points[:, deep].min() <= found.at <= points[:, deep].max():
            yield path.name, points[:, [u, v]], True
    for space in found.spaces:
        yield from (("the hull's inside", ring, True) for ring in _outline(space.outline))
    yield from (("the hull", ring, True) for ring in _outline(found.hull))
    if found.kind == "plan":
        yield from ((berth.name, np.asarray(berth.outline), True) for berth in evaluation.berths if len(berth.outline) > 2)
    if found.water is not None and found.kind != "plan":
        yield "the water", shapely.get_coordinates(found.water)[:2], False


def _outline(outline: shapely.MultiPolygon) -> Iterator[Floats]:
    for polygon in outline.geoms:
        for ring in (polygon.exterior, *polygon.interiors):
            yield shapely.get_coordinates(shapely.simplify(ring, 1e-5))


def _turns(points: Floats) -> Floats:
    """Which points (k,) of a closed outline are corners."""
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    lengths = np.maximum(np.hypot(*before.T) * np.hypot(*after.T), 1e-18)
    return np.asarray(np.einsum("ij,ij->i", before, after) / lengths < TURN)


def _spot(point: Floats) -> Spot:
    return float(point[0]), float(point[1])


def measure_svg(pane: Pane, height: float, ends: tuple[Spot, Spot | None], here: Held | None) -> str:
    """What is measured in a drawing on a sheet of a height [mm]: a ring where it points, whole on a corner, and the line."""

    def spot(at: Spot) -> Spot:
        x, y = pane.placing.spot(*at)
        return x, height - y

    made = []
    first, second = spot(ends[0]), None if ends[1] is None else spot(ends[1])
    if second is not None:
        made.append(f'<path class="measure" d="M{_pair(first)}L{_pair(second)}"/>')
    for x, y in (first, *(() if second is None else (second,))):
        made.append(f'<path class="measure" d="M{x - TICK:.2f} {y:.2f}h{2 * TICK:.2f}M{x:.2f} {y - TICK:.2f}v{2 * TICK:.2f}"/>')
    if here is not None:
        x, y = spot(here.at)
        kind = "measure on" if here.what.startswith("corner") else "measure"
        made.append(f'<circle class="{kind}" cx="{x:.2f}" cy="{y:.2f}" r="{RING:g}"/>')
    return "".join(made)


def _pair(at: Spot) -> str:
    return f"{at[0]:.2f} {at[1]:.2f}"
