"""Every place of one or two ranges, worked out by all cores."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from itertools import product

from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.places.place_rows import check_question, row_at
from sketcher.analysis.places.rows import PlaceRow, Question, Sweep

Places = Sequence[tuple[float, ...]]
Watch = Callable[[int, int], bool]
"""Told how many places are done and how many there are; False: no more, what is done is kept."""

AT_ONCE = 4
"""Places that a worker takes at a time: few, so that none waits for another, and so that a stop comes soon."""
AHEAD = 3
"""Takings handed out beyond those at work, so that no worker waits."""
LOOK = 0.2
"""[s] How often the watch is asked while nothing comes."""


def sweep(question: Question, executor: Executor | None = None, watch: Watch | None = None) -> Sweep:
    """Every place of the question's ranges, the last range quickest, each as exact as a report of its own.

    executor: works places out, and is left running; None: a process for each core. watch: may stop the work.
    """
    check_question(question)
    places = list(product(*(wanted.values for wanted in question.ranges)))
    found = rows_of(question, places, executor, watch)
    return Sweep(question, tuple(found[place] for place in places if place in found), complete=len(found) == len(set(places)))


def rows_of(
    question: Question, places: Places, executor: Executor | None = None, watch: Watch | None = None
) -> dict[tuple[float, ...], PlaceRow]:
    """The rows of some places, soonest first as given. executor, watch: as for `sweep`."""
    if executor is None:
        with processes(len(places), question) as ours:
            return rows_of(question, places, ours, watch)
    found: dict[tuple[float, ...], PlaceRow] = {}
    for rows in _as_they_come(question, places, executor, lambda: watch is None or watch(len(found), len(places))):
        found.update((row.values, row) for row in rows)
    if watch is not None:
        watch(len(found), len(places))
    return found


def several_rows(question: Question, places: Places) -> list[PlaceRow]:
    """The rows of a few places: what a worker is handed."""
    return [row_at(question, place) for place in places]


def _as_they_come(question: Question, places: Places, executor: Executor, go_on: Callable[[], bool]) -> Iterator[list[PlaceRow]]:
    """Takings of rows in the order in which workers are done with them; what is at work when it stops is waited for."""
    waiting = [places[start : start + AT_ONCE] for start in range(0, len(places), AT_ONCE)]
    working: set[Future[list[PlaceRow]]] = set()
    most = (getattr(executor, "_max_workers", None) or os.cpu_count() or 1) + AHEAD
    while waiting or working:
        while waiting and len(working) < most:
            working.add(executor.submit(several_rows, question, waiting.pop(0)))
        done, working = wait(working, LOOK, FIRST_COMPLETED)
        for each in done:
            yield each.result()
        if not go_on():
            waiting = []
            working = {each for each in working if not each.cancel()}


@contextmanager
def processes(places: int, question: Question) -> Iterator[Executor]:
    """A process for each core, or as many as there are takings.

    A process without other threads is copied with the hull's surfaces in it; else workers start afresh.
    """
    alone = "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1
    if alone:
        hull_form(question.scene.hull)
    workers = max(1, min(os.cpu_count() or 1, -(-places // AT_ONCE)))
    context = multiprocessing.get_context("fork" if alone else "spawn")
    with ProcessPoolExecutor(workers, mp_context=context, initializer=_left_alone) as executor:
        yield executor


def _left_alone() -> None:
    """Ctrl-C is for who started the work, who stops it as they wish."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
