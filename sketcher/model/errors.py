"""One error for everything a user can cause: it names the file, line, key, the value as written, and the remedy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

QUOTED = 60
"""Characters that an error repeats of what somebody wrote."""
LONGEST = 240
"""Characters of what an error says is wrong, and of its remedy: more than is read before the file is looked at."""


def quoted(text: str, most: int = QUOTED) -> str:
    """What somebody wrote, as an error repeats it: on one line, shortened, letters that do not show by their numbers.

    >>> quoted("71\\ufeff"), quoted("people " * 50, 20)
    ('71\\\\ufeff', 'people people peopl…')
    """
    short = text if len(text) <= most else text[: most - 1] + "…"
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in short)


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
        key = None if self.key is None else quoted(self.key)
        head = ": ".join(part for part in (place, key, quoted(self.message, LONGEST)) if part)
        return f"{head}\n{quoted(self.remedy, LONGEST)}" if self.remedy else head


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a misspelt one most likely means, or None where nothing is near.

    >>> nearest("colision", ["main", "collision"])
    'collision'
    """
    from difflib import get_close_matches

    words = {name.casefold(): name for name in known}
    matches = get_close_matches(word.casefold(), words, n=1, cutoff=0.6)
    return words[matches[0]] if matches else None
