"""What the owner must know first: the verdict in few lines, then the worst that a hole does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Severity
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.flooding.worst import HeldBack, LiftedLid, WorstFlooding, resting_on, worst_flooding, worst_struck
from sketcher.analysis.results import Layout, WaterPlane
from sketcher.outputs.wording.kinds import Kind, in_brief, kinds
from sketcher.outputs.wording.quantities import counted, force_unit, length, length_with_unit, litres, mass_number
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import capitalized, message, words

MOST = 4
"""Lines of a verdict."""
LEVELS: dict[Severity, str] = {"stop": "Stop", "warn": "Warning", "note": "Note"}
FLOATING_FIRST = ("guessed-values", "lid-under-flooded-water", "flooded-", "opening-under-water", "spaces-joined", "gap")
"""How the codes begin of what is told first among the warnings: that by which she sinks."""
MAIN_SPACE = "founders-by-main-space"
"""The code of the note that stands where a hole is told."""
NOTHING_GRAVE = "nothing found that stops or warns"


class VerdictLine(NamedTuple):
    """level: how grave; text: one sentence and one remedy; kind: the findings that it tells."""

    level: Severity
    text: str
    kind: Kind


class Verdict(NamedTuple):
    """lines: what stops and warns; left: what finds no line among them, to be told further down."""

    lines: tuple[VerdictLine, ...]
    left: tuple[Finding, ...]


def verdict(findings: Sequence[Finding], unit: str) -> Verdict:
    """What stops and warns, a kind in a line, `MOST` of them at most."""
    grave = [kind for kind in kinds(findings) if kind[0].severity != "note"]
    ranked: list[Kind] = sorted(grave, key=_rank)
    told, left = ranked[:MOST], ranked[MOST:]
    return Verdict(
        lines=tuple(VerdictLine(kind[0].severity, in_brief(kind, unit), kind) for kind in told),
        left=tuple(finding for kind in left for finding in kind),
    )


def _rank(kind: Kind) -> tuple[bool, bool]:
    return kind[0].severity != "stop", not kind[0].code.startswith(FLOATING_FIRST)


def tally(findings: Sequence[Finding]) -> str:
    """How many findings there are of each level.

    >>> tally([])
    'nothing'
    """
    names = (("stop", "that stops", "that stop"), ("warn", "warning", None), ("note", "note", None))
    numbers = [(sum(finding.severity == level for finding in findings), one, many) for level, one, many in names]
    return ", ".join(counted(number, one, many) for number, one, many in numbers if number) or "nothing"


def if_holed(evaluation: Evaluation, cases: Sequence[FloodingCase], unit: str) -> list[str]:
    """The worst flooding in sentences: which space, how deep the bow goes, which lid goes under, what lifts it; then the rest."""
    worst = worst_flooding(evaluation.layout, cases)
    said = [] if worst.case is None else [_worst(worst.case, worst, unit, evaluation.water)]
    said += _resting_on_lids(evaluation.layout, worst, cases, unit)
    struck = worst_struck(evaluation.layout, cases)
    said += [] if struck is None else [_struck(*struck, unit)]
    said += [message(found, unit) for found in evaluation.findings if found.code == MAIN_SPACE]
    for reason in dict.fromkeys(words(case.reason, unit) for case in worst.unknown):
        spaces = listed([case.holed[0] for case in worst.unknown if words(case.reason, unit) == reason], "or")
        said.append(f"With {spaces} holed: not known; {reason}.")
    return said


def _resting_on_lids(layout: Layout, worst: WorstFlooding, cases: Sequence[FloodingCase], unit: str) -> list[str]:
    """What single holes do only while a lid holds: the worst hole first, each lid once."""
    first = () if worst.case is None else (worst.case,)
    told: dict[str, str] = {}
    for case in (*first, *(case for case in cases if len(case.holed) == 1)):
        held = resting_on(layout, case, cases)
        if held is not None and held.lid not in told:
            who = "" if case in first else f"With {listed(case.holed)} holed "
            told[held.lid] = capitalized(f"{who}{_held_words(case, held, unit)}")
    return list(told.values())


def only_while(layout: Layout, case: FloodingCase, cases: Sequence[FloodingCase], unit: str) -> str | None:
    """That a case ends so only while a lid and what closes its openings hold the water; None where no case says worse."""
    held = resting_on(layout, case, cases)
    return None if held is None else capitalized(_held_words(case, held, unit))


def _held_words(case: FloodingCase, held: HeldBack, unit: str) -> str:
    hold = "holds" if not held.covers else "hold"
    how = "floats" if case.verdict == "floats" else "stays up"
    both = f"{listed(held.case.holed)} {'both' if len(held.case.holed) == 2 else 'all'} filled"
    both += ", empty but for what is placed there," if held.emptied else ""
    return (
        f"she {how} only while {listed((held.lid, *held.covers))} {hold}: with {both} she {held.case.verdict}: "
        f"{words(held.case.reason, unit)}."
    )


def _worst(case: FloodingCase, worst: WorstFlooding, unit: str, stated: WaterPlane | None) -> str:
    """The worst case of those that are known or estimated. stated: her waterline as her owner gave it."""
    (space,) = case.holed
    others = [name for name in case.floods if name != space]
    spread = " and empty but for what is placed there" if worst.emptied else ""
    spread += f", the water going on into {listed(others)}" if others else ""
    begins = (
        f"{'By estimate, the' if case.estimated else 'The'} worst {'known ' if worst.unknown else ''}is {space} holed{spread}:"
    )
    if case.water is None:
        return f"{begins} she {case.verdict}: {words(case.reason, unit)}."
    how = "" if case.verdict == "unknown" else f"she {case.verdict}, with "
    said = [f"{begins} {how}{litres(case.water_volume)} litres in her{_bow(case, unit, stated)}."]
    if case.verdict == "unknown":
        said.append(f"{capitalized(words(case.reason, unit))}.")
    if case.through:
        said.append(f"The sea then comes in through {listed(case.through)}.")
    said += [lid_under(lid, unit) for lid in worst.lids]
    clear = [lid for lid in case.lids if lid.clear_of_water >= 0.0]
    if clear and len(clear) == len(case.lids):
        least = min(clear, key=lambda lid: lid.clear_of_water)
        said.append(f"Every lid stays over the water, {least.name} by {length_with_unit(least.clear_of_water, unit)}.")
    return " ".join(said)


def lid_under(lid: LiftedLid, unit: str) -> str:
    """How deep a lid goes under, and what lifts it."""
    lifted = f", and the water lifts it with {mass_number(lid.lift, unit)} {force_unit(unit)}" if lid.lift >= 0.5 else ""
    return f"{capitalized(lid.level.name)} goes {length_with_unit(-lid.level.clear_of_water, unit)} under{lifted}."


def _struck(bulkhead: str, case: FloodingCase, unit: str) -> str:
    """What a blow on a bulkhead does that opens the spaces on both its sides."""
    begins = f"Struck at {bulkhead}, {listed(case.holed)} fill together"
    if case.water is None:
        return f"{begins}: she {case.verdict}: {words(case.reason, unit)}."
    others = [name for name in case.floods if name not in case.holed]
    spread = f", then {listed(others)}" if others else ""
    return f"{begins}{spread}: she {case.verdict}{_left(case, unit)}."


def _bow(case: FloodingCase, unit: str, stated: WaterPlane | None) -> str:
    """How deep the bow goes, or the stern where it is that which sinks, and the freeboard left.

    Where she floods from another waterline than the stated one, from which height of the water to which.
    """
    if case.water is None or case.intact is None:
        return ""
    bow, stern = case.water.forward - case.intact.forward, case.water.after - case.intact.after
    end, start, rest, told = (
        ("bow", case.intact.forward, case.water.forward, None if stated is None else stated.forward)
        if bow >= stern
        else ("stern", case.intact.after, case.water.after, None if stated is None else stated.after)
    )
    deeper = f"{end} {length_with_unit(rest - start, unit)} deeper"
    if told is not None and length(told, unit) != length(start, unit):
        deeper += (
            f" than with the changes in weight (water there from {length(start, unit)} to {length_with_unit(rest, unit)} up)"
        )
    heel = "" if abs(case.water.heel) < 0.5 else f", heeled {abs(case.water.heel):.1f}°"
    return f", {deeper}{heel}{_left(case, unit)}"


def _left(case: FloodingCase, unit: str) -> str:
    """The freeboard left, or how far the deck's edge is under; nothing where that is not known."""
    if case.least_freeboard is None:
        return ""
    least = length_with_unit(abs(case.least_freeboard), unit)
    return f", the deck's edge {least} under water" if case.least_freeboard < 0 else f", least freeboard {least}"
