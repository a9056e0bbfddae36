"""What may be wrong with sheets on which shapes are laid."""

import shapely

from sketcher.geometry.packing.nesting import Nesting
from sketcher.geometry.tolerances import NEST_SLACK


def overlap(nesting: Nesting, kerf: float, margin: float) -> float:
    """By how much [m] shapes come nearer to each other than the kerf, or to a sheet's edge than the margin; 0 where none does."""
    worst = 0.0
    for number, stock in enumerate(nesting.sheets):
        there = [placed.outline for placed in nesting.placed if placed.sheet == number]
        for i, one in enumerate(there):
            west, south, east, north = one.bounds
            edge = min(west, south, stock.size[0] - east, stock.size[1] - north)
            worst = max(worst, margin - edge)
            for other in there[:i]:
                common = shapely.intersection(one, other)
                # An overlap is about as wide as its area over half its edge.
                width = 2 * common.area / common.length if common.area > 0 else 0.0
                worst = max(worst, width, kerf - one.distance(other))
    return float(worst) if worst > 3 * NEST_SLACK else 0.0
