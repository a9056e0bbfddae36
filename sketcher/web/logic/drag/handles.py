"""Where each kind of object can be taken hold of: by the whole, by an end, a side, or what it turns about."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.leaks.hollow_stringers import core_points
from sketcher.analysis.spaces.panel_planes import faces_by_name, lid_start
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats
from sketcher.model.edits.actions import SetValue
from sketcher.model.errors import SketchError
from sketcher.model.lookup import find
from sketcher.model.scene import Berth, Bulkhead, Fitting, Lid, Opening, Partition, Stringer
from sketcher.outputs.scene3d.loose_things import CORNERS
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectKind, ObjectRef
from sketcher.web.logic.drag.contents_grip import grip_into
from sketcher.web.logic.drag.grips import AXES, MOVED_IN, Grip, grip_on, opening_axes
from sketcher.web.logic.drag.object_drag import place_words
from sketcher.web.logic.scene_objects import BLOCK_OF
from sketcher.web.state import WHOLE, HandlePlace

LEAST_ARM = 0.05
"""[m] An angle is not dragged nearer than this to what it turns about: there a pixel would turn it by degrees."""
AT_EDGE = 1e-4
"""[m] Corners of an opening so near to its furthest lie on that edge of it."""
BELOW_MIDDLE = 0.25
"""Share of a panel's height at which a second handle of its edge stands, clear of the one in the middle."""
TURN_WORDS = {
    "lean": "leans outboard",
    "rake": "rake, top aft",
    "angle": "angle in plan, starboard side aft",
    "slope": "slope, after end up",
    "slope_across": "slope across, outboard up",
}
SIZE_WORDS = {"x": "length", "y": "width", "z": "height"}


@dataclass(frozen=True, eq=False)
class PartHandle:
    """A place to take hold of an object, and the grip that is held there."""

    place: HandlePlace
    grip: Grip


Maker = Callable[[Evaluation, ObjectRef], Iterator[PartHandle]]


@kept_with_owner(2)
def handles_of(evaluation: Evaluation, ref: ObjectRef) -> tuple[PartHandle, ...]:
    """The handles of an object, that of the whole first; none of what is not there, or moves by nothing that is known."""
    found: list[PartHandle] = []
    for maker in HANDLES.get(ref.kind, ()):
        try:
            found += maker(evaluation, ref)
        except SketchError:
            # What is tied to something that is not there is mended on its card.
            continue
    return tuple(found)


def _handle(evaluation: Evaluation, key: str, at: Sequence[float] | Floats, grip: Grip, turns: str = "") -> PartHandle:
    """turns: another axis that a drawing must have, to show what turns."""
    along = np.eye(3)[AXES.index(grip.axes)] if len(grip.axes) == 1 else np.zeros(3)
    place = HandlePlace(
        key=key,
        word=f"{grip.ref.name}: {grip.what}",
        value=place_words(grip, grip.values, evaluation.scene.units),
        figure=grip.values[0] * (1.0 if grip.arm else 1000.0),
        at=np.array(at, dtype=np.float64),
        along=along,
        within=grip.axes + turns if len(grip.axes) == 1 else "",
    )
    return PartHandle(place, grip)


def _whole(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    grip = grip_into(evaluation, ref) if ref.kind in MOVED_IN else grip_on(evaluation.scene, ref)
    at = grip.values if len(grip.axes) == 3 else _middle(evaluation, ref)
    if at is not None:
        yield _handle(evaluation, WHOLE, at, grip)


def _middle(evaluation: Evaluation, ref: ObjectRef) -> Floats | None:
    """The middle (3,) [m] of what is seen of an object; None where nothing is."""
    if ref.kind == "waterline":
        hull, water = evaluation.layout.hull, evaluation.water
        x = (hull.x_forward + hull.x_after) / 2
        return None if water is None else np.array([x, 0.0, water.height(x)])
    if ref.kind in PANEL_KINDS:
        shape = _shape(evaluation, ref.name)
        return None if shape is None else _on_front(shape, np.mean(shape.trimmed.bounds, axis=0))
    corners = _corners(evaluation, ref)
    return None if not len(corners) else np.asarray((corners.min(axis=0) + corners.max(axis=0)) / 2)


def _corners(evaluation: Evaluation, ref: ObjectRef) -> Floats:
    """Points (k, 3) [m] along a berth's outline, a stringer or an opening's rim, or of a box; none where nothing is there."""
    match ref.kind:
        case "berth":
            berth = next(berth for berth in evaluation.berths if berth.name == ref.name)
            return np.column_stack([berth.outline, np.full(len(berth.outline), berth.surface)]).reshape(-1, 3)
        case "stringer":
            stringer, form = find(evaluation.scene, "stringers", ref.name), evaluation.layout.hull
            side = -1 if stringer.side == "port" else 1
            return np.array(core_points(faces_by_name(evaluation.scene, form), form, stringer, side)).reshape(-1, 3)
        case "opening":
            paths = (*evaluation.layout.flow_paths, *evaluation.layout.closed)
            rims = [path.outline for path in paths if path.name == ref.name and path.kind == "opening"]
            return np.concatenate([np.zeros((0, 3)), *rims])
        case "fitting":
            fitting: Fitting = find(evaluation.scene, "fittings", ref.name)
            return np.asarray(np.array(fitting.at) + CORNERS * np.array(fitting.size))
    shape = _shape(evaluation, ref.name)
    return np.zeros((0, 3)) if shape is None else shape.trimmed.vertices


def _shape(evaluation: Evaluation, name: str) -> PanelShape | None:
    return next((shape for shape in evaluation.layout.panels if shape.name == name and shape.reaches_in), None)


def _on_front(shape: PanelShape, point: Floats) -> Floats:
    """A point (3,) brought on to a panel's front face on its side of the boat, along the axis that it is placed on."""
    axis = PANEL_KINDS.index(shape.kind)
    front = shape.convex[-1].front.plane if point[1] > 0.0 else shape.front
    return np.asarray(np.where(np.arange(3) == axis, front.coordinate(axis, point), point))


def _ends(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    """Where it begins and ends, fore and aft: each may be tied to a bulkhead."""
    corners = _corners(evaluation, ref)
    if not len(corners):
        return
    item: Lid | Berth | Stringer | Partition = find(evaluation.scene, BLOCK_OF[ref.kind], ref.name)
    low, high = corners.min(axis=0), corners.max(axis=0)
    for key, limit, x in (("from", item.start, low[0]), ("to", item.end, high[0])):
        at = corners[np.abs(corners[:, 0] - x) < AT_EDGE].mean(axis=0)
        yield _handle(evaluation, key, at, _end_grip(evaluation, ref, key, limit, at))


def _end_grip(evaluation: Evaluation, ref: ObjectRef, key: str, limit: float | str, at: Floats) -> Grip:
    """The grip on one end. limit: as the file has it; at (3,) [m]: where that end is."""
    ties = _ties(evaluation, key, at)
    if limit in ("stem", "transom"):
        ties[float(at[0])] = str(limit)
    tied = next((place for place, name in ties.items() if name == limit), float(at[0]))
    return Grip(
        ref=ref,
        axes="x",
        values=(limit if isinstance(limit, float) else tied,),
        edit=lambda to: SetValue(BLOCK_OF[ref.kind], ref.name, key, ties.get(to[0], to[0])),
        what="forward end" if key == "from" else "after end",
        ties=ties,
    )


def _ties(evaluation: Evaluation, key: str, at: Floats) -> dict[float, str]:
    """The bulkheads that an end may go to, by where [m] their near faces are, level with it."""
    scene, form = evaluation.scene, evaluation.layout.hull
    faces = faces_by_name(scene, form)
    near = 1 if key == "from" else 0
    standing = [bulkhead.name for bulkhead in scene.bulkheads if bulkhead.built != "removed"]
    return {faces[name][0][near].coordinate(0, at): name for name in standing}


def _turns(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    """A bulkhead's rake, by its top, and its angle in plan, by its starboard side; a partition's lean, by its top.

    A lid's slope, by its after end, and its slope across, by its starboard side.
    """
    shape = _shape(evaluation, ref.name)
    if shape is None:
        return
    corners, panel = shape.trimmed.vertices, shape.panel
    low, high = shape.trimmed.bounds
    top = _on_front(shape, np.array([*(low + high)[:2] / 2, high[2]]))
    if isinstance(panel, Partition):
        outboard = -1.0 if sum(panel.off_centre) < 0 else 1.0
        rows = [("lean", panel.lean, "y", "z", outboard * top[2], top)]
    elif isinstance(panel, Bulkhead):
        side = _on_front(shape, corners[np.argmax(corners[:, 1])])
        upward = top[2] - panel.at_height
        rows = [("rake", panel.rake, "x", "z", upward, top), ("angle", panel.angle, "x", "y", side[1], side)]
    else:
        standing = {
            name: faces[0] for name, faces in faces_by_name(evaluation.scene, evaluation.layout.hull).items() if 0 in faces
        }
        from_start = high[0] - lid_start(evaluation.scene, panel, standing, evaluation.layout.hull)
        aft, side = (_on_front(shape, np.array(at)) for at in ((high[0], high[1] / 2, 0.0), ((low + high)[0] / 2, high[1], 0.0)))
        rows = [("slope", panel.slope, "z", "x", from_start, aft), ("slope_across", panel.slope_across, "z", "y", side[1], side)]
    for key, value, axis, turns, arm, at in rows:
        if abs(arm) >= LEAST_ARM:
            grip = Grip(ref=ref, axes=axis, values=(value,), edit=_setting(ref, key), what=TURN_WORDS[key], arm=float(arm))
            yield _handle(evaluation, key, at, grip, turns)


def _edges(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    """How far a bulkhead or a lid goes to port and to starboard: to the hull, to a partition, or so far."""
    shape = _shape(evaluation, ref.name)
    if shape is None or isinstance(shape.panel, Partition):
        return
    corners, span = shape.trimmed.vertices, shape.panel.span
    faces = faces_by_name(evaluation.scene, evaluation.layout.hull)
    for number, (key, outward) in enumerate((("port", -1.0), ("starboard", 1.0))):
        at = _on_front(shape, corners[np.argmax(outward * corners[:, 1])])
        y = float(at[1])
        ties: dict[float, str | None] = {
            faces[other.name][0][1 - number].coordinate(1, at): other.name
            for other in evaluation.scene.partitions
            if other.built != "removed"
        }
        stated = span[number]
        if not isinstance(stated, float):
            ties[y] = stated

        def edit(to: tuple[float, ...], number: int = number, ties: dict[float, str | None] = ties) -> SetValue:
            there = ties.get(to[0], to[0])
            return SetValue(BLOCK_OF[ref.kind], ref.name, "span", (there, span[1]) if number == 0 else (span[0], there))

        place = stated if isinstance(stated, float) else y
        told = {where: name or "hull" for where, name in ties.items()}
        grip = Grip(ref=ref, axes="y", values=(place,), edit=edit, what=f"{key} edge", ties=told)
        yield _handle(evaluation, f"{key} edge", at, grip)


def _setting(ref: ObjectRef, key: str) -> Callable[[tuple[float, ...]], SetValue]:
    return lambda to: SetValue(BLOCK_OF[ref.kind], ref.name, key, to[0])


def _sides(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    """How far off the centreline a partition is at either end."""
    shape = _shape(evaluation, ref.name)
    if shape is None:
        return
    low, high = shape.trimmed.bounds
    off = find(evaluation.scene, "partitions", ref.name).off_centre
    for number, (key, word, x) in enumerate((("fore", "forward end", low[0]), ("aft", "after end", high[0]))):
        at = _on_front(shape, np.array([x, 0.0, low[2] + (high[2] - low[2]) * BELOW_MIDDLE]))

        def edit(to: tuple[float, ...], number: int = number) -> SetValue:
            return SetValue("partitions", ref.name, "off_centre", (to[0], off[1]) if number == 0 else (off[0], to[0]))

        grip = Grip(ref=ref, axes="y", values=(off[number],), edit=edit, what=f"{word}, off the centreline")
        yield _handle(evaluation, key, at, grip, "x")


def _sizes(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    """How large an opening or a box is, by its sides; its middle stays."""
    corners = _corners(evaluation, ref)
    if not len(corners):
        return
    item: Opening | Fitting = find(evaluation.scene, BLOCK_OF[ref.kind], ref.name)
    axes = AXES if isinstance(item, Fitting) else opening_axes(evaluation.scene, item)
    for number, axis in enumerate(axes[: len(item.size) if item.size else 1]):
        across = corners[:, AXES.index(axis)]
        far = corners[across > across.max() - AT_EDGE]
        at = np.where(np.arange(3) == AXES.index(axis), across.max(), (far.min(axis=0) + far.max(axis=0)) / 2)
        yield _handle(evaluation, f"size {axis}", at, _size_grip(ref, item, number, axis))


def _size_grip(ref: ObjectRef, item: Opening | Fitting, number: int, axis: str) -> Grip:
    """The grip on one of an object's measures, at a side that goes half as far as the measure grows."""
    size = item.size
    if size is None:
        assert isinstance(item, Opening)
        key, value, what = "diameter", item.diameter or 0.0, "diameter"
        edit = _setting(ref, key)
    else:
        value, what = size[number], SIZE_WORDS[axis]
        edit = lambda to: SetValue(BLOCK_OF[ref.kind], ref.name, "size", (*size[:number], to[0], *size[number + 1 :]))  # noqa: E731
    return Grip(ref=ref, axes=axis, values=(value,), edit=edit, what=what, gain=2.0)


def _water_ends(evaluation: Evaluation, ref: ObjectRef) -> Iterator[PartHandle]:
    """Each end of a waterline that is stated by heights: the other stays."""
    scene, hull, water = evaluation.scene, evaluation.layout.hull, evaluation.water
    if water is None or scene.waterline is None or scene.waterline.forward is None or scene.waterline.after is None:
        return
    ends = hull.x_forward, hull.x_after
    for key, x in zip(("bow", "stern"), ends, strict=True):
        yield _handle(evaluation, key, (x, 0.0, water.height(x)), grip_on(scene, ref, x, ends))


HANDLES: dict[ObjectKind, tuple[Maker, ...]] = {
    "bulkhead": (_whole, _turns, _edges),
    "partition": (_whole, _ends, _sides, _turns),
    "lid": (_whole, _ends, _turns, _edges),
    "berth": (_whole, _ends),
    "stringer": (_ends,),
    "opening": (_whole, _sizes),
    "fitting": (_whole, _sizes),
    "weight": (_whole,),
    "chain": (_whole,),
    "waterline": (_whole, _water_ends),
    "person": (_whole,),
    "stowage": (_whole,),
    "bottles": (_whole,),
    "foam": (_whole,),
    "tank": (_whole,),
}
"""What each kind of object is held by; how a grip changes it, and what that edit is, its maker says."""
