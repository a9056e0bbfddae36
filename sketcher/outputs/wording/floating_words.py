"""How she floats and floods, in words: one function for each code of a finding, a reason or a remedy."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.findings import Angle, Length, Mass, Phrase, Volume
from sketcher.outputs.wording.say import Say, listed


def waterline_not_stated(_: Say) -> str:
    return (
        "No waterline is stated, so nothing is said of how she floats or of what lies below the water. Give the water's heights "
        "forward and after, or two freeboards measured afloat, under `waterline`."
    )


def guessed_values(_: Say, waterline: bool, gravity: bool) -> str:
    told = {"her waterline": waterline, "the height of her centre of gravity": gravity}
    guesses = [words for words, guessed in told.items() if guessed]
    verb = "is a guess" if len(guesses) == 1 else "are guesses"
    measure = "Measure two freeboards afloat and state them" if waterline else "State your best estimate"
    return (
        f"{listed(guesses).capitalize()} {verb} from her shape: every figure of how she floats, and of what lies below the "
        f"water, rests on this. {measure} before you cut anything."
    )


def centre_of_gravity_unknown(_: Say) -> str:
    return (
        "The height of the centre of gravity is not stated, so the metacentric height, the moment to trim, and how she floats "
        "with other weights or with a space flooded are not known. Give `centre_of_gravity: {height: ...}`, the best estimate "
        "there is."
    )


def unstable(say: Say, height: Length, gm: Length) -> str:
    return (
        f"With her centre of gravity {say(height)} above the base line her metacentric height is {say(gm)}: she would not stay "
        "upright at this waterline. Check the centre of gravity's height and the waterline."
    )


def hull_open_aft(say: Say, measured_to: Length, estimated: bool) -> str:
    rest = (
        "What is printed of it is an estimate from the hull file's `boat` block, not from the measured shape"
        if estimated
        else "Give what is known of the whole boat in the hull file's `boat` block (displacement, kg_per_cm, moment_per_cm, "
        "centre_of_flotation) for estimates"
    )
    return (
        f"The hull was measured only to {say(measured_to)}, so how the whole boat floats is not known (draft, centre of "
        f"buoyancy, metacentric height, freeboard aft). {rest}."
    )


def appendage_depth_unknown(_: Say, appendage: str) -> str:
    return f"How deep {appendage} reaches is not stated, so the draft is not known. Give its `lowest` in the hull file."


def appendage_above_water(say: Say, appendage: str, height: Length, volume: Volume) -> str:
    return (
        f"The middle of {appendage} lies {say(height)} above the water, yet its {say.whole(volume)} are counted as under water. "
        "Leave out of its litres what does not float her."
    )


def deck_edge_under_water(say: Say, depth: Length, aft: Length) -> str:
    return f"The deck's edge lies {say(depth)} under water at {say(aft)} aft. Check the waterline."


def opening_under_water(say: Say, path: str, depth: Length, space: str, is_opening: bool) -> str:
    remedy = "Close it (`cover: tight`)" if is_opening else "Stop it up"
    return (
        f"{path} reaches {say(depth)} under the waterline and is not tight: the sea stands open to {space}. "
        f"{remedy}, or raise it."
    )


def weights_too_much(say: Say, condition: str | None, how: Phrase) -> str:
    called = "With the changes in weight" if condition is None else f"In the condition {condition}"
    return f"{called} {say(how)}"


def panels_not_weighed(say: Say, panels: Sequence[str], boards: Mass | None) -> str:
    adds = "adds" if len(panels) == 1 else "add"
    about = "" if boards is None else f", though the boards alone come to about {say(boards)} as okoume plywood"
    return (
        f"{listed(panels)} {adds} nothing to her weight here{about}: neither material nor mass is stated. `material: plywood` is "
        "enough to count board, resin, glass and putty."
    )


def finds_no_rest(say: Say, reason: Phrase) -> str:
    return f"she does not come to rest: {say(reason)}. Check the weights and where they are."


def lies_at_loll(_: Say, heel: Angle) -> str:
    return (
        f"she would not stay upright: she lies at an angle of loll of {heel.degrees:.0f} degrees. Bring weight down, or leave "
        "some of it ashore."
    )


def deck_edge_awash(say: Say, depth: Length) -> str:
    return f"her deck's edge lies {say(depth)} under water. Check the weights."


def no_weight_to_carry(_: Say) -> str:
    return "there is no weight to carry"


def appendages_displace_more(_: Say) -> str:
    return "her appendages alone displace more than she weighs"


def cannot_carry_her_weight(_: Say) -> str:
    return "all that still displaces water cannot carry her weight"


def rolls_over(_: Say, limit: Angle) -> str:
    return f"she heels beyond {limit.degrees:g} degrees and rolls over"


def stands_on_end(_: Say, limit: Angle) -> str:
    return f"she trims beyond {limit.degrees:g} degrees and stands on end: take her to be lost"


def search_did_not_end(_: Say, steps: int) -> str:
    return f"the search for her rest did not end within {steps} steps"


def no_waterline_stated(_: Say) -> str:
    return "no waterline is stated"


def gravity_height_not_stated(_: Say) -> str:
    return "the height of the centre of gravity is not stated"


def measured_forward_only(_: Say) -> str:
    return "only the forward part of the boat was measured"


def boat_block_lacks_figures(_: Say) -> str:
    return "the `boat` block lacks kg_per_cm, moment_per_cm or centre_of_flotation"


def by_the_boat_block(_: Say) -> str:
    return "by the hull's `boat` block"


def estimated_from_boat_block(_: Say) -> str:
    return "estimated from the hull's `boat` block; heel, freeboard aft and stability are not known"


def fills_without_end(_: Say) -> str:
    return "by the estimate she fills without end"


def lies_at_an_angle_of_loll(_: Say) -> str:
    return "she would not stay upright and lies at an angle of loll"


def metacentric_height_negative(_: Say) -> str:
    return "she would not stay upright: her metacentric height is negative"


def runs_past_measured_end(_: Say, space: str) -> str:
    return f"{space} runs on past the measured end of the hull"


def even_without_a_hole(say: Say, reason: Phrase) -> str:
    colon = "" if reason.code == "metacentric-height-negative" else ":"
    return f"even without a hole{colon} {say(reason)}"


def comes_to_rest(
    say: Say, through: Sequence[str], heel: Angle | None, lolled: bool, edge_depth: Length | None, edge_aft: Length
) -> str:
    said = ["she comes to rest"]
    if through:
        said.append(f"the sea comes in through {', '.join(through)}")
    if heel is not None:
        said.append(f"heeled {abs(heel.degrees):.1f} degrees to {'starboard' if heel.degrees > 0 else 'port'}")
    if lolled:
        said.append("she would not stay upright and lies at an angle of loll")
    if edge_depth is not None:
        said.append(f"with the deck's edge {say(edge_depth)} under water at {say(edge_aft)} aft")
    return "; ".join(said)


def lid_under_flooded_water(
    say: Say,
    lid: str,
    clear: Length,
    holed: Sequence[str],
    emptied: bool,
    as_stated: Length | None,
    uplift: Mass,
    pushes: Sequence[Phrase],
    built: bool,
    tight: bool,
    safe_height: Length | None,
    cut: Sequence[str],
    berths: Sequence[str],
    margin: Length,
    estimated: bool,
) -> str:
    under = clear.metres < 0
    by = say.whole(Length(abs(clear.metres)))
    where = f"{by} under the water" if under else f"only {by} over the water"
    lifts = [f"the water lifts it with {say.force(uplift)}"] if uplift.kilograms > 0 else []
    lifts += [say(push) for push in pushes]
    push = f": {listed(lifts)}" if lifts else ""
    hold = "Its fastenings must hold that. " if lifts else ""
    hold_down = "hold it down" if tight else "make it tight and hold it down"
    if built:
        remedy = f"It is built: {hold_down}"
    elif cut:
        remedy = f"At a height that keeps it clear it would cut across {listed(cut)}: {hold_down}"
    elif safe_height is None:
        remedy = f"No height under the deck keeps it clear: {hold_down}"
    else:
        lifted = f", and {listed(berths)} with it," if berths else ""
        remedy = f"Raise it to {say.enough(safe_height)}{lifted} for {say(margin)} to spare, or {hold_down}"
    return (
        f"{'By estimate, ' if estimated else ''}{lid} stands {where} at its lowest place with {listed(holed)} holed{push}. "
        f"{hold}{_empty(say, as_stated) if emptied else ''}{remedy}."
    )


def _empty(say: Say, as_stated: Length | None) -> str:
    """That this is the emptiest state, and how the lid stands in the one that is stated."""
    so = "That is with her spaces empty but for what is placed there"
    if as_stated is None:
        return f"{so}. "
    return f"{so}; as stated it stands {say(Length(abs(as_stated.metres)))} {'under' if as_stated.metres < 0 else 'over'}. "


def bottles_push(say: Say, space: str, load: Mass) -> str:
    return f"the bottles in {space} with {say.force(load)}"


def flooded_founders(
    say: Say,
    holed: Sequence[str],
    emptied: Sequence[str],
    through: Sequence[str],
    reasons: Sequence[Phrase],
    swamped: Mass | None,
) -> str:
    lost = _lost(say, "she founders", _each(holed, emptied), through, reasons)
    return lost if swamped is None else f"{lost} {AFLOAT_SOMEHOW.format(lift=say(swamped))}"


def flooded_capsizes(
    say: Say, holed: Sequence[str], emptied: Sequence[str], through: Sequence[str], reasons: Sequence[Phrase]
) -> str:
    return _lost(say, "she capsizes", _each(holed, emptied), through, reasons)


def _each(holed: Sequence[str], emptied: Sequence[str]) -> list[str]:
    return [f"{name} (when empty)" if name in emptied else name for name in holed]


def _lost(say: Say, what: str, holed: Sequence[str], through: Sequence[str], reasons: Sequence[Phrase]) -> str:
    how = "; ".join(dict.fromkeys(say(reason) for reason in reasons))
    way = f"; on the way the sea comes in through {listed(through)}" if through else ""
    return f"With {' or '.join(holed)} holed {what}: {how}{way}. {_DIVIDE}"


def flooded_downfloods(
    _: Say, holed: Sequence[str], emptied: Sequence[str], through: Sequence[str], reasons: Sequence[Phrase]
) -> str:
    return f"With {' or '.join(_each(holed, emptied))} holed the sea comes in through {listed(through)}. {_DIVIDE}"


def founders_by_main_space(say: Say, space: str, through: Sequence[str], reason: Phrase, swamped: Mass | None) -> str:
    way = f"; on the way the sea comes in through {listed(through)}" if through else ""
    lost = (
        f"With {space} holed she does not stay afloat, as nearly no small boat does with her largest space full: {say(reason)}"
        f"{way}."
    )
    return lost if swamped is None else f"{lost} {AFLOAT_SOMEHOW.format(lift=say(swamped))}"


AFLOAT_SOMEHOW = (
    "Swamped, her listed parts lift {lift} more than they weigh: some of her may stay at the surface, but not with her deck up. "
    "The flooding figures count shell, panels, keel and what is placed in her spaces, and leave the other parts out."
)
_DIVIDE = "Divide the space, fill it, or close what joins it to others."


def crash_space_above_water(_: Say, spaces: Sequence[str], litres: float) -> str:
    hold = "holds" if len(spaces) == 1 else "together hold"
    return (
        f"{listed(spaces)} {hold} less than {litres:.0f} litre under the waterline: as a crash space it keeps out little "
        "while she floats level. What counts is the space under the water there."
    )


def lid_span_wide(say: Say, lid: str, span: Length, usual: Length, loads: Sequence[Phrase], sealed: Mass | None) -> str:
    air = "" if sealed is None else f"{say.force(sealed)} of air shut in under the sun, and "
    more = "".join(f"It must hold {say(load)}. " for load in loads[1:])
    return (
        f"{lid} spans {say(span)} from edge to edge with no bearer across it ({say(usual)} is usual) and must hold "
        f"{air}{say(loads[0])}. {more}How far it bends, what waves add and whether board, bearers and fastenings are strong "
        "enough is not judged here. The build lays supports out under it; show a designer the booklet's load sheet."
    )


def lid_span_load(say: Say, holed: Sequence[str], kilopascals: float, load: Mass) -> str:
    return f"{say.force(load)}, {say.pressure(kilopascals)} at its lowest place, with {listed(holed, 'or')} holed"


def flooding_no_answer(say: Say, holed: Sequence[str], lids: Sequence[str], reasons: Sequence[Phrase]) -> str:
    how = "; ".join(dict.fromkeys(say(reason) for reason in reasons))
    said = f"What happens with {listed(holed, 'or')} holed is not known: {how}."
    return f"{said} Take {listed(lids)} to be under water then." if lids else said


def flooding_in_calm_water(_: Say) -> str:
    return (
        "Flooding is worked out at rest in calm water, every holed space open and vented. What waves, and flood water surging "
        "about, do to her, and whether panels and lids hold the water, is not known here: ask a designer before you rely on it."
    )
