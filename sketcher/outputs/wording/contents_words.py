"""What goes into the spaces, in words: bottles, chain, foam and tanks, and whether she floats swamped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Angle, Area, Length, Mass, Phrase, Place, Share, Volume
from sketcher.outputs.wording.quantities import area_unit, mass_number, plain
from sketcher.outputs.wording.say import Say, listed

_Rule = Literal["clear volume", "class rule", "stud link"]
_MOST_TOLD = 12
"""Lifts of foam that are listed one by one."""


def contents_nowhere(_: Say, thing: str, space: str, near: str | None, known: Sequence[str]) -> str:
    remedy = f"Did you mean {near}?" if near is not None else f"The compartments are {listed(known)}."
    return f"{thing} is to go into {space}, which is no compartment here: nothing is known of it. {remedy}"


def contents_run_out(_: Say, thing: str, space: str) -> str:
    return f"{space} runs aft out of what was measured, so nothing is known of {thing} in it. End it at a bulkhead."


def space_filled_twice(_: Say, space: str, things: Sequence[str]) -> str:
    return (
        f"{space} is to hold {listed(things)}, each worked out as if it had the space to itself. Put a panel between them, or "
        "leave one out."
    )


def permeability_against_contents(say: Say, space: str, stated: Share, left: Share) -> str:
    return (
        f"{space} is stated to leave {say(stated)} for water, and what is put into it leaves {say(left)}: the stated figure "
        "counts in flooding. Leave out its `permeability` to count what is in it, or put the contents right."
    )


def bottle_too_big(say: Say, bottles: str, diameter: Length, length: Length, space: str, volume: Volume) -> str:
    return (
        f"Not one of {bottles}, {say(diameter)} across and {say(length)} long, fits into {space} ({say(volume)}). Take smaller "
        "ones, or lay them another way."
    )


def bottle_litres_too_many(say: Say, bottles: str, stated: Volume, diameter: Length, length: Length, cylinder: Volume) -> str:
    return (
        f"One of {bottles} cannot displace {_fine_litres(stated)} litres: a cylinder {say(diameter)} across and {say(length)} "
        f"long holds {_fine_litres(cylinder)}. What they lift counts as not known. Measure one in a full bucket, and put its "
        "litres, diameter and length right."
    )


def _fine_litres(volume: Volume) -> str:
    return plain(volume.cubic_metres * 1000, 2)


def bottle_litres_unknown(_: Say, bottles: str) -> str:
    return (
        f"What {bottles} lift is not known: a bottle displaces less than the cylinder about it. Push a sealed one under in a "
        "full bucket, measure what runs over, and write it as `litres`."
    )


def bottles_before_closing(say: Say, space: str, bottles: str, diameter: Length) -> str:
    return (
        f"No opening of {space} lets {bottles} through, {say(diameter)} across: they go in before it is closed, and none can be "
        "looked at or changed afterwards."
    )


def bottles_left_over(_: Say, bottles: str, at_most: int, placed: int, space: str) -> str:
    return f"Of {at_most} {bottles} {placed} go into {space}; {at_most - placed} are left."


def bottles_most_placed(_: Say, bottles: str, placed: int, space: str) -> str:
    return (
        f"{placed} of {bottles} are placed in {space} and no more are looked for; there may be room. Write how many there are as "
        "`at_most`."
    )


def bottles_stopped(_: Say, space: str) -> str:
    return f"Placing bottles in {space} was stopped; there may be room for more."


def bottles_push_up(say: Say, space: str, uplift: Mass, lids: Sequence[str]) -> str:
    holds = f"the fastenings of {listed(lids)}" if lids else "whatever holds them down, since no lid here does,"
    return (
        f"Under water the bottles in {space} push up with {say(uplift)} net of their weight: {holds} must bear it. A net is not "
        "enough, a lid only laid on is thrown off, and no bottle may block a drain."
    )


def chain_pipe_outside(say: Say, chain: str, end: Place, space: str) -> str:
    return (
        f"The pipe of {chain} ends at {say(end)}, which is not in {space}: nothing is known of its heap. Move the pipe's lower "
        "end into the space, or name the space it ends in."
    )


def chain_reaches_pipe(
    say: Say,
    chain: str,
    length: Length,
    space: str,
    volume: Volume,
    rule: _Rule,
    room: Length,
    remedies: Sequence[Phrase],
    clear_above: Length | None,
) -> str:
    return (
        f"{say.long(length)} of {chain} do not go into {space}: its heap takes {say(volume)} by the {rule} rule, and below the "
        f"pipe there is room for {say.long(room)}.{_remedied(say, remedies, clear_above)}"
    )


def chain_needs_a_hand(
    say: Say,
    chain: str,
    volume: Volume,
    rule: _Rule,
    fall: Length,
    needed: Length,
    remedies: Sequence[Phrase],
    clear_above: Length | None,
) -> str:
    return (
        f"{chain} needs a hand for its last metres: its heap takes {say(volume)} by the {rule} rule and peaks {say(fall)} below "
        f"the pipe, where it stows itself with {say(needed)}.{_remedied(say, remedies, clear_above)}"
    )


def _remedied(say: Say, remedies: Sequence[Phrase], clear_above: Length | None) -> str:
    """What makes a chain stow itself, after a space; clear_above: of the pipe's end, where that is not room enough."""
    no_higher = ""
    if clear_above is not None:
        no_higher = f" Raising the pipe is not enough: {say(clear_above)} are clear above its end."
    offers = " or ".join(say(remedy) for remedy in remedies)
    return f"{no_higher} {offers[:1].upper()}{offers[1:]}." if offers else no_higher


def raise_pipe(say: Say, by: Length) -> str:
    return f"raise the pipe by {say(by)}"


def lid_moved(say: Say, panel: str, distance: Length, direction: Literal["up", "down"]) -> str:
    return f"{'raise' if direction == 'up' else 'lower'} {panel} by {say(distance)} or more"


def locker_lengthened(_: Say, panel: str, direction: Literal["forward", "aft"]) -> str:
    return f"move {panel} {direction} to make the locker longer"


def carry_less(say: Say, length: Length) -> str:
    return f"carry {say.long(length, at_most=True)} at most (so much stows itself)"


def chain_pipe_open(_: Say, chain: str, space: str) -> str:
    return (
        f"The pipe of {chain} is a way for water from the deck into {space}, which is not tight with it. Plug the pipe at sea "
        "and for the leak test; where it is made to be stopped tight, say `pipe_cover: tight`."
    )


def chain_pipe_narrow(say: Say, chain: str, bore: Length, least: Length) -> str:
    return f"The pipe of {chain} is {say(bore)} wide inside; {say(least)}, eight times the chain, let it run without jamming."


def chain_pipe_slopes(say: Say, chain: str, slope: Angle, most: Angle) -> str:
    return (
        f"The pipe of {chain} leads {say(slope)} off plumb; chain runs down by itself to {say(most)}. Move its ends nearer to "
        "one plumb line."
    )


def chain_locker_long(say: Say, chain: str, space: str, longer: Length, shorter: Length, most: float, ends: Sequence[str]) -> str:
    shorten = f"Shorten it by moving {listed(ends)}, or lead" if ends else "Lead"
    return (
        f"Where {chain} peaks, {space} is {say(longer)} one way and {say(shorter)} the other: in a locker beyond {most:g} to 1, "
        f"and in a steep vee, chain heaps up and jams. {shorten} the pipe over its middle."
    )


def chain_counted_twice(say: Say, chain: str, mass: Mass, space: str, weight: str, weighs: Mass) -> str:
    return (
        f"{weight}, {say(weighs)}, lies in {space} where {chain} adds {say(mass)} of its own. If both are the same chain, take "
        "the weight out, or mark the chain `aboard: true`."
    )


def foam_needs_drain(say: Say, space: str, skin: Area, lowest: Place, highest: Place) -> str:
    area = f"{plain(skin.square_metres, 1)} m²" if area_unit(say.unit) == "m²" else say(skin)
    return (
        f"Foam in {space} hides {area} of shell for good, and wet foam never dries. Leave a channel to a drain at its lowest "
        f"place, {say(lowest)}, and while it is poured a vent at its highest, {say(highest)}; look at hull, bolts and cables "
        "behind it first."
    )


def foam_isocyanate_heat(say: Say, lifts: int, largest: Volume, heat: Phrase, layer: Length) -> str:
    return (
        "Poured foam gives off isocyanate, which can leave one allergic for life: supplied air, gloves and goggles, nobody below "
        "without. It heats itself as it rises and may scorch or burn inside when deep: pour from the bottom up in "
        f"{lifts} lifts, the largest {say(largest)}, each cooled before the next ({say(heat)}), with vents, so that it does not "
        f"bulge the skin. One supplier asks for layers of {say(layer)} in deep cavities; yours counts."
    )


def foam_solvents(_: Say, foam: str) -> str:
    return (
        f"{foam}: polystyrene blocks dissolve in fuel and polyester resin. Bed them in epoxy, keep fuel and solvents away, hold "
        "them down, and leave the lowest drains open."
    )


def foam_pours(say: Say, pours: Sequence[Phrase]) -> str:
    told = [say(pour) for pour in pours]
    if len(told) > _MOST_TOLD:
        told[_MOST_TOLD - 2 : -1] = [f"and so on, {len(told)} pours"]
    return "; ".join(told)


def foam_pour(say: Say, low: Length, high: Length, volume: Volume) -> str:
    return f"{say(low)} to {say(high)} up {say(volume)}"


def foam_credit(say: Say, lift: Mass, credited: Mass, limit: float) -> str:
    if credited.kilograms >= lift.kilograms:
        return f"counts for {say(credited)}"
    return f"lifts {say(lift)}, counts for {mass_number(credited.kilograms, say.unit)}: the rule's limit of {limit:.0f} kg per m³"


def foam_heat(_: Say, hottest: float, cooling: float, heat: float) -> str:
    """An estimate, and called one. hottest [deg C], cooling [s], heat [J]."""
    hours = max(1, round(cooling / 3600))
    return (
        f"by an estimate {round(hottest, -1):.0f} °C in the middle, {hours} h or more to cool, {heat / 1e6:.1f} MJ in the largest"
    )


def tank_free_surface(say: Say, tank: str, loss: Length) -> str:
    return (
        f"Half full, {tank} takes {say(loss)} of metacentric height by its free surface. A partition fore and aft through it, "
        "with small holes, leaves a quarter of that."
    )


def bottles_draw_in(say: Say, spaces: Sequence[str], filled_at: float, cold: float, share: Share, lost: Mass) -> str:
    return (
        f"Shut at {filled_at:.0f} °C and chilled by water of {cold:.0f} °C, the air in the bottles in {listed(spaces)} takes "
        f"{say(share)} less room: soft ones draw in, sit looser, and lift up to {say(lost)} less. Shut them on a cold day, and "
        "wedge them."
    )


def swamped_balance(say: Say, answer: Phrase) -> str:
    return (
        f"{say(answer)} It is a balance of weights only and says nothing of how she lies, or of waves: with a space holed she "
        "may founder all the same, on end or with her deck under."
    )


def swamped_answer(say: Say, net: Mass, with_air: Mass, unlisted: Mass | None) -> str:
    if net.kilograms >= 0.0:
        words = f"Swamped, what lifts outweighs what sinks by {say(net)}, by the parts listed."
    elif with_air.kilograms >= 0.0:
        words = (
            f"Swamped, {say(Mass(-net.kilograms))} are missing without the air in tight spaces, which no rule credits; with it, "
            f"{say(with_air)} are left. One leak, and this will not float the boat."
        )
    else:
        missing = say(Mass(-with_air.kilograms))
        words = f"This will not float the boat: swamped, {missing} are missing, the air in tight spaces counted."
    if unlisted is not None and unlisted.kilograms >= 1.0:
        words += f" {say(unlisted)} of her displacement are not listed as parts and not counted."
    return words


def bottles_to_buy(_: Say, bottles: str) -> str:
    return f"bottles, {bottles}"


def bottles_into(say: Say, diameter: Length, length: Length, space: str) -> str:
    return f"{say(diameter)} × {say(length)}, sealed, into {space}"


def slats_over_bottles(_: Say) -> str:
    return "slats to hold bottles down"


def slats_fastened(_: Say, space: str) -> str:
    return f"over {space}, screwed to cleats that take the bottles' lift"


def foam_to_buy(_: Say, form: Literal["poured", "blocks"]) -> str:
    return f"foam, {form}"


def foam_into(_: Say, foam: str, space: str) -> str:
    return f"{foam}, into {space}, waste included"


def chain_to_buy(say: Say, size: Length) -> str:
    return f"chain, {say(size)}"


def chain_into(_: Say, chain: str, space: str) -> str:
    return f"{chain}, into {space}"
