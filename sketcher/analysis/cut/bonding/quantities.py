"""What bonding a layout takes: seams, tapes, resin, filler, mixes that fit the pot life, and what to buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Literal

import shapely

from sketcher.analysis.cut.berth_boards import LEDGE
from sketcher.analysis.cut.bonding.cleats import Cleat, cleats_for
from sketcher.analysis.cut.bonding.fixings import fixing_purchases, flats_length, taped_seams
from sketcher.analysis.cut.bonding.rules import (
    EPOXY_DENSITY,
    PUTTY_FILLER,
    PUTTY_RESIN,
    epoxy_for_cloth,
    epoxy_for_coats,
    pot_life,
)
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.results import Batch, BondingList, Pattern, Purchase, Seam, StringerPattern, Tape
from sketcher.analysis.findings import Length, Mass, Phrase, Volume
from sketcher.analysis.results import Layout
from sketcher.model.cutting import Bonding

Purpose = Literal["fillets", "cloth", "coats"]
_RATES: dict[Purpose, float] = {"fillets": 0.10e-3 / 60, "cloth": 0.06e-3 / 60, "coats": 0.06e-3 / 60}
"""[m3/s] How fast one person works a mix in (source `working-rate`)."""

_USED_BY = 0.75
"""[1] A mix is to be worked in by this share of its pot life: the rest is for a slip."""

_BED = 0.003
"""[m] of putty under an edge that is bedded on a cleat: what presses out fills the corner (source `putty`)."""

_SPARE = 1.05
"""[1] Timber and foam strip are bought this much longer: their ends are cut twice."""

_SAWN_FROM = 4 * LEDGE
"""[m] Width of the board that a cleat is sawn from to the hull's curve, in short lengths (our own choice)."""


def bonding_list(
    layout: Layout, patterns: Sequence[Pattern], stringers: Sequence[StringerPattern], all_seams: tuple[Seam, ...] | None = None
) -> BondingList | None:
    """The bonding of every planned panel; None where none is planned. all_seams: of it, where it is known what can be reached."""
    boards = [pattern for pattern in patterns if pattern.kind != "butt strap"]
    if not boards:
        return None
    how, all_seams = layout.scene.bonding, seams(layout) if all_seams is None else all_seams
    taped = taped_seams(layout.scene, all_seams)
    length = sum(seam.reached for seam in taped)
    bedded = sum(seam.length - seam.reached for seam in taped)
    fillets = sum(seam.fillet * seam.reached / seam.length for seam in taped)
    putty = (fillets + bedded * LEDGE * _BED) * (1.0 + how.waste)
    tapes = _tapes(how, length)
    cloth = sum(tape.area for tape in tapes)
    coated = sum(_bare(board) for board in boards) + (max(tape.area for tape in tapes) if tapes else 0.0)
    net = cloth / (1.0 + how.waste)
    for_fillets = putty * PUTTY_RESIN
    for_cloth = epoxy_for_cloth(net, how.cloth, how.kind, how.waste)
    for_coats = epoxy_for_coats(coated, how.coats, how.waste)
    resin = for_fillets + for_cloth + for_coats
    filler = for_fillets * EPOXY_DENSITY * PUTTY_FILLER
    amounts: dict[Purpose, float] = {"fillets": putty, "cloth": for_cloth, "coats": for_coats}
    return BondingList(
        seams=all_seams,
        seam_length=length,
        bedded=bedded,
        bolted=flats_length(layout.scene, all_seams),
        cleats=sum(cleat.length for cleat in cleats_for(layout.scene, taped)),
        fillet_radius=how.fillet,
        fillet_volume=putty,
        tapes=tapes,
        cloth_area=cloth,
        cloth_mass=cloth * how.cloth,
        coated_area=coated,
        resin_for_fillets=for_fillets,
        resin_for_cloth=for_cloth,
        resin_for_coats=for_coats,
        resin_volume=resin,
        resin_mass=resin * EPOXY_DENSITY,
        filler_mass=filler,
        waste=how.waste,
        temperature=how.temperature,
        batches=tuple(batch for purpose, total in amounts.items() if (batch := _batch(how, purpose, total)) is not None),
        purchases=tuple(_purchases(layout, how, all_seams, tapes, resin, filler, stringers)),
        sources=(
            "fillet-volume",
            "tabbing",
            "epoxy-for-cloth",
            "mat-resin",
            "mixed-epoxy",
            "putty",
            "pot-life",
            "cure",
            "working-rate",
        ),
    )


def _tapes(how: Bonding, length: float) -> tuple[Tape, ...]:
    """Layers from the innermost out, each wider than the one under it, so that not all end on one line.

    None where no seam is reached.
    """
    if length <= 0.0:
        return ()
    return tuple(
        Tape(
            layer=k + 1,
            width=2.0 * (how.first + k * how.step),
            weight=how.cloth,
            length=length * (1.0 + how.waste),
            area=2.0 * (how.first + k * how.step) * length * (1.0 + how.waste),
        )
        for k in range(how.layers)
    )


def _bare(board: Pattern) -> float:
    """Faces and edges of a board [m2]."""
    edges = float(shapely.length(shapely.boundary(board.outline))) * board.thickness
    return float(board.outline.area + board.other_outline.area) + edges


def _batch(how: Bonding, purpose: Purpose, total: float) -> Batch | None:
    """Mixes no larger than stays cool and than is worked in before it goes off."""
    if total <= 0.0:
        return None
    life = pot_life(how.temperature, how.hardener)
    count = max(1, ceil(total / min(how.batch, _RATES[purpose] * life * _USED_BY) - 1e-9))
    return Batch(purpose=purpose, count=count, each=total / count, total=total, pot_life=life)


def _purchases(
    layout: Layout,
    how: Bonding,
    all_seams: tuple[Seam, ...],
    tapes: tuple[Tape, ...],
    resin: float,
    filler: float,
    stringers: Sequence[StringerPattern],
) -> Iterator[Purchase]:
    yield Purchase(
        item=Phrase("mixed-epoxy"),
        amount=Volume(resin),
        note=Phrase("epoxy-with-hardener", {"mass": Mass(resin * EPOXY_DENSITY), "hardener": how.hardener}),
        source="epoxy-for-cloth",
    )
    yield Purchase(item=Phrase("fillet-filler"), amount=Mass(filler), note=Phrase("by-makers-figures"), source="putty")
    for tape in tapes:
        yield Purchase(
            item=Phrase("tape-to-buy", {"kind": how.kind, "width": Length(tape.width)}),
            amount=Length(tape.length),
            note=Phrase("cloth-layer", {"grams_per_square_metre": how.cloth * 1000, "layer": tape.layer}),
            source="tabbing",
        )
    gap = layout.scene.cutting.gap
    if gap > 0.0:
        # Each edge has a seam on both faces and one strip between them.
        strip = sum(seam.length for seam in all_seams if seam.to in ("hull", "deck")) / 2
        if strip > 0.0:
            item = Phrase("foam-strip", {"thickness": Length(gap)})
            yield Purchase(item=item, amount=Length(strip * _SPARE), note=Phrase("between-panels-and-hull"))
    sections: dict[tuple[float, float], float] = {}
    for stringer in stringers:
        sections[(stringer.width, stringer.depth)] = sections.get((stringer.width, stringer.depth), 0.0) + stringer.length
    for (width, depth), length in sections.items():
        yield _timber(width, depth, length, Phrase("for-stringers"))
    yield from _cleat_timber(cleats_for(layout.scene, taped_seams(layout.scene, all_seams)))
    yield from fixing_purchases(layout.scene, all_seams)


def _cleat_timber(cleats: Sequence[Cleat]) -> Iterator[Purchase]:
    """Timber for cleats: straight and gently bent ones as they are, sharply bent ones of strips, or sawn from something wider."""
    for strips in dict.fromkeys(cleat.strips for cleat in cleats):
        mine = [cleat for cleat in cleats if cleat.strips == strips]
        length = sum(cleat.length for cleat in mine) * (strips or 1)
        if strips is None:
            yield _timber(_SAWN_FROM, LEDGE, length, Phrase("for-sawn-cleats"), "cold-bend")
        elif strips == 1:
            yield _timber(LEDGE, LEDGE, length, Phrase("for-cleats"))
        else:
            yield _timber(LEDGE, mine[0].strip, length, Phrase("for-glued-cleats", {"strips": strips}), "cold-bend")


def _timber(width: float, depth: float, length: float, note: Phrase, source: str | None = None) -> Purchase:
    item = Phrase("timber-to-buy", {"width": Length(width), "depth": Length(depth)})
    return Purchase(item=item, amount=Length(length * _SPARE), note=note, source=source)
