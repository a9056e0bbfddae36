"""What bonding a layout takes: seams, tapes, resin, filler, mixes that fit the pot life, and what to buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Literal

from sketcher.analysis.cut.berth_boards import LEDGE, infill_ledges, ledges_of
from sketcher.analysis.cut.bonding.cleats import Cleat, cleats_for
from sketcher.analysis.cut.bonding.consumables import consumables
from sketcher.analysis.cut.bonding.fixings import fixing_purchases, flats_length, taped_seams
from sketcher.analysis.cut.bonding.glue import bare_faces, glue_volume
from sketcher.analysis.cut.bonding.rules import (
    EPOXY_DENSITY,
    PUTTY_FILLER,
    PUTTY_RESIN,
    epoxy_for_cloth,
    epoxy_for_coats,
    pot_life,
)
from sketcher.analysis.cut.bonding.screws import screwed_joints
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.results import (
    Batch,
    BondingList,
    Joint,
    LayUp,
    Pattern,
    Purchase,
    Seam,
    StringerPattern,
    Support,
    Tape,
)
from sketcher.analysis.findings import Length, Mass, Phrase, Volume
from sketcher.analysis.results import Layout
from sketcher.model.cutting import Bonding

Purpose = Literal["fillets", "glue", "cloth", "coats"]
_PUTTY, _RESIN = 0.10e-3 / 60, 0.06e-3 / 60
_RATES: dict[Purpose, float] = {"fillets": _PUTTY, "glue": _PUTTY, "cloth": _RESIN, "coats": _RESIN}
"""[m3/s] How fast one person works a mix in (source `working-rate`)."""

_USED_BY = 0.75
"""[1] A mix is to be worked in by this share of its pot life: the rest is for a slip."""

_SPARE = 1.05
"""[1] Timber and foam strip are bought this much longer: their ends are cut twice."""

_SAWN_FROM = 4 * LEDGE
"""[m] Width of the board that a cleat is sawn from to the hull's curve, in short lengths (our own choice)."""


def bonding_list(
    layout: Layout,
    patterns: Sequence[Pattern],
    stringers: Sequence[StringerPattern],
    all_seams: tuple[Seam, ...] | None = None,
    joints: Sequence[Joint] = (),
    supports: Sequence[Support] = (),
) -> BondingList | None:
    """The bonding of every planned panel; None where none is planned. all_seams: of it, where it is known what can be reached."""
    if all(pattern.kind == "butt strap" for pattern in patterns):
        return None
    scene, all_seams = layout.scene, seams(layout) if all_seams is None else all_seams
    how, taped = scene.bonding, taped_seams(scene, all_seams)
    cleats = cleats_for(scene, taped)
    whole = _lay_up(how, "", taped)
    tapes = _tapes(how, whole.seam_length)
    cloth = sum(tape.area for tape in tapes)
    glue = glue_volume(scene, patterns, stringers, cleats, joints, supports) * (1.0 + how.waste)
    faces, edges = bare_faces(patterns, stringers, cleats, supports)
    under_tape = max(tape.area for tape in tapes) if tapes else 0.0
    coated = faces + edges + under_tape
    for_fillets, for_glue = whole.putty * PUTTY_RESIN, glue * PUTTY_RESIN
    # Sawn edges take what they are coated with a second time (source `edge-sealing`).
    for_coats = epoxy_for_coats(coated + edges, how.coats, how.waste)
    resin = for_fillets + for_glue + whole.resin_for_cloth + for_coats
    filler = (for_fillets + for_glue) * EPOXY_DENSITY * PUTTY_FILLER
    amounts: dict[Purpose, float] = {
        "fillets": whole.putty,
        "glue": glue,
        "cloth": whole.resin_for_cloth,
        "coats": for_coats,
    }
    batches = tuple(batch for purpose, total in amounts.items() if (batch := _batch(how, purpose, total)) is not None)
    return BondingList(
        seams=all_seams,
        seam_length=whole.seam_length,
        bedded=whole.bedded,
        bolted=flats_length(layout.scene, all_seams),
        cleats=sum(cleat.length for cleat in cleats),
        fillet_radius=how.fillet,
        fillet_volume=whole.putty,
        tapes=tapes,
        cloth_area=cloth,
        cloth_mass=cloth * how.cloth,
        coated_area=coated,
        edge_area=edges,
        glue_volume=glue,
        resin_for_glue=for_glue,
        resin_for_fillets=for_fillets,
        resin_for_cloth=whole.resin_for_cloth,
        resin_for_coats=for_coats,
        resin_volume=resin,
        resin_mass=resin * EPOXY_DENSITY,
        filler_mass=filler,
        waste=how.waste,
        temperature=how.temperature,
        batches=batches,
        lay_ups=_by_panel(how, taped),
        screws=screwed_joints(scene, patterns, stringers, cleats, supports),
        purchases=(
            *_purchases(layout, how, all_seams, tapes, resin, filler, stringers),
            *_ledge_timber(patterns),
            *_support_timber(supports),
            *consumables(batches, under_tape, coated),
        ),
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
            "glue-line",
            "edge-sealing",
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


def _lay_up(how: Bonding, panel: str, taped: Sequence[Seam]) -> LayUp:
    """What these seams take, of the panel of this name."""
    tapes = _tapes(how, sum(seam.reached for seam in taped))
    cloth = sum(tape.area for tape in tapes)
    return LayUp(
        panel=panel,
        seam_length=sum(seam.reached for seam in taped),
        bedded=sum(seam.length - seam.reached for seam in taped),
        tapes=tuple(tape.length for tape in tapes),
        cloth_area=cloth,
        putty=sum(seam.fillet * seam.reached / seam.length for seam in taped) * (1.0 + how.waste),
        resin_for_cloth=epoxy_for_cloth(cloth / (1.0 + how.waste), how.cloth, how.kind, how.waste),
    )


def _by_panel(how: Bonding, taped: Sequence[Seam]) -> tuple[LayUp, ...]:
    """The same panel by panel, in the order of the scene."""
    of_panel: dict[str, list[Seam]] = {}
    for seam in taped:
        of_panel.setdefault(seam.panel.split(", ")[0], []).append(seam)
    return tuple(_lay_up(how, panel, mine) for panel, mine in of_panel.items())


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
    yield from _stringer_timber(stringers)
    yield from _cleat_timber(cleats_for(layout.scene, taped_seams(layout.scene, all_seams)))
    yield from fixing_purchases(layout.scene, all_seams)


def _stringer_timber(stringers: Sequence[StringerPattern]) -> Iterator[Purchase]:
    """Timber for stringers by its section: as wide as their backs are planed from, in strips where they do not bend cold."""
    sections: dict[tuple[float, float], float] = {}
    for each in stringers:
        wide = each.stock if each.strips is not None else each.curve_depth + each.stock
        size = ceil(wide / (each.strips or 1) * 1000.0 - 1e-6) / 1000.0, each.depth
        sections[size] = sections.get(size, 0.0) + each.length * (each.strips or 1)
    for (width, depth), length in sections.items():
        yield _timber(width, depth, length, Phrase("for-stringers"))


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


def _support_timber(supports: Sequence[Support]) -> Iterator[Purchase]:
    """Timber for supports under lids, by its section."""
    for width, depth in dict.fromkeys((each.width, each.depth) for each in supports):
        length = sum(each.length for each in supports if (each.width, each.depth) == (width, depth))
        yield _timber(width, depth, length, Phrase("for-supports"), "lid-bearers")


def _ledge_timber(patterns: Sequence[Pattern]) -> Iterator[Purchase]:
    length = sum(ledge for _, ledge in ledges_of(patterns))
    if length > 0.0:
        yield _timber(LEDGE, LEDGE, length, Phrase("for-ledges"))
    under_infill = sum(ledge for _, ledge in infill_ledges(patterns))
    if under_infill > 0.0:
        yield _timber(2.0 * LEDGE, LEDGE, under_infill, Phrase("for-ledges"))


def _timber(width: float, depth: float, length: float, note: Phrase, source: str | None = None) -> Purchase:
    item = Phrase("timber-to-buy", {"width": Length(width), "depth": Length(depth)})
    return Purchase(item=item, amount=Length(length * _SPARE), note=note, source=source)
