"""Everybody who has a berth: who lies where, and what is to be said of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from shapely.geometry import Polygon

from sketcher.analysis.findings import Finding
from sketcher.analysis.fit.access import entrances
from sketcher.analysis.fit.berth_remedies import laid_higher, length_laid, mends
from sketcher.analysis.fit.berths import STATURE_MARGIN
from sketcher.analysis.fit.lying import (
    ENOUGH,
    LEAST_OVER_BODY,
    LEAST_OVER_SEAT,
    SleepingPlace,
    sleeping_place,
    tallest,
    widens_aft,
)
from sketcher.analysis.phrases import listed, mm
from sketcher.analysis.results import BerthRoom, Layout
from sketcher.analysis.spaces.blocks import home_of
from sketcher.model.contents import Person
from sketcher.model.errors import SketchError

TOLD_WIDER = 0.05
"""[m] Ends that differ less in width are as good as each other for shoulders."""


def sleeping_places(layout: Layout, berths: Sequence[BerthRoom]) -> tuple[tuple[SleepingPlace, ...], tuple[Finding, ...]]:
    """Everybody who has a berth, berth by berth in the file's order, and what there is to say.

    At most two lie in one berth; of more, only the first two are judged, and that is said. Raises SketchError for a berth that
    is not there or a person without width.
    """
    rooms = {room.name: room for room in berths}
    places: list[SleepingPlace] = []
    findings: list[Finding] = []
    for berth in dict.fromkeys(person.berth for person in layout.scene.people):
        people = [person for person in layout.scene.people if person.berth == berth]
        if berth not in rooms:
            raise SketchError(f"there is no berth `{berth}`", "", layout.scene.file, key=f"people.{people[0].name}.berth")
        place = sleeping_place(layout, rooms[berth], people)
        if place.short_by is not None and place.short_by > 0.0:
            place = replace(place, mends=mends(layout, place, people))
        places.append(place)
        findings += [*_more_than_two(people), *_fit_findings(layout, place, people)]
        findings += _height_findings(layout, place, people)
        findings += _head_in_the_narrow_end(rooms[berth], place)
        findings += _way_out(layout, rooms[berth])
    return tuple(places), tuple(findings)


def _more_than_two(people: Sequence[Person]) -> tuple[Finding, ...]:
    if len(people) <= 2:
        return ()
    berth = people[0].berth
    return (
        Finding(
            code="berth-more-than-two",
            severity="warn",
            object=berth,
            message=f"{listed([person.name for person in people])} are to lie in {berth}; one berth is judged for two, so "
            f"{listed([person.name for person in people[:2]])} are. Give the others a berth of their own.",
        ),
    )


def _fit_findings(layout: Layout, place: SleepingPlace, people: Sequence[Person]) -> tuple[Finding, ...]:
    who = listed(place.people[:2])
    if place.fits is None or place.fits:
        return ()
    if place.length is None:
        return (
            Finding(
                code="person-too-wide",
                severity="warn",
                object=place.berth,
                message=f"{place.berth} has no place for {who}: {mm(place.shoulders)} at the shoulders and {mm(place.feet)} at "
                f"the feet go nowhere on it{'' if len(place.people) == 1 else ', side by side or otherwise'}. Widen it, or give "
                "them other berths.",
                measured=place.cushion,
                limit=place.shoulders,
                source="sea-berth",
            ),
        )
    short = [one for one in place.each if not one.fits]
    missing = listed([f"{mm(one.short_by or 0.0)} short of the {mm(one.needed)} that {one.name} needs" for one in short])
    fitting = "".join(f" {one.name} needs {mm(one.needed)} and fits." for one in place.each if one.fits)
    remedy = f"Move {' or '.join(place.mends)}." if place.mends else _without_moving(layout, place, people)
    return (
        Finding(
            code="person-does-not-fit",
            severity="warn",
            object=place.berth,
            message=f"{_lie(place)} long at the most on {place.berth}: {missing} "
            f"(stature and {mm(STATURE_MARGIN)} of room).{fitting} {remedy}",
            measured=place.length,
            limit=place.needed,
            source="stature-margin",
        ),
    )


def _lie(place: SleepingPlace) -> str:
    """Who lies at what length: `Ada lies 1800 mm`."""
    first, *others = [(one.name, mm(one.length)) for one in place.each if one.length is not None]
    if not others:
        return f"{first[0]} lies {first[1]}"
    ((name, length),) = others
    alike = f"{first[0]} and {name}, both alike, lie {length}"
    return alike if length == first[1] else f"Beside each other {first[0]} lies {first[1]} and {name} {length}"


def _without_moving(layout: Layout, place: SleepingPlace, people: Sequence[Person]) -> str:
    """What to do about a berth too short that no planned bulkhead mends, tried at other heights."""
    higher = laid_higher(layout, place, people)
    if higher is not None:
        return f"No planned bulkhead moved by itself mends it; laid {mm(higher)} higher it is long enough."
    return "No planned bulkhead moved by itself mends it, nor a greater height: change its outline, or give them another berth."


def _head_in_the_narrow_end(room: BerthRoom, place: SleepingPlace) -> tuple[Finding, ...]:
    """One who has the length only with the head where the berth is narrow: the wide end is for shoulders."""
    wider = widens_aft(room)
    if place.fits is not True or len(place.sleepers) != 1 or abs(wider) < TOLD_WIDER:
        return ()
    outline = place.sleepers[0].outline
    head_aft = bool(outline[:2, 0].mean() > outline[2:, 0].mean())
    if head_aft == (wider > 0.0):
        return ()
    wide, narrow = ("aft", "forward") if wider > 0.0 else ("forward", "aft")
    other = max((way[0].length for way in place.ways if (np.cos(way[0].angle) < 0.0) != head_aft), default=None)
    there = "there is no such place" if other is None else f"the longest is {mm(other)}, {mm(place.needed - other)} short"
    return (
        Finding(
            code="berth-head-narrow",
            severity="note",
            object=place.berth,
            message=f"{place.people[0]} fits on {place.berth} only with the head {narrow}, in its narrow end; with the head "
            f"{wide}, where it is {mm(abs(wider))} wider at the shoulders, {there}.",
            measured=other,
            limit=place.needed,
        ),
    )


def _height_findings(layout: Layout, place: SleepingPlace, people: Sequence[Person]) -> tuple[Finding, ...]:
    """Too low over knees or for sitting up, for the one who has it lowest."""
    found = []
    for name, attribute, least, words in (
        ("over-body", "over_knees", LEAST_OVER_BODY, "over the knees"),
        ("over-seat", "over_seat", LEAST_OVER_SEAT, "over the place to sit"),
    ):
        heights = [(getattr(sleeper, attribute), sleeper.name) for sleeper in place.sleepers]
        height, who = min(heights, default=(None, ""))
        if height is not None and height < least:
            found.append(
                Finding(
                    code=f"berth-low-{name}",
                    severity="note",
                    object=place.berth,
                    message=f"{place.berth} is {mm(height)} high {words} of {who}; {mm(least)} is the least of a class of small "
                    f"cruisers. {_lower(layout, place, people, least - height)}",
                    measured=height,
                    limit=least,
                    source="small-cruiser-class",
                )
            )
    return tuple(found)


def _lower(layout: Layout, place: SleepingPlace, people: Sequence[Person], by: float) -> str:
    """Whether a berth can be laid so much lower, tried on the real hull."""
    length = length_laid(layout, place, people, -by)
    now = tallest(place.ways[0]) if place.ways else 0.0
    if length is not None and length >= min(max(place.needs), now) - ENOUGH:
        return f"Lay it {mm(by)} lower, or accept it."
    berth = next(berth for berth in layout.scene.berths if berth.name == place.berth)
    lid = next((lid for lid in layout.scene.lids if lid.name == berth.lies_on), None)
    if lid is not None and lid.built != "planned":
        return f"The lid it lies on, {lid.name}, is built: accept it, or sit elsewhere."
    left = "nobody would find room" if length is None else f"the longest to lie would be {mm(length)}"
    return f"Laid {mm(by)} lower, where the hull is narrower, {left}: accept it, or sit elsewhere."


def _way_out(layout: Layout, room: BerthRoom) -> tuple[Finding, ...]:
    """Whether a person gets straight out to the deck from the space the berth is in."""
    if not len(room.outline):
        return ()
    x, y = Polygon(room.outline).representative_point().coords[0]
    home = home_of(np.array([x, y, room.surface + 0.01]), [space.mesh for space in layout.compartments])
    if home < 0:
        return ()
    space = layout.compartments[home]
    hatches = [door for door in entrances(layout, space) if door.through == "deck"]
    if any(door.limb == "person" for door in hatches):
        return ()
    largest = f"; its largest, {hatches[0].name}, is {mm(hatches[0].sides[0])} x {mm(hatches[0].sides[1])}" if hatches else ""
    return (
        Finding(
            code="berth-way-out",
            severity="note",
            object=room.name,
            message=f"Who sleeps in {room.name} has no hatch to the deck that a person gets through in {space.name}{largest}. "
            "See that there is a second way out, not past the stove: 450 mm round, or 380 mm at least and 0.18 m².",
            source="escape-opening",
        ),
    )
