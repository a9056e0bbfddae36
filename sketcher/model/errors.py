"""One error for everything a user can cause: it names the file, line, key, the value as written, and the remedy."""

from __future__ import annotations

from collections.abc import Iterable
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


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a misspelt one most likely means, or None where nothing is near.

    >>> nearest("colision", ["main", "collision"])
    'collision'
    """
    from difflib import get_close_matches

    words = {name.casefold(): name for name in known}
    found = get_close_matches(word.casefold(), words, n=1, cutoff=0.6)
    return words[found[0]] if found else None
