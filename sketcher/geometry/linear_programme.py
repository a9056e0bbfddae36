"""Small linear programmes, many at a time: the active-set simplex from a vertex that is known."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats, Ints

_NO_GAIN = 1e-11
"""[-] A multiplier nearer to 0 than this is taken for 0, so that rounding cannot keep the programme going."""

_PIVOT = 1e-7
"""[-] A row that a direction approaches more slowly than this is never made active: it would be parallel to the others."""


def best_vertices(gain: Floats, rows: Floats, limits: Floats, corner: Ints) -> Floats:
    """For each of k programmes the z (n,) that maximises gain . z under rows @ z <= limits, all in lockstep; (k, n).

    gain: (k, n); rows: (k, m, n); limits: (k, m); corner: (k, n), the independent rows that are met exactly at a point within
    all limits, from which the search begins. The feasible sets must be bounded in the direction of gain. A row of zeros with a
    limit above 0 asks nothing. Ends after at most 20 exchanges for each unknown.
    """
    k, _, n = rows.shape
    every = np.arange(k)
    inverse = np.linalg.inv(rows[every[:, None], corner])
    z = (inverse @ np.take_along_axis(limits, corner, axis=1)[..., None])[..., 0]
    room = np.maximum(limits - (rows @ z[..., None])[..., 0], 0.0)
    found, open_, active, member = z.copy(), every, corner.copy(), every
    for _ in range(20 * n):
        worth = (gain[:, None] @ inverse)[:, 0]
        leaving = worth.argmin(axis=1)
        along = -inverse[member, :, leaving]
        rate = (rows @ along[..., None])[..., 0]
        rate[member[:, None], active] = 0.0
        rate[member, active[member, leaving]] = -1.0
        ahead = rate > _PIVOT
        going = (worth[member, leaving] < -_NO_GAIN) & ahead.any(axis=1)
        if not going.all():
            found[open_[~going]] = z[~going]
            if not going.any():
                return found
            open_, gain, rows, room, inverse = open_[going], gain[going], rows[going], room[going], inverse[going]
            z, active, leaving, along, rate, ahead = (
                z[going],
                active[going],
                leaving[going],
                along[going],
                rate[going],
                ahead[going],
            )
            member = np.arange(len(open_))
        steps = np.divide(room, rate, out=np.full(rate.shape, np.inf), where=ahead)
        step = steps.min(axis=1)[:, None]
        # Of rows met at the same step the steepest one enters: it keeps the corner far from degenerate.
        nearest = np.where(steps <= step + _NO_GAIN, rate, 0.0).argmax(axis=1)
        z = z + step * along
        room -= step * rate
        np.maximum(room, 0.0, out=room)
        # The entering row takes the place of the leaving one in the inverse: all its other columns become square to it.
        across = (rows[member, nearest][:, None] @ inverse)[:, 0]
        column = along / -across[member, leaving][:, None]
        inverse = inverse - column[:, :, None] * across[:, None]
        inverse[member, :, leaving] = column
        active[member, leaving] = nearest
    found[open_] = z
    return found
