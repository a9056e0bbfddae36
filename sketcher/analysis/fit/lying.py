"""Who sleeps where: the longest person a berth's outline holds, how high it is over them, and how to follow a change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from shapely.geometry import Polygon

from sketcher.analysis.findings import Phrase
from sketcher.analysis.fit.berths import HALF_A_HEAD, SHOULDERS_FROM_HEAD, STATURE_MARGIN, berth_figures, headroom
from sketcher.analysis.results import BerthFigures, Layout
from sketcher.geometry.caching import remembered
from sketcher.geometry.flat.inset import drawn_in
from sketcher.geometry.flat.runs import clear_across
from sketcher.geometry.flat.taper_search import places_for_one, places_for_two, stretched
from sketcher.geometry.flat.tapers import Lying, Taper
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import TOUCHING
from sketcher.model.contents import Person
from sketcher.model.scene import Berth

SHOULDERS, FEET = 0.533, 0.330
"""Widths [m] of who does not state them: the 21 in and 13 in of a published sea berth; source `sea-berth`."""

KNEES_FROM_HEAD, SEAT_FROM_HEAD = 0.715, 0.48
"""Where knees and seat lie, as shares of the length from the head end; of stature from memory, source `body-shares`."""

SEAT_SIDE = 0.40
"""[m] Side of the square over which the height to sit up counts; source `small-cruiser-class`."""

LEAST_OVER_BODY, LEAST_OVER_SEAT = 0.35, 0.85
"""[m] Least height over the base of a berth, and over a place to sit; source `small-cruiser-class`."""

HEAD_FROM_END = 0.15
"""[m] The middle of the head from the head end of the outline, pillow included."""

ENOUGH = 1e-6
"""[m] Less than this is not missing: it is rounding."""

ON_BOARDS = 1e-4
"""[m] The boards' outline is taken this far above them, clear of the boards' own plane."""


Arrangements = tuple[tuple[Lying, ...], ...]
"""How one or two can lie on a berth, the longest first; two lie at lengths in the proportion of what they need."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Sleeper:
    """One person in place. outline: (4, 2) x, y in plan [m]; headroom over head, knees and sitting place [m]."""

    name: str
    outline: Floats = field(repr=False)
    over_head: float | None
    over_knees: float | None
    over_seat: float | None


@dataclass(frozen=True, slots=True)
class Fitted:
    """Whether one person has the length for their own stature. needed: with the margin; length: the longest they could be
    told to lie at; short_by [m]: 0.0 where it is enough."""

    name: str
    needed: float
    length: float | None
    short_by: float | None
    fits: bool | None


@dataclass(frozen=True, eq=False, kw_only=True)
class LyingPlace:
    """A berth with the people who are to lie in it. lengths: the longest they could be told to lie at together, each [m].

    Two lie at lengths in the proportion of what they need; where that is too short, each beside the other as long as can be, up
    to their need. needs: each one's stature with the margin; length, needed, short_by: of the one who lacks most, else of the
    tallest [m]. shoulders, feet: the widest among them. boards, cushion [m2]: areas of the berth's outline at the boards' top and
    at the cushion's, with the outlines (k, 2) x, y [m], holes not in them. sleepers: as they would lie of themselves, straight
    where that is long enough. mends: moves of a panel that make it long enough. arrangements: the best ways to lie, for
    following a change. None or empty: not known, or no place at all.
    """

    berth: str
    people: tuple[str, ...]
    lengths: tuple[float, ...]
    needs: tuple[float, ...]
    fits: bool | None
    shoulders: float
    feet: float
    surface: float
    boards: float | None
    cushion: float | None
    boards_outline: Floats = field(repr=False)
    cushion_outline: Floats = field(repr=False)
    sleepers: tuple[Sleeper, ...]
    mends: tuple[Phrase, ...] = ()
    arrangements: Arrangements = field(default=(), repr=False)

    @property
    def each(self) -> tuple[Fitted, ...]:
        """Each of the people who are judged, by their own stature: beside a taller one who has no room, a shorter one may fit."""
        found = []
        for k, (name, needed) in enumerate(zip(self.people, self.needs, strict=False)):
            length = self.lengths[k] if self.lengths else None
            short = None if length is None else max(0.0, needed - length)
            fits = None if self.fits is None else short is not None and short <= ENOUGH
            found.append(Fitted(name, needed, length, short, fits))
        return tuple(found)

    @property
    def worst(self) -> Fitted:
        """The one who lacks most; the tallest where nobody lacks anything, or nobody has a place."""
        return max(self.each, key=lambda one: (one.short_by or 0.0, one.needed))

    @property
    def length(self) -> float | None:
        return self.worst.length

    @property
    def needed(self) -> float:
        return self.worst.needed

    @property
    def short_by(self) -> float | None:
        return self.worst.short_by


def lying_place(layout: Layout, berth: BerthFigures, people: Sequence[Person], near: Arrangements = ()) -> LyingPlace:
    """The people's place on a berth. near: the `arrangements` of a moment ago, to follow a change without searching afresh."""
    place, longest = _by_length(berth, people, near)
    lying = _natural(berth, figure_of(people), place.arrangements, place.needs) or longest
    boards = _boards(layout, berth)
    return replace(
        place,
        boards=None if boards is None else float(outline_of(boards).area),
        boards_outline=np.zeros((0, 2)) if boards is None else boards.outline,
        sleepers=tuple(_sleeper(layout, berth, figure, person) for figure, person in zip(lying, people, strict=False)),
    )


def _by_length(berth: BerthFigures, people: Sequence[Person], near: Arrangements) -> tuple[LyingPlace, tuple[Lying, ...]]:
    """Their place by its lengths alone, without its boards and without them in it; and how they would lie longest."""
    taper, needs = figure_of(people), tuple(person.stature + STATURE_MARGIN for person in people[:2])
    arrangements = arrangements_on(berth, taper, needs, near)
    longest = _longest(berth, arrangements, needs)
    runs_out = berth.line is not None and berth.length is None
    cushion = outline_of(berth)
    place = LyingPlace(
        berth=berth.name,
        people=tuple(person.name for person in people),
        lengths=() if runs_out else tuple(figure.length for figure in longest),
        needs=needs,
        fits=None if runs_out else lacking(arrangements, needs) <= ENOUGH,
        shoulders=taper.head,
        feet=taper.foot,
        surface=berth.surface,
        boards=None,
        cushion=None if cushion.is_empty else float(cushion.area),
        boards_outline=np.zeros((0, 2)),
        cushion_outline=berth.outline,
        sleepers=(),
        arrangements=arrangements,
    )
    return place, longest


def stated_people(berth: Berth) -> tuple[Person, ...]:
    """Who a berth is judged by where nobody is named for it: as many as it is for, at most two, of its stature."""
    if berth.stature is None:
        return ()
    return (Person(name="", berth=berth.name, stature=berth.stature),) * min(berth.people, 2)


def place_as_stated(layout: Layout, berth: BerthFigures, people: Sequence[Person]) -> LyingPlace:
    """Their place. Where they have room as they are likely to lie, nothing more is asked: not whether they could lie longer."""
    tried, _ = _by_length(berth, people, likely(berth, figure_of(people), len(people)))
    return tried if tried.fits is not False else lying_place(layout, berth, people)


def place_as_stated_now(berth: BerthFigures, before: LyingPlace) -> LyingPlace:
    """The same on a berth that has changed a little: by the first arrangement that has room still, else followed."""
    taper, needs = Taper(before.shoulders, before.feet), before.needs
    if any(_held(berth, arrangement, needs) for arrangement in before.arrangements):
        return replace(before, lengths=needs, fits=True)
    arrangements = arrangements_on(berth, taper, needs, before.arrangements) if before.arrangements else ()
    longest = arrangements[0] if arrangements else ()
    return replace(
        before,
        lengths=tuple(figure.length for figure in longest),
        fits=lacking(arrangements, needs) <= ENOUGH,
        arrangements=arrangements or before.arrangements,
    )


def likely(berth: BerthFigures, taper: Taper, count: int) -> Arrangements:
    """Straight on the berth's longest line, two on either side of it, with the heads at the wide end."""
    if berth.line is None:
        return ()
    forward, after = berth.line
    (head, across), (foot, _) = (after, forward) if widens_aft(berth) >= -TOUCHING else (forward, after)
    figures = []
    for side in (-0.5, 0.5) if count == 2 else (0.0,):
        run, aside = foot - head, side * (taper.foot - taper.head)
        pose = float(np.arctan2(aside, run)), float(np.hypot(run, aside))
        figures.append(Lying(head, across + side * taper.head, *pose, taper))
    return (tuple(figures),)


def _held(berth: BerthFigures, arrangement: tuple[Lying, ...], needs: Sequence[float]) -> bool:
    """Whether these, each as long as they need, lie within the outline and clear of each other."""
    figures = [replace(figure, length=need).polygon for figure, need in zip(arrangement, needs, strict=True)]
    around = outline_of(berth).buffer(TOUCHING)
    apart = len(figures) < 2 or figures[0].intersection(figures[1]).area <= TOUCHING
    return apart and all(around.covers(figure) for figure in figures)


def judged_by_people(berths: Sequence[BerthFigures], places: Sequence[LyingPlace]) -> tuple[BerthFigures, ...]:
    """The berths with the verdict of these people: those named for them, or those that their own `stature` stands for."""
    found = {place.berth: place for place in places}
    return tuple(_judged(berth, found[berth.name]) if berth.name in found else berth for berth in berths)


def _judged(berth: BerthFigures, place: LyingPlace) -> BerthFigures:
    lacking = tuple(one.name for one in place.each if one.fits is False)
    who = tuple(name for name in lacking or (one.name for one in place.each) if name)
    stature = place.needed - STATURE_MARGIN if who else berth.stature
    return replace(berth, stature=stature, fits=place.fits, short_by=place.short_by, who=who)


def arrangements_on(berth: BerthFigures, taper: Taper, needs: Sequence[float], near: Arrangements = ()) -> Arrangements:
    """The best arrangements on a berth of one or two who need these lengths [m], longest first; empty where they do not fit."""
    outline, shares = outline_of(berth), tuple(needed / max(needs) for needed in needs)
    if not near:
        return _searched(outline, taper, shares)
    return _arrangements(outline, taper, shares, near)


@remembered(16)
def _searched(outline: Polygon, taper: Taper, shares: tuple[float, ...]) -> Arrangements:
    return _arrangements(outline, taper, shares, ())


def _arrangements(outline: Polygon, taper: Taper, shares: tuple[float, ...], near: Arrangements) -> Arrangements:
    if len(shares) == 1:
        return tuple((figure,) for figure in places_for_one(outline, taper, [each[0] for each in near]))
    pairs = places_for_two(outline, taper, [(each[0], each[1]) for each in near if len(each) == 2], shares)
    # Of arrangements equally long to the millimetre, people choose the one with both heads at the same end.
    return tuple(sorted(pairs, key=lambda pair: (-round(tallest(pair), 3), np.cos(pair[0].angle - pair[1].angle) < 0.0)))


def tallest(arrangement: tuple[Lying, ...]) -> float:
    """The length at which the tallest lies [m]."""
    return max(figure.length for figure in arrangement)


def lacking(arrangements: Arrangements, needs: Sequence[float]) -> float:
    """What the tallest lacks in the best arrangement [m], the other in proportion; negative where all have more than enough."""
    return max(needs) - (tallest(arrangements[0]) if arrangements else 0.0)


def _longest(berth: BerthFigures, arrangements: Arrangements, needs: Sequence[float]) -> tuple[Lying, ...]:
    """The best arrangement; where two who need unlike lengths lack some of it, the one who could have more of theirs has it."""
    best = arrangements[0] if arrangements else ()
    if len(best) < 2 or needs[0] == needs[1] or lacking(arrangements, needs) <= ENOUGH:
        return best
    return stretched(outline_of(berth), (best[0], best[1]), needs)


def lying_now(layout: Layout, berth: BerthFigures, people: Sequence[Person], before: LyingPlace) -> LyingPlace:
    """Where the same people lie on a berth that has changed a little: followed in a few milliseconds, without areas or mends.

    Two who lack room are left at lengths in proportion, since making one of them longer would cost as much again.
    """
    taper, needs = figure_of(people), before.needs
    arrangements = arrangements_on(berth, taper, needs, before.arrangements) if before.arrangements else ()
    longest = arrangements[0] if arrangements else ()
    lying = _natural(berth, taper, arrangements, needs) or longest
    return replace(
        before,
        lengths=tuple(figure.length for figure in longest),
        fits=lacking(arrangements, needs) <= ENOUGH,
        surface=berth.surface,
        boards=None,
        cushion=None,
        cushion_outline=berth.outline,
        sleepers=tuple(_sleeper(layout, berth, figure, person) for figure, person in zip(lying, people, strict=False)),
        mends=(),
        arrangements=arrangements or before.arrangements,
    )


def _natural(berth: BerthFigures, taper: Taper, arrangements: Arrangements, needs: Sequence[float]) -> tuple[Lying, ...]:
    """How people would lie of themselves: heads at the wide end where that is long enough, and straight if it can be.

    Empty where none is long enough.
    """
    wide_aft = widens_aft(berth) >= -TOUCHING
    enough = [(each, _heads_narrow(each, wide_aft)) for each in arrangements if tallest(each) >= max(needs)]
    if len(needs) == 1:
        straight = ((figure,) for figure in _straight(berth, taper, needs[0], wide_aft))
        enough = [*((each, _heads_narrow(each, wide_aft)) for each in straight), *enough]
    if not enough:
        return ()
    return min(enough, key=lambda one: (one[1], max(abs(round(float(np.sin(figure.angle)), 2)) for figure in one[0])))[0]


def _heads_narrow(arrangement: tuple[Lying, ...], wide_aft: bool) -> int:
    """How many lie with their head towards the narrow end: feet aft where the berth widens aft."""
    return sum((np.cos(figure.angle) > 0.0) == wide_aft for figure in arrangement)


def widens_aft(berth: BerthFigures) -> float:
    """How much wider the berth is at the shoulders of one who lies with the head aft than with the head forward [m]."""
    if berth.line is None:
        return 0.0
    (forward, across), (after, _) = berth.line
    inwards = min(SHOULDERS_FROM_HEAD, (after - forward) / 2)
    stretches = (clear_across(outline_of(berth), x, across) for x in (after - inwards, forward + inwards))
    aft, fore = (0.0 if stretch is None else stretch[1] - stretch[0] for stretch in stretches)
    return aft - fore


def _straight(berth: BerthFigures, taper: Taper, length: float, aft_first: bool) -> list[Lying]:
    """The figures of this length that fit on the berth's longest line, head aft or forward; `aft_first` orders them."""
    if berth.line is None:
        return []
    forward, after = berth.line
    around = outline_of(berth).buffer(TOUCHING)
    both = (Lying(after[0], after[1], np.pi, length, taper), Lying(forward[0], forward[1], 0.0, length, taper))
    return [figure for figure in (both if aft_first else both[::-1]) if around.covers(figure.polygon)]


def figure_of(people: Sequence[Person]) -> Taper:
    """One figure as wide as the widest of the first two, at the shoulders and at the feet."""
    shoulders = max(SHOULDERS if person.shoulders is None else person.shoulders for person in people[:2])
    feet = max(FEET if person.feet is None else person.feet for person in people[:2])
    return Taper(shoulders, min(feet, shoulders))


def outline_of(berth: BerthFigures) -> Polygon:
    """Its outline in plan with its holes; empty where there is nowhere to lie."""
    if len(berth.outline) < 3:
        return Polygon()
    return Polygon(berth.outline, berth.holes)


def _boards(layout: Layout, berth: BerthFigures) -> BerthFigures | None:
    """The berth's figures at the top of the boards, under the cushion."""
    bare = [replace(each, cushion=ON_BOARDS) for each in layout.scene.berths if each.name == berth.name]
    berths, _ = berth_figures(replace(layout, scene=replace(layout.scene, berths=tuple(bare))))
    return berths[0] if berths and len(berths[0].outline) >= 3 else None


def _sleeper(layout: Layout, berth: BerthFigures, figure: Lying, person: Person) -> Sleeper:
    along = np.array([np.cos(figure.angle), np.sin(figure.angle)])
    head = np.array([figure.x, figure.y])

    def over(distance: float, side: float) -> float:
        """The least clear height over a square of this side about a place along the figure, as far as it is on the berth."""
        steps = np.array([-side / 2, 0.0, side / 2]) if side else np.zeros(1)
        across = np.array([-along[1], along[0]])
        spots = np.array([head + (distance + a) * along + b * across for a in steps for b in steps])
        within = drawn_in(outline_of(berth), spots, HALF_A_HEAD)
        return headroom(layout, np.column_stack([within, np.full(len(within), berth.surface)]))

    return Sleeper(
        name=person.name,
        outline=figure.corners,
        over_head=over(HEAD_FROM_END, 0.0),
        over_knees=over(KNEES_FROM_HEAD * figure.length, 0.0),
        over_seat=over(SEAT_FROM_HEAD * figure.length, SEAT_SIDE),
    )
