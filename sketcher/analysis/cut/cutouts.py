"""The cutouts of a board, and what is not: openings with rounded inner corners, and notches where stringers pass."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import numpy as np
import shapely

from sketcher.analysis.cut.results import Cutout
from sketcher.analysis.cut.timber.stringers import StringerRun, axes_at
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.leaks.opening_shapes import centre_on, opening_frame, outline
from sketcher.analysis.spaces.panel_limits import limits_of
from sketcher.geometry.crossing import met
from sketcher.geometry.flat.inset import with_round_corners
from sketcher.geometry.solid.section import Frame
from sketcher.model.scene import Opening, Scene

NOTCH_RADIUS = 0.005
"""[m] Inner corners of a notch: a jigsaw turns it, and a stringer's corner is eased as much."""

_CLEAR = 0.5
"""[m] How far a notch is carried on beyond the hull: more than any edge lies from the hull's cut."""

_OPEN = 0.020
"""[m] How far a notch is carried on above a panel that ends under the same lid: past the round of its own corners."""

_END = 0.002
"""[m] A stringer that goes on for less beyond a panel ends at it."""


_HAND = 0.100
"""[m] A hole less wide lets no hand in (source `access-opening`): it drains or vents, and nobody gets at what is behind it."""


def left_unsawn(scene: Scene, panel: str) -> Iterator[Opening]:
    """Openings stated for a panel that are not sawn into its board: holes of before the refit, and drains in a tight panel.

    A hole that is not sawn can be drilled later; one that was sawn by mistake has to be plugged.
    """
    tight = {each.name for each in scene.panels if each.watertight}
    for opening in scene.openings:
        if opening.through == panel:
            least = min(opening.size or (opening.diameter or np.inf,))
            if opening.built == "already" or (opening.cover == "none" and panel in tight and least < _HAND):
                yield opening


def openings_in(scene: Scene, shape: PanelShape, frame: Frame, thickness: float) -> Iterator[Cutout]:
    """The openings through a panel, in the frame of its drawn face; sawn square through the board."""
    middle = frame.plane.moved(-thickness / 2)
    unsawn = {opening.name for opening in left_unsawn(scene, shape.name)}
    for opening in scene.openings:
        if opening.through != shape.name or opening.name in unsawn:
            continue
        axes = opening_frame(shape.kind, centre_on(shape.kind, opening.at, middle), middle)
        radius = max(opening.radius, min(scene.cutting.corner, *(side / 2 for side in opening.size or (np.inf, np.inf))))
        hole = outline(replace(opening, radius=radius))
        placed = shapely.transform(hole, lambda flat, axes=axes: frame.flat(axes.space(flat)))
        round_hole = opening.diameter is not None
        yield Cutout(
            name=opening.name,
            kind="opening",
            outline=placed,
            radius=opening.diameter / 2 if round_hole and opening.diameter else radius,
        )


def notches_in(
    scene: Scene, shape: PanelShape, frame: Frame, thickness: float, runs: tuple[StringerRun, ...]
) -> Iterator[Cutout]:
    """Notches where stringers run through a panel and on beyond it, wide enough for them at both faces."""
    normal = frame.normal
    height = float(normal @ np.array(frame.origin))
    for run in runs:
        if run.stringer.under == shape.name or any(end.place == shape.name for end in run.ends):
            continue
        off = run.points @ normal - (height - thickness / 2)
        for k in np.flatnonzero((off[:-1] > 0.0) != (off[1:] > 0.0)).tolist():
            beyond = min(np.abs(off[: k + 1]).max(), np.abs(off[k + 1 :]).max())
            if beyond < thickness / 2 + _END:
                continue
            through = met(run.points, off, k, k + 1)
            along, inboard, up = axes_at(run, k)
            top = _OPEN if limits_of(shape.panel).get("top edge") == run.stringer.under else 0.0
            corners = []
            for out, rise in product((-_CLEAR, run.stringer.width), (top, -run.deepest_near(through))):
                point = through + inboard * out + up * rise
                for plane in (height, height - thickness):
                    corners.append(point + along * (plane - normal @ point) / (normal @ along))
            hull = shapely.convex_hull(shapely.multipoints(frame.flat(np.array(corners))))
            grown = hull.buffer(scene.cutting.panel_gap, join_style="mitre")
            yield Cutout(name=run.name, kind="notch", outline=with_round_corners(grown, NOTCH_RADIUS), radius=NOTCH_RADIUS)
