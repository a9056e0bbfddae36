"""Each limit of a scene judged, and what there is to say of those that are not met."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Phrase, Value
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.limits.figures import case_of, reading
from sketcher.analysis.limits.results import FigureReading, JudgedLimit, with_dimension
from sketcher.model.stated_limits import Side, StatedLimit

SLOW = ("sheets",)
"""Figures that take seconds."""
ENOUGH = 1e-6
"""Less than so much of a metre, cubic metre, kilogram or degree is not missing: it is rounding."""


def with_limits(evaluation: Evaluation, before: Sequence[JudgedLimit] = ()) -> Evaluation:
    """The evaluation with each limit of its scene judged, and a finding for each that is missed or not known.

    before: those of a moment ago, while something is dragged: what takes seconds stays as it was there.
    """
    limits = judged_limits(evaluation, [limit for limit in before if limit.stated.figure in SLOW])
    return replace(evaluation, limits=limits, findings=(*evaluation.findings, *limit_findings(limits)))


def judged_limits(evaluation: Evaluation, kept: Sequence[JudgedLimit] = ()) -> tuple[JudgedLimit, ...]:
    """Every limit of the scene, in the file's order, `kept` ones as they are; spaces that several hole are flooded once."""
    known = {limit.stated: limit for limit in kept}
    spaces = {space.name for space in evaluation.layout.compartments}
    holed = dict.fromkeys(limit.when_holed for limit in evaluation.scene.limits if limit.when_holed)
    cases = [case_of(evaluation, names) for names in holed if spaces.issuperset(names)]
    return tuple(known.get(limit) or judged_limit(evaluation, limit, cases) for limit in evaluation.scene.limits)


def judged_limit(evaluation: Evaluation, limit: StatedLimit, cases: Sequence[FloodingCase] = ()) -> JudgedLimit:
    """One limit. cases: of flooding that are known already."""
    return against(limit, reading(evaluation, limit, cases), limit.bound(evaluation.scene.units))


def against(limit: StatedLimit, read: FigureReading, bound: float) -> JudgedLimit:
    """A limit judged by its figure's reading."""
    if read.value is None:
        return JudgedLimit(limit, read, bound, False if read.lost else None, None)
    margin = read.value - bound if limit.side == "at_least" else bound - read.value
    return JudgedLimit(limit, read, bound, margin >= -ENOUGH, margin)


def limit_findings(limits: Sequence[JudgedLimit]) -> tuple[Finding, ...]:
    """A warning for each limit that is missed, or of which nothing can be known."""
    return tuple(_finding(limit) for limit in limits if not limit.met)


def _finding(limit: JudgedLimit) -> Finding:
    stated, read = limit.stated, limit.reading
    values: dict[str, Value] = {
        "limit": stated.name,
        "figure": figure_phrase(stated),
        "must": amount_phrase(stated, limit.bound, stated.side),
    }
    if read.value is None or limit.margin is None:
        code, more = "limit-unknown" if limit.met is None else "limit-lost", {"reason": read.why}
    else:
        code, more = (
            "limit-missed",
            {
                "value": amount_phrase(stated, read.value),
                "by": amount_phrase(stated, -limit.margin),
            },
        )
    return Finding(
        code=code,
        severity="warn",
        object=stated.of or stated.name,
        values={**values, **more},
        measured=read.value,
        limit=limit.bound,
    )


def figure_phrase(limit: StatedLimit) -> Phrase:
    """What a limit is about, to be put in words: `lid over water of tank top with forward void holed`."""
    return Phrase("limit-figure", {"figure": limit.figure, "of": limit.of, "holed": limit.when_holed})


def amount_phrase(limit: StatedLimit, value: float, side: Side | None = None) -> Phrase:
    """A value of a limit's figure, to be put in words; side: as what it must be at least or at most."""
    return Phrase("limit-amount", {"amount": with_dimension(value, limit.about.quantity), "side": side})
