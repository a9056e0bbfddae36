"""What of two layouts of a boat is not in the same place: panels, berths, stringers, openings and things in the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.objects.ghosts import cushion, ghost_of, panel_outline
from sketcher.web.state import Ghost

SAME = 0.0005
"""[m] Two outlines are one while no point of either is farther from the other's: half of what a tape reads."""


def differing(first: Evaluation, second: Evaluation) -> tuple[Ghost, Ghost]:
    """The outlines of the parts of each layout that the other has elsewhere, otherwise or not at all."""
    one, other = _parts(first), _parts(second)
    moved = {ref for ref in one.keys() | other.keys() if ref not in one or ref not in other or not _same(one[ref], other[ref])}
    return _joined(one, moved), _joined(other, moved)


def _joined(parts: dict[ObjectRef, Ghost], chosen: set[ObjectRef]) -> Ghost:
    some = [ghost for ref, ghost in parts.items() if ref in chosen]
    return Ghost(tuple(face for ghost in some for face in ghost.faces), tuple(line for ghost in some for line in ghost.lines))


def _parts(evaluation: Evaluation) -> dict[ObjectRef, Ghost]:
    scene, layout = evaluation.scene, evaluation.layout
    parts = {ObjectRef(shape.kind, shape.name): panel_outline(shape) for shape in layout.panels if shape.reaches_in}
    parts |= {ObjectRef("berth", berth.name): cushion(berth) for berth in evaluation.berths}
    parts |= {ObjectRef("stringer", item.name): ghost_of(scene, evaluation, item) for item in scene.stringers}
    parts |= {ObjectRef("fitting", item.name): ghost_of(scene, evaluation, item) for item in scene.fittings}
    for path in (*layout.flow_paths, *layout.closed):
        if path.kind == "opening" and len(path.outline) > 2:
            ref = ObjectRef("opening", path.name)
            parts[ref] = Ghost((*parts.get(ref, Ghost()).faces, (path.outline,)))
    return parts


def _same(one: Ghost, other: Ghost) -> bool:
    ours, theirs = (np.concatenate(list(_points(ghost)) or [np.empty((0, 3))]) for ghost in (one, other))
    if not len(ours) or not len(theirs):
        return len(ours) == len(theirs)
    apart = np.abs(ours[:, None] - theirs[None]).max(axis=2)
    return bool(max(apart.min(axis=0).max(), apart.min(axis=1).max()) <= SAME)


def _points(ghost: Ghost) -> Iterator[Floats]:
    rings: Iterable[Floats] = (ring for face in ghost.faces for ring in face)
    yield from rings
    yield from ghost.lines
