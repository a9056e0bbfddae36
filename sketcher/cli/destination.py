"""Where a command writes: nothing that it read, and nothing that is no earlier output of its own, is written over unasked."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterable
from dataclasses import dataclass

from sketcher.model.errors import SketchError

SEEN = 100_000
"""Bytes at each end of a file that tell what it is."""

OWN = {
    "report": rb"(?m)^COMPARTMENTS  ",
    "figures for other programs": rb'\A\{\s*"scene": [^\n]*\n\s*"hull": [^\n]*\n\s*"waterline": ',
    "spreadsheet": rb"\Akind,name,use,volume_m3,",
    "spreadsheet of places": rb"\Akind,[^\n]*\.[^\n]*,error\r?\n",
    "table of drafts": rb"(?m)^ *draft +water at ",
    "table of flooding": rb"(?m)^IF HOLED  ",
    "comparison": rb"\AA  [^\n]*\n   [^\n]*\n(?:   [^\n]*\n)*B  ",
    "picture": rb"\A\x89PNG\r\n\x1a\n(?s:.)*Software\x00sketcher",
    "drawing": rb"""\A(?:<svg [^>]*font-family="'DejaVu Sans', 'Segoe UI'|%PDF-(?s:.)*/Creator \(sketcher\))""",
    "packed boat": rb"\APK\x03\x04(?s:.{26})scene\.yaml",
    "scene": rb"(?!)",
    "hull": rb"",
}
"""Each kind of output, and what its files have at their beginning or end. A scene is an owner's from its first day; into a hull
only its stations are written, by what reads it first."""

_SEEMS = (
    ("a scene", rb'(?m)^"?scene"?:'),
    ("a hull", rb'(?m)^"?hull"?:'),
    ("a table of measurements", rb"(?m)^station *[,;\t]"),
)


@dataclass(frozen=True, slots=True)
class Destination:
    """path: of the file to write. kind: a key of `OWN`, what goes into it; overwrite: the owner said that it may be lost."""

    path: str
    kind: str
    overwrite: bool

    def refuse_loss(self, read: Iterable[str | os.PathLike[str] | None] = ()) -> None:
        """Raises SketchError where writing would lose what was read in this run, or a file that is no output of this kind.

        read: the files that were read, None for what came from none; links are followed, so that no second name hides one.
        """
        if self.overwrite:
            return
        try:
            there = os.stat(self.path)
        except (OSError, ValueError):
            return
        if any(_same(there, path) for path in read):
            raise self._refusal("this file has just been read")
        if not stat.S_ISREG(there.st_mode) or not there.st_size:
            return
        ends = _ends(self.path)
        if not re.search(OWN[self.kind], ends):
            seems = next((words for words, mark in _SEEMS if re.search(mark, ends)), "another file")
            raise self._refusal(f"there is {seems} of this name already")

    def _refusal(self, why: str) -> SketchError:
        remedy = f"Give the {self.kind} another name, or add --overwrite if this file may be lost."
        return SketchError(f"{why}; it was left as it is", remedy, file=self.path)


def _same(there: os.stat_result, path: str | os.PathLike[str] | None) -> bool:
    try:
        return path is not None and os.path.samestat(there, os.stat(path))
    except (OSError, ValueError):
        return False


def _ends(path: str) -> bytes:
    """What a file begins and ends with; nothing where it may not be read."""
    try:
        with open(path, "rb") as handle:
            head = handle.read(SEEN)
            handle.seek(max(os.fstat(handle.fileno()).st_size - SEEN, len(head)))
            return head.removeprefix(b"\xef\xbb\xbf") + handle.read(SEEN)
    except OSError:
        return b""
