"""Processes beside the server, begun when something is first wanted of them, and ended with it."""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Any

log = logging.getLogger(__name__)

NICE, NICEST = 10, 19
"""How far the processes stand back: where there is a core for them, and where they share the only one with the hand."""
PAUSE = 0.05
"""Seconds until it looks again whether the hand is still."""
LONGEST_END = 2.0
"""Seconds that they may take to end."""


class KeptProcesses(SpawnContext):
    """Begins processes afresh, and remembers them, so that they can be ended without waiting for what they are at."""

    def __init__(self) -> None:
        super().__init__()
        self.begun: list[SpawnProcess] = []

    def Process(self, *args: Any, **kwargs: Any) -> SpawnProcess:  # type: ignore[override]  # noqa: N802
        process = SpawnProcess(*args, **kwargs)
        self.begun.append(process)
        return process


@dataclass(eq=False, repr=False)
class Workers:
    """One process less than there are cores, one at least. cores: how many there are."""

    cores: int = field(default_factory=lambda: available_cores())
    _executor: ProcessPoolExecutor | None = None
    _context: KeptProcesses | None = None
    _hold: threading.Lock = field(default_factory=threading.Lock)

    @property
    def count(self) -> int:
        """How many there are, once they are begun."""
        return max(1, self.cores - 1)

    @property
    def running(self) -> tuple[SpawnProcess, ...]:
        """The processes that are there."""
        return () if self._context is None else tuple(each for each in self._context.begun if each.is_alive())

    def executor(self) -> ProcessPoolExecutor:
        """What works things out; its processes begin with the first."""
        with self._hold:
            if self._executor is None:
                self._context = KeptProcesses()
                by = NICE if self.cores > 1 else NICEST
                self._executor = ProcessPoolExecutor(self.count, mp_context=self._context, initializer=stand_back, initargs=(by,))
            return self._executor

    def end(self) -> None:
        """End the processes, whatever they are at; they begin again when something is wanted."""
        with self._hold:
            executor, context = self._executor, self._context
            self._executor = self._context = None
        if executor is None or context is None:
            return
        for process in context.begun:
            process.terminate()
        # Waited for, but not for ever, so that what the processes shared is given back before the program ends.
        ending = threading.Thread(target=partial(executor.shutdown, cancel_futures=True), daemon=True)
        ending.start()
        ending.join(LONGEST_END)


class StoppedError(Exception):
    """The search was left."""


@dataclass(eq=False)
class InPatience(Executor):
    """Hands work on to another executor, no more at once than it can begin, and none while it is to wait."""

    executor: Executor
    most: int
    waiting: Callable[[], bool]
    stopped: Callable[[], bool]
    _at_work: set[Future[Any]] = field(default_factory=set)

    def submit(self, function: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Wait until there is room and nothing to wait for, then hand on. Raises StoppedError once it is not wanted."""
        while True:
            self._at_work = {each for each in self._at_work if not each.done()}
            if self.stopped():
                raise StoppedError
            if len(self._at_work) < self.most and not self.waiting():
                break
            time.sleep(PAUSE)
        work = self.executor.submit(function, *args, **kwargs)
        self._at_work.add(work)
        return work

    def end(self) -> None:
        """Take back what has not begun."""
        for each in self._at_work:
            each.cancel()


def available_cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def stand_back(by: int) -> None:
    """In a process that is begun: leave the core to the server, Ctrl-C too, and end when it does, however it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if hasattr(os, "nice"):
        os.nice(by)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.join,), daemon=True).start()


def _end_with(parent_ended: Any) -> None:
    parent_ended()
    os._exit(0)
