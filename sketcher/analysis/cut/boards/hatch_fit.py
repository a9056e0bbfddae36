"""Whether each board goes below, and whether it comes out of one sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.cut.boards.mass import SAME_THICKNESS
from sketcher.analysis.cut.boards.nesting import USUAL_SHEET
from sketcher.analysis.cut.boards.routes_below import routes_below
from sketcher.analysis.cut.results import Joint, Passage, Pattern
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.fit.access import ESCAPE_AREA, ESCAPE_LEAST, ESCAPE_ROUND
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.leaks.opening_shapes import outline
from sketcher.geometry.flat.widths import extents, fits_on, least_width, widest_through
from sketcher.model.cutting import Sheet
from sketcher.model.scene import Opening, Scene

CLEARANCE = 0.005
"""[m] A board is taken to pass where it clears the opening by so much: hands, protruding screws and a tape's error."""


@dataclass(frozen=True, eq=False)
class Limits:
    """What boards of one thickness must keep to. room: the widest [m] that goes through the opening, None: not known.

    sheets: sizes less their margins [m], the first along the grain.
    """

    opening: str | None
    room: float | None
    sheets: tuple[tuple[float, float], ...]

    def fits_sheet(self, area: shapely.Geometry, grain: tuple[float, float] | None) -> bool:
        """Whether an outline comes out of one sheet, its grain along the sheet's if it has one."""
        angles = np.linspace(0.0, np.pi, 181) if grain is None else np.array([float(np.arctan2(grain[1], grain[0]))])
        return any(len(fits_on(area, size, angles)) for size in self.sheets)


def opening_below(scene: Scene) -> Opening | None:
    """The opening that boards go below by: the one named in `cutting`, else the deck's largest; None where there is none."""
    named = scene.cutting.through
    if named is not None:
        return next((opening for opening in scene.openings if opening.name == named), None)
    deck = [opening for opening in scene.openings if opening.through == "deck"]
    return max(deck, key=lambda opening: _widest_board_in(opening, 0.012), default=None)


def _widest_board_in(opening: Opening, thickness: float) -> float:
    """The widest board [m] of a thickness that goes through an opening."""
    return widest_through(outline(opening), thickness) - CLEARANCE


def limits_for(scene: Scene, thickness: float, route: Sequence[Opening] | None = None) -> Limits:
    """What boards of a thickness must keep to. route: the openings to their place, none for the boat's outside.

    Where no route is given, it is through the one opening that boards go below by.
    """
    if route is None:
        named = opening_below(scene)
        route = () if named is None else (named,)
    opening = min(route, key=lambda each: _widest_board_in(each, thickness), default=None)
    sheets: Sequence[Sheet] = [s for s in scene.sheets if abs(s.thickness - thickness) <= SAME_THICKNESS and s.have != 0]
    less = 2 * scene.cutting.margin
    sizes = [sheet.size for sheet in sheets] or [USUAL_SHEET]
    return Limits(
        opening=None if opening is None else opening.name,
        room=None if opening is None else _widest_board_in(opening, thickness),
        sheets=tuple((size[0] - less, size[1] - less) for size in sizes),
    )


def why_not(limits: Limits, pattern: Pattern, area: shapely.Geometry) -> Phrase | None:
    """Why a board cannot be in one piece; None where it can."""
    width, _ = least_width(area)
    if limits.room is not None and width > limits.room:
        values = {"width": Length(width), "opening": limits.opening, "room": Length(limits.room)}
        return Phrase("wider-than-way", values)
    return None if limits.fits_sheet(area, pattern.grain) else Phrase("larger-than-sheet")


def passage(scene: Scene, pattern: Pattern, route: Sequence[Opening] | None = None, run: float | None = None) -> Passage:
    """How a board goes to its place. route: the openings it goes through, as for `limits_for`; run [m]: as in `Passage`."""
    limits = limits_for(scene, pattern.thickness, route)
    width, turn = least_width(pattern.blank)
    return Passage(
        pattern=pattern.name,
        opening=limits.opening,
        least_width=width,
        room=limits.room,
        passes=None if limits.room is None else width <= limits.room,
        through=tuple(each.name for each in route or ()) or ((limits.opening,) if limits.opening else ()),
        length=float(extents(pattern.blank, np.array([turn]))[0, 0]),
        run=run,
    )


def passing_findings(scene: Scene, passages: Sequence[Passage], joints: Sequence[Joint] = ()) -> Iterator[Finding]:
    """Findings: panels cut in parts, boards that do not go below even so, and a stated hatch that does not exist."""
    for panel in dict.fromkeys(joint.panel for joint in joints):
        mine = [joint for joint in joints if joint.panel == panel]
        yield Finding(
            code="panel-in-parts",
            severity="note",
            object=panel,
            values={"panel": panel, "joints": len(mine), "reason": mine[0].reason},
            source=mine[0].source,
        )
    named = scene.cutting.through
    if named is not None and opening_below(scene) is None:
        yield Finding(
            code="no-such-way-below",
            severity="warn",
            object=named,
            values={"opening": named},
        )
    for each in passages:
        if each.passes is False and each.room is not None:
            yield Finding(
                code="board-does-not-pass",
                severity="warn",
                object=each.pattern,
                values={
                    "board": each.pattern,
                    "width": Length(each.least_width),
                    "opening": each.opening,
                    "room": Length(each.room),
                },
                measured=each.least_width,
                limit=each.room,
            )
        if each.turns is False and each.run is not None:
            yield Finding(
                code="board-may-not-turn",
                severity="warn",
                object=each.pattern,
                values={
                    "board": each.pattern,
                    "length": Length(each.length),
                    "opening": each.through[0],
                    "run": Length(each.run),
                },
                measured=each.length,
                limit=each.run,
            )


@dataclass(frozen=True, slots=True)
class ShutOut:
    """A panel whose boards no longer get to its place once another stands, `before` which it therefore goes in.

    width [m]: of its widest board; opening, room [m]: what is then left and what passes it; None where nothing leads there.
    """

    before: str
    width: float
    opening: str | None
    room: float | None


def boards_shut_out(
    layout: Layout, order: Sequence[str], parts: Sequence[Pattern], wholes: Sequence[Pattern]
) -> dict[str, ShutOut]:
    """The panels that go in too late in an order, though they get to their places while nothing stands.

    Where a person gets in, parts are joined there; where only an arm does, the whole must get in joined.
    """
    found: dict[str, ShutOut] = {}
    first = routes_below(layout)
    for at, panel in enumerate(order):
        for known in range(at if panel in first else 0):
            route = routes_below(layout, order[: known + 1]).get(panel)
            new = None if route is None else [each for each in route if each not in first[panel]]
            if new == []:
                continue
            joined = new is None or not all(map(_gets_in, new))
            boards = [board for board in (wholes if joined else parts) if board.panel == panel]
            through = [passage(layout.scene, board, new or ()) for board in boards]
            stuck = [each for each in through if new is None or each.passes is False]
            if stuck:
                worst = max(stuck, key=lambda each: each.least_width)
                left = (None, None) if new is None else (worst.opening, worst.room)
                found[panel] = ShutOut(order[known], worst.least_width, *left)
                break
    return found


def _gets_in(opening: Opening) -> bool:
    """Whether a person gets through an opening."""
    shape = outline(opening)
    (width, height), whole = extents(shape, np.array([0.0]))[0], opening.diameter is not None
    least = min(width, height)
    return bool(least >= ESCAPE_ROUND if whole else least >= ESCAPE_LEAST and shape.area >= ESCAPE_AREA)


def parts_that_pass(parts: tuple[tuple[Pattern, Passage], ...]) -> tuple[bool | None, list[Passage]]:
    """Whether all parts go below, None where that is not known; and those that do not."""
    stuck = [each for _, each in parts if each.passes is False]
    known = all(each.passes is not None for _, each in parts)
    return (not stuck if known else None), stuck
