"""Work not saved yet, kept beside its file so that a crash or a closed laptop loses nothing.

Each session keeps its own file and holds a lock on it as long as it lives, so that two of one scene do not write over each
other's work, and what a living one keeps is not offered to another.
"""

from __future__ import annotations

import os
import re
import secrets
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO, Generic, Protocol, TypeVar
from weakref import finalize

from sketcher.model.document import Document, compose, read_bytes, read_text
from sketcher.model.errors import SketchError
from sketcher.model.files.replacement import replace_file

try:
    import fcntl
except ImportError:
    fcntl = None  # type: ignore[assignment]

T = TypeVar("T")

RECOVERY_SUFFIX = ".sketch-recovery"
_RECOVERY_HEAD = "# kept from work not saved; the file then was "


class OpenedFile(Protocol[T]):
    """A scene or a hull and the text it came from. digest: of the file's bytes as they were read or written last."""

    @property
    def path(self) -> str: ...

    @property
    def digest(self) -> str: ...

    @property
    def stated(self) -> T:
        """What the file says."""

    def at_home(self, stated: T) -> T:
        """The same as this file would give it back."""

    def document_with(self, stated: T) -> Document:
        """The text changed to say this. Raises SketchError."""

    def stated_by(self, document: Document) -> T:
        """What another text says that is to stand in this file. Raises SketchError."""


@dataclass(frozen=True, slots=True)
class Recovery(Generic[T]):
    """Work that was not saved. stated: the scene or hull as it was; stale: whether its file was changed after the work began.

    kept: when it was kept last [seconds since 1970].
    """

    path: str
    stated: T
    stale: bool
    kept: float


@dataclass(eq=False, repr=False)
class KeptWork(Generic[T]):
    """One session's own work on one scene or hull, in a hidden file beside its own, until it is saved.

    path: of its own file; token: what tells this session's file from others'.
    """

    path: str
    token: str = field(default_factory=lambda: secrets.token_hex(4))
    _held: finalize[[int], Any] | None = None

    @property
    def file(self) -> Path:
        target = Path(self.path)
        return target.with_name(f".{target.name}.{self.token}{RECOVERY_SUFFIX}")

    def keep(self, opened: OpenedFile[T], stated: T) -> None:
        """Keep unsaved work in place of what was kept before. Raises SketchError where nothing can be written there."""
        document = opened.document_with(opened.at_home(stated))
        held: list[int] = []
        text = f"{_RECOVERY_HEAD}{opened.digest}\n{document.text}"
        replace_file(self.file, text.encode(), before=lambda handle: held.append(_hold(handle)))
        self.let_go()
        self._held = finalize(self, os.close, held[0])

    @property
    def is_there(self) -> bool:
        """Whether anything is kept."""
        return self._held is not None

    def drop(self) -> None:
        """Forget the work kept."""
        with suppress(OSError):
            self.file.unlink(missing_ok=True)
        self.let_go()

    def let_go(self) -> None:
        """Leave what is kept to the next opening, as the end of the program does."""
        if self._held is not None:
            self._held()
            self._held = None


def recovery_files(path: str | os.PathLike[str]) -> list[Path]:
    """The files of work kept beside a scene or a hull, by whatever session, the newest first."""
    target = Path(path)
    own = re.compile(rf"\.{re.escape(target.name)}(?:\.[0-9a-f]{{8}})?{re.escape(RECOVERY_SUFFIX)}")
    by_age = []
    with suppress(OSError):
        for item in target.parent.iterdir():
            if own.fullmatch(item.name) and item.is_file():
                by_age.append((-item.stat().st_mtime, item))
    return [item for _, item in sorted(by_age)]


def find_recoveries(opened: OpenedFile[T], *, held: bool = False) -> list[Recovery[T]]:
    """Work kept beside a scene or a hull that differs from it, the newest first; what cannot be read any more is no work.

    held: also what living sessions keep.
    """
    found = (_read(opened, path) for path in recovery_files(opened.path) if held or not is_held(path))
    return [recovery for recovery in found if recovery is not None]


def _read(opened: OpenedFile[T], path: Path) -> Recovery[T] | None:
    try:
        text, _ = read_text(read_bytes(path), str(path))
        head, _, body = text.partition("\n")
        stated = opened.stated_by(compose(body, opened.path))
        kept = path.stat().st_mtime
    except (SketchError, OSError):
        return None
    if not head.startswith(_RECOVERY_HEAD) or stated == opened.stated:
        return None
    return Recovery(str(path), stated, head.removeprefix(_RECOVERY_HEAD).strip() != opened.digest, kept)


def drop_recovery(found: Recovery[Any]) -> None:
    """Forget work that an ended session kept."""
    with suppress(OSError):
        Path(found.path).unlink(missing_ok=True)


def _hold(handle: BinaryIO) -> int:
    """Lock a file as long as the descriptor given back stays open; where the system has no locks, it is just left open."""
    held = os.dup(handle.fileno())
    if fcntl is not None:
        with suppress(OSError):
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    return held


def is_held(path: Path) -> bool:
    """Whether the session that keeps a file still lives."""
    if fcntl is None:
        return False
    try:
        with open(path, "rb") as handle:
            fcntl.flock(handle, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    except OSError:
        return False
    return False
