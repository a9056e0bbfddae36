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
        "(46 CFR 171.066; chain lockers 46 CFR 171.072; IMO guidelines for offshore supply vessels 3.4.2)",
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
    "lid-bearers": Source(
        title="Lids of 9 to 12 mm plywood on bearers 400 mm apart or less, in boats of 6 to 10 m", standing="common practice"
    ),
    "bottom-paint": Source(title="Bottom paint: two coats, a litre covering about 10 m2 once", standing="from memory"),
    "orifice": Source(
        title="Flow through a hole 0.6 A sqrt(2 g h): 25 mm under 0.30 m of water 43 litres a minute", standing="derived"
    ),
    "access-opening": Source(
        title="An opening of 100 to 125 mm takes a hand, of 150 to 200 mm an arm and a lamp",
        standing="common practice",
    ),
    "collision-racing": Source(
        title="Offshore racing, category 0: a watertight bulkhead within 15 % of the hull's length from the bow and abaft the "
        "forward end of the waterline, able to take a full head of water without leakage, or closed-cell foam in the forward "
        "30 % (wording quoted in solo-race rules, both parts; the regulation from memory)",
        standing="from memory",
        binding="binds boats entered in such races; no other private yacht",
    ),
    "collision-small-passenger": Source(
        title="Collision bulkhead at 5 to 15 % of the length between perpendiculars, in one plane, penetrations restricted "
        "(46 CFR 179.310, as quoted by a secondary text)",
        standing="published",
        binding="binds US small passenger vessels; no private yacht",
    ),
    "sea-berth": Source(
        title="Sea berth: at least 6 ft 4 in long, at most 21 in wide, tapering to 13 in at the foot (a cruising author's table)",
        standing="published",
    ),
    "body-shares": Source(
        title="Knees at 0.72 and seat at 0.48 of the length from the head end: usual proportions of a lying person",
        standing="from memory",
    ),
    "small-cruiser-class": Source(
        title="Berths of a small cruiser-racer class: 0.35 m over the base, 0.85 m over a sitting place of 0.40 x 0.40 m",
        standing="published",
        binding="binds boats of that class; no other",
    ),
    "escape-opening": Source(
        title="Escape opening: 450 mm in diameter, or 380 mm least side and 0.18 m2 (ISO 9094)",
        standing="from memory",
        binding="binds who puts new craft on the market; advice for an owner",
    ),
    "escape-inverted": Source(
        title="A multihull that may be turned over has a way out of each hull that can be used upside down (ISO 12217-2)",
        standing="from memory",
        binding="binds who puts new craft on the market; advice for an owner",
    ),
    "berth-air": Source(
        title="Air for sleepers: a ventilator 100 mm across, or as much opening, for each", standing="from memory"
    ),
    "sitting-height": Source(title="Height to sit upright on a berth: about 950 mm over the cushion", standing="from memory"),
    "arm-reach": Source(
        title="Beyond an opening a hand works to 200 mm and an arm to 600 mm; where a person gets through, all of it",
        standing="common practice",
    ),
    "bottle-load": Source(
        title="Foam in small passenger vessels: structure must resist the uplift of its flotation (46 CFR 179.240)",
        standing="published",
        binding="binds certain passenger vessels; advice for an owner",
    ),
    "chain-weight": Source(
        title="Short-link chain to DIN 766: 6 mm 0.80, 8 mm 1.40, 10 mm 2.20, 12 mm 3.10 kg/m (a maker's table)",
        standing="published",
    ),
    "chain-weight-rule": Source(
        title="Chain of other sizes: 0.022 kg/m for each square millimetre of size squared", standing="derived"
    ),
    "chain-clear-volume": Source(
        title="Chain locker: length x size squared / 48 612 (m, mm), clear volume from 0.46 m below the pipe (Gerr)",
        standing="published",
    ),
    "chain-class-rule": Source(
        title="Chain locker: length x size squared / 49 000 (m, mm; class-rule type)", standing="published"
    ),
    "chain-stud-link": Source(
        title="Chain locker: 1.1 x length x size squared / 100 000 (m, mm; GL I-1-1 section 18, stud-link chain)",
        standing="published",
        binding="binds ships of that class; no private yacht",
    ),
    "chain-pipe": Source(
        title="Chain pipe: bore 8 times the chain's size or more, 10 degrees off plumb or less; locker's plan at most 1.5 to 1",
        standing="published",
    ),
    "chain-heap": Source(title="Chain heaps at about 35 degrees", standing="from memory"),
    "foam-credit": Source(
        title="Foam counts for at most 881 kg per m3, after 7 days under water (46 CFR 170.245)",
        standing="published",
        binding="binds certain commercial ships; no private yacht",
    ),
    "foam-pour": Source(
        title="Polyurethane pour foam: 32 kg/m3, 24 to 27 deg C, 45 s to work it; deep pours scorch and may catch fire",
        standing="published",
    ),
    "foam-heat": Source(
        title="Heat of pour foam: 4455 mol of isocyanate in a cubic metre of liquids, 68.5 kJ/mol (an open foam simulation's "
        "input); conducts 20 to 25 mW/m K (open review); 1100 kg/m3, 1800 J/kg K from memory; layers of 25 mm (a supplier)",
        standing="derived",
    ),
    "foam-fire": Source(
        title="Foam burns fast and its smoke poisons: no hot work on what it lies behind; what runs through it in trunks",
        standing="common practice",
    ),
    "gas-space": Source(
        title="Cooking gas: a locker tight to the inside, opened from above to open air, drained overboard from its floor above "
        "the waterline (common practice, from memory; ISO 10239 and ABYC A-1 are standards for it)",
        standing="from memory",
        binding="binds who puts new craft on the market, and where a flag, an inland waterway or an insurer asks for it; advice "
        "for an owner",
    ),
    "battery-space": Source(
        title="Batteries: held down for a capsize, terminals covered, the space vented at its top to open air, apart from gas "
        "and petrol (common practice, from memory; ABYC E-10 is a standard for it)",
        standing="from memory",
    ),
    "petrol-space": Source(
        title="Petrol: a space tight to the inside, vented to open air from its lowest place, nothing in it that sparks (common "
        "practice, from memory; ISO 11105 and 33 CFR 183 have rules for it)",
        standing="from memory",
        binding="binds who puts new craft on the market, in the US makers of petrol boats; advice for an owner",
    ),
    "diesel-space": Source(
        title="Diesel: a tank of its own with filler and vent on deck, and a shut-off that is reached; its fumes kept from where "
        "people sleep (common practice, from memory)",
        standing="from memory",
    ),
    "foam-blocks": Source(title="Blocks cut to shape fill about 85 % of a space", standing="common practice"),
    "liquids": Source(
        title="Fresh water 1000, sea water 1025, diesel 840, petrol 745 kg/m3; waste as water", standing="common practice"
    ),
    "swamped-weight": Source(
        title="Weight under water, 1 - 1/SG: lead 0.912, steel 0.873, GRP 0.333, aluminium 0.631, fir plywood -0.818 "
        "(33 CFR 183; the third decimals worked out from its specific gravities)",
        standing="published",
        binding="binds makers of small powerboats in the US; no private yacht",
    ),
    "swamped-weight-others": Source(
        title="Specific gravities of cast iron 7.2, concrete 2.4, oak 0.63, teak 0.65, pine 0.50, balsa 0.16",
        standing="from memory",
    ),
    "air-chambers": Source(
        title="No credit for air chambers that are part of the hull; of others the two largest do not count (33 CFR 183)",
        standing="published",
        binding="binds makers of small powerboats in the US; no private yacht",
    ),
    "metal-fixing": Source(
        title="On steel, aluminium and ferrocement panels are bolted every 150 mm to flats of 50 by 5 mm, bedded in sealant and "
        "kept off the skin; resin is not relied on there (common practice, from memory)",
        standing="from memory",
    ),
    "cold-bend": Source(
        title="A batten bends cold to a radius of a hundred of its thicknesses, its outer fibres stretched by 0.5 %",
        standing="common practice",
    ),
    "okoume-ply": Source(
        title="Okoume marine plywood of 6, 9, 12 and 18 mm: 2.7, 4.1, 5.4 and 8.1 kg/m2, in merchants' data", standing="published"
    ),
    "sheet-sizes": Source(
        title="Plywood sheets of 2440 x 1220, 2500 x 1220 and 3100 x 1530 mm, in merchants' data", standing="published"
    ),
    "face-grain": Source(
        title="Plywood's outer grain runs along the sheet's length, unless the merchant says otherwise",
        standing="common practice",
    ),
    "screw-spacing": Source(
        title="Screws every 150 mm hold a board down on its bearers until the resin is hard", standing="common practice"
    ),
    "screw-length": Source(
        title="A screw is two and a half times as long as what it holds down is thick, less where it would come out",
        standing="common practice",
    ),
    "glue-line": Source(title="Putty as glue lies 0.5 mm thick between flat boards", standing="from memory"),
    "edge-sealing": Source(title="Sawn edges of plywood are coated twice over: end grain drinks", standing="common practice"),
    "consumables": Source(
        title="Used up: gloves and a pot a mix, a brush, roller or bag by its purpose; a disc for 0.25 m2 ground or 1 m2 sanded; "
        "solvent 0.1 L/m2 and 0.02 L a mix",
        standing="common practice",
    ),
    "butt-strap": Source(title="Butt strap of plywood 15 times as wide as the board is thick", standing="published"),
    "scarf": Source(title="Scarf 8 times as long as the board is thick; 12 times for the cautious", standing="common practice"),
    "fillet-volume": Source(
        title="Section of a fillet: r squared (cot(A/2) - (pi - A)/2), A the corner's angle", standing="derived"
    ),
    "tabbing": Source(
        title="Tabbing: first layer 50 mm or more onto each side, each further one 25 mm more: three layers reach 100 mm",
        standing="common practice",
    ),
    "mixed-epoxy": Source(title="Mixed epoxy 1.106 kg/L", standing="published"),
    "epoxy-for-cloth": Source(
        title="Epoxy for cloth: ft2 (oz/yd2 x 0.00085 + 0.0075) US gallons, 15 % waste and three fill coats included "
        "(Epoxyworks)",
        standing="published",
    ),
    "mat-resin": Source(title="Chopped mat takes twice its weight of resin, cloth its own", standing="published"),
    "putty": Source(
        title="Putty for fillets: four fifths resin by volume, a fifth of its weight in filler", standing="from memory"
    ),
    "pot-life": Source(
        title="Pot life at 21 deg C: fast 8 to 12, slow 20 to 30 minutes; twice as long for each 10 degrees colder",
        standing="published",
    ),
    "cure": Source(
        title="Epoxy is hard through after 7 days at 20 deg C, after twice as long 10 degrees colder; below the least its "
        "hardener is made for it may never be",
        standing="published",
    ),
    "working-rate": Source(
        title="One person works in 0.1 litres of putty, or wets with 0.06 litres of resin, in a minute", standing="from memory"
    ),
    "shut-in-air": Source(
        title="Shut-in air by the gas law, pV/T constant, 101 325 Pa outside; 12 deg C when a space is shut and 45 in the sun, "
        "20 when bottles are shut and 5 in cold water, from memory",
        standing="derived",
    ),
    "dry-leak-test": Source(
        title="Dry test of a buoyancy space with air: 5 in of water, 2 in left after 30 s (a dinghy class's rules)",
        standing="published",
        binding="binds boats of that class; a yardstick for others",
    ),
    "closed-for-test": Source(
        title="An opening is closed for a test by a plug, or by a plate on closed-cell foam", standing="common practice"
    ),
}
