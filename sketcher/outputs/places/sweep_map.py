"""The map of a sweep of two numbers: where limits are kept, and how much of a figure there is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.places.rows import PlaceRow, Sweep
from sketcher.outputs.drawing.hydrostatic_curves import ticks
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, LineStyle, Spot, Words, line
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.outputs.places.curve_field import BROKEN, FORBIDDEN, SIZE
from sketcher.outputs.places.figure_words import figure_name, scale_of
from sketcher.outputs.places.sweep_table import error_words, shown_paths
from sketcher.outputs.wording.quantities import shortened
from sketcher.outputs.wording.say import listed

SIDE, LEFT, BOTTOM, KEY, TOP = 120.0, 22.0, 16.0, 66.0, 16.0
"""[mm]: the map's sides, margins, the key's width."""
SHADES = ("#eef4f6", "#d3e3ea", "#b4cfdb", "#92b8c9", "#6f9fb5")
"""Least to most of the figure, by fifths: told apart by lightness."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"
FRAME = LineStyle(PENCIL, 0.2)


def sweep_map(sweep: Sweep, units: str, path: str | None = None) -> Drawing:
    """A field for each pair of places: shaded by a figure where every limit is kept, else with a letter for what forbids it.

    path: of the figure; None: the first that changes.
    """
    shown = path or next(iter(shown_paths(sweep)), "")
    title = f"{sweep.question.scene.name}: {figure_name(shown).words or 'nothing changes'}"
    width, height = LEFT + SIDE + KEY, BOTTOM + SIDE + TOP
    items: list[Item] = [Words((LEFT, height - 7.0), shortened(title, width - LEFT - 5.0, _wide), 3.4, INK, "title", bold=True)]
    reasons = list(dict.fromkeys(_reason(row, units) for row in sweep.rows if not row.feasible))
    letters = {reason: LETTERS[k % len(LETTERS)] for k, reason in enumerate(reasons)}
    per, unit = scale_of(shown, units)
    numbers = [per * value for row in sweep.rows if row.feasible and isinstance(value := row.figures.get(shown), float)]
    fifths = (min(numbers), max(numbers)) if numbers else (0.0, 0.0)
    xs, ys = (sorted({row.values[k] for row in sweep.rows}) for k in (0, 1))
    for row in sweep.rows:
        across, up = _between(xs, row.values[0], LEFT), _between(ys, row.values[1], BOTTOM)
        value = row.figures.get(shown)
        share = (per * value - fifths[0]) / ((fifths[1] - fifths[0]) or 1.0) if isinstance(value, float) else 0.0
        items += _field(row, across, up, share, letters.get(_reason(row, units), ""))
    items += _axes(sweep, units, xs, ys)
    items += _key(letters, fifths, unit, height - TOP)
    return Drawing(title=title, width=width, height=height, items=tuple(items))


def _wide(text: str) -> float:
    return 0.6 * 3.4 * len(text)


def _between(values: Sequence[float], value: float, start: float) -> tuple[float, float]:
    """The stretch of paper [mm] that a place takes along one side."""
    k = list(values).index(value)
    wide = SIDE / len(values)
    return start + k * wide, start + (k + 1) * wide


def _reason(row: PlaceRow, units: str) -> str:
    if row.error is not None:
        return f"no boat: {error_words(row.error, units)}"
    return f"misses {listed(row.missed)}"


def _field(row: PlaceRow, across: Spot, up: Spot, share: float, letter: str) -> Iterator[Item]:
    """One pair of places: its shade by the figure's share of the greatest, or the letter of what forbids it."""
    ring: tuple[Spot, ...] = ((across[0], up[0]), (across[1], up[0]), (across[1], up[1]), (across[0], up[1]))
    if row.feasible:
        yield FilledArea((ring,), SHADES[min(4, int(5 * share))], None, "allowed")
        return
    yield FilledArea((ring,), BROKEN if row.error is not None else FORBIDDEN, None, "forbidden")
    size = min(SIZE, 0.8 * (up[1] - up[0]), 1.4 * (across[1] - across[0]))
    at = ((across[0] + across[1]) / 2, (up[0] + up[1]) / 2 - 0.35 * size)
    yield Words(at, letter, size, INK, "forbidden", "middle")


def _axes(sweep: Sweep, units: str, xs: Sequence[float], ys: Sequence[float]) -> Iterator[Item]:
    """Both numbers along their sides, in the reader's unit, and where they stand in the scene."""
    corners = [(LEFT, BOTTOM), (LEFT + SIDE, BOTTOM), (LEFT + SIDE, BOTTOM + SIDE), (LEFT, BOTTOM + SIDE)]
    yield line(corners, FRAME, "grid", closed=True)
    for wanted, values, upright in zip(sweep.question.ranges, (xs, ys), (False, True), strict=True):
        per, unit = scale_of("_m", units) if wanted.is_length else (1.0, wanted.field.kind.unit)
        step = (values[-1] - values[0]) / max(len(values) - 1, 1) or 1.0
        start = BOTTOM if upright else LEFT
        for value in ticks(per * values[0], per * values[-1]):
            at = start + SIDE * ((value / per - values[0]) / step + 0.5) / len(values)
            spot = (LEFT - 1.5, at - SIZE * 0.36) if upright else (at, BOTTOM - SIZE * 1.5)
            yield Words(spot, f"{value:g}", SIZE, PENCIL, "dimensions", "end" if upright else "middle")
        name = f"{wanted.object}{f', {unit}' if unit else ''}"
        if upright:
            yield Words((5.0, BOTTOM + SIDE / 2), name, SIZE, INK, "names", "middle", 90.0)
        else:
            yield Words((LEFT + SIDE / 2, 4.0), name, SIZE, INK, "names", "middle")


def _key(letters: dict[str, str], reach: tuple[float, float], unit: str, top: float) -> Iterator[Item]:
    """What shades and letters mean, at the right."""
    left = LEFT + SIDE + 5.0
    for k, shade in enumerate(SHADES):
        low, high = (reach[0] + (reach[1] - reach[0]) * n / 5 for n in (k, k + 1))
        base = top - 5.0 * (k + 1)
        yield FilledArea((((left, base), (left + 6.0, base), (left + 6.0, base + 4.0), (left, base + 4.0)),), shade, FRAME, "key")
        yield Words((left + 8.0, base + 1.0), f"{low:.4g} to {high:.4g} {unit}", SIZE, INK, "key")
    base = top - 32.0
    yield Words((left, base), "Forbidden, by:", SIZE, ACCENT, "key", bold=True)
    for reason, letter in letters.items():
        for n, text in enumerate(_broken(f"{letter}  {reason}")):
            base -= 3.6
            yield Words((left + (4.0 if n else 0.0), base), text, SIZE, INK, "key")


def _broken(text: str) -> list[str]:
    import textwrap

    return textwrap.wrap(text, 42)[:4]
