"""Findings about a file that holds a hull or a scene."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.model.document import Document, read_document
from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.analysis.evaluation import Evaluation
    from sketcher.analysis.flooding.results import FloodingCase
    from sketcher.analysis.hull.form import HullForm

SHORTEST, LONGEST = 2.0, 30.0
"""[m] A boat that people refit with a saw is longer than a pram dinghy and shorter than a ship; else a unit is mistaken."""


class CheckedFile(NamedTuple):
    """unit: of the file's lengths; findings: what was noticed, what stops first. Of a scene also all that is known of it.

    cases: of flooding, those that are told first.
    """

    unit: str
    findings: tuple[Finding, ...]
    evaluation: Evaluation | None = None
    cases: Sequence[FloodingCase] = ()


def findings_of_file(path: str | os.PathLike[str]) -> CheckedFile:
    """What is noticed of a hull's measurements, or of a scene once it is evaluated.

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


def _of_hull(document: Document) -> CheckedFile:
    from sketcher.analysis.evaluate import findings_in_order, hull_form
    from sketcher.analysis.survey.findings import check_hull
    from sketcher.model.files.hull_file import hull_from

    hull = hull_from(document)
    form = hull_form(hull)
    return CheckedFile(hull.units, findings_in_order((*check_hull(hull), *form.findings, *length_finding(form))))


def _of_scene(document: Document) -> CheckedFile:
    from sketcher.analysis.evaluate import evaluate, findings_in_order, with_flooding
    from sketcher.analysis.flooding.cases import first_cases
    from sketcher.model.files.scene_file import scene_from

    dry = evaluate(scene_from(document))
    cases = first_cases(dry.layout, dry.water, dry.floating)
    evaluation = with_flooding(dry, cases)
    found = findings_in_order((*evaluation.findings, *length_finding(evaluation.layout.hull)))
    return CheckedFile(evaluation.scene.units, found, evaluation, cases)


def length_finding(form: HullForm) -> tuple[Finding, ...]:
    """A note where a hull is too long or too short for a small boat; one measured only in part may be of any length."""
    hull, length = form.hull, form.x_after - form.x_forward
    if length <= LONGEST and (length >= SHORTEST or hull.open_aft):
        return ()
    return (
        Finding(
            code="odd-length",
            severity="note",
            object=hull.name,
            values={"hull": hull.name, "length": Length(length), "unit": hull.units},
            measured=length,
            limit=Phrase("lengths-between", {"least": Length(SHORTEST), "most": Length(LONGEST)}),
        ),
    )
