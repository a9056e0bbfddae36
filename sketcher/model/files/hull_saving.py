"""A hull and the text it came from, whole or half-entered: saving changes no more of the file than the owner changed."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sketcher.model.document import Document, compose, fingerprint, read_bytes, read_document, read_text
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.hull_rewriting import rewrite_hull
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.saving import changed_elsewhere
from sketcher.model.hull import Hull, Station


@dataclass(frozen=True, slots=True)
class HullDocument:
    """A hull as its file holds it. digest: of the file's bytes when they were read or written last."""

    path: str
    document: Document
    stated: Hull
    digest: str

    def at_home(self, hull: Hull) -> Hull:
        """The hull as this file would give it back; every edit keeps lengths to the file's step already."""
        return replace(hull, file=self.stated.file)

    def stated_by(self, document: Document) -> Hull:
        """The hull that another text says which is to stand in this file. Raises SketchError."""
        return self.at_home(hull_from(document, whole=False))

    def document_with(self, hull: Hull) -> Document:
        """The document changed to say this: a change of one number changes one line. It is read again before it is given out."""
        document = rewrite_hull(self.document, self.stated, hull)
        if self.stated_by(document) != self.at_home(hull):
            raise SketchError(
                "the changes do not fit into this file's layout", "Write its stations one below the other.", self.path
            )
        return document


def open_hull(path: str | os.PathLike[str]) -> HullDocument:
    """A hull with its text, ready to be changed and saved, also one that is no whole hull yet. Raises SketchError."""
    name = os.fspath(path)
    data = read_bytes(path)
    text, bom = read_text(data, name)
    document = compose(text, name, bom)
    return HullDocument(name, document, hull_from(document, whole=False), fingerprint(data))


def save_hull(opened: HullDocument, hull: Hull) -> HullDocument:
    """Save into the hull's own file. Raises SketchError where it was changed elsewhere or cannot be written."""
    if changed_elsewhere(opened):
        raise SketchError(
            "the hull's file was changed elsewhere since it was opened; nothing was saved",
            "Open the scene again and repeat the change.",
            opened.path,
        )
    document = opened.document_with(hull)
    data = document.encode(document.text)
    replace_file(opened.path, data)
    return HullDocument(opened.path, document, opened.at_home(hull), fingerprint(data))


def remeasure_hull(path: str | os.PathLike[str], stations: Sequence[Station]) -> Hull:
    """Put other stations into a hull's file, in the file's own unit, and give the hull it then describes.

    Comments and all other keys stay. Raises SketchError, and leaves the file, where it is no hull's or the stations do not go
    with the rest of it.
    """
    try:
        document = read_document(path)
        old = hull_from(document)
    except SketchError as problem:
        raise SketchError(
            f"this file is there already and cannot be read as a hull ({problem.message}); it was left as it is",
            "Mend it, or give the new hull another file's name.",
            problem.file,
            problem.line,
            problem.key,
        ) from None
    changed = rewrite_hull(document, old, replace(old, stations=tuple(stations)))
    hull = hull_from(changed)
    replace_file(path, document.encode(changed.text))
    return hull
