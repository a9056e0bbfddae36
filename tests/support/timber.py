"""Bearers as solids as they are cut."""

from __future__ import annotations

from manifold3d import Manifold
from shapes import tube

from sketcher.analysis.cut.timber.stringers import StringerRun
from sketcher.geometry.solid.boolean import to_manifold


def bearer_solid(run: StringerRun) -> Manifold:
    """A run's sections joined, its ends sawn off by the planes that they are cut to."""
    rings = run.sections if run.side > 0 else run.sections[:, ::-1]
    solid = to_manifold(tube(rings), 0)
    for end in run.ends:
        solid = solid.trim_by_plane(tuple(end.plane.normal), end.plane.distance)
    return solid
