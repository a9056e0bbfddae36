"""Findings in brief: those of one kind in one sentence, with one remedy, and what a remedy is called that can be made at once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from sketcher.analysis.findings import Finding, Length
from sketcher.model.fields.records import RESERVED
from sketcher.model.lookup import bulkhead_at, field_of, find
from sketcher.model.scene import Scene
from sketcher.outputs.wording import several_words
from sketcher.outputs.wording.quantities import by_severity
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import in_unit, message, sentences_of

if TYPE_CHECKING:
    from sketcher.model.edits.actions import Edit

SEVERAL = {code.removeprefix("several-"): sentence for code, sentence in sentences_of((several_words,)).items()}
"""Sentences about several findings of a kind, by code."""

Kind = Sequence[Finding]
"""Findings of one code and severity, one or more."""


def kinds(findings: Sequence[Finding]) -> list[Kind]:
    """Findings by kind, the gravest first, otherwise in the order given."""
    found: dict[tuple[str, str], list[Finding]] = {}
    for finding in by_severity(findings):
        found.setdefault((finding.severity, finding.code), []).append(finding)
    return list(found.values())


def in_brief(kind: Kind, unit: str) -> str:
    """One kind in a sentence and its remedy, if it has one.

    Where no sentence tells several of the kind, the first is told and the others are named.
    """
    first = kind[0]
    if len(kind) > 1 and first.code in SEVERAL:
        return str(SEVERAL[first.code](in_unit(unit), [finding.values for finding in kind]))
    what, _, remedy = sentence_parts(about(first, unit))
    others = list(dict.fromkeys(finding.object for finding in kind[1:]))
    more = ""
    if others == [first.object]:
        more = f" The same in {len(kind)} places."
    elif others:
        more = f" Likewise {listed([name for name in others if name != first.object])}."
    return f"{what} {remedy}".rstrip() + more


def told_whole(kind: Kind, unit: str) -> bool:
    """Whether a kind in brief says all that its messages say."""
    return len(kind) == 1 and not sentence_parts(message(kind[0], unit))[1]


def about(finding: Finding, unit: str) -> str:
    """What a finding says, with the name of what it is about before it where the words lack it."""
    said = message(finding, unit)
    lacks = any(word not in said.casefold() for word in finding.object.casefold().split())
    return f"{finding.object}: {said}" if lacks else said


def sentence_parts(text: str) -> tuple[str, str, str]:
    """A message's first sentence, what stands between, and its last sentence, which is the remedy where there is one.

    >>> sentence_parts("A lid is low. It is lifted. Raise it."), sentence_parts("A lid is low.")
    (('A lid is low.', 'It is lifted.', 'Raise it.'), ('A lid is low.', '', ''))
    """
    first, *rest = re.split(r"(?<=[.!?])\s+(?=[A-Z])", text)
    return first, " ".join(rest[:-1]), rest[-1] if rest else ""


EDGES = {"from": "fore end", "to": "after end", "bottom": "bottom edge", "top": "top edge"}
"""What an edge of a panel is called, by its key in the file."""


def _limit(limit: str | None) -> str:
    return f"the {limit or 'hull'}" if limit in (None, *RESERVED) else str(limit)


def deed(edits: Sequence[Edit], scene: Scene) -> str:
    """The edits that mend a finding, as the words of a button: `Move collision 42 mm forward`."""
    # Only the page makes edits: a report starts without them.
    from sketcher.model.edits.actions import MoveBulkhead, SetValue

    first = edits[0]
    if isinstance(first, MoveBulkhead):
        aft = first.at - bulkhead_at(scene, first.name)
        return f"Move {first.name} {in_unit(scene.units)(Length(abs(aft)))} {'aft' if aft > 0 else 'forward'}"
    if not isinstance(first, SetValue):
        return first.describe(scene)
    say = in_unit(scene.units)
    was = getattr(find(scene, first.block, first.name), field_of(first.block, first.key).attribute)
    match first.key:
        case "height":
            by, to = say(Length(abs(first.value - was))), say(Length(first.value))
            return (
                f"{'Raise' if first.value > was else 'Lower'} {first.name} {f'to {to}' if first.block == 'lids' else f'by {by}'}"
            )
        case "pipe":
            return f"Raise the pipe of {first.name} by {say(Length(first.value[2] - was[2]))}"
        case "bore":
            return f"Make the pipe of {first.name} {say(Length(first.value))} wide"
        case "length":
            return f"Carry {say.long(Length(first.value), at_most=True)} of {first.name}"
        case "cover":
            return f"Make {first.name} tight"
        case "hollow":
            return f"Seal {first.name}"
        case "material":
            names = [edit.name for edit in edits if isinstance(edit, SetValue)]
            return f"Weigh {listed(names) if len(names) < 3 else f'{len(names)} panels'} as {first.value}"
        case "permeability":
            return f"Leave out {first.name}'s {first.key}"
        case "span":
            side = 0 if was[0] != first.value[0] else 1
            return f"Extend the {('port', 'starboard')[side]} edge of {first.name} to {_limit(first.value[side])}"
        case "from" | "to" | "bottom" | "top":
            return f"Extend the {EDGES[first.key]} of {first.name} to {_limit(first.value)}"
    return first.describe(scene)
