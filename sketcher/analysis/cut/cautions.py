"""What to mind before each step of the work, by what is done in it and what the spaces it closes are for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.cut.bonding.fixings import taped_seams
from sketcher.analysis.cut.results import Seam
from sketcher.analysis.findings import Length, Phrase
from sketcher.analysis.hazards import foam_unlisted, foamed, stored
from sketcher.analysis.results import Layout, PanelShape

_SHORT = 0.050
"""[m] A seam out of reach that is no longer than this is closed with a wet brush all the same."""

RESIN = (Phrase("mind-resin"), Phrase("mind-amine-film"))
CLOSED_SPACE = Phrase("mind-closed-space")
FOAM = Phrase("mind-foam")
FOAM_FIRE = Phrase("mind-foam-fire")
AIR = Phrase("mind-air-test")
DESIGNER = Phrase("mind-designer")


def out_of_reach(seams: Sequence[Seam]) -> float:
    """How much of a panel's seams [m] nobody reaches once it is in; 0 where that is too short to matter."""
    lost = sum(seam.length - seam.reached for seam in seams)
    return lost if lost >= _SHORT else 0.0


def cautions_before(layout: Layout) -> tuple[Phrase, ...]:
    """What to mind before her skin is stripped, by what she is built of and what is kept aboard."""
    material = layout.scene.hull.made_of
    hot = (Phrase("mind-hot-work"),) if material in ("steel", "aluminium") else ()
    kept = tuple(dict.fromkeys(what for space in layout.compartments for what in stored(space, layout.scene)))
    ashore = (Phrase("mind-what-explodes", {"kept": kept}),) if kept else ()
    return (Phrase("mind-dust", {"material": material}), CLOSED_SPACE, *hot, *ashore)


def cautions_of(layout: Layout, shape: PanelShape, closes: Sequence[str], seams: Sequence[Seam]) -> tuple[Phrase, ...]:
    """What to mind before a panel goes in that closes these spaces."""
    return (*RESIN, *_one_face(shape, taped_seams(layout.scene, seams)), *_foam(layout, closes))


def _one_face(shape: PanelShape, seams: Sequence[Seam]) -> Iterator[Phrase]:
    """A tight wall of which some edge is taped on one face only."""
    lost = out_of_reach(seams)
    if lost and shape.panel.watertight and shape.kind != "lid":
        yield Phrase("mind-one-face", {"panel": shape.name, "length": Length(lost)})


def _foam(layout: Layout, closes: Sequence[str]) -> Iterator[Phrase]:
    """Of foam that is poured, or may be; and of fire, wherever there is foam."""
    unlisted = {space.name for space in foam_unlisted(layout)}
    if unlisted & set(closes) or any(foam.space in closes and foam.form == "poured" for foam in layout.scene.foams):
        yield FOAM
    if any(space.name in closes for space in foamed(layout)):
        yield FOAM_FIRE
