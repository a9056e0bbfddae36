"""The same figures over a range of drafts: the hydrostatic table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sketcher.analysis.afloat.buoyancy import buoyancy_of
from sketcher.analysis.afloat.floating import with_hydrostatics
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Floating, WaterPlane
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Scene

PAINT_COATS, PAINT_SPREAD = 2, 10.0
"""Coats of bottom paint, and [m2] that a litre covers once; source `bottom-paint`."""


def bottom_paint(wetted: float) -> float:
    """The paint [m3] that all coats take on a wetted surface [m2].

    >>> bottom_paint(20.0)
    0.004
    """
    return PAINT_COATS * wetted / PAINT_SPREAD / 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HydrostaticRow:
    """One line of the hydrostatic table; draft [m] is the canoe body's, the water's height `level` [m] amidships."""

    draft: float
    level: float
    displacement: float
    volume: float
    centre_of_buoyancy: tuple[float, float, float]
    waterplane_area: float
    centre_of_flotation: float
    wetted_surface: float
    kg_per_cm: float
    km_transverse: float
    km_longitudinal: float
    moment_per_cm: float | None


def hydrostatic_table(
    scene: Scene, form: HullForm, water: WaterPlane | None, drafts: Sequence[float]
) -> tuple[HydrostaticRow, ...]:
    """Hydrostatics over drafts of the canoe body [m], at the trim and heel of `water` (upright without it).

    moment_per_cm rests on the boat's mass at each draft and the scene's height of the centre of gravity. Drafts at which
    the hull is out of the water give no row; none at all where the hull is open aft.
    """
    if form.hull.open_aft:
        return ()
    surface = Plane.level(0.0) if water is None else water.plane
    keel = surface.moved(float(surface.over(form.outside.vertices).min()))
    middle = (0.5 * (form.x_forward + form.x_after), 0.0, 0.0)
    rows = []
    for draft in drafts:
        plane = keel.moved(float(draft))
        carried = buoyancy_of(form).under(plane)
        if carried.cut.section_area <= 0 or carried.volume <= 0:
            continue
        afloat = with_hydrostatics(scene, form, carried, Floating())
        rows.append(_row(float(draft), plane.coordinate(2, middle), afloat))
    return tuple(rows)


def _row(draft: float, level: float, afloat: Floating) -> HydrostaticRow:
    names = [name for name in HydrostaticRow.__slots__ if name not in ("draft", "level")]
    return HydrostaticRow(draft=draft, level=level, **{name: getattr(afloat, name) for name in names})
