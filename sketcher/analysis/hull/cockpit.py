"""The cockpit's rim: over which the sea comes into the well."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sketcher.analysis.hull.deck import DeckSurface
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
    camber = form.hull.deck.camber
    one, other = (DeckSurface.along(edge, camber) for edge in (form.sheer, form.to_port.sheer))
    if form.image is not None:
        one, other = replace(one, opposite=other), replace(other, opposite=one)
    rims = [np.column_stack([x, half, np.maximum(deck.at(x, half), deck.edge(x))]) for deck in (one, other)]
    sides = [rims[0], rims[1] * [1.0, -1.0, 1.0]]
    if form.hull.twin_spacing is not None:
        sides += [points * [1.0, -1.0, 1.0] - [0.0, form.hull.twin_spacing, 0.0] for points in sides[::-1]]
    return np.concatenate(sides)
