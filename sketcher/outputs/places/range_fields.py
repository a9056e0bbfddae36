"""The curves of a sweep for a screen: a field for each kind of figure, and in words what is forbidden where."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from sketcher.analysis.places.rows import PlaceRow, Sweep
from sketcher.model.edits.number_range import NumberRange
from sketcher.outputs.drawing.recording import Drawing, FilledArea, LineStyle, Spot
from sketcher.outputs.palette import PENCIL
from sketcher.outputs.places.curve_field import (
    WINDOW,
    Axis,
    Stretch,
    axis_of,
    field_items,
    field_title,
    limit_paths,
    paths_by_field,
    shades,
    stretches,
    strokes_of,
    windows_along,
)
from sketcher.outputs.places.figure_words import FigureName, figure_name
from sketcher.outputs.places.sweep_table import error_words, range_value_words
from sketcher.outputs.wording.say import listed

LEFT, RIGHT, FOOT, TOP = 11.0, 2.5, 4.6, 1.6
"""[mm] Paper beside, under and over a field: numbers stand at its left and under it."""
BAR = 1.3
"""[mm] The height of a bar for a rule's window."""
UNSAID = ("place",)
"""Figures that are the place itself in other words."""
LAST = ("litres below",)
"""Figures that say least beside the others."""
OF_SPACES = ("litres", "litres below")
"""Figures of compartments."""


@dataclass(frozen=True, slots=True)
class RangeField:
    """title: the kind of figure and its unit; curves: how each is drawn and what it is of."""

    title: str
    curves: tuple[tuple[LineStyle, str], ...]
    drawing: Drawing


def screen_axis(sweep: Sweep, units: str, size: tuple[float, float]) -> Axis:
    """The axis of fields on a piece of screen of a size [mm]."""
    return axis_of(sweep, units, LEFT, size[0] - LEFT - RIGHT, size[1] - FOOT - TOP)


def told_paths(sweep: Sweep, spaces: Collection[str]) -> list[list[str]]:
    """The figures that change along the range, those of each field together, those of limits first.

    spaces: the compartments as they are now: of others that are met along the range nothing is told.
    """
    limited = set(limit_paths(sweep).values())
    fields = paths_by_field(sweep, lambda path: path in limited or _is_told(figure_name(path), spaces))
    return sorted(fields, key=lambda paths: (paths[0] not in limited, figure_name(paths[0]).kind in LAST))


def range_fields(sweep: Sweep, units: str, size: tuple[float, float], fields: Sequence[Sequence[str]]) -> tuple[RangeField, ...]:
    """A field for each kind of figure. size: of each on the screen [mm]; fields: the figures of each, of `told_paths`."""
    axis = screen_axis(sweep, units, size)
    forbidden, strokes, made = shades(sweep, axis), strokes_of(fields), []
    for paths in fields:
        items, curves = field_items(sweep, axis, paths, size[1] - TOP, units, forbidden, strokes)
        items += _window_bars(sweep, axis, size[1] - TOP)
        title = field_title(paths[0], units)
        said = tuple((curve.stroke, figure_name(curve.path).short) for curve in curves)
        made.append(RangeField(title, said, Drawing(title=title, width=size[0], height=size[1], items=tuple(items))))
    return tuple(made)


def _window_bars(sweep: Sweep, axis: Axis, top: float) -> Iterator[FilledArea]:
    """Along the top of a field a bar for each rule, as far as its window goes."""
    for number, (_, found) in enumerate(windows_along(sweep, axis.x)):
        low, high = top - (number + 1) * BAR, top - number * BAR
        for each in found:
            ring: tuple[Spot, ...] = ((each.start, low), (each.end, low), (each.end, high), (each.start, high))
            yield FilledArea((ring,), WINDOW, LineStyle(PENCIL, 0.1), "windows")


def window_stretches(sweep: Sweep) -> list[Stretch]:
    """From which place to which the collision bulkhead stands inside a rule's window, bars from the top down."""
    return [replace(each, what=f"inside the {name}") for name, found in windows_along(sweep, float) for each in found]


def _is_told(name: FigureName, spaces: Collection[str]) -> bool:
    return name.kind not in UNSAID and (name.kind not in OF_SPACES or name.of in spaces)


def forbidden_stretches(sweep: Sweep, units: str, spaces: Collection[str]) -> list[Stretch]:
    """From which place to which there is no boat and why, or limits are missed, or spaces are not there as one; in words."""
    paths = {name: f"compartments.{name}.volume_m3" for name in spaces}
    met = {name: path for name, path in paths.items() if any(row.figures.get(path) is not None for row in sweep.rows)}

    def why(row: PlaceRow) -> str:
        said = error_words(row.error, units)
        if said is not None:
            return f"no boat: {said}"
        lost = [name for name, path in met.items() if row.figures.get(path) is None]
        told = [f"misses {listed(row.missed)}"] * bool(row.missed) + [f"{listed(lost)}: not one space of its own"] * bool(lost)
        return "; ".join(told)

    return stretches(sweep, why, float)


def stretch_words(each: Stretch, wanted: NumberRange, units: str) -> str:
    """What stands against a stretch of places, with its ends."""
    start, end = (range_value_words(wanted, value, units) for value in (each.start, each.end))
    return f"{start}: {each.what}" if start == end else f"{start} to {end}: {each.what}"
