"""What goes into the spaces, in the drawings: sleepers in plan, all else where the plane cuts it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.contents_results import Contents
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame, frame_x, frame_y, frame_z, section_rings
from sketcher.outputs.contents_shapes import (
    HEAD,
    KEY_WORDS,
    ShapeKind,
    cut_outlines,
    fitting_mesh,
    head_of,
    kinds_of,
    lying,
    shapes_of,
)
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.dimensions import berth_marks
from sketcher.outputs.drawing.lettering import ground
from sketcher.outputs.drawing.recording import Item, Line, LineStyle, PaperPlacing, Words, line, text_width
from sketcher.outputs.palette import BOTTLE, CUSHION, FOAM, INK, PENCIL, TIMBER_EDGE, WATER

SLEEPER = LineStyle(CUSHION, 0.35)
BOTTLES = LineStyle(BOTTLE, 0.13)
FILLINGS: dict[ShapeKind, LineStyle] = {
    "chain": LineStyle(INK, 0.25),
    "stowage": LineStyle(TIMBER_EDGE, 0.25, (2.0, 1.0)),
    "foam": LineStyle(FOAM, 0.18),
    "tank": LineStyle(WATER, 0.25),
}
IN_SIGHT = 0.30
"""[m] A plan this far above or below a cushion still shows who lies on it."""
NAME_SIZE = 2.2
"""Height of a name [mm]."""
NAME_SHARES = (0.3, 0.2, 0.4, 0.5, 0.6, 0.7, 0.1)
"""Where along a sleeper the name may stand, best first."""
NAME_ASIDE = (0.0, 1.1, -1.1)
"""How far below its middle, in heights of the name."""

FITTING = LineStyle(PENCIL, 0.35)

STROKES: dict[ShapeKind, LineStyle] = {"bottles": BOTTLES, "sleeper": SLEEPER, **FILLINGS}

FRAMES = {"profile": frame_y, "plan": frame_z, "section": frame_x}
CUT_AXIS = {"profile": 1, "plan": 2, "section": 0}


def contents_marks(evaluation: Evaluation, kind: Kind, at: float, placing: PaperPlacing) -> Iterator[Item]:
    """Strokes and names of what is cut, or in a plan lies near the plane: things in the way, and what goes in."""
    yield from _fittings(evaluation, FRAMES[kind](at), placing)
    if evaluation.contents is None:
        return
    yield from _bottles(evaluation.contents, CUT_AXIS[kind], at, placing)
    yield from _fillings(evaluation.contents, FRAMES[kind](at), placing)
    if kind == "plan":
        yield from sleepers_names(evaluation, at, placing)
        yield from _sleepers_from_above(evaluation.contents, at, placing)
    else:
        yield from _sleepers_cut(evaluation.contents, FRAMES[kind](at), placing)


def _fittings(evaluation: Evaluation, frame: Frame, placing: PaperPlacing) -> Iterator[Item]:
    for fitting in evaluation.scene.fittings:
        part = f"fitting/{fitting.name}"
        for ring in section_rings(fitting_mesh(fitting), frame):
            yield _closed(frame.space(ring), placing, FITTING, part)
            yield _name(frame.space(ring), placing, fitting.name, part)


def _bottles(contents: Contents, axis: int, at: float, placing: PaperPlacing) -> Iterator[Item]:
    for stow in (stow for space in contents.bottles for stow in space.stows):
        for outline in cut_outlines(stow, axis, at):
            yield _closed(outline, placing, BOTTLES, f"bottles/{stow.name}")


def _fillings(contents: Contents, frame: Frame, placing: PaperPlacing) -> Iterator[Item]:
    for shape in shapes_of(contents):
        if shape.kind in FILLINGS:
            for ring in section_rings(shape.mesh, frame):
                yield _closed(frame.space(ring), placing, FILLINGS[shape.kind], f"{shape.kind}/{shape.name}")


def _sleepers_from_above(contents: Contents, at: float, placing: PaperPlacing) -> Iterator[Item]:
    for place in contents.lying:
        if abs(at - place.surface) <= IN_SIGHT:
            for sleeper in place.sleepers:
                yield from _seen_from_above(sleeper.outline, placing, f"person/{sleeper.name}")


def _sleepers_cut(contents: Contents, frame: Frame, placing: PaperPlacing) -> Iterator[Item]:
    for place in contents.lying:
        for sleeper in place.sleepers:
            for ring in section_rings(lying(place, sleeper), frame):
                yield _closed(frame.space(ring), placing, SLEEPER, f"person/{sleeper.name}")


def strokes_used(evaluation: Evaluation) -> dict[str, LineStyle]:
    """The strokes that a drawing of this boat may have for what goes into her, each under the words for a key."""
    things = {"in the way": FITTING} if evaluation.scene.fittings else {}
    if evaluation.contents is None:
        return things
    kinds = kinds_of(evaluation.contents)
    return things | {KEY_WORDS[kind]: stroke for kind, stroke in STROKES.items() if kind in kinds}


def _name(outline: Floats, placing: PaperPlacing, name: str, part: str) -> Words:
    """A thing's name over its outline."""
    u, v = ("xyz".index(axis) for axis in placing.axes)
    spots = np.array([placing.spot(float(p[u]), float(p[v])) for p in outline])
    x, y = float(spots[:, 0].mean()), float(spots[:, 1].max()) + NAME_SIZE * 0.4
    return Words((x, y), name, NAME_SIZE, PENCIL, "contents", "middle", halo=True, part=part)


def _seen_from_above(outline: Floats, placing: PaperPlacing, part: str) -> Iterator[Item]:
    """The fitted outline, and a circle for the head."""
    level = np.column_stack([outline, np.zeros(len(outline))])
    yield _closed(level, placing, SLEEPER, part)
    middle = head_of(outline)
    angle = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
    circle = middle + HEAD * np.column_stack([np.cos(angle), np.sin(angle)])
    yield _closed(np.column_stack([circle, np.zeros(len(circle))]), placing, SLEEPER, part)


def sleepers_names(evaluation: Evaluation, at: float, placing: PaperPlacing) -> list[Words]:
    """In a plan near a cushion, who lies on it: each name along the sleeper, clear of berths' lengths and of the others."""
    marks = list(berth_marks(evaluation, "plan", at, placing, evaluation.scene.units))
    taken = [ground(item) for item in marks if isinstance(item, Words)]
    taken += [shapely.LineString(item.points) for item in marks if isinstance(item, Line) and not item.closed]
    names = []
    for place in evaluation.contents.lying if evaluation.contents is not None else ():
        for sleeper in place.sleepers if abs(at - place.surface) <= IN_SIGHT else ():
            tries = [
                _name_along(sleeper.outline, share, placing, sleeper.name, aside) for share in NAME_SHARES for aside in NAME_ASIDE
            ]
            name = next((words for words in tries if not shapely.intersects(ground(words), taken).any()), tries[0])
            names.append(name)
            taken.append(ground(name))
    return names


def _name_along(outline: Floats, share: float, placing: PaperPlacing, name: str, aside: float) -> Words:
    head, foot = outline[:2].mean(axis=0), outline[2:].mean(axis=0)
    x, y = placing.spot(*(float(c) for c in head + share * (foot - head)))
    return Words(
        (x, y - NAME_SIZE * (0.36 + aside)), name, NAME_SIZE, CUSHION, "contents", "middle", halo=True, part=f"person/{name}"
    )


def names_kept_clear(evaluation: Evaluation, kind: Kind, at: float, placing: PaperPlacing) -> shapely.Geometry:
    """Where the names of things in the way and of sleepers stand on the paper [mm], for others to keep off."""
    boxes = []
    for fitting in evaluation.scene.fittings:
        for ring in section_rings(fitting_mesh(fitting), FRAMES[kind](at)):
            x, y = _name(FRAMES[kind](at).space(ring), placing, fitting.name, "").at
            half = text_width(fitting.name, NAME_SIZE) / 2 + 1.0
            boxes.append(shapely.box(x - half, y - NAME_SIZE, x + half, y + NAME_SIZE))
    if kind == "plan":
        boxes += [ground(words).buffer(0.5) for words in sleepers_names(evaluation, at, placing)]
    return shapely.union_all(boxes)


def _closed(points: Floats, placing: PaperPlacing, stroke: LineStyle, part: str) -> Item:
    u, v = ("xyz".index(axis) for axis in placing.axes)
    return line([placing.spot(float(p[u]), float(p[v])) for p in points], stroke, "contents", part, closed=True)
