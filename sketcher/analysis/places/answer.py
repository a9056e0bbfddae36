"""The answer to `which place is best?`: what was asked for, the place, or what stands against there being one."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.findings import Finding
from sketcher.analysis.places.best import PlaceSearch
from sketcher.analysis.places.excluding import Relaxation, excluding_sets, relaxations
from sketcher.analysis.places.place_rows import check_question
from sketcher.analysis.places.rows import PlaceRow, Question
from sketcher.analysis.places.sweep import Places, Watch, processes, rows_of
from sketcher.model.edits.number_range import at_places
from sketcher.model.errors import SketchError, quoted
from sketcher.model.stated_limits import StatedLimit, figure_asked

MOST_RANGES = 4
FORM = "Write it like --best 'most:litres of forward void' or --best 'least:trim with forward void holed'."


@dataclass(frozen=True, slots=True)
class Answer:
    """best: the place that meets every limit with the most, or least, of a figure; None: no place was found that meets them all.

    excluding: then the smallest sets of limits that exclude each other; relaxations: of each of these, the least that lets it.
    noticed: what the report would warn of at the best place that it does not warn of now.
    """

    goal: StatedLimit
    most: bool
    best: PlaceRow | None
    excluding: tuple[tuple[str, ...], ...] = ()
    relaxations: tuple[Relaxation, ...] = ()
    noticed: tuple[Finding, ...] = ()

    @property
    def path(self) -> str:
        """Where the report's JSON has the goal's figure."""
        rows = [self.best, *(each.row for each in self.relaxations)]
        return next((limit.path for row in rows if row is not None for limit in row.read), "")

    @property
    def value(self) -> float | None:
        """The goal's figure at the best place."""
        return None if self.best is None else _goal_value(self.best)


def goal_asked(text: str) -> tuple[StatedLimit, bool]:
    """The figure to have most or least of, as typed; True for most. Raises SketchError with the nearest right word."""
    side, colon, rest = text.partition(":")
    if side not in ("most", "least") or not colon or not rest.strip():
        raise SketchError(f"--best {quoted(text)!r} is no goal", FORM)
    most = side == "most"
    return figure_asked(rest.strip(), FORM, "at_least" if most else "at_most"), most


def best_place(
    question: Question, goal: StatedLimit, most: bool, executor: Executor | None = None, watch: Watch | None = None
) -> tuple[Answer, PlaceSearch]:
    """The best place, and all that were looked at. executor, watch: as for `sweep`.

    Raises SketchError for more numbers at once than `MOST_RANGES`.
    """
    if len(question.ranges) > MOST_RANGES:
        raise SketchError(f"{len(question.ranges)} numbers at once; at most {MOST_RANGES} can be searched", "Leave some out.")
    question = replace(question, more=(*question.more, goal))
    check_question(question)
    if executor is None:
        with processes(1000, question) as ours:
            return best_place(replace(question, more=question.more[:-1]), goal, most, ours, watch)
    stopped = False

    def look(places: Places) -> dict[tuple[float, ...], PlaceRow]:
        nonlocal stopped
        if stopped:
            return {}
        found = rows_of(question, places, executor, lambda done, _: watch is None or watch(len(search.rows) + done, 0))
        stopped = len(found) < len(places)
        return found

    search = PlaceSearch(question, look)
    names = [limit.name for limit in question.scene.limits]
    best = search.best(lambda row: _wanted(row, most), names)
    if best is not None or stopped:
        return Answer(goal, most, best), search
    sets = excluding_sets(search)
    exclude: Sequence[str] = list(dict.fromkeys(name for each in sets for name in each))
    return Answer(goal, most, None, sets, relaxations(search, exclude)), search


def with_noticed(question: Question, answer: Answer) -> Answer:
    """The answer with what would be warned of at the best place and is not where things stand now: limits do not tell that."""
    if answer.best is None:
        return answer
    now = {(finding.code, finding.object) for finding in evaluate(question.scene).findings}
    there = evaluate(at_places(question.scene, question.ranges, answer.best.values)).findings
    new = (each for each in there if each.severity != "note" and (each.code, each.object) not in now)
    return replace(answer, noticed=tuple(new))


def _wanted(row: PlaceRow, most: bool) -> float | None:
    value = _goal_value(row)
    return None if value is None else value if most else -value


def _goal_value(row: PlaceRow) -> float | None:
    return next((limit.value for limit in row.read), None)
