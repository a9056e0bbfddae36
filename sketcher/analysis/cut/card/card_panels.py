"""Panels and berths' boards as flat parts of card: in the middle of their thickness, going on to the card of what they end on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.cut.berth_boards import boards_of_berths
from sketcher.analysis.cut.card.parts import CardKind, CardMark, CardPart, ModelScale
from sketcher.analysis.cut.outlines import clip_lines
from sketcher.analysis.cut.panel_patterns import face_frame
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout, PanelFace, PanelPiece, PanelShape
from sketcher.analysis.spaces.boolean_cuts import runs_through
from sketcher.analysis.spaces.leaks.opening_shapes import centre_on, opening_frame, outline
from sketcher.analysis.spaces.panel_limits import limits_of
from sketcher.analysis.spaces.panel_solids import BEYOND, MIDDLE
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Scene

TRANSOM = "transom"

LEAST_PART = 40.0
"""[mm2 of paper] Pieces smaller than a fingernail are left out."""

LEAST_OPENING = 4.0
"""[mm of paper] Narrower holes are drawn, not cut."""

NEAR_ENOUGH = 0.025
"""[m] An edge that stops no further short of a panel beside it goes on to it in card."""

_ALONG = -0.999
"""[1] Cosine between an edge and a face that it ends on."""

SMOOTHED = 0.02
"""[mm of paper] Points of an outline that stand off by less are left out."""


@dataclass(frozen=True, eq=False)
class CardPanel:
    """A part of a panel. piece: its planes in card; ends: what it ends on, by name, with the face it meets, normal out of it."""

    part: CardPart
    piece: PanelPiece
    ends: tuple[tuple[str, Plane], ...]


def card_panels(
    layout: Layout, form: HullForm, of: ModelScale, end: CardPart | None = None, *, framed: bool = True
) -> tuple[CardPanel, ...]:
    """Every panel that stands or is planned, and boards of berths of their own, as parts of card.

    end: the transom, if any; framed: whether a frame about the hull will surround each bulkhead.
    """
    boards = boards_of_berths(layout)
    shapes = (*layout.panels, *boards.values())
    pieces = {shape.name: tuple(_in_card(piece, shape, of, end) for piece in shape.convex) for shape in shapes}
    names = {shape.name: berth for berth, shape in boards.items()}
    found: list[CardPanel] = []
    for number, shape in enumerate(shapes):
        mine = [
            part for piece in pieces[shape.name] for part in _parts(layout.scene, form, shapes, number, piece, pieces, of, framed)
        ]
        found += _named(mine, names.get(shape.name))
    return tuple(found)


def _named(found: Sequence[CardPanel], berth: str | None) -> Iterator[CardPanel]:
    """Parts of one panel, the largest first, with names that tell them apart."""
    for k, each in enumerate(sorted(found, key=lambda each: -each.part.outline.area), 1):
        own = berth or each.part.of
        name = own if len(found) == 1 else f"{own}, {k}"
        kind: CardKind = "berth" if berth else each.part.kind
        yield replace(each, part=replace(each.part, name=name, of=own, kind=kind))


def _in_card(piece: PanelPiece, shape: PanelShape, of: ModelScale, end: CardPart | None) -> PanelPiece:
    """A piece of a panel as thick as the card, in its middle, which ends at the transom's card if not before."""
    inward = -(shape.panel.thickness - of.thickness) / 2
    front, back = (PanelFace(face.name, face.plane.moved(inward)) for face in (piece.front, piece.back))
    if end is None or shape.kind == "bulkhead":
        return PanelPiece(front, back, piece.edges)
    # The transom's card looks forward.
    return PanelPiece(front, back, (*piece.edges, PanelFace(TRANSOM, end.frame.plane.moved(of.thickness / 2).flipped)))


def _parts(
    scene: Scene,
    form: HullForm,
    shapes: Sequence[PanelShape],
    number: int,
    piece: PanelPiece,
    pieces: Mapping[str, tuple[PanelPiece, ...]],
    of: ModelScale,
    framed: bool,
) -> Iterator[CardPanel]:
    """The separate parts that one piece of a panel makes."""
    shape = shapes[number]
    piece, ends = _going_on(shape, piece, pieces, shapes)
    frame = face_frame(shape.kind, piece.front.plane.moved(-of.thickness / 2))
    # Upright panels that cross are halved; lids are parted by all that runs through them.
    through = (
        [] if shape.kind != "lid" else [each for other in runs_through(tuple(shapes), number) for each in pieces[other.name]]
    )
    tied = {name for name, _ in ends}
    cutting = [each for each in through if not clip_lines(each, frame, thick=True).is_empty]
    names = {id(each): other.name for other in shapes for each in pieces[other.name]}
    ends += [
        (names[id(each)], face.plane.flipped)
        for each in cutting
        for face in (each.front, each.back)
        if names[id(each)] not in tied
    ]
    area = common_area(form, frame, of, piece, cutting, framed=framed and shape.kind == "bulkhead")
    holes, marks = _openings(scene, shape, frame, of)
    for part in polygons(shapely.difference(area, shapely.union_all(holes))):
        if of.paper(1.0) ** 2 * part.area >= LEAST_PART:
            there = tuple(mark for mark in marks if part.contains(shapely.LineString(mark.line)))
            flat = CardPart(name=shape.name, kind=shape.kind, frame=frame, outline=part, of=shape.name, marks=there)
            yield CardPanel(flat, piece, tuple(ends))


def _going_on(
    shape: PanelShape, piece: PanelPiece, pieces: Mapping[str, tuple[PanelPiece, ...]], shapes: Sequence[PanelShape]
) -> tuple[PanelPiece, list[tuple[str, Plane]]]:
    """A piece whose edges go on to the card of what they end on, or nearly end on; and these with the faces met."""
    limits = limits_of(shape.panel)
    kinds = {each.name: each.kind for each in shapes}
    edges: list[PanelFace] = []
    ends: list[tuple[str, Plane]] = []
    for name, plane in piece.edges:
        if name == TRANSOM:
            ends.append((TRANSOM, plane))
            edges.append(PanelFace(name, plane))
            continue
        limit = limits.get(name)
        others = [limit] if isinstance(limit, str) and limit in pieces else []
        if not others and name not in (BEYOND, MIDDLE):
            others = [each for each in pieces if each != shape.name and kinds[each] != shape.kind]
        met = _face_beyond(plane, others, pieces, shapes)
        if met is not None:
            ends.append(met)
            plane = met[1]
        edges.append(PanelFace(name, plane))
    return PanelPiece(piece.front, piece.back, tuple(edges)), ends


def _face_beyond(
    edge: Plane, others: Sequence[str], pieces: Mapping[str, tuple[PanelPiece, ...]], shapes: Sequence[PanelShape]
) -> tuple[str, Plane] | None:
    """The nearest face in card that an edge ends on, or stops short of, turned as the edge is."""
    thick = {shape.name: shape.panel.thickness for shape in shapes}
    best: tuple[float, str, Plane] | None = None
    for name in others:
        for piece in pieces[name]:
            for face in (piece.front.plane, piece.back.plane):
                off = float(face.flipped.distance - edge.distance)
                if (
                    face.normal @ edge.normal < _ALONG
                    and abs(off) < NEAR_ENOUGH + thick[name]
                    and (best is None or abs(off) < best[0])
                ):
                    best = (abs(off), name, face.flipped)
    return None if best is None else best[1:]


def common_area(
    form: HullForm,
    frame: Frame,
    of: ModelScale,
    piece: PanelPiece | None = None,
    cutting: Sequence[PanelPiece] = (),
    *,
    framed: bool,
    inside: float = 0.0,
) -> shapely.Geometry:
    """What the hull's inside, a piece's edges and what cuts through leave of a plane at both faces of a card and in its middle.

    Cut square through, it then goes in everywhere. framed: only that in its middle, since a frame surrounds it there. inside
    [m]: how far within the card's faces they are looked at: at a hull's end they lie in its own.
    """
    area: shapely.Geometry | None = None
    for side in (0.0,) if framed else (-0.5, 0.0, 0.5):
        height = side * max(of.thickness - 2 * inside, 0.0)
        at = Frame(triple(np.array(frame.origin) + frame.normal * height), frame.u, frame.v)
        here: shapely.Geometry = section(form.inside, at)
        if piece is not None:
            here = shapely.intersection(here, clip_lines(piece, at))
        for other in cutting:
            here = shapely.difference(here, clip_lines(other, at, thick=True))
        area = here if area is None else shapely.intersection(area, here)
    return shapely.simplify(area, of.full(SMOOTHED))


def _openings(scene: Scene, shape: PanelShape, frame: Frame, of: ModelScale) -> tuple[list[shapely.Polygon], list[CardMark]]:
    """The holes to be cut, and those too small for that as lines."""
    holes, marks = [], []
    for opening in scene.openings:
        if opening.through == shape.name:
            axes = opening_frame(shape.kind, centre_on(shape.kind, opening.at, frame.plane), frame.plane)
            hole = shapely.transform(outline(opening), lambda flat, axes=axes: frame.flat(axes.space(flat)))
            width = min(opening.size or (opening.diameter or 0.0,))
            if of.paper(width) >= LEAST_OPENING:
                holes.append(hole)
            else:
                marks.append(CardMark(line=np.asarray(hole.exterior.coords), name=opening.name))
    return holes, marks
