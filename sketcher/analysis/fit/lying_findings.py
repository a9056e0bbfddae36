"""The lying places of everybody who has a berth, and findings about them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Length, Phrase, Value
from sketcher.analysis.fit.berths import STATURE_MARGIN
from sketcher.analysis.fit.lying import (
    ENOUGH,
    LEAST_OVER_BODY,
    LEAST_OVER_SEAT,
    Fitted,
    LyingPlace,
    judged_by_people,
    lying_place,
    place_as_stated,
    place_as_stated_now,
    stated_people,
    tallest,
    widens_aft,
)
from sketcher.analysis.fit.remedies import laid_higher, length_laid, mends
from sketcher.analysis.results import BerthFigures, Layout
from sketcher.model.contents import Person
from sketcher.model.errors import SketchError
from sketcher.model.scene import Berth

TOLD_LONGER = 0.001
"""[m] A clear run longer than a person can lie by more than this is told, with why."""

TOLD_WIDER = 0.05
"""[m] Ends that differ less in width are as good as each other for shoulders."""


def lying_places(layout: Layout, berths: Sequence[BerthFigures]) -> tuple[tuple[LyingPlace, ...], tuple[Finding, ...]]:
    """Everybody who has a berth, berth by berth in the file's order, and what there is to say.

    At most two lie in one berth; of more, only the first two are judged, and that is said. Raises SketchError for a berth that
    is not there or a person without width.
    """
    by_name = {each.name: each for each in berths}
    places: list[LyingPlace] = []
    findings: list[Finding] = []
    for berth in dict.fromkeys(person.berth for person in layout.scene.people):
        people = [person for person in layout.scene.people if person.berth == berth]
        if berth not in by_name:
            raise SketchError(f"there is no berth `{berth}`", "", layout.scene.file, key=f"people.{people[0].name}.berth")
        place = lying_place(layout, by_name[berth], people)
        if place.short_by is not None and place.short_by > 0.0:
            place = replace(place, mends=mends(layout, place, people))
        places.append(place)
        findings += [*_more_than_two(people), *_fit_findings(layout, place, people)]
        findings += _height_findings(layout, place, people)
        findings += _head_in_the_narrow_end(by_name[berth], place)
    return tuple(places), tuple(findings)


def with_stated_people(evaluation: Evaluation) -> Evaluation:
    """The evaluation with its berths judged by the people that their own `stature` stands for, where nobody is named for them."""
    places, said = places_as_stated(evaluation.layout, evaluation.berths)
    berths = judged_by_people(evaluation.berths, places)
    return replace(evaluation, berths=berths, lying_as_stated=places, findings=(*evaluation.findings, *said))


def stated_followed(evaluation: Evaluation, before: Sequence[LyingPlace]) -> Evaluation:
    """The evaluation of a layout that something moves in, its berths judged by where people lay a moment before."""
    berths_now = {berth.name: berth for berth in evaluation.berths if berth.length is not None}
    places = tuple(place_as_stated_now(berths_now[place.berth], place) for place in before if place.berth in berths_now)
    return replace(evaluation, berths=judged_by_people(evaluation.berths, places), lying_as_stated=places)


def places_as_stated(layout: Layout, berths: Sequence[BerthFigures]) -> tuple[tuple[LyingPlace, ...], tuple[Finding, ...]]:
    """Those whom the `people` and `stature` of berths stand for that nobody is named for, and who of them has no room."""
    named = {person.berth for person in layout.scene.people}
    places: list[LyingPlace] = []
    findings: list[Finding] = []
    for asked, berth in zip(layout.scene.berths, berths, strict=True):
        people = () if asked.name in named else stated_people(asked)
        if not people or berth.length is None:
            continue
        place = place_as_stated(layout, berth, people)
        if place.short_by is not None and place.short_by > 0.0:
            place = replace(place, mends=mends(layout, place, people))
        places.append(place)
        if asked.people > 2:
            findings.append(_judged_for_two(asked))
        if not place.fits:
            findings.append(_stated_finding(layout, berth, place, people))
    return tuple(places), tuple(findings)


def _judged_for_two(berth: Berth) -> Finding:
    values: dict[str, Value] = {"berth": berth.name, "people": berth.people}
    return Finding(code="berth-judged-for-two", severity="note", object=berth.name, values=values)


def _stated_finding(layout: Layout, berth: BerthFigures, place: LyingPlace, people: Sequence[Person]) -> Finding:
    if place.length is None or place.short_by is None:
        return Finding(
            code="berth-too-narrow",
            severity="warn",
            object=place.berth,
            values={
                "berth": place.berth,
                "people": len(people),
                "shoulders": Length(place.shoulders),
                "feet": Length(place.feet),
            },
            measured=place.cushion,
            limit=place.shoulders,
            source="sea-berth",
        )
    higher = None if place.mends else laid_higher(layout, place, people)
    run = berth.length if berth.length is not None and berth.length > place.length + TOLD_LONGER else None
    return Finding(
        code="berth-short",
        severity="warn",
        object=place.berth,
        values={
            "berth": place.berth,
            "people": len(people),
            "length": Length(place.length),
            "short": Length(place.short_by),
            "stature": Length(people[0].stature),
            "margin": Length(STATURE_MARGIN),
            "run": None if run is None else Length(run),
            "shoulders": Length(place.shoulders),
            "moves": place.mends,
            "higher": None if higher is None else Length(higher),
        },
        measured=place.length,
        limit=place.needed,
        source="stature-margin",
    )


def _more_than_two(people: Sequence[Person]) -> tuple[Finding, ...]:
    if len(people) <= 2:
        return ()
    berth = people[0].berth
    return (
        Finding(
            code="berth-more-than-two",
            severity="warn",
            object=berth,
            values={"berth": berth, "people": tuple(person.name for person in people)},
        ),
    )


def _fit_findings(layout: Layout, place: LyingPlace, people: Sequence[Person]) -> tuple[Finding, ...]:
    if place.fits is None or place.fits:
        return ()
    if place.length is None:
        return (
            Finding(
                code="person-too-wide",
                severity="warn",
                object=place.berth,
                values={
                    "berth": place.berth,
                    "people": place.people[:2],
                    "shoulders": Length(place.shoulders),
                    "feet": Length(place.feet),
                },
                measured=place.cushion,
                limit=place.shoulders,
                source="sea-berth",
            ),
        )
    higher = None if place.mends else laid_higher(layout, place, people)
    return (
        Finding(
            code="person-does-not-fit",
            severity="warn",
            object=place.berth,
            values={
                "berth": place.berth,
                "people": place.people[:2],
                "lengths": tuple(Length(one.length) for one in place.each if one.length is not None),
                "lacking": tuple(_lacking(one) for one in place.each if not one.fits),
                "fitting": tuple(_fitting(one) for one in place.each if one.fits),
                "margin": Length(STATURE_MARGIN),
                "moves": place.mends,
                "higher": None if higher is None else Length(higher),
            },
            measured=place.length,
            limit=place.needed,
            source="stature-margin",
        ),
    )


def _lacking(one: Fitted) -> Phrase:
    short = Length(one.short_by or 0.0)
    return Phrase("length-lacking", {"person": one.name, "short": short, "needed": Length(one.needed)})


def _fitting(one: Fitted) -> Phrase:
    return Phrase("length-enough", {"person": one.name, "needed": Length(one.needed)})


def _head_in_the_narrow_end(berth: BerthFigures, place: LyingPlace) -> tuple[Finding, ...]:
    """A finding where somebody has the length only with the head in the narrow end; the wide end is for shoulders."""
    wider = widens_aft(berth)
    if place.fits is not True or len(place.sleepers) != 1 or abs(wider) < TOLD_WIDER:
        return ()
    outline = place.sleepers[0].outline
    head_aft = bool(outline[:2, 0].mean() > outline[2:, 0].mean())
    if head_aft == (wider > 0.0):
        return ()
    other = max(
        (each[0].length for each in place.arrangements if (np.cos(each[0].angle) < 0.0) != head_aft),
        default=None,
    )
    return (
        Finding(
            code="berth-head-narrow",
            severity="note",
            object=place.berth,
            values={
                "berth": place.berth,
                "person": place.people[0],
                "head": "aft" if head_aft else "forward",
                "wider": Length(abs(wider)),
                "longest": None if other is None else Length(other),
                "needed": Length(place.needed),
            },
            measured=other,
            limit=place.needed,
        ),
    )


def _height_findings(layout: Layout, place: LyingPlace, people: Sequence[Person]) -> tuple[Finding, ...]:
    """Findings for a berth too low over the knees or for sitting up, by the person with the least height."""
    findings = []
    for code, attribute, least in (
        ("berth-low-over-body", "over_knees", LEAST_OVER_BODY),
        ("berth-low-over-seat", "over_seat", LEAST_OVER_SEAT),
    ):
        heights = [(getattr(sleeper, attribute), sleeper.name) for sleeper in place.sleepers]
        height, who = min(heights, default=(None, ""))
        if height is not None and height < least:
            findings.append(
                Finding(
                    code=code,
                    severity="note",
                    object=place.berth,
                    values={
                        "berth": place.berth,
                        "height": Length(height),
                        "person": who,
                        "least": Length(least),
                        "remedy": _lower(layout, place, people, least - height),
                    },
                    measured=height,
                    limit=least,
                    source="small-cruiser-class",
                )
            )
    return tuple(findings)


def _lower(layout: Layout, place: LyingPlace, people: Sequence[Person], by: float) -> Phrase:
    """Whether a berth can be laid so much lower [m], tried on the real hull."""
    length = length_laid(layout, place, people, -by)
    now = tallest(place.arrangements[0]) if place.arrangements else 0.0
    if length is not None and length >= min(max(place.needs), now) - ENOUGH:
        return Phrase("lay-lower", {"by": Length(by)})
    berth = next(berth for berth in layout.scene.berths if berth.name == place.berth)
    lid = next((lid for lid in layout.scene.lids if lid.name == berth.lies_on), None)
    if lid is not None and lid.built != "planned":
        return Phrase("lid-under-it-built", {"lid": lid.name})
    return Phrase("too-narrow-laid-lower", {"by": Length(by), "longest": None if length is None else Length(length)})
