"""What is cut and bought, in words: boards with their marks and notes, joints, sheets, and what was noticed of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Angle, Length, Mass, Phrase
from sketcher.outputs.wording.quantities import mass_number, mass_unit
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


def sheet_stuff(say: Say, thickness: Length, material: str | None) -> str:
    return f"{say(thickness)} {material}" if material else say(thickness)


def numbered_sheet(say: Say, stuff: Phrase, number: int) -> str:
    return f"{say(stuff)}, sheet {number}"


def sheet_called(_: Say, name: str) -> str:
    return name


def two_sides(say: Say, along: Length, across: Length) -> str:
    return f"{say(along)} × {say(across)}"


def no_sheet(say: Say, boards: Sequence[str], thickness: Length, sizes: Sequence[Phrase], margin: Length) -> str:
    held = "it" if len(boards) == 1 else "them"
    return (
        f"{listed(boards)}: no sheet of {say(thickness)} is left that holds {held} ({listed([say(size) for size in sizes])}, "
        f"{say(margin)} of each edge not used). Put a joint in, or list a larger sheet or more of them under `sheets`."
    )


def grain_across(say: Say, boards: Sequence[str], stuff: Phrase) -> str:
    lies = "lies" if len(boards) == 1 else "lie"
    return (
        f"{say(stuff)}: the grain of {listed(boards)} {lies} across the sheet, since there is no room for it along. It bends "
        "more easily that way: buy a sheet more if that matters."
    )


def sheet_assumed(say: Say, thickness: Length, size: Phrase) -> str:
    return f"No sheet of {say(thickness)} to buy is listed: {say(size)} is taken. List those you can get under `sheets`."


def joints_save_sheet(
    say: Say,
    panel: str,
    places: Sequence[Phrase],
    stuff: Phrase,
    now: int,
    then: int,
    parts: tuple[int, int],
    straps: tuple[int, int],
    full: bool,
) -> str:
    where = f"with joints at {listed([say(place) for place in places])}" if places else "with joints the other way"
    poor = "" if full else ", not all of them full"
    return (
        f"{panel}: {where}, {_sheets(then)} of {say(stuff)} would do in place of {now}. It is then in {parts[1]} parts with "
        f"{straps[1]} straps{poor}; now in {parts[0]} with {straps[0]}."
    )


def longer_sheet_saves(say: Say, stuff: Phrase, size: Phrase, now: int, then: int) -> str:
    return f"{say(stuff)}: {_sheets(then)} of {say(size)} would do, in place of {now}."


def wider_gap_saves(say: Say, stuff: Phrase, gap: Length, now: int, then: int) -> str:
    return (
        f"{say(stuff)}: with a gap of {say(gap)} to the hull, {_sheets(then)} may do in place of {now}. Try it: `gap` under "
        "`cutting`."
    )


def _sheets(count: int) -> str:
    return "one sheet" if count == 1 else f"{count} sheets"


def sheets_to_buy(say: Say, material: str | None, thickness: Length) -> str:
    return f"{material or 'sheet'}, {say(thickness)} thick"


def sheets_bought_as(say: Say, sheet: Phrase, assumed: bool) -> str:
    return f"{say(sheet)}, assumed: none is listed" if assumed else say(sheet)


def mixed_epoxy(_: Say) -> str:
    return "epoxy, mixed"


def epoxy_with_hardener(say: Say, mass: Mass, hardener: Literal["slow", "fast"]) -> str:
    return f"{mass_number(mass.kilograms, say.unit, 1)} {mass_unit(say.unit)} with its {hardener} hardener"


def fillet_filler(_: Say) -> str:
    return "filler for putty"


def by_makers_figures(_: Say) -> str:
    return "by the maker's own figures, if it has any"


def tape_to_buy(say: Say, kind: Literal["woven", "mat"], width: Length) -> str:
    return f"{kind} tape {say(width)} wide"


def cloth_layer(_: Say, grams_per_square_metre: float, layer: int) -> str:
    return f"{grams_per_square_metre:.0f} g/m², layer {layer}"


def foam_strip(say: Say, thickness: Length) -> str:
    return f"foam strip {say(thickness)} thick"


def between_panels_and_hull(_: Say) -> str:
    return "between panels and hull or deck"


def timber_to_buy(say: Say, width: Length, depth: Length) -> str:
    return f"timber {say(width)} × {say(depth)}"


def for_stringers(_: Say) -> str:
    return "for stringers"


def for_cleats(_: Say) -> str:
    return "cleats under edges that nobody reaches later"


def for_glued_cleats(_: Say, strips: int) -> str:
    return f"cleats that bend: {strips} strips glued one on another in place"


def for_sawn_cleats(_: Say) -> str:
    return "cleats sawn to the hull's curve in short lengths: it is too sharp to bend to"


def screws_to_buy(say: Say, length: Length) -> str:
    return f"screws, stainless or bronze, {say(length)} long"


def screws_along(say: Say, spacing: Length, where: Sequence[Phrase]) -> str:
    return f"every {say(spacing)}: {'; '.join(say(each) for each in where)}"


def screwed_to(say: Say, to: Literal["bearers", "supports", "cleats", "straps", "ledges"], through: Length, into: Length) -> str:
    return f"{to}, through {say(through)} into {say(into)}"


def for_ledges(_: Say) -> str:
    return "ledges under berths' boards"


Consumable = Literal["gloves", "pots", "bags", "brushes", "rollers", "coarse discs", "fine discs", "solvent"]

_USED_UP: dict[Consumable, tuple[str, str]] = {
    "gloves": ("gloves, nitrile", "one pair for each mix"),
    "pots": ("mixing pots, each with a stick", "one for each mix"),
    "bags": ("bags to press putty from", "one for each mix of putty"),
    "brushes": ("brushes, cheap", "one for each mix into cloth"),
    "rollers": ("roller sleeves, foam, for resin", "one for each mix of coats"),
    "coarse discs": ("abrasive discs, 40 to 60 grit", "to grind what is taped"),
    "fine discs": ("abrasive discs, 120 grit", "to sand between coats"),
    "solvent": ("solvent, as the resin's maker names it", "to wipe seams and clean tools; not for hands"),
}


def consumable(_: Say, what: Consumable) -> str:
    return _USED_UP[what][0]


def used_up(_: Say, what: Consumable) -> str:
    return _USED_UP[what][1]
