"""A boat in one file to send to someone: an ordinary zip with `scene.yaml` and `hull.yaml`, which any program can open.

A part is read by its name alone, from memory, and no name in the zip is ever taken for a place on the disk.
"""

from __future__ import annotations

import io
import os
import zlib
from collections.abc import Mapping
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from sketcher.model.errors import SketchError, quoted

if TYPE_CHECKING:
    import zipfile  # imported only where there is a zip: it takes as long as a tenth of all that a report imports

ENDING = ".zip"
SCENE_PART, HULL_PART = "scene.yaml", "hull.yaml"
"""The layout, and the hull that it names."""
LARGEST = 8_000_000
"""Bytes of a zip, many times those of any boat's."""
MOST_PARTS = 200
"""Files in a zip that are looked through: some systems add their own when a folder is packed again."""
ASK_AGAIN = "Ask for it to be packed and sent again: sketcher pack SCENE -o FILE.zip."


def is_packed(path: str | os.PathLike[str]) -> bool:
    """Whether a path is that of a zip that is there."""
    name = os.fspath(path)
    return name.lower().endswith(ENDING) and os.path.isfile(name)


def zip_of(path: str | os.PathLike[str]) -> str | None:
    """The zip that a part's path, `boat.zip/scene.yaml`, lies in; None for any other path."""
    folder = os.path.dirname(os.fspath(path))
    return folder if is_packed(folder) else None


def read_part(file: str, part: str, most: int) -> bytes:
    """A part of a zip, of so many bytes at most. Raises SketchError where it is not there, too large or cannot be read."""
    import zipfile

    try:
        if os.path.getsize(file) > LARGEST:
            raise SketchError(f"the zip has {os.path.getsize(file) / 1e6:.0f} MB, a boat's stays far below", ASK_AGAIN, file)
        with zipfile.ZipFile(file) as whole:
            found = _named(whole, part, file)
            with whole.open(found) as stream:
                data = stream.read(most + 1)
    except (OSError, ValueError, EOFError, RuntimeError, NotImplementedError, zipfile.BadZipFile, zlib.error) as problem:
        why = "it is locked by a password" if "password" in str(problem) else "it is no zip, or is broken"
        raise SketchError(f"the zip cannot be opened: {why}", ASK_AGAIN, file) from None
    if len(data) > most:
        raise SketchError(f"{part} in it is larger than {most / 1e6:.0f} MB; a boat's file stays below", ASK_AGAIN, file)
    return data


def _named(whole: zipfile.ZipFile, part: str, file: str) -> zipfile.ZipInfo:
    """The one part of a name, in whatever folder of the zip. Raises SketchError where there is none, or more than one."""
    import zipfile

    parts = whole.infolist()
    if len(parts) > MOST_PARTS:
        raise SketchError(f"the zip holds {len(parts)} files; a boat's holds two", ASK_AGAIN, file)
    found = [each for each in parts if PurePosixPath(each.filename).name == part and not each.is_dir()]
    if len(found) != 1:
        held = quoted(", ".join(each.filename for each in parts[:4]) or "nothing")
        words = "more than one" if found else "no"
        raise SketchError(f"there is {words} `{part}` in this zip; it holds {held}", ASK_AGAIN, file)
    if found[0].compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise SketchError(f"{part} in it is packed in an unusual way", ASK_AGAIN, file)
    return found[0]


def as_zip(parts: Mapping[str, bytes]) -> bytes:
    """Parts as a zip, the same bytes every time."""
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
        for name, data in parts.items():
            whole.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()
