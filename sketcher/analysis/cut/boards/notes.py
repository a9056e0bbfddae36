"""What is to be known of a board before it is sawn: gaps taken off, notches, and openings that it is not given."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.cut.cutouts import left_unsawn
from sketcher.analysis.cut.outlines import OPEN
from sketcher.analysis.cut.results import Bevel, Cutout
from sketcher.analysis.findings import Length, Phrase
from sketcher.model.cutting import Cutting
from sketcher.model.scene import Scene


def notes_of(cutting: Cutting, bevels: Sequence[Bevel], cutouts: Sequence[Cutout]) -> Iterator[Phrase]:
    """Notes on a board's edge: what was taken off it already, where it ends unmeasured, its notches."""
    shell = tuple(dict.fromkeys(bevel.against for bevel in bevels if bevel.edge in ("hull", "deck"))) if cutting.gap else ()
    between = cutting.panel_gap if any(bevel.edge == "panel" for bevel in bevels) else 0.0
    if shell or between:
        panel_gap = Length(between) if between else None
        yield Phrase("gaps-taken-off", {"gap": Length(cutting.gap), "shell": shell, "panel_gap": panel_gap})
    if any(bevel.against == OPEN for bevel in bevels):
        yield Phrase("ends-where-measured")
    for cutout in cutouts:
        if cutout.kind == "notch":
            yield Phrase("notch-for", {"stringer": cutout.name, "radius": Length(cutout.radius)})


def unsawn_notes(scene: Scene, panel: str) -> Iterator[Phrase]:
    """A note on each opening that the board is not given."""
    for opening in left_unsawn(scene, panel):
        yield Phrase("opening-not-sawn", {"opening": opening.name, "old": opening.built == "already"})
