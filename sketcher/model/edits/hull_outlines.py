"""Outlines of a hull dragged on her drawings: where they can be taken hold of, and what a drag does to her numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import atan, cos, degrees, radians, sqrt, tan
from typing import Literal, get_args

from sketcher.model.edits.hull_edits import HullEdit, Profile, SetHullValue, SetPoint
from sketcher.model.errors import SketchError
from sketcher.model.hull import Appendage, Coachroof, Cockpit, Hull, Point2, Station, with_heights_up
from sketcher.model.units import tape_step

Drawing = Literal["body plan", "profile", "plan"]
"""Across and up; aft and up; aft and to port."""
Free = Literal["across", "up", "both"]
"""Which way on the drawing something can be dragged."""
DRAWINGS: tuple[Drawing, ...] = get_args(Drawing)
RAKE_STEP = 0.1
"""[deg] A rake is dragged in such steps."""
LEAST = 0.01
"""[m] No half-breadth, height or camber is dragged below this, nor a rake on a lower transom."""


@dataclass(frozen=True, slots=True)
class OutlineGrip:
    """A place on a drawing that can be dragged. key: what it is called among messages; words: for who looks at it.

    at: across and up on the drawing [m], heights over the base line; beside: its neighbours on its outline; edits: what a drag
    to a place makes of the hull.
    """

    key: str
    words: str
    at: Point2
    free: Free
    edits: Callable[[Point2], tuple[HullEdit, ...]]
    beside: tuple[Point2, ...] = ()


@dataclass(frozen=True, slots=True)
class DragOutline:
    """Drag what a grip holds to a place on its drawing [m], as one step; only the way that it is free."""

    drawing: Drawing
    key: str
    to: Point2

    def apply(self, hull: Hull) -> Hull:
        for edit in self._edits(hull):
            hull = edit.apply(hull)
        return hull

    def describe(self, hull: Hull) -> str:
        said = []
        for edit in self._edits(hull):
            changed = edit.apply(hull)
            if changed != hull:
                said.append(edit.describe(hull))
            hull = changed
        head = said[0].partition(": ")[0] if said else ""
        return "; ".join([*said[:1], *(words.removeprefix(f"{head}: ") for words in said[1:])]) or "Drag an outline"

    def _edits(self, hull: Hull) -> tuple[HullEdit, ...]:
        grip = next((each for each in outline_grips(hull, self.drawing) if each.key == self.key), None)
        if grip is None:
            raise SketchError(f"there is no {self.key} to be dragged on the {self.drawing}")
        step = tape_step(hull.units)
        across, up = (round(round(value / step) * step, 9) for value in self.to)
        return grip.edits((grip.at[0] if grip.free == "up" else across, grip.at[1] if grip.free == "across" else up))


def outline_grips(hull: Hull, drawing: Drawing, chosen: int = 0) -> tuple[OutlineGrip, ...]:
    """Everything that can be dragged on a drawing. chosen: the station whose points the body plan offers; 0: those of all."""
    up = with_heights_up(hull)
    if not any(station.points for station in up.stations):
        return ()
    makers = {"body plan": _body_plan, "profile": _in_profile, "plan": _in_plan}
    return tuple(makers[drawing](_Drawn(hull, up), chosen))


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A hull as stated, and with heights over her base line, as she is drawn."""

    stated: Hull
    hull: Hull

    def height(self, up: float) -> float:
        """A height over the base line as the file has it."""
        return (-1.0 if self.stated.heights_down else 1.0) * (up - self.stated.heights_from)

    def value(self, part: str, key: str, *lengths: float) -> tuple[HullEdit, ...]:
        """A length, or several, set as a tape would show them."""
        step = tape_step(self.stated.units)
        shown = tuple(round(round(length / step) * step, 9) for length in lengths)
        return (SetHullValue(part, key, shown[0] if len(shown) == 1 else shown),)

    @property
    def transom(self) -> tuple[float, float]:
        """A transom's lowest height and how high it is [m]; 0 high where she has none."""
        last = self.hull.stations[-1]
        if self.hull.stern or self.hull.open_aft or not last.points:
            return 0.0, 0.0
        foot = min(point[1] for point in last.points)
        return foot, last.points[-1][1] - foot

    def forward(self, out: float) -> float:
        """How far [m] forward of its middle a transom is at a distance off the centreline."""
        hull, last = self.hull, self.hull.stations[-1]
        broadest = max(point[0] for point in (*last.points, *last.port))
        if not hull.transom_curve or hull.stern or hull.open_aft or not broadest:
            return 0.0
        radius = (broadest**2 + hull.transom_curve**2) / (2.0 * hull.transom_curve)
        return (radius - sqrt(max(radius**2 - out**2, 0.0))) / cos(radians(hull.transom_rake))

    def aft(self, station: Station, point: Point2) -> float:
        """How far aft [m] a point of a station is: one of the last station lies on the transom."""
        foot, rise = self.transom
        if station is not self.hull.stations[-1] or not rise:
            return station.at
        return station.at + (point[1] - foot) * tan(radians(self.hull.transom_rake)) - self.forward(point[0])

    def sheer_at(self, x: float) -> float:
        """About how high the sheer is at a distance aft [m]."""
        ends = [(station.at, station.points[-1][1]) for station in self.hull.stations if station.points]
        before = max((end for end in ends if end[0] <= x), default=ends[0])
        after = min((end for end in ends if end[0] >= x), default=ends[-1])
        share = 0.0 if after[0] <= before[0] else (x - before[0]) / (after[0] - before[0])
        return before[1] + share * (after[1] - before[1])


def _beside(line: list[Point2], k: int) -> tuple[Point2, ...]:
    """The neighbours of a point of a line."""
    return (*line[max(k - 1, 0) : k], *line[k + 1 : k + 2])


def _in_profile(drawn: _Drawn, _: int) -> Iterator[OutlineGrip]:
    hull = drawn.hull
    for name, points in (("stem", hull.stem), ("stern", hull.stern)):
        yield from _of_profile(drawn, "stem" if name == "stem" else "stern", list(points))
    yield from _rake(drawn)
    for end, word in ((0, "keel"), (-1, "deck's edge")):
        yield from _heights(drawn, end, word)
    if hull.coachroof is not None:
        yield from _roof(drawn, hull.coachroof)
    if hull.cockpit is not None:
        yield from _well(drawn, hull.cockpit)
    yield from _appendages(drawn)


def _of_profile(drawn: _Drawn, name: Profile, points: list[Point2]) -> Iterator[OutlineGrip]:
    """The points of the stem or the stern."""
    for k, point in enumerate(points, 1):

        def edits(to: Point2, k: int = k) -> tuple[HullEdit, ...]:
            return (SetPoint(name, k, 0, to[0]), SetPoint(name, k, 1, drawn.height(to[1])))

        yield OutlineGrip(f"{name}.{k}", f"{name.capitalize()}, point {k}", point, "both", edits, _beside(points, k - 1))


def _rake(drawn: _Drawn) -> Iterator[OutlineGrip]:
    """The middle of a transom, half-way up."""
    last, foot, rise = drawn.hull.stations[-1], *drawn.transom
    if rise < LEAST:
        return

    def edits(to: Point2) -> tuple[HullEdit, ...]:
        angle = degrees(atan((to[0] - last.at) / (rise / 2)))
        return (SetHullValue("transom", "rake", round(round(angle / RAKE_STEP) * RAKE_STEP, 1)),)

    lean = tan(radians(drawn.hull.transom_rake))
    ends = ((last.at, foot), (last.at + rise * lean, foot + rise))
    middle = (last.at + rise / 2 * lean, foot + rise / 2)
    yield OutlineGrip("transom.rake", "The transom's rake", middle, "across", edits, ends)


def _heights(drawn: _Drawn, end: int, word: str) -> Iterator[OutlineGrip]:
    """The keel or the deck's edge at each station."""
    having = [(number, station) for number, station in enumerate(drawn.hull.stations, 1) if station.points]
    line = [(drawn.aft(station, station.points[end]), station.points[end][1]) for _, station in having]
    for k, (number, station) in enumerate(having):
        point = 1 if end == 0 else len(station.points)

        def edits(to: Point2, number: int = number, point: int = point) -> tuple[HullEdit, ...]:
            return (SetPoint(number, point, 1, drawn.height(to[1])),)

        if len(station.points) > 1 or end == 0:
            words = f"The {word} at station {number}: its height"
            yield OutlineGrip(f"stations.{number}.points.{point}", words, line[k], "up", edits, _beside(line, k))


def _roof(drawn: _Drawn, roof: Coachroof) -> Iterator[OutlineGrip]:
    camber = drawn.hull.deck.camber
    low, high = (drawn.sheer_at(x) + camber for x in (roof.start, roof.end))
    middle = ((roof.start + roof.end) / 2, (low + high) / 2 + roof.height)
    fore, aft = (roof.start, low + roof.height), (roof.end, high + roof.height)

    def height(to: Point2) -> tuple[HullEdit, ...]:
        return drawn.value("coachroof", "height", max(to[1] - (low + high) / 2, LEAST))

    yield OutlineGrip("coachroof.from", "The coachroof's fore end", fore, "across", _ends(drawn, "coachroof", "from"), (middle,))
    yield OutlineGrip("coachroof.to", "The coachroof's after end", aft, "across", _ends(drawn, "coachroof", "to"), (middle,))
    yield OutlineGrip("coachroof.height", "The coachroof's height", middle, "up", height, (fore, aft))


def _well(drawn: _Drawn, well: Cockpit) -> Iterator[OutlineGrip]:
    fore, aft = (well.start, well.sole), (well.end, well.sole)
    middle = ((well.start + well.end) / 2, well.sole)

    def sole(to: Point2) -> tuple[HullEdit, ...]:
        return drawn.value("cockpit", "sole", drawn.height(to[1]))

    yield OutlineGrip("cockpit.from", "The cockpit's fore end", fore, "across", _ends(drawn, "cockpit", "from"), (middle,))
    yield OutlineGrip("cockpit.to", "The cockpit's after end", aft, "across", _ends(drawn, "cockpit", "to"), (middle,))
    yield OutlineGrip("cockpit.sole", "The cockpit's sole", middle, "up", sole, (fore, aft))


def _ends(drawn: _Drawn, part: str, key: str) -> Callable[[Point2], tuple[HullEdit, ...]]:
    return lambda to: drawn.value(part, key, to[0])


def _appendages(drawn: _Drawn) -> Iterator[OutlineGrip]:
    """The middle of each appendage, and its lowest point where that is known."""
    for item in drawn.hull.appendages:
        part, (x, y, z) = f"appendages.{item.name}", item.at
        if item.outline:
            yield from _outline(drawn, item)
            continue

        def moved(to: Point2, part: str = part, y: float = y) -> tuple[HullEdit, ...]:
            return drawn.value(part, "at", to[0], y, drawn.height(to[1]))

        def lowest(to: Point2, part: str = part) -> tuple[HullEdit, ...]:
            return drawn.value(part, "lowest", drawn.height(to[1]))

        yield OutlineGrip(f"{part}.at", f"{item.name}'s middle", (x, z), "both", moved)
        if item.lowest is not None:
            yield OutlineGrip(f"{part}.lowest", f"{item.name}'s lowest point", (x, item.lowest), "up", lowest, ((x, z),))


def _outline(drawn: _Drawn, item: Appendage) -> Iterator[OutlineGrip]:
    """The corners of an appendage that is told by its outline."""
    line = list(item.outline)
    for k, at in enumerate(line):

        def edits(to: Point2, k: int = k) -> tuple[HullEdit, ...]:
            moved = [*line[:k], to, *line[k + 1 :]]
            return (SetHullValue(f"appendages.{item.name}", "outline", tuple((x, drawn.height(z)) for x, z in moved)),)

        beside = (line[k - 1], line[(k + 1) % len(line)])
        yield OutlineGrip(f"appendages.{item.name}.outline.{k + 1}", f"{item.name}, corner {k + 1}", at, "both", edits, beside)


def _in_plan(drawn: _Drawn, _: int) -> Iterator[OutlineGrip]:
    """To starboard downwards, to port upwards."""
    hull = drawn.hull
    yield from _breadths(drawn, port=False)
    if hull.apart:
        yield from _breadths(drawn, port=True)
    yield from _bent(drawn)
    for name, part in (("coachroof", hull.coachroof), ("cockpit", hull.cockpit)):
        if part is not None:
            yield from _sides(drawn, name, part)


def _breadths(drawn: _Drawn, *, port: bool) -> Iterator[OutlineGrip]:
    """The deck's edge at each station."""
    sign, side, name = (1.0, " to port", "port") if port else (-1.0, "", "points")
    having = [(number, station) for number, station in enumerate(drawn.hull.stations, 1) if len(station.points) > 1]
    tops = [(station, _points(station, port)[-1]) for _, station in having]
    line = [(drawn.aft(station, top), sign * top[0]) for station, top in tops]
    for k, (number, station) in enumerate(having):

        def edits(to: Point2, number: int = number, point: int = len(station.points)) -> tuple[HullEdit, ...]:
            return (SetPoint(number, point, 0, max(sign * to[1], 0.0), port=port),)

        words = f"The deck's edge at station {number}{side}: its half-breadth"
        yield OutlineGrip(f"stations.{number}.{name}.{len(station.points)}", words, line[k], "up", edits, _beside(line, k))


def _points(station: Station, port: bool) -> tuple[Point2, ...]:
    return station.to_port if port else station.points


def _bent(drawn: _Drawn) -> Iterator[OutlineGrip]:
    """The transom's top three quarters of the way out: forward of its middle where it is curved across."""
    last, rise = drawn.hull.stations[-1], drawn.transom[1]
    if rise < LEAST or last.points[-1][0] < LEAST:
        return
    out, slant = 0.75 * last.points[-1][0], cos(radians(drawn.hull.transom_rake))
    broadest = max(point[0] for point in (*last.points, *last.port))
    middle = last.at + rise * tan(radians(drawn.hull.transom_rake))

    def edits(to: Point2) -> tuple[HullEdit, ...]:
        bent = min(max((middle - to[0]) * slant, 0.0), 0.5 * out)
        if bent < tape_step(drawn.hull.units):
            return drawn.value("transom", "curve", 0.0)
        radius = (out**2 + bent**2) / (2.0 * bent)
        return drawn.value("transom", "curve", radius - sqrt(max(radius**2 - broadest**2, 0.0)))

    place = (middle - drawn.forward(out), -out)
    yield OutlineGrip("transom.curve", "The transom's curve across", place, "across", edits, ((middle, 0.0),))


def _sides(drawn: _Drawn, name: str, part: Coachroof | Cockpit) -> Iterator[OutlineGrip]:
    """The corners of a coachroof or a cockpit: where it begins or ends, and how broad it is there."""
    corners = [(part.start, -part.half_breadth[0]), (part.end, -part.half_breadth[1])]
    for k, (key, word) in enumerate((("from", "fore"), ("to", "after"))):

        def edits(to: Point2, k: int = k, key: str = key) -> tuple[HullEdit, ...]:
            half = [*part.half_breadth]
            half[k] = max(-to[1], LEAST)
            return (*drawn.value(name, key, to[0]), *drawn.value(name, "half_breadth", *half))

        words = f"The {name}'s {word} corner"
        yield OutlineGrip(f"{name}.{key}", words, corners[k], "both", edits, ((corners[k][0], 0.0), corners[1 - k]))


def _body_plan(drawn: _Drawn, chosen: int) -> Iterator[OutlineGrip]:
    """The points of the chosen station, to the side on which it is drawn, and the deck's camber over the broadest."""
    hull = drawn.hull
    for number, station in enumerate(hull.stations, 1):
        if chosen in (0, number):
            for port in (False, True) if hull.apart else (False,):
                yield from _section(drawn, number, station, port=port)
    broad = max((station for station in hull.stations if station.points), key=lambda station: station.points[-1][0])
    edge = broad.points[-1]

    def camber(to: Point2) -> tuple[HullEdit, ...]:
        return drawn.value("deck", "camber", max(to[1] - edge[1], 0.0))

    yield OutlineGrip(
        "deck.camber", "The deck's camber", (0.0, edge[1] + hull.deck.camber), "up", camber, (edge, (-edge[0], edge[1]))
    )


def _section(drawn: _Drawn, number: int, station: Station, *, port: bool) -> Iterator[OutlineGrip]:
    sign = section_side(drawn.hull, number, port=port)
    line = [(sign * y, z) for y, z in _points(station, port)]
    for k, at in enumerate(line):
        on_centreline = k == 0 and at[0] == 0.0

        def edits(to: Point2, k: int = k, fixed: bool = on_centreline) -> tuple[HullEdit, ...]:
            up = SetPoint(number, k + 1, 1, drawn.height(to[1]), port=port)
            return (up,) if fixed else (SetPoint(number, k + 1, 0, max(sign * to[0], 0.0), port=port), up)

        words = f"Station {number}, point {k + 1}{' to port' if port else ''}"
        key = f"stations.{number}.{'port' if port else 'points'}.{k + 1}"
        if not (port and on_centreline):
            yield OutlineGrip(key, words, at, "up" if on_centreline else "both", edits, _beside(line, k))


def section_side(hull: Hull, number: int, *, port: bool = False) -> float:
    """On which side of the body plan a station's section is drawn: 1 at the right, -1 at the left.

    Starboard's at the right where sides were measured apart; else those aft of the widest at the left.
    """
    if hull.apart:
        return -1.0 if port else 1.0
    breadths = [max((point[0] for point in station.points), default=0.0) for station in hull.stations]
    return 1.0 if number - 1 <= breadths.index(max(breadths)) else -1.0
