"""Work for a page done beside it by one thread, and of what was asked only the newest."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

log = logging.getLogger(__name__)

Asked = TypeVar("Asked")


@dataclass(eq=False, repr=False)
class NewestAsked(Generic[Asked]):
    """work: works out what was asked; while it does, something else may come to be `wanted`. name: of the work, in the log.

    wanted: what was asked last; what was asked before and is not begun is dropped. hold: guards it, and what a user keeps beside.
    """

    work: Callable[[Asked], None]
    name: str
    wanted: Asked | None = None
    hold: threading.RLock = field(default_factory=threading.RLock)
    _thread: threading.Thread | None = None

    def ask(self, asked: Asked) -> None:
        """Work this out next."""
        with self.hold:
            self.wanted = asked
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name=self.name, daemon=True)
                self._thread.start()

    @property
    def behind(self) -> bool:
        """Whether anything is still to be worked out."""
        return self._thread is not None

    def wait(self) -> None:
        """Until all that was asked is worked out."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def _run(self) -> None:
        done: Asked | None = None
        while True:
            with self.hold:
                asked = self.wanted
                if asked is None or asked is done:
                    self._thread = None
                    return
            try:
                self.work(asked)
            except Exception:
                log.exception("the %s could not be worked out", self.name)
            done = asked
