"""What can be dragged: along which of the boat's axes an object moves, from which figures, and the edit that moves it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import atan, degrees, radians, tan

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.model.edits.actions import Edit, MoveBulkhead, RaiseWaterline, SetSceneValue, SetValue
from sketcher.model.errors import SketchError
from sketcher.model.lookup import bulkhead_at, find
from sketcher.model.scene import Opening, Scene, Waterline
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.objects import WATERLINE, ObjectRef
from sketcher.web.logic.scene_objects import BLOCK_OF

AXES = "xyz"
COARSE_STEPS = {"in": 0.00635, "ft": 0.00635}
FINE_STEPS = {"in": 0.0015875, "ft": 0.0015875}
COARSE_STEP, FINE_STEP = 0.005, 0.001
"""Steps [m] that a drag snaps to: 5 and 1 mm, or a quarter and a sixteenth of an inch where the scene is in inches."""
COARSE_TURN, FINE_TURN = 0.5, 0.1
"""The same of an angle [degrees]: finer than a bevel is sawn by hand."""
TIE_REACH = 0.025
"""[m] An end dragged so near to a panel is tied to it."""

MOVED_IN = ("person", "stowage", "bottles", "foam", "tank")
"""Kinds that have no place of their own but the space or berth they are in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """How an object is moved. axes: letters of the boat's axes it moves along; values: its figure along each [m].

    edit: moves it to other figures; what: these figures are; divides: whether compartments may change with it. Of what does not
    move by steps, lands: the figures where a line of sight ends, a point (3,) [m] and the direction (3,) to the eye; says: its
    figures in words. falls: what is told is the figure's negative, as a freeboard falls while the water rises.

    gain: the figure changes by so much for each metre moved. arm [m]: the figure is an angle [degrees], and where it is held lies
    so far from what it turns about; 0: a length. ties: names of what an end may be tied to, by where that is [m]. next_to: of
    what goes from one place into another, the figures of the next, or, of -1, of the last.
    """

    ref: ObjectRef
    axes: str
    values: tuple[float, ...]
    edit: Callable[[tuple[float, ...]], Edit]
    what: str
    divides: bool = True
    lands: Callable[[Floats, Floats], tuple[float, ...]] | None = None
    says: Callable[[tuple[float, ...]], str] | None = None
    falls: bool = False
    gain: float = 1.0
    arm: float = 0.0
    ties: Mapping[float, str] = field(default_factory=dict)
    next_to: Callable[[int], tuple[float, ...]] | None = None


def step(units: str, *, fine: bool) -> float:
    """The step [m] that figures snap to."""
    return FINE_STEPS.get(units, FINE_STEP) if fine else COARSE_STEPS.get(units, COARSE_STEP)


def step_of(grip: Grip, units: str, *, fine: bool) -> float:
    """The step that a grip's figures snap to: [m], or [degrees] of an angle."""
    return (FINE_TURN if fine else COARSE_TURN) if grip.arm else step(units, fine=fine)


def grip_on(scene: Scene, ref: ObjectRef, near_x: float | None = None, ends: tuple[float, float] = (0.0, 1.0)) -> Grip:
    """The grip on an object. near_x, ends [m]: where the waterline was taken, and the boat's ends: near one, only that end moves.

    Raises SketchError, in words, for what cannot be dragged.
    """
    match ref.kind:
        case "bulkhead":
            edit = lambda to: MoveBulkhead(ref.name, to[0])  # noqa: E731
            return Grip(ref=ref, axes="x", values=(bulkhead_at(scene, ref.name),), edit=edit, what="aft of the hull's zero")
        case "partition":
            fore, aft = find(scene, "partitions", ref.name).off_centre
            return Grip(ref=ref, axes="y", values=(fore,), what="off the centreline",
                        edit=lambda to: SetValue("partitions", ref.name, "off_centre", (to[0], to[0] + aft - fore)))  # fmt: skip
        case "lid":
            height = find(scene, "lids", ref.name).height
            return Grip(ref=ref, axes="z", values=(height,), what="above the base line",
                        edit=lambda to: SetValue("lids", ref.name, "height", to[0]))  # fmt: skip
        case "berth":
            return _berth_grip(scene, ref)
        case "waterline":
            return _waterline_grip(scene, near_x, ends)
        case "opening":
            opening: Opening = find(scene, "openings", ref.name)
            return _place_grip(ref, "openings", opening.at, opening_axes(scene, opening))
        case "chain":
            return Grip(ref=ref, axes=AXES, values=find(scene, "chains", ref.name).pipe, what="its pipe's end",
                        edit=lambda to: SetValue("chains", ref.name, "pipe", to))  # fmt: skip
        case "weight" | "fitting":
            block = BLOCK_OF[ref.kind]
            return _place_grip(ref, block, find(scene, block, ref.name).at, AXES)
    if ref.kind in MOVED_IN:
        raise SketchError(f"{ref.name} has no place of its own", "Drag it into another space, or choose where it goes.")
    raise SketchError(f"a {ref.kind} is not moved by hand", "Select it and type its figures.")


def _berth_grip(scene: Scene, ref: ObjectRef) -> Grip:
    """A berth moves up and down; one that lies on a lid takes the lid with it."""
    berth = find(scene, "berths", ref.name)
    if berth.lies_on is not None:
        return grip_on(scene, ObjectRef("lid", berth.lies_on))
    edit = lambda to: SetValue("berths", ref.name, "height", to[0])  # noqa: E731
    return Grip(ref=ref, axes="z", values=(berth.height,), edit=edit, what="above the base line")


def _place_grip(ref: ObjectRef, block: str, at: tuple[float, ...], axes: str) -> Grip:
    return Grip(ref=ref, axes=axes, values=at, edit=lambda to: SetValue(block, ref.name, "at", to), what="its place")


def opening_axes(scene: Scene, opening: Opening) -> str:
    """The order of an opening's `at`, by what it goes through."""
    if opening.through is None:
        raise SketchError(f"{opening.name} is a hose and has no place", "Select it and choose what it joins.")
    if opening.face is not None:
        return "yz" if opening.face in ("forward", "aft") else "xz"
    if opening.through in ("hull", "deck"):
        return {"hull": "xyz", "deck": "xy"}[opening.through]
    kinds = {"bulkheads": "yz", "partitions": "xz", "lids": "xy"}
    for block, axes in kinds.items():
        if any(panel.name == opening.through for panel in getattr(scene, block)):
            return axes
    raise SketchError(f"{opening.name} goes through {opening.through}, which is not there", "Choose a panel for it.")


END_SHARE = 0.28
"""Taken this near to an end of the boat, as a share of her length, the waterline tips about the other end."""


def _waterline_grip(scene: Scene, near_x: float | None, ends: tuple[float, float]) -> Grip:
    water = scene.waterline
    if water is None:
        raise SketchError("no waterline is stated yet", "Select the waterline and type its heights.")
    share = 0.5 if near_x is None else (near_x - ends[0]) / max(ends[1] - ends[0], 1e-6)
    by_height = water.forward is not None and water.after is not None
    if by_height and (share < END_SHARE or share > 1 - END_SHARE):
        return _waterline_end(water, "forward" if share < END_SHARE else "after")
    start = water.forward if water.forward is not None else water.bow_freeboard
    if start is None:
        raise SketchError("the waterline has no height", "Select it and type its heights.")
    sign = 1.0 if by_height else -1.0
    level = sign * start
    return Grip(
        ref=WATERLINE,
        axes="z",
        values=(level,),
        what="waterline" if by_height else "freeboard at the bow",
        edit=lambda to: RaiseWaterline(to[0] - level),
        falls=not by_height,
    )


def _waterline_end(water: Waterline, end: str) -> Grip:
    """One end of the waterline: the other stays."""
    fixed = water.after if end == "forward" else water.forward
    start = water.forward if end == "forward" else water.after
    assert start is not None

    def edit(to: tuple[float, ...]) -> Edit:
        pair = (to[0], fixed) if end == "forward" else (fixed, to[0])
        return SetSceneValue("waterline", Waterline(forward=pair[0], after=pair[1], heel=water.heel))

    return Grip(
        ref=WATERLINE, axes="z", values=(start,), edit=edit, what=f"waterline at the {'bow' if end == 'forward' else 'stern'}"
    )


def moved_in_picture(grip: Grip, camera: Camera, moved: tuple[float, float], size: tuple[int, int]) -> tuple[float, ...] | None:
    """How far along each of a grip's axes the pointer has gone that moved by (dx, dy) pixels [m]; None: seen end-on.

    With three axes the one that points most at the eye stays; with two, both follow if the eye sees their plane.
    """
    units = np.eye(3)[[AXES.index(axis) for axis in grip.axes]]
    if len(units) == 1:
        along = camera.metres_along(units[0], moved, size)
        return None if along is None else (along,)
    right, up, eye = camera.axes()
    used = np.sort(np.argsort(np.abs(units @ eye))[:2])
    seen = np.stack([units[used] @ right, -(units[used] @ up)])
    wanted = np.array(moved) * camera.height / size[1]
    result = np.zeros(len(units))
    if abs(np.linalg.det(seen)) < LEAST_SEEN:
        return _along_best(camera, units, moved, size)
    result[used] = np.linalg.solve(seen, wanted)
    return tuple(float(value) for value in result)


LEAST_SEEN = 0.1
"""A plane seen flatter than this share of its area is moved in only along its clearer axis."""


def _along_best(camera: Camera, units: Floats, moved: tuple[float, float], size: tuple[int, int]) -> tuple[float, ...] | None:
    _, _, eye = camera.axes()
    best = int(np.argmin(np.abs(units @ eye)))
    along = camera.metres_along(units[best], moved, size)
    return None if along is None else tuple(along if number == best else 0.0 for number in range(len(units)))


def moved_in_drawing(grip: Grip, axes: str, moved: tuple[float, float]) -> tuple[float, ...] | None:
    """How far along each of a grip's axes the pointer has gone in a drawing of two axes [m]; None: not seen there."""
    by_axis = dict(zip(axes, moved, strict=True))
    if not any(axis in by_axis for axis in grip.axes):
        return None
    return tuple(by_axis.get(axis, 0.0) for axis in grip.axes)


def in_whole_steps(grip: Grip, moved: tuple[float, ...], to: float, reach: float = 0.0) -> tuple[float, ...]:
    """The grip's figures after a move [m], each that moved brought to a whole step, or to a tie within reach [m]."""
    return stepped(grip, tuple(_changed(grip, *each) for each in zip(grip.values, moved, strict=True)), to, reach)


def _changed(grip: Grip, value: float, by: float) -> float:
    """How much one of its figures changes where it is moved by so much [m]."""
    if grip.arm:
        return degrees(atan(tan(radians(value)) + by / grip.arm)) - value
    return grip.gain * by


def stepped(grip: Grip, changes: tuple[float, ...], to: float, reach: float = 0.0) -> tuple[float, ...]:
    """The grip's figures after changes, each that changes brought to a whole step, or to a tie within reach or half a step."""
    figures = tuple(
        value if abs(by) < 1e-12 else round((value + by) / to) * to for value, by in zip(grip.values, changes, strict=True)
    )
    near = min(grip.ties, key=lambda place: abs(place - grip.values[0] - changes[0]), default=None)
    if near is not None and abs(near - grip.values[0] - changes[0]) <= max(reach, to / 2):
        return (near,)
    return figures
