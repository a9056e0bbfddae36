"""What is carried to the boat: patterns of panels, joints, stringers, seams and what bonds them. Metres, degrees, kilograms."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.cut.fits import Fit
from sketcher.analysis.findings import Area, Finding, Length, Mass, Phrase, PushWay, Volume
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame

MarkKind = Literal["centreline", "waterline", "level line", "station line", "touches", "stringer", "joint"]
PatternKind = Literal["bulkhead", "partition", "lid", "berth board", "infill", "butt strap", "plating", "bearer"]
EdgeKind = Literal["hull", "deck", "panel", "free"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Mark:
    """A line to draw. line: (k, 2) in the pattern's frame [m]; says: words beside it, if anything; panel: landing there."""

    kind: MarkKind
    line: Floats
    says: Phrase | None
    panel: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bevel:
    """How the edge leans at a point of the drawn outline. angle [deg] off a square cut: positive where the drawn face is longer.

    gauge [deg]: what a bevel gauge reads in the wood, stock on the drawn face: 90 less `angle`. along [m]: from the outline's
    first point. against: what the edge meets.
    """

    at: tuple[float, float]
    along: float
    angle: float
    against: str
    edge: EdgeKind

    @property
    def gauge(self) -> float:
        """Angle in the wood between the drawn face and the edge [deg]."""
        return 90.0 - self.angle


@dataclass(frozen=True, eq=False, kw_only=True)
class Cutout:
    """A hole or notch in a panel. outline: in the pattern's frame [m], inner corners rounded; radius [m]: of the corners."""

    name: str
    kind: Literal["opening", "notch"]
    outline: shapely.Polygon
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagonal:
    """A length to check by tape between two corners of the drawn outline, named by letters [m]."""

    name: str
    start: tuple[float, float]
    end: tuple[float, float]
    length: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Pattern:
    """One board to cut. Everything is in `frame`, on the face that is drawn; the other face's outline is square through it.

    frame: u to the right and v up on the paper, the drawn face towards the reader. outline, other_outline: with their holes,
    less the gaps; blank: both together, what the sheet must hold before the edges are bevelled. area [m2]: of the larger
    face; mass [kg] or None where its weight is not known, mass_assumed: no material is stated. up, forward: which edge points
    where; notes: what is to be known of its edges.
    grain: the direction in which outer grain should run, a unit vector in the frame, or None. corners: of the drawn outline, by
    letter, anticlockwise; `boards.marking_out` tells what lies between them.
    hand: port, starboard or empty where it lies on the centreline; never to be mirrored. planned, fits: see `fits`.
    """

    name: str
    panel: str
    kind: PatternKind
    thickness: float
    frame: Frame
    drawn_face: str
    other_face: str
    outline: shapely.Polygon
    other_outline: shapely.Polygon
    blank: shapely.Polygon
    up: Phrase
    forward: Phrase
    area: float
    mass: float | None
    mass_assumed: bool = False
    material: str | None = None
    hand: str = ""
    marks: tuple[Mark, ...] = ()
    bevels: tuple[Bevel, ...] = ()
    cutouts: tuple[Cutout, ...] = ()
    diagonals: tuple[Diagonal, ...] = ()
    grain: tuple[float, float] | None = None
    touches: tuple[str, ...] = ()
    notes: tuple[Phrase, ...] = ()
    corners: tuple[tuple[str, tuple[float, float]], ...] = ()
    planned: shapely.Polygon | None = None
    fits: tuple[Fit, ...] = ()

    @property
    def label(self) -> Phrase:
        """What is written on the board: its name, how thick it is and which face is drawn."""
        face = None if self.kind == "butt strap" else self.drawn_face
        return Phrase("board-label", {"board": self.name, "thickness": Length(self.thickness), "face": face})


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Where a panel is cut in two. line: its ends in the whole pattern's frame [m], ends: in the boat; parts: names.

    width [m]: of the butt strap, or the scarf's length; ratio: of it to the thickness; reason: None where the scene states it.
    faces: that have straps; short [m]: over which the better face has no full strap, for what stands there (in_way); clear_at:
    where a stated one would have. borne_by: what lies under a lid's joint all along; unborne: why nothing does.
    """

    panel: str
    kind: Literal["butt strap", "scarf"]
    line: tuple[tuple[float, float], tuple[float, float]]
    ends: tuple[tuple[float, float, float], tuple[float, float, float]]
    parts: tuple[str, str]
    width: float
    ratio: float
    source: str
    reason: Phrase | None
    faces: tuple[str, ...] = ()
    short: float = 0.0
    in_way: tuple[str, ...] = ()
    clear_at: Phrase | None = None
    borne_by: tuple[str, ...] = ()
    unborne: Phrase | None = None

    @property
    def stated(self) -> bool:
        """Whether the scene says where the joint is; else it was found where the panel must be cut."""
        return self.reason is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """Whether a board goes below. least_width [m]: in its best turn; room [m]: the widest that passes.

    opening: the narrowest on its route, or None where no route is known; through: all on its route, from the deck on. passes:
    None where it cannot be known. length [m]: of the board, square to its least width; run [m]: the longest straight line
    inside the boat below the first opening, None where it is not known.
    """

    pattern: str
    opening: str | None
    least_width: float
    room: float | None
    passes: bool | None
    through: tuple[str, ...] = ()
    length: float = 0.0
    run: float | None = None

    @property
    def turns(self) -> bool | None:
        """Whether the board is short enough to lie straight below the first opening; None where it is not known."""
        return None if self.run is None else self.length <= self.run


@dataclass(frozen=True, slots=True, kw_only=True)
class EndCut:
    """How a stringer's end is cut [deg], as a bevel gauge reads it, 90 being square. place: what it meets, None: a free end.

    Angles in the wood. side: on the upper face, from the outer edge to the cut; face: on the bevelled face against the hull, from
    the upper edge to the cut; tilt: between the upper face and the cut.
    """

    place: str | None
    side: float
    face: float
    tilt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BackBevel:
    """How the back of a stringer, or of a cleat, is planed at one place. along [m]: from its first end, on the edge at its back.

    angle [deg] off square, positive where the face that bears is the wider; under [m]: how wide the opposite face is left.
    """

    along: float
    angle: float
    under: float


@dataclass(frozen=True, eq=False, kw_only=True)
class StringerPattern:
    """One stringer or bearer. points: (k, 3) along its top edge where it lies against the hull; lengths [m].

    length: along the hull's face; chord: straight between its ends; curve_depth: the furthest from the chord;
    least_radius [m]: the sharpest bend, None where it is straight; twist [deg]: of its back from end to end.
    strips: of how many it is glued up to take the curve, by the proportion in `source`; None: it is sawn to the curve.
    stock [m]: width of the timber that it is planed from; shallowest [m]: its least depth; hollow [m]: left behind its back at
    most, to be filled. board: its upper face, drawn as it lies; its bevels are those of its back, from A on.
    """

    name: str
    stringer: str
    side: Literal["port", "starboard"]
    width: float
    depth: float
    points: Floats = field(repr=False)
    length: float
    chord: float
    curve_depth: float
    least_radius: float | None
    twist: float
    strips: int | None
    stock: float
    shallowest: float
    hollow: float
    ends: tuple[EndCut, EndCut]
    settings: tuple[BackBevel, ...]
    board: Pattern
    source: str

    @property
    def bends(self) -> bool:
        """Whether it takes the curve cold and in one piece."""
        return self.strips == 1

    @property
    def strip(self) -> float:
        """How thick each of its strips is [m]."""
        return self.stock / (self.strips or 1)


@dataclass(frozen=True, eq=False, kw_only=True)
class Support:
    """A straight piece of timber across the under face of a wide lid, one of several that leave no more than is usual clear.

    corners: (2, 4, 3) in the boat, of its upper face, then of its lower, in the same order; edges [m]: lengths of both long edges
    of the upper face; ends: `side` from the first edge, `face` on that edge's face. notches: from where to where along the first
    edge straps are let in, notched [m] deep.
    """

    name: str
    lid: str
    width: float
    depth: float
    corners: Floats = field(repr=False)
    edges: tuple[float, float]
    ends: tuple[EndCut, EndCut]
    notches: tuple[tuple[float, float], ...]
    notched: float
    source: str

    @property
    def length(self) -> float:
        """Length of timber that it is sawn from [m], square to square."""
        along = self.corners[0, 1] - self.corners[0, 0]
        reach = (self.corners.reshape(-1, 3) - self.corners[0, 0]) @ along / np.linalg.norm(along)
        return float(np.ptp(reach))


@dataclass(frozen=True, eq=False, kw_only=True)
class Seam:
    """Where a panel is bonded to something, on one of its faces. angle [deg]: mean angle of the corner that the fillet fills.

    lines: polylines (k, 3) [m], angles: (k,) [deg] of the corner at each of their points; length [m]; least_angle,
    greatest_angle [deg]; fillet [m3]: the fillet's volume.
    reached [m]: how much of it can be filleted and taped once the panel is in, closed_in [m]: how much of it is then in a closed
    space, through: the openings that it is reached by.
    """

    panel: str
    face: str
    to: str
    length: float
    angle: float
    least_angle: float
    greatest_angle: float
    fillet: float
    lines: tuple[Floats, ...] = field(repr=False)
    reached: float
    closed_in: float = 0.0
    through: tuple[str, ...] = ()
    angles: tuple[Floats, ...] = field(default=(), repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """One layer of tabbing over every seam it is meant for. width [m], weight [kg/m2], length, area: with waste."""

    layer: int
    width: float
    weight: float
    length: float
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Mixes for one purpose that are used up within their pot life [s]. each, total [m3]."""

    purpose: Literal["fillets", "glue", "cloth", "coats"]
    count: int
    each: float
    total: float
    pot_life: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One line of the shopping list. amount: waste included; things: what is counted where it is a number.

    source: id in `analysis.sources` or None.
    """

    item: Phrase
    amount: Length | Area | Volume | Mass | int
    things: Literal["piece", "pieces", "pairs", "sheet", "sheets", "kits", ""] = ""
    note: Phrase | None = None
    source: str | None = None


ScrewedTo = Literal["bearers", "supports", "cleats", "straps", "ledges"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewedJoint:
    """Screws through one board into what it lies on. through, into: their thickness; run: along the joint; all in [m].

    screw [m]: its length, None where both are too thin for one and are weighted down.
    """

    board: str
    to: ScrewedTo
    through: float
    into: float
    run: float
    count: int
    screw: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LayUp:
    """What the seams of one panel take, waste included. seam_length, bedded, tapes [m], a length for each layer.

    cloth_area [m2]; putty, resin_for_cloth [m3].
    """

    panel: str
    seam_length: float
    bedded: float
    tapes: tuple[float, ...]
    cloth_area: float
    putty: float
    resin_for_cloth: float


@dataclass(frozen=True, eq=False, kw_only=True)
class BondingList:
    """Seams and what they take. Volumes [m3], masses [kg], areas [m2]; waste is in every total and named in `waste`.

    seam_length [m]: of what is filleted and taped; bedded [m]: of what is bedded on cleats or bearers instead, since nobody
    reaches it then; bolted [m]: of edges bolted to the hull or the deck; cleats [m]: of those to be made. fillet_volume: of
    mixed putty in fillets, glue_volume: of the same under and between boards; resin_for_...: of mixed resin. coated_area: of
    faces and tape, edge_area: of sawn edges, coated twice over. lay_ups: the seams' share by panel.
    """

    seams: tuple[Seam, ...]
    seam_length: float
    bedded: float
    bolted: float
    cleats: float
    fillet_radius: float
    fillet_volume: float
    tapes: tuple[Tape, ...]
    cloth_area: float
    cloth_mass: float
    coated_area: float
    edge_area: float
    glue_volume: float
    resin_for_glue: float
    resin_for_fillets: float
    resin_for_cloth: float
    resin_for_coats: float
    resin_volume: float
    resin_mass: float
    filler_mass: float
    waste: float
    temperature: float
    batches: tuple[Batch, ...]
    lay_ups: tuple[LayUp, ...]
    screws: tuple[ScrewedJoint, ...]
    purchases: tuple[Purchase, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkStep:
    """One step of the order of work. after: numbers of the steps that come first; cautions: what to mind, before the act.

    objections: findings that the step would make true for good, to be minded before it as well.
    """

    number: int
    title: Phrase
    what: Phrase
    objects: tuple[str, ...] = ()
    after: tuple[int, ...] = ()
    cautions: tuple[Phrase, ...] = ()
    objections: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakTest:
    """The test of one closed space with air. pressure, pass_pressure [Pa], the same as water_column, pass_column [m].

    hold [s]: how long; uplift [N]: on each lid or wall by name, with its area [m2], ways: which way; closings: how each
    of open_paths is closed for the test; warmth [Pa per deg C]: what a warming of
    the air alone adds; relief_column [m]: height of the water tube that lets go. passed_hole [m]: diameter of a hole that
    just passes in this volume, and passed_flow [m3/h] of water through it under 300 mm; sought_hold [s]: how long to wait,
    for the same fall, to find a hole of the diameter sought [m].
    """

    space: str
    volume: float
    pressure: float
    water_column: float
    pass_pressure: float
    pass_column: float
    hold: float
    uplift: tuple[tuple[str, float, float], ...]
    warmth: float
    relief_column: float
    source: str
    closed: bool
    passed_hole: float
    passed_flow: float
    sought: float
    sought_hold: float
    open_paths: tuple[str, ...] = ()
    closings: tuple[Phrase, ...] = ()
    ways: tuple[PushWay, ...] = ()
