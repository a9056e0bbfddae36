"""One field of curves over the places of a range: its scale, what is forbidden, limits, and the figures of a kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sketcher.analysis.places.rows import PlaceRow, Sweep
from sketcher.analysis.sources import SOURCES
from sketcher.model.edits.number_range import STATED_WATER
from sketcher.outputs.drawing.hydrostatic_curves import round_limits, ticks
from sketcher.outputs.drawing.recording import FilledArea, Item, LineStyle, Spot, Words, line
from sketcher.outputs.palette import ACCENT, BESIDE, BOTTLE, FAINT, FOAM, INK, PENCIL, TIMBER_EDGE, WATER
from sketcher.outputs.places.figure_words import FigureName, figure_name, scale_of
from sketcher.outputs.places.sweep_table import shown_paths

SIZE = 2.4
"""[mm] Letters."""
FORBIDDEN, BROKEN, WINDOW = "#ecd9d2", "#dddbd5", "#c9dae3"
GRID, FRAME = LineStyle(FAINT, 0.1), LineStyle(PENCIL, 0.2)
STROKES = (
    LineStyle(INK, 0.5),
    LineStyle(WATER, 0.5, (3.0, 1.2)),
    LineStyle(FOAM, 0.5, (1.0, 1.0)),
    LineStyle(BESIDE, 0.5, (4.0, 1.0, 1.0, 1.0)),
    LineStyle(BOTTLE, 0.5, (6.0, 1.2)),
    LineStyle(TIMBER_EDGE, 0.5, (2.0, 0.8, 0.6, 0.8, 0.6, 0.8)),
    LineStyle(PENCIL, 0.5, (1.6, 0.8)),
)
MOST_CURVES = 4
"""Of one field: more no eye follows."""
LIMIT = LineStyle(ACCENT, 0.4, (2.0, 1.0))
LEAST_TICK = 9.0
"""[mm] Room that a number under the field needs to stand clear of the next."""


@dataclass(frozen=True, slots=True)
class Axis:
    """The places along the paper, from low to high in the reader's unit: what a place [m or degrees] is multiplied by is `per`.

    left, wide, tall [mm]: where fields begin on the paper, how wide and high they are.
    """

    per: float
    low: float
    high: float
    left: float
    wide: float
    tall: float

    def x(self, value: float) -> float:
        """Where a place stands [mm]."""
        return self.left + self.wide * (self.per * value - self.low) / (self.high - self.low)

    @property
    def right(self) -> float:
        """Where fields end [mm]."""
        return self.left + self.wide


def axis_of(sweep: Sweep, units: str, left: float, wide: float, tall: float) -> Axis:
    """The axis of a sweep of one range, over the whole of it."""
    (wanted,) = sweep.question.ranges
    per, _ = scale_of("_m" if wanted.is_length else "", units)
    low, high = per * wanted.values[0], per * wanted.values[-1]
    return Axis(per, low, high if high > low else low + 1.0, left, wide, tall)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Neighbouring places of which the same is true: from one to another along the axis, and what."""

    start: float
    end: float
    what: str


def stretches(sweep: Sweep, what: Callable[[PlaceRow], str], x: Callable[[float], float]) -> list[Stretch]:
    """Neighbours of which the same is said, each place reaching half way to the next; nothing where "" is said."""
    rows, (wanted,) = sweep.rows, sweep.question.ranges
    found: list[Stretch] = []
    for k, row in enumerate(rows):
        at, half = row.values[0], wanted.step / 2
        start = at if k == 0 else max((rows[k - 1].values[0] + at) / 2, at - half)
        end = at if k + 1 == len(rows) else min((rows[k + 1].values[0] + at) / 2, at + half)
        said = what(row)
        if found and found[-1].what == said and abs(found[-1].end - x(start)) < 1e-9:
            found[-1] = Stretch(found[-1].start, x(end), said)
        else:
            found.append(Stretch(x(start), x(end), said))
    return [each for each in found if each.what]


def shades(sweep: Sweep, axis: Axis) -> list[FilledArea]:
    """What is forbidden, over the whole height of a field of height 1."""
    areas = []
    for fill, what in ((FORBIDDEN, lambda row: "x" * bool(row.missed)), (BROKEN, lambda row: "x" * (row.error is not None))):
        for each in stretches(sweep, what, axis.x):
            ring: tuple[Spot, ...] = ((each.start, 0.0), (each.end, 0.0), (each.end, 1.0), (each.start, 1.0))
            areas.append(FilledArea((ring,), fill, None, "forbidden"))
    return areas


RULES = {"collision-racing": "racing rule's window", "collision-small-passenger": "passenger rule's window"}
"""What the rules' windows are called."""


def windows_along(sweep: Sweep, x: Callable[[float], float]) -> list[tuple[str, list[Stretch]]]:
    """Each rule's window by its name, and where along the range the collision bulkhead stands inside it.

    Nothing where what moves is neither a bulkhead nor the water, by which the window is measured.
    """
    if all(wanted.block not in ("bulkheads", STATED_WATER) for wanted in sweep.question.ranges):
        return []
    rules = dict.fromkeys(source for row in sweep.rows for source in row.rules)
    found = [(RULES.get(rule, SOURCES[rule].title), stretches(sweep, _inside(rule), x)) for rule in rules]
    return [(name, some) for name, some in found if some]


def _inside(rule: str) -> Callable[[PlaceRow], str]:
    return lambda row: "inside" if row.rules.get(rule) else ""


def limit_paths(sweep: Sweep) -> dict[str, str]:
    """The figure that stands for each limit: of a holed boat it is read in the worse of two states, not always the same."""
    paths: dict[str, str] = {}
    for limit in (limit for row in sweep.rows for limit in row.limits):
        paths[limit.name] = min(paths.get(limit.name, limit.path), limit.path, key=len)
    return paths


def _value_at(row: PlaceRow, path: str, limits: Mapping[str, str]) -> float | None:
    """A figure at a place: one that stands for a limit as the limit reads it."""
    named = next((limit for limit in row.limits if limits[limit.name] == path), None)
    value = row.figures.get(path) if named is None else named.value
    return value if isinstance(value, float) and row.error is None else None


def paths_by_field(sweep: Sweep, told: Callable[[str], bool] = lambda _: True) -> list[list[str]]:
    """The paths of the figures that change: one with a limit by itself, on a scale of its own, others of a kind together.

    told: whether a figure is shown at all.
    """
    limited, elsewhere = set(limit_paths(sweep).values()), {limit.path for row in sweep.rows for limit in row.limits}
    kinds: dict[tuple[str, str, str], list[str]] = {}
    for path in shown_paths(sweep):
        name = figure_name(path)
        if name.kind != "verdict" and told(path) and (path in limited or path not in elsewhere):
            kinds.setdefault((_family(name), name.holed, path if path in limited else ""), []).append(path)
    return [paths[k : k + MOST_CURVES] for paths in kinds.values() for k in range(0, len(paths), MOST_CURVES)]


def _family(name: FigureName) -> str:
    return "freeboard" if name.kind.endswith("freeboard") else name.kind


def field_title(path: str, units: str) -> str:
    """What a field is called by one of its figures, with the unit of its scale."""
    name, (_, unit) = figure_name(path), scale_of(path, units)
    holed = f" with {name.holed}" if name.holed else ""
    return f"{_family(name)}{holed}{f', {unit}' if unit and unit not in name.kind else ''}"


@dataclass(frozen=True, slots=True)
class FieldCurve:
    """A figure's curve in pieces, each a line through spots on the paper."""

    path: str
    stroke: LineStyle
    runs: tuple[tuple[Spot, ...], ...]


def strokes_of(fields: Sequence[Sequence[str]]) -> dict[str, LineStyle]:
    """How the curve of each figure is drawn, by its path: alike in all fields of what has the same name.

    Where there are more names than strokes, two in one field still differ.
    """
    names = list(dict.fromkeys(figure_name(path).short for paths in fields for path in paths))
    found: dict[str, LineStyle] = {}
    for paths in fields:
        free = list(STROKES)
        for path in paths:
            own = STROKES[names.index(figure_name(path).short) % len(STROKES)]
            found[path] = own if own in free else free[0]
            free.remove(found[path])
    return found


def field_curves(
    sweep: Sweep,
    axis: Axis,
    paths: Sequence[str],
    y: Callable[[float], float],
    per: float,
    strokes: Mapping[str, LineStyle],
) -> list[FieldCurve]:
    """The curves of a field. y: where a figure of its scale stands; per: what it is multiplied by for that; strokes: by path."""
    (wanted,) = sweep.question.ranges
    found, limits = [], limit_paths(sweep)
    for path in paths:
        values = [(row.values[0], _value_at(row, path, limits)) for row in sweep.rows]
        runs = curve_runs(values, 1.5 * wanted.step)
        found.append(
            FieldCurve(path, strokes[path], tuple(tuple((axis.x(at), y(per * value)) for at, value in run) for run in runs))
        )
    return found


def field_items(
    sweep: Sweep,
    axis: Axis,
    paths: Sequence[str],
    top: float,
    units: str,
    forbidden: Sequence[FilledArea],
    strokes: Mapping[str, LineStyle],
) -> tuple[list[Item], list[FieldCurve]]:
    """One field's grid, shades, limits and curves, and where the curves run. forbidden: of `shades`; strokes: of `strokes_of`."""
    per, _ = scale_of(paths[0], units)
    read = limit_paths(sweep)
    limits = {limit.name: per * limit.bound for row in sweep.rows for limit in row.limits if read[limit.name] in paths}
    values = [_value_at(row, path, read) for row in sweep.rows for path in paths]
    numbers = [per * value for value in values if value is not None]
    least, most = round_limits([*numbers, *limits.values()])
    foot = top - axis.tall

    def y(value: float) -> float:
        return foot + axis.tall * (value - least) / (most - least)

    items: list[Item] = []
    for shade in forbidden:
        ring = tuple((x, foot + height * axis.tall) for x, height in shade.rings[0])
        items.append(FilledArea((ring,), shade.fill, None, "forbidden"))
    items += _grid(axis, least, most, y, top)
    for limit, bound in limits.items():
        items.append(line([(axis.left, y(bound)), (axis.right, y(bound))], LIMIT, "limits"))
        lift = 0.7 if y(bound) + SIZE < top else -SIZE - 0.2
        items.append(Words((axis.left + 1.5, y(bound) + lift), limit, SIZE, ACCENT, "limits", halo=True))
    found = field_curves(sweep, axis, paths, y, per, strokes)
    items += [line(run, each.stroke, "curves", f"figure/{each.path}") for each in found for run in each.runs]
    return items, found


def _grid(axis: Axis, least: float, most: float, y: Callable[[float], float], top: float) -> Iterator[Item]:
    for value in ticks(least, most):
        yield line([(axis.left, y(value)), (axis.right, y(value))], GRID, "grid")
        yield Words((axis.left - 1.2, y(value) - SIZE * 0.36), f"{value:g}", SIZE, PENCIL, "dimensions", "end")
    foot, before = top - axis.tall, -LEAST_TICK
    for value in ticks(axis.low, axis.high):
        x = axis.x(value / axis.per)
        yield line([(x, foot), (x, top)], GRID, "grid")
        if x - before >= LEAST_TICK:
            before = x
            yield Words((x, foot - SIZE * 1.4), f"{value:g}", SIZE, PENCIL, "dimensions", "middle")
    corners = [(axis.left, foot), (axis.right, foot), (axis.right, top), (axis.left, top)]
    yield line(corners, FRAME, "grid", closed=True)


def curve_runs(values: Sequence[tuple[float, float | None]], reach: float) -> list[list[tuple[float, float]]]:
    """A curve in pieces, of its places and values: a gap where there is none, or neighbours are further apart than `reach`.

    >>> curve_runs([(0.0, 1.0), (1.0, 2.0), (2.0, None), (3.0, 4.0), (4.0, 5.0), (9.0, 6.0), (10.0, 7.0)], 1.5)
    [[(0.0, 1.0), (1.0, 2.0)], [(3.0, 4.0), (4.0, 5.0)], [(9.0, 6.0), (10.0, 7.0)]]
    """
    runs: list[list[tuple[float, float]]] = [[]]
    for at, value in values:
        if value is None or (runs[-1] and at - runs[-1][-1][0] > reach):
            runs.append([])
        if value is not None:
            runs[-1].append((at, value))
    return [run for run in runs if len(run) > 1]
