"""Where the drawings lie on the sheet: one or all three, as large as the paper allows, and where the key then has room."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.ordinates import SIZE
from sketcher.outputs.drawing.recording import PaperPlacing, Spot, text_width
from sketcher.outputs.drawing.views import BENEATH, SCALES, placing_of

KINDS: tuple[Kind, ...] = ("profile", "plan", "section")
EDGE, GAP = 2.5, 4.0
"""[mm] round the sheet, and between the drawings."""
HEADING = 2.4
"""Height of a drawing's heading [mm]."""
ABOVE = HEADING * 1.7
"""[mm] kept over a drawing for its heading."""
BESIDE_RIGHT: dict[Kind, float] = {"profile": 9.5, "plan": 2.0, "section": 14.0}
"""[mm] kept at the right of each: for the water's mark and height, and for the section's heights from face to face."""
PAST = 4.0
"""[mm] that the waterline goes past a drawing at its left."""
MOST_LEFT, FIGURES_LEFT = 0.25, 13.0
"""Share of the paper's width that names at the left may take; where they would take more, [mm] for figures alone."""
KEY_ACROSS = 46.0
"""[mm] kept for the key beside a drawing that stands alone."""
NUMBER_ROW, TINT_ROW, TINTS_WIDE, CHARACTER, MORE = 4.9, 3.3, 100.0, 1.35, 13
"""[mm]: height of the key's rows of numbers and of tints, width of all its tints, mean width of a character; and how many
characters stand by a name."""
LEAST_UP = 7.0
"""[mm]: over the key a drawing that is less high is none; it then takes all, and the key is called up."""
LEAST_LENGTH, LEAST_SHARE = 62.0, 0.75
"""Three drawings are shown where the boat is so long in them [mm], or so large against what she is in one alone."""

Box = tuple[float, float, float, float]
"""Left, bottom, right and top [mm]."""
NO_ROOM: Box = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pane:
    """One of the drawings on the sheet: left, bottom, right and top [mm], and how the boat lies in it.

    beside, beneath: the paper [mm] for its rows of figures at the left and beneath; 0 where it brings none. named: whether those
    at the left say what they are of.
    """

    kind: Kind
    left: float
    bottom: float
    right: float
    top: float
    placing: PaperPlacing
    beside: float = 0.0
    beneath: float = 0.0
    named: bool = True

    def holds(self, x: float, y: float) -> bool:
        """Whether a spot is the drawing's, its dimensions included."""
        left, low = max(self.beside, GAP / 2), max(self.beneath, GAP / 2)
        return self.left - left <= x <= self.right + GAP / 2 and self.bottom - low <= y <= self.top + GAP / 2


def shown_kinds(evaluation: Evaluation, drawn: str, size: Spot) -> tuple[Kind, ...]:
    """The drawings that are shown: the one that is asked for, else all, or the profile where there is no room for three."""
    chosen = tuple(kind for kind in KINDS if kind == drawn)
    return chosen or (KINDS if has_room_for_all(evaluation, size) else ("profile",))


def has_room_for_all(evaluation: Evaluation, size: Spot) -> bool:
    """Whether three drawings can be read on a paper of a size [mm]."""
    three, one = (panes_on(evaluation, size, kinds=kinds)[0] for kinds in (KINDS, KINDS[:1]))
    length = three.right - three.left
    return length >= LEAST_LENGTH or length >= LEAST_SHARE * (one.right - one.left)


def panes_on(evaluation: Evaluation, size: Spot, usual_scale: bool = False, kinds: tuple[Kind, ...] = KINDS) -> tuple[Pane, ...]:
    """The profile over the plan, station under station; the section beside the profile, height by height, or on a sheet with
    room below under the plan, where that lets all three be larger. One alone takes all of the paper but the key's.

    usual_scale: to a scale that rulers have.
    """
    low, high = evaluation.layout.hull.outside.bounds
    boat = ((high - low) * 1000.0).tolist()
    names = _names_room(evaluation)
    named = names <= MOST_LEFT * size[0]
    left = EDGE + (names if named else FIGURES_LEFT)
    boxes = (
        _alone(kinds[0], boat, size, left, key_down(evaluation, size))
        if len(kinds) == 1
        else _together(boat, size, left, usual_scale)
    )
    panes = []
    for kind, (box, scale, beside, beneath) in boxes.items():
        at_zero = placing_of(kind, scale)
        u, v = ("xyz".index(axis) for axis in at_zero.axes)
        first = at_zero.spot(float(low[u] if at_zero.signs[0] > 0 else high[u]), float(low[v]))
        placing = placing_of(kind, scale, (box[0] - first[0], box[1] - first[1]))
        panes.append(
            Pane(
                kind=kind,
                left=box[0],
                bottom=box[1],
                right=box[2],
                top=box[3],
                placing=placing,
                beside=left - EDGE if beside else 0.0,
                beneath=BENEATH if beneath else 0.0,
                named=named,
            )
        )
    return tuple(panes)


_Placed = dict[Kind, tuple[Box, float, bool, bool]]
"""Of each drawing its box, the n of 1 : n, and whether it has figures beside and beneath it."""


def _together(boat: list[float], size: Spot, left: float, usual_scale: bool) -> _Placed:
    """All three. boat: length, breadth and depth [mm]; left: where the profile begins."""
    length, breadth, depth = boat
    across = size[0] - left - BESIDE_RIGHT["profile"] - EDGE
    upward = size[1] - 2 * EDGE - 2 * ABOVE - GAP - BENEATH
    apart = PAST + GAP + BESIDE_RIGHT["section"]
    beside = max((length + breadth) / max(across - apart, 10.0), (depth + breadth) / max(upward, 10.0))
    beneath = max(length / max(across, 10.0), (2 * depth + breadth) / max(upward - ABOVE - GAP, 10.0))
    under = beneath < beside
    scale = _ruled(min(beside, beneath), usual_scale)
    length, breadth, depth = (side / scale for side in boat)
    rows = depth + breadth + (depth + ABOVE + GAP if under else 0.0)
    slack = max(upward - rows, 0.0) / (3 if under else 2)
    spare = max(across - length - (0.0 if under else breadth + apart), 0.0)
    begins = left + spare / 3
    profile = size[1] - EDGE - ABOVE - slack * 0.4 - depth
    plan = profile - GAP - ABOVE - slack * 0.6 - breadth
    section = begins + length + BESIDE_RIGHT["profile"] + GAP + PAST + spare / 3, profile
    if under:
        section = begins, plan - BENEATH - GAP - ABOVE - slack - depth
    return {
        "profile": ((begins, profile, begins + length, profile + depth), scale, True, False),
        "plan": ((begins, plan, begins + length, plan + breadth), scale, True, True),
        "section": ((section[0], section[1], section[0] + breadth, section[1] + depth), scale, under, False),
    }


def _alone(kind: Kind, boat: list[float], size: Spot, left: float, down: float) -> _Placed:
    """One, the key beside it or `down` [mm] beneath it: as lets it be larger."""
    length, breadth, depth = boat
    wide, tall = {"profile": (length, depth), "plan": (length, breadth), "section": (breadth, depth)}[kind]
    across = size[0] - left - BESIDE_RIGHT[kind] - EDGE
    upward = size[1] - 2 * EDGE - ABOVE - BENEATH
    beneath = max(wide / max(across, 10.0), tall / max(upward - down, LEAST_UP / 2))
    beside = max(wide / max(across - KEY_ACROSS, 10.0), tall / max(upward, LEAST_UP / 2))
    scale = min(beneath, beside)
    wide, tall = wide / scale, tall / scale
    kept = KEY_ACROSS if beside < beneath else 0.0
    begins = left + max(across - kept - wide, 0.0) / 2
    bottom = size[1] - EDGE - ABOVE - tall - max(upward - tall - (0.0 if kept else down), 0.0) / 2
    return {kind: ((begins, bottom, begins + wide, bottom + tall), scale, True, True)}


def key_down(evaluation: Evaluation, size: Spot) -> float:
    """How much [mm] the key takes beneath a drawing; 0 where that would leave none."""
    down = _key_height(evaluation, size[0] - 2 * EDGE)
    return down if size[1] - down - 2 * EDGE - ABOVE - BENEATH >= LEAST_UP else 0.0


def _key_height(evaluation: Evaluation, across: float) -> float:
    """How high the key becomes where it may be so wide [mm], with a number for every compartment."""
    wide = 1.15 * sum((len(space.name) + MORE) * CHARACTER for space in evaluation.layout.compartments)
    return ceil(wide / max(across, 1.0)) * NUMBER_ROW + ceil(TINTS_WIDE / max(across, 1.0)) * TINT_ROW


def key_room(evaluation: Evaluation, panes: tuple[Pane, ...], size: Spot, always: bool = False) -> Box:
    """The paper that the drawings leave to the key: beside the plan under the section, beside the section, or beside or beneath
    the only one; nothing where it has no room, but `always`.
    """
    right, top = size[0] - EDGE, panes[0].top
    if len(panes) == 1:
        pane, down = panes[0], key_down(evaluation, size)
        left = pane.right + BESIDE_RIGHT[pane.kind] + GAP
        if right - left < KEY_ACROSS - GAP - 0.1:
            return (EDGE, EDGE, right, max(pane.bottom - pane.beneath, EDGE + down)) if down else NO_ROOM
    else:
        _, plan, section = panes
        beside = section.left > plan.right
        left = plan.right + 2 * GAP if beside else section.right + BESIDE_RIGHT["section"] + GAP
        top = min(section.bottom - GAP, plan.top) if beside else section.top
    return (left, EDGE, right, top) if always or _key_height(evaluation, right - left) <= top - EDGE else NO_ROOM


def _ruled(scale: float, usual: bool) -> float:
    return next((float(n) for n in SCALES if n >= scale), scale) if usual else scale


def _names_room(evaluation: Evaluation) -> float:
    """How wide the longest figure at the left may become [mm]: a name with six more characters, and the line that leads to it."""
    scene = evaluation.scene
    names = ["base line", *(lid.name for lid in scene.lids), *(each.name for each in scene.partitions)]
    return 7.0 + max(text_width(f"{name} 0000", SIZE) for name in names)
