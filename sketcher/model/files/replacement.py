"""Files replaced whole or left as they were."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from sketcher.model.errors import SketchError


def replace_file(path: str | os.PathLike[str], data: bytes, before: Callable[[BinaryIO], None] | None = None) -> None:
    """Put `data` in a file's place in one step; a link is followed, rights are kept.

    before: called with the new file, written whole, before it takes its place.
    Raises SketchError where it cannot be written; then the file is as it was and nothing is left beside it.
    """
    name = os.fspath(path)
    try:
        target = Path(name).resolve()
        standing = target.stat().st_mode if target.exists() else None
        if standing is not None and not stat.S_ISREG(standing) and not stat.S_ISDIR(standing):
            raise ValueError("this is no ordinary file")
        mode = None if standing is None else stat.S_IMODE(standing)
        if mode is not None and (not mode & 0o222 or not os.access(target, os.W_OK)):
            raise PermissionError(13, "it is marked read-only")
        _write_beside(target, data, mode, before)
    except (OSError, ValueError, RuntimeError) as problem:
        raise SketchError(f"the file cannot be written: {_reason(problem)}", _remedy(problem), file=name) from None


def _write_beside(target: Path, data: bytes, mode: int | None, before: Callable[[BinaryIO], None] | None) -> None:
    """Write a new file beside the target and put it in its place once it is safe on the disk."""
    beside = target.with_name(f".{target.name}.{os.getpid()}.new")
    try:
        beside.unlink(missing_ok=True)
        with open(beside, "xb") as handle:
            handle.write(data)
            handle.flush()
            os.fsync(handle.fileno())
            if before is not None:
                before(handle)
        if mode is not None:
            os.chmod(beside, mode)
        os.replace(beside, target)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise


def _reason(problem: Exception) -> str:
    return getattr(problem, "strerror", None) or str(problem)


def _remedy(problem: Exception) -> str:
    if isinstance(problem, FileNotFoundError):
        return "Make the folder first, or name another."
    if isinstance(problem, IsADirectoryError):
        return "Give a file's name inside the folder."
    if isinstance(problem, PermissionError):
        return "Choose a folder you may write to, or change the file's rights."
    return "Choose another place."
