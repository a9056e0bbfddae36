"""What stands beside a pattern: sizes, what to check by tape, its joints to type, and how its parts go below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.cut.boards.hatch_fit import parts_that_pass
from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS
from sketcher.analysis.cut.results import Pattern
from sketcher.model.cutting import JointDirection
from sketcher.model.units import format_length
from sketcher.outputs.wording.quantities import area, area_unit, length, length_with_unit, plain
from sketcher.outputs.wording.sentences import capitalized, message, words
from sketcher.web.state import Boards, PageState
from sketcher.web.typed_state import BoardDoubt, GapRow
from sketcher.web.ui.html import Markup, button, join, tag

DIRECTION_WORDS: dict[JointDirection, str] = {"aft": "aft", "off_centre": "off centre", "height": "up"}
ADD_WORDS: dict[JointDirection, str] = {
    "aft": "at a distance aft",
    "off_centre": "at a distance off the centreline",
    "height": "at a height",
}
ONE_READING = "edge-by-one-reading"
MOST_DIAGONALS = 6
"""A tape checks a board by few lengths; the build's list has all."""


def boards_part(state: PageState) -> Markup:
    """The margin of the pattern's paper; what to do where there is nothing to cut."""
    if state.look.arrangement != "pattern":
        return Markup("")
    now = state.boards
    if now is None or not now.wholes:
        missing = (
            "No bulkhead, partition or lid is in the boat yet."
            if now is None
            else f"{now.panel.name} does not stand inside the boat, so it has no pattern."
        )
        return tag("p", missing, class_="small")
    units = state.evaluation.scene.units
    lead = None if now.planned else tag("p", "Built already: a pattern to look at, no part of the build.", class_="small")
    boards = (_board(whole, units) for whole in now.wholes)
    return join(lead, *boards, _joints(now, units), _parts(now, units), _gaps(now, units))


def _board(whole: Pattern, units: str) -> Markup:
    west, south, east, north = whole.blank.bounds
    up, forward = words(whole.up, units), words(whole.forward, units)
    weight = "" if whole.mass is None else f", {plain(whole.mass, 1)} kg"
    longer = f"{whole.drawn_face} face, the larger, drawn; {whole.other_face} face in dashes"
    rows = [
        ("Over all", f"{length(east - west, units)} × {length_with_unit(north - south, units)}"),
        ("Thick", length_with_unit(whole.thickness, units)),
        ("Area", f"{area(whole.area, units)} {area_unit(units)}{weight}"),
        *((f"Diagonal {each.name}", length_with_unit(each.length, units)) for each in whole.diagonals[:MOST_DIAGONALS]),
    ]
    table = tag("table", tag("tbody", *(_row(word, value) for word, value in rows)))
    says = tag("p", f"{capitalized(longer)}. {capitalized(up)}; {forward}.", class_="small")
    return tag("section", tag("h2", whole.name), table, says, data_key=f"board/{whole.name}")


def _gaps(now: Boards, units: str) -> Markup | None:
    """A box for each gap that is read in the boat, by its number on the drawing, and what its edge did."""
    if not now.gaps:
        return None
    groups = [
        _gaps_of(now, whole.name, [row for row in now.gaps if row.board == whole.name], units)
        for whole in now.wholes
        if any(row.board == whole.name for row in now.gaps)
    ]
    lead = (
        f"Stand the board, or a dummy cut to it, in its place and read the gap at each number: planned is "
        f"{length_with_unit(now.gaps[0].planned, units)}. The edge follows; its plan stays in dashes."
    )
    return tag("section", tag("h2", "Gaps read in the boat"), tag("p", lead, class_="small"), *groups, data_key="gaps")


def _gaps_of(now: Boards, board: str, rows: Sequence[GapRow], units: str) -> Markup:
    read = [row for row in rows if row.read is not None]
    columns = ("", f"right, up, {units}", "to", f"gap, {units}", "edge moved")
    titles = tag("tr", *(tag("th", word, scope="col") if word else tag("td") for word in columns))
    table = tag("table", tag("thead", titles), tag("tbody", *(_gap(row, units) for row in rows)), class_="gaps")
    name = tag("h3", board) if len(now.wholes) > 1 else None
    correct = None
    if any(row.to == "hull" for row in read):
        why = "Her stations' points near by move to where the skin was found; the board is then planned by her"
        correct = button("Correct the hull by these", "hull_by_gaps", data_board=board, class_="plain", title=why)
    sure = [tag("p", _sureness(each, units), class_="small") for each in now.doubts if each.board == board]
    single = [message(each, units) for each in now.findings if each.code == ONE_READING and each.object == board]
    sure += [tag("p", text, class_="small sign") for text in single]
    return tag("div", name, table, *sure, tag("div", correct, class_="row") if correct else None, data_key=f"gaps/{board}")


def _sureness(doubt: BoardDoubt, units: str) -> str:
    """To what the edge is known by the gaps of a board, where worst, and which to read next."""
    place = f"{length(doubt.at[0], units)}, {length_with_unit(doubt.at[1], units)}"
    within = length_with_unit(doubt.within, units)
    if not doubt.read:
        return (
            f"In the order of what they tell. The first {doubt.count}, read to 2 mm, leave the edge known within {within} "
            f"(19 times in 20) where it is known worst, at {place}; each further one for less."
        )
    then = f"Number {doubt.then} tells most of what is left." if doubt.then else "Read there once more, a little beside."
    return f"Known worst at {place}: within {within}, 19 times in 20. {then}"


def _gap(row: GapRow, units: str) -> Markup:
    box = tag(
        "input",
        type="text",
        value="" if row.read is None else format_length(row.read, units),
        data_do="gap",
        data_board=row.board,
        data_number=row.number,
        inputmode="decimal",
        autocomplete="off",
        aria_label=f"Gap {row.number} of {row.board}, {units}",
    )
    moved = "" if row.moved is None else length_with_unit(row.moved, units)
    place = f"{length(row.at[0], units)}, {length(row.at[1], units)}"
    cells = (tag("td", place, class_="number"), tag("td", row.to), tag("td", box), tag("td", moved, class_="number"))
    return tag("tr", tag("th", row.number, scope="row"), *cells, data_key=f"gap/{row.board}/{row.number}")


def _row(word: str, value: str) -> Markup:
    return tag("tr", tag("td", word, class_="word"), tag("td", value, class_="number"), data_key=word)


def _whose(now: Boards) -> str:
    """Whether joints are the scene's, or were found, or none were that would let the board go below."""
    if now.stated:
        return "as stated"
    if now.joints is not None:
        return "found by the sketch"
    if now.parts is None:
        return ""
    return "none found that help" if any(passage.passes is False for _, passage in now.parts) else "none needed"


def _joints(now: Boards, units: str) -> Markup | None:
    """Each joint's place to type, and to add, take over or leave to the sketch; boards of a berth are cut as it finds."""
    if now.panel.kind not in DIRECTIONS:
        return None
    rows = []
    if now.joints is not None:
        rows = [_joint(now, number, units) for number in range(len(now.joints.places))]
    adding = [tag("option", "Add a joint…", value="", selected=True)]
    adding += [tag("option", ADD_WORDS[each], value=each) for each in DIRECTIONS[now.panel.kind]]
    deeds = [tag("select", *adding, data_do="joint_in", aria_label="Add a joint", class_="plain")]
    if now.stated:
        deeds.append(
            button("Choose joints for me", "joints", data_whose="found", class_="plain", title="Cut it only where it must be")
        )
    elif now.joints is not None:
        deeds.append(
            button("Keep and edit these", "joints", data_whose="mine", class_="plain", title="Keep these joints and move them")
        )
    head = tag("h2", "Joints", tag("span", _whose(now), class_="unit"))
    weak = [tag("li", message(finding, units), class_="sign") for finding in now.findings if finding.code != ONE_READING]
    return tag(
        "section",
        head,
        tag("div", *rows, class_="fields") if rows else None,
        tag("ul", *weak, class_="weak") if weak else None,
        tag("div", *deeds, class_="row"),
        data_key="joints",
    )


def _joint(now: Boards, number: int, units: str) -> Markup:
    assert now.joints is not None
    direction = now.joints.direction
    box = tag(
        "input",
        type="text",
        value=format_length(now.joints.places[number], units),
        data_do="joint",
        data_number=number,
        autocomplete="off",
        aria_label=f"Joint {number + 1}, {DIRECTION_WORDS[direction]}, {units}",
    )
    out = button("Take out", "joint_out", data_number=number, class_="plain", aria_label=f"Take out joint {number + 1}")
    return tag(
        "label",
        f"Joint {number + 1}, {DIRECTION_WORDS[direction]}, {units}",
        tag("span", box, out, class_="with-deed"),
        data_key=f"joint/{number}",
    )


def _parts(now: Boards, units: str) -> Markup:
    """The boards that the panel is cut into, and whether each goes below."""
    if not now.planned:
        return join()
    if now.parts is None:
        waits = tag("p", "Looked at when the hand rests.", class_="small")
        return tag("section", tag("h2", "Carrying it inside"), waits, data_key="parts")
    passes, stuck = parts_that_pass(now.parts)
    opening = next((each.opening for _, each in now.parts), None)
    count = len(now.parts)
    if opening is None:
        verdict = "No opening leads below that is known: name one in the deck."
    elif passes:
        verdict = f"{'It goes' if count == 1 else f'All {count} boards go'} through {opening}."
    else:
        verdict = ""
    said = [
        f"{each.pattern}: {length_with_unit(each.least_width, units)} wide at least, and {each.opening} lets "
        f"{length_with_unit(each.room, units)} through."
        for each in stuck
    ]
    rows = [tag("li", text, class_="sign") for text in said]
    body = join(tag("p", verdict, class_="small") if verdict else None, tag("ul", *rows, class_="weak") if rows else None)
    return tag("section", tag("h2", "Carrying it inside"), body, _straps(now), data_key="parts")


def _straps(now: Boards) -> Markup | None:
    names = list(_kinds(now))
    return tag("p", "; ".join(names), class_="small") if len(names) > 1 else None


def _kinds(now: Boards) -> Iterator[str]:
    """How many boards of each kind it becomes."""
    kinds = [part.kind for part, _ in now.parts or ()]
    straps = kinds.count("butt strap")
    parts = len(kinds) - straps
    if parts > 1:
        yield f"{parts} parts"
    if straps:
        yield f"{straps} butt strap{'s' if straps > 1 else ''}"
