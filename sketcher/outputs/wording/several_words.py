"""Several findings of one kind in one sentence and a remedy: functions `several_` and the code.

Each takes the values of each finding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sketcher.analysis.findings import Length
from sketcher.outputs.wording.say import Say, listed, measure_again, unseen

Found = Sequence[Mapping[str, Any]]
"""The values of each finding of the kind, in the order of the findings."""


def several_no_access(say: Say, found: Found) -> str:
    first = found[0]
    return (
        f"{_number(found).capitalize()} spaces have no way in: {listed([each['space'] for each in found])}. Give each an opening "
        f"with a tight cover, {say.between(first['least'], first['easy'])} or more for an arm and a lamp."
    )


def several_gap(say: Say, found: Found) -> str:
    where = "; ".join(f"{each['panel']} stops {say(each['width'])} short of {each['beyond']}" for each in found)
    return f"Water passes {_number(found)} gaps: {where}. Close each."


def several_spaces_joined(say: Say, found: Found) -> str:
    where = "; ".join(f"{each['path']} joins {each['one']} and {each['other']}" for each in found)
    ways = f"{_number(found).capitalize()} ways below the waterline join spaces"
    return f"{ways}: {where}. Plug them (`cover: tight`), or count those spaces as one."


def several_lid_under_flooded_water(say: Say, found: Found) -> str:
    where = "; ".join(f"{each['lid']} {_over_or_under(say, each['clear'])} with {listed(each['holed'])} holed" for each in found)
    return (
        f"{_number(found).capitalize()} lids are under the flooded water or close over it: {where}. "
        "Raise each, or make it tight and hold it down."
    )


def several_opening_under_water(say: Say, found: Found) -> str:
    where = "; ".join(f"{each['path']} by {say(each['depth'])} into {each['space']}" for each in found)
    return f"The sea stands open to her through {_number(found)} openings under the waterline: {where}. Close or raise them."


def several_panel_carries_load(_: Say, found: Found) -> str:
    return (
        f"{listed([each['panel'] for each in found])} carry loads and are placed, moved or cut. Stop, and ask a designer what it "
        "takes to hold those."
    )


def several_not_judged(say: Say, found: Found) -> str:
    again = [pair for each in found for pair in zip(each["again"], each["skins"], strict=True)]
    most = sorted(again, key=lambda pair: -pair[1].square_metres)[: max(len(each["again"]) for each in found)]
    first = [say(number) for number, _ in most]
    return f"{unseen(sum(each['count'] for each in found), say(found[0]['slip']))}. {measure_again(first)}"


def _over_or_under(say: Say, clear: Length) -> str:
    return f"{say(Length(abs(clear.metres)))} {'under' if clear.metres < 0 else 'over'}"


def _number(found: Found) -> str:
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    number = len(found)
    return words[number] if number < len(words) else str(number)


def several_limit_missed(say: Say, found: Found) -> str:
    each = "; ".join(f"`{one['limit']}` by {say(one['by'])} ({say(one['figure'])} is {say(one['value'])})" for one in found)
    return f"{_number(found).capitalize()} of your limits are missed: {each}. `sketcher sweep` shows where they would be met."


def several_limit_unknown(say: Say, found: Found) -> str:
    each = "; ".join(f"`{one['limit']}`: {say(one['reason'])}" for one in found)
    return f"Whether {_number(found)} of your limits are met is not known: {each}. Take them to be missed until it is known."
