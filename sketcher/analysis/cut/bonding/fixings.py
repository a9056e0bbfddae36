"""How panels are held to a hull that resin does not stick to: bolts through flats, and what these take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from sketcher.analysis.cut.results import Purchase, Seam
from sketcher.analysis.findings import Length, Phrase, Volume
from sketcher.model.scene import Scene

BOLTS = 0.150
"""[m] between bolts along flats (source `metal-fixing`)."""

_FLAT, _FLAT_THICKNESS, _BED = 0.050, 0.005, 0.003
"""[m] Width and thickness of a flat, and of the sealant that a board is bedded on it in (source `metal-fixing`)."""

_SPARE = 1.05
"""[1] Flats are bought this much longer: their ends are cut twice."""


def bolted_seams(scene: Scene, seams: Sequence[Seam]) -> list[Seam]:
    """Seams against hull and deck where panels are bolted to them."""
    return [seam for seam in seams if scene.hull.bolted and seam.to in ("hull", "deck")]


def taped_seams(scene: Scene, seams: Sequence[Seam]) -> list[Seam]:
    """Seams that are filleted and taped, or bedded on cleats: all others."""
    bolted = bolted_seams(scene, seams)
    return [seam for seam in seams if seam not in bolted]


def flats_length(scene: Scene, seams: Sequence[Seam]) -> float:
    """How long the edges are [m] that are bolted; each has a seam on both faces and one flat."""
    return sum(seam.length for seam in bolted_seams(scene, seams)) / 2


def fixing_purchases(scene: Scene, seams: Sequence[Seam]) -> Iterator[Purchase]:
    """Flats, bolts and sealant for the edges that are bolted; nothing for others."""
    length = flats_length(scene, seams)
    if length <= 0.0:
        return
    size = {"width": Length(_FLAT), "thickness": Length(_FLAT_THICKNESS)}
    flat = Phrase("flat-to-buy", {"material": scene.hull.made_of, **size})
    yield Purchase(item=flat, amount=Length(length * _SPARE), note=Phrase("for-flats"), source="metal-fixing")
    count = ceil(length / BOLTS - 1e-9)
    along = Phrase("bolts-along", {"spacing": Length(BOLTS), "aluminium": scene.hull.made_of == "aluminium"})
    yield Purchase(item=Phrase("bolts-to-buy"), amount=count, things="pieces", note=along, source="metal-fixing")
    bed = Volume(length * _FLAT * _BED * (1.0 + scene.bonding.waste))
    yield Purchase(item=Phrase("sealant-to-buy"), amount=bed, note=Phrase("between-boards-and-flats"), source="metal-fixing")
