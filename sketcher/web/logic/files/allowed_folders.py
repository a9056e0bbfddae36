"""The folders that were chosen at the start: no file outside them is read or written through a page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sketcher.model.errors import SketchError

SCENE_ENDINGS, TABLE_ENDINGS = (".yaml", ".yml"), (".csv",)
MOST_SHOWN = 400
"""Files of one kind offered in a list: more could not be read through."""
HEAD_BYTES = 4096
"""Bytes read of a file to see whether it is a scene or a hull: its first key stands among the first comments."""


@dataclass(frozen=True, slots=True)
class AllowedFolders:
    """Chosen folders, resolved, the nearest first: of two files in folders of one name the nearer is offered.

    A page names a file by the name that it is offered under, never by a path of its own. home: where new files go; None: beside
    what is open.
    """

    chosen: tuple[Path, ...]
    home: Path | None = None

    @classmethod
    def about(cls, *paths: Path, home: Path | None = None) -> AllowedFolders:
        """The folders of some files, and folders themselves; each once, in order."""
        folders = [(path if path.is_dir() else path.parent).resolve() for path in paths]
        return cls(tuple(dict.fromkeys(folders)), home)

    def scenes(self) -> dict[str, Path]:
        """Scene files by the name they are offered under."""
        return self._offered(SCENE_ENDINGS, "scene")

    def hulls(self) -> dict[str, Path]:
        """Hull files and tables of tape measurements by the name they are offered under."""
        return self._offered(SCENE_ENDINGS, "hull") | self._offered(TABLE_ENDINGS, None)

    def _offered(self, endings: tuple[str, ...], key: str | None) -> dict[str, Path]:
        found: dict[str, Path] = {}
        for folder in self.chosen:
            for path in sorted(folder.iterdir()) if folder.is_dir() else ():
                if path.suffix.lower() in endings and self.holds(path) and (key is None or _begins_with(path, key)):
                    found.setdefault(f"{folder.name}/{path.name}", path)
        return dict(list(found.items())[:MOST_SHOWN])

    def holds(self, path: Path) -> bool:
        """Whether a path, its links followed, lies directly in a chosen folder."""
        try:
            return path.resolve().parent in self.chosen and not path.name.startswith(".")
        except OSError:
            return False

    def new_file(self, beside: Path, name: str) -> Path:
        """The path of a file to be written beside another, or at home. Raises SketchError for anything but a plain .yaml name."""
        name = name.strip()
        if name and not name.lower().endswith(SCENE_ENDINGS):
            name += ".yaml"
        path = (self.home or beside.parent) / name
        if not name or name.startswith(".") or any(c in name for c in "/\\\0:") or not name.isprintable() or not self.holds(path):
            raise SketchError(
                f"`{name}` is no plain file name",
                "Give a name without folders, such as second-layout.yaml; it is kept beside this one.",
            )
        return path


def _begins_with(path: Path, key: str) -> bool:
    """Whether a file's first key is `key`, comments left out."""
    try:
        with path.open("rb") as handle:
            head = handle.read(HEAD_BYTES).decode("utf-8-sig", errors="replace")
    except OSError:
        return False
    first = next((line for line in head.splitlines() if line.strip() and not line.lstrip().startswith("#")), "")
    return first.split(":", 1)[0].strip() == key
