"""Figures to lay side by side: each as it is printed, with the number its change is worked out from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from sketcher.analysis.afloat.doubts import afloat_doubts
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.bottles import BottledSpace
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.lying import LyingPlace
from sketcher.analysis.fit.stowage import Room
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.flooding.worst import gravity_of
from sketcher.analysis.loading.weights import Loaded
from sketcher.analysis.results import Floating, WaterPlane
from sketcher.geometry.packing.box_growth import Box
from sketcher.model.fields.records import pairs
from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.scene import Scene
from sketcher.model.units import parse_length, parse_number, tape_step
from sketcher.outputs.tables.afloat_report import gm_in_words
from sketcher.outputs.wording.quantities import UNKNOWN, borne, length, litres, mass_unit, masses, plain, shortened

Label = tuple[str, str]
"""What a figure belongs to, and its name."""
BOAT = "the boat"
CHANGED = "with the changes in weight"
"""What the figures of the boat belong to that count what the scene puts in or takes out."""
BUILT = ("bulkheads", "partitions", "lids", "stringers", "openings")
"""Blocks of what is built in, of which a comparison tells what differs."""
THERE = "there"
IF_HOLED = "if holed"
WIDEST = 30
"""Characters of a value beside others in a line."""


@dataclass(frozen=True, slots=True)
class Fact:
    """A figure of one layout as printed; number: in the unit printed, None where it is a word or not known.

    fractions: the unit, where it is printed in sixteenths of an inch; its change then is too.
    """

    text: str
    number: float | None = None
    decimals: int = 0
    fractions: str = ""


def length_fact(value: float | None, unit: str) -> Fact:
    """A length [m] in the reader's unit."""
    per = {"mm": (1000.0, 0), "cm": (100.0, 1), "m": (1.0, 3)}
    if unit not in per:
        step = tape_step(unit)
        return Fact(length(value, unit), None if value is None else round(value / step) / 16, fractions=unit)
    factor, decimals = per[unit]
    return Fact(length(value, unit), None if value is None else round(value * factor, decimals), decimals)


def number_fact(value: float | None, decimals: int = 0) -> Fact:
    """A number to so many decimals."""
    return Fact(plain(value, decimals), None if value is None else round(value, decimals), decimals)


def mass_fact(kilograms: float | None, unit: str, decimals: int = 0) -> Fact:
    """A mass [kg] in the reader's unit."""
    return number_fact(masses(kilograms, unit), decimals)


def litres_fact(volume: float | None) -> Fact:
    """A volume [m3] in whole litres."""
    return Fact(litres(volume), None if volume is None else round(volume * 1000))


def afloat_facts(evaluation: Evaluation, unit: str) -> dict[Label, Fact]:
    """The water she lies in, and how she floats as stated."""
    afloat, doubts = evaluation.floating, afloat_doubts(evaluation.floating, evaluation.water)
    return {
        (BOAT, "water, kg/m³"): number_fact(evaluation.scene.water_density),
        **_lies(BOAT, _displacement(evaluation, unit), evaluation.water, afloat, unit),
        (BOAT, "draft"): length_fact(afloat.draft, unit),
        (BOAT, "metacentric height"): _stiffness(afloat.gm, doubts.gm, unit),
    }


def _displacement(evaluation: Evaluation, unit: str, change: float = 0.0) -> Fact:
    """Her mass as stated, to what a tape can bear, and what `change` [kg] makes of it: that is known to the unit."""
    afloat = evaluation.floating
    stated = borne(masses(afloat.displacement, unit), masses(afloat_doubts(afloat, evaluation.water).displacement, unit), 0)
    more = masses(change, unit) or 0.0
    if afloat.displacement is None:
        return Fact(stated)
    return Fact(f"{stated} {more:+.0f}" if round(more) else stated, float(stated) + round(more))


def _stiffness(gm: float | None, doubt: float | None, unit: str) -> Fact:
    """A metacentric height to what can be known of it; the unit of the table goes without saying."""
    text = gm_in_words(gm, doubt, unit).removesuffix(f" {unit}")
    told = length_fact(gm, unit)
    if told.fractions:
        shown = parse_length(text, unit)
        return replace(told, text=text, number=None if shown is None else length_fact(shown, unit).number)
    return Fact(text, None if gm is None else parse_number(text), told.decimals)


def changed_facts(evaluation: Evaluation, then: Loaded | None, unit: str) -> dict[Label, Fact]:
    """How she floats with the changes in weight; without any as stated."""
    if then is None:
        return _lies(CHANGED, _displacement(evaluation, unit), evaluation.water, evaluation.floating, unit)
    mass = number_fact(None) if then.mass is None else _displacement(evaluation, unit, then.change)
    return _lies(CHANGED, mass, then.water, then.floating or Floating(), unit)


def _lies(owner: str, mass: Fact, water: WaterPlane | None, afloat: Floating, unit: str) -> dict[Label, Fact]:
    return {
        (owner, f"displacement, {mass_unit(unit)}"): mass,
        (owner, "water at the bow"): length_fact(None if water is None else water.forward, unit),
        (owner, "water at the stern"): length_fact(None if water is None else water.after, unit),
        (owner, "freeboard at the bow"): length_fact(afloat.forward_freeboard, unit),
        (owner, "freeboard at the stern"): length_fact(afloat.after_freeboard, unit),
        (owner, "least freeboard"): length_fact(afloat.least_freeboard, unit),
    }


def flooding_facts(cases: Sequence[FloodingCase], unit: str) -> dict[Label, Fact]:
    """How she floats if a space is holed, in the worse of its states, and the worst of all; nothing where no case is known."""
    if all(case.verdict == "unknown" for case in cases):
        return {}
    facts: dict[Label, Fact] = {}
    for case in cases:
        if len(case.holed) == 1:
            worse = min(case.states, key=gravity_of)
            facts[case.holed[0], IF_HOLED] = Fact(worse.verdict)
            facts[case.holed[0], f"{IF_HOLED}, least freeboard"] = length_fact(worse.least_freeboard, unit)
    states = [state for case in cases for state in case.states]
    for number, words in ((1, "worst if one space is holed"), (2, "worst if two beside each other are")):
        worst = min((state for state in states if len(state.holed) == number), key=gravity_of, default=None)
        if worst is not None:
            facts[BOAT, words] = Fact(f"{' and '.join(worst.holed)}: {worst.verdict}")
    return facts


def built_facts(scene: Scene, unit: str) -> dict[Label, Fact]:
    """Each panel, stringer and opening as the scene states it, key by key."""
    facts: dict[Label, Fact] = {}
    for block in BLOCKS:
        for item in getattr(scene, block.key) if block.key in BUILT else ():
            owner = f"{block.word} {item.name}"
            facts[owner, THERE] = Fact(THERE)
            for key, text in pairs(item, block.fields, unit):
                value = parse_number(text)
                facts[owner, key.replace("_", " ")] = Fact(
                    shortened(text, WIDEST, len), value, 0 if value is None else len(text.partition(".")[2])
                )
    return facts


def contents_facts(contents: Contents, unit: str) -> dict[Label, Fact]:
    """What is put into the spaces, as a layout is judged by it: under the name of each thing, of its space, or of the boat."""
    facts: dict[Label, Fact] = {}
    for place in contents.lying:
        facts.update(_lying(place, unit))
    for room in contents.rooms:
        facts.update(_stowed(room, unit))
    for space in contents.bottles:
        facts.update(_bottled(space, unit))
    for chain in contents.chains:
        facts[chain.name, "stows itself"] = Fact("yes" if chain.stows_itself else "no")
        facts[chain.name, "fall left below the pipe"] = length_fact(chain.fall, unit)
        facts[chain.name, f"weight, {mass_unit(unit)}"] = mass_fact(chain.mass, unit)
    for fill in contents.foams:
        facts[fill.name, "litres of foam"] = litres_fact(fill.volume)
        facts[fill.name, f"lift, {mass_unit(unit)}"] = mass_fact(fill.lift, unit)
    for tank in contents.tanks:
        facts[tank.name, "litres it holds"] = litres_fact(tank.volume)
        facts[tank.name, f"full, {mass_unit(unit)}"] = mass_fact(tank.full, unit)
        facts[tank.name, f"half full, {mass_unit(unit)}"] = mass_fact(tank.half, unit)
    if contents.swamped is not None:
        facts[BOAT, f"lift left when swamped, {mass_unit(unit)}"] = mass_fact(contents.swamped.net, unit)
        facts[BOAT, f"lift with air in tight spaces, {mass_unit(unit)}"] = mass_fact(contents.swamped.with_air, unit)
    return facts


def _lying(place: LyingPlace, unit: str) -> dict[Label, Fact]:
    facts: dict[Label, Fact] = {}
    for one in place.each:
        fits = UNKNOWN if one.fits is None else "yes" if one.fits else "no place"
        if one.fits is False and one.short_by is not None:
            fits = f"short by {length(one.short_by, unit)}"
        facts[place.berth, f"{one.name} fits"] = Fact(fits)
    return {**facts, (place.berth, "longest who can lie there"): length_fact(place.length, unit)}


def _stowed(room: Room, unit: str) -> dict[Label, Fact]:
    def sides(box: Box | None) -> Fact:
        return Fact("none" if box is None else " x ".join(length(side, unit) for side in box.size))

    facts = {(room.name, "largest box"): sides(room.largest), (room.name, "largest through an opening"): sides(room.passing)}
    if room.fits is not None:
        facts[room.name, "goes in"] = Fact("yes" if room.fits else "no")
    elif room.proportioned is not None:
        facts[room.name, "largest as asked for"] = sides(room.proportioned)
    return facts


def _bottled(space: BottledSpace, unit: str) -> Iterator[tuple[Label, Fact]]:
    for stow in space.stows:
        yield (stow.name, "bottles placed"), number_fact(stow.count)
        yield (stow.name, f"gross lift, {mass_unit(unit)}"), mass_fact(stow.lift, unit)
        yield (stow.name, f"their own {mass_unit(unit)}"), mass_fact(stow.weight, unit, 1)
    yield (space.space, f"bottles push up, net {mass_unit(unit)}"), mass_fact(space.uplift, unit)
