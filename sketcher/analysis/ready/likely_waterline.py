"""Where a boat of her length would likely float, until her freeboards are measured: a first guess, never a figure to cut by."""

from __future__ import annotations

from shapely.geometry import LineString

from sketcher.analysis.afloat.buoyancy import buoyancy_of
from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.plane import Plane
from sketcher.model.errors import SketchError
from sketcher.model.scene import Waterline

DISPLACEMENT_LENGTH = 220.0
TWIN_DISPLACEMENT_LENGTH = 110.0
"""Long tons over the cube of a hundredth of the waterline's length in feet: usual of cruising yachts of one hull and of two; from
memory."""
WATERLINE_SHARE = 0.88
"""Of her length over all; common practice."""
LONG_TON, FOOT = 1016.05, 0.3048
HALVINGS = 40


def likely_displacement(length: float, hulls: int) -> float:
    """What a cruising boat of this length over all [m] likely displaces [kg]; hulls: 1 or 2.

    >>> round(likely_displacement(8.9, 1), -2)
    3800.0
    """
    ratio = DISPLACEMENT_LENGTH if hulls == 1 else TWIN_DISPLACEMENT_LENGTH
    return ratio * LONG_TON * (WATERLINE_SHARE * length / FOOT / 100.0) ** 3


def likely_waterline(form: HullForm, density: float, step: float = 0.0) -> Waterline:
    """A level waterline at which she displaces what is usual; of a hull measured in part, where its `boat` block has it begin.

    density: of the water [kg/m3]; step [m]: the height is rounded to a whole number of it, for a guess bears no more.

    Raises SketchError where neither can be told.
    """
    height = _where_it_begins(form) if form.hull.open_aft else _where_she_carries(form, density)
    height = round(height / step) * step if step else height
    return Waterline(forward=height, after=height)


def _where_she_carries(form: HullForm, density: float) -> float:
    buoyancy = buoyancy_of(form)
    wanted = likely_displacement(form.x_after - form.x_forward, 1 if form.hull.twin_spacing is None else 2) / density
    low, high = (float(corner[2]) for corner in form.outside.bounds)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        carried = buoyancy.under(Plane.through((0.0, 0.0, middle), (0.0, 0.0, 1.0))).volume
        low, high = (middle, high) if carried < wanted else (low, middle)
    return low


def _where_it_begins(form: HullForm) -> float:
    begins = None if form.hull.boat is None else form.hull.boat.waterline_from
    if begins is None or not form.x_forward < begins < form.x_after:
        raise SketchError(
            "only a part of this hull was measured, so nothing tells where she floats",
            "Give `waterline_from`, where her waterline begins, in the hull file's `boat` block.",
            file=form.hull.file,
        )
    low, high = form.outside.bounds
    plumb = LineString([(begins, low[2]), (begins, high[2])])
    return float(form.profile().intersection(plumb).bounds[1])
