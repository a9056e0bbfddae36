"""Refuses measurements that no surface can be made from; hulls that come from no file are checked only here."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import SAME_PLACE
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull
from sketcher.model.measurement_checks import hull_problem


def check_measurements(hull: Hull) -> None:
    """Raises SketchError where stations or profiles cannot be cross curves of a hull, naming the station and the point."""
    problem = hull_problem(hull)
    if problem is not None:
        raise SketchError(problem.message, problem.remedy, hull.file, key=problem.key)


def check_sections(hull: Hull, points: Floats, columns: Sequence[int], names: Sequence[str]) -> None:
    """Raises SketchError where a section of the loft, points (columns, rows, 3), lies inside out.

    columns: the section at each of the cross curves that are called `names`.
    """
    y, z = points[..., 1], points[..., 2]
    area = np.einsum("cr,cr->c", y[:, 1:] + y[:, :-1], np.diff(z, axis=1)) / 2.0
    wide = y.max(axis=1) > SAME_PLACE
    bad = np.flatnonzero(wide & (area <= 0.0))
    if len(bad):
        after = int(np.searchsorted(np.asarray(columns), bad[0]))
        near = names[after] if columns[after] == bad[0] or after == 0 else f"{names[after - 1]} and {names[after]}"
        where = f"between {near}" if " and " in near else f"at {near}"
        raise SketchError(
            f"the hull turns inside out {where}", "Check the heights and half-breadths there for a mistyped number.", hull.file
        )
