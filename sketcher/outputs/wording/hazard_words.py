"""What burns, explodes or poisons, in words: foam, gas, batteries and fuel, by the use of a space."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.findings import Length, Phrase, Place
from sketcher.outputs.wording.say import Say, listed


def foam_burns(_: Say, spaces: Sequence[str], rusts: bool) -> str:
    rust = " Behind foam steel rusts unseen." if rusts else ""
    return (
        f"Foam burns, and its smoke poisons: with foam in {listed(spaces)} no welding, cutting, grinding sparks or heat gun on "
        f"hull, deck or panels round it.{rust} Lead pipes and cables through it in trunks, so that they can be drawn out."
    )


def foam_not_listed(say: Say, space: str, lowest: Place) -> str:
    return (
        f"{space} is for foam, but none is listed under `foams`: its litres, its lift and how deep to pour are not known. Foam "
        "hides the shell for good, and wet foam never dries: leave a channel to a drain at the lowest place, "
        f"{say(lowest)}."
    )


def gas_space(say: Say, space: str, against: Sequence[Phrase]) -> str:
    return (
        f"Gas is heavier than air: what leaks in {space} lies at the bottom until a spark finds it. By common practice it is a "
        "locker tight to the inside, opened from above, with a drain from its floor overboard above the waterline and nothing "
        f"in it that sparks.{_here(say, against)}"
    )


def battery_space(say: Say, space: str, against: Sequence[Phrase]) -> str:
    return (
        f"Batteries in {space} give off hydrogen while they charge, which rises and explodes. By common practice they are held "
        "down for a capsize, their terminals covered, the space vented at its top to open air; lithium as its maker says."
        f"{_here(say, against)}"
    )


def petrol_space(say: Say, space: str, against: Sequence[Phrase]) -> str:
    return (
        f"Petrol in {space}: its vapour is heavier than air, lies at the bottom and explodes. By common practice the space is "
        "tight to the inside, vented to open air from its lowest place, filled and vented on deck, with no battery, switch or "
        f"flame in it.{_here(say, against)}"
    )


def diesel_space(say: Say, space: str, against: Sequence[Phrase]) -> str:
    return (
        f"Diesel in {space}: by common practice a tank of its own, not the hull's skin, filled and vented on deck, its shut-off "
        f"in reach.{_here(say, against)}"
    )


def _here(say: Say, against: Sequence[Phrase]) -> str:
    """What in this layout stands against that, after a space."""
    return f" Here {listed([say(each) for each in against])}." if against else ""


def holds_berths(_: Say, berths: Sequence[str]) -> str:
    return f"people sleep in the same space ({listed(berths)})"


def lies_under_berths(_: Say, berths: Sequence[str]) -> str:
    return f"it lies under {listed(berths)}"


def open_to_inside(_: Say, spaces: Sequence[str]) -> str:
    return f"it is open to {listed(spaces)}"


def shared_with(_: Say, others: Sequence[str]) -> str:
    return f"{listed(others)} {'is' if len(others) == 1 else 'are'} in it too"


def drain_not_judged(_: Say) -> str:
    return "no waterline is stated, so it is not known whether its floor can drain overboard"


def floor_under_water(say: Say, depth: Length) -> str:
    return f"its lowest place is {say(depth)} under the waterline and cannot drain overboard"


def not_opened_from_above(_: Say) -> str:
    return "no opening leads from it up into open air"
