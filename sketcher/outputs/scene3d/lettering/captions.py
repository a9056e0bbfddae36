"""What is written beside each compartment in a picture, and how large it is."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from dataclasses import dataclass, replace

from sketcher.model.scene import Fitting
from sketcher.outputs.palette import FLOODED, PENCIL
from sketcher.outputs.wording.known_spaces import KnownSpace, relation
from sketcher.outputs.wording.quantities import length, litres, share

NAME_LETTERS = 24
"""Letters of a name in one line; longer names take more lines."""
OPEN_LETTERS = 34

NAME_SIZE, FIGURE_SIZE = 19, 17
LINE = 1.32
"""Distance between lines over the height of the lettering."""
INSET, BAND, GAUGE = 9, 9, 14
"""Pixels: paper round the words, width of the tinted band, width of the gauge."""


@dataclass(frozen=True, slots=True)
class Caption:
    """name: its lines; figures: litres and relation to the water; remark: what it is open to; filled: share below the water.

    tint: of what it names in the picture. thing: it is no space, but something in the way, of which nothing stands in water.
    """

    name: tuple[str, ...]
    figures: str
    remark: str
    tint: str
    filled: float | None
    thing: bool = False

    @property
    def height(self) -> float:
        """Of the label's box [pixels]."""
        small = FIGURE_SIZE * LINE * (2 if self.remark else 1)
        return 2 * INSET + NAME_SIZE * LINE * len(self.name) + small


def amount(known: KnownSpace) -> str:
    """A compartment's litres; of one that runs on past what was measured, the least."""
    return f"{litres(known.volume)} L" if known.volume is not None else f"over {litres(known.at_least)} L"


def caption(known: KnownSpace, tint: str) -> Caption:
    """The words for one compartment; the relation to the water stands in words, since a print may be grey."""
    volume, below = known.volume, known.below
    words = {
        "below": "below the water",
        "above": "above the water",
        "crosses": f"{share(below, volume)} below water" if below is not None else "crosses the waterline",
        "unknown": "water not known",
    }[relation(known)]
    others = known.space.open_to
    remark = textwrap.shorten(f"open to {', '.join(others)}", OPEN_LETTERS, placeholder=" ...") if others else ""
    if not remark and not known.space.watertight:
        remark = "not tight"
    filled = None if below is None or not volume else min(max(below / volume, 0.0), 1.0)
    return Caption(tuple(textwrap.wrap(known.name, NAME_LETTERS)) or ("",), f"{amount(known)}, {words}", remark, tint, filled)


def flooded_caption(known: KnownSpace, water: float, holed: bool) -> Caption:
    """The words for a space that water stands in [m3], holed itself or filled from another."""
    dry = caption(known, FLOODED)
    figures = f"{litres(known.volume)} L, {litres(water)} L of water in it"
    return replace(dry, figures=figures, remark="holed" if holed else "filled from beside")


def fitting_caption(fitting: Fitting, unit: str) -> Caption:
    """The words for a thing in the way: its name and its size."""
    size = " x ".join(length(side, unit) for side in fitting.size)
    name = tuple(textwrap.wrap(fitting.name, NAME_LETTERS)) or ("",)
    return Caption(name, size if unit == "ft" else f"{size} {unit}", "", PENCIL, None, thing=True)


def width(text: Caption, measure: Callable[[str, bool], float]) -> float:
    """Of the label's box [pixels]; measure: width of a text, bold or not, in the lettering used."""
    lines = [measure(line, True) for line in text.name] + [measure(line, False) for line in (text.figures, text.remark)]
    return BAND + (2 * INSET if text.thing else GAUGE + 3 * INSET) + max(lines)
