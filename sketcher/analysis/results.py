"""The results of the analysis: frozen dataclasses in SI units; None where a figure cannot be known (a finding says why)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, NamedTuple

import numpy as np

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Panel, Scene

Position = Literal["below", "above", "crosses"]
OUTSIDE = "outside"


PanelKind = Literal["bulkhead", "partition", "lid"]
_RANK: dict[PanelKind, int] = {"bulkhead": 0, "partition": 1, "lid": 2}


class PanelFace(NamedTuple):
    """A face of a panel: its name, and its plane, whose normal points out of the board."""

    name: str
    plane: Plane


class PanelPiece(NamedTuple):
    """A convex piece of a panel: its two faces, and the edges that end it, the sides of the box it is kept within among them."""

    front: PanelFace
    back: PanelFace
    edges: tuple[PanelFace, ...]

    @property
    def faces(self) -> tuple[PanelFace, ...]:
        """All its faces."""
        return (self.front, self.back, *self.edges)


@dataclass(frozen=True, eq=False, kw_only=True)
class PanelShape:
    """A panel in place. mesh: its own solid, running past hull and deck, never trimmed by them; labels are face numbers.

    faces: by number, those of each piece after each other: a bulkhead's `forward` and `after`, a partition's `port` and
    `starboard`, a lid's `top` and `under`, then the edges. depends_on: panels it is tied to. pieces: the numbers of the faces of
    each convex piece; two, port and starboard, where a knuckle on the centreline bends it. trim: makes `trimmed`, at its first
    use.
    """

    panel: Panel
    kind: PanelKind
    mesh: TriMesh
    faces: tuple[PanelFace, ...]
    depends_on: tuple[str, ...]
    pieces: tuple[tuple[int, ...], ...] = ()
    trim: Callable[[], TriMesh] | None = field(default=None, repr=False)

    @property
    def name(self) -> str:
        """The panel's name."""
        return self.panel.name

    @property
    def rank(self) -> tuple[int, str]:
        """Its place among panels: where they cross, bulkheads run through partitions, both through lids; else by name."""
        return _RANK[self.kind], self.panel.name

    @property
    def front(self) -> Plane:
        """The face named first: forward, port or top; of a bent panel that of its port piece."""
        return self.faces[0].plane

    @property
    def back(self) -> Plane:
        """The face opposite the front."""
        return self.faces[1].plane

    @cached_property
    def convex(self) -> tuple[PanelPiece, ...]:
        """Its convex pieces, each with its faces."""
        of_piece = [tuple(self.faces[number] for number in numbers) for numbers in self.pieces]
        return tuple(PanelPiece(front, back, tuple(edges)) for front, back, *edges in of_piece)

    def named(self, face: str) -> tuple[Plane, ...]:
        """The planes of the faces of that name: none, one, or one of each piece."""
        return tuple(plane for name, plane in self.faces if name == face)

    @cached_property
    def trimmed(self) -> TriMesh:
        """The part inside the hull, less the panels that run through it; labels are face numbers, -1 on shell and deck."""
        return self.mesh if self.trim is None else self.trim()

    @property
    def reaches_in(self) -> bool:
        """Whether anything of it is inside the hull."""
        return len(self.trimmed.triangles) > 0

    @property
    def volume(self) -> float:
        """Volume [m3] of `trimmed`."""
        return self.trimmed.volume

    @property
    def area(self) -> float:
        """Mean area [m2] through the thickness of `trimmed`: volume over thickness."""
        return self.volume / self.panel.thickness


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowPath:
    """What water passes through from one compartment to another or OUTSIDE: an opening not tight, a gap, a leaky panel, a hose.

    lowest [m]: height of its lowest point; `lowest_at` that point. through: the panel, `deck`, `hull` or None for a hose.
    outline: (k, 3) corners in the boat's axes, for drawing and for its head at any trim and heel.
    """

    name: str
    kind: Literal["opening", "gap", "panel", "conduit"]
    between: tuple[str, str]
    through: str | None
    lowest: float
    lowest_at: tuple[float, float, float]
    area: float
    outline: Floats = field(compare=False, repr=False)


@dataclass(frozen=True, eq=False, kw_only=True)
class Compartment:
    """A space of its own. mesh: closed, outward normals, labels: 0 skin, 1 deck, 2 open end, 10 + i the i-th of `Layout.panels`.

    lowest, highest [m]. permeability: as the file, its use or what is placed in it says; blocked: the share of the space that
    bottles, foam and chain placed in it keep from the water. bounds: the sorted (panel, face) that bound it.
    """

    name: str
    use: str
    named: bool
    volume: float
    centroid: tuple[float, float, float]
    lowest: float
    highest: float
    bounded: bool
    watertight: bool
    open_to: tuple[str, ...]
    permeability: float
    bounds: tuple[tuple[str, str], ...] = field(repr=False)
    mesh: TriMesh = field(repr=False)
    blocked: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Immersion:
    """How far a compartment is immersed. below: its volume below the waterline [m3]; position: above, below or crossed by it."""

    below: float
    position: Position


@dataclass(frozen=True, eq=False, kw_only=True)
class Layout:
    """The scene's panels in the hull and the spaces they leave. adjoining: pairs of compartments that share a face of a panel.

    residual [m3]: hull inside less compartments, panels, gaps and slivers; checked on every evaluation. gap_volume [m3]: of the
    narrow gaps between panels and what they stop short of; they belong to neither space. closed: openings with a tight cover,
    paths for a hand but not for water.
    """

    scene: Scene
    hull: HullForm
    panels: tuple[PanelShape, ...]
    compartments: tuple[Compartment, ...]
    flow_paths: tuple[FlowPath, ...]
    adjoining: Sequence[tuple[str, str]]
    findings: tuple[Finding, ...]
    inside_volume: float
    panel_volume: float
    sliver_volume: float
    residual: float
    gap_volume: float = 0.0
    closed: tuple[FlowPath, ...] = ()


@dataclass(frozen=True, kw_only=True)
class WaterPlane:
    """The water as heights above the base line: z(x, y) = forward + slope * (x - x_forward) + y * tan(heel).

    forward, after [m] at x_forward, x_after: the hull's foremost and aftmost points on the centreline; heel [deg].
    """

    forward: float
    after: float
    heel: float
    x_forward: float
    x_after: float

    @property
    def trim_deg(self) -> float:
        """Slope from the base line [deg], by the bow positive."""
        return float(np.degrees(np.arctan2(self.forward - self.after, self.x_after - self.x_forward)))

    @cached_property
    def plane(self) -> Plane:
        """The plane; its normal points out of the water, upwards."""
        slope = (self.after - self.forward) / (self.x_after - self.x_forward)
        return Plane.through((self.x_forward, 0.0, self.forward), (-slope, -np.tan(np.radians(self.heel)), 1.0))

    def height(self, x: float, y: float = 0.0) -> float:
        """Height of the water [m] above the base line at (x, y)."""
        slope = (self.after - self.forward) / (self.x_after - self.x_forward)
        return self.forward + slope * (x - self.x_forward) + y * float(np.tan(np.radians(self.heel)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Floating:
    """The boat at a waterline; see the field names' units. None: cannot be known, and a finding says why.

    estimated: names of the fields that come from the scene's whole-boat block and not from the measured shape.
    """

    displacement: float | None = None
    volume: float | None = None
    draft: float | None = None
    canoe_body_draft: float | None = None
    centre_of_buoyancy: tuple[float, float, float] | None = None
    waterplane_area: float | None = None
    centre_of_flotation: float | None = None
    kg_per_cm: float | None = None
    moment_per_cm: float | None = None
    gm: float | None = None
    forward_freeboard: float | None = None
    after_freeboard: float | None = None
    least_freeboard: float | None = None
    least_freeboard_at: tuple[float, float, float] | None = None
    least_opening_clear: float | None = None
    wetted_surface: float | None = None
    km_transverse: float | None = None
    km_longitudinal: float | None = None
    gm_longitudinal: float | None = None
    estimated: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False, kw_only=True)
class BerthFigures:
    """A berth's clear outline at the cushion's top, between finished faces. outline: (k, 2) x, y [m]; lengths [m].

    length: the longest clear fore-and-aft run inside the outline; line: its ends ((x, y), (x, y)); widths clear across at
    shoulder and foot; headroom: from the cushion to the deck's underside over the head end. None: cannot be known.
    sitting_headroom: the greatest over a seat on it; air [m2]: of openings to the open air that its space has, hatches open.
    stature, fits, short_by: by the people named for the berth where there are any, who then are those that lack room, or all.
    """

    name: str
    surface: float
    outline: Floats = field(repr=False)
    line: tuple[tuple[float, float], tuple[float, float]] | None = None
    length: float | None = None
    shoulder_width: float | None = None
    foot_width: float | None = None
    headroom: float | None = None
    stature: float | None = None
    fits: bool | None = None
    short_by: float | None = None
    holes: tuple[Floats, ...] = field(default=(), repr=False)
    who: tuple[str, ...] = ()
    sitting_headroom: float | None = None
    air: float | None = None

    @property
    def not_fore_and_aft(self) -> bool:
        """Whether one fits who is taller than the berth is long: aslant or athwart, then."""
        return self.fits is True and self.stature is not None and self.length is not None and self.stature > self.length
