"""A hull's measurements and what was made of them, in words: one function for each code of a finding or a reason."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Literal

from sketcher.analysis.findings import Angle, Area, Length, Phrase, Share, Volume, Why
from sketcher.model.units import Unit
from sketcher.outputs.wording.say import Say, measure_again, unseen

_NOT_JUDGED: dict[Why, str] = {
    "end": "the ends of the boat, and of a knuckle, have neighbours on one side only",
    "along": "there the skin runs nearly along the number's own direction, and a slip mostly slides the point along the skin",
    "bend": "there the lines bend too hard, or the next stations are too far off; a station between would tell",
    "line": "no stations on both sides have the same knuckles",
    "few": "it takes four stations to tell a slip in one of them from the shape of the hull",
    "many": "there are more points than are read off a tape, and this way of judging them is for tape measurements",
}


def mistyped_number(
    say: Say,
    at: Length,
    point: int,
    half_breadth: Length,
    height: Length,
    off: Length,
    side: Literal["above", "below", "outside", "inside"],
    give_or_take: Length,
    offers: Sequence[Phrase],
    rivals: Sequence[Phrase],
    to_port: bool = False,
) -> str:
    to = " to port" if to_port else ""
    place = f"Station {say.written(at)}, point {point}{to} [{say.number(half_breadth)}, {say.number(height)}]"
    likely = " or ".join(say(offer) for offer in offers)
    again = "Measure it again."
    if rivals:
        again = f"Measure it again, and {' or '.join(say(rival) for rival in rivals)}: a slip there would look much the same."
    return (
        f"{place} stands {say.whole(off)} {side}, give or take {say.whole(give_or_take)}, of where its neighbours put it: "
        f"{likely}. {again}"
    )


def likely_number(
    say: Say, coordinate: Literal["half-breadth", "height"], typed: Length, meant: Length, misread: Phrase | None
) -> str:
    return f"{coordinate} {say.number(typed)} is likely {_meant(say, meant, misread)}"


def point_of_station(say: Say, point: int, at: Length) -> str:
    return f"point {point} of station {say.written(at)}"


def digit_misread(say: Say, meant: str, read: str, unit: Unit) -> str:
    return f"{_in_the_file(say, unit)}{_named(meant)} read as {_named(read)}"


def digits_changed_about(say: Say, first: str, second: str, unit: Unit) -> str:
    return f"{_in_the_file(say, unit)}{first} and {second} changed about"


def hundred_miscounted(say: Say, unit: Unit) -> str:
    return f"{_in_the_file(say, unit)}a hundred miscounted"


def station_distance(
    say: Say,
    at: Length,
    off: Length,
    direction: Literal["aft", "forward"],
    give_or_take: Length,
    meant: Length,
    misread: Phrase | None,
) -> str:
    return (
        f"Station {say.written(at)} as a whole seems to be entered {say.whole(off)} too far {direction}, give or take "
        f"{say.whole(give_or_take)}: its distance is likely {_meant(say, meant, misread)}. Measure the distance again."
    )


def knuckle_not_marked(
    say: Say, at: Length, point: int, turn: Angle, beside: Length, knuckles: Sequence[int], to_port: bool = False
) -> str:
    side = " to port" if to_port else ""
    return (
        f"Station {say.written(at)} turns by {turn.degrees:.0f} degrees at point {point}{side}, as station "
        f"{say.written(beside)} does beside it, but the point is not marked as a knuckle, and the lines round it off. If it is a "
        "hard corner, write "
        f"knuckles: [{', '.join(map(str, knuckles))}] at this station."
    )


def not_judged(
    say: Say,
    count: int,
    slip: Length,
    half_breadths: Sequence[Phrase],
    heights: Sequence[Phrase],
    profiles: Sequence[str],
    why: Why,
    square: Length | None,
    again: Sequence[Phrase],
    skins: Sequence[Area],
    to_port: bool = False,
) -> str:
    """skins: how much skin hangs on each of `again`, by which several findings are told together."""
    which = [
        f"{name} at {', '.join(say(each) for each in numbers)}"
        for name, numbers in (("half-breadths", half_breadths), ("heights", heights))
        if numbers
    ]
    which += [f"all of the {profile}" for profile in profiles]
    shown = "" if square is None else f": at most {say.whole(square)} of it stand square to the skin"
    listing = f" Those are {'; '.join(which)}." if which else ""
    side = "To port: " if to_port else ""
    return f"{side}{unseen(count, say(slip))}: {_NOT_JUDGED[why]}{shown}.{listing} {measure_again([say(each) for each in again])}"


def number_again(say: Say, coordinate: Literal["half-breadth", "height"], point: int, at: Length, to_port: bool = False) -> str:
    return f"the {coordinate} of point {point}{' to port' if to_port else ''} at {say.written(at)}"


def points_of_station(say: Say, at: Length, points: Sequence[int]) -> str:
    return f"{say.number(at)} ({_runs(points)})"


def knuckle_bridged(say: Say, station: int, at: Length, point: int) -> str:
    return (
        f"Point {point} of station {station} at {say.written(at)} is taken for a knuckle, as its neighbours have one there. "
        f"If so, add {point} to its `knuckles`; if not, check theirs."
    )


def measured_out_of_level(say: Say, trim: Angle, heel: Angle, marks: int, apart: Length | None) -> str:
    by = f"{abs(trim.degrees):.1f} degrees by the {'bow' if trim.degrees > 0 else 'stern'}"
    over = f"{abs(heel.degrees):.1f} to {'starboard' if heel.degrees > 0 else 'port'}"
    told = f"By the {marks} marks of `level` she stood {by} and {over}; every figure is for her turned back."
    if apart is None:
        return told
    return f"{told} The marks disagree by {say.whole(apart)}: read them again, or look for one that is not level when she floats."


def check_across_sides(_: Say, check: str) -> str:
    return f"The check {check} goes across from one side to the other, and her sides were measured apart: it is not weighed."


def sides_apart(say: Say, at: Length, point: int, by: Length) -> str:
    return (
        f"Port and starboard were measured apart; they differ most at station {say.written(at)}, point {point}, by "
        f"{say.whole(by)}. On the centreline the shell's other face runs half-way between her sides'. How sure figures are is "
        "not worked out for her."
    )


def points_guessed(say: Say, points: int, of: int, stations: Sequence[Length]) -> str:
    where = ", ".join(say.number(at) for at in stations)
    return (
        f"{points} of the hull's {of} points are a first guess and were never measured, at {where}: no figure is better than "
        "that. Measure them; check stem, transom and deck too."
    )


def profile_overlaps_stations(_: Say, end: Literal["stem", "stern"], count: int) -> str:
    points = "point" if count == 1 else f"{count} points"
    return (
        f"The first {points} of the {end} lie among the stations and are not used: there the stations' own first points say "
        f"where the keel is. Begin the {end} at the end station's lowest point."
    )


def shell_piece_left_out(_: Say, volume: Volume) -> str:
    return (
        f"Where the hull's sides come together, {1000 * volume.cubic_metres:.2f} litres of the shell's derived face came apart "
        "and are left out. Check `shell` against the ends' fineness."
    )


def odd_length(say: Say, hull: str, length: Length, unit: Unit) -> str:
    return f"{hull} is {say(length)} long, which no small boat is. Are the units right, `units: {unit}`?"


def lengths_between(say: Say, least: Length, most: Length) -> str:
    return say.between(least, most)


def _meant(say: Say, meant: Length, misread: Phrase | None) -> str:
    return say.number(meant) + ("" if misread is None else f" ({say(misread)})")


def _in_the_file(say: Say, unit: Unit) -> str:
    """Digits are misread as the file has them; nothing need be said where the reader sees them so."""
    return "" if say.unit == unit and unit not in ("in", "ft") else "in the hull file's numbers, "


def _named(digit: str) -> str:
    return f"an {digit}" if digit == "8" else f"a {digit}"


def _runs(numbers: Sequence[int]) -> str:
    """Numbers in rising order with runs drawn together.

    >>> _runs([1, 2, 3, 6])
    '1-3, 6'
    """
    runs = [[n for _, n in run] for _, run in groupby(enumerate(numbers), lambda each: each[1] - each[0])]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def scan_lopsided(say: Say, share: Share) -> str:
    return (
        f"Only {say(share)} of what was scanned has an image on the other side, so the middle of the boat may be wrong: look at "
        "the stations, and give three points on the centreline with --points if they are askew."
    )


def scan_ends_alike(say: Say) -> str:
    return "Both ends are about as fine, so the higher was taken for the bow; --points says otherwise."


def scan_level(say: Say, level: Phrase, guessed: bool) -> str:
    doubt = " She may be out of trim by it: --points with bow and stern at one height settles that." if guessed else ""
    return f"Level is {say(level)}.{doubt}"


def upright_axis(say: Say) -> str:
    return "what the scan itself says is plumb"


def her_length(say: Say) -> str:
    return "her own length, since no axis of the scan is upright in her"


def three_points(say: Say) -> str:
    return "as the three points say"


def scan_points(say: Say, of: int, share: Share, noise: Length, length: Length, face: str, transom: bool, open_aft: bool) -> str:
    end = "a flat transom aft" if transom else "measured only so far aft" if open_aft else "sharp aft"
    return (
        f"{say(share)} of {of} points lie on the {face} of her shell, within {say(noise)} of it (one standard deviation); "
        f"{say(length)} long, {end}. What hides the skin all along, such as a cabin sole, is taken for the skin."
    )


def scan_hole(say: Say, start: Length, end: Length, bottom: Length | None, top: Length | None) -> str:
    where = "from keel to sheer"
    if bottom is None and top is not None:
        where = f"below {say(top)}"
    elif bottom is not None and top is None:
        where = f"above {say(bottom)}"
    elif bottom is not None and top is not None:
        where = f"between {say(bottom)} and {say(top)} up"
    return f"Nothing was seen between {say(start)} and {say(end)} aft, {where}: measure there by tape."
