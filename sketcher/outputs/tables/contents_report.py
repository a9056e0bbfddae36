"""What goes into the spaces, as the report's sections: who sleeps where, stowage, bottles, chain, foam, tanks, and swamped."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Area
from sketcher.analysis.fit.bottles import BottledSpace
from sketcher.analysis.fit.chain import ChainStow
from sketcher.analysis.fit.foam import FoamFill, credit_phrase, heat_phrase, pours_phrase
from sketcher.analysis.fit.lying import LyingPlace
from sketcher.analysis.fit.stowage import Room
from sketcher.analysis.fit.swamped import Swamped
from sketcher.analysis.fit.tanks import TankFill
from sketcher.geometry.packing.box_growth import Box
from sketcher.outputs.wording.quantities import (
    UNKNOWN,
    area,
    area_unit,
    length,
    length_with_unit,
    litres,
    mass_number,
    mass_unit,
    plain,
    share,
    table,
    wrap,
)
from sketcher.outputs.wording.say import Say
from sketcher.outputs.wording.sentences import in_unit


def contents_report(evaluation: Evaluation, unit: str, width: int) -> list[str]:
    """Lines of all sections with a blank one between them; empty where the scene puts nothing into the boat."""
    inside = evaluation.contents
    if inside is None:
        return []
    say = in_unit(unit)
    sections = [
        _sleeping(inside.lying, say),
        _rooms(inside.rooms, unit, width),
        _bottles(inside.bottles, unit, width),
        _chains(inside.chains, unit, width),
        _foams(inside.foams, say, width),
        _tanks(inside.tanks, unit),
        _swamped(inside.swamped, say, width),
    ]
    lines: list[str] = []
    for section in sections:
        lines += ["", *section] if lines and section else section
    return lines


def _sleeping(places: Sequence[LyingPlace], say: Say) -> list[str]:
    if not places:
        return []
    unit, rows = say.unit, []
    for place in places:
        for one in place.each:
            fits = UNKNOWN if one.fits is None else "fits" if one.fits else "no place"
            if one.short_by and not one.fits:
                fits = f"short by {length(one.short_by, unit)}"
            rows.append((one.name, place.berth, length(one.length, unit), length(one.needed, unit), fits))
    head = (f"WHO LIES WHERE, {unit}", "berth", "can lie, at most", "length needed", "")
    lines = table(head, rows, "<<>><")
    for place in places:
        if place.boards is not None and place.cushion is not None:
            lines.append(f"  {place.berth}: boards {say(Area(place.boards))}, cushion {say(Area(place.cushion))}")
    heights = [
        (sleeper.name, *(length(height, unit) for height in (sleeper.over_head, sleeper.over_knees, sleeper.over_seat)))
        for place in places
        for sleeper in place.sleepers
    ]
    return [*lines, "", *table((f"HEIGHT OVER, {unit}", "head", "knees", "seat"), heights, "<>>>")] if heights else lines


def _rooms(rooms: Sequence[Room], unit: str, width: int) -> list[str]:
    if not rooms:
        return []
    head = ("STOWAGE", "space", "litres", f"floor {area_unit(unit)}", "largest box", "through an opening", "asked for")
    rows = [
        (
            room.name,
            room.space,
            litres(room.volume),
            area(room.floor_area, unit),
            _box(room.largest, unit),
            _box(room.passing, unit),
            {None: _box(room.proportioned, unit), True: "goes in", False: "too big"}[room.fits],
        )
        for room in rooms
    ]
    lines = table(head, rows, "<<>>>>>", name_width=18)
    for room in rooms:
        told = [words for words in (_lies(room.largest, "the largest box"), _lies(room.passing, "the largest through")) if words]
        if room.fits is None and room.proportioned is not None:
            told += [
                _lies(room.proportioned, "the one asked for"),
                f"through an opening {_box(room.proportioned_passing, unit)} of it",
            ]
        if any(told):
            lines += wrap(f"{room.name}: {'; '.join(words for words in told if words)}", width, "    ", "  ")
    for room in {room.space: room for room in rooms}.values():
        for access in room.access:
            farthest = (
                f"farthest corner {length_with_unit(access.farthest, unit)}" if isfinite(access.farthest) else "some is shut off"
            )
            words = f"{access.limb} through; about {5 * round(20 * access.share)} % within reach, {farthest}"
            lines += wrap(f"{room.space} by {access.opening}: {words}", width, "    ", "  ")
    return lines


def _lies(box: Box | None, what: str) -> str:
    """How a box lies, where that is askew; empty where it is parallel to the boat, to half a degree."""
    if box is None or max(abs(box.turn), box.tilt) < 0.5:
        return ""
    return f"{what} lies turned {abs(box.turn):.0f}° in plan" + (f" and leans {box.tilt:.0f}°" if box.tilt >= 0.5 else "")


def _box(box: Box | None, unit: str) -> str:
    return "none" if box is None else " x ".join(length(side, unit) for side in box.size)


def _bottles(spaces: Sequence[BottledSpace], unit: str, width: int) -> list[str]:
    if not spaces:
        return []
    head = (
        "BOTTLES",
        "space",
        "placed",
        "layers",
        "displace",
        "share",
        f"lift, gross {mass_unit(unit)}",
        f"weigh {mass_unit(unit)}",
    )
    rows = [
        (
            stow.name,
            stow.space,
            str(stow.count),
            str(stow.layers),
            UNKNOWN if stow.displaced is None else f"{litres(stow.displaced)} l",
            share(stow.share, 1.0),
            mass_number(stow.lift, unit),
            mass_number(stow.weight, unit, 1),
        )
        for space in spaces
        for stow in space.stows
    ]
    lines = table(head, rows, "<<>>>>>>", name_width=20)
    for space in spaces:
        left = _left_for_water(space)
        load = f"to be held down, once under water, net of their weight, {mass_number(space.uplift, unit)} {mass_unit(unit)}"
        if space.uplift is not None and space.uplift < 0.0:
            load = f"they weigh {mass_number(-space.uplift, unit)} {mass_unit(unit)} more than they lift"
        lines += wrap(f"{space.space}: {load}{left}", width, "    ", "  ")
    return lines


def _left_for_water(space: BottledSpace) -> str:
    """What water can still fill, with where the rest of the space goes."""
    if space.permeability is None:
        return ""
    if space.stated:
        return f"; of the space {space.permeability * 100:.0f} % is left for water, as the file states"
    displaced = sum(stow.share or 0.0 for stow in space.stows)
    framing = 1.0 - USES["void"].permeability
    if displaced + framing > 1.0:
        return "; nothing is left for water"
    return (
        f"; of the space {displaced * 100:.0f} % is bottles, {framing * 100:.0f} % is taken for framing and the like, as in "
        f"any void, and {space.permeability * 100:.0f} % is left for water"
    )


def _chains(stows: Sequence[ChainStow], unit: str, width: int) -> list[str]:
    lines: list[str] = []
    for stow in stows:
        peak = "up to the pipe" if stow.full.reaches else f"{length_with_unit(stow.fall, unit)} below the pipe"
        verdict = "stows itself" if stow.stows_itself else "does not go in" if stow.full.reaches else "needs a hand at the end"
        weighs = f"{mass_number(stow.mass, unit)} {mass_unit(unit)}"
        others = ", ".join(f"{rule} {litres(volume)}" for rule, volume in stow.volumes.items() if rule != stow.rule)
        text = (
            f"{stow.name} in {stow.space}: {weighs}, a heap of {litres(stow.volume)} litres by the {stow.rule} rule "
            f"(by others: {others}) peaks {peak}: {verdict}. Its weight sits {length_with_unit(stow.full.centroid[2], unit)} up; "
            f"half of it out, {length_with_unit(stow.half.centroid[2], unit)}."
        )
        if stow.pipe_length is not None:
            text += f" Pipe {length_with_unit(stow.pipe_length, unit)} long, {plain(stow.pipe_slope, 0)}° off plumb."
        lines += wrap(text, width, "  ")
    return ["CHAIN", *lines] if lines else []


def _foams(fills: Sequence[FoamFill], say: Say, width: int) -> list[str]:
    if not fills:
        return []
    unit, of = say.unit, mass_unit(say.unit)
    head = ("FOAM", "space", "litres", "to buy", "kits", of, f"lifts {of}", f"counts for {of}", "left for water")
    rows = [
        (
            fill.name,
            fill.space,
            litres(fill.volume),
            litres(fill.bought),
            "" if fill.kits is None else str(fill.kits),
            mass_number(fill.mass, unit, 1),
            mass_number(fill.lift, unit),
            mass_number(fill.credited, unit),
            share(fill.permeability, 1.0),
        )
        for fill in fills
    ]
    lines = table(head, rows, "<<>>>>>>>", name_width=20)
    for fill in fills:
        if fill.credited < fill.lift:
            lines += wrap(f"{fill.name}: {say(credit_phrase(fill))}", width, "    ", "  ")
        if fill.pours:
            text = f"{fill.name}, pours from the bottom up: {say(pours_phrase(fill))}. Heat: {say(heat_phrase(fill))}."
            lines += wrap(text, width, "    ", "  ")
    return lines


def _tanks(fills: Sequence[TankFill], unit: str) -> list[str]:
    if not fills:
        return []
    head = (
        f"TANKS, {unit}",
        "holds",
        "litres",
        f"full {mass_unit(unit)}",
        f"half {mass_unit(unit)}",
        "full: aft, up",
        "half: aft, up",
        "GM loss",
    )
    rows = [
        (
            fill.name,
            fill.holds,
            litres(fill.volume),
            mass_number(fill.full, unit),
            mass_number(fill.half, unit),
            *(f"{length(centre[0], unit)}, {length(centre[2], unit)}" for centre in (fill.full_centre, fill.half_centre)),
            length(fill.gm_loss, unit),
        )
        for fill in fills
    ]
    return table(head, rows, "<<>>>>>>", name_width=20)


def _swamped(found: Swamped | None, say: Say, width: int) -> list[str]:
    if found is None:
        return []
    unit, of = say.unit, mass_unit(say.unit)
    weighed = [(item.name, item.kind, item.kg) for item in found.items]
    if found.air:
        weighed.append(("air in tight spaces", "no rule credits it", -found.air))
    rows = [
        (name, kind, mass_number(kg, unit) if kg > 0 else "", mass_number(-kg, unit) if kg <= 0 else "")
        for name, kind, kg in weighed
    ]
    lines = table(("IF SHE WERE SWAMPED", "of", f"pulls down, {of}", f"lifts, {of}"), rows, "<<>>")
    return [*lines, *wrap(say(found.answer), width, "  ")]
