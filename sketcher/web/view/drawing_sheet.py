"""Profile, plan and section on one sheet, aligned and to one scale, as they stand in the page and in what it exports."""

from __future__ import annotations

import logging
import textwrap
from collections.abc import Callable, Mapping, Sequence
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
    Spot,
    Words,
    line,
    text_width,
)
from sketcher.outputs.drawing.svg import items_as_svg
from sketcher.outputs.drawing.tint_key import key_rows, tint_key
from sketcher.outputs.drawing.views import RULING, heading, space_lines, view_items
from sketcher.outputs.palette import INK, PENCIL
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.tinting import tint_words, tints
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.web.state import Ghost, HandlePlace, Look, SheetKey
from sketcher.web.view.flooded_drawing import flooded_items
from sketcher.web.view.ghost_outline import ghost_svg
from sketcher.web.view.handle_marks import apart, handle_marks, in_pane
from sketcher.web.view.kept_outlines import kept_items, key_items
from sketcher.web.view.sheet.cut_places import cut_marks, cut_places
from sketcher.web.view.sheet.panes import EDGE, HEADING, KINDS, NO_ROOM, Box, Pane, key_room, panes_on, shown_kinds
from sketcher.web.view.zoomed_paper import PIXELS_PER_MM, Paper

log = logging.getLogger(__name__)

KEY_SIZE = HEADING * 0.92
LEAST_CHARACTERS = 14
"""Of a line of the key on paper: narrower it could not be read."""
GROUPS: dict[str, str] = {name: f"sheet-{name}" for name in (*KINDS, "kept", "marks", "grips", "measure", "ghost")}
NO_SHEET = dict.fromkeys(("sheet", *GROUPS.values()), "")
"""The page's parts of the sheet where it is not seen."""


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
    key: what its numbers and tints mean; shows, places: the boat that is drawn, and where each view cuts her [m].
    usual_scale: for paper: drawn to a scale that rulers have, all three, and what is selected is not marked.
    """

    panes: tuple[Pane, ...] = ()
    key: SheetKey = field(default_factory=SheetKey)
    shows: Evaluation | None = None
    places: dict[Kind, float] = field(default_factory=dict)
    usual_scale: bool = False
    before: WaterPlane | None = None
    water_in: Mapping[str, float | None] = field(default_factory=dict)
    _made: dict[Kind, _Made] = field(default_factory=dict)
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
        self.key = self._key(evaluation, look)
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
        measured: str = "",
        held: Sequence[HandlePlace] = (),
    ) -> dict[str, str]:
        """The sheet for the page, of which a part is seen: an SVG of groups, and the markup of each group by its id.

        So a view that stays as it is need not be read again. now: the views to bring up to date; key_now: the key too; ghost:
        what waits to be placed; kept: a layout drawn in outline where it differs; measured: what is measured, as SVG; held:
        where what is selected can be taken hold of.
        """
        self._draw(evaluation, look, selected, now)
        if key_now:
            self.key = self._key(evaluation, look)
        groups = "".join(f'<g id="{id_}" data-key="{name}" data-own="true"></g>' for name, id_ in GROUPS.items())
        return {
            "sheet": f'<svg {self.root} role="group" aria-label="Profile, plan and section">{groups}</svg>',
            **dict.fromkeys(GROUPS.values(), ""),
            **{GROUPS[pane.kind]: self._made[pane.kind].svg for pane in self.panes},
            GROUPS["marks"]: cut_marks(self.panes, self.places, self.size[1], evaluation.scene.units),
            GROUPS["grips"]: "".join(self._grips(pane, held) for pane in self.panes if pane.kind in now),
            GROUPS["measure"]: measured,
            GROUPS["kept"]: "" if kept is None else items_as_svg(self.kept_items(kept), self.size[1], PIXELS_PER_MM),
            GROUPS["ghost"]: "" if ghost is None else "".join(ghost_svg(ghost, self._spots_in(pane)) for pane in self.panes),
        }

    def _grips(self, pane: Pane, held: Sequence[HandlePlace]) -> str:
        """Handles in a drawing, as large however near it is seen."""
        unit = self.window[2] / PIXELS_PER_MM
        return handle_marks(apart(in_pane(held, pane, self.size[1]), unit), unit, pane.kind)

    def kept_items(self, kept: Evaluation) -> list[Item]:
        """A layout kept beside the one that is drawn, in outline where it differs, each view cut where that one was."""
        items = key_items((EDGE, self.size[1] - EDGE - HEADING))
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
        self.shows, self.places = evaluation, places
        shown = KINDS if self.usual_scale else shown_kinds(evaluation, look.drawn, self.size)
        self.panes = panes_on(evaluation, self.size, self.usual_scale, shown)
        found = tints(evaluation, look.tinted_by)
        chosen = selected.key if selected is not None and not self.usual_scale else ""
        for pane in self.panes:
            made_of = (evaluation, places[pane.kind], pane, chosen, self.before, self.water_in, look.tinted_by)
            old = self._made.get(pane.kind)
            if old is None or (old.made_of != made_of and (pane.kind in now or old.made_of[2] != pane)):
                try:
                    items, key = _view(evaluation, pane, places[pane.kind], chosen, self.size[0], self.water_in, found)
                    items = flooded_items(items, tuple(self.water_in), evaluation.water, pane.placing, places[pane.kind])
                    items += _old_water(pane, self.before, places[pane.kind])
                except Exception:
                    # One view that fails must stop neither the page nor the other views.
                    self._made[pane.kind] = self._failed(pane, made_of, old)
                    continue
                self._made[pane.kind] = _Made(made_of, items, key, items_as_svg(items, self.size[1], PIXELS_PER_MM))

    def _failed(self, pane: Pane, made_of: tuple[Any, ...], old: _Made | None) -> _Made:
        """A view that cannot be drawn: as it was drawn last, or a sentence in its place; the first of a kind is written down."""
        if pane.kind not in self._told:
            self._told.add(pane.kind)
            log.exception("the %s could not be drawn", pane.kind)
        if old is not None and old.made_of[2] == pane:
            return _Made(made_of, old.items, old.key, old.svg)
        words = f"The {pane.kind} cannot be drawn here; move its cut a little."
        items: list[Item] = [Words((pane.left, pane.top), words, HEADING, PENCIL, "heading")]
        return _Made(made_of, items, {}, items_as_svg(items, self.size[1], PIXELS_PER_MM))

    def _key(self, evaluation: Evaluation, look: Look) -> SheetKey:
        """What the numbers mean now, also in a view that waits to be drawn, and the tints, ruling and outlines that are drawn."""
        made = [self._made[pane.kind] for pane in self.panes]
        drawn = [item for each in made for item in each.items]
        fills = {item.fill for item in drawn if isinstance(item, FilledArea) and item.layer == "compartments"}
        lines = [item for item in drawn if isinstance(item, Line)]
        strokes = {item.stroke for item in lines}
        ruled = any(item.stroke == RULING and item.layer == "water" for item in lines)
        used = {number for each in made for number in each.key}
        spaces = [(number, space) for number, space in enumerate(known_spaces(evaluation), 1) if number in used]
        left, bottom, right, top = room = key_room(evaluation, self.panes, self.size)
        return SheetKey(
            numbers=tuple((number, *_said_of(space, self.water_in)) for number, space in spaces),
            tints=(*_tint_rows(evaluation, look, fills), *key_rows([], ruled, bool(self.water_in))),
            outlines=tuple((words, stroke) for words, stroke in strokes_used(evaluation).items() if stroke in strokes),
            fits=room != NO_ROOM,
            room=(left / self.size[0], 1 - top / self.size[1], 1 - right / self.size[0], bottom / self.size[1]),
        )

    def _key_items(self, evaluation: Evaluation) -> list[Item]:
        """The key on paper, in the room for it."""
        items, at = _key_words(self.key, key_room(evaluation, self.panes, self.size, always=True))
        return [*items, *tint_key(self.key.tints, dict(self.key.outlines), at, KEY_SIZE, EDGE)]


def _said_of(space: KnownSpace, water_in: Mapping[str, float | None]) -> tuple[str, str, str]:
    """Name, litres and, where water came in, how much; and how it stands to the water, which its tint tells too."""
    name, amount, relation = space_lines(space, water_in)
    return (name, f"{amount}, {relation}", "") if space.name in water_in else (name, amount, relation)


def _key_words(key: SheetKey, room: Box) -> tuple[list[Item], Spot]:
    """What the numbers in the views mean, and the spot where more may be written beneath."""
    left, _, right, top = room
    characters = max(int((right - left) / text_width("x", KEY_SIZE)), LEAST_CHARACTERS)
    lines = [
        line
        for number, *words in key.numbers
        for line in textwrap.wrap(f"{number}  {', '.join(filter(None, words))}", characters, subsequent_indent="    ")
    ]
    top -= KEY_SIZE
    items: list[Item] = [
        Words((left, top - row * KEY_SIZE * 1.5), words, KEY_SIZE, INK, "names") for row, words in enumerate(lines)
    ]
    return items, (left, top - (len(lines) + 0.5 * bool(lines)) * KEY_SIZE * 1.5)


def _old_water(pane: Pane, before: WaterPlane | None, at: float) -> list[Item]:
    """Where the water stood before she was holed, as a thin line."""
    if before is None or pane.kind == "plan":
        return []
    ends = [pane.placing.boat(x, 0.0)[0] for x in (pane.left, pane.right)]
    spots = [pane.placing.spot(u, before.height(u, at) if pane.kind == "profile" else before.height(at, u)) for u in ends]
    return [line(spots, LineStyle(PENCIL, 0.2, (1.2, 0.9)), "water")]


def _tint_rows(evaluation: Evaluation, look: Look, drawn: set[str | None]) -> list[tuple[str, str]]:
    """What the tints that are drawn mean; where each space has its own, names and numbers in the drawings say it."""
    if look.tinted_by == "space":
        return []
    names = [space.name for space in evaluation.layout.compartments]
    return [(tint, words) for tint, words in tint_words(evaluation, look.tinted_by, names) if tint in drawn]


def _view(
    evaluation: Evaluation,
    pane: Pane,
    at: float,
    chosen: str,
    across: float,
    water_in: Mapping[str, float | None],
    tints: Mapping[str, str],
) -> tuple[list[Item], dict[int, str]]:
    """Together, distances aft stand under the plan only, heights beside the profile only: the views are aligned."""
    rows = {"beside": pane.beside > 0.0, "beneath": pane.beneath > 0.0, "named": pane.named}
    items, key = view_items(evaluation, pane.kind, at, pane.placing, chosen, **rows, water_in=water_in, tints=tints)
    words = heading(evaluation, pane.kind, at, evaluation.scene.units)
    left = max(min(pane.left, across - EDGE - text_width(words, HEADING)), EDGE)
    items.append(Words((left, pane.top + HEADING * 0.75), words[:1].upper() + words[1:], HEADING, PENCIL, "heading"))
    return items, key
