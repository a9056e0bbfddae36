"""A hull from the points of a scan: turned upright, cut into sections, what stands on the skin left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sketcher.analysis.scan.attitude import ScanAttitude, found_attitude, stated_attitude, thinned
from sketcher.analysis.scan.ends import Transom, profile_of, settled_profile, transom_of
from sketcher.analysis.scan.faces import FacePoints
from sketcher.analysis.scan.holes import UnseenPatch, holes_of
from sketcher.analysis.scan.knuckles import Knuckle, corners_of, running, settled_knuckles
from sketcher.analysis.scan.sections import GATE, HALF_WIDTH, ScanSection, cut_at
from sketcher.analysis.scan.sheer import Sheer, settled_sheer, sheer_of
from sketcher.analysis.scan.skin import ANGLES, Face, Polar, Skin, skin_of
from sketcher.analysis.scan.stations import SkinLines, measured_station, rounded
from sketcher.analysis.scan.surfels import fit_size, surfels_of
from sketcher.geometry.mesh import Floats
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Point2, Station

EVERY = 0.2
"""[m] between stations, unless another distance is asked for."""
_LEAST_POINTS = 5000
"""Fewer points than this do not tell a hull from what stands in it."""
_MOST_POINTS = 300_000
"""More of the skin's points than this make sections no better than a fair hull is fair."""
_NEAR = 0.04
"""[m] Points so near the rows may be of a face that the rows round off, as beside a knuckle."""
_NOSE, _TAIL = 0.12, 0.06
"""[m] The rows begin so far aft of her foremost and end so far forward of her aftmost point."""
_FOREFOOT = 0.6
"""[m] from the end of the rows on which both sides are followed to where they meet, which tells the keel there better."""
_LOOKED_FOR = 0.2
"""[m] between the sections in which knuckles are looked for."""
_BEFORE = 0.08
"""[m] A transom's section is told by points so far forward of it."""
_SLAB, _THINNEST = 0.25, 0.03
"""[1], [m] A section's points come from so much of its distance to a sharp end, where she narrows fast, and from no less."""
_ENDS_SHARP = 0.3
"""[share of the greatest beam] An end with no more than this and no transom is sharp."""
_IMAGED = 0.5
"""[share] Less of the surface with an image on the other side makes the plane of symmetry doubtful."""

ThreePoints = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, eq=False)
class ScannedHull:
    """hull: its stations as measured points; attitude: how she lay in the scan; face: which was scanned.

    length [m]; noise: one standard deviation of the points square to the skin [m]; used: how many points lie on it;
    of: how many there were; holes: where nothing was seen; transom: whether a flat end was found.
    """

    hull: Hull
    attitude: ScanAttitude
    face: Face
    length: float
    noise: float
    used: int
    of: int
    holes: tuple[UnseenPatch, ...]
    transom: bool

    @property
    def doubtful(self) -> bool:
        """Whether the plane of symmetry may be wrong."""
        return self.attitude.share < _IMAGED


def hull_of_scan(
    points: Floats, name: str, units: str, face: Face = "inside", every: float = EVERY, three: ThreePoints | None = None
) -> ScannedHull:
    """The hull that points (n, 3) [m] of a scan lie on, in any axes.

    units: of the hull's file. every [m]: between stations. three: bow and stern at one height on the centreline and the keel
    below, in the scan's axes, where she is not to be turned by her shape. Raises SketchError where no hull can be found.
    """
    if len(points) < _LEAST_POINTS:
        raise SketchError(f"the scan has {len(points)} points", f"A hull needs {_LEAST_POINTS} or more: scan her closer.")
    length = reach(points)
    attitude = stated_attitude(points, length, *three) if three else found_attitude(points, length)
    aboard = attitude.aboard(points)
    few = thinned(aboard, _MOST_POINTS)
    surfels = surfels_of(few, fit_size(few, length, max(0.05, length / 120)))
    low, high = surfels.centres.min(axis=0), surfels.centres.max(axis=0)
    margin = 0.05 * float((high - low).max())
    aboard = aboard[((aboard > low - margin) & (aboard < high + margin)).all(axis=1)]
    transom = transom_of(surfels, aboard)
    aboard_skin = aboard if transom is None else aboard[aboard[:, 0] < transom.at(aboard[:, 2]) - 0.02]
    last = high[0] - _TAIL if transom is None else float(transom.at(np.array([low[2], high[2]])).max())
    if last - low[0] < 4 * every:
        raise SketchError(
            f"a scan of {last - low[0]:.1f} m is too short for stations every {every:.2f} m", "Ask for closer ones: --every."
        )
    skin = skin_of(aboard_skin, face, float(low[0]) + _NOSE, last)
    polar = skin.polar(aboard_skin)
    on_it = np.flatnonzero(skin.on_it(polar, GATE) & (polar.x > low[0]) & (polar.x < last + 0.05))
    near = np.flatnonzero(skin.on_it(polar, _NEAR) & (polar.x > low[0]) & (polar.x < last + 0.05))
    near = aboard_skin[thinned(near, _MOST_POINTS)]
    polar = polar.some(thinned(on_it, _MOST_POINTS))
    made = _Sections(skin, polar, near, transom, float(low[0]), last, every, aboard_skin)
    zero = np.array([made.stem[-1][0] if made.stem else made.places[0], 0.0, made.lowest])
    hull = made.hull(name, units, face, zero)
    holes = holes_of(skin, made.keel, made.sheer, transom.at if transom else lambda z: np.full_like(z, last), zero)
    return ScannedHull(
        hull, attitude.moved(zero), face, last - zero[0], skin.noise, len(on_it), len(points), holes, transom is not None
    )


def reach(points: Floats) -> float:
    """About how far [unit of the points] they reach at most, strays left out."""
    few = thinned(points, 20_000)
    inner = few - np.median(few, axis=0)
    _, axes = np.linalg.eigh(inner.T @ inner)
    low, high = np.quantile(inner @ axes[:, 2], [0.02, 0.98])
    return float(high - low)


class _Sections:
    """The sections of a skin, its sheer, its knuckles and its ends, in the axes it was turned to."""

    def __init__(
        self,
        skin: Skin,
        polar: Polar,
        near: Floats,
        transom: Transom | None,
        start: float,
        end: float,
        every: float,
        points: Floats,
    ) -> None:
        self.skin, self.polar, self.transom = skin, polar, transom
        density = len(near) / skin.area
        self.near, self.all = (FacePoints.of(each, skin.noise, density) for each in (near, points))
        self.sheer = settled_sheer(sheer_of(skin, polar), self.near)
        self.stem = self._profile(points, forward=True)
        self.stern = [] if transom else self._profile(points, forward=False)
        self.knuckles = settled_knuckles(
            _knuckles(skin, polar, self.sheer),
            self.near,
            lambda x: cut_at(skin, polar, x),
            self._keel_line,
            (float(skin.x[0]), float(skin.x[-1])),
        )
        nose = self.stem[-1][0] if self.stem else float(skin.x[0])
        tail = self._foot_of_transom() if transom else self.stern[-1][0] - every if self.stern else float(skin.x[-1])
        count = int((min(tail, self._head_of_transom()) - 0.4 * every - nose) / every + 1e-9)
        self.places = [nose + every * k for k in range(0 if not self.stem else 1, count + 1)]
        if not transom or tail - self.places[-1] > 0.05:
            self.places.append(tail)
        cuts = [self._cut(x) for x in self.places]
        self.lowest = min(float(cut.line[0, 1]) for cut in cuts)
        self._cuts = cuts

    def hull(self, name: str, units: str, face: Face, zero: Floats) -> Hull:
        """The hull with its zero there."""
        stations = tuple(self._station(cut, zero, units) for cut in self._cuts)
        return Hull(
            name=name,
            units=units,
            stations=stations,
            offsets_to=face,
            stem=_joined(self.stem, stations[0], zero, units),
            stern=_joined(self.stern, stations[-1], zero, units),
            transom_rake=round(float(np.degrees(np.arctan(self.transom.lean))), 1) if self.transom else 0.0,
            open_aft=self.transom is None and not self.stern,
        )

    def _cut(self, x: float) -> ScanSection:
        if self.transom and x == self.places[-1]:
            return cut_at(self.skin, self.polar, self.transom.x, self.transom.lean, before=True, half_width=_BEFORE / 2.0)
        from_end = min(x - float(self.skin.x[0]), np.inf if self.transom else float(self.skin.x[-1]) - x)
        return cut_at(self.skin, self.polar, x, half_width=float(np.clip(_SLAB * from_end, _THINNEST, HALF_WIDTH)))

    def _station(self, cut: ScanSection, zero: Floats, units: str) -> Station:
        lines = SkinLines(self._keel_line, tuple(self.knuckles), self.sheer)
        ends_there = self.transom is not None and cut is self._cuts[-1]
        return measured_station(cut, self.near, lines, self.keel(cut.x), zero, units, not ends_there)

    def _keel_line(self, x: Floats) -> Floats:
        """Half-breadths, 0, and heights (n, 2) of the keel at places aft."""
        return np.stack([np.zeros(len(x)), np.interp(x, self.skin.x, self._feet)], axis=1)

    @cached_property
    def _feet(self) -> Floats:
        known = [(x, self.keel(x)) for x in self.skin.x.tolist()]
        return np.array([cut_at(self.skin, self.polar, x).line[0, 1] if z is None else z for x, z in known])

    def _foot_of_transom(self) -> float:
        assert self.transom is not None
        cut = cut_at(self.skin, self.polar, self.transom.x, self.transom.lean, before=True)
        return float(self.transom.at(cut.line[0, 1]))

    def _head_of_transom(self) -> float:
        """Where it comes to the sheer, forward of its foot where it is raked forward; endless where there is none."""
        x = float(self.skin.x[-1])
        return float(self.transom.at(np.array([self.sheer(x)]))[0]) if self.transom else np.inf

    def _profile(self, points: Floats, forward: bool) -> list[Point2]:
        """The stem's or stern's profile; empty where that end is no sharp one."""
        skin = self.skin
        beam = float(np.quantile(skin.rows * np.cos(ANGLES)[:, None] * (skin.seen > 0), 0.999))
        end, inward = (float(skin.x[0]), 1.0) if forward else (float(skin.x[-1]), -1.0)
        if cut_at(skin, self.polar, end + inward * _NOSE).line[:, 0].max() > _ENDS_SHARP * beam:
            return []
        x = end + inward * _FOREFOOT
        foot = float(cut_at(skin, self.polar, x).line[0, 1])
        rough = profile_of(points, skin, (x, foot), self.sheer(end - inward * _NOSE), forward)
        return settled_profile(rough, self.all, forward) if len(rough) > 3 else rough

    def keel(self, x: float) -> float | None:
        """The height of the keel at a place where an end's profile tells it; None elsewhere."""
        for profile in (self.stem[:-1], self.stern[:-1]):
            if len(profile) > 1 and min(profile)[0] <= x <= max(profile)[0]:
                return float(np.interp(x, *np.array(sorted(profile)).T))
        return None


def _knuckles(skin: Skin, polar: Polar, sheer: Sheer) -> list[Knuckle]:
    x = np.arange(skin.x[0], skin.x[-1] - 0.05, _LOOKED_FOR)
    cuts = [cut_at(skin, polar, float(at)) for at in x]
    corners = [corners_of(cut, cut.upper_edge(sheer)) for cut, at in zip(cuts, x, strict=True)]
    return running(corners, x.tolist())


def _joined(profile: Sequence[Point2], station: Station, zero: Floats, units: str) -> tuple[Point2, ...]:
    """A profile whose hull's zero lies there, begun at the keel of the station beside it."""
    if not profile:
        return ()
    foot = station.points[0][1]
    moved = [(rounded(x - float(zero[0]), units), rounded(z - float(zero[2]), units)) for x, z in profile]
    beyond = np.sign(moved[-1][0] - station.at)
    return ((station.at, foot), *((x, z) for x, z in moved if z > foot + 0.03 and (x - station.at) * beyond > 0.01))
