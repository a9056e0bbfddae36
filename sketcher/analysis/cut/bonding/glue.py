"""Glue, which is putty, of straps, scarfs, stringers, bearers, cleats and ledges: faces times how thick it lies between them."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import shapely

from sketcher.analysis.cut.berth_boards import LEDGE, infill_ledges, ledges_of
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.analysis.cut.results import Joint, Pattern, StringerPattern, Support
from sketcher.model.scene import Scene

LINE, BED = 0.0005, 0.003
"""[m] of putty between two flat boards, and under what lies on the hull or is laid on from above (sources `glue-line`, `putty`):
what presses out of a bed fills the corner."""


def glue_volume(
    scene: Scene,
    patterns: Sequence[Pattern],
    stringers: Sequence[StringerPattern],
    cleats: Sequence[Cleat],
    joints: Sequence[Joint],
    supports: Sequence[Support] = (),
) -> float:
    """Glue [m3] without waste; nothing against a hull that things are bolted to."""
    return (
        sum(LINE * strap.area for strap in patterns if strap.kind == "butt strap")
        + sum(LINE * _scarf(joint) for joint in joints if joint.kind == "scarf")
        + sum(_stringer(scene, each) for each in stringers)
        + sum(_cleat(scene, each) for each in cleats)
        + sum(BED * each.width * (each.length + 2.0 * each.depth) for each in supports)
        + sum(LEDGE * BED * ledge for _, ledge in ledges_of(patterns))
        + sum(LEDGE * LINE * ledge for _, ledge in infill_ledges(patterns))
    )


def _scarf(joint: Joint) -> float:
    """The sloping face of a scarf [m2]."""
    (x, y), (x2, y2) = joint.line
    return hypot(x2 - x, y2 - y) * hypot(joint.width, joint.width / joint.ratio)


def _stringer(scene: Scene, stringer: StringerPattern) -> float:
    """A stringer's face on the hull, that of a lid laid on it, and between its strips."""
    bears = any(each.name == stringer.stringer and each.under is not None for each in scene.stringers)
    on_hull = 0.0 if scene.hull.bolted else stringer.depth
    bedded = BED * (on_hull + (stringer.width if bears else 0.0))
    return stringer.length * (bedded + LINE * stringer.depth * ((stringer.strips or 1) - 1))


def _cleat(scene: Scene, cleat: Cleat) -> float:
    """A cleat's face on what bears it, the board bedded on it, and between its strips."""
    skin = cleat.to in ("hull", "deck")
    borne = 0.0 if skin and scene.hull.bolted else BED if skin else LINE
    return cleat.length * LEDGE * (borne + BED + LINE * ((cleat.strips or 1) - 1))


def bare_faces(
    patterns: Sequence[Pattern],
    stringers: Sequence[StringerPattern],
    cleats: Sequence[Cleat],
    supports: Sequence[Support] = (),
) -> tuple[float, float]:
    """Wood to coat [m2]: faces of boards, of straps, stringers and cleats where they are not glued; and sawn edges of boards."""
    straps = [pattern for pattern in patterns if pattern.kind == "butt strap"]
    boards = [pattern for pattern in patterns if pattern.kind != "butt strap"]
    faces = sum(float(board.outline.area + board.other_outline.area) for board in boards)
    faces += sum(strap.area for strap in straps)
    faces += sum(each.length * (2.0 * each.width + each.depth) for each in stringers)
    faces += sum(2.0 * LEDGE * each.length for each in cleats)
    faces += sum(each.length * (each.width + 2.0 * each.depth) for each in supports)
    edges = sum(float(shapely.length(shapely.boundary(each.outline))) * each.thickness for each in patterns)
    return faces, edges
