"""The water as the scene states it: two heights, one height, or two freeboards measured afloat."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import WaterPlane
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene, Waterline

FREEBOARD_ROUNDS = 40
"""Plumb freeboards depend on the trim they fix by its cosine only; each round gains more than two digits."""
STEEPEST_HEEL = 60.0
"""[deg] beyond this a boat is not floating at a waterline any more, she lies on her side."""


def water_plane(scene: Scene, form: HullForm) -> WaterPlane | None:
    """The floating waterline; None where the scene states none.

    Raises SketchError where the marks are stated twice or by halves, the heel is no floating attitude, or the water so stated
    passes clear above or clear below the whole hull.
    """
    stated = scene.waterline
    if stated is None:
        return None
    _refuse_contradictions(scene, stated)
    if stated.forward is not None and stated.after is not None:
        plane = WaterPlane(
            forward=stated.forward, after=stated.after, heel=stated.heel, x_forward=form.x_forward, x_after=form.x_after
        )
    else:
        plane = _from_freeboards(scene, form, stated)
    _refuse_clear_of_hull(scene, form, plane)
    return plane


def water_at(form: HullForm, plane: Plane) -> WaterPlane:
    """A plane whose normal points out of the water as heights at the hull's ends."""
    return WaterPlane(
        forward=plane.coordinate(2, (form.x_forward, 0.0, 0.0)),
        after=plane.coordinate(2, (form.x_after, 0.0, 0.0)),
        heel=float(np.degrees(np.arctan2(-plane.normal[1], plane.normal[2]))),
        x_forward=form.x_forward,
        x_after=form.x_after,
    )


def deck_edge(form: HullForm) -> Floats:
    """(2, k, 3) the deck's edge [m], starboard then port, of both hulls where there are two (4, k, 3)."""
    sides, spacing = np.stack([form.sheer, form.port_sheer]), form.hull.twin_spacing
    if spacing is None:
        return sides
    return np.concatenate([sides, sides[::-1] * [1.0, -1.0, 1.0] - [0.0, spacing, 0.0]])


def freeboards_at(form: HullForm, water: WaterPlane) -> tuple[float, float]:
    """The plumb freeboards [m] at the bow and at the stern, each to the deck's edge on its worse side."""
    edge = deck_edge(form)
    return float(water.plane.over(edge[:, 0]).min()), float(water.plane.over(edge[:, -1]).min())


def _refuse_contradictions(scene: Scene, stated: Waterline) -> None:
    heights = [stated.forward is not None, stated.after is not None]
    freeboards = [stated.bow_freeboard is not None, stated.stern_freeboard is not None]
    if any(heights) and any(freeboards):
        raise SketchError(
            "the waterline is stated twice, by heights and by freeboards",
            "Keep forward and after, or bow_freeboard and stern_freeboard.",
            scene.file,
            key="waterline",
        )
    if not (all(heights) or all(freeboards)):
        raise SketchError(
            "the waterline needs a mark at both ends",
            "Give both forward and after, or both bow_freeboard and stern_freeboard.",
            scene.file,
            key="waterline",
        )
    if abs(stated.heel) > STEEPEST_HEEL:
        raise SketchError(
            f"heel {stated.heel:g} is more than {STEEPEST_HEEL:g} degrees: no boat floats at rest like that",
            "Give the heel in degrees as she lies, to starboard positive.",
            scene.file,
            key="waterline.heel",
        )


def _from_freeboards(scene: Scene, form: HullForm, stated: Waterline) -> WaterPlane:
    """The water through two plumb freeboards, each to the deck's edge on its worse side."""
    assert stated.bow_freeboard is not None
    assert stated.stern_freeboard is not None
    if form.hull.open_aft:
        raise SketchError(
            "a stern freeboard cannot be used: the hull was measured only to "
            f"{1000 * form.x_after:.0f} mm and its deck's edge aft is not known",
            "Give forward and after, the water's heights at the ends of the measured part.",
            scene.file,
            key="waterline.stern_freeboard",
        )
    edge = deck_edge(form)
    slope, lean = 0.0, float(np.tan(np.radians(stated.heel)))
    forward = after = 0.0
    for _ in range(FREEBOARD_ROUNDS):
        upright = 1.0 / np.sqrt(1.0 + slope**2 + lean**2)
        marks = []
        for end, freeboard in ((0, stated.bow_freeboard), (-1, stated.stern_freeboard)):
            x = edge[0, end, 0]
            marks.append((x, float((edge[:, end, 2] - lean * edge[:, end, 1]).min()) - freeboard / upright))
        (x0, z0), (x1, z1) = marks
        slope = (z1 - z0) / (x1 - x0)
        forward, after = z0 + slope * (form.x_forward - x0), z0 + slope * (form.x_after - x0)
    return WaterPlane(
        forward=float(forward), after=float(after), heel=stated.heel, x_forward=form.x_forward, x_after=form.x_after
    )


def _refuse_clear_of_hull(scene: Scene, form: HullForm, water: WaterPlane) -> None:
    heights = water.plane.over(form.outside.vertices)
    low, high = form.outside.bounds
    if heights.max() <= 0.0:
        where, end = "above", f"her highest point stands at {1000 * high[2]:.0f} mm"
    elif heights.min() >= 0.0:
        where, end = "below", f"her lowest point stands at {1000 * low[2]:.0f} mm"
    else:
        return
    raise SketchError(
        f"a waterline at {1000 * water.forward:.0f} mm forward and {1000 * water.after:.0f} mm aft "
        f"lies {where} the whole hull: {end}",
        "Give heights above the hull's base line, in the scene's units.",
        scene.file,
        key="waterline",
    )
