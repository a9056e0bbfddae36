"""The curves of a sweep: every figure that changes, over the place, with limits, rules and what is forbidden."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from sketcher.analysis.places.rows import PlaceRow, Sweep
from sketcher.analysis.sources import SOURCES
from sketcher.outputs.drawing.hydrostatic_curves import round_limits, ticks
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, LineStyle, Spot, Words, line
from sketcher.outputs.palette import ACCENT, BESIDE, FAINT, FOAM, INK, PENCIL, WATER
from sketcher.outputs.places.figure_words import FigureName, figure_name, scale_of
from sketcher.outputs.places.sweep_table import error_words, shown_paths
from sketcher.outputs.wording.quantities import shortened

WIDE, LEFT, RIGHT, TALL, ROOM, TOP = 150.0, 18.0, 46.0, 30.0, 13.0, 16.0
"""[mm]: a field's width, margins at its sides, its height, paper between fields, and for the title."""
SIZE, ROW = 2.4, 3.4
"""[mm]: letters, and the lines they stand in."""
FORBIDDEN, BROKEN = "#ecd9d2", "#dddbd5"
GRID, FRAME = LineStyle(FAINT, 0.1), LineStyle(PENCIL, 0.2)
STROKES = (
    LineStyle(INK, 0.5),
    LineStyle(WATER, 0.5, (3.0, 1.2)),
    LineStyle(FOAM, 0.5, (1.0, 1.0)),
    LineStyle(BESIDE, 0.5, (4.0, 1.0, 1.0, 1.0)),
)
LIMIT, HERE = LineStyle(ACCENT, 0.4, (2.0, 1.0)), LineStyle(PENCIL, 0.35, (0.6, 1.0))


@dataclass(frozen=True, slots=True)
class Stretch:
    """Neighbouring places of which the same is true: from one to another along the paper [mm], and what."""

    start: float
    end: float
    what: str


def sweep_curves(sweep: Sweep, units: str, now: float | None = None) -> Drawing:
    """Curves of one range, fields beneath each other. now: where the number stands in the scene, [m] or degrees."""
    (wanted,) = sweep.question.ranges
    fields = _fields(sweep)
    strips = _strips(sweep, units)
    tall = TOP + len(strips) * ROW * 1.5 + len(fields) * (TALL + ROOM) + 6.0
    width = LEFT + WIDE + RIGHT
    per = scale_of("_m" if wanted.is_length else "", units)
    axis = Axis(sweep, per[0])
    unit = per[1] if wanted.is_length else wanted.field.kind.unit
    title = f"{sweep.question.scene.name}: {wanted.object}{f', {unit}' if unit else ''}"
    items: list[Item] = [Words((LEFT, tall - 6.0), shortened(title, width - 2 * LEFT, _wide), 3.4, INK, "title", bold=True)]
    top = tall - TOP
    for name, stretches in strips:
        items += _strip(name, stretches, top)
        top -= ROW * 1.5
    shades = _shades(sweep, axis)
    for paths in fields:
        top -= ROOM
        items += _field(sweep, axis, paths, top, units, shades, now)
        top -= TALL
    return Drawing(title=title, width=width, height=tall, items=tuple(items))


class Axis:
    """The places along the paper: its numbers are in the reader's unit."""

    def __init__(self, sweep: Sweep, per: float) -> None:
        self.per = per
        self.low, self.high = (per * sweep.rows[k].values[0] for k in (0, -1))
        if self.high <= self.low:
            self.high = self.low + 1.0

    def x(self, value: float) -> float:
        """Where a place stands [mm]."""
        return LEFT + WIDE * (self.per * value - self.low) / (self.high - self.low)


def _wide(text: str) -> float:
    return 0.6 * 3.4 * len(text)


def _fields(sweep: Sweep) -> list[list[str]]:
    """The paths of the figures that change: one with a limit by itself, on a scale of its own, others of a kind together."""
    limited = {limit.path for row in sweep.rows for limit in row.limits}
    kinds: dict[tuple[str, str, str], list[str]] = {}
    for path in shown_paths(sweep):
        name = figure_name(path)
        if name.kind != "verdict":
            kinds.setdefault((_family(name), name.holed, path if path in limited else ""), []).append(path)
    return [paths[k : k + len(STROKES)] for paths in kinds.values() for k in range(0, len(paths), len(STROKES))]


def _family(name: FigureName) -> str:
    return "freeboard" if name.kind.endswith("freeboard") else name.kind


def _field(
    sweep: Sweep, axis: Axis, paths: Sequence[str], top: float, units: str, shades: Sequence[FilledArea], now: float | None
) -> Iterator[Item]:
    """One field: its grid, shades, limits and curves."""
    per, unit = scale_of(paths[0], units)
    limits = {limit.name: per * limit.bound for row in sweep.rows for limit in row.limits if limit.path in paths}
    numbers = [per * value for row in sweep.rows for path in paths if isinstance(value := row.figures.get(path), float)]
    least, most = round_limits([*numbers, *limits.values()])

    def y(value: float) -> float:
        return top - TALL + TALL * (value - least) / (most - least)

    for shade in shades:
        yield FilledArea((tuple((x, top - TALL + height * TALL) for x, height in shade.rings[0]),), shade.fill, None, "forbidden")
    yield from _grid(axis, least, most, y, top)
    name = figure_name(paths[0])
    holed = f" with {name.holed}" if name.holed else ""
    yield Words(
        (LEFT, top + 1.6),
        f"{_family(name)}{holed}{f', {unit}' if unit and unit not in name.kind else ''}",
        SIZE,
        INK,
        "names",
        bold=True,
    )
    for limit, bound in limits.items():
        yield line([(LEFT, y(bound)), (LEFT + WIDE, y(bound))], LIMIT, "limits")
        lift = 0.7 if y(bound) + SIZE < top else -SIZE - 0.2
        yield Words((LEFT + 1.5, y(bound) + lift), limit, SIZE, ACCENT, "limits", halo=True)
    if now is not None and axis.low <= axis.per * now <= axis.high:
        yield line([(axis.x(now), top - TALL), (axis.x(now), top)], HERE, "now")
    ends: list[float] = []
    for path, stroke in zip(paths, STROKES, strict=False):
        runs = _runs(sweep.rows, path)
        for run in runs:
            yield line([(axis.x(at), y(per * value)) for at, value in run], stroke, "curves", f"figure/{path}")
        if runs:
            level = _clear_of(y(per * runs[-1][-1][1]), ends)
            ends.append(level)
            label = shortened(figure_name(path).short, RIGHT - 4.0, lambda text: 0.56 * SIZE * len(text))
            yield Words((LEFT + WIDE + 1.5, level - SIZE * 0.36), label, SIZE, stroke.colour, "names")


def _clear_of(level: float, others: Sequence[float]) -> float:
    """A height for a name, lowered until it stands clear of others."""
    while any(abs(level - other) < ROW - 0.1 for other in others):
        level -= 0.5
    return level


def _grid(axis: Axis, least: float, most: float, y: Callable[[float], float], top: float) -> Iterator[Item]:
    for value in ticks(least, most):
        yield line([(LEFT, y(value)), (LEFT + WIDE, y(value))], GRID, "grid")
        yield Words((LEFT - 1.2, y(value) - SIZE * 0.36), f"{value:g}", SIZE, PENCIL, "dimensions", "end")
    for value in ticks(axis.low, axis.high):
        x = axis.x(value / axis.per)
        yield line([(x, top - TALL), (x, top)], GRID, "grid")
        yield Words((x, top - TALL - SIZE * 1.4), f"{value:g}", SIZE, PENCIL, "dimensions", "middle")
    corners = [(LEFT, top - TALL), (LEFT + WIDE, top - TALL), (LEFT + WIDE, top), (LEFT, top)]
    yield line(corners, FRAME, "grid", closed=True)


def _runs(rows: Sequence[PlaceRow], path: str) -> list[list[tuple[float, float]]]:
    """A figure's curve in pieces: it has a gap where there is no boat or no figure."""
    runs: list[list[tuple[float, float]]] = [[]]
    for row in rows:
        value = row.figures.get(path)
        if row.error is None and isinstance(value, float):
            runs[-1].append((row.values[0], value))
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if len(run) > 1]


def stretches(sweep: Sweep, what: Callable[[PlaceRow], str], x: Callable[[float], float]) -> list[Stretch]:
    """Neighbours of which the same is said, each place reaching half way to the next; nothing where "" is said."""
    rows = sweep.rows
    found: list[Stretch] = []
    for k, row in enumerate(rows):
        start = x((rows[k - 1].values[0] + row.values[0]) / 2 if k else row.values[0])
        end = x((rows[k + 1].values[0] + row.values[0]) / 2 if k + 1 < len(rows) else row.values[0])
        said = what(row)
        if found and found[-1].what == said:
            found[-1] = Stretch(found[-1].start, end, said)
        else:
            found.append(Stretch(start, end, said))
    return [each for each in found if each.what]


def _shades(sweep: Sweep, axis: Axis) -> list[FilledArea]:
    """What is forbidden, over the whole height of a field of height 1."""
    areas = []
    for fill, what in ((FORBIDDEN, lambda row: "x" * bool(row.missed)), (BROKEN, lambda row: "x" * (row.error is not None))):
        for each in stretches(sweep, what, axis.x):
            ring: tuple[Spot, ...] = ((each.start, 0.0), (each.end, 0.0), (each.end, 1.0), (each.start, 1.0))
            areas.append(FilledArea((ring,), fill, None, "forbidden"))
    return areas


def _strips(sweep: Sweep, units: str) -> list[tuple[str, list[Stretch]]]:
    """What is said along the range over the fields: where limits forbid, where there is no boat, rules' windows, verdicts."""
    wanted = sweep.question.ranges[0]
    x = Axis(sweep, scale_of("_m" if wanted.is_length else "", units)[0]).x
    strips = [(f"missed: {limit.name}", stretches(sweep, _missing(limit.name), x)) for limit in sweep.question.scene.limits]
    strips.append(("no boat", stretches(sweep, lambda row: error_words(row.error, units) or "", x)))
    for rule in dict.fromkeys(source for row in sweep.rows for source in row.rules):
        strips.append((RULES.get(rule, SOURCES[rule].title), stretches(sweep, _inside(rule), x)))
    for path in sweep.paths:
        if path.endswith("verdict"):
            strips.append((figure_name(path).holed, stretches(sweep, _said(path), x)))
    return [(name, found) for name, found in strips if found]


def _missing(limit: str) -> Callable[[PlaceRow], str]:
    return lambda row: "missed" if limit in row.missed else ""


def _inside(rule: str) -> Callable[[PlaceRow], str]:
    return lambda row: "inside" if row.rules.get(rule) else ""


def _said(path: str) -> Callable[[PlaceRow], str]:
    return lambda row: str(row.figures.get(path) or "")


RULES = {"collision-racing": "racing rule's window", "collision-small-passenger": "passenger rule's window"}
"""What the rules' windows are called beside a strip."""


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
