"""Lay a scene's panels out in its hull: the compartments they leave, what joins them, and whether it all adds up."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.cutting import hull_solid, left_over, panel_solids, parts_in, trimmed
from sketcher.analysis.hull_form import HullForm
from sketcher.analysis.panels import place_panels
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces import spaces_from
from sketcher.geometry.mesh import GeometryError
from sketcher.geometry.solid import surface_of
from sketcher.geometry.tolerances import RESIDUAL, SLIVER_VOLUME
from sketcher.model.scene import Scene


def lay_out(scene: Scene, form: HullForm) -> Layout:
    """The compartments of a scene in its hull, with every check; the same answer in every process.

    Raises SketchError where a panel is tied to what does not exist or cannot be built, GeometryError where volumes of
    compartments, panels and hull do not add up.
    """
    placing = place_panels(scene, form)
    hull = hull_solid(form)
    solids = panel_solids(placing.shapes)
    shapes = trimmed(hull, solids)
    parts = parts_in(surface_of(left_over(hull, solids)), hull, solids.origin)
    large = parts.volume > SLIVER_VOLUME
    spaces = spaces_from(scene, parts, shapes, np.flatnonzero(large))
    panel_volume = sum(shape.volume for shape in shapes)
    sliver_volume = float(parts.volume[~large].sum())
    residual = hull.volume - sum(c.volume for c in spaces.compartments) - panel_volume - sliver_volume
    check_sum(residual, hull.volume)
    return Layout(
        scene=scene,
        hull=form,
        panels=shapes,
        compartments=spaces.compartments,
        ways=(),
        adjoining=(),
        findings=spaces.findings,
        inside_volume=hull.volume,
        panel_volume=panel_volume,
        sliver_volume=sliver_volume,
        residual=residual,
    )


def check_sum(residual: float, inside: float) -> None:
    """Raise GeometryError where the volumes miss the hull's by more than rounding."""
    if not abs(residual) <= RESIDUAL * inside:
        raise GeometryError(
            f"compartments, panels and gaps do not add up to the inside of the hull: {residual * 1e6:.3g} ml of "
            f"{inside * 1000:.1f} litres are missing"
        )
