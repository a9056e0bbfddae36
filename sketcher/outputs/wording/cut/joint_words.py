"""Joints in words: why and where a panel is cut in parts, what its straps lie over, and whether the parts go below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Length, Phrase
from sketcher.outputs.wording.say import Say, listed


def panel_in_parts(say: Say, panel: str, joints: int, reason: Phrase | None) -> str:
    parted = f"{panel} is cut in parts with {'a joint' if joints == 1 else f'{joints} joints'}"
    if reason is None:
        return f"{parted}, where the scene says."
    wider = " Make that opening wider first, or name another as `through` under `cutting`."
    return f"{parted}: {say(reason)}.{wider if reason.code == 'wider-than-way' else ''}"


def wider_than_way(say: Say, width: Length, opening: str, room: Length) -> str:
    return f"it is {say(width)} wide however it is turned, and {opening} lets {say(room)} through"


def larger_than_sheet(_: Say) -> str:
    return "it does not come out of one sheet"


def no_such_way_below(_: Say, opening: str) -> str:
    return f"No opening is called {opening}, so it is not known what goes below. Name one of the scene's openings."


def board_does_not_pass(say: Say, board: str, width: Length, opening: str, room: Length) -> str:
    return (
        f"{board} is {say(width)} wide however it is turned, and {opening} lets {say(room)} through. Put a joint in it, or name "
        "a larger opening as `through` under `cutting`."
    )


def board_may_not_turn(say: Say, board: str, length: Length, opening: str, run: Length) -> str:
    return (
        f"{board} is {say(length)} long and the longest straight line below {opening} is {say(run)}: it will not come in "
        "straight. Try it with a batten, or put a joint in it."
    )


def where_joint_lies(say: Say, direction: Literal["aft", "off_centre", "height"], place: Length) -> str:
    if direction != "off_centre":
        return say(place)
    if place.metres == 0.0:
        return "the centreline"
    return f"{say(Length(abs(place.metres)))} to {'port' if place.metres < 0.0 else 'starboard'}"


def joint_beside_panel(say: Say, panel: str, where: Phrase) -> str:
    return f"The joint of {panel} at {say(where)} does not meet it. Move it onto the panel, or take it out."


def joint_near_edge(say: Say, panel: str, where: Phrase, to_edge: Length, takes: Length) -> str:
    return (
        f"The joint of {panel} at {say(where)} is {say(to_edge)} from its edge, and takes {say(takes)} on each side. Move it "
        "inward."
    )


def joints_too_near(say: Say, panel: str, where: Phrase, apart: Length, takes: Length) -> str:
    return (
        f"The joint of {panel} at {say(where)} is {say(apart)} from the next, and each takes {say(takes)}. Move one, or take "
        "it out."
    )


def joint_over_opening(say: Say, panel: str, where: Phrase, opening: str, takes: Length, clear_at: Phrase | None) -> str:
    remedy = "Move it or the opening." if clear_at is None else f"At {say(clear_at)} it is clear of that."
    return f"The joint of {panel} at {say(where)} runs into {opening}, and takes {say(takes)} on each side. {remedy}"


def strap_not_full(
    say: Say, panel: str, parts: Sequence[str], short: Length, width: Length, in_way: Sequence[str], clear_at: Phrase | None
) -> str:
    remedy = "Move the joint, or what stands there." if clear_at is None else f"At {say(clear_at)} there is room."
    return (
        f"{panel}, joint of {listed(parts)}: for {say(short)} of its length no strap can be {say(width)} wide, since "
        f"{listed(in_way)} {'stands' if len(in_way) == 1 else 'stand'} there. It has straps on both faces instead, as wide as "
        f"there is room. {remedy}"
    )


def scarf_for_strap(say: Say, panel: str, parts: Sequence[str], short: Length, width: Length, in_way: Sequence[str]) -> str:
    return (
        f"{panel}, joint of {listed(parts)}: a scarf {say(width)} long, since for {say(short)} of its length {listed(in_way)} "
        f"{'leaves' if len(in_way) == 1 else 'leave'} no room for a strap."
    )


def lid_needs_no_support(_: Say) -> str:
    return "the lid spans so little that it needs none"


def supports_run_across(_: Say) -> str:
    return "they run the short way of the lid, across it"


def no_support_so_long(_: Say) -> str:
    return "an opening parts those that could"


def support_lies_at(say: Say, at: Phrase) -> str:
    return f"at {say(at)} one could"


def support_lies_where(say: Say, at: Phrase, there: Phrase) -> str:
    return f"at {say(at)} one could, but there {say(there)}"


def joint_meets_opening(_: Say) -> str:
    return "its strap would run into an opening"


def joint_meets_panels(_: Say, panels: Sequence[str]) -> str:
    return f"{listed(panels)} would leave no room for a full strap"


def joint_strap_tapers(_: Say) -> str:
    return "the board's own edge would narrow its strap"


def joint_near_corner(_: Say) -> str:
    return "its strap would come too near an opening or a corner"


def joint_takes_support(_: Say) -> str:
    return "the support under another joint would be missing"


def joint_leaves_large(_: Say) -> str:
    return "a part would be too large"


def support_lies_beside(_: Say) -> str:
    return "the fewest that the lid needs lie elsewhere"


def support_takes_strap(_: Say) -> str:
    return "over one it would take more straps"


def support_takes_sheet(_: Say) -> str:
    return "over one the boards would take more sheets"


def strap_near_opening(
    say: Say,
    panel: str,
    parts: Sequence[str],
    kind: Literal["butt strap", "scarf"],
    opening: str,
    clear: Length | None,
    usual: Length,
) -> str:
    it = "scarf" if kind == "scarf" else "strap"
    where = f"{panel}, joint of {listed(parts)}:"
    if clear is None:
        stops = f" Its strap stops {say(usual)} short of {opening}." if kind == "butt strap" else ""
        return (
            f"{where} it runs up to {opening}, as far from its corners as can be, since no place that takes no more parts is "
            f"clear of it.{stops}"
        )
    near = f"comes within {say(clear)} of" if clear.metres >= 0.001 else "reaches to"
    return (
        f"{where} its {it} {near} {opening}, where {say(usual)} is kept if it can be. No place is better that takes no more "
        f"parts: see that the frame or cover of {opening} goes on beside it, or trim it there."
    )
