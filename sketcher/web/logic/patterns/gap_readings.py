"""Gaps read in the boat round the boards of the panel that is looked at: where, what was read, and the hull corrected by them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import dist

from sketcher.analysis.cut.fitting import first_of, least_sure, reading_points, skin_read
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.cut.skin_shift import READING_ERROR
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.hull.correction import moved_points
from sketcher.model.cutting import GapReading, PartReadings
from sketcher.model.edits.readings import MovedPoint, MovePoints, RecordReadings
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.web.state import Boards
from sketcher.web.typed_state import BoardDoubt, GapRow

SAME_SPOT = 0.002
"""[m] A gap read so near to a place where one is asked for was read there."""


def gap_rows(gap: float, readings: Sequence[PartReadings], whole: Pattern, fitted: Pattern) -> Iterator[GapRow]:
    """The places where gaps round a board are read, then those of readings taken elsewhere; whole: before it followed any.

    gap [m]: as planned.
    """
    taken = read_of_board(readings, whole.name)
    moved = {fit.at: fit.moved for fit in fitted.fits}
    left = list(taken.gaps_to)
    points = reading_points(whole)
    for number, point in enumerate(points, 1):
        to = "hull" if point.edge == "hull" else "deck"
        mine = next((each for each in left if each[0] == to and dist(each[1].at, point.at) <= SAME_SPOT), None)
        row = GapRow(board=whole.name, number=number, at=point.at, to=to, planned=gap)  # type: ignore[arg-type]
        if mine is not None:
            left.remove(mine)
            row = replace(row, at=mine[1].at, read=mine[1].gap, moved=moved.get(mine[1].at))
        yield row
    planned = {fit.at: fit.planned for fit in fitted.fits}
    for number, (kind, reading) in enumerate(left, len(points) + 1):
        expected = planned.get(reading.at, gap)
        yield GapRow(
            board=whole.name,
            number=number,
            at=reading.at,
            to=kind,
            planned=expected,
            read=reading.gap,
            moved=moved.get(reading.at),
        )


def board_doubts(wholes: Sequence[Pattern], rows: Sequence[GapRow]) -> Iterator[BoardDoubt]:
    """How sure the edge of each board is by the gaps read of it, or would be by those that are read first."""
    for whole in wholes:
        mine = [row for row in rows if row.board == whole.name]
        read = [row for row in mine if row.read is not None]
        counted = read or first_of(mine, lambda row: row.to)
        worst = least_sure(whole, [(row.to, row.at) for row in counted])
        if worst is not None:
            then = next((row.number for row in mine if row.read is None), None)
            yield BoardDoubt(board=whole.name, count=len(counted), at=worst.at, within=worst.within, read=bool(read), then=then)


def read_of_board(readings: Sequence[PartReadings], board: str) -> PartReadings:
    """What was read of a board; nothing yet where there is nothing."""
    return next((each for each in readings if each.name == board), PartReadings(name=board))


def gap_read(boards: Boards, scene: Scene, board: str, number: int, gap: float | None) -> RecordReadings:
    """The edit that records a gap [m] at one of the places, or takes it out again. Raises SketchError where there is no such."""
    row = next((each for each in boards.gaps if (each.board, each.number) == (board, number)), None)
    if row is None:
        raise SketchError(f"no gap is read at {number} of {board}", "Look at the pattern again: it has changed.")
    if gap is not None and gap < 0.0:
        raise SketchError("a gap is 0 or more", "Where the board touches, write 0.")
    taken = read_of_board(boards.readings, board)
    mine = taken.gaps if row.to == "hull" else taken.deck_gaps
    was = next((each for each in mine if each.at == row.at), None)
    kept = tuple(each for each in mine if each is not was)
    if gap is not None:
        kept = (*kept, GapReading(at=row.at, gap=gap, other=None if was is None else was.other))
    fresh = replace(taken, gaps=kept) if row.to == "hull" else replace(taken, deck_gaps=kept)
    # Gaps that were read of parts are told as the whole board's from now on.
    told = (each for each in boards.readings if each.name != board and each not in scene.as_built)
    return RecordReadings((*told, fresh))


def hull_by_gaps(evaluation: Evaluation, boards: Boards, board: str) -> tuple[MovePoints, RecordReadings]:
    """The edits that move the hull's points to the gaps read of a board, and take these off it: they are in the hull then.

    Raises SketchError where no point would move.
    """
    scene, layout = evaluation.scene, evaluation.layout
    wholes = panel_patterns(layout, evaluation.water, [boards.panel.name], None)
    whole = next((each for each in wholes if each.name == board), None)
    taken = read_of_board(boards.readings, board)
    points: tuple[MovedPoint, ...] = ()
    if whole is not None and taken.gaps:
        places, off = skin_read(whole, layout.hull.fine, scene.cutting.gap, taken)
        points = moved_points(layout.hull.fine, places, off, READING_ERROR) if len(off) else ()
    if not points:
        raise SketchError("by these gaps no point of the hull moves by a millimetre", "Read more, or leave her as she is.")
    told = (each for each in boards.readings if each.name != board and each not in scene.as_built)
    return MovePoints(points, board), RecordReadings((*told, replace(taken, gaps=())))
