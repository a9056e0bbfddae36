"""Profile, plan and section on one sheet, aligned and to one scale, as they stand in the page and in what it exports."""

from __future__ import annotations

import logging
import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import WaterPlane
from sketcher.geometry.mesh import Floats
from sketcher.outputs.drawing.contents_marks import strokes_used
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.recording import (
    Drawing,
    FilledArea,
    Item,
    Line,
    LineStyle,
    PaperPlacing,
    Spot,
    Words,
    line,
    text_width,
)
from sketcher.outputs.drawing.svg import items_as_svg
from sketcher.outputs.drawing.tint_key import tint_key
from sketcher.outputs.drawing.views import RULING, SCALES, heading, placing_of, space_lines, view_items
from sketcher.outputs.palette import INK, PENCIL, TINTS
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.wording.known_spaces import known_spaces
from sketcher.web.state import Ghost, Look
from sketcher.web.view.cut_places import cut_places
from sketcher.web.view.flooded_drawing import flooded_items
from sketcher.web.view.ghost_outline import ghost_svg
from sketcher.web.view.kept_outlines import kept_items, key_items
from sketcher.web.view.zoomed_paper import Paper

log = logging.getLogger(__name__)

EDGE, GAP = 5.0, 6.0
"""[mm] round the sheet, and between the drawings."""
ROOM_LEFT, ROOM_BELOW = 24.0, 22.0
"""[mm] kept for the heights beside the profile, and for the distances beneath the plan."""
HEADING = 2.4
"""Height of a drawing's heading [mm]."""
KEY_SIZE = HEADING * 0.92
KEY_FOOT = 7.0
"""[mm] at the foot of the sheet that the key leaves to the page's fields."""
LEAST_CHARACTERS = 14
"""Of a line of the key: narrower it could not be read."""
KINDS: tuple[Kind, ...] = ("profile", "plan", "section")
GROUPS: dict[str, str] = {name: f"sheet-{name}" for name in (*KINDS, "key", "kept", "ghost")}
NO_SHEET = dict.fromkeys(("sheet", *GROUPS.values()), "")
"""The page's parts of the sheet where it is not seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pane:
    """One of the drawings on the sheet: left, bottom, right and top [mm], and how the boat lies in it."""

    kind: Kind
    left: float
    bottom: float
    right: float
    top: float
    placing: PaperPlacing

    def holds(self, x: float, y: float) -> bool:
        """Whether a spot is the drawing's, its dimensions included."""
        beneath = ROOM_BELOW if self.kind == "plan" else GAP / 2
        beside = ROOM_LEFT if self.kind != "section" else GAP / 2
        return self.left - beside <= x <= self.right + GAP / 2 and self.bottom - beneath <= y <= self.top + GAP / 2


@dataclass(frozen=True, eq=False)
class _Made:
    """A view as drawn last: what it was made of, its items, what its numbers mean, and its SVG."""

    made_of: tuple[Any, ...]
    items: list[Item]
    key: dict[int, str]
    svg: str


@dataclass(eq=False, repr=False)
class DrawingSheet(Paper):
    """The sheet of a page.

    before, water_in: the water before she was holed, drawn as a thin line, and the water [m3] in each flooded compartment.
    usual_scale: for paper: drawn to a scale that rulers have, and what is selected is not marked.
    """

    panes: tuple[Pane, ...] = ()
    usual_scale: bool = False
    before: WaterPlane | None = None
    water_in: Mapping[str, float | None] = field(default_factory=dict)
    _made: dict[Kind, _Made] = field(default_factory=dict)
    _key_svg: str = ""
    _told: set[Kind] = field(default_factory=set)

    def pane_at(self, at: Spot) -> Pane | None:
        """The pane under a spot [mm, y down]; None beside all."""
        return next((pane for pane in self.panes if pane.holds(at[0], self.size[1] - at[1])), None)

    def boat_at(self, pane: Pane, at: Spot) -> tuple[float, float]:
        """The boat's coordinates [m] along a pane's axes of a spot on the sheet [mm, y down]."""
        return pane.placing.boat(at[0], self.size[1] - at[1])

    def drawing(self, evaluation: Evaluation, look: Look, selected: ObjectRef | None) -> Drawing:
        """The sheet as one drawing."""
        self._draw(evaluation, look, selected, KINDS)
        items = [item for pane in self.panes for item in self._made[pane.kind].items]
        items += self._key_items(evaluation)
        title = f"{evaluation.scene.name}: profile, plan and section"
        return Drawing(title=title, width=self.size[0], height=self.size[1], items=tuple(items))

    def parts(
        self,
        evaluation: Evaluation,
        look: Look,
        selected: ObjectRef | None,
        now: tuple[Kind, ...] = KINDS,
        key_now: bool = True,
        ghost: Ghost | None = None,
        kept: Evaluation | None = None,
    ) -> dict[str, str]:
        """The sheet for the page, of which a part is seen: an SVG of groups, and the markup of each group by its id.

        So a view that stays as it is need not be read again. now: the views to bring up to date; key_now: the key too; ghost:
        what waits to be placed; kept: a layout drawn in outline where it differs.
        """
        self._draw(evaluation, look, selected, now)
        if key_now or not self._key_svg:
            self._key_svg = items_as_svg(self._key_items(evaluation), self.size[1])
        groups = "".join(f'<g id="{id_}" data-key="{name}" data-own="true"></g>' for name, id_ in GROUPS.items())
        return {
            "sheet": f'<svg {self.root} role="img" aria-label="Profile, plan and section">{groups}</svg>',
            **{GROUPS[kind]: self._made[kind].svg for kind in KINDS},
            GROUPS["key"]: self._key_svg,
            GROUPS["kept"]: "" if kept is None else items_as_svg(self.kept_items(kept), self.size[1]),
            GROUPS["ghost"]: "" if ghost is None else "".join(ghost_svg(ghost, self._spots_in(pane)) for pane in self.panes),
        }

    def kept_items(self, kept: Evaluation) -> list[Item]:
        """A layout kept beside the one that is drawn, in outline where it differs, each view cut where that one was."""
        items = key_items((EDGE, EDGE))
        for pane in self.panes:
            made = self._made[pane.kind]
            items += kept_items(kept, made.items, pane.kind, made.made_of[1], pane.placing)
        return items

    def _spots_in(self, pane: Pane) -> Callable[[Floats], Floats]:
        """From points (k, 3) of the boat [m] to places (k, 2) on the sheet [mm, y down], as a pane shows them."""
        u, v = ("xyz".index(axis) for axis in pane.placing.axes)

        def spots(points: Floats) -> Floats:
            places = np.array([pane.placing.spot(*each) for each in points[:, [u, v]].tolist()])
            return np.column_stack([places[:, 0], self.size[1] - places[:, 1]])

        return spots

    def _draw(self, evaluation: Evaluation, look: Look, selected: ObjectRef | None, now: tuple[Kind, ...]) -> None:
        """Draw what has changed of the views; one that must wait keeps its last state unless the sheet itself has changed."""
        places = cut_places(evaluation, look, selected)
        self.panes = panes_on(evaluation, self.size, self.usual_scale)
        chosen = selected.key if selected is not None and not self.usual_scale else ""
        for pane in self.panes:
            made_of = (evaluation, places[pane.kind], pane.placing, chosen, self.before, self.water_in)
            old = self._made.get(pane.kind)
            if old is None or (old.made_of != made_of and (pane.kind in now or old.made_of[2] != pane.placing)):
                try:
                    items, key = _view(evaluation, pane, places[pane.kind], chosen, self.size[0], self.water_in)
                    items = flooded_items(items, tuple(self.water_in), evaluation.water, pane.placing, places[pane.kind])
                    items += _old_water(pane, self.before, places[pane.kind])
                except Exception:
                    # One view that fails must stop neither the page nor the other views.
                    self._made[pane.kind] = self._failed(pane, made_of, old)
                    continue
                self._made[pane.kind] = _Made(made_of, items, key, items_as_svg(items, self.size[1]))

    def _failed(self, pane: Pane, made_of: tuple[Any, ...], old: _Made | None) -> _Made:
        """A view that cannot be drawn: as it was drawn last, or a sentence in its place; the first of a kind is written down."""
        if pane.kind not in self._told:
            self._told.add(pane.kind)
            log.exception("the %s could not be drawn", pane.kind)
        if old is not None and old.made_of[2] == pane.placing:
            return _Made(made_of, old.items, old.key, old.svg)
        words = f"The {pane.kind} cannot be drawn here; move its cut a little."
        items: list[Item] = [Words((pane.left, pane.top), words, HEADING, PENCIL, "heading")]
        return _Made(made_of, items, {}, items_as_svg(items, self.size[1]))

    def _key_items(self, evaluation: Evaluation) -> list[Item]:
        """What the numbers, and the tints, ruling and outlines that are drawn, mean."""
        drawn = [item for kind in KINDS for item in self._made[kind].items]
        tints = {item.fill for item in drawn if isinstance(item, FilledArea) and item.layer == "compartments"}
        lines = [item for item in drawn if isinstance(item, Line)]
        strokes = {item.stroke for item in lines}
        outlines = {words: stroke for words, stroke in strokes_used(evaluation).items() if stroke in strokes}
        relations = [shown for shown, tint in TINTS.items() if tint in tints]
        items, at = _key_words(self._key(evaluation), self.panes, self.size[0])
        ruled = any(item.stroke == RULING and item.layer == "water" for item in lines)
        return [*items, *tint_key(relations, ruled, bool(self.water_in), outlines, at, KEY_SIZE, EDGE + KEY_FOOT)]

    def _key(self, evaluation: Evaluation) -> dict[int, str]:
        """What the numbers in all views mean now, also in a view that waits to be drawn."""
        used = {number for kind in KINDS for number in self._made[kind].key}
        spaces = enumerate(known_spaces(evaluation), 1)
        return {number: ", ".join(space_lines(space, self.water_in)) for number, space in spaces if number in used}


def panes_on(evaluation: Evaluation, size: Spot, usual_scale: bool = False) -> tuple[Pane, ...]:
    """The profile over the plan, station under station; the section beside the profile, height by height, or on a sheet with
    room below under the plan, where that lets all three be larger.
    """
    low, high = evaluation.layout.hull.outside.bounds
    boat = ((high - low) * 1000.0).tolist()
    beside, beneath = _scale_beside(boat, size), _scale_beneath(boat, size)
    scale = min(beside, beneath)
    if usual_scale:
        scale = next((float(n) for n in SCALES if n >= scale), scale)
    length, breadth, depth = (side / scale for side in boat)
    rows = depth + breadth + (depth if beneath < beside else 0.0)
    gaps = 3 if beneath < beside else 2
    slack = max(size[1] - 2 * EDGE - ROOM_BELOW - rows - gaps * (GAP + HEADING), 0.0) / gaps
    across = length + (3 * GAP + breadth if beneath >= beside else 0.0)
    left = EDGE + ROOM_LEFT + max(size[0] - 2 * EDGE - ROOM_LEFT - across, 0.0) / 3
    profile_bottom = size[1] - EDGE - HEADING - slack * 0.4 - depth
    plan_bottom = profile_bottom - GAP - HEADING - slack * 0.6 - breadth
    section = (left + length + 3 * GAP + max(size[0] - left - length - breadth - 4 * GAP, 0.0) / 2, profile_bottom)
    if beneath < beside:
        section = (left, plan_bottom - ROOM_BELOW - GAP - HEADING - slack - depth)
    corners: dict[Kind, tuple[float, float, float, float]] = {
        "profile": (left, profile_bottom, left + length, profile_bottom + depth),
        "plan": (left, plan_bottom, left + length, plan_bottom + breadth),
        "section": (section[0], section[1], section[0] + breadth, section[1] + depth),
    }
    panes = []
    for kind in KINDS:
        at_zero = placing_of(kind, scale)
        u, v = ("xyz".index(axis) for axis in at_zero.axes)
        first = at_zero.spot(float(low[u] if at_zero.signs[0] > 0 else high[u]), float(low[v]))
        box = corners[kind]
        placing = placing_of(kind, scale, (box[0] - first[0], box[1] - first[1]))
        panes.append(Pane(kind=kind, left=box[0], bottom=box[1], right=box[2], top=box[3], placing=placing))
    return tuple(panes)


def _scale_beside(boat: list[float], size: Spot) -> float:
    """The n of 1 : n at which all fit with the section beside the profile. boat: length, breadth and depth [mm]."""
    length, breadth, depth = boat
    across = size[0] - 2 * EDGE - ROOM_LEFT - 3 * GAP
    upward = size[1] - 2 * EDGE - ROOM_BELOW - GAP - 2 * HEADING
    return max((length + breadth) / max(across, 10.0), (depth + breadth) / max(upward, 10.0))


def _scale_beneath(boat: list[float], size: Spot) -> float:
    """The same with the section under the plan."""
    length, breadth, depth = boat
    across = size[0] - 2 * EDGE - ROOM_LEFT - GAP
    upward = size[1] - 2 * EDGE - ROOM_BELOW - 3 * GAP - 3 * HEADING
    return max(length / max(across, 10.0), (2 * depth + breadth) / max(upward, 10.0))


def _key_words(key: dict[int, str], panes: tuple[Pane, ...], across: float) -> tuple[list[Item], Spot]:
    """What the numbers in the views mean, where the sheet is free: beside the plan under the section, or beside the section.

    Also the spot where more may be written beneath.
    """
    section, plan = panes[2], panes[1]
    if section.left > plan.right:
        left, top = plan.right + 2 * GAP, min(section.bottom - 2 * GAP, plan.top)
    else:
        left, top = section.right + 3 * GAP, section.top - GAP
    size = KEY_SIZE
    characters = max(int((across - EDGE - left) / text_width("x", size)), LEAST_CHARACTERS)
    lines = [
        line
        for number, words in sorted(key.items())
        for line in textwrap.wrap(f"{number}  {words}", characters, subsequent_indent="    ")
    ]
    items: list[Item] = [Words((left, top - row * size * 1.5), words, size, INK, "names") for row, words in enumerate(lines)]
    return items, (left, top - (len(lines) + 0.5 * bool(lines)) * size * 1.5)


def _old_water(pane: Pane, before: WaterPlane | None, at: float) -> list[Item]:
    """Where the water stood before she was holed, as a thin line."""
    if before is None or pane.kind == "plan":
        return []
    ends = [pane.placing.boat(x, 0.0)[0] for x in (pane.left, pane.right)]
    spots = [pane.placing.spot(u, before.height(u, at) if pane.kind == "profile" else before.height(at, u)) for u in ends]
    return [line(spots, LineStyle(PENCIL, 0.2, (1.2, 0.9)), "water")]


def _view(
    evaluation: Evaluation, pane: Pane, at: float, chosen: str, across: float, water_in: Mapping[str, float | None]
) -> tuple[list[Item], dict[int, str]]:
    """Distances aft stand under the plan only, heights beside the profile only: the views are aligned."""
    beside, beneath = pane.kind != "section", pane.kind == "plan"
    items, key = view_items(evaluation, pane.kind, at, pane.placing, chosen, beside=beside, beneath=beneath, water_in=water_in)
    words = heading(evaluation, pane.kind, at, evaluation.scene.units)
    left = max(min(pane.left, across - EDGE - text_width(words, HEADING) * 0.9), EDGE)
    items.append(Words((left, pane.top + HEADING * 0.8), words[:1].upper() + words[1:], HEADING, PENCIL, "heading"))
    return items, key
