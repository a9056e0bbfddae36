"""How she is built, in words: the steps of the work, what to mind before each, and its tests."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Length, Mass, Phrase, PushWay
from sketcher.model.hull import HullMaterial
from sketcher.outputs.wording.quantities import hole_found, run_length, run_unit
from sketcher.outputs.wording.say import Say, listed


def ask_first_step(_: Say) -> str:
    return "Ask first"


def ask_designer(_: Say, panels: Sequence[str]) -> str:
    return f"{listed(panels)} carries loads. Get the designer's and the insurer's answer in writing."


def prepare_step(_: Say) -> str:
    return "Mark, strip and grind"


def hard_to_reach_step(_: Say) -> str:
    return "What is hard to reach later"


def renew_fittings(_: Say, fittings: Sequence[str]) -> str:
    return f"Move, renew or seal what will be hard to get at: {listed(fittings)}; then bolts, hoses and cables in the spaces."


def boards_below_step(_: Say) -> str:
    return "Boards below"


def pass_boards(say: Say, ways: Sequence[str], widest: Sequence[Phrase], stuck: Sequence[str]) -> str:
    said = "; ".join(say(board) for board in widest)
    cut = f" {listed(stuck)} will not pass: cut a joint first." if stuck else ""
    return (
        f"Pass every board through {listed(ways)} before the panels stand, widest first: {said}. Check each turn with card.{cut}"
    )


def board_width(say: Say, board: str, width: Length) -> str:
    return f"{board} {say(width)}"


def stringers_step(_: Say, stringer: str) -> str:
    return f"Stringers: {stringer}"


def fit_stringers(_: Say, stringers: Sequence[str], bend: bool, bolted: bool) -> str:
    laminated = "" if bend else " They do not bend cold: glue them up, or saw them, to the curve first, as their pages say."
    how = "Fit and bolt {} to flats on the hull" if bolted else "Fit and bond {} to the hull"
    return f"{how.format(listed(stringers))}, backs planed and ends cut by their own pages.{laminated}"


def supports_step(_: Say, lid: str) -> str:
    return f"Supports under {lid}"


def fit_supports(_: Say, lid: str, count: int, notched: bool) -> str:
    let_in = " Try the lid on dry: its straps go into their notches." if notched else ""
    them = f"the {count} supports" if count > 1 else "the support"
    return (
        f"Fit {them} at the lines drawn on {lid}, upper faces where the lid will lie: bed each end in putty "
        f"and fillet it to what it meets; screw it to a bearer where it ends at one.{let_in}"
    )


def join_parts_step(_: Say, panel: str) -> str:
    return f"Join the parts: {panel}"


def join_parts(_: Say, below: bool, scarfed: bool, both_ways: bool, face_down: str, face_up: str, strapped: Sequence[str]) -> str:
    tried = "Once all parts are below, try them dry in place, taped together, and see that the whole panel gets there. Then lay"
    how = ["glue the scarfs, one over the other by their length, weighted down"] if scarfed else []
    how += [f"glue its straps over the joints on the {face_up} face, screwed or weighted down"] if face_up in strapped else []
    if both_ways:
        how.insert(0, "join row by row by the joints that stop short, then the rows by those that run through")
    over = f" Once set, turn it over and glue the straps on the {face_down} face." if face_down in strapped else ""
    return (
        f"{tried if below else 'Lay'} them flat, the {face_down} face down, on a straight floor or battens with film under the "
        f"joints; {'; '.join(how)}; check the diagonals across the parts before it sets.{over} Where the whole cannot be turned "
        "into its place, leave one joint and glue it there, strap and all."
    )


def panel_step(_: Say, kind: Literal["bulkhead", "partition", "lid"], panel: str) -> str:
    return f"{kind.capitalize()}: {panel}"


def goes_in_first(say: Say, panel: str, width: Length, opening: str | None, room: Length | None) -> str:
    left = f"{opening} lets {say(room)} through and it is {say(width)} wide" if opening and room else "no opening leads here"
    return (
        f"This goes in before {panel}: once that stands, {left}. Set {panel} up dry to place it, take that away again, and bond "
        f"what meets {panel} when that stands."
    )


def fit_panel(
    say: Say,
    first: Phrase | None,
    edges: Sequence[str],
    closes: Sequence[str],
    drains: Sequence[str],
    bonded: Phrase,
    bedding: Length | None,
    before: Sequence[str],
    later: Sequence[Phrase],
) -> str:
    tried = f"see that {listed(drains)} {'is' if len(drains) == 1 else 'are'} clear, " if drains else ""
    said = [] if first is None else [say(first)]
    said += [f"This closes {listed(closes)}: photograph the inside, {tried}coat every face."] if closes else []
    said.append(f"Dry-fit, check both diagonals and the marks, coat faces and edges, {say(bonded)}")
    said += [f"Bond the edge of {listed(edges)} to it as far as is reached; bed the rest."] if edges else []
    said += [f"Strip or bedding of {say(bedding)} at hull and deck."] if bedding is not None else []
    said += [f"Before that goes in, held down: {listed(before)}."] if before else []
    return " ".join([*said, *(say(each) for each in later)])


def tape_both_sides(_: Say) -> str:
    return "then fillet and tape both faces: tape on one alone peels off."


def bed_what_closes(
    say: Say,
    faces: Sequence[str],
    inside: Length,
    reached: Length,
    through: Sequence[str],
    cleats_along: Sequence[str],
    bearers: Sequence[str],
    strip: Length | None,
    sawn: bool,
) -> str:
    of = run_unit(say.unit)
    seams = f"{run_length(inside.metres, say.unit)} {of} of seams"
    reach = f"{run_length(reached.metres, say.unit)} {of} through {listed(through)}" if through else "nothing"
    if cleats_along:
        borne = f"; along the hull {listed(bearers)} will do" if bearers else ""
        bent = f" (glued up from strips of {say(strip)} where it curves)" if strip is not None else ""
        bent += " (sawn to the curve where it is sharp)" if sawn else ""
        along = (
            f"first bond cleats{bent} along {listed(cleats_along)}, where its {listed(faces)} face will lie, and let them cure"
            f"{borne}"
        )
    else:
        along = f"let it lie on {listed(bearers)}"
    return (
        f"and mind that of the {seams} on its {listed(faces)} face, inside, {reach} can be "
        f"worked on once it is in. So {along}; then bed the board on them in putty and screw it down from outside. Fillet and "
        "tape the open face, and inside what you reach."
    )


def may_wait(_: Say, what: str, ways: Sequence[str]) -> str:
    return f"{what} may wait until after the test, for it passes {listed(ways)}."


def berth_step(_: Say, berth: str) -> str:
    return f"Berth: {berth}"


def lay_berth_boards(say: Say, loose: Sequence[str], span: Length | None, apart: Length) -> str:
    lies = f" {listed(loose)} lies loose on its own ledges." if loose else ""
    borne = (
        f" Between ledges the boards span {say(span)}: put bearers, or packing on what lies below, under them every {say(apart)} "
        "(common practice); these are not laid out here."
        if span is not None
        else ""
    )
    return (
        f"Fit ledges along hull and panels, level with each other; lay the boards, screwed, so that they lift out again.{lies}"
        f"{borne}"
    )


def seal_step(_: Say) -> str:
    return "Seal what passes through"


def seal_passages(_: Say, days: float, temperature: float, breathers: Sequence[str]) -> str:
    each = f"Fit a breather high up in {listed(breathers)}, with its plug: open in harbour, closed at sea. " if breathers else ""
    return (
        f"{each}Seal notches, stringers' open ends and every cable and hose that passes a panel. Coat what is still bare. Let it "
        f"cure before the test and before any load: {days:.0f} days at {temperature:g} °C, twice as long 10 degrees colder, and "
        "never colder than the hardener's maker allows."
    )


def leak_test_step(_: Say, space: str) -> str:
    return f"Test: {space}"


def blow_to_test(
    say: Say,
    space: str,
    column: Length,
    left: Length,
    seconds: float,
    passed: Length,
    sought: Length,
    sought_seconds: float,
    closings: Sequence[Phrase],
    pushed: Sequence[Phrase],
) -> str:
    first = f"{space} is open now. For the test: {'; '.join(say(each) for each in closings)}. " if closings else ""
    loads = f" That pushes {listed([say(each) for each in pushed])}." if pushed else ""
    return (
        f"{first}Blow {space} to {say(column)} of water; {say(left)} or more are left after {seconds:.0f} s. "
        f"{hole_found(say(passed), say(sought), seconds, sought_seconds)}, at an even temperature.{loads} "
        "Write every reading in the log of its leak test."
    )


def pushed_on(say: Say, panel: str, way: PushWay, force: Mass) -> str:
    return f"{panel} {way} with {say(force)}"


def close_hole(say: Say, opening: str, diameter: Length) -> str:
    return f"drive a soft plug into {opening} ({say(diameter)}), with a line on it to pull it out by"


def close_opening(say: Say, opening: str, covered: bool, force: Mass) -> str:
    how = "shut its cover and tape its rim all round, or clamp" if covered else "clamp"
    return f"{opening}: {how} a plate on closed-cell foam over it, from inside where that can be; {say(force)} push it off"


def close_gap(_: Say, gap: str) -> str:
    return f"{gap}: fill it with putty, or change the panel so that it meets what it stops short of"


def close_panel(_: Say, panel: str) -> str:
    return f"{panel} is stated as not watertight: seal every seam and hole in it, else leave this test out"


def close_conduit(_: Say, conduit: str) -> str:
    return f"{conduit}: plug its end in the space, with a line on the plug to pull it out by"


def weigh_and_read_step(_: Say) -> str:
    return "Weigh and read"


def weigh_and_read(_: Say) -> str:
    return "Weigh what went in, write down batches and cure, read the freeboards afloat, and set them beside the figures here."


def mind_resin(_: Say) -> str:
    return "Epoxy on the skin sensitises for life: nitrile gloves, no solvent on hands. A pot left full smokes: spread it out."


def mind_amine_film(_: Say) -> str:
    return (
        "Cured epoxy sweats a waxy film (amine). Before sanding, and before the next coat or tape on cured resin, wash it off "
        "with water and a scouring pad, and dry."
    )


def mind_one_face(say: Say, panel: str, length: Length) -> str:
    run = f"{run_length(length.metres, say.unit)} {run_unit(say.unit)}"
    return (
        f"Of the edges of {panel} {run} get tape on one face only, and water from the other side peels that off. A tight "
        "bulkhead is taped on both faces: make an opening that an arm gets through there, or put in later what closes it."
    )


def mind_closed_space(_: Say) -> str:
    return (
        "Rust and drying oil use up the oxygen of a shut space, resin vapours poison: blow fresh air through it, go in only at "
        "20.9 % oxygen on a meter, and have somebody outside."
    )


def mind_foam(_: Say) -> str:
    return (
        "Foam's isocyanate harms the lungs for good: outside air to the mask. Pour no deeper than the maker says, or it scorches."
    )


def mind_foam_fire(_: Say) -> str:
    return (
        "Foam burns, and its smoke poisons: finish all welding, cutting and hot-air work round the space first. Pipes and cables "
        "through it go in trunks, with a channel to a drain under the foam."
    )


def mind_what_explodes(_: Say, kept: Sequence[str]) -> str:
    return (
        f"Aboard is or will be {listed(kept)}: before anything sparks, gas bottles and petrol go ashore, tanks are emptied and "
        "aired, batteries are disconnected."
    )


def mind_air_test(_: Say) -> str:
    return (
        "A few inches of water push hundreds of kilograms on a lid: never without the open water tube, never with a compressor."
    )


def mind_designer(_: Say) -> str:
    return "This panel carries the rig, the windlass or the keel. Nothing is cut before a designer has said so in writing."


def mark_and_strip(say: Say, material: HullMaterial, assumed: bool, spacing: Length) -> str:
    said = " (She is taken to be of GRP: her hull file states no `material`.)" if assumed else ""
    stripped = _STRIPPED[material].format(spacing=say(spacing))
    return f"Mark centreline, waterline and where each panel stands. {stripped}{said}"


_STRIPPED: dict[HullMaterial, str] = {
    "grp": "Strip, dry and grind the hull to bare laminate along every seam.",
    "plywood": "Strip and sand the hull to bare wood along every seam, and dry it: under 12 % moisture by a meter. A fillet "
    "may go straight on plywood without a foam strip: a smaller `gap` under `cutting` is enough.",
    "wood": "Strip and sand to bare wood, and dry it: under 12 % moisture by a meter. Tape holds on glued wood (moulded, "
    "strip); on planks that move it cracks, so fasten panels to frames there and bed them in sealant that stays "
    "soft.",
    "steel": "Strip the plate to bright metal. Weld flats along every edge of a panel at hull and deck, a hole every "
    "{spacing}, before any foam, resin or paint is near; then blast, prime and paint. Keep plywood off the plate,"
    " the lowest plate in reach.",
    "aluminium": "Strip the plate to bright metal. Weld flats of a like alloy along every edge of a panel at hull and deck, a "
    "hole every {spacing}, before any foam, resin or paint is near; then etch and prime. Bolts go in sleeves; no "
    "copper, no bronze.",
    "ferro": "Strip to sound mortar, wash salt out, dry. Resin does not hold well on it: bolt galvanised flats along every"
    " edge of a panel, a hole every {spacing}, or to her webs, and paint any bared steel first. Ask someone who "
    "knows such hulls.",
}


def bolt_to_flats(say: Say, spacing: Length, rest: Phrase | None) -> str:
    bolted = f"bolt it to its flats every {say(spacing)} in sealant that stays soft"
    return f"{bolted}." if rest is None else f"{bolted}, {say(rest)}"


def mind_dust(_: Say, material: HullMaterial) -> str:
    dust = {"grp": "glass and of uncured resin", "ferro": "mortar, which holds silica,"}
    return (
        f"Dust of {dust.get(material, 'old paint, which may hold lead,')} harms the lungs: respirator, gloves, goggles, and "
        "somebody within call while your head is in a locker."
    )


def mind_hot_work(_: Say) -> str:
    return (
        "Sparks and hot plate light what lies behind: foam, lining, cables, fresh resin, paint, fuel. Clear both sides, have "
        "somebody watch with an extinguisher and for an hour after; weld nothing once foam or resin is in."
    )


def cover_to_buy(say: Say, cover: Literal["tight", "loose"], size: Phrase) -> str:
    return f"{'port or hatch, watertight' if cover == 'tight' else 'cover or door'}, {say(size)}"


def diameter_across(say: Say, diameter: Length) -> str:
    return f"{say(diameter)} across"


def of_its_size(_: Say) -> str:
    return "of its size"


def cover_of(_: Say, opening: str, through: str) -> str:
    return f"{opening}, in {through}"


def flat_to_buy(say: Say, material: HullMaterial, width: Length, thickness: Length) -> str:
    made = "galvanised" if material == "ferro" else material
    return f"{made} flat bar {say(width)} × {say(thickness)}"


def for_flats(_: Say) -> str:
    return "along panels' edges at hull and deck"


def bolts_to_buy(_: Say) -> str:
    return "bolts with nuts and large washers"


def bolts_along(say: Say, spacing: Length, aluminium: bool) -> str:
    return f"every {say(spacing)} along flats{', stainless, each in a plastic sleeve' if aluminium else ''}"


def sealant_to_buy(_: Say) -> str:
    return "sealant that stays soft"


def between_boards_and_flats(_: Say) -> str:
    return "between boards and flats"


def bearer_lies(_: Say, lid: str) -> str:
    return f"the upper face is drawn, which lies under {lid}"


def ends_gap_taken_off(say: Say, gap: Length) -> str:
    return f"Already taken off: {say(gap)} at each end that meets a panel, nothing at its back. Saw on the line."


def bearer_on_paper(_: Say) -> str:
    return "the right of the drawing is aft, the dashed line the under face"


def bearer_bevelled_through(say: Say, bearer: str, depth: Length, left: Length, wide: Length) -> str:
    return (
        f"{bearer}: the bevel of its back comes out at its inner face, so that of {say(depth)} it is {say(left)} deep where the "
        f"hull leans most. {say(wide)} wide, it keeps its depth."
    )


def breather_to_buy(_: Say) -> str:
    return "breather with a plug"


def breather_of(_: Say, space: str) -> str:
    return f"high up in {space}: open in harbour, closed at sea"


def for_supports(_: Say) -> str:
    return "for supports under lids"


def fitted_to_readings(say: Say, count: int, most: Length) -> str:
    return f"Fitted to {count} gaps read in the boat: its edge moved by up to {say(most)}; the dotted line is as it was planned."


def reading_of_no_board(_: Say, board: str, count: int) -> str:
    what = f"{count} gaps were" if count > 1 else "a gap was" if count else "something was"
    return (
        f"{what} read of {board}, and no board is called so. The layout or its joints have changed since, or the name is "
        "misspelt: take the name from the booklet."
    )


def edge_by_one_reading(_: Say, board: str, side: str) -> str:
    return f"{board}: to {side} its edge follows one reading alone. Read that gap again, and another there, before you saw."


def reading_off_the_edge(say: Say, board: str, count: int, most: Length) -> str:
    what = f"{count} gaps as read are" if count > 1 else "a gap as read is"
    return (
        f"{board}: {what} left out: too far from its edges along shell and deck, or more than {say(most)} off what was planned. "
        "Measure right and up from the board's own zero, and read it again; if it stands, measure the hull there anew."
    )
