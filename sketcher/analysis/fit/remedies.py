"""What would mend what does not fit: a berth too short, a chain that does not stow itself; each offer tried on what is there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache

import numpy as np
from shapely.geometry import Polygon

from sketcher.analysis.findings import Length, Phrase
from sketcher.analysis.fit.berths import Direction, berth_figures, headroom, panel_move
from sketcher.analysis.fit.lying import (
    ENOUGH,
    LEAST_OVER_BODY,
    LyingPlace,
    arrangements_on,
    figure_of,
    lacking,
    likely,
    outline_of,
    tallest,
)
from sketcher.analysis.results import BerthFigures, Compartment, Layout
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.packing.heap import Heap, heap, volume_heaped
from sketcher.geometry.solid.rays import home_of
from sketcher.geometry.tolerances import TOUCHING
from sketcher.model.contents import Chain, Person
from sketcher.model.scene import Bulkhead, FromPanel, Scene

MEND_STEP = 0.005
"""[m] What would mend a berth is given in steps that can be marked on wood."""

HIGHER_STEP, HIGHEST = 0.025, 0.3
"""[m] Heights at which a berth is tried, and the most: higher than that is another berth."""


def mends(layout: Layout, place: LyingPlace, people: Sequence[Person]) -> tuple[Phrase, ...]:
    """Each planned bulkhead that, moved by itself, makes the berth long enough, and by how much; tried on the real layout."""
    if place.length is None:
        return ()
    directions: tuple[tuple[float, Direction], ...] = ((-1.0, "forward"), (1.0, "aft"))
    moves, now = [], outline_of(_figures_of(layout, place.berth)).buffer(TOUCHING)
    for bulkhead in layout.scene.bulkheads:
        if bulkhead.built != "planned" or bulkhead.carries:
            continue
        for sign, direction in directions:
            distance = _least_move(layout, now, place, people, bulkhead, sign)
            if distance is not None:
                moves.append((distance, bulkhead.name, direction))
    return tuple(panel_move(name, distance, direction) for distance, name, direction in sorted(moves))


def _least_move(
    layout: Layout, now: Polygon, place: LyingPlace, people: Sequence[Person], bulkhead: Bulkhead, sign: float
) -> float | None:
    """How far a bulkhead must go for the people to fit, in whole steps; None where three times what is missing does not help.

    now: the outline they are to lie in, a micrometre larger: a move that leaves nothing outside it cannot help.
    The people are followed from where they lie now and from where they are likely to: an arrangement that is found surely fits,
    a shorter move may yet be enough.
    """
    taper, short = figure_of(people), lacking(place.arrangements, place.needs)

    @cache
    def berth_at(steps: int) -> BerthFigures:
        scene = _moved(layout.scene, bulkhead, sign * steps * MEND_STEP)
        return _figures_of(replace(layout, scene=scene, panels=place_panels(scene, layout.hull).shapes), place.berth)

    @cache
    def missing(steps: int) -> float:
        berth = berth_at(steps)
        following = near and (*near, *likely(berth, taper, len(place.needs)))
        return lacking(arrangements_on(berth, taper, place.needs, following), place.needs)

    first = int(np.ceil(short / MEND_STEP))
    if now.covers(outline_of(berth_at(first))):
        return None
    # Two unlike have many arrangements of one length where one of them is held by both ends: those that grow are found afresh.
    near = place.arrangements if len(set(place.needs)) == 1 else arrangements_on(berth_at(first), taper, place.needs)
    if missing(first) > short - 0.5 * first * MEND_STEP:
        return None
    low, high = 0, first
    while missing(high) > ENOUGH:
        low, high = high, high + first
        if high > 3 * first:
            return None
    # Length grows nearly in step with the move: where it would be enough is tried first, then the step before.
    lack = missing(low) if low else short
    middle = low + int(np.ceil((high - low) * lack / (lack - missing(high))))
    while high - low > 1:
        middle = min(max(middle, low + 1), high - 1)
        if missing(middle) > ENOUGH:
            low, middle = middle, middle + 1 if middle + 1 < high else (middle + high) // 2
        else:
            high, middle = middle, middle - 1
    return high * MEND_STEP


def laid_higher(layout: Layout, place: LyingPlace, people: Sequence[Person]) -> float | None:
    """How much higher, in steps of 25 mm up to 300 mm, the berth is long enough and still high enough over the knees [m]."""
    over = min((sleeper.over_knees for sleeper in place.sleepers if sleeper.over_knees is not None), default=0.0)
    for by in np.arange(HIGHER_STEP, HIGHEST + 1e-9, HIGHER_STEP).tolist():
        if over - by < LEAST_OVER_BODY:
            return None
        length = length_laid(layout, place, people, by)
        if length is not None and length >= max(place.needs) - ENOUGH:
            return float(by)
    return None


def length_laid(layout: Layout, place: LyingPlace, people: Sequence[Person], by: float) -> float | None:
    """The longest the tallest would lie, the other in proportion, if the berth were laid higher by so much [m], lower where
    negative; with its lid if it lies on one. None where that lid is built already, or nothing is left to lie on.
    """
    scene, panels = layout.scene, layout.panels
    berth = next(berth for berth in scene.berths if berth.name == place.berth)
    if berth.lies_on is not None:
        lid = next(lid for lid in scene.lids if lid.name == berth.lies_on)
        if lid.built != "planned":
            return None
        higher = replace(lid, height=lid.height + by)
        scene = replace(scene, lids=tuple(higher if one is lid else one for one in scene.lids))
        panels = place_panels(scene, layout.hull).shapes
    elif berth.height is not None:
        higher_berth = replace(berth, height=berth.height + by)
        scene = replace(scene, berths=tuple(higher_berth if one is berth else one for one in scene.berths))
    raised = _figures_of(replace(layout, scene=scene, panels=panels), place.berth)
    arrangements = arrangements_on(raised, figure_of(people), place.needs, place.arrangements)
    return tallest(arrangements[0]) if arrangements else None


def _figures_of(layout: Layout, name: str) -> BerthFigures:
    return next(berth for berth in berth_figures(layout)[0] if berth.name == name)


def _moved(scene: Scene, bulkhead: Bulkhead, by: float) -> Scene:
    at = bulkhead.at
    moved = FromPanel(at.panel, at.distance + by) if isinstance(at, FromPanel) else at + by
    changed = replace(bulkhead, at=moved)
    return replace(scene, bulkheads=tuple(changed if one.name == bulkhead.name else one for one in scene.bulkheads))


LEAST_CARRIED = 1.0
"""[m] Less chain than this is no chain to anchor with, and is not offered."""
ON_THE_FLOOR = 1e-3
"""[m] A place so far under a lid is looked at, clear of its face."""


def remedies(
    layout: Layout, space: Compartment, chain: Chain, full: Heap, repose: float, clear: float, per_metre: float
) -> tuple[tuple[Phrase, ...], float | None]:
    """What makes a chain stow itself, each tried against what is there; and where raising its pipe does not, the room above [m].

    full: its heap; clear: the fall [m] below the pipe that it needs; per_metre: the heap's volume for a metre of it [m3].
    """
    above = headroom(layout, np.array([chain.pipe]))
    missing = _raise_needed(space, chain, full, repose, clear, above)
    offers = [] if missing is None else [Phrase("raise-pipe", {"by": Length(missing)})]
    if full.reaches:
        ends = planned_ends(layout, space).items()
        offers += [Phrase("locker-lengthened", {"panel": name, "direction": direction}) for name, direction in ends]
    else:
        lower = Length(clear - (chain.pipe[2] - full.peak))
        floors = _floors(layout, space, chain)
        offers += [Phrase("lid-moved", {"panel": name, "distance": lower, "direction": "down"}) for name in floors]
    carried = volume_heaped(space.mesh, chain.pipe[2] - clear, chain.pipe, repose) / per_metre
    if carried >= LEAST_CARRIED:
        offers.append(Phrase("carry-less", {"length": Length(carried)}))
    return tuple(offers), above if missing is None else None


def _raise_needed(space: Compartment, chain: Chain, full: Heap, repose: float, clear: float, above: float) -> float | None:
    """How much higher the pipe has to end [m]; None where there is not so much room above it."""
    peak = full.peak
    if full.reaches:
        x, y, z = chain.pipe
        higher = heap(space.mesh, full.volume + full.spilled, (x, y, z + above), repose)
        if higher.reaches:
            return None
        peak = higher.peak
    missing = peak + clear - chain.pipe[2]
    return missing if missing < above else None


def _floors(layout: Layout, space: Compartment, chain: Chain) -> Iterator[str]:
    """Planned lids that are the locker's floor under the pipe, with room below them for what is missing."""
    for shape in layout.panels:
        if shape.kind != "lid" or shape.panel.built != "planned" or (shape.name, "top") not in space.bounds:
            continue
        low = float(shape.mesh.bounds[0][2]) - ON_THE_FLOOR
        beneath = [other.mesh for other in layout.compartments if (shape.name, "under") in other.bounds]
        if home_of(np.array([chain.pipe[0], chain.pipe[1], low]), beneath) >= 0:
            yield shape.name


def planned_ends(layout: Layout, space: Compartment) -> dict[str, Direction]:
    """Planned bulkheads that end the locker, and the way each goes to make it longer."""
    found: dict[str, Direction] = {}
    for shape in layout.panels:
        faces = {face for name, face in space.bounds if name == shape.name} & {"forward", "after"}
        # With the locker on both sides of it, a bulkhead is no end of it.
        if shape.kind == "bulkhead" and _planned(shape.panel) and len(faces) == 1:
            found[shape.name] = "aft" if "forward" in faces else "forward"
    return found


def _planned(panel: object) -> bool:
    return getattr(panel, "built", "") == "planned" and not getattr(panel, "carries", ())
