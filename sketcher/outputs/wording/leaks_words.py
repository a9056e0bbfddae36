"""What is not tight, and names and openings that miss their space, in words: one function for each code."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Length, Mass, Phrase, Place, Volume
from sketcher.outputs.wording.say import Say, listed


def sealed_air_warmed(say: Say, closed_at: float, sun: float, kilopascals: float, loads: Sequence[Phrase], space: str) -> str:
    return (
        f"Air sealed in at {closed_at:.0f} °C and warmed by the sun to {sun:.0f} °C presses with {say.pressure(kilopascals)}: "
        f"{listed([say(load) for load in loads])}. Give each space a breather high up, open in harbour, closed at sea (a hose: "
        f"`joins: [{space}, ...], cover: tight`)."
    )


def sealed_air_load(say: Say, space: str, panel: str, load: Mass) -> str:
    return f"{say.force(load)} on {panel} ({space})"


def gap(
    say: Say,
    panel: str,
    edge: str | None,
    beyond: str,
    width: Length,
    length: Length,
    at: Place,
    spaces: Sequence[str],
    remedy: Phrase,
) -> str:
    """Between a panel's edge and what is beyond it, or, without an edge, between two panels that pass each other."""
    stops = (
        f"{panel} and {beyond} pass each other {say(width)} apart over {say(length)}, round {say(at)}"
        if edge is None
        else _stops_short(say, panel, edge, beyond, width, length, at)
    )
    return f"{stops}: water passes between {listed(spaces)}. {say(remedy)}"


def short_edge(
    say: Say, panel: str, edge: str, beyond: str, width: Length, length: Length, at: Place, one_face: bool, remedy: Phrase
) -> str:
    harm = (
        ", at one face only; at the other it is closed, so nothing leaks. Bevel the edge to fit."
        if one_face
        else "; the spaces on its two sides are joined elsewhere as well."
    )
    return f"{_stops_short(say, panel, edge, beyond, width, length, at)}{harm} {say(remedy)}"


def _stops_short(say: Say, panel: str, edge: str, beyond: str, width: Length, length: Length, at: Place) -> str:
    return f"The {edge} of {panel} stops {say(width)} short of {beyond} over {say(length)}, round {say(at)}"


def bring_together(_: Say) -> str:
    return "Bring them together, or close the gap with a strip between them."


def extend_or_tie_span(say: Say, edge: str, width: Length, beyond: str) -> str:
    return f"Extend its {edge} by {say(width)}, or tie that side of its span to {beyond}."


def extend_or_free_span(say: Say, edge: str, width: Length) -> str:
    return f"Extend its {edge} by {say(width)}, or leave out that side of its span."


def extend_or_write(say: Say, edge: str, width: Length, key: str, limit: str) -> str:
    return f"Extend its {edge} by {say(width)}, or write {key}: {limit}."


def seed_in_panel(say: Say, space: str, at: Place, panel: str) -> str:
    return _lost(say, space, at, f"lies inside {panel}")


def seed_outside(say: Say, space: str, at: Place) -> str:
    return _lost(say, space, at, "lies outside the hull")


def seed_in_sliver(say: Say, space: str, at: Place) -> str:
    return _lost(say, space, at, "lies in a gap or a sliver between panels")


def _lost(say: Say, space: str, at: Place, where: str) -> str:
    return (
        f"The point that stands for {space}, {say(at)}, {where}: the name and its use are given to no space. Move the point into "
        "the space it is to name."
    )


def names_in_one_space(say: Say, names: Sequence[str], why: Phrase) -> str:
    return f"{listed(names)} are one space: {say(why)}. It is called {names[0]} here. Close it, or leave {listed(names[1:])} out."


def no_panel_between(_: Say) -> str:
    return "no panel parts the one from the other"


def joined_past_edge(say: Say, edge: str, panel: str, beyond: str, width: Length, length: Length, at: Place) -> str:
    return f"they join past the {edge} of {panel}, which stops {say(width)} short of {beyond} over {say(length)}, round {say(at)}"


def sliver(say: Say, about: Sequence[str], volume: Volume, at: Place) -> str:
    return (
        f"{listed(about)} enclose a space of only {say(volume)} round {say(at)}. It counts as no compartment: fill it, or move "
        "one of the panels so that it closes or opens."
    )


def opening_misses(say: Say, opening: str, where: Phrase) -> str:
    return f"{opening} lies {say(where)}"


def beside_panel(
    say: Say, panel: str, kind: Literal["bulkhead", "partition", "lid"], across: Sequence[Length], up: Sequence[Length]
) -> str:
    return (
        f"beside {panel}, which it is to go through: inside the hull that {kind} runs from {say(across[0])} to {say(across[1])} "
        f"and from {say(up[0])} to {say(up[1])}. Move the opening onto it."
    )


def beside_lost_panel(_: Say, panel: str, kind: Literal["bulkhead", "partition", "lid"]) -> str:
    return f"beside {panel}, which it is to go through: nothing of that {kind} is inside the hull. Move the {kind} first."


def beside_deck(_: Say) -> str:
    return "beside the deck over the inside of the hull. Move it, so that a space lies under it."


def beside_house(_: Say, house: str, face: str) -> str:
    return (
        f"beside the {face} face of the {house}, as far as a space lies behind it. Move it, or check that the hull has a {house}."
    )


def off_the_shell(say: Say, apart: Length, at: Place) -> str:
    return f"{say(apart)} off the inside of the shell at {say(at)}. Move it onto the shell."


def stated_place(say: Say, at: Sequence[Length]) -> str:
    return ", ".join(say(each) for each in at)


def opening_without_panel(_: Say, opening: str, through: str) -> str:
    return (
        f"{opening} goes through {through}, which is not there: it joins nothing. Put it through a panel, the deck or the hull, "
        "through the cockpit or coachroof with the `face` it is in, or take it out."
    )


def hose_joins_nothing(_: Say, hose: str, missing: str, meant: str | None, known: Sequence[str]) -> str:
    asked = "" if meant is None else f" Is {meant} meant?"
    return (
        f"{hose} is to join {missing}, which is no other compartment here: it joins nothing.{asked} "
        f"The compartments are {', '.join(known)}."
    )
