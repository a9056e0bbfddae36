"""One error for everything a user can cause: it names the file, line, key, the value as written, and the remedy."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass
class SketchError(Exception):
    """What is wrong and what to write instead; shown in one to three lines, never as a traceback.

    message: what is wrong, naming the thing and its value as written. remedy: what to write or do instead.
    file, line (counted from 1), key: where it stands, when it came from a file; key is dotted, e.g. `bulkheads.main.rake`.
    """

    message: str
    remedy: str = ""
    file: str | None = None
    line: int | None = None
    key: str | None = None

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        head = ": ".join(part for part in (place, self.key, self.message) if part)
        return f"{head}\n{self.remedy}" if self.remedy else head
