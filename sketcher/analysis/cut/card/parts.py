"""The parts of a card model and what was found of them. Metres in the boat unless a name says paper, which is in millimetres."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import shapely

from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame

CardKind = Literal["spine", "frame", "strake", "transom", "bulkhead", "partition", "lid", "berth", "strap"]
SeamKind = Literal["halved", "tabs", "flap", "edge", "hull", "frame", "strap", "strakes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelScale:
    """How small, and of how thick a card. scale: n of 1 : n; card [mm of paper]."""

    scale: float
    card: float

    @property
    def thickness(self) -> float:
        """How thick the card would be in the boat [m]."""
        return self.full(self.card)

    def full(self, paper: float) -> float:
        """Metres in the boat of millimetres on paper."""
        return paper * self.scale / 1000.0

    def paper(self, metres: float) -> float:
        """Millimetres on paper of metres in the boat."""
        return metres * 1000.0 / self.scale


@dataclass(frozen=True, eq=False, kw_only=True)
class CurvedSheet:
    """A plate of the skin: its grid flat (n, m, 2), in space (n, m, 3) on the middle of the card, normals out of the boat.

    miss [m]: the most by which any of the grid's lines is longer or shorter flat.
    """

    flat: Floats
    middle: Floats
    normals: Floats
    miss: float


@dataclass(frozen=True, eq=False, kw_only=True)
class GlueFlap:
    """A flap beside a part. outline: flat; fold: (2, 2) its line; solid: (8, 3) its corners in the boat, four of each face.

    root: the same and a strip of the part, to which it is cut in one. onto: what it is glued to; away: whether it is folded away
    from who looks at the printed face.
    """

    outline: shapely.Polygon
    root: shapely.Polygon
    fold: Floats
    solid: Floats
    onto: str
    away: bool


@dataclass(frozen=True, eq=False, kw_only=True)
class CardMark:
    """A line drawn on a part, flat (k, 2), and the name of what stands there."""

    line: Floats
    name: str


@dataclass(frozen=True, eq=False, kw_only=True)
class CardPart:
    """One part to cut out. frame: the plane of the card's middle, its normal towards who looks at the printed face.

    outline: flat, with slots, tabs and openings, without flaps. of: the panel it is of, or its own name; piece_of: the part that
    it was a piece of before that was cut to fit a page, if any. curved: of a plate of
    the skin, which lies in no plane. slots: what must stay clear of joints. ring: it surrounds the hull.
    """

    name: str
    kind: CardKind
    frame: Frame
    outline: shapely.Polygon
    of: str
    piece_of: str = ""
    curved: CurvedSheet | None = None
    flaps: tuple[GlueFlap, ...] = ()
    marks: tuple[CardMark, ...] = ()
    slots: shapely.Geometry = field(default_factory=shapely.MultiPolygon)
    ring: bool = False

    @property
    def whole(self) -> shapely.Polygon:
        """All that is cut out in one piece, flaps included, as one outline."""
        if not self.flaps:
            return self.outline
        joined = largest(shapely.union_all([self.outline, *(flap.root for flap in self.flaps)]))
        # What is left between a fold and a curved edge is no hole.
        return shapely.Polygon(joined.exterior, self.outline.interiors)

    @property
    def uncut(self) -> str:
        """The name of the part before it was cut to fit a page."""
        return self.piece_of or self.name

    @property
    def lowest(self) -> float:
        """The height of its lowest point [m]."""
        if self.curved is not None:
            return float(self.curved.middle[..., 2].min())
        return float(self.frame.space(np.asarray(self.outline.exterior.coords))[:, 2].min())


@dataclass(frozen=True, eq=False, kw_only=True)
class CardSeam:
    """Where two parts meet. line: (k, 3) places in the boat that lie on both; tabs: how many go through."""

    kind: SeamKind
    part: str
    against: str
    line: Floats
    tabs: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFit:
    """What was measured between two parts put back into the boat: overlap or gap [mm of paper]."""

    part: str
    against: str
    measured: float


@dataclass(frozen=True, eq=False, kw_only=True)
class CardModel:
    """All parts in the order they are glued.

    overlaps, gaps: the worst first; miss [mm of paper]: the most by which a plate of the skin is not developable, None for a hull
    on a spine; blocked: parts that do not reach their place straight down and along their tabs, with what is in their way.
    """

    of: ModelScale
    parts: tuple[CardPart, ...]
    seams: tuple[CardSeam, ...]
    overlaps: tuple[CardFit, ...]
    gaps: tuple[CardFit, ...]
    miss: float | None
    blocked: tuple[tuple[str, str], ...]
    without_strap: tuple[str, ...] = ()
