"""The material and the mass of a board."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.materials import specific_gravity
from sketcher.model.cutting import Sheet
from sketcher.model.scene import Panel, Scene

OKOUME = ((0.006, 2.7), (0.009, 4.1), (0.012, 5.4), (0.018, 8.1))
"""Okoume marine plywood, thickness [m] and kg/m2, from merchants' data (source `okoume-ply`)."""

SAME_THICKNESS = 2e-4
"""[m] Sheets are sold to a few tenths of a millimetre of their name."""


def stock_for(scene: Scene, thickness: float, material: str | None) -> Sheet | None:
    """The first of the scene's sheets of a thickness, and of the material where one is named."""
    for sheet in scene.sheets:
        if abs(sheet.thickness - thickness) <= SAME_THICKNESS and _same(sheet.material, material):
            return sheet
    return None


def has_grain(scene: Scene, thickness: float, material: str | None) -> bool:
    """Whether boards keep to a grain: as soon as one sheet they may come out of has one, which plywood has along its length.

    Which sheet a board comes out of is not known beforehand (source `face-grain`).
    """
    grains = [
        sheet.grain
        for sheet in scene.sheets
        if abs(sheet.thickness - thickness) <= SAME_THICKNESS and sheet.have != 0 and _same(sheet.material, material)
    ]
    return "along" in grains or not grains


def _same(one: str | None, other: str | None) -> bool:
    return one is None or other is None or one.casefold() == other.casefold()


def board_mass(scene: Scene, panel: Panel, area: float) -> tuple[str | None, float | None, bool]:
    """A board's material, its mass [kg] for its mean area [m2], and whether that is of usual plywood, as no material is stated.

    None where neither scene nor table knows it.
    """
    sheet = stock_for(scene, panel.thickness, panel.material)
    material = panel.material or (sheet.material if sheet else None)
    per_area = surface_density(scene, panel.thickness, material)
    assumed = per_area is None and material is None
    per_area = _by_table(panel.thickness) if assumed else per_area
    return material, None if per_area is None else per_area * area, assumed and per_area is not None


def surface_density(scene: Scene, thickness: float, material: str | None) -> float | None:
    """What a square metre of a board weighs [kg]: as its sheet states, by the table for okoume plywood, else by its material.

    A plywood of no named wood counts as fir, the heavier (source `swamped-weight`).
    """
    sheet = stock_for(scene, thickness, material)
    if sheet is not None and sheet.kg_per_m2 is not None:
        return sheet.kg_per_m2
    named = material or (sheet.material if sheet else None) or ""
    if any(word in named.casefold() for word in ("okoume", "gaboon", "marine ply")):
        return _by_table(thickness)
    gravity = specific_gravity(named)
    return None if gravity is None else 1000.0 * gravity * thickness


def _by_table(thickness: float) -> float | None:
    """Okoume plywood's mass [kg/m2], between the thicknesses of the table (source `okoume-ply`)."""
    thicknesses, masses = zip(*OKOUME, strict=True)
    if not thicknesses[0] - SAME_THICKNESS <= thickness <= thicknesses[-1] + SAME_THICKNESS:
        return None
    return float(np.interp(thickness, thicknesses, masses))
