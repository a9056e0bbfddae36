"""Boards in words: their faces, marks and notes, and what was noticed of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Angle, Length, Phrase
from sketcher.outputs.wording.say import Say, listed


def board_label(say: Say, board: str, thickness: Length, face: str | None) -> str:
    return f"{board}, {say(thickness)}{f', {face} face' if face else ''}"


def top_is_up(_: Say) -> str:
    return "the top of the drawing is up"


def top_is_forward(_: Say) -> str:
    return "the top of the drawing is forward"


def lid_face_drawn(_: Say, face: Literal["top", "under"]) -> str:
    return f"the {face} face is drawn; it looks {'up' if face == 'top' else 'down'}"


def drawn_face_looks(
    _: Say,
    looks: Literal["forward", "aft", "outboard", "port", "starboard"],
    right: Literal["forward", "aft", "port", "starboard"],
) -> str:
    return f"the drawn face looks {_to(looks)}; the right of the drawing is {_to(right)}"


def _to(way: str) -> str:
    return f"to {way}" if way in ("port", "starboard") else way


def either_face_up(_: Say) -> str:
    return "either face up"


def drawn_face_glued(_: Say) -> str:
    return "the drawn face is glued to the panel"


def glued_over_joint(_: Say, parts: Sequence[str], face: str, centred: bool) -> str:
    what = "its middle" if centred else "the line drawn on it"
    return f"glued over the joint of {listed(parts)}, on their {face} face, {what} on the joint"


def centreline_mark(_: Say) -> str:
    return "centreline"


def waterline_mark(_: Say) -> str:
    return "waterline"


def station_mark(say: Say, at: Length) -> str:
    return f"{say(at)} aft"


def level_mark(say: Say, at: Length) -> str:
    return f"level, {say(at)} up"


def joint_mark(_: Say) -> str:
    return "joint"


def landing_mark(_: Say, panel: str, face: str | None) -> str:
    return f"{panel} ({face} face)" if face else panel


def gaps_taken_off(say: Say, gap: Length, shell: Sequence[str], panel_gap: Length | None) -> str:
    taken = [f"{say(gap)} to {listed(shell)}, for foam strip or bedding"] if shell else []
    taken += [f"{say(panel_gap)} to other panels"] if panel_gap is not None else []
    return f"Already taken off: {'; '.join(taken)}. {_SAW}"


def gap_taken_off(say: Say, gap: Length) -> str:
    return f"Already taken off: {say(gap)} all round. {_SAW}"


_SAW = "Saw on the line."


def ends_where_measured(_: Say) -> str:
    return "Ends where the boat was measured; beyond that it is not known."


def notch_for(say: Say, stringer: str, radius: Length) -> str:
    return f"Notch for {stringer}: round the stringer's corners to {say(radius)}, or square the notch's."


def corner_called(_: Say, letter: str) -> str:
    return letter


def place_on_board(say: Say, right: Length, up: Length) -> str:
    return f"({say(right)}, {say(up)})"


def edge_past_saw(say: Say, start: Phrase, end: Phrase, lean: Angle, longer: str, shorter: str) -> str:
    return (
        f"From {say(start)} to {say(end)} the edge leans {say(lean)} off square, and saws tilt to 45°. Mark both faces, saw it "
        f"square on the {longer} face's line, then plane it down to the {shorter} face's."
    )


def seam_too_narrow(say: Say, start: Phrase, end: Phrase, face: str, angle: Angle, to: str) -> str:
    return (
        f"From {say(start)} to {say(end)} the corner between the {face} face and the {to} is {say(angle)}: too narrow to press a "
        "fillet in or to lay tape. Bed this edge in putty, and glue a shaped strip of foam or wood into that corner first."
    )


def corner_too_narrow(say: Say, corner: str, angle: Angle) -> str:
    return (
        f"Corner {corner} is {say(angle)}: its tip breaks off and no fillet goes round it. Cut the tip off where it is "
        f"{say(Length(0.010))} wide, and fill what is missing with putty."
    )


def opening_not_sawn(_: Say, opening: str, old: bool) -> str:
    why = (
        "it is stated as there before this board, which is new."
        if old
        else "without a cover it would join the spaces on both sides of a tight panel. Drill it only if you want that."
    )
    return f"{opening} is not sawn: {why}"


def boards_on_ledges(say: Say, berth: str, width: Length, below: Length, ledges: Sequence[Phrase]) -> str:
    where = listed([say(each) for each in ledges])
    return f"{berth}'s boards lie on ledges {say(width)} wide, {say(below)} below the boards' top: {where}."


def ledge_along(say: Say, length: Length, panel: str) -> str:
    return f"{say(length)} along {panel}"


def infill_on_ledges(say: Say, length: Length, width: Length) -> str:
    return (
        f"Loose, to lift out: on each side a ledge {say(length)} long and {say(width)} wide, glued under the boards' edge, "
        "half of it standing out under the infill."
    )


def grain_across_joint(_: Say) -> str:
    return "Grain across the joint."


def strap_ends_clear(_: Say) -> str:
    return "Its ends keep clear of fillets and of what lands there."


def strake_laid_flat(say: Say, miss: Length) -> str:
    return (
        f"Laid flat on the middle of its thickness; its lines come out right to {_within(say, miss)}. Edges are square: bevel "
        "them to the next strake, stem and keel, and leave them proud to plane."
    )


_LEAST = {"cm": 0.001, "m": 0.001, "in": 0.0254 / 16, "ft": 0.0254 / 16}
"""[m] The least that is said in a unit; millimetres have tenths."""


def _within(say: Say, length: Length) -> str:
    """A small length that is never said to be nothing."""
    least = _LEAST.get(say.unit, 0.0)
    return f"less than {say(Length(least))}" if length.metres < least / 2 else say(length)


def transom_true_shape(say: Say, radius: Length | None = None) -> str:
    laid = "Flat: its true shape" if radius is None else f"Laid flat; bent to a radius of {say(radius)} outside, it has its shape"
    lapped = "Where plating or deck lap over its edge, take their thickness off; edges are square: bevel them to the strakes."
    return f"{laid}, to the outside of shell and deck. {lapped}"


def nothing_to_cut(say: Say, panel: str, in_hull: bool, gap: Length) -> str:
    if not in_hull:
        return f"{panel}: nothing of it lies in the hull, so there is no board to cut. Move it, or leave it out."
    return f"{panel}: a gap of {say(gap)} to hull and deck leaves nothing of it. Check `gap` under `cutting`."


def berth_boards_unknown(_: Say, berth: str) -> str:
    return f"{berth}: its boards have no pattern, for their thickness is not stated. Add `thickness`."


def strake_not_developable(say: Say, strake: int, miss: Length, sprung: Length) -> str:
    return (
        f"Strake {strake}, counted from the keel, is not developable: laid flat, its lines miss by {say(miss)}, and "
        f"{say(sprung)} can be sprung in. It has no pattern: plank it, form it to shape, or part it with another knuckle."
    )
