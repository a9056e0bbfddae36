"""What cuts each panel short: the limits of its file as half spaces, a tied one along its neighbour's near face."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.results import PanelFace
from sketcher.analysis.spaces.panel_planes import Faces, not_a
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.tolerances import GAP_SEEN, INTO_NEIGHBOUR
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Limit, Panel, Partition, Scene

Outward = tuple[float, float, float]
FREE_ENDS = frozenset({"stem", "transom", "hull", "deck"})
"""Limits that cut nothing: the panel runs on, past the hull, and the hull trims it."""
_OPPOSED = -1.0 + 1e-6
"""[1] cosine between an edge and a face above which the edge is not looked at: none of a boat's size touches it all over."""


@dataclass(frozen=True, slots=True)
class PanelEdges:
    """What cuts a panel short. Each edge: a half space by side (0 everywhere, or -1 port and 1 starboard of the centreline).

    touching: the panels, besides those it is tied to, that an edge was taken on to, since it ends at their faces.
    """

    halves: tuple[dict[int, PanelFace], ...]
    tied_to: frozenset[str]
    touching: frozenset[str]


def panel_edges(
    panel: Panel, scene: Scene, faces: dict[str, Faces], box: tuple[Floats, Floats], stated: dict[str, Faces] | None = None
) -> PanelEdges:
    """The edges of a panel that do not run on to the hull, each just inside whatever face it ends at.

    faces: of all panels; stated: these before any gave way to others, which tell what an edge ends at. box: two corners (3,) of
    one round the inside of the hull.

    Raises SketchError where one is tied to a panel that does not exist or is of the wrong kind.
    """
    limits = _limits(panel)
    halves: list[dict[int, PanelFace]] = []
    tied: set[str] = set()
    touching: set[str] = set()
    standing = {other.name for other in scene.panels if other.built != "removed" and other is not panel}
    others = {name: (sides, (stated or faces)[name]) for name, sides in faces.items() if name in standing}
    for name, key, limit, outward, wanted in limits:
        if limit is None or (isinstance(limit, str) and limit in FREE_ENDS):
            continue
        if isinstance(limit, str):
            ends = _tied(panel, scene, faces, (name, key, limit, wanted), back=sum(outward) < 0)
            tied.add(limit)
        else:
            ends = {0: Plane.of(outward, limit * sum(outward))}
        half: dict[int, PanelFace] = {}
        for side, plane in ends.items():
            settled, met = _touching(plane, others, box)
            half[side] = PanelFace(name, settled)
            touching |= met
        halves.append(half)
    return PanelEdges(tuple(halves), frozenset(tied), frozenset(touching - tied))


def _limits(panel: Panel) -> tuple[tuple[str, str, Limit | None, Outward, str], ...]:
    """Each edge's name, key in the file, limit, outward direction, and the kind of panel it may be tied to."""
    rows: list[tuple[str, str, Limit | None, Outward, str]] = []
    if not isinstance(panel, Bulkhead):
        rows.append(("fore end", "from", panel.start, (-1.0, 0.0, 0.0), "bulkhead"))
        rows.append(("after end", "to", panel.end, (1.0, 0.0, 0.0), "bulkhead"))
    if not isinstance(panel, Lid):
        rows.append(("bottom edge", "bottom", panel.bottom, (0.0, 0.0, -1.0), "lid"))
        rows.append(("top edge", "top", panel.top, (0.0, 0.0, 1.0), "lid"))
    if not isinstance(panel, Partition):
        rows.append(("port edge", "span", panel.span[0], (0.0, -1.0, 0.0), "partition"))
        rows.append(("starboard edge", "span", panel.span[1], (0.0, 1.0, 0.0), "partition"))
    return tuple(rows)


def _touching(plane: Plane, others: dict[str, tuple[Faces, Faces]], box: tuple[Floats, Floats]) -> tuple[Plane, set[str]]:
    """Where an edge ends: just inside every face that it is stated to touch all over, and the panels of these; else as stated.

    others: the faces of other panels as they are and as stated.
    """
    met: set[str] = set()
    end = 0.0
    for name, (sides, stated) in others.items():
        for side in sides:
            for face, told in zip(sides[side], stated[side], strict=True):
                if float(told.normal @ plane.normal) > _OPPOSED:
                    continue
                least, most = told.heights_within(plane, *box)
                if least >= -GAP_SEEN and most <= GAP_SEEN:
                    end = max(end, face.heights_within(plane, *box)[1] + INTO_NEIGHBOUR)
                    met.add(name)
    return plane.moved(end), met


def _tied(
    panel: Panel, scene: Scene, faces: dict[str, Faces], edge: tuple[str, str, str, str], *, back: bool
) -> dict[int, Plane]:
    """By side, the plane that ends just inside the near face of a neighbour: its back face when the panel lies behind it."""
    _, key, neighbour, wanted = edge
    kinds: dict[str, tuple[Panel, ...]] = {"bulkhead": scene.bulkheads, "partition": scene.partitions, "lid": scene.lids}
    choice = kinds[wanted]
    other = next((p for p in choice if p.name == neighbour), None)
    if other is None:
        raise not_a(scene, panel, key, neighbour, wanted)
    front = back if wanted == "lid" else not back  # a lid's front face is its top, on the side that z grows to
    into = min(INTO_NEIGHBOUR, other.thickness / 2)
    return {side: pair[0 if front else 1].flipped.moved(into) for side, pair in faces[neighbour].items()}


def limits_of(panel: Panel) -> dict[str, Limit | None]:
    """What each edge of a panel goes to, by the edge's name; None and the words of FREE_ENDS run on to the hull."""
    return {name: limit for name, _, limit, _, _ in _limits(panel)}


def tied_panels(panel: Panel) -> frozenset[str]:
    """The names of the panels that a panel is tied to or placed from."""
    names = {limit for _, _, limit, _, _ in _limits(panel) if isinstance(limit, str) and limit not in FREE_ENDS}
    if isinstance(panel, Bulkhead) and isinstance(panel.at, FromPanel):
        names.add(panel.at.panel)
    return frozenset(names)
