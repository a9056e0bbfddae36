"""Which supports the joints of lids have come to lie over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from sketcher.analysis.cut.results import Joint, Support
from sketcher.analysis.findings import Phrase

_ALONG = 0.5
"""[1] A support that carries so much of a joint's length bears it."""


def over_supports(joints: Sequence[Joint], supports: Sequence[Support]) -> tuple[Joint, ...]:
    """Joints with the supports that lie under them by name, and why none does only where that is so."""
    return tuple(_over(joint, [each for each in supports if each.lid == joint.panel]) for joint in joints)


def _over(joint: Joint, supports: Sequence[Support]) -> Joint:
    shares = {each.name: borne_share(joint, each) for each in supports}
    # One support may be parted by what stands there.
    under = tuple(name for name, share in shares.items() if share > 0.0) if sum(shares.values()) > _ALONG else ()
    if under or joint.borne_by:
        return replace(joint, borne_by=(*joint.borne_by, *under), unborne=None)
    lost = Phrase("support-lies-beside") if joint.unborne is None and supports else joint.unborne
    return replace(joint, unborne=lost)


def borne_share(joint: Joint, support: Support) -> float:
    """How much of a joint's length lies over a support's upper face; 0 of one that it crosses."""
    start, end = (np.array(each) for each in joint.ends)
    corners = support.corners[0]
    u = (corners[1] - corners[0]) / np.linalg.norm(corners[1] - corners[0])
    v = corners[3] - corners[0]
    v = (v - (v @ u) * u) / np.linalg.norm(v - (v @ u) * u)
    axes = np.column_stack([u, v])
    line = np.array([start - corners[0], end - corners[0]]) @ axes
    run = np.ptp(line, axis=0)
    if run[0] < run[1]:
        return 0.0
    return float(shapely.intersection(shapely.LineString(line), shapely.Polygon((corners - corners[0]) @ axes)).length / run[0])
