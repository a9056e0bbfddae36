"""What the tints, the ruling and the outlines of a drawing mean, as rows of a swatch and its words."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from sketcher.outputs.drawing.recording import FilledArea, Item, LineStyle, Spot, Words, line
from sketcher.outputs.palette import FLOODED, INK, PENCIL, RELATION_WORDS, TINTS, WATER
from sketcher.outputs.wording.known_spaces import Relation

SWATCH = 1.9
"""Width of a swatch over its height."""
RULES = 3
"""Water lines drawn in the swatch that explains them."""
EDGE = LineStyle(PENCIL, 0.1)


def key_rows(relations: Collection[Relation], ruled: bool, flooded: bool) -> list[tuple[str | None, str]]:
    """What tints, and the ruling (None), mean. ruled, flooded: whether anything is so."""
    rows: list[tuple[str | None, str]] = [(TINTS[shown], RELATION_WORDS[shown]) for shown in TINTS if shown in relations]
    rows += [(FLOODED, "flooded")] if flooded else []
    return rows + ([(None, "lined: under the water")] if ruled else [])


def tint_key(
    rows: Sequence[tuple[str | None, str]],
    outlines: Mapping[str, LineStyle],
    at: Spot,
    size: float,
    lowest: float,
) -> list[Item]:
    """Rows beneath a spot [mm], a face of a size [mm]; those that would go below `lowest` are left out.

    rows: of `key_rows`; outlines: strokes by the words for what they go round.
    """
    items: list[Item] = []
    for number, (tint, words) in enumerate(rows):
        y = at[1] - number * size * 1.5
        if y >= lowest:
            items += _row((at[0], y), size, tint, words)
    for number, (words, stroke) in enumerate(outlines.items(), start=len(rows)):
        y = at[1] - number * size * 1.5
        if y >= lowest:
            items += _outlined((at[0], y), size, stroke, words)
    return items


def _outlined(at: Spot, size: float, stroke: LineStyle, words: str) -> Iterator[Item]:
    """A swatch with an edge of its own, and its words."""
    yield line(_corners(at, size), stroke, "names", closed=True)
    yield _beside(at, size, words)


def _corners(at: Spot, size: float) -> list[Spot]:
    (x, y), wide = at, size * SWATCH
    return [(x, y - size * 0.1), (x + wide, y - size * 0.1), (x + wide, y + size * 0.8), (x, y + size * 0.8)]


def _beside(at: Spot, size: float, words: str) -> Item:
    return Words((at[0] + size * (SWATCH + 0.6), at[1]), words, size, INK, "names")


def _row(at: Spot, size: float, tint: str | None, words: str) -> Iterator[Item]:
    """A swatch, ruled where it has no tint, and its words."""
    (x, y), wide = at, size * SWATCH
    yield FilledArea((tuple(_corners(at, size)),), tint, EDGE, "names")
    if tint is None:
        for k in range(1, RULES + 1):
            level = y - size * 0.1 + size * 0.9 * k / (RULES + 1)
            yield line([(x, level), (x + wide, level)], LineStyle(WATER, 0.1), "names")
    yield _beside(at, size, words)
