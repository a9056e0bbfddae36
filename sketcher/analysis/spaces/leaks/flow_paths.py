"""Flow paths between spaces: gaps, leaky panels, openings that are not tight, hoses and hollow stringers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.results import FlowPath, PanelShape
from sketcher.analysis.spaces.face_regions import Meeting
from sketcher.analysis.spaces.leaks.slots import Slot
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import GAP_SEEN, HOLE_AREA, SAME_HEIGHT

FlowPathKind = Literal["opening", "gap", "panel", "conduit"]


@dataclass(frozen=True, eq=False)
class SpaceNames:
    """Which compartment each part is, by name; None for slivers."""

    of_part: tuple[str | None, ...]

    def pair(self, a: int, b: int) -> tuple[str, str] | None:
        """The names of two parts, None where either is no compartment or both are one."""
        first, second = self.of_part[a], self.of_part[b]
        return None if first is None or second is None or first == second else (first, second)


@dataclass(frozen=True, eq=False)
class Through:
    """A region in a frame through which two parts are joined."""

    front: int
    back: int
    frame: Frame
    region: shapely.Geometry


def flow_path(
    name: str, kind: FlowPathKind, between: tuple[str, str], through: str | None, area: float, corners: Floats
) -> FlowPath:
    """The flow path with these corners (k, 3). Its lowest point is the lowest of these; of several the foremost, then to port."""
    lowest = corners[corners[:, 2] <= corners[:, 2].min() + SAME_HEIGHT]
    low = min(lowest.tolist(), key=lambda corner: (round(corner[0], 6), round(corner[1], 6)))
    return FlowPath(
        name=name,
        kind=kind,
        between=between,
        through=through,
        lowest=low[2],
        lowest_at=(low[0], low[1], low[2]),
        area=area,
        outline=corners,
    )


def outline_corners(frame: Frame, region: shapely.Geometry) -> Floats:
    """Corners (k, 3) of the outer rings of a region."""
    return np.concatenate([frame.space(np.asarray(polygon.exterior.coords)[:-1, :2]) for polygon in polygons(region)])


def flat_paths(name: str, kind: FlowPathKind, through: str, names: SpaceNames, regions: Iterable[Through]) -> list[FlowPath]:
    """One flow path for each pair of spaces that the regions join."""
    by_pair: dict[tuple[str, str], list[Through]] = {}
    for found in regions:
        pair = names.pair(found.front, found.back)
        if pair is not None and found.region.area > HOLE_AREA:
            by_pair.setdefault(pair, []).append(found)
    return [
        flow_path(
            name,
            kind,
            pair,
            through,
            float(sum(each.region.area for each in found)),
            np.concatenate([outline_corners(each.frame, each.region) for each in found]),
        )
        for pair, found in by_pair.items()
    ]


def gap_paths(names: SpaceNames, shapes: Sequence[PanelShape], slots: Sequence[Slot]) -> list[FlowPath]:
    """The slots that alone join two spaces, however small, but for those no wider than two numbers rounded apart."""
    paths: list[FlowPath] = []
    for slot in slots:
        pair = names.pair(*slot.between) if slot.between is not None and slot.width > GAP_SEEN else None
        if pair is not None:
            shape = shapes[slot.panel]
            name = f"gap at the {shape.faces[slot.face].name} of {shape.name}"
            corners = outline_corners(slot.frame, slot.region)
            paths.append(flow_path(name, "gap", pair, shape.name, slot.region.area, corners))
    return paths


def leaky_panels(names: SpaceNames, shapes: Sequence[PanelShape], met: Sequence[Meeting]) -> list[FlowPath]:
    """Panels that are not watertight, for every two spaces that face each other across one."""
    paths: list[FlowPath] = []
    for k, shape in enumerate(shapes):
        if not shape.panel.watertight:
            regions = [Through(m.front, m.back, m.board.frame, m.region) for m in met if m.board.panel == k]
            paths += flat_paths(shape.name, "panel", shape.name, names, regions)
    return paths
