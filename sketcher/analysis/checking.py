"""What there is to say of a file that holds a hull or a scene, before anything is built on it."""

from __future__ import annotations

import os

from sketcher.analysis.results import Finding
from sketcher.model.document import Document, read_document
from sketcher.model.errors import SketchError


def findings_of_file(path: str | os.PathLike[str]) -> tuple[Finding, ...]:
    """A hull read as a loftsman would, or a scene evaluated: what was noticed.

    Raises SketchError where the file is neither, cannot be read, or cannot be built.
    """
    document = read_document(path)
    if document.find("scene") is not None:
        return _of_scene(document)
    if document.find("stations") is not None or document.find("hull") is not None:
        return _of_hull(document)
    raise SketchError(
        "this is neither a hull nor a scene",
        "A hull's file begins with `hull:` and has `stations:`, a scene's begins with `scene:`.",
        file=document.file,
    )


def _of_hull(document: Document) -> tuple[Finding, ...]:
    from sketcher.analysis.evaluate import hull_form, in_order
    from sketcher.analysis.loftsman import check_hull
    from sketcher.model.hull_file import hull_from

    hull = hull_from(document)
    return in_order((*check_hull(hull), *hull_form(hull).findings))


def _of_scene(document: Document) -> tuple[Finding, ...]:
    from sketcher.analysis.evaluate import evaluate
    from sketcher.model.scene_file import scene_from

    return evaluate(scene_from(document)).findings
