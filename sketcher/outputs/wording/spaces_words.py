"""Panels as placed and the spaces they leave, in words: one function for each code of a finding, a reason or a remedy."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Length, Phrase, Share, Volume
from sketcher.model.scene import Built
from sketcher.outputs.wording.say import Say, listed


def panel_nothing_left(say: Say, panel: str, limits: Sequence[Phrase]) -> str:
    at = ", at ".join(say(pair) for pair in limits)
    return f"Nothing is left of {panel}: its limits meet or cross before it begins. Look at {at}."


def pair_of_limits(
    say: Say,
    which: Literal["from and to", "bottom and top", "the two sides of its span"],
    first: Length | str | None,
    second: Length | str | None,
) -> str:
    said = ["the hull" if limit is None else limit if isinstance(limit, str) else say(limit) for limit in (first, second)]
    return f"{which} ({' and '.join(said)})"


def panel_outside_hull(
    say: Say, panel: str, kind: Literal["bulkhead", "partition", "lid"], at: Length, low: Length, high: Length, remedy: Phrase
) -> str:
    stands = {
        "bulkhead": f"its forward face is at {say(at)}",
        "partition": f"it stands {say(at)} off the centreline, starboard positive",
        "lid": f"its top is at {say(at)}",
    }[kind]
    return f"{panel} lies wholly outside the hull: {stands}, and the inside runs from {say(low)} to {say(high)}. {say(remedy)}"


def move_to_the_hull(_: Say) -> str:
    return "Move it, or its limits, to where the hull is."


def move_by_more(say: Say, towards: Literal["aft", "forward", "to starboard", "to port", "up", "down"], by: Length) -> str:
    return f"Move it {towards} by more than {say(by)}."


def panels_in_one_place(say: Say, one: str, other: str, shared: Volume) -> str:
    return (
        f"{one} and {other} are in one place: they share {say(shared)} of board, and together count once. Move one of them, or "
        "take it out."
    )


def volumes_do_not_add_up(say: Say, missing: Volume, panels: Sequence[str]) -> str:
    near = f"The likeliest place is where {' and '.join(panels)} lie nearest to one plane: move one" if panels else "Move a panel"
    return (
        f"Spaces, panels and gaps miss the inside of the hull by {say(missing)}: some figure is wrong by as much. {near} by a "
        "little, and trust no litres until this is gone."
    )


def tied_to_removed(_: Say, panel: str, neighbour: str) -> str:
    return (
        f"{panel} is tied to {neighbour}, which is taken out: it now ends in the open where {neighbour} stood. Tie it to another "
        "panel, or give it a distance."
    )


def panel_carries_load(_: Say, panel: str, carries: Sequence[str], built: Built, holes: Sequence[str]) -> str:
    done = {"planned": ["is newly placed or moved"], "removed": ["is taken out"], "already": []}[built]
    if holes:
        done = [*done, f"is cut by {listed(holes)}"]
    return (
        f"{panel} carries the {listed(carries)} and {' and '.join(done)}. What it takes to hold that load cannot be judged here: "
        "stop, and ask a designer."
    )


def collision_bulkhead_racing(
    say: Say, panel: str, from_bow: Length, share: Share, most_share: Share, least: Length, most: Length, verdict: Phrase
) -> str:
    return (
        f"At the waterline {panel} stands {say(from_bow)} from the bow, {100 * share.of_one:.1f} % of the hull's length; "
        f"offshore racing, category 0, wants {say(least)} (the forward end of the waterline) to {say(most)} ({say(most_share)}): "
        f"{say(verdict)}. It binds boats in such races only."
    )


def collision_bulkhead_passenger(
    say: Say,
    panel: str,
    abaft: Length,
    share: Share,
    least_share: Share,
    most_share: Share,
    least: Length,
    most: Length,
    verdict: Phrase,
) -> str:
    where = "before" if abaft.metres < 0 else "abaft"
    return (
        f"{panel} stands {say(Length(abs(abaft.metres)))} {where} the forward end of the waterline, "
        f"{100 * abs(share.of_one):.1f} % of its length; US small "
        f"passenger vessels want {say(least)} to {say(most)} ({100 * least_share.of_one:.0f} to {say(most_share)} of the length "
        f"between perpendiculars, here the waterline): {say(verdict)}. It binds no private yacht."
    )


def too_far_forward(say: Say, by: Length) -> str:
    return f"too far forward by {say(by)}"


def too_far_aft(say: Say, by: Length) -> str:
    return f"too far aft by {say(by)}"


def inside_that_window(_: Say) -> str:
    return "inside that window"


def from_the_bow(say: Say, least: Length, most: Length) -> str:
    return f"{say.between(least, most)} from the bow"


def abaft_the_waterlines_end(say: Say, least: Length, most: Length) -> str:
    return f"{say.between(least, most)} abaft the forward end of the waterline"


def spaces_joined(say: Say, path: str, depth: Length, one: str, other: str, litres_a_minute: float, is_opening: bool) -> str:
    remedy = "Plug it (`cover: tight`)" if is_opening else "Seal it"
    return (
        f"{path} reaches {say(depth)} under the waterline and makes one space of {one} and {other}: hole either and both fill. "
        f"With one of them full to the waterline she floats at now, about {litres_a_minute:.0f} litres a minute run through. "
        f"{remedy}, or count them as one."
    )


def opening_straddles(_: Say, opening: str, spaces: Sequence[str], outward: bool) -> str:
    does = "opens into" if outward else "leads to"
    return f"{opening} {does} {listed(spaces)}: it joins them. Move it clear of what parts them, or make it smaller."


def opening_across_step(_: Say, opening: str, part: str) -> str:
    return f"{opening} lies across the edge of the {part}: no frame or cover lies flat there. Move it to one side of the edge."


def no_access(say: Say, space: str, least: Length, easy: Length) -> str:
    return (
        f"No opening leads into {space}: it could be neither looked into, nor dried, nor emptied. Give it an opening with a "
        f"tight cover, {say.between(least, easy)} or more for an arm and a lamp."
    )


def stage_shuts_in(_: Say, name: str, later: str, space: str, earlier: str, by: Sequence[str]) -> str:
    return (
        f"{name} comes with {later}, but after {earlier} no opening leads into {space}, where it goes. Give {listed(by, 'or')} "
        f"an opening, or do {name} before."
    )


def stage_bars_board(say: Say, panel: str, later: str, width: Length, opening: str, room: Length) -> str:
    return (
        f"{panel} comes with {later}, but once what comes before stands it must go below through {opening}, which lets "
        f"{say(room)} through, and no joints make it small enough: {say(width)} wide. Take its boards below before, or make "
        f"{opening} wider."
    )


def stage_leaves_open(_: Say, space: str, earlier: str, panels: Sequence[str], paths: Sequence[str]) -> str:
    if panels:
        verb, place = ("is", "it") if len(panels) == 1 else ("are", "each")
        return (
            f"After {earlier} {space} is not there yet: {listed(panels)} {verb} missing. To make it tight until then takes a "
            f"temporary board in place of {place}."
        )
    return f"After {earlier} {space} is not tight yet: water passes {listed(paths)}. Until then it takes a temporary plug or lid."


def space_runs_on(say: Say, measured_to: Length, spaces: Sequence[str]) -> str:
    return (
        f"The measured hull ends at {say(measured_to)}, and {listed(spaces)} {'runs' if len(spaces) == 1 else 'run'} on past it: "
        "volume, middle and height are not known, nor how it lies to the water unless the water is seen to cross it. End it at a "
        "bulkhead, or measure further aft."
    )


def no_way_outside(_: Say) -> str:
    return (
        "No opening that lets water in leads outside, so how high the lowest stands above the water is not known. Enter hatches, "
        "companionway and vents under `openings`: through them the sea comes in first when she is holed."
    )
