"""The open edge of a sheet of triangles, with more places put on it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from sketcher.geometry.mesh import Floats, Ints, TriMesh


def with_edge_places(sheet: TriMesh, loop: Ints, owners: Ints, places: list[Floats]) -> tuple[TriMesh, Ints]:
    """The sheet with places (k, 3) put into each step of its open edge, in the edge's sense, and the edge with them in it.

    loop, owners: as `edge_loop` gives them. The triangle behind a step becomes a fan about its far corner.
    """
    triangles: list[tuple[int, int, int]] = [tuple(row) for row in sheet.triangles.tolist()]
    labels, fresh, count = sheet.labels.tolist(), [], len(sheet.vertices)
    steps = list(zip(loop.tolist(), np.roll(loop, -1).tolist(), strict=True))
    owner = dict(zip(steps, owners.tolist(), strict=True))
    edge: list[int] = []
    for (start, end), put_in in zip(steps, places, strict=True):
        edge.append(start)
        if not len(put_in):
            continue
        triangle = owner[start, end]
        (apex,) = set(triangles[triangle]) - {start, end}
        run = [start, *range(count, count + len(put_in)), end]
        fan = [(a, b, apex) for a, b in pairwise(run)]
        triangles[triangle] = fan[0]
        owner[end, apex] = len(triangles) + len(fan) - 2
        triangles += fan[1:]
        labels += [labels[triangle]] * (len(fan) - 1)
        edge += run[1:-1]
        fresh.append(put_in)
        count += len(put_in)
    vertices = np.concatenate([sheet.vertices, *fresh])
    return TriMesh(vertices, np.array(triangles, dtype=np.int64), np.array(labels, dtype=np.int64)), np.array(
        edge, dtype=np.int64
    )
