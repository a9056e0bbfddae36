"""Does it go in, in words: berths and who lies there, what is stowed, what a hand must get at, and what the owner asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Angle, Area, Length, Mass, Phrase, Place, Share, Volume
from sketcher.outputs.wording.say import Say, listed

_Direction = Literal["forward", "aft"]
_Limb = Literal["person", "arm", "hand", "nothing"]
_LIMBS: dict[_Limb, str] = {"person": "a person", "arm": "an arm", "hand": "a hand", "nothing": "not even a hand"}


def berth_nowhere(_: Say, berth: str) -> str:
    return f"{berth}: nothing of the hull is clear at the cushion's top between its limits. Check its height and ends."


def berth_runs_out(_: Say, berth: str) -> str:
    return f"{berth} runs aft out of what was measured, so its length is not known. End it at a bulkhead."


def berth_without_stature(_: Say, berth: str) -> str:
    return (
        f"No stature is stated for {berth}, so whether anybody fits on it is not known. Give its `stature`, or say who lies "
        "there under `people`."
    )


def berth_short(
    say: Say,
    berth: str,
    people: int,
    length: Length,
    short: Length,
    stature: Length,
    margin: Length,
    run: Length | None,
    shoulders: Length,
    moves: Sequence[Phrase],
    higher: Length | None,
) -> str:
    lie = "two people lie" if people > 1 else "a person lies"
    lacks = f"{say(short)} short of {say(stature)} of person and {say(margin)} of room"
    line = f" Its clear length of {say(run)} is a line: shoulders of {say(shoulders)} go nowhere so far." if run else ""
    return f"On {berth} {lie} {say(length)} long at the most, {lacks}.{line} {_longer(say, moves, higher)}"


def berth_too_narrow(say: Say, berth: str, people: int, shoulders: Length, feet: Length) -> str:
    who = "two people, side by side or otherwise" if people > 1 else "a person"
    wide = f"{say(shoulders)} at the shoulders and {say(feet)} at the feet"
    return f"{berth} has no place for {who}: {wide} go nowhere on it. Widen it, or say that it is for fewer."


def berth_judged_for_two(_: Say, berth: str, people: int) -> str:
    return f"{berth} is for {people}; one berth is judged for two. Part it into berths of two at most."


def _longer(say: Say, moves: Sequence[Phrase], higher: Length | None) -> str:
    """What makes a berth long enough."""
    if moves:
        return _moved(say, moves)
    if higher is not None:
        return f"No planned bulkhead moved by itself mends it; laid {say.enough(higher)} higher it is long enough."
    return "No planned bulkhead moved by itself mends it, nor a greater height: change its outline, or give them another berth."


def panel_moved(say: Say, panel: str, distance: Length, direction: _Direction) -> str:
    return f"{panel} {say.enough(distance)} {direction}"


def _moved(say: Say, moves: Sequence[Phrase]) -> str:
    return f"Move {' or '.join(say(move) for move in moves)}." if moves else ""


def berth_more_than_two(_: Say, berth: str, people: Sequence[str]) -> str:
    return (
        f"{listed(people)} are to lie in {berth}; one berth is judged for two, so {listed(people[:2])} are. Give the others a "
        "berth of their own."
    )


def person_too_wide(say: Say, berth: str, people: Sequence[str], shoulders: Length, feet: Length) -> str:
    together = ", side by side or otherwise" if len(people) > 1 else ""
    return (
        f"{berth} has no place for {listed(people)}: {say(shoulders)} at the shoulders and {say(feet)} at the feet go nowhere "
        f"on it{together}. Widen it, or give them other berths."
    )


def person_does_not_fit(
    say: Say,
    berth: str,
    people: Sequence[str],
    lengths: Sequence[Length],
    lacking: Sequence[Phrase],
    fitting: Sequence[Phrase],
    margin: Length,
    moves: Sequence[Phrase],
    higher: Length | None,
) -> str:
    fits = "".join(f" {say(one)}." for one in fitting)
    remedy = _longer(say, moves, higher)
    return (
        f"{_lie(people, [say(length) for length in lengths])} long at the most on {berth}: "
        f"{listed([say(one) for one in lacking])} (stature and {say(margin)} of room).{fits} {remedy}"
    )


def _lie(people: Sequence[str], lengths: Sequence[str]) -> str:
    """Who lies at what length: `Ada lies 1800 mm`."""
    if len(people) > 1 and len(set(lengths)) == 1:
        return f"{listed(people)}, both alike, lie {lengths[0]}"
    each = [f"{name}{'' if k else ' lies'} {length}" for k, (name, length) in enumerate(zip(people, lengths, strict=False))]
    return f"{'Beside each other ' if len(each) > 1 else ''}{listed(each)}"


def length_lacking(say: Say, person: str, short: Length, needed: Length) -> str:
    return f"{say(short)} short of the {say(needed)} that {person} needs"


def length_enough(say: Say, person: str, needed: Length) -> str:
    return f"{person} needs {say(needed)} and fits"


def berth_head_narrow(
    say: Say, berth: str, person: str, head: _Direction, wider: Length, longest: Length | None, needed: Length
) -> str:
    wide = "aft" if head == "forward" else "forward"
    there = "there is no such place"
    if longest is not None:
        there = f"the longest is {say(longest)}, {say(Length(needed.metres - longest.metres))} short"
    return (
        f"{person} fits on {berth} only with the head {head}, in its narrow end; with the head {wide}, where it is {say(wider)} "
        f"wider at the shoulders, {there}."
    )


def berth_low_over_body(say: Say, berth: str, height: Length, person: str, least: Length, remedy: Phrase) -> str:
    return _low(say, berth, f"{say(height)} high over the knees of {person}", least, remedy)


def berth_low_over_seat(say: Say, berth: str, height: Length, person: str, least: Length, remedy: Phrase) -> str:
    return _low(say, berth, f"{say(height)} high over the place to sit of {person}", least, remedy)


def _low(say: Say, berth: str, high: str, least: Length, remedy: Phrase) -> str:
    return f"{berth} is {high}; {say(least)} is the least of a class of small cruisers. {say(remedy)}"


def lay_lower(say: Say, by: Length) -> str:
    return f"Lay it {say(by)} lower, or accept it."


def lid_under_it_built(_: Say, lid: str) -> str:
    return f"The lid it lies on, {lid}, is built: accept it, or sit elsewhere."


def too_narrow_laid_lower(say: Say, by: Length, longest: Length | None) -> str:
    left = "nobody would find room" if longest is None else f"the longest to lie would be {say(longest)}"
    return f"Laid {say(by)} lower, where the hull is narrower, {left}: accept it, or sit elsewhere."


def berth_way_out(
    say: Say,
    berth: str,
    space: str,
    hatch: str | None,
    hatch_sides: Sequence[Length],
    by: Sequence[str],
    least_round: Length,
    least_side: Length,
    least_area: Area,
) -> str:
    largest = "" if hatch is None else f"; its largest, {hatch}, is {_sides(say, hatch_sides)}"
    size = _a_person(say, least_round, least_side, least_area)
    if by:
        way = f"The way out is by {listed(by)}: see that there is a second one, not past the stove"
    else:
        way = "Nor does any other way out that is stated let a person through: give it a hatch, or state the one that is there"
    return f"{berth} lies in {space}, which has no hatch to the deck that a person gets through{largest}. {way}: {size}."


def berth_way_out_upside_down(say: Say, berth: str, space: str, least_round: Length, least_side: Length, least_area: Area) -> str:
    return (
        f"Upside down a twin hull's deck is under water, and no opening through the hull lets a person out of {space}, where "
        f"{berth} is. A way out there is a hatch in the hull's side: {_a_person(say, least_round, least_side, least_area)}."
    )


def _a_person(say: Say, least_round: Length, least_side: Length, least_area: Area) -> str:
    return f"{say(least_round)} round, or {say(least_side)} at least and {say(least_area)}"


def berth_air(say: Say, berth: str, space: str, air: Area, people: int, each: Length, needed: Area) -> str:
    has = f"only {say(air)} is open to the air, hatches open" if air.square_metres else "no opening to the open air is stated"
    sleepers = f"for each of {people}" if people > 1 else "for a sleeper"
    return f"For {space}, where {berth} is, {has}. Usual is a ventilator {say(each)} across {sleepers}, a total of {say(needed)}."


def berth_low_to_sit(say: Say, berth: str, height: Length, usual: Length) -> str:
    return f"On {berth} one sits {say(height)} high at the most, cushion to deck; to sit upright takes about {say(usual)}."


def stowage_too_small(say: Say, stowage: str, sides: Sequence[Length], space: str, largest: Sequence[Length]) -> str:
    return (
        f"{stowage}, {_sides(say, sides)}, does not fit into {space}: the largest box of its shape there is "
        f"{_sides(say, largest) or 'none at all'}."
    )


def stowage_shut_out(
    say: Say, stowage: str, sides: Sequence[Length], space: str, opening: str, opening_sides: Sequence[Length]
) -> str:
    return (
        f"{stowage}, {_sides(say, sides)}, fits into {space} but passes none of its openings; the largest, {opening}, is "
        f"{_sides(say, opening_sides)}. Put it in before the space is closed, or cut the opening larger."
    )


def _sides(say: Say, sides: Sequence[Length]) -> str:
    return " x ".join(say(side) for side in sides)


def stowage_out_of_reach(
    say: Say, opening: str, limb: _Limb, share: Share, space: str, farthest: Length | None, corner: Place
) -> str:
    if farthest is None:
        far = f"at {say(corner)} is shut off by what stands in the way. Move that, or cut another opening."
    else:
        far = f"is {say(farthest)} away, at {say(corner)}. A larger opening, or one nearer to it, would reach more."
    return (
        f"Through {opening} {_LIMBS[limb]} reaches about {5 * round(20 * share.of_one)} % of {space}; its farthest corner {far}"
    )


def fitting_sealed_in(say: Say, fitting: str, at: Place) -> str:
    return (
        f"{fitting}, which must be got at later, is sealed in: no opening leads to it at {say(at)}. Cut a port within an arm's "
        "length, or move it."
    )


def fitting_out_of_reach(
    say: Say, fitting: str, distance: Length, opening: str, limb: _Limb, reach: Length, missing: Length
) -> str:
    lets = f"lets {_LIMBS[limb]} in"
    remedy = "Cut it for an arm or a person, or move the fitting to another opening."
    if reach.metres > 0:
        lets += f" to {say(reach)}"
        remedy = f"Move the opening or the fitting {say(missing)} nearer, or cut it for a person."
    return f"{fitting} must be got at later, and is {say(distance)} away through {opening}, which {lets}. {remedy}"


def limit_missed(say: Say, limit: str, figure: Phrase, must: Phrase, value: Phrase, by: Phrase) -> str:
    return (
        f"Your limit `{limit}` is missed by {say(by)}: {say(figure)} is {say(value)}, and must be {say(must)}. "
        "`sketcher sweep` shows where it would be met."
    )


def limit_lost(say: Say, limit: str, figure: Phrase, must: Phrase, reason: Phrase) -> str:
    return f"Your limit `{limit}` is missed: {say(figure)} must be {say(must)}, and nothing is left of it, for {say(reason)}."


def limit_unknown(say: Say, limit: str, figure: Phrase, must: Phrase, reason: Phrase) -> str:
    return (
        f"Whether your limit `{limit}` is met is not known ({say(figure)}, {say(must)}): {say(reason)}. Take it to be missed "
        "until it is known."
    )


def limit_figure(_: Say, figure: str, of: str | None, holed: Sequence[str]) -> str:
    return f"{figure}{f' of {of}' if of else ''}{f' with {listed(holed)} holed' if holed else ''}"


def limit_amount(
    say: Say, amount: Length | Volume | Mass | Angle | Share | int, side: Literal["at_least", "at_most"] | None
) -> str:
    return f"{side.replace('_', ' ')} {say.amount(amount)}" if side else say.amount(amount)


def figure_not_known(_: Say) -> str:
    return "the figure is not known here"


def no_such_space(_: Say, space: str, meant: str | None) -> str:
    return f"there is no space `{space}`{f' (did you mean `{meant}`?)' if meant else ''}"
