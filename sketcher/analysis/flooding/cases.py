"""If a space is holed: which spaces fill, how she floats then, and how far lids, openings and deck stand over the water.

Lost buoyancy: a space open to the sea stops carrying her, by its permeability; shell, panels and appendages carry on. A holed
space is open at its lowest point and vented: no air is trapped, and the water in it stands level with the sea. From each
equilibrium, water crosses every flow path that dips under; what was crossed stays flooded; so on to the end.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sketcher.analysis.afloat.buoyancy import Buoyancy, Lost, buoyancy_of
from sketcher.analysis.afloat.equilibrium import Settled, Unsettled, by_hand, settle
from sketcher.analysis.afloat.permeability import emptiest_shares
from sketcher.analysis.afloat.waterplane import deck_edge, freeboards_at, water_at
from sketcher.analysis.findings import Phrase
from sketcher.analysis.flooding.course import Course, not_even_intact, rest_words
from sketcher.analysis.flooding.estimates import estimated_case
from sketcher.analysis.flooding.freeboards import LidLevel, OpeningLevel, lid_levels, lid_tops, opening_levels
from sketcher.analysis.flooding.lid_heights import lids_in_water, over_and_under
from sketcher.analysis.flooding.results import LID_MARGIN, Attitude, Crossing, FloodingCase
from sketcher.analysis.hull.cockpit import COCKPIT, cockpit_rim
from sketcher.analysis.loading.weights import Loading, loaded, loading, settled_with
from sketcher.analysis.results import OUTSIDE, Compartment, Floating, FlowPath, Layout, WaterPlane
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip_body
from sketcher.geometry.tolerances import CROSSED
from sketcher.model.errors import SketchError, nearest

Told = Literal["all", "lids", "rest"]
"""Of a case: how she rests; also how high lids must be; also what the small-angle formulas say."""


def flooding_cases(
    layout: Layout,
    water: WaterPlane | None,
    afloat: Floating,
    holed: Sequence[str] | None = None,
    *,
    condition: str | None = None,
    permeability: Mapping[str, float] | None = None,
    margin: float = LID_MARGIN,
) -> tuple[FloodingCase, ...]:
    """Every compartment by itself and every adjoining pair; or the one case of `holed`, each space counted once.

    The boat is taken as she floats at the stated waterline with the changes of `condition`, each case with the permeabilities
    that are stated and at its `emptiest`. permeability: by compartment, in place of the scene's, with no emptiest state then.
    margin [m]: how far lids should stay above the water. Raises SketchError on a name that is no compartment.
    """
    sets = [tuple(dict.fromkeys(holed))] if holed is not None else all_cases(layout)
    return _cases(layout, water, afloat, sets, condition, permeability, margin, "all")


def single_cases(layout: Layout, water: WaterPlane | None, afloat: Floating) -> tuple[FloodingCase, ...]:
    """Every compartment by itself, in both states, not checked by hand: what is judged first, in tenths of a second."""
    singles = [(space.name,) for space in layout.compartments]
    return _cases(layout, water, afloat, singles, None, None, LID_MARGIN, "lids")


def resting_cases(layout: Layout, water: WaterPlane | None, afloat: Floating, *, pairs: bool) -> tuple[FloodingCase, ...]:
    """Every compartment by itself, and with `pairs` every adjoining pair: only how she rests, for who asks many boats.

    Not checked by hand; a lid's lowest safe height is that over this water, as if a higher lid left no more room for it.
    """
    sets = all_cases(layout) if pairs else [(space.name,) for space in layout.compartments]
    return _cases(layout, water, afloat, sets, None, None, LID_MARGIN, "rest")


def struck_cases(
    layout: Layout, water: WaterPlane | None, afloat: Floating, singles: Sequence[FloodingCase]
) -> tuple[FloodingCase, ...]:
    """The two spaces either side of each bulkhead holed together, as by a blow where it stands: only how she rests.

    singles: each space holed by itself; what she founders by alone is in none of the pairs.
    """
    lost = {case.holed[0] for case in singles if case.verdict == "founders"}
    sets = [names for names in struck_at(layout) if not lost & set(names)]
    return _cases(layout, water, afloat, sets, None, None, LID_MARGIN, "rest")


def first_cases(layout: Layout, water: WaterPlane | None, afloat: Floating) -> tuple[FloodingCase, ...]:
    """What the owner must know first: each space by itself, then what a blow on a bulkhead opens and a lid that gives way."""
    singles = single_cases(layout, water, afloat)
    struck = struck_cases(layout, water, afloat, singles)
    given_way = given_way_cases(layout, water, afloat, singles)
    known = {case.holed for case in struck}
    return (*singles, *struck, *(case for case in given_way if case.holed not in known))


def given_way_cases(
    layout: Layout, water: WaterPlane | None, afloat: Floating, cases: Sequence[FloodingCase]
) -> tuple[FloodingCase, ...]:
    """For each lid under the water of a case, with a dry space on its other side, that space holed too: only how she rests."""
    sets = dict.fromkeys(both for case in cases for both in given_way(layout, case))
    return _cases(layout, water, afloat, list(sets), None, None, LID_MARGIN, "rest") if sets else ()


def given_way(layout: Layout, case: FloodingCase) -> dict[tuple[str, ...], str]:
    """The spaces holed, in the layout's order, if a lid gave way that stands under a case's water, and that lid by them."""
    found: dict[tuple[str, ...], str] = {}
    for state in case.states:
        wet = set(state.floods)
        for level in state.lids if state.verdict in STILL_AFLOAT else ():
            over, under = ({space.name for space in spaces} for spaces in over_and_under(layout, level.name))
            dry = over - wet if under & wet else under - wet if over & wet else set()
            for other in dry if level.clear_of_water < 0.0 else ():
                both = {*case.holed, other}
                found.setdefault(tuple(space.name for space in layout.compartments if space.name in both), level.name)
    return found


STILL_AFLOAT = ("floats", "downfloods")
"""Verdicts by which something of her still keeps the water out."""


def struck_at(layout: Layout) -> dict[tuple[str, ...], str]:
    """The bulkhead between two spaces that a blow on it opens both, by the names of these as `all_cases` has them."""
    bulkheads = [shape.name for shape in layout.panels if shape.kind == "bulkhead"]
    faces = {space.name: set(space.bounds) for space in layout.compartments}
    found: dict[tuple[str, ...], str] = {}
    for pair in layout.adjoining if bulkheads else ():
        for name in bulkheads:
            if any((name, "forward") in faces[a] and (name, "after") in faces[b] for a, b in (pair, pair[::-1])):
                found.setdefault(tuple(pair), name)
    return found


def all_cases(layout: Layout) -> list[tuple[str, ...]]:
    """Every compartment by itself, then every adjoining pair, in the layout's order."""
    return [*((space.name,) for space in layout.compartments), *(tuple(pair) for pair in layout.adjoining)]


def _cases(
    layout: Layout,
    water: WaterPlane | None,
    afloat: Floating,
    sets: Sequence[tuple[str, ...]],
    condition: str | None,
    permeability: Mapping[str, float] | None,
    margin: float,
    told: Told,
) -> tuple[FloodingCase, ...]:
    for names in sets:
        check_holed_names(layout, names)
    boat = loading(layout, water, condition)
    start = water if boat is not None else loaded(layout, water, afloat, condition).water or water

    flood = None if water is None or boat is None else _Flood.of(layout, water, boat, margin, told)

    def flooded(shares: Mapping[str, float]) -> Callable[[tuple[str, ...]], FloodingCase]:
        if flood is None:
            return lambda names: _without_equilibrium(layout, start, afloat, names, shares, margin)
        return replace(flood, shares={**flood.shares, **shares}).case

    if permeability is not None:
        return tuple(map(flooded(permeability), sets))
    stated, emptied = tuple(map(flooded({}), sets)), emptiest_shares(layout)
    again = flooded(emptied)
    fuller = {space.name for space in layout.compartments if emptied[space.name] > space.permeability}
    return tuple(replace(case, emptiest=again(case.holed)) if fuller & set(case.floods) else case for case in stated)


def check_holed_names(layout: Layout, names: Sequence[str]) -> None:
    """Raises SketchError, with the nearest right name, for one that is no compartment."""
    known = [space.name for space in layout.compartments]
    for name in names:
        if name not in known:
            close = nearest(name, known)
            remedy = f"Did you mean {close!r}?" if close else f"The compartments are: {', '.join(known)}."
            raise SketchError(f"there is no compartment {name!r} to hole", remedy, layout.scene.file)
    if not names:
        raise SketchError("no compartment is named to be holed", f"The compartments are: {', '.join(known)}.", layout.scene.file)


def _without_equilibrium(
    layout: Layout,
    water: WaterPlane | None,
    afloat: Floating,
    names: tuple[str, ...],
    permeability: Mapping[str, float],
    margin: float,
) -> FloodingCase:
    """A case of which the boat's mass, its height or half the hull is not known: an estimate, or nothing but why."""
    if water is None:
        return FloodingCase(holed=names, floods=names, verdict="unknown", reason=Phrase("no-waterline-stated"))
    if not layout.hull.hull.open_aft:
        reason = Phrase("gravity-height-not-stated")
        return FloodingCase(holed=names, floods=names, verdict="unknown", reason=reason)
    return estimated_case(layout, water, afloat, names, permeability, margin)


@dataclass(frozen=True, eq=False, slots=True)
class _Flood:
    """All that the cases of one boat have in common."""

    layout: Layout
    carrier: Buoyancy
    boat: Loading
    intact: Settled | Unsettled
    shares: Mapping[str, float]
    spaces: Mapping[str, Compartment]
    tops: Mapping[str, Floats]
    edge: Floats
    rim: Floats | None
    margin: float
    told: Told

    @staticmethod
    def of(layout: Layout, water: WaterPlane, boat: Loading, margin: float, told: Told) -> _Flood:
        """With the permeabilities that are stated."""
        carrier, density = buoyancy_of(layout.hull), layout.scene.water_density
        return _Flood(
            layout=layout,
            carrier=carrier,
            boat=boat,
            intact=settled_with(layout.hull, boat, water, density),
            shares={space.name: space.permeability for space in layout.compartments},
            spaces={space.name: space for space in layout.compartments},
            tops=lid_tops(layout),
            edge=deck_edge(layout.hull),
            rim=cockpit_rim(layout.hull),
            margin=margin,
            told=told,
        )

    def case(self, holed: tuple[str, ...]) -> FloodingCase:
        """One case: the boat settles, water crosses flow paths, she settles again, until nothing more fills."""
        course = Course(holed, list(holed), self._intact_water())
        if isinstance(self.intact, Unsettled) or self.intact.lolled:
            return course.without_rest(not_even_intact(self.intact))
        at = self.intact
        while True:
            endless = next((name for name in course.floods if not self.spaces[name].bounded), None)
            if endless is not None:
                return course.without_rest(Unsettled("unsettled", Phrase("runs-past-measured-end", {"space": endless})))
            settled = self._settle(course.floods, at)
            course.steps += settled.steps
            if isinstance(settled, Unsettled):
                return course.without_rest(settled)
            at = settled
            if not self._cross(course, at):
                return self._rest(course, at)

    def _cross(self, course: Course, at: Settled) -> bool:
        """Let the water through every flow path it stands over; whether anything more fills."""
        plane = at.plane
        new = self._dipping(course.floods, plane)
        outer = [path.name for path, _, _ in new if OUTSIDE in path.between] + self._over_rim(plane, course.through)
        if outer and course.before is None:
            course.before = self._attitude(at)
        course.through += outer
        course.crossed += [Crossing(path=path.name, into=into, head=head) for path, into, head in new]
        course.floods += dict.fromkeys(into for _, into, _ in new)
        return bool(new)

    def _settle(self, floods: Sequence[str], start: Settled, more: Lost = ()) -> Settled | Unsettled:
        """The rest that she comes to with these spaces open to the sea, and `more` beside them."""
        density = self.layout.scene.water_density
        hulls = start.carried.cut if start is self.intact else None
        return settle(
            self.carrier, self.boat.mass / density, self.boat.centre, start.plane, [*self._lost(floods), *more], density, hulls
        )

    def _lost(self, floods: Sequence[str]) -> Lost:
        return [(clip_body(self.spaces[name].mesh), self.shares[name]) for name in floods]

    def _dipping(self, floods: Sequence[str], plane: Plane) -> list[tuple[FlowPath, str, float]]:
        """Flow paths from a flooded space or the sea into a dry one whose lowest point the water stands over, and by how much."""
        wet = {*floods, OUTSIDE}
        dipping = []
        for path in self.layout.flow_paths:
            dry = [name for name in path.between if name not in wet]
            if len(dry) == 1 and len(path.outline):
                head = -float(plane.over(path.outline).min())
                if head > CROSSED:
                    dipping.append((path, dry[0], head))
        return dipping

    def _over_rim(self, plane: Plane, through: Sequence[str]) -> list[str]:
        if self.rim is None or COCKPIT in through:
            return []
        return [COCKPIT] if float(plane.over(self.rim).min()) < -CROSSED else []

    def _rim_level(self, plane: Plane) -> tuple[OpeningLevel, ...]:
        if self.rim is None:
            return ()
        clear = float(plane.over(self.rim).min())
        return (OpeningLevel(name=COCKPIT, between=(OUTSIDE, "the well"), clear_of_water=clear),)

    def _attitude(self, at: Settled) -> Attitude:
        heights = at.plane.over(self.edge)
        side, place = np.unravel_index(int(heights.argmin()), heights.shape)
        x, y, z = self.edge[side, place].tolist()
        return Attitude(
            water=water_at(self.layout.hull, at.plane),
            least_freeboard=float(heights.min()),
            least_freeboard_at=(x, y, z),
            gm=at.gm,
        )

    def _intact_water(self) -> WaterPlane | None:
        if isinstance(self.intact, Unsettled):
            return None
        return water_at(self.layout.hull, self.intact.plane)

    def _rest(self, course: Course, at: Settled) -> FloodingCase:
        lies, plane = self._attitude(at), at.plane
        bow, stern = freeboards_at(self.layout.hull, lies.water)
        taken_in = sum(share * body.under(plane).volume for body, share in self._lost(course.floods))
        return FloodingCase(
            holed=course.holed,
            floods=tuple(course.floods),
            verdict="downfloods" if course.through else "floats",
            reason=rest_words(lies, course.through, at.lolled),
            water=lies.water,
            trim_change=None if course.intact is None else lies.water.trim_deg - course.intact.trim_deg,
            water_volume=taken_in,
            least_freeboard=lies.least_freeboard,
            least_freeboard_at=lies.least_freeboard_at,
            forward_freeboard=bow,
            after_freeboard=stern,
            gm=at.gm,
            lids=self._lids(course, at),
            openings=(*opening_levels(self.layout.flow_paths, plane), *self._rim_level(plane)),
            crossed=tuple(course.crossed),
            through=tuple(dict.fromkeys(course.through)),
            before=course.before,
            hand=self._by_hand(course.floods) if self.told == "all" else None,
            residual=at.residual,
            steps=course.steps,
            lolled=at.lolled,
            shares={name: self.shares[name] for name in course.floods},
            intact=course.intact,
        )

    def _lids(self, course: Course, at: Settled) -> tuple[LidLevel, ...]:
        if self.told == "rest":
            return lid_levels(self.layout, self.tops, at.plane, self.margin)

        def rest(more: Lost) -> Plane | None:
            then = self._settle(course.floods, at, more)
            return None if isinstance(then, Unsettled) else then.plane

        shares = {name: self.shares[name] for name in course.floods}
        return lids_in_water(self.layout, self.tops, at.plane, self.margin, shares, rest)

    def _by_hand(self, floods: Sequence[str]) -> tuple[float, float] | None:
        assert isinstance(self.intact, Settled)
        volume = self.boat.mass / self.layout.scene.water_density
        hulls = self.intact.carried.cut
        plane = by_hand(self.carrier, volume, self.boat.centre, hulls, self._lost(floods))
        if plane is None:
            return None
        water = water_at(self.layout.hull, plane)
        return water.forward, water.after
