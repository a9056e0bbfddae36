"""What must be got at later: whether a hand, an arm or a person gets to each fitting that says so, and to each seacock."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.findings import Finding, Length, Place
from sketcher.analysis.fit.access import REACH, Entrance, entrances_to
from sketcher.analysis.results import Layout
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.paths_inside import path_lengths, walls_of
from sketcher.geometry.tolerances import REACH_SKIN
from sketcher.model.scene import Fitting

_INSIDE = 2e-3
"""[m] A path begins this far inside its opening, clear of the rim."""


VALVE = 0.10
"""[m] A seacock's valve and handle stand about so far in from the skin: they are what a hand must get to; from memory."""


def reach_findings(layout: Layout) -> tuple[Finding, ...]:
    """A finding for each fitting that must be reached and cannot be, and for each opening through the hull, where the seacock is;
    other fittings in the way are not looked at.
    """
    found = []
    for fitting in layout.scene.fittings:
        if fitting.reach:
            found += _of_fitting(layout, fitting)
    for opening in layout.scene.openings:
        if opening.through == "hull" and any(path.name == opening.name for path in (*layout.flow_paths, *layout.closed)):
            x, y, z = opening.at
            found += _of_fitting(layout, Fitting(name=opening.name, at=(x, y, z), size=(VALVE, VALVE, VALVE), reach=True))
    return tuple(found)


def _of_fitting(layout: Layout, fitting: Fitting) -> list[Finding]:
    spots = _faces(fitting)
    best: tuple[float, Entrance] | None = None
    for space in layout.compartments:
        low, high = space.mesh.bounds
        near = ((spots >= low - REACH_SKIN) & (spots <= high + REACH_SKIN)).all(axis=1)
        if not near.any():
            continue
        for entrance in entrances_to(layout, space):
            lengths = _path_lengths_to(space.mesh, np.array(entrance.centre) + _INSIDE * entrance.inwards, spots[near])
            if np.isfinite(lengths).any():
                missing = float(lengths.min()) - REACH[entrance.limb]
                if best is None or missing < best[0]:
                    best = missing, entrance
    if best is None:
        return [_sealed_in(fitting)]
    return [] if best[0] <= 0.0 else [_too_far(fitting, *best)]


@remembered(32)
def _path_lengths_to(space: TriMesh, source: Floats, spots: Floats) -> Floats:
    return path_lengths(walls_of(space), source, spots)


def _faces(fitting: Fitting) -> Floats:
    """A fitting's six faces' middles, just off them, where a hand would take hold of it (6, 3) [m]."""
    half = np.array(fitting.size) / 2 + REACH_SKIN
    return np.array(fitting.at) + np.vstack([np.diag(half), -np.diag(half)])


def _sealed_in(fitting: Fitting) -> Finding:
    return Finding(
        code="fitting-sealed-in",
        severity="warn",
        object=fitting.name,
        values={"fitting": fitting.name, "at": Place(fitting.at)},
        source="access-opening",
        at=fitting.at,
    )


def _too_far(fitting: Fitting, missing: float, entrance: Entrance) -> Finding:
    reach = REACH[entrance.limb]
    return Finding(
        code="fitting-out-of-reach",
        severity="warn",
        object=fitting.name,
        values={
            "fitting": fitting.name,
            "distance": Length(reach + missing),
            "opening": entrance.name,
            "limb": entrance.limb,
            "reach": Length(reach),
            "missing": Length(missing),
        },
        measured=reach + missing,
        limit=reach,
        source="arm-reach",
        at=fitting.at,
    )
