"""Processes beside the server, begun when something is first wanted of them, and ended with it."""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
import threading
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Any

log = logging.getLogger(__name__)

NICE, NICEST = 10, 19
"""How far the processes stand back: where there is a core for them, and where they share the only one with the hand."""
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
