"""What the page shows besides the boat herself: typed, frozen, and the same for every tab."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, get_args

from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Passage, Pattern
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.geometry.mesh import Floats
from sketcher.model.cutting import Joints, PartReadings
from sketcher.outputs.bands.measured_again import ToldAgain
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.recording import LineStyle
from sketcher.outputs.paper.tile_grid import PaperName
from sketcher.outputs.scene3d.objects import NEAR_HALF, Appearance, CutAway, ObjectKind, ObjectRef
from sketcher.outputs.tables.comparison import Comparison
from sketcher.outputs.tables.sure.certainty import Certainty
from sketcher.web.curves_state import NO_CURVES, CurvesState
from sketcher.web.typed_state import BoardDoubt, FieldRow, GapRow, HullState

Corner = Literal["right", "left", "high right", "high left"]
"""Where in the picture the figures of a drag stand: low at its right or left, or high there."""
CORNERS: tuple[Corner, ...] = get_args(Corner)
Arrangement = Literal["both", "boat", "drawings", "hull", "compare", "pattern", "build"]
ARRANGEMENTS: tuple[Arrangement, ...] = get_args(Arrangement)
MarginTab = Literal["part", "spaces", "findings"]
MARGIN_TABS: tuple[MarginTab, ...] = get_args(MarginTab)

Drawn = Literal["all", "profile", "plan", "section"]
DRAWN: tuple[Drawn, ...] = get_args(Drawn)
CutName = Literal["profile", "plan", "section"]
"""The drawings, whose places are chosen, and marked in the others."""
CUT_NAMES: tuple[CutName, ...] = get_args(CutName)
CUT_AXES: dict[CutName, str] = {"profile": "y", "plan": "z", "section": "x"}
"""Along which of the boat's axes each lies."""
CUT_KEYS: dict[CutName, str] = {"profile": "profile_at", "plan": "plan_height", "section": "section_at"}
"""What of the look says where each lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look(Appearance):
    """How the boat and her drawings are shown: at first without her nearer half.

    profile_at, plan_height, section_at [m]: None follows the selection; drawn: which drawing.

    beside: whether a layout kept as B is drawn with her; along: whether the curves along the selected part's range are shown,
    None: where there is room.
    """

    cut: CutAway = NEAR_HALF
    arrangement: Arrangement = "both"
    drawn: Drawn = "all"
    profile_at: float | None = None
    plan_height: float | None = None
    section_at: float | None = None
    names: bool = True
    beside: bool = True
    along: bool | None = None

    def drawn_at(self, name: CutName, at: float | None) -> Look:
        """The same with a drawing cut elsewhere [m]; None: it follows the selection."""
        changes: dict[str, Any] = {CUT_KEYS[name]: at}
        return replace(self, **changes)

    @property
    def appearance(self) -> Appearance:
        """What of it concerns the boat herself: the rest may change without her being drawn anew."""
        return Appearance(
            see_through=self.see_through, cut=self.cut, hidden=self.hidden, tinted_by=self.tinted_by, apart=self.apart
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One sentence to the owner. refused: an edit that could not be; else something done. field: the object and the key of the
    field in which that was typed.
    """

    text: str
    remedy: str = ""
    refused: bool = False
    field: tuple[ObjectRef, str] | None = None


@dataclass(frozen=True, slots=True)
class DragFigure:
    """A figure shown during a drag, and its change since the drag began, already in words."""

    label: str
    value: str
    change: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialog:
    """A question or form over the page. name: which one; about: what it concerns; options: what there is to choose from."""

    name: str
    about: str = ""
    options: tuple[str, ...] = ()
    problem: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Boards:
    """What is cut for one panel. wholes: its boards before they are cut in parts, joints drawn on them.

    joints: those that the scene states, else those that were found; findings: what is weak about them. parts: each board as it
    is cut and how it goes below; None while the panel moves and this is not worked out yet. planned: whether it is cut at all.
    gaps: where they are read round its boards, and what was; readings: all of the scene, told from its
    boards' zeros; doubts: how sure each board's edge is by them.
    """

    panel: ObjectRef
    wholes: tuple[Pattern, ...]
    joints: Joints | None
    stated: bool
    findings: tuple[Finding, ...]
    parts: tuple[tuple[Pattern, Passage], ...] | None
    planned: bool
    gaps: tuple[GapRow, ...] = ()
    readings: tuple[PartReadings, ...] = ()
    doubts: tuple[BoardDoubt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildState:
    """How far the build is. doing: `plan` or `folder` while that is worked out; done, most: orders of boards tried.

    current: whether the plan is of the layout as it stands; stopped: its laying on sheets was stopped early; folder: bytes of
    the build's folder, ready to take away, of the layout as it stands; paper: what its patterns are printed on.
    """

    doing: str = ""
    done: int = 0
    most: int = 0
    plan: BuildPlan | None = None
    current: bool = False
    stopped: bool = False
    folder: int = 0
    problem: str = ""
    paper: PaperName = "a4"


NAME = "name"
"""The key of the field in which an object is renamed."""


@dataclass(frozen=True, slots=True)
class FirstStep:
    """Something to do first in a new scene, and whether it is done. do, part, value: the message that begins it."""

    words: str
    done: bool
    do: str
    part: ObjectRef | None = None
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A name beside a compartment in the picture, in pixels: where its first line begins and the middle of what it names.

    leader: where the line to what it names begins, None where it lies over it; tint: of the dot at its end, `#rrggbb`; place:
    the number of the place it was given.
    """

    part: ObjectRef
    lines: tuple[str, ...]
    tint: str
    at: tuple[float, float]
    anchor: tuple[float, float]
    leader: tuple[float, float] | None = None
    place: int = 0


WHOLE = "whole"
"""The key of the handle by which an object moves as a whole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """A spot on the selected object, in pixels of the picture or [mm] of a paper, and the arrow along which it moves from there;
    one without length where it moves any way, or is not seen to.

    key: what messages name it by; word: what is moved; value: its figure in words, figure: as a number [m or degrees]. beside:
    where it is shown, clear of others.
    """

    at: tuple[float, float]
    arrow: tuple[float, float]
    key: str = WHOLE
    word: str = ""
    value: str = ""
    figure: float = 0.0
    beside: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HandlePlace:
    """Where in the boat an object can be taken hold of: at (3,) [m], and the direction (3,) it goes from there, none: any.

    within: axes of the boat that a drawing must have for it to be seen to move there; the rest as of a `Handle`.
    """

    key: str
    word: str
    value: str
    figure: float
    at: Floats
    along: Floats
    within: str


@dataclass(frozen=True, slots=True, eq=False)
class Ghost:
    """What waits to be placed, in outline [m]. faces: each the rings (k, 3) round it; lines: through points (k, 3)."""

    faces: tuple[tuple[Floats, ...], ...] = ()
    lines: tuple[Floats, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKey:
    """What is meant on the sheet. numbers: each with the compartment it stands for, its litres, and how it stands to the water.

    tints: each with its words, None: the ruling; outlines: words, and how what they are about is drawn. room: left, top, right
    and bottom of the paper that it may stand on, in shares of the paper from each side; fits: whether there is any.
    """

    numbers: tuple[tuple[int, str, str, str], ...] = ()
    tints: tuple[tuple[str | None, str], ...] = ()
    outlines: tuple[tuple[str, LineStyle], ...] = ()
    room: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    fits: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetState:
    """The drawings as they are shown. kinds: which; all_fit: whether all have room; whole, whole_pattern: whether all of each
    paper is seen; measuring: whether the hand measures.
    """

    key: SheetKey = SheetKey()
    kinds: tuple[str, ...] = ()
    all_fit: bool = True
    whole: bool = True
    whole_pattern: bool = True
    measuring: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DamagedCondition:
    """The boat with compartments open to the sea. case: what floods; evaluation: hers, with the water where it then stands.

    water_in: the water [m3] in each compartment that floods; None where it cannot be known. given_way: the cases in which a lid
    under the water holds no longer.
    """

    case: FloodingCase
    evaluation: Evaluation
    water_in: Mapping[str, float | None]
    given_way: tuple[FloodingCase, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedHoles:
    """Each compartment holed by itself. evaluation: hers, with what there is to say of those cases among its findings."""

    cases: tuple[FloodingCase, ...]
    evaluation: Evaluation


@dataclass(frozen=True, slots=True)
class SureFigures:
    """How sure the figures are, and of which readings worth taking again."""

    certainty: Certainty
    again: tuple[ToldAgain, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptLayout:
    """The layout kept as B. when: what it is, in words; found: A and B compared, None before the page has rested.

    current: whether that is of A as it stands.
    """

    evaluation: Evaluation
    when: str
    found: Comparison | None
    current: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PageState:
    """Everything the page's markup is made from. figured: while figures are still to follow what is dragged those of a moment
    before, which are shown faintly; views_behind: the drawings that are still to follow it; filling: whether bottles are still
    to be placed. undo, redo: the names of the next steps, None where there is none. tab: of the margin, that is in front.

    drag_figures, corner: what a drag changes, and where it stands; kind_to_add: of an object that waits to be placed; ghost: it
    in the picture, as SVG; beside_pointer: whether its figures go with the pointer; picture_problem: why no picture can be drawn
    on this machine, empty where one can; pointer_over: what decides the pointer's shape; echo: the number of the last message
    that a page waits for; spoken: what is read out, not shown; holes: each compartment holed in turn, None until the page has
    rested; half_entered: whether no boat comes of the hull as typed, so that another is shown. stages: her refit's, by name;
    stage: after which she is shown, counted from 1, 0 for the whole; stage_behind, stage_problem: whether that is still worked
    out, or why it cannot be; later: what is selected and not there yet. sure: how sure figures are, None until that is known.
    """

    evaluation: Evaluation
    look: Look
    file: str
    figured: Evaluation | None = None
    views_behind: tuple[Kind, ...] = ()
    filling: bool = False
    selected: ObjectRef | None = None
    tab: MarginTab = "findings"
    unsaved: bool = False
    undo: str | None = None
    redo: str | None = None
    notice: Notice | None = None
    drag_figures: tuple[DragFigure, ...] = ()
    corner: Corner = "right"
    dialog: Dialog | None = None
    kind_to_add: ObjectKind | None = None
    ghost: str = ""
    beside_pointer: bool = False
    cut_range: tuple[float, float] = (0.0, 1.0)
    picture_problem: str = ""
    pointer_over: str = ""
    echo: int = 0
    spoken: str = ""
    fields: tuple[FieldRow, ...] = ()
    steps: tuple[FirstStep, ...] = ()
    labels: tuple[Label, ...] = ()
    handles: tuple[Handle, ...] = ()
    damage: DamagedCondition | None = None
    holes: JudgedHoles | None = None
    kept: KeptLayout | None = None
    picture_size: tuple[int, int] = (1, 1)
    sheet: Mapping[str, str] = field(default_factory=dict)
    drawn: SheetState = SheetState()
    boards: Boards | None = None
    pattern: str = ""
    build: BuildState = BuildState()
    hull: HullState | None = None
    half_entered: bool = False
    curves: CurvesState = NO_CURVES
    stages: tuple[str, ...] = ()
    stage: int = 0
    stage_behind: bool = False
    stage_problem: str = ""
    later: str = ""
    sure: SureFigures | None = None

    @property
    def certainty(self) -> Certainty | None:
        """What figures are told with; None until that is worked out."""
        return None if self.sure is None else self.sure.certainty

    @property
    def handle(self) -> Handle | None:
        """The handle by which what is selected moves as a whole, where that is in sight."""
        return next((handle for handle in self.handles if handle.key == WHOLE), None)

    @property
    def refused_in(self) -> str:
        """The key of the field, on the card in front, in which something was typed and refused; empty: there is none."""
        if self.notice is None or self.notice.field is None or self.tab != "part" or self.notice.field[0] != self.selected:
            return ""
        key = self.notice.field[1]
        return key if key in (NAME, *(row.key for row in self.fields)) else ""

    @property
    def afloat(self) -> Evaluation:
        """The boat as she floats: with compartments holed, as she then does."""
        return self.evaluation if self.damage is None else self.damage.evaluation
