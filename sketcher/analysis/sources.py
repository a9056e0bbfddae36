"""Where the figures come from: every rule, table and habit that a finding or a default rests on, by id."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """title: text and edition as it should be quoted. standing: how we know it. binding: whom it binds, in words."""

    title: str
    standing: Literal["published", "common practice", "derived", "from memory"]
    binding: str = "binds nobody: advice"


SOURCES: dict[str, Source] = {
    "sea-water": Source(
        title="Sea water 1025 kg/m3, the density at which ship hydrostatics are customarily stated",
        standing="common practice",
    ),
    "stature-margin": Source(title="Berth length: stature plus 100 mm", standing="common practice"),
    "permeability": Source(
        title="Permeability: void and accommodation 0.95, machinery 0.85, stores 0.60, chain lockers 0.60 "
        "(46 CFR 171.066; IMO guidelines for offshore supply vessels 3.4.2)",
        standing="published",
        binding="binds certain commercial ships; no private yacht",
    ),
    "permeability-tank": Source(
        title="A tank counts as empty: permeability 0.95, as for a void; what it holds is entered as a weight",
        standing="common practice",
    ),
    "permeability-foam": Source(
        title="Foam 0.14: at most 881 kg of buoyancy per m3 of foam (46 CFR 170.245), of the 1025 kg that sea water weighs",
        standing="published",
        binding="binds certain commercial ships; no private yacht",
    ),
    "permeability-bottles": Source(
        title="Closed bottles 0.55: what bottles displace of the space they are stacked in, by a packing of 0.55 to 0.65",
        standing="common practice",
    ),
    "tape-error": Source(
        title="Numbers read off a tape and a plumb line err by up to 5 mm either way", standing="common practice"
    ),
    "load-bearing-panel": Source(
        title="A panel that carries mast, chainplates, windlass or keel is moved, cut or taken out only on a designer's word",
        standing="common practice",
    ),
    "lost-buoyancy": Source(
        title="Lost buoyancy at exact equilibrium: weight equals what still displaces water, centre of buoyancy plumb under the "
        "centre of gravity (any text on ship stability; Barrass and Derrett, Ship Stability for Masters and Mates)",
        standing="published",
    ),
    "lid-margin": Source(
        title="A lid stays 50 mm or more clear of the flooded water, or has gasket and dogs", standing="common practice"
    ),
    "orifice": Source(
        title="Flow through a hole 0.6 A sqrt(2 g h): 25 mm under 0.30 m of water 43 litres a minute", standing="derived"
    ),
    "access-opening": Source(
        title="An opening of 100 to 125 mm takes a hand, of 150 to 200 mm an arm and a lamp",
        standing="common practice",
    ),
    "collision-racing": Source(
        title="Offshore racing, category 0: a watertight bulkhead within 15 % of the hull's length from the bow and abaft the "
        "forward end of the waterline, or closed-cell foam in the forward 30 % (wording quoted in solo-race rules; the "
        "regulation from memory)",
        standing="from memory",
        binding="binds boats entered in such races; no other private yacht",
    ),
    "collision-small-passenger": Source(
        title="Collision bulkhead at 5 to 15 % of the length between perpendiculars, in one plane (46 CFR 179.310, as quoted by "
        "a secondary text)",
        standing="published",
        binding="binds US small passenger vessels; no private yacht",
    ),
}
