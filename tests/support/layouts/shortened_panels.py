"""Each panel of a layout made a few millimetres too short at one of its edges in turn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from sketcher.analysis.results import Layout
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Bulkhead, Lid, Panel, Partition, Scene

ROUNDING = 1e-6
"""[m] the tie's reach into its neighbour, which a plain number does without."""


@dataclass(frozen=True)
class Shortened:
    """The scene with one panel's edge drawn in. beyond: what it stops short of, in words.

    least, most [m]: how wide the gap may be called: a square edge stands off a sloping neighbour by more at one of its faces
    or ends than at the other.
    """

    scene: Scene
    panel: str
    edge: str
    beyond: str
    least: float
    most: float


def shortened(layout: Layout, by: float) -> Iterator[Shortened]:
    """Every edge of every panel that meets the deck, a lid or a bulkhead, drawn in by `by` [m] where it stands.

    An edge whose gap would come out wider than the scene's limit, because its neighbour slopes away, is left out.
    """
    for shape in layout.panels:
        panel = shape.panel
        for edge, value, beyond, least, most in _edges(layout, panel, by):
            if most <= layout.scene.gap_limit:
                scene = _with(layout.scene, replace(panel, **{edge: value}))
                yield Shortened(scene, panel.name, edge, beyond, least - ROUNDING, most + ROUNDING)


def _edges(layout: Layout, panel: Panel, by: float) -> Iterator[tuple[str, float, str, float, float]]:
    if isinstance(panel, Bulkhead):
        yield from _bulkhead_top(layout, panel, by)
    if isinstance(panel, Partition):
        yield from _partition_edges(layout, panel, by)
    if isinstance(panel, Lid):
        for edge, tie, face, sign in (("start", panel.start, "after", 1), ("end", panel.end, "forward", -1)):
            if isinstance(tie, str) and tie not in ("stem", "transom"):
                top, under = (_aft(layout, tie, face, 0.0, panel.height - t) for t in (0.0, panel.thickness))
                value = sign * max(sign * top, sign * under) + sign * by
                leans = abs(top - under) + panel.thickness * abs(math.tan(math.radians(panel.slope)))
                yield edge, value, tie, by - leans, by + leans


def _bulkhead_top(layout: Layout, panel: Bulkhead, by: float) -> Iterator[tuple[str, float, str, float, float]]:
    """Its top drawn in at the crown of the deck over its middle; the deck falls away to both sides."""
    if panel.top != "deck":
        return
    crown = 0.0
    for _ in range(3):
        fore, after = (_aft(layout, panel.name, face, 0.0, crown) for face in ("forward", "after"))
        crown = _deck(layout, (fore + after) / 2, 0.0)
    slope = abs(_deck(layout, fore, 0.0) - _deck(layout, after, 0.0))
    yield "top", crown - by, "the deck", by - slope, by + slope


def _partition_edges(layout: Layout, panel: Partition, by: float) -> Iterator[tuple[str, float, str, float, float]]:
    shape = next(s for s in layout.panels if s.name == panel.name)
    low, high = shape.mesh.bounds
    y = panel.off_centre[0]
    fore, after = float(low[0]), float(high[0])
    if panel.top == "deck":
        heights = [_deck(layout, fore + (after - fore) * k / 20, y) for k in range(21)]
        yield "top", max(heights) - by, "the deck", by, by + max(heights) - min(heights)
    for edge, tie, face, sign in (("top", panel.top, "under", -1), ("bottom", panel.bottom, "top", 1)):
        if isinstance(tie, str) and tie not in ("deck", "hull"):
            ends = [_height(layout, tie, face, x, y) for x in (fore, after)]
            yield edge, sign * max(sign * e for e in ends) + sign * by, tie, by, by + abs(ends[0] - ends[1])
    foot, head = _reach(layout, panel)
    for edge, tie, face, sign in (("start", panel.start, "after", 1), ("end", panel.end, "forward", -1)):
        if isinstance(tie, str) and tie not in ("stem", "transom"):
            ends = [_aft(layout, tie, face, y, z) for z in (foot, head)]
            yield edge, sign * max(sign * e for e in ends) + sign * by, tie, by, by + abs(ends[0] - ends[1])


def _reach(layout: Layout, panel: Partition) -> tuple[float, float]:
    """Lowest and highest point of the spaces that the panel bounds: it is seen nowhere else."""
    spaces = [c for c in layout.compartments if panel.name in {name for name, _ in c.bounds}]
    low, high = min(c.lowest for c in spaces), max(c.highest for c in spaces)
    shape = next(s for s in layout.panels if s.name == panel.name)
    return max(low, float(shape.mesh.bounds[0][2])), min(high, float(shape.mesh.bounds[1][2]))


def _deck(layout: Layout, x: float, y: float) -> float:
    under = layout.hull.deck_underside(x, y)
    assert under is not None
    return under


def _face(layout: Layout, name: str, face: str) -> Plane:
    return dict(next(s for s in layout.panels if s.name == name).faces)[face]


def _height(layout: Layout, name: str, face: str, x: float, y: float) -> float:
    plane = _face(layout, name, face)
    return (plane.distance - plane.normal[0] * x - plane.normal[1] * y) / plane.normal[2]


def _aft(layout: Layout, name: str, face: str, y: float, z: float) -> float:
    plane = _face(layout, name, face)
    return (plane.distance - plane.normal[1] * y - plane.normal[2] * z) / plane.normal[0]


def _with(scene: Scene, panel: Panel) -> Scene:
    return replace(
        scene,
        bulkheads=tuple(panel if b.name == panel.name and isinstance(panel, Bulkhead) else b for b in scene.bulkheads),
        partitions=tuple(panel if p.name == panel.name and isinstance(panel, Partition) else p for p in scene.partitions),
        lids=tuple(panel if d.name == panel.name and isinstance(panel, Lid) else d for d in scene.lids),
    )
