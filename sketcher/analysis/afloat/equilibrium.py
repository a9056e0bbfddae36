"""Where a floating body comes to rest: exact equilibrium in sinkage, trim and heel.

A floating body rests where its potential energy with the water is least. For a plane normal . p = distance and w the height over
it, that energy (by weight of water) is E = V G.w - integral of w over the water displaced, V the volume that carries the boat's
weight and G her centre of gravity. Its slopes are the missing volume and the trimming and heeling moments; its second slopes are
the waterplane's area and second moments with the heights of G and B: Newton's method has them exactly. Steps are bounded, must
lower E, and turn downhill where the boat would not stay upright; so every search ends, at a stable rest or with a reason.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from sketcher.analysis.afloat.buoyancy import Buoyancy, Carried, Lost, water_axes
from sketcher.analysis.findings import Angle, Phrase
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import ClippedBody
from sketcher.geometry.tolerances import NO_SECTION, SETTLED

MOST_STEPS = 80
"""Newton needs four to eight; the rest is for boats that loll or roll over on the way."""
WIDEST_TURN = 0.2
"""[rad] The largest turn in one step: about 11 degrees, so that no step leaps over a range of stability."""
LOLL_PUSH = 0.02
"""[rad] The push, to starboard or by the bow, that a boat balanced on a crest is given to see where she goes."""
ON_HER_SIDE = 60.0
"""[deg] Heeled further than this a boat has capsized; trimmed further, she stands on end."""
MOST_HALVINGS = 40
"""A step a million million times smaller than Newton's leads downhill if any does."""
NO_WATERPLANE = 1e-9
"""Share of the hull's length squared: a smaller section is a touch, and gives no direction to search in."""
NEUTRAL = 1e-9
"""Share of the stiffest direction below which a righting moment counts as none: a log has none, and rounding must not roll it."""

Reason = Literal["founders", "capsizes", "unsettled"]


@dataclass(frozen=True, eq=False, slots=True)
class Settled:
    """A boat at rest. gm [m]: transverse, about G; residual [kg]: weight less buoyancy in units of the density given.

    lolled: she would not stay upright and lies at an angle of loll. steps: evaluations that were needed.
    """

    plane: Plane
    carried: Carried
    gm: float
    residual: float
    lolled: bool
    steps: int


@dataclass(frozen=True, slots=True)
class Unsettled:
    """No rest to be had, and why: the buoyancy left cannot carry her, she rolls over, or the search ended without one."""

    reason: Reason
    why: Phrase
    steps: int = 0


def settle(
    buoyancy: Buoyancy,
    volume: float,
    gravity: Floats,
    plane: Plane,
    lost: Lost = (),
    density: float = 1.0,
    hulls: ClippedBody | None = None,
) -> Settled | Unsettled:
    """The rest that a boat comes to from a plane.

    volume: what carries her weight [m3]; gravity: (3,) her centre of gravity [m]; lost: spaces open to the sea. Two searches
    from nearby planes end at the same rest, but a boat may have several, and this finds the one downhill from where she starts.
    density [kg/m3] is only for the residual. hulls: the hulls' cut by the starting plane, nothing lost, if it is at hand.
    """
    left = buoyancy.reserve - sum(share * body.volume for body, share in lost)
    if volume <= 0:
        return Unsettled("unsettled", Phrase("no-weight-to-carry"))
    if volume <= buoyancy.fixed_volume:
        return Unsettled("unsettled", Phrase("appendages-displace-more"))
    if volume >= left:
        return Unsettled("founders", Phrase("cannot-carry-her-weight"))
    return _Search(buoyancy, volume, gravity, lost, density).run(plane, hulls)


def by_hand(buoyancy: Buoyancy, volume: float, gravity: Floats, hulls: ClippedBody, lost: Lost = ()) -> Plane | None:
    """The plane that the small-angle formulas give from the plane of `hulls`; None without a waterplane.

    First parallel sinkage, what is missing over the waterplane that is left; then trim and heel, the moments over the stiffness
    there. A person can do this with a pencil; it is right as long as the waterplane hardly changes. hulls: the hulls' cut,
    nothing lost.
    """
    search = _Search(buoyancy, volume, gravity, lost, 1.0)
    place = search.at(hulls.plane, hulls)
    if place.carried.cut.section_area < NO_SECTION:
        return None
    rise = (volume - place.carried.volume) / place.carried.cut.section_area
    sunk = search.at(hulls.plane.moved(rise))
    if sunk.carried.cut.section_area < NO_SECTION:
        return None
    turned = _turned(sunk.axes, np.asarray(-np.linalg.solve(sunk.stiffness, sunk.moments), dtype=np.float64))
    return Plane(turned, float(turned @ sunk.centre))


class _Place(NamedTuple):
    """A plane tried, with the slopes and stiffness of the energy about the waterplane's centre; axes: the water's, see there."""

    axes: Floats
    plane: Plane
    carried: Carried
    energy: float
    centre: Floats
    moments: Floats
    stiffness: Floats


class _Search(NamedTuple):
    buoyancy: Buoyancy
    volume: float
    gravity: Floats
    lost: Lost
    density: float

    def run(self, plane: Plane, hulls: ClippedBody | None) -> Settled | Unsettled:
        reach = max(float(np.linalg.norm(high - low)) for low, high in (body.bounds for body in self.buoyancy.bodies))
        place = self.at(plane, hulls)
        lolled = False
        for steps in range(1, MOST_STEPS + 1):
            if place.carried.cut.section_area <= NO_WATERPLANE * reach**2:
                place = self._surfaced(place.plane.normal)
            rise, turn = self._step(place, reach)
            if abs(rise) + reach * float(np.linalg.norm(turn)) < SETTLED:
                push = _push(place.stiffness)
                if push is None:
                    return self._result(place, lolled, steps)
                lolled, place = True, self._moved(place, 0.0, push)
                continue
            place = self._downhill(place, rise, turn, reach)
            over = _rolled_over(place.plane.normal)
            if over is not None:
                return Unsettled(over, Phrase(_OVER[over], {"limit": Angle(ON_HER_SIDE)}), steps)
        return Unsettled("unsettled", Phrase("search-did-not-end", {"steps": MOST_STEPS}), MOST_STEPS)

    def _result(self, place: _Place, lolled: bool, steps: int) -> Settled:
        gm = float(place.stiffness[1, 1]) / place.carried.volume
        residual = self.density * (place.carried.volume - self.volume)
        return Settled(place.plane, place.carried, gm, residual, lolled, steps)

    def at(self, plane: Plane, hulls: ClippedBody | None = None) -> _Place:
        """The energy and its slopes at a plane; hulls: their cut by it, if it is known already."""
        carried, distance = self.buoyancy.under(plane, self.lost, hulls), plane.distance
        axes = water_axes(plane.normal)
        cut = carried.cut.along(axes)
        aft, abeam, up = (axes @ carried.moment).tolist()
        gravity_aft, gravity_abeam, gravity_up = (axes @ self.gravity).tolist()
        displaced, weight, (u, v) = carried.volume, self.volume, cut.centre
        righting = (up - distance * displaced) - weight * (gravity_up - distance)
        moments = np.array(
            [weight * (gravity_aft - u) - (aft - displaced * u), weight * (gravity_abeam - v) - (abeam - displaced * v)]
        )
        along, across, mixed = cut.second
        stiffness = np.array([[along + righting, mixed], [mixed, across + righting]])
        centre = np.array([u, v, distance]) @ axes
        return _Place(axes, plane, carried, -righting, centre, moments, stiffness)

    def _moved(self, place: _Place, rise: float, turn: Floats) -> _Place:
        """The plane raised at the waterplane's centre [m] and turned about it [rad]."""
        normal = _turned(place.axes, turn)
        return self.at(Plane(normal, float(normal @ place.centre) + rise))

    def _step(self, place: _Place, reach: float) -> tuple[float, Floats]:
        """A bounded Newton step, its sign in each direction chosen so that the energy falls."""
        rise = (self.volume - place.carried.volume) / place.carried.cut.section_area
        stiffness, directions = np.linalg.eigh(place.stiffness)
        size = np.abs(stiffness)
        turn = -directions @ ((directions.T @ place.moments) / np.maximum(size, NEUTRAL * size.max()))
        length = float(np.linalg.norm(turn))
        turn *= min(1.0, WIDEST_TURN / length) if length > 0 else 1.0
        return float(np.clip(rise, -WIDEST_TURN * reach, WIDEST_TURN * reach)), turn

    def _downhill(self, place: _Place, rise: float, turn: Floats, reach: float) -> _Place:
        """The place a step away, the step halved until the energy does not rise; rounding may hide the last of the slope."""
        rounding = 1e-13 * self.volume * reach
        for _ in range(MOST_HALVINGS):
            tried = self._moved(place, rise, turn)
            if tried.energy <= place.energy + rounding:
                return tried
            rise, turn = 0.5 * rise, 0.5 * turn
        return tried

    def _surfaced(self, normal: Floats) -> _Place:
        """The plane with this normal under which the boat displaces her weight, found between her lowest and highest point."""
        boxes = [body.bounds for body in self.buoyancy.bodies]
        low = min(float(np.where(normal > 0, *box) @ normal) for box in boxes)
        high = max(float(np.where(normal < 0, *box) @ normal) for box in boxes)
        place = self.at(Plane(normal, 0.5 * (low + high)))
        for _ in range(MOST_STEPS):
            missing = self.volume - place.carried.volume
            if abs(missing) < 1e-12 * self.volume or high - low < SETTLED:
                break
            low, high = (place.plane.distance, high) if missing > 0 else (low, place.plane.distance)
            area = place.carried.cut.section_area
            guess = place.plane.distance + missing / area if area > 0 else low
            place = self.at(Plane(normal, guess if low < guess < high else 0.5 * (low + high)))
        return place


def _turned(axes: Floats, turn: Floats) -> Floats:
    """The normal turned [rad] so that the water rises aft and to starboard the less, the more `turn` is positive."""
    normal: Floats = axes[2] + turn @ axes[:2]
    return normal / math.sqrt(float(normal @ normal))


def _push(stiffness: Floats) -> Floats | None:
    """The push for a boat at rest on a crest, downhill to starboard or by the bow; None where she is stable or neutral."""
    values, directions = np.linalg.eigh(stiffness)
    if values[0] >= -NEUTRAL * np.abs(values).max():
        return None
    ahead, abeam = directions[:, 0]
    to_starboard = -np.sign(abeam) if abs(abeam) > abs(ahead) else np.sign(ahead)
    push: Floats = LOLL_PUSH * to_starboard * directions[:, 0]
    return push


_OVER: dict[Reason, str] = {
    "capsizes": "rolls-over",
    "founders": "stands-on-end",
}


def _rolled_over(normal: Floats) -> Reason | None:
    """Why there is no rest for a boat that lies so far from upright that no waterline describes it."""
    heel, trim = np.degrees(np.arctan2(-normal[1], normal[2])), np.degrees(np.arctan2(normal[0], normal[2]))
    if abs(heel) > ON_HER_SIDE:
        return "capsizes"
    return "founders" if abs(trim) > ON_HER_SIDE else None
