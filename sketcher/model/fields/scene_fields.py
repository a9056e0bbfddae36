"""What a scene's file is made of: one table that reading, saving and editing share. A new key or block is a line here."""

from __future__ import annotations

import re
from typing import Any

from sketcher.model.document import Mapping, Scalar
from sketcher.model.errors import SketchError
from sketcher.model.fields import kinds
from sketcher.model.fields.contents_fields import CONTENTS
from sketcher.model.fields.cutting_fields import AS_BUILT, BONDING, CUTTING, PRICES, SHEETS, joints
from sketcher.model.fields.kinds import anywhere, choice, limit, number, off_centre, positive, row_kind, sides, text
from sketcher.model.fields.known_to_fields import KNOWN_TO
from sketcher.model.fields.limits_fields import LIMITS
from sketcher.model.fields.reading import Field, Item, Kind, read_fields
from sketcher.model.fields.records import Block, record
from sketcher.model.fields.stage_fields import STAGE, STAGES
from sketcher.model.scene import (
    HOUSES,
    Berth,
    Bulkhead,
    Fitting,
    FromPanel,
    Infill,
    Lid,
    NamedSpace,
    Opening,
    Partition,
    Stringer,
    Waterline,
    Weight,
)
from sketcher.model.units import UNITS, example_length, parse_length, parse_offset

WATERS = {"sea": 1025.0, "fresh": 1000.0}
"""[kg/m3]; sea water as ship hydrostatics customarily state it."""

USES = ("void", "stowage", "accommodation", "chain", "tank", "machinery", "foam", "bottles", "gas", "battery")
CARRIED = ("mast", "chainplates", "windlass", "keel")

_angle, _truth = kinds.angle, kinds.truth
_point = row_kind("a place [aft, off centre, height]", anywhere, off_centre, anywhere)
_along = limit("stem, transom, a bulkhead's name, or a distance aft", "stem", "transom")
_low = limit("hull, a lid's name, or a height", "hull")
_high = limit("deck, a lid's name, or a height", "deck")


def _span() -> Kind:
    """[port limit, starboard limit]; `hull` on one side is the same as no limit there."""
    side = limit("hull, a partition's name, or a distance off the centreline", "hull", parse=parse_offset)
    both = row_kind("[port limit, starboard limit]", side, side)

    def read(item: Item) -> tuple[Any, Any]:
        port, starboard = both.read(item)
        if isinstance(port, float) and isinstance(starboard, float) and port >= starboard:
            raise item.error(
                f"`{item.written}`: the port limit is not to port of the starboard limit", "Write the port limit first."
            )
        return (None if port == "hull" else port, None if starboard == "hull" else starboard)

    def write(value: tuple[Any, Any], units: str) -> str:
        return both.write(tuple("hull" if side is None else side for side in value), units)

    return Kind(read, write, unit="length")


def _place() -> Kind:
    """A bulkhead's place: a distance, or {from: another bulkhead, distance: so far aft of it}."""
    fields = (Field("from", "panel", text, required=True), Field("distance", "distance", anywhere, required=True))
    tied = record("a distance aft, or {from: a bulkhead, distance: …}", FromPanel, fields)

    def read(item: Item) -> float | FromPanel:
        try:
            value: float | FromPanel = (tied if isinstance(item.node, Mapping) else anywhere).read(item)
        except SketchError as problem:
            if re.match(r"[A-Za-z][^+-]* [+-] ", item.written):
                problem.remedy = "So far aft of another bulkhead is written {from: its name, distance: so much}."
            raise
        return value

    return Kind(
        read, lambda value, units: (tied if isinstance(value, FromPanel) else anywhere).write(value, units), unit="length"
    )


def _both_ends(expected: str, kind: Kind) -> Kind:
    """A distance at both ends of something: one for both, or [fore, aft]."""
    ends = row_kind(f"{expected}, or [fore, aft]", kind, kind)

    def read(item: Item) -> tuple[float, float]:
        if item.document.text[item.node.start : item.node.start + 1] == "[":
            return ends.read(item)  # type: ignore[no-any-return]
        value = kind.read(item)
        return (value, value)

    def write(value: tuple[float, float], units: str) -> str:
        return kind.write(value[0], units) if value[0] == value[1] else ends.write(value, units)

    return Kind(read, write, ends.write, unit="length")


_INFILL = record(
    "the loose board of a vee berth, {from: a distance aft, width: …}",
    Infill,
    (
        Field("from", "start", anywhere, required=True, word="forward end"),
        Field("width", "width", _both_ends("a width", kinds.not_negative), required=True),
    ),
)


def _read_opening_place(item: Item) -> tuple[float, ...]:
    expected = "a place in the panel: two distances, or three in the hull"
    items = item.items(expected)
    if len(items) not in (2, 3):
        raise item.refused(expected)
    return tuple(off_centre.read(member) for member in items)


def _write_opening_place(value: tuple[float, ...], units: str) -> str:
    return f"[{', '.join(off_centre.write(part, units) for part in value)}]"


_opening_place = Kind(_read_opening_place, _write_opening_place, unit="length")


def _check_opening(item: Item, opening: Opening) -> None:
    """An opening is a hole through something, of one shape, placed in it; or a hose that joins two spaces."""
    if (opening.through is None) == (opening.joins is None):
        raise item.error(
            "an opening needs either `through` or `joins`",
            "Write `through: a panel, deck or hull`; or `joins: [one space, another]` for a hose.",
        )
    if opening.size is not None and opening.diameter is not None:
        raise item.error("an opening has a `size` or a `diameter`, not both", "Remove one of them.")
    if opening.joins is not None:
        return
    if opening.size is None and opening.diameter is None:
        raise item.error("the opening has no size", "Add `size: [across, up]` or `diameter: …`.")
    if opening.face is not None and opening.through not in HOUSES:
        raise item.error("only an opening through the cockpit or the coachroof has a `face`", "Remove `face`.")
    wanted = 3 if opening.through == "hull" else 2
    if len(opening.at) != wanted:
        where = "[aft, off centre, height]" if wanted == 3 else "two distances in the panel's plane"
        raise item.error(f"`at` has {len(opening.at) or 'no'} distances", f"Write `at` as {where}.")


def _check_berth(item: Item, berth: Berth) -> None:
    if berth.height is None and berth.lies_on is None:
        raise item.error("the berth has no height", "Add `height: …`, the boards' top; or `lies_on: a lid`.")
    for key, value in (("thickness", berth.thickness), ("infill", berth.infill)):
        if value is not None and berth.lies_on is not None:
            raise item.error(
                f"a berth that lies on a lid has no boards of its own, so no `{key}`", f"Remove `{key}`, or give it a `height`."
            )
    if berth.infill is not None:
        if berth.thickness is None:
            raise item.error("an infill is cut from the berth's boards, whose thickness is not stated", "Add `thickness: …`.")
        if max(berth.infill.width) == 0.0:
            raise item.error("the infill is 0 wide at both ends", "Write `width: [fore, aft]`, one of them above 0.")


_CARRIES = Kind(
    kinds.several(f"a list of what it carries: {', '.join(CARRIED)}", choice(*CARRIED), most=len(CARRIED)).read,
    lambda value, units: f"[{', '.join(value)}]",
)

_MADE = (
    Field("built", "built", choice("planned", "already", "removed")),
    Field("watertight", "watertight", _truth),
    Field("carries", "carries", _CARRIES),
    Field("material", "material", text),
    Field("kg", "kg", kinds.kilograms_not_negative, word="mass"),
    STAGE,
)

_TO_WHERE = "a bulkhead's name or a distance aft"
_FROM_TO = (
    Field("from", "start", _along, required=True, ties=("bulkheads",), word="forward end", takes=f"stem, {_TO_WHERE}"),
    Field("to", "end", _along, required=True, ties=("bulkheads",), word="after end", takes=f"transom, {_TO_WHERE}"),
)
_BOTTOM_TOP = (
    Field("bottom", "bottom", _low, ties=("lids",)),
    Field("top", "top", _high, ties=("lids",)),
)
_SPAN = Field("span", "span", _span(), ties=("partitions",))
_THICKNESS = Field("thickness", "thickness", positive, required=True)

BULKHEADS = Block(
    "bulkheads",
    "bulkhead",
    Bulkhead,
    (
        Field("at", "at", _place(), required=True, ties=("bulkheads",), word="distance aft"),
        Field("at_height", "at_height", anywhere, word="height it is measured at"),
        Field("rake", "rake", _angle),
        Field("angle", "angle", _angle, word="angle in plan"),
        *_BOTTOM_TOP,
        _SPAN,
        _THICKNESS,
        *_MADE,
        Field("joints", "joints", joints("off_centre", "height")),
    ),
    panel=True,
)
PARTITIONS = Block(
    "partitions",
    "partition",
    Partition,
    (
        Field("off_centre", "off_centre", _both_ends("a distance off the centreline", off_centre), required=True),
        *_FROM_TO,
        Field("lean", "lean", _angle),
        *_BOTTOM_TOP,
        _THICKNESS,
        *_MADE,
        Field("joints", "joints", joints("aft", "height")),
    ),
    panel=True,
)
LIDS = Block(
    "lids",
    "lid",
    Lid,
    (
        Field("height", "height", anywhere, required=True),
        *_FROM_TO,
        Field("slope", "slope", _angle),
        Field("slope_across", "slope_across", _angle, word="slope across"),
        _SPAN,
        _THICKNESS,
        *_MADE,
        Field("joints", "joints", joints("off_centre", "aft")),
    ),
    panel=True,
)
STRINGERS = Block(
    "stringers",
    "stringer",
    Stringer,
    (
        Field("under", "under", text, required=True, ties=("lids",), word="lid"),
        Field("side", "side", choice("port", "starboard", "both"), required=True),
        *_FROM_TO,
        Field("width", "width", positive, required=True),
        Field("depth", "depth", positive, required=True),
        Field("hollow", "hollow", choice("solid", "sealed", "open")),
        STAGE,
    ),
)
BERTHS = Block(
    "berths",
    "berth",
    Berth,
    (
        Field("height", "height", anywhere),
        Field("cushion", "cushion", kinds.not_negative),
        *_FROM_TO,
        _SPAN,
        Field("people", "people", kinds.whole("a whole number from 1 to 6", 1, 6)),
        Field("stature", "stature", positive),
        Field("lies_on", "lies_on", text, ties=("lids",), word="lid it lies on"),
        Field("thickness", "thickness", positive, word="boards' thickness"),
        Field("infill", "infill", _INFILL),
        STAGE,
    ),
    check=_check_berth,
)
OPENINGS = Block(
    "openings",
    "opening",
    Opening,
    (
        Field("through", "through", text, ties=("bulkheads", "partitions", "lids"), word="panel"),
        Field("face", "face", choice("forward", "aft", "port", "starboard")),
        Field("at", "at", _opening_place, word="place"),
        Field("size", "size", sides("a size of two lengths", 2, positive), instead_of="diameter"),
        Field("diameter", "diameter", positive, instead_of="size"),
        Field("radius", "radius", kinds.not_negative, word="corner radius"),
        Field("cover", "cover", choice("none", "loose", "tight")),
        Field("joins", "joins", row_kind("two spaces, [one, another]", text, text), ties=("compartments",), word="ends"),
        Field("built", "built", choice("planned", "already")),
        STAGE,
    ),
    check=_check_opening,
)
COMPARTMENTS = Block(
    "compartments",
    "compartment",
    NamedSpace,
    (
        Field("at", "at", _point, required=True, word="place"),
        Field("use", "use", choice(*USES)),
        Field("permeability", "permeability", kinds.share),
    ),
)
WEIGHTS = Block(
    "weights",
    "weight",
    Weight,
    (
        Field("kg", "kg", kinds.kilograms, required=True, word="mass"),
        Field("at", "at", _point, required=True, word="place"),
        Field("condition", "condition", text),
        STAGE,
        Field("known_to", "known_to", kinds.share),
    ),
)
FITTINGS = Block(
    "fittings",
    "fitting",
    Fitting,
    (
        Field("at", "at", _point, required=True, word="place"),
        Field("size", "size", sides("a size [along, across, up]", 3, positive), required=True),
        Field("reach", "reach", _truth),
    ),
)

BLOCKS: tuple[Block, ...] = (
    BULKHEADS,
    PARTITIONS,
    LIDS,
    STRINGERS,
    BERTHS,
    OPENINGS,
    COMPARTMENTS,
    WEIGHTS,
    FITTINGS,
    *CONTENTS,
    SHEETS,
    LIMITS,
    AS_BUILT,
)
BLOCK_BY_KEY = {block.key: block for block in BLOCKS}


def _water() -> Kind:
    expected = "sea, fresh, or kg per cubic metre between 950 and 1300"
    density = number(expected, least=950.0, most=1300.0)

    def read(item: Item) -> float:
        known = WATERS.get(item.text(expected))
        return density.read(item) if known is None else known

    def write(value: float, units: str) -> str:
        return next((word for word, known in WATERS.items() if known == value), density.write(value, units))

    return Kind(read, write)


WATERLINE_FIELDS = (
    Field("forward", "forward", anywhere),
    Field("after", "after", anywhere),
    Field("heel", "heel", number("degrees between -80 and 80", least=-80.0, most=80.0, unit="°")),
    Field("bow_freeboard", "bow_freeboard", anywhere),
    Field("stern_freeboard", "stern_freeboard", anywhere),
)


EXAMPLE_WATERLINE = (0.65, 0.6, 0.95, 1.1)
"""[m] Heights and freeboards of the forms in an error: plausible ones, to be typed over."""


def _waterline() -> Kind:
    """One height for a level waterline, or a block with two heights or two freeboards, and the heel."""
    expected = "one height, {forward: …, after: …} or {bow_freeboard: …, stern_freeboard: …}"

    def forms(units: str) -> str:
        """The three forms with figures, each as it may be typed."""
        forward, after, stern, bow = (example_length(figure, units) for figure in EXAMPLE_WATERLINE)
        return f"{forward}, or {{forward: {forward}, after: {after}}}, or {{bow_freeboard: {bow}, stern_freeboard: {stern}}}"

    def check(item: Item, value: Waterline) -> None:
        heights = (value.forward is not None, value.after is not None)
        freeboards = (value.bow_freeboard is not None, value.stern_freeboard is not None)
        if any(heights) and any(freeboards):
            raise item.error("the waterline is given twice, by heights and by freeboards", "Keep one pair of them.")
        if not all(heights) and not all(freeboards):
            raise item.error("the waterline needs two places", f"Write {expected}.")

    block = record(expected, Waterline, WATERLINE_FIELDS, check)

    def read(item: Item) -> Waterline:
        if isinstance(item.node, Mapping):
            return block.read(item)  # type: ignore[no-any-return]
        if isinstance(item.node, Scalar) and not item.empty and parse_length(item.node.text, item.units) is None:
            raise item.error(f"`{item.written}` is no waterline", f"Write {forms(item.units)}.")
        level = anywhere.read(item)
        return Waterline(forward=level, after=level)

    def write(value: Waterline, units: str) -> str:
        if value.forward is not None and value.forward == value.after and value.heel == 0.0:
            return anywhere.write(value.forward, units)
        return block.write(value, units)

    return Kind(read, write, block.write, unit="length")


def _gravity() -> Kind:
    fields = (Field("height", "height", anywhere, required=True),)

    def read(item: Item) -> float:
        return float(read_fields(item, fields, "{height: …}")["height"])

    return Kind(read, lambda value, units: f"{{height: {anywhere.write(value, units)}}}", unit="length")


GUESSABLE = ("waterline", "centre_of_gravity")
"""Values of a scene that a ready layout guesses from her shape where they are not known yet."""
_GUESSED = kinds.several(f"a list of what is guessed: {', '.join(GUESSABLE)}", choice(*GUESSABLE), most=len(GUESSABLE))

SCENE_FIELDS: tuple[Field, ...] = (
    Field("scene", "name", text, required=True, word="name"),
    Field("hull", "hull_path", kinds.path, required=True),
    Field("units", "units", choice(*UNITS), required=True),
    Field("water", "water_density", _water()),
    Field("waterline", "waterline", _waterline()),
    Field("centre_of_gravity", "centre_of_gravity_height", _gravity(), word="centre of gravity's height"),
    Field("guessed", "guessed", _GUESSED),
    Field("known_to", "known_to", KNOWN_TO),
    Field("stages", "stages", STAGES),
    Field("gap_limit", "gap_limit", kinds.not_negative, word="gap limit"),
    Field("cutting", "cutting", CUTTING),
    Field("bonding", "bonding", BONDING),
    Field("prices", "prices", PRICES),
)
SCENE_FIELD_BY_KEY = {field.key: field for field in SCENE_FIELDS}
