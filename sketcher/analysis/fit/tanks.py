"""Spaces as tanks: volume, mass full and half full with its centre, and what the free surface takes from stability."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.findings import Finding, Length
from sketcher.analysis.fit.access import space_named
from sketcher.analysis.results import Compartment, Floating, Layout
from sketcher.geometry.packing.heap import heap
from sketcher.geometry.solid.section import frame_z, section
from sketcher.model.contents import Tank

LIQUIDS = {"water": 1000.0, "sea water": 1025.0, "diesel": 840.0, "petrol": 745.0, "waste": 1000.0}
"""[kg/m3] source `liquids`"""

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TankFill:
    """A tank. volume [m3]: of what it holds full; full, half [kg] with their centres; level [m] of the half-full surface.

    gm_loss [m]: what its free surface, half full, takes from the metacentric height; None where the boat's mass is not known.
    aboard [kg]: of its contents already in the waterline.
    """

    name: str
    space: str
    holds: str
    volume: float
    full: float
    half: float
    full_centre: Point
    half_centre: Point
    level: float
    gm_loss: float | None
    aboard: float


def tank_fills(layout: Layout, afloat: Floating) -> tuple[tuple[TankFill, ...], tuple[Finding, ...]]:
    """Every tank, in the file's order. Raises SketchError for a space that is not there."""
    fills = [_fill(layout, tank, afloat) for tank in layout.scene.tanks]
    return tuple(fills), tuple(finding for fill in fills for finding in _free_surface(fill))


def _fill(layout: Layout, tank: Tank, afloat: Floating) -> TankFill:
    space = space_named(layout, tank.space, f"tanks.{tank.name}.in")
    density, volume = LIQUIDS[tank.holds], tank.share * space.volume
    over = (space.centroid[0], space.centroid[1], space.highest)
    full, half = heap(space.mesh, volume, over, 0.0), heap(space.mesh, volume / 2, over, 0.0)
    mass = afloat.displacement
    surface = free_surface_inertia(space, half.peak)
    return TankFill(
        name=tank.name,
        space=space.name,
        holds=tank.holds,
        volume=volume,
        full=density * volume,
        half=density * volume / 2,
        full_centre=full.centroid,
        half_centre=half.centroid,
        level=half.peak,
        gm_loss=None if not mass else density * surface / mass,
        aboard=tank.aboard * density * volume,
    )


def free_surface_inertia(space: Compartment, level: float) -> float:
    """Second moment [m4] of a level surface in a space about fore-and-aft axes, each separate surface about its own."""
    total = 0.0
    for part in shapely.get_parts(section(space.mesh, frame_z(level))):
        middle = part.centroid.y
        total += _second_moment(np.asarray(part.exterior.coords), middle)
        total -= sum(_second_moment(np.asarray(ring.coords), middle) for ring in part.interiors)
    return total


def _second_moment(ring: np.ndarray[tuple[int, int], np.dtype[np.float64]], middle: float) -> float:
    """Integral of (y - middle)^2 over a ring's area, whichever way it is walked."""
    x, y = ring[:-1, 0], ring[:-1, 1] - middle
    u, v = ring[1:, 0], ring[1:, 1] - middle
    return abs(float(((x * v - u * y) * (y * y + y * v + v * v)).sum()) / 12.0)


def _free_surface(fill: TankFill) -> list[Finding]:
    if fill.gm_loss is None or fill.gm_loss < 0.005:
        return []
    return [
        Finding(
            code="tank-free-surface",
            severity="note",
            object=fill.name,
            values={"tank": fill.name, "loss": Length(fill.gm_loss)},
            measured=fill.gm_loss,
        )
    ]
