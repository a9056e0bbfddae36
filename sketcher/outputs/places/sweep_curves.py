"""The curves of a sweep: every figure that changes, over the place, with limits, rules and what is forbidden."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from sketcher.analysis.places.rows import PlaceRow, Sweep
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, LineStyle, Words, line
from sketcher.outputs.palette import INK, PENCIL
from sketcher.outputs.places.curve_field import (
    BROKEN,
    FORBIDDEN,
    SIZE,
    Axis,
    FieldCurve,
    Stretch,
    axis_of,
    field_items,
    field_title,
    paths_by_field,
    shades,
    stretches,
    strokes_of,
    windows_along,
)
from sketcher.outputs.places.figure_words import figure_name, scale_of
from sketcher.outputs.places.sweep_table import error_words
from sketcher.outputs.wording.quantities import shortened

WIDE, LEFT, RIGHT, TALL, ROOM, TOP = 150.0, 18.0, 46.0, 30.0, 13.0, 16.0
"""[mm]: a field's width, margins at its sides, its height, paper between fields, and for the title."""
ROW = 3.4
"""[mm]: lines that letters stand in."""
HERE = LineStyle(PENCIL, 0.35, (0.6, 1.0))


def sweep_curves(sweep: Sweep, units: str, now: float | None = None) -> Drawing:
    """Curves of one range, fields beneath each other. now: where the number stands in the scene, [m] or degrees."""
    (wanted,) = sweep.question.ranges
    axis = axis_of(sweep, units, LEFT, WIDE, TALL)
    fields, strips = paths_by_field(sweep), _strips(sweep, units, axis)
    tall = TOP + len(strips) * ROW * 1.5 + len(fields) * (TALL + ROOM) + 6.0
    width = LEFT + WIDE + RIGHT
    unit = scale_of("_m", units)[1] if wanted.is_length else wanted.field.kind.unit
    title = f"{sweep.question.scene.name}: {wanted.object}{f', {unit}' if unit else ''}"
    items: list[Item] = [Words((LEFT, tall - 6.0), shortened(title, width - 2 * LEFT, _wide), 3.4, INK, "title", bold=True)]
    top = tall - TOP
    for name, found in strips:
        items += _strip(name, found, top)
        top -= ROW * 1.5
    forbidden, strokes = shades(sweep, axis), strokes_of(fields)
    for paths in fields:
        top -= ROOM
        drawn, curves = field_items(sweep, axis, paths, top, units, forbidden, strokes)
        items += [*drawn, Words((LEFT, top + 1.6), field_title(paths[0], units), SIZE, INK, "names", bold=True)]
        if now is not None and axis.low <= axis.per * now <= axis.high:
            items.append(line([(axis.x(now), top - TALL), (axis.x(now), top)], HERE, "now"))
        items += _names(curves)
        top -= TALL
    return Drawing(title=title, width=width, height=tall, items=tuple(items))


def _wide(text: str) -> float:
    return 0.6 * 3.4 * len(text)


def _names(curves: Sequence[FieldCurve]) -> Iterator[Item]:
    """What each curve is of, at the right of the field where it ends."""
    ends: list[float] = []
    for curve in curves:
        if curve.runs:
            level = _clear_of(curve.runs[-1][-1][1], ends)
            ends.append(level)
            label = shortened(figure_name(curve.path).short, RIGHT - 4.0, lambda text: 0.56 * SIZE * len(text))
            yield Words((LEFT + WIDE + 1.5, level - SIZE * 0.36), label, SIZE, curve.stroke.colour, "names")


def _clear_of(level: float, others: Sequence[float]) -> float:
    """A height for a name, lowered until it stands clear of others."""
    while any(abs(level - other) < ROW - 0.1 for other in others):
        level -= 0.5
    return level


def _strips(sweep: Sweep, units: str, axis: Axis) -> list[tuple[str, list[Stretch]]]:
    """What is said along the range over the fields: where limits forbid, where there is no boat, rules' windows, verdicts."""
    x = axis.x
    strips = [(f"missed: {limit.name}", stretches(sweep, _missing(limit.name), x)) for limit in sweep.question.scene.limits]
    strips.append(("no boat", stretches(sweep, lambda row: error_words(row.error, units) or "", x)))
    strips += windows_along(sweep, x)
    for path in sweep.paths:
        if path.endswith("verdict"):
            strips.append((figure_name(path).holed, stretches(sweep, _said(path), x)))
    return [(name, found) for name, found in strips if found]


def _missing(limit: str) -> Callable[[PlaceRow], str]:
    return lambda row: "missed" if limit in row.missed else ""


def _said(path: str) -> Callable[[PlaceRow], str]:
    return lambda row: str(row.figures.get(path) or "")


def _strip(name: str, found: Sequence[Stretch], top: float) -> Iterator[Item]:
    """One strip: a bar for each stretch with what is said in it, and its name at the right."""
    fill = FORBIDDEN if name.startswith("missed") else BROKEN if name == "no boat" else "#dfe8ec"
    for each in found:
        ring = ((each.start, top - ROW), (each.end, top - ROW), (each.end, top), (each.start, top))
        yield FilledArea((ring,), fill, LineStyle(PENCIL, 0.15), "strips")
        text = shortened(each.what, each.end - each.start - 1.0, lambda words: 0.56 * SIZE * len(words))
        if len(text) > 2:
            yield Words((each.start + 0.8, top - ROW + 0.9), text, SIZE, INK, "strips")
    label = shortened(name, RIGHT - 4.0, lambda text: 0.56 * SIZE * len(text))
    yield Words((LEFT + WIDE + 1.5, top - ROW + 0.9), label, SIZE, INK, "names")
