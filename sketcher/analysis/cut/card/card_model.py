"""A card model of a boat's hull and of all that stands in her, put together and checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from sketcher.analysis.cut.card.abutments import WAYS, Abutment, abutments
from sketcher.analysis.cut.card.card_panels import CardPanel, card_panels
from sketcher.analysis.cut.card.egg_crate import frames_between, spine, transom, with_ring
from sketcher.analysis.cut.card.fit_check import gaps, overlaps
from sketcher.analysis.cut.card.flaps import Assembly, flaps_on_face, flaps_on_hull
from sketcher.analysis.cut.card.gluing import in_order
from sketcher.analysis.cut.card.halved import halved_joints, in_halved
from sketcher.analysis.cut.card.into_place import blocked
from sketcher.analysis.cut.card.page_pieces import in_pieces, straps
from sketcher.analysis.cut.card.parts import CardMark, CardModel, CardPart, CardSeam, ModelScale, SeamKind
from sketcher.analysis.cut.card.plate_seams import glued_plates
from sketcher.analysis.cut.card.shell_strakes import mirrored_plate, shell_plates, with_landings
from sketcher.analysis.cut.card.solids import part_solid
from sketcher.analysis.cut.card.tabs import tab_way, tabbed
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout
from sketcher.geometry.mesh import Floats

FLAPPED = 6.0
"""[mm of paper] What flaps need beside a part on its page."""


def card_model(layout: Layout, of: ModelScale, room: tuple[float, float], form: HullForm | None = None) -> CardModel:
    """The parts of a model in the order they are glued, and what was measured of them.

    room [mm of paper]: what each part must lie in on its page. form: the hull by whose facets they are cut, the fine one where
    none is given. Raises GeometryError where the hull is not closed.
    """
    form = layout.hull.fine if form is None else form
    smaller = (room[0] - 2 * FLAPPED, room[1] - 2 * FLAPPED)
    found = shell_plates(form, of, smaller) if form.image is None else None
    end = transom(form, of, framed=found is None)
    panels = card_panels(layout, form, of, end, framed=found is None)
    flat = [panel.part for panel in panels] + ([end] if end is not None else [])
    if found is None:
        flat = [with_ring(part, form, of) for part in flat]
        rings = [part for part in flat if part.ring]
        flat = [spine(form, of), *rings, *frames_between(form, rings, of), *(part for part in flat if not part.ring)]
    crossed, seams = halved_joints(flat, of)
    changed, joined, slides, open_contacts = _joined(crossed, panels, seams, of)
    pieces, strapped = _on_pages(changed, of, smaller if found is not None else room)
    plates = [] if found is None else [each for strake in found[0] for plate in strake for each in (plate, mirrored_plate(plate))]
    plates = [replace(plate, marks=tuple(with_landings(plate, pieces))) for plate in plates]
    assembly = Assembly(of, {part.name: part for part in (*plates, *pieces, *(strap for strap, _ in strapped))})
    flapped = _flapped(assembly, pieces, panels, open_contacts)
    if plates:
        for part in pieces:
            flaps_on_hull(assembly, part.name, form)
        flapped += glued_plates(assembly, plates)
    _mark(assembly, [*seams, *joined, *flapped])
    all_seams = (*seams, *joined, *flapped, *(seam for _, seam in strapped))
    parts = in_order(tuple(assembly.parts.values()), all_seams)
    return CardModel(
        of=of,
        parts=parts,
        seams=all_seams,
        overlaps=overlaps(parts, assembly.solids, of),
        gaps=gaps(parts, all_seams, assembly.solids, form, of),
        miss=None if found is None else of.paper(found[1]),
        blocked=blocked(parts, assembly.solids, slides, of),
    )


Joined = tuple[dict[str, CardPart], list[CardSeam], dict[str, Floats], set[tuple[str, str]]]
"""Parts with tabs and slots by name, the seams, each part's slide, and the pairs of part and panel that are left to flaps."""


def _joined(crossed: dict[str, CardPart], panels: Sequence[CardPanel], halved: Sequence[CardSeam], of: ModelScale) -> Joined:
    """Give panels their tabs, but not those that with tabs do not reach their place."""
    without: frozenset[str] = frozenset()
    while True:
        found = _tabbed(dict(crossed), panels, halved, without, of)
        changed, seams, slides, _ = found
        solids = {name: part_solid(part, of.thickness) for name, part in changed.items()}
        stuck = blocked(in_order(tuple(changed.values()), (*halved, *seams)), solids, slides, of)
        again = {name for name, _ in stuck} & set(slides)
        if not again:
            return found
        without |= again


def _tabbed(
    changed: dict[str, CardPart], panels: Sequence[CardPanel], halved: Sequence[CardSeam], without: frozenset[str], of: ModelScale
) -> Joined:
    """Give panels their tabs, but those named."""
    many = in_halved(halved)
    seams: list[CardSeam] = []
    slides: dict[str, Floats] = {}
    left: set[tuple[str, str]] = set()
    for panel in panels:
        name = panel.part.name
        found = list(abutments(replace(panel, part=changed[name]), tuple(changed.values()), of))
        way = None if name in without else tab_way(changed[name], found, name in many, of)
        for contact in found:
            seam = tabbed(changed, contact, of) if contact.way(changed[name]) == way else None
            if seam is None:
                left.add((name, changed[contact.against].of))
            else:
                seams.append(seam)
                if way is not None and way != "down":
                    slides[name] = np.array(WAYS[way])
    left -= {(seam.part, changed[seam.against].of) for seam in seams}
    return changed, seams, slides, left


def _on_pages(
    changed: dict[str, CardPart], of: ModelScale, room: tuple[float, float]
) -> tuple[list[CardPart], list[tuple[CardPart, CardSeam]]]:
    """The flat parts in pieces that lie on a page, and the straps behind their joints."""
    pieces: list[CardPart] = []
    strapped: list[tuple[CardPart, CardSeam]] = []
    solids = {name: part_solid(part, of.thickness) for name, part in changed.items()}
    for name, part in changed.items():
        mine, cuts = in_pieces(part, of, room)
        pieces += mine
        others = [solid for other, solid in solids.items() if other != name]
        others += [part_solid(strap, of.thickness) for strap, _ in strapped]
        strapped += straps(part, mine, cuts, others, of)
    return pieces, strapped


def _flapped(
    assembly: Assembly, pieces: Sequence[CardPart], panels: Sequence[CardPanel], left: set[tuple[str, str]]
) -> list[CardSeam]:
    """Flaps along edges that end on a face and have no tabs there."""
    seams = []
    ends = {panel.part.name: panel for panel in panels}
    for piece in pieces:
        whole = piece.uncut
        if whole not in ends:
            continue
        own = replace(ends[whole], part=assembly.parts[piece.name])
        for contact in abutments(own, tuple(assembly.parts.values()), assembly.of):
            if (whole, assembly.parts[contact.against].of) in left:
                kind: SeamKind = "flap" if flaps_on_face(assembly, contact) else "edge"
                seams.append(_flap_seam(kind, contact, piece))
    return seams


def _mark(assembly: Assembly, seams: Sequence[CardSeam]) -> None:
    """Draw on each part where others stand on it or go through it."""
    for seam in seams:
        for name, other in ((seam.against, seam.part), (seam.part, seam.against)):
            if seam.kind == "strakes" or (seam.kind != "halved" and name == seam.part):
                continue
            for piece in [part for part in assembly.parts.values() if name in (part.name, part.uncut) and part.kind != "strap"]:
                line = shapely.intersection(shapely.LineString(piece.frame.flat(seam.line[[0, -1]])), piece.outline.buffer(1e-4))
                if not line.is_empty:
                    mark = CardMark(line=shapely.get_coordinates(line)[[0, -1]], name=other)
                    assembly.parts[piece.name] = replace(piece, marks=(*piece.marks, mark))


def _flap_seam(kind: SeamKind, contact: Abutment, piece: CardPart) -> CardSeam:
    shares = np.linspace(0.0, 1.0, 9)[:, None]
    line = piece.frame.space(contact.start * (1.0 - shares) + contact.end * shares)
    return CardSeam(kind=kind, part=contact.part, against=contact.against, line=line)
