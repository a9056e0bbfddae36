"""How boards get to their places: the openings they go through one after another, and how long a board turns below."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cache

import numpy as np
import shapely

from sketcher.analysis.hull.form import DECK
from sketcher.analysis.results import Layout, PanelShape
from sketcher.analysis.spaces.leaks.opening_shapes import centre_on, opening_frame, outline
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.flat.widths import widest_through
from sketcher.geometry.mesh import Flags, Floats
from sketcher.geometry.solid.visibility import visible_from
from sketcher.geometry.tolerances import PARALLEL
from sketcher.model.scene import Opening

_OUTSIDE = "outside"

_USUAL = 0.012
"""[m] Routes are compared by what a board so thick passes; the widest is the same for any."""

_BELOW = 0.002
"""[m] A straight run is measured from so far below a hatch's middle."""

_LOOKED_AT = 400
"""Places of the hull that are looked at from below a hatch: a hand's breadth or two apart."""


def routes_below(layout: Layout, built: Collection[str] = ()) -> dict[str, tuple[Opening, ...]]:
    """The openings on the widest route from outside to each panel's and berth's place, by its name; none where none is known.

    Boards go below before any planned panel stands, so that only panels that are there already are in the way, with their
    openings, and those of `built`. A hatch that the scene names is the one taken.
    """
    group = spaces_without(layout, planned_names(layout) - set(built))
    reached = _widest_routes(layout, group)
    by_name: dict[str, tuple[Opening, ...]] = {}
    for name, spaces in _places(layout).items():
        routes = [reached[group[space]] for space in spaces if group[space] in reached]
        if routes:
            by_name[name] = max(routes, key=_widest_board)
    return by_name


def _places(layout: Layout) -> dict[str, list[str]]:
    """The spaces on either side of each panel, and those of each berth that may be its place."""
    spaces_of: dict[str, list[str]] = {}
    for space in layout.compartments:
        for panel, _ in space.bounds:
            spaces_of.setdefault(panel, []).append(space.name)
    for berth in layout.scene.berths:
        if berth.height is not None:
            ends = [limit for limit in (berth.start, berth.end) if isinstance(limit, str) and limit in spaces_of]
            between = (
                [space for space in spaces_of.get(ends[0], []) if all(space in spaces_of[end] for end in ends)] if ends else []
            )
            spaces_of[berth.name] = between or [space.name for space in layout.compartments if space.lowest < berth.height]
    return spaces_of


def planned_names(layout: Layout) -> set[str]:
    """The panels that are to be built."""
    return {shape.name for shape in layout.panels if shape.panel.built == "planned"}


def spaces_without(layout: Layout, missing: Collection[str]) -> dict[str, str]:
    """For each space the one that it is a part of while some panels do not stand yet, by the name of one part."""
    space_now = {space.name: space.name for space in layout.compartments}
    faces = {space.name: {(p, face) for p, face in space.bounds if p in missing} for space in layout.compartments}
    for one, other in layout.adjoining:
        apart = {p for p, face in faces[one]} & {p for p, face in faces[other]}
        if any((p, face) not in faces[other] for p, face in faces[one] if p in apart):
            old, new = space_now[one], space_now[other]
            space_now = {space: new if at == old else at for space, at in space_now.items()}
    return space_now


def _widest_routes(layout: Layout, group: dict[str, str]) -> dict[str, tuple[Opening, ...]]:
    """The openings to each space from outside, such that the narrowest of them is as wide as can be."""
    scene = layout.scene
    by_name = {opening.name: opening for opening in scene.openings}
    through = [path for path in (*layout.flow_paths, *layout.closed) if path.name in by_name and path.through is not None]
    reached: dict[str, tuple[Opening, ...]] = {}
    links: list[tuple[str, str, Opening]] = []
    for path in through:
        a, b = (group.get(name, name) for name in path.between)
        opening = by_name[path.name]
        if _OUTSIDE in (a, b):
            space = b if a == _OUTSIDE else a
            allowed = path.through == "deck" if scene.cutting.through is None else opening.name == scene.cutting.through
            if allowed and space in group.values() and _widest_board((opening,)) > _widest_board(reached.get(space, ())):
                reached[space] = (opening,)
        elif a != b:
            links += [(a, b, opening), (b, a, opening)]
    for _ in links:
        for a, b, opening in links:
            through_a = (*reached.get(a, ()), opening)
            if a in reached and opening not in reached[a] and _widest_board(through_a) > _widest_board(reached.get(b, ())):
                reached[b] = through_a
    return reached


def _widest_board(openings: tuple[Opening, ...]) -> float:
    """The widest board that passes all of some openings; -1 where there are none."""
    return min(map(_widest_through, openings), default=-1.0)


@cache
def _widest_through(opening: Opening) -> float:
    return widest_through(outline(opening), _USUAL)


def longest_turning_board(layout: Layout, hatch: Opening, width: float = 0.0) -> float | None:
    """The longest straight line [m] from below a hatch to the hull's inside, clear of the deck and of what stands already.

    It may go on through openings that a board so wide [m] passes. None where the hatch is not in the deck.
    """
    if hatch.through != "deck":
        return None
    doors = (each for each in layout.scene.openings if each.through not in (None, "deck", "hull"))
    return _longest_line(layout, hatch, tuple(door for door in doors if door.joins is None and _widest_through(door) >= width))


@kept_with_owner(4)
def _longest_line(layout: Layout, hatch: Opening, doors: tuple[Opening, ...]) -> float | None:
    form = layout.hull
    x, y = hatch.at
    top = form.deck_underside(x, y)
    if top is None:
        return None
    origin = np.array([x, y, top - _BELOW])
    inside = form.inside
    places = inside.vertices[:: max(1, len(inside.vertices) // _LOOKED_AT)]
    clear = visible_from(inside.vertices[inside.triangles[inside.labels == DECK]], origin, places)
    for shape in layout.panels:
        if shape.panel.built == "already":
            clear &= ~_stopped(shape, doors, origin, places)
    seen = places[clear]
    return float(np.linalg.norm(seen - origin, axis=1).max()) if len(seen) else None


def _stopped(shape: PanelShape, doors: Sequence[Opening], origin: Floats, places: Floats) -> Flags:
    """Which lines (n,) from a point to places (n, 3) meet a panel elsewhere than in some openings."""
    stopped = np.zeros(len(places), dtype=bool)
    lines = places - origin
    for piece in shape.convex:
        middle = piece.front.plane.moved(-shape.panel.thickness / 2)
        slope = lines @ middle.normal
        share = -middle.over(origin) / np.where(np.abs(slope) > PARALLEL, slope, np.inf)
        met = origin + lines * share[:, None]
        hit = (share > 0.0) & (share < 1.0)
        for _, plane in piece.edges:
            hit &= plane.over(met) <= 0.0
        for opening in doors:
            if opening.through == shape.name:
                frame = opening_frame(shape.kind, centre_on(shape.kind, opening.at, middle), middle)
                flat = frame.flat(met)
                hit &= ~shapely.contains_xy(outline(opening), flat[:, 0], flat[:, 1])
        stopped |= hit
    return stopped
