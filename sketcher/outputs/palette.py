"""Colours of paper, page and pictures: few, told apart by colour-blind eyes, and by their lightness when printed in grey.

Nothing is told by a tint alone: what lies below the water is ruled with water lines as well, and the word stands beside it.
"""

from __future__ import annotations

from sketcher.outputs.wording.known_spaces import Relation

PAPER = "#fbfaf6"
INK = "#1d2730"
PENCIL = "#55606a"
FAINT = "#b9bdbb"
SECTION = "#8d9a98"
WATER = "#1f6289"
ACCENT = "#a83a1a"
TIMBER = "#b08a5b"
TIMBER_EDGE = "#5d4527"
CUSHION = "#8d5a7d"
UPHOLSTERY = "#e9dcc8"
BOTTLE = "#3d7d6d"
BESIDE = "#9c1f86"
FOAM = "#8a7a2c"
SHELL_CUT = "#5b6470"
PANEL_CUT = "#8a5f2e"
"""What shell and panels are filled with where they are cut."""

TINTS: dict[Relation, str] = {"below": "#6a9cc6", "crosses": "#a5cdb4", "above": "#f5e2ae", "unknown": "#d9d7d0"}
"""A compartment's tint by its relation to the water, dark to light from the keel up."""

SPACE_TINTS = ("#cbebc6", "#f5c3e1", "#e8dea4", "#d0c5fd", "#c0b77f", "#95b390", "#c898b5")
"""For spaces told apart by nothing but their names; of more spaces those that touch differ."""

USE_TINTS: dict[str, str] = {
    "accommodation": "#ebe1a3",
    "stowage": "#c7bf92",
    "void": "#c7e9c2",
    "bottles": "#a3e0fe",
    "foam": "#d3aea4",
    "chain": "#a9aebc",
    "tank": "#a6bef8",
    "machinery": "#a49196",
    "gas": "#7e9e7a",
    "battery": "#b98a5f",
}
"""A compartment's tint by what it is for, where that is stated."""

FLOODED = "#2f74a3"
"""Water standing in a holed space; drawn whole where the tints are only ruled."""

WATER_SURFACE, WATER_BODY = "#8cc7ec", "#3a93d0"
"""The surface of water inside her, lighter than what it wets, so that its level is seen; and its body at a cut."""

RELATION_WORDS: dict[Relation, str] = {
    "below": "below the water",
    "crosses": "crosses the waterline",
    "above": "above the water",
    "unknown": "relation to the water not known",
}


def shade(colour: str) -> tuple[int, int, int]:
    """Red, green and blue of `#rrggbb` in bytes."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def channels(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of `#rrggbb`, each 0 to 1."""
    return int(colour[1:3], 16) / 255, int(colour[3:5], 16) / 255, int(colour[5:7], 16) / 255
