"""A layout in a box of which bands can be worked out by hand, and how its figures are read."""

from __future__ import annotations

from functools import cache

from scene_specimens import box_scene

from sketcher.analysis.bands.known import HowKnown, how_known
from sketcher.analysis.evaluate import evaluate
from sketcher.model.scene import Scene
from sketcher.outputs.tables.sure.figure_paths import figure_values

BOX_BOAT = """scene: x
hull: box.yaml
units: mm
waterline: {forward: 300, after: 320}
centre_of_gravity: {height: 400}
bulkheads:
  collision: {at: 1000, thickness: 12}
compartments:
  peak: {at: [500, 0, 300]}
  hold: {at: [2000, 0, 300]}
limits:
  large: {figure: litres, of: peak, at_least: 1780}
  high: {figure: bow freeboard, at_least: 690}
"""
"""In a box 4 m long, 1.8 m wide and 1 m deep: the peak holds 1800 litres, the freeboard at the bow is 700 mm."""


def box_boat() -> Scene:
    return box_scene(BOX_BOAT)


@cache
def box_known() -> HowKnown:
    """How sure all is of that boat, once for all the tests of a process."""
    return known_of(box_boat())


def known_of(scene: Scene) -> HowKnown:
    """How sure all is of a scene, nothing holed."""
    return how_known(evaluate(scene), (), figure_values, holed="none")
