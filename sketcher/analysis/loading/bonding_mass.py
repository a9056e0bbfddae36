"""What resin, glass and putty add to the boat with planned panels, worked out from the edges at which faces meet."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.cut.bonding.rules import (
    EPOXY_DENSITY,
    PUTTY_FILLER,
    PUTTY_RESIN,
    epoxy_for_cloth,
    epoxy_for_coats,
    fillet_section,
)
from sketcher.analysis.hull.form import OPEN_END
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.model.cutting import Bonding
from sketcher.model.scene import Weight

BONDING = "resin, glass and putty"
"""What the weight of all that bonds the panels is called."""


@dataclass(frozen=True, eq=False)
class _Edges:
    """Where two faces of a space meet: labels (n, 2), lengths (n,) [m], middles (n, 3) [m], angles in the space (n,) [rad]."""

    labels: Floats
    lengths: Floats
    middles: Floats
    angles: Floats


def bonding_weight(layout: Layout, names: Collection[str]) -> Weight | None:
    """Resin, glass and putty [kg] of the panels named, with no waste; None where nothing of them is bonded.

    Every edge is counted as filleted and taped on both faces, and every face as coated, so that it errs to the heavy side where
    the booklet beds an edge on a cleat. Where the hull is bolted, edges at hull and deck take none.
    """
    numbers = [FIRST_PANEL + k for k, shape in enumerate(layout.panels) if shape.name in names]
    parts = [part for space in layout.compartments for part in _of_space(layout, space.mesh, numbers)]
    mass = sum(kg for kg, _ in parts)
    if mass <= 0.0:
        return None
    x, y, z = np.average([middle for _, middle in parts], axis=0, weights=[kg for kg, _ in parts]).tolist()
    return Weight(name=BONDING, kg=float(mass), at=(x, y, z), planned=True)


def _of_space(layout: Layout, mesh: TriMesh, numbers: list[int]) -> Iterator[tuple[float, Floats]]:
    """Masses [kg] in one space with where they act (3,): of its bonded edges, and of its coated faces."""
    how, of_panels = layout.scene.bonding, np.isin(mesh.labels, numbers)
    if not of_panels.any():
        return
    edges = _edges(mesh, of_panels)
    kept = np.isin(edges.labels, numbers).any(axis=1) & (edges.labels != OPEN_END).all(axis=1) & (edges.angles < np.pi - 1e-3)
    if layout.scene.hull.bolted:
        kept &= (edges.labels >= FIRST_PANEL).all(axis=1)
    if kept.any():
        kg = edges.lengths[kept] * _per_metre(how, edges.angles[kept])
        yield float(kg.sum()), kg @ edges.middles[kept] / kg.sum()
    faces = mesh.vertices[mesh.triangles[of_panels]]
    areas = np.linalg.norm(np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0]), axis=1) / 2
    if areas.sum() > 0.0:
        middle = areas @ faces.mean(axis=1) / areas.sum()
        yield epoxy_for_coats(float(areas.sum()), how.coats, 0.0) * EPOXY_DENSITY, middle


def _per_metre(how: Bonding, angles: Floats) -> Floats:
    """What a metre of edge takes [kg] in corners of so many radians: glass and its resin, and a fillet."""
    width = sum(2.0 * (how.first + k * how.step) for k in range(how.layers))
    cloth = width * how.cloth + epoxy_for_cloth(width, how.cloth, how.kind, 0.0) * EPOXY_DENSITY
    fillet: Floats = fillet_section(angles, how.fillet) * PUTTY_RESIN * EPOXY_DENSITY * (1.0 + PUTTY_FILLER)
    return cloth + fillet


def _edges(mesh: TriMesh, about: NDArray[np.bool_]) -> _Edges:
    """The edges of a closed mesh between triangles of different labels, each once; only about some triangles (n,)."""
    vertices, at_them = mesh.vertices, np.zeros(len(mesh.vertices), dtype=bool)
    at_them[mesh.triangles[about]] = True
    # What shares an edge with one of them has two corners of theirs: sorting all edges of a space would cost a drag its frame.
    near = np.count_nonzero(at_them[mesh.triangles], axis=1) >= 2
    triangles, labels = mesh.triangles[near], mesh.labels[near]
    starts, ends = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    of = np.repeat(np.arange(len(triangles)), 3)
    key, back = starts * len(vertices) + ends, ends * len(vertices) + starts
    order = np.argsort(key)
    found = order[np.minimum(np.searchsorted(key, back, sorter=order), len(key) - 1)]
    one = np.flatnonzero((key[found] == back) & (starts < ends) & (labels[of] != labels[of[found]]))
    first, second = of[one], of[found[one]]
    corners = vertices[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-300)[:, None]
    along = vertices[ends[one]] - vertices[starts[one]]
    lengths = np.linalg.norm(along, axis=1)
    turn = np.arccos(np.clip((normals[first] * normals[second]).sum(axis=1), -1.0, 1.0))
    convex = (np.cross(normals[first], normals[second]) * along).sum(axis=1) > 0.0
    return _Edges(
        np.column_stack([labels[first], labels[second]]),
        lengths,
        (vertices[starts[one]] + vertices[ends[one]]) / 2,
        np.where(convex, np.pi - turn, np.pi + turn),
    )
