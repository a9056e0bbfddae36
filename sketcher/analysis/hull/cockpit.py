"""The cockpit's rim: over which the sea comes into the well."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.mesh import Floats

COCKPIT = "the cockpit's rim"
"""What the rim is called among the flow paths: no opening of the scene bears this name."""
PLACES_ALONG = 9
"""Points along each side of the rim: the deck bends too little between them to matter."""


def cockpit_rim(form: HullForm) -> Floats | None:
    """(k, 3) points of the deck along the cockpit's two sides [m]; None where there is no cockpit.

    The deck rises from its edge by the camber's parabola; a coaming on top of it is not counted.
    """
    well = form.own.cockpit
    if well is None:
        return None
    x = np.linspace(well.start, well.end, PLACES_ALONG)
    half = np.linspace(well.half_breadth[0], well.half_breadth[1], PLACES_ALONG)
    edge_breadth = np.interp(x, form.sheer[:, 0], form.sheer[:, 1])
    edge_height = np.interp(x, form.sheer[:, 0], form.sheer[:, 2])
    rise = form.hull.deck.camber * np.maximum(edge_breadth**2 - half**2, 0.0) / max(float(form.sheer[:, 1].max()), 1e-9) ** 2
    side = np.column_stack([x, half, edge_height + rise])
    sides = [side, side * np.array([1.0, -1.0, 1.0])]
    if form.hull.twin_spacing is not None:
        sides += [points - np.array([0.0, form.hull.twin_spacing, 0.0]) for points in sides]
    return np.concatenate(sides)
