"""How low a lid may be: the height at which the water of a case stays clear of it, with the space under it as it then is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sketcher.analysis.floating import floating
from sketcher.analysis.flooding import flooding_cases
from sketcher.analysis.flooding_results import LID_MARGIN
from sketcher.analysis.layout import lay_out
from sketcher.analysis.results import Layout, WaterPlane
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene

CLOSE_ENOUGH = 5e-4
"""[m] half a millimetre: nobody sets a lid nearer."""
TRIES = 12


def safe_lid_height(
    layout: Layout, water: WaterPlane, lid: str, holed: Sequence[str], margin: float = LID_MARGIN
) -> float | None:
    """The lowest `height` of a lid [m] at which the water of a case stays `margin` [m] below its top; None: there is none.

    A lower lid leaves less room to flood, so every try lays the boat out afresh. None where the boat finds no rest, or where
    raising the lid raises the water with it out of reach.
    """
    if all(each.name != lid for each in layout.scene.lids):
        raise SketchError(f"there is no lid {lid!r}", f"Lids: {', '.join(each.name for each in layout.scene.lids) or 'none'}.")
    height = next(each.height for each in layout.scene.lids if each.name == lid)
    last: tuple[float, float] | None = None
    for _ in range(TRIES):
        spare = _spare(layout, water, lid, holed, height, margin)
        if spare is None:
            return None
        if abs(spare) < CLOSE_ENOUGH:
            return height
        slope = 1.0 if last is None or spare == last[1] else (spare - last[1]) / (height - last[0])
        last = height, spare
        height -= spare / (slope if slope > 0.1 else 1.0)
    return None


def _spare(layout: Layout, water: WaterPlane, lid: str, holed: Sequence[str], height: float, margin: float) -> float | None:
    """How much higher than needed the lid's top is [m] when it lies at `height`."""
    scene = _with_lid(layout.scene, lid, height)
    then = lay_out(scene, layout.hull)
    afloat, _ = floating(scene, layout.hull, water)
    (case,) = flooding_cases(then, water, afloat, holed, margin=margin)
    clear = next((each.clear_of_water for each in case.lids if each.name == lid), None)
    return None if clear is None else clear - margin


def _with_lid(scene: Scene, lid: str, height: float) -> Scene:
    return replace(scene, lids=tuple(replace(each, height=height) if each.name == lid else each for each in scene.lids))
