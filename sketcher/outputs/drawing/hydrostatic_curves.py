"""How the boat floats over a range of drafts, as curves beside each other on one scale of heights."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from sketcher.analysis.afloat.hydrostatics import HydrostaticRow
from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.drawing.recording import Drawing, Item, LineStyle, Words, line
from sketcher.outputs.palette import ACCENT, FAINT, INK, PENCIL, WATER
from sketcher.outputs.tables.hydrostatics import hydrostatic_rows

CURVE_STEPS = 40

PANEL, ROOM, TALL, EDGE = 52.0, 10.0, 110.0, 14.0
"""[mm]: width of one curve's field, paper between fields, height of the fields, margin."""
SIZE = 2.4
CURVE, GRID, FRAME = LineStyle(INK, 0.4), LineStyle(FAINT, 0.1), LineStyle(PENCIL, 0.2)
SECOND = LineStyle(ACCENT, 0.4, (2.0, 1.0))
AT_REST = LineStyle(WATER, 0.3)

Reading = Callable[[HydrostaticRow], float]
FIELDS: tuple[tuple[str, tuple[tuple[str, Reading], ...]], ...] = (
    ("displacement, kg", (("", lambda row: row.displacement),)),
    ("kg per cm", (("", lambda row: row.kg_per_cm),)),
    (
        "mm aft",
        (
            ("centre of buoyancy", lambda row: 1000 * row.centre_of_buoyancy[0]),
            ("centre of flotation", lambda row: 1000 * row.centre_of_flotation),
        ),
    ),
    ("metacentre KM, mm above the base line", (("", lambda row: 1000 * row.km_transverse),)),
)


def curves(evaluation: Evaluation) -> Drawing:
    """Curves over the water's height amidships [mm]; the boat's own waterline is drawn across."""
    rows = hydrostatic_rows(evaluation, CURVE_STEPS)
    levels = [1000 * row.level for row in rows]
    low, high = round_limits(levels)
    width = 2 * EDGE + 10 + len(FIELDS) * PANEL + (len(FIELDS) - 1) * ROOM
    items: list[Item] = [
        Words((EDGE, TALL + EDGE + 24), f"{evaluation.scene.name}: floating at other drafts", 3.4, INK, "title", bold=True)
    ]
    items.append(
        Words(
            (EDGE, TALL + EDGE + 18),
            "upright scale: height of the water above the base line amidships, mm",
            SIZE,
            PENCIL,
            "title",
        )
    )
    now = (
        evaluation.water.height((evaluation.water.x_forward + evaluation.water.x_after) / 2) * 1000 if evaluation.water else None
    )
    for k, (title, readings) in enumerate(FIELDS):
        left = EDGE + 10 + k * (PANEL + ROOM)
        items += _field(left, title, readings, rows, levels, (low, high), now, first=k == 0)
    return Drawing(
        title=f"{evaluation.scene.name}: floating at other drafts", width=width, height=TALL + EDGE + 32, items=tuple(items)
    )


def _field(
    left: float,
    title: str,
    readings: Sequence[tuple[str, Reading]],
    rows: Sequence[HydrostaticRow],
    levels: Sequence[float],
    reach: tuple[float, float],
    now: float | None,
    first: bool,
) -> list[Item]:
    """One field with its grid, one or two curves and the waterline."""
    values = [[reading(row) for row in rows] for _, reading in readings]
    least, most = round_limits([value for curve in values for value in curve])

    def spot(value: float, level: float) -> tuple[float, float]:
        return (
            left + PANEL * (value - least) / (most - least),
            EDGE + TALL * (level - reach[0]) / (reach[1] - reach[0]),
        )

    items: list[Item] = [Words((left, EDGE + TALL + 2.5), title, SIZE, INK, "dimensions")]
    for level in ticks(*reach):
        items.append(line([spot(least, level), spot(most, level)], GRID, "grid"))
        if first:
            x, y = spot(least, level)
            items.append(Words((x - 1.2, y - SIZE * 0.36), f"{level:g}", SIZE, PENCIL, "dimensions", "end"))
    for value in ticks(least, most):
        x, y = spot(value, reach[0])
        items.append(line([(x, y), spot(value, reach[1])], GRID, "grid"))
        items.append(Words((x, y - SIZE * 1.5), f"{value:g}", SIZE, PENCIL, "dimensions", "middle"))
    items.append(
        line(
            [spot(least, reach[0]), spot(most, reach[0]), spot(most, reach[1]), spot(least, reach[1])], FRAME, "grid", closed=True
        )
    )
    if now is not None and reach[0] <= now <= reach[1]:
        items.append(line([spot(least, now), spot(most, now)], AT_REST, "water"))
    for (name, _), curve, stroke in zip(readings, values, (CURVE, SECOND), strict=False):
        items.append(line([spot(value, level) for value, level in zip(curve, levels, strict=True)], stroke, "curves"))
        if name:
            row = 1 + [other for other, _ in readings].index(name)
            items.append(Words((left + 1.5, EDGE + TALL - row * SIZE * 1.5), name, SIZE, stroke.colour, "names", halo=True))
    return items


def round_limits(values: Sequence[float]) -> tuple[float, float]:
    """Round limits about some values, at least one step apart."""
    step = _step(min(values), max(values))
    low, high = math.floor(min(values) / step) * step, math.ceil(max(values) / step) * step
    return low, high if high > low else low + step


def ticks(low: float, high: float) -> list[float]:
    """Round values from low to high."""
    step = _step(low, high)
    return [step * k for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]


def _step(low: float, high: float) -> float:
    """A step of 1, 2 or 5 times a power of ten that makes three to six of the range."""
    raw = max(high - low, 1e-6) / 4
    power = 10.0 ** math.floor(math.log10(raw))
    return next(power * k for k in (1, 2, 5, 10) if power * k >= raw)
