"""What the colours in the picture mean: one key for the page, for what is taken away from it, and for files."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs import palette
from sketcher.outputs.contents_shapes import KEY_WORDS, ShapeKind, kinds_of
from sketcher.outputs.scene3d.contents_surfaces import COLOURS
from sketcher.outputs.scene3d.objects import Appearance
from sketcher.outputs.tinting import tint_words

WATERLINE_WIDTH, BEFORE_WIDTH = 2.6, 1.2
"""Pixels, as the lines are drawn."""
WORDS: dict[ShapeKind, str] = {"foam": "foam"}
"""What is called otherwise than in drawings, where it is drawn otherwise."""


@dataclass(frozen=True, slots=True)
class Key:
    """An entry: a patch of a colour `#rrggbb`, or a line of it as wide [pixels]."""

    words: str
    colour: str
    width: float | None = None


def tint_keys(evaluation: Evaluation, look: Appearance, flooded: Collection[str] = ()) -> list[Key]:
    """What the tints of the spaces mean that are shown; of those that water stands in the water is seen."""
    dry = {space.name for space in evaluation.layout.compartments if space.name not in flooded}
    return [Key(words, tint) for tint, words in tint_words(evaluation, look.tinted_by, dry)]


def picture_key(evaluation: Evaluation, look: Appearance, flooded: Collection[str] = (), *, holed: bool = False) -> list[Key]:
    """What else is drawn: water, cut edges, what is in her. flooded: the spaces that water stands in; holed: she lies so."""
    keys: list[Key] = []
    if flooded:
        keys.append(Key("flooded", palette.FLOODED))
    elif evaluation.water is not None and not holed:
        cut = look.cut.kind != "none"
        keys.append(Key("below the waterline", palette.WATER_BODY) if cut else Key("lined: below the water", palette.WATER, 0.7))
    if look.cut.kind != "none":
        keys += [Key("hull, cut", palette.SHELL_CUT)]
        keys += [Key("panel, cut", palette.PANEL_CUT)] if evaluation.layout.panels else []
    if any(berth.cushion for berth in evaluation.scene.berths):
        keys.append(Key("cushion", palette.UPHOLSTERY))
    if evaluation.scene.fittings:
        keys.append(Key("in the way", palette.PENCIL))
    if evaluation.contents is not None:
        shown = kinds_of(evaluation.contents)
        keys += [Key(WORDS.get(kind, words), COLOURS[kind]) for kind, words in KEY_WORDS.items() if kind in shown]
    if evaluation.water is not None:
        keys.append(Key("waterline when holed" if holed else "waterline", palette.WATER, WATERLINE_WIDTH))
    if holed:
        keys.append(Key("waterline before", palette.PENCIL, BEFORE_WIDTH))
    return keys
