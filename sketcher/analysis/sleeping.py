"""Who sleeps where: the longest person a berth's outline holds, how high it is over them, and what would mend what is short."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field, replace

import numpy as np
from shapely.geometry import Polygon

from sketcher.analysis.berths import STATURE_MARGIN, berth_rooms, headroom
from sketcher.analysis.blocks import home_of
from sketcher.analysis.panels import place_panels
from sketcher.analysis.phrases import listed, mm
from sketcher.analysis.results import BerthRoom, Finding, Layout
from sketcher.analysis.rooms import entrances
from sketcher.geometry.figures import Lying, Taper
from sketcher.geometry.fitting import places_for_one, places_for_two
from sketcher.geometry.frozen import dataclass
from sketcher.geometry.memory import remembered
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import TOUCHING
from sketcher.model.contents import Person
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, FromPanel, Scene

SHOULDERS, FEET = 0.533, 0.330
"""Widths [m] of who does not state them: the 21 in and 13 in of a published sea berth; source `sea-berth`."""

KNEES_FROM_HEAD, SEAT_FROM_HEAD = 0.715, 0.48
"""Where knees and seat lie, as shares of the length from the head end; of stature from memory, source `body-shares`."""

HEAD_FROM_END = 0.15
"""[m] The middle of the head from the head end of the outline, pillow included."""

LEAST_OVER_BODY, LEAST_OVER_SEAT, SEAT_SIDE = 0.35, 0.85, 0.40
"""[m] Least height over the base of a berth, and over a sitting place of this side; source `small-cruiser-class`."""

ON_BOARDS = 1e-4
"""[m] The boards' outline is taken this far above them, clear of the boards' own plane."""

MEND_STEP = 0.005
"""[m] What would mend a berth is given in steps that can be marked on wood."""


Ways = tuple[tuple[Lying, ...], ...]
"""Ways for one or two to lie, the longest first."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Sleeper:
    """One person in place. outline: (4, 2) x, y in plan [m]; headroom over head, knees and sitting place [m]."""

    name: str
    outline: Floats = field(repr=False)
    over_head: float | None
    over_knees: float | None
    over_seat: float | None


@dataclass(frozen=True, eq=False, kw_only=True)
class SleepingPlace:
    """A berth with the people who are to lie in it. length: the longest they could be told to lie at, all alike [m].

    needed: the tallest one's stature with the margin; short_by: what is missing [m]. shoulders, feet: the widest among them.
    boards, cushion [m2]: areas of the berth's outline at the boards' top and at the cushion's, with the outlines (k, 2) x, y [m],
    holes not in them. sleepers: as they would lie of themselves, straight where that is long enough. mends: what would make it
    long enough, each in words. ways: the best ways to lie, for following a change. None: not known, or no place at all.
    """

    berth: str
    people: tuple[str, ...]
    length: float | None
    needed: float
    short_by: float | None
    fits: bool | None
    shoulders: float
    feet: float
    surface: float
    boards: float | None
    cushion: float | None
    boards_outline: Floats = field(repr=False)
    cushion_outline: Floats = field(repr=False)
    sleepers: tuple[Sleeper, ...]
    mends: tuple[str, ...] = ()
    ways: Ways = field(default=(), repr=False)


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
            place = replace(place, mends=_mends(layout, place, people))
        places.append(place)
        findings += [*_more_than_two(people), *_fit_findings(layout, place), *_height_findings(place)]
        findings += _way_out(layout, rooms[berth])
    return tuple(places), tuple(findings)


def sleeping_place(layout: Layout, room: BerthRoom, people: Sequence[Person], near: Ways = ()) -> SleepingPlace:
    """The people's place on a berth. near: the `ways` of a moment ago, to follow a change without searching afresh."""
    taper, needed = figure_of(people), max(person.stature for person in people[:2]) + STATURE_MARGIN
    ways = ways_to_lie(room, taper, len(people), near)
    lying = _natural(room, taper, ways, needed, len(people))
    length = ways[0][0].length if ways else None
    runs_out = room.line is not None and room.length is None
    cushion, boards = _outline(room), _boards(layout, room)
    return SleepingPlace(
        berth=room.name,
        people=tuple(person.name for person in people),
        length=None if runs_out else length,
        needed=needed,
        short_by=None if length is None or runs_out else max(0.0, needed - length),
        fits=None if runs_out else length is not None and length >= needed - 1e-6,
        shoulders=taper.head,
        feet=taper.foot,
        surface=room.surface,
        boards=None if boards is None else float(_outline(boards).area),
        cushion=None if cushion.is_empty else float(cushion.area),
        boards_outline=np.zeros((0, 2)) if boards is None else boards.outline,
        cushion_outline=room.outline,
        sleepers=tuple(_sleeper(layout, room, figure, person) for figure, person in zip(lying, people, strict=False)),
        ways=ways,
    )


def ways_to_lie(room: BerthRoom, taper: Taper, people: int, near: Ways = ()) -> Ways:
    """The best ways for one or two to lie on a berth's outline, longest first; empty where they do not fit."""
    outline = _outline(room)
    if not near:
        return _searched(outline, taper, people)
    return _ways(outline, taper, people, near)


@remembered(16)
def _searched(outline: Polygon, taper: Taper, people: int) -> Ways:
    return _ways(outline, taper, people, ())


def _ways(outline: Polygon, taper: Taper, people: int, near: Ways) -> Ways:
    if people == 1:
        return tuple((figure,) for figure in places_for_one(outline, taper, [way[0] for way in near]))
    pairs = places_for_two(outline, taper, [(way[0], way[1]) for way in near if len(way) == 2])
    # Of ways equally long to the millimetre, people choose the one with both heads at the same end.
    return tuple(sorted(pairs, key=lambda pair: (-round(pair[0].length, 3), np.cos(pair[0].angle - pair[1].angle) < 0.0)))


def lying_now(layout: Layout, room: BerthRoom, people: Sequence[Person], before: SleepingPlace) -> SleepingPlace:
    """Where the same people lie on a berth that has changed a little: followed in a few milliseconds, without areas or mends."""
    taper = figure_of(people)
    ways = ways_to_lie(room, taper, len(people), before.ways) if before.ways else ()
    lying = _natural(room, taper, ways, before.needed, len(people))
    length = ways[0][0].length if ways else None
    return replace(
        before,
        length=length,
        short_by=None if length is None else max(0.0, before.needed - length),
        fits=length is not None and length >= before.needed - 1e-6,
        surface=room.surface,
        boards=None,
        cushion=None,
        cushion_outline=room.outline,
        sleepers=tuple(_sleeper(layout, room, figure, person) for figure, person in zip(lying, people, strict=False)),
        mends=(),
        ways=ways or before.ways,
    )


def _natural(room: BerthRoom, taper: Taper, ways: Ways, needed: float, people: int) -> tuple[Lying, ...]:
    """How people would lie of themselves: straight fore and aft where that is long enough, else by the straightest way that is.

    Where none is long enough, by the longest.
    """
    straight = _straight(room, taper, needed) if people == 1 else None
    if straight is not None:
        return (straight,)
    enough = [way for way in ways if way[0].length >= needed]
    if not enough:
        return ways[0] if ways else ()
    return min(enough, key=lambda way: max(abs(round(float(np.sin(figure.angle)), 2)) for figure in way))


def _straight(room: BerthRoom, taper: Taper, length: float) -> Lying | None:
    """One of this length on the berth's longest line, the head aft first; None where that does not fit."""
    if room.line is None:
        return None
    forward, after = room.line
    around = _outline(room).buffer(TOUCHING)
    for head, angle in ((after, np.pi), (forward, 0.0)):
        figure = Lying(head[0], head[1], angle, length, taper)
        if around.covers(figure.polygon):
            return figure
    return None


def figure_of(people: Sequence[Person]) -> Taper:
    """One figure as wide as the widest of the first two, at the shoulders and at the feet."""
    shoulders = max(SHOULDERS if person.shoulders is None else person.shoulders for person in people[:2])
    feet = max(FEET if person.feet is None else person.feet for person in people[:2])
    return Taper(shoulders, min(feet, shoulders))


def _outline(room: BerthRoom) -> Polygon:
    if len(room.outline) < 3:
        return Polygon()
    return Polygon(room.outline, room.holes)


def _boards(layout: Layout, room: BerthRoom) -> BerthRoom | None:
    """The berth's room at the boards' top, under the cushion."""
    bare = [replace(berth, cushion=ON_BOARDS) for berth in layout.scene.berths if berth.name == room.name]
    rooms, _ = berth_rooms(replace(layout, scene=replace(layout.scene, berths=tuple(bare))))
    return rooms[0] if rooms and len(rooms[0].outline) >= 3 else None


def _sleeper(layout: Layout, room: BerthRoom, figure: Lying, person: Person) -> Sleeper:
    along = np.array([np.cos(figure.angle), np.sin(figure.angle)])
    head = np.array([figure.x, figure.y])

    def over(distance: float, side: float) -> float:
        """The least clear height over a square of this side about a place along the figure."""
        steps = np.array([-side / 2, 0.0, side / 2]) if side else np.zeros(1)
        across = np.array([-along[1], along[0]])
        spots = [head + (distance + a) * along + b * across for a in steps for b in steps]
        return min(headroom(layout, np.array([x, y, room.surface])) for x, y in spots)

    return Sleeper(
        name=person.name,
        outline=figure.corners,
        over_head=over(HEAD_FROM_END, 0.0),
        over_knees=over(KNEES_FROM_HEAD * figure.length, 0.0),
        over_seat=over(SEAT_FROM_HEAD * figure.length, SEAT_SIDE),
    )


def _moved(scene: Scene, bulkhead: Bulkhead, by: float) -> Scene:
    at = bulkhead.at
    moved = FromPanel(at.panel, at.distance + by) if isinstance(at, FromPanel) else at + by
    changed = replace(bulkhead, at=moved)
    return replace(scene, bulkheads=tuple(changed if one.name == bulkhead.name else one for one in scene.bulkheads))


def _mends(layout: Layout, place: SleepingPlace, people: Sequence[Person]) -> tuple[str, ...]:
    """Each planned bulkhead that, moved by itself, makes the berth long enough, and by how much; tried on the real layout."""
    if place.length is None or place.short_by is None:
        return ()
    found = []
    for bulkhead in layout.scene.bulkheads:
        if bulkhead.built != "planned" or bulkhead.carries:
            continue
        for way, word in ((-1.0, "forward"), (1.0, "aft")):
            moved = _least_move(layout, place, people, bulkhead, way)
            if moved is not None:
                found.append((moved, f"{bulkhead.name} {mm(moved)} {word}"))
    return tuple(words for _, words in sorted(found))


def _least_move(layout: Layout, place: SleepingPlace, people: Sequence[Person], bulkhead: Bulkhead, way: float) -> float | None:
    """How far a bulkhead must go for the people to fit, in whole steps; None where three times what is missing does not help.

    The people are followed from where they lie now: a way that is found surely fits, a shorter move may yet be enough.
    """
    assert place.short_by is not None
    taper = figure_of(people)

    def missing(distance: float) -> float:
        scene = _moved(layout.scene, bulkhead, way * distance)
        rooms, _ = berth_rooms(replace(layout, scene=scene, panels=place_panels(scene, layout.hull).shapes))
        room = next(room for room in rooms if room.name == place.berth)
        ways = ways_to_lie(room, taper, len(people), place.ways)
        return place.needed - (ways[0][0].length if ways else 0.0)

    first = float(np.ceil(place.short_by / MEND_STEP)) * MEND_STEP
    if missing(first) > place.short_by - 0.5 * first:
        return None
    low, high = 0.0, first
    while missing(high) > 1e-6:
        low, high = high, high + first
        if high > 3.0 * first + 1e-9:
            return None
    while high - low > MEND_STEP + 1e-9:
        middle = round((low + high) / 2 / MEND_STEP) * MEND_STEP
        low, high = (middle, high) if missing(middle) > 1e-6 else (low, middle)
    return high


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


def _fit_findings(layout: Layout, place: SleepingPlace) -> tuple[Finding, ...]:
    who = listed(place.people[:2])
    lie = "lies" if len(place.people) == 1 else "lie"
    if place.fits is None or place.fits:
        return ()
    if place.length is None:
        return (
            Finding(
                code="person-too-wide",
                severity="warn",
                object=place.berth,
                message=f"{place.berth} has no place for {who}: {mm(place.shoulders)} at the shoulders and {mm(place.feet)} at "
                f"the feet go nowhere on it{'' if len(place.people) == 1 else ', side by side or otherwise'}. Widen it between "
                "its sides, lay it higher where the hull is wider, or give them other berths.",
                measured=place.cushion,
                limit=place.shoulders,
                source="sea-berth",
            ),
        )
    assert place.short_by is not None
    remedy = (
        f"Move {' or '.join(place.mends)}."
        if place.mends
        else "No planned bulkhead moved by itself mends it: lay it higher or wider."
    )
    return (
        Finding(
            code="person-does-not-fit",
            severity="warn",
            object=place.berth,
            message=f"{who} {lie} {mm(place.length)} long at the most on {place.berth}, {mm(place.short_by)} short of "
            f"{mm(place.needed - STATURE_MARGIN)} of person and {mm(STATURE_MARGIN)} of room. {remedy}",
            measured=place.length,
            limit=place.needed,
            source="stature-margin",
        ),
    )


def _height_findings(place: SleepingPlace) -> tuple[Finding, ...]:
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
                    f"cruisers. Lay it {mm(least - height)} lower, or accept it.",
                    measured=height,
                    limit=least,
                    source="small-cruiser-class",
                )
            )
    return tuple(found)


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
