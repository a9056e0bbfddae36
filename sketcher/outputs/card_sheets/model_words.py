"""What is said of a card model: what it leaves out, how its parts are glued, and what was measured of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from sketcher.analysis.cut.card.fit_check import GAP, OVERLAP
from sketcher.analysis.cut.card.parts import CardModel, CardPart, CardSeam
from sketcher.model.scene import Scene
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.outputs.wording.sentences import capitalized

_NEAR = 1e-3
"""[m] A piece has some of a joint where so much of it runs along its edge."""


def left_out(scene: Scene, model: CardModel) -> Iterator[str]:
    """What is not in the model, and by how much its spaces are wider than the boat's."""
    yield (
        "Left out: deck, coachroof and cockpit, so that you look in; stringers, cushions, fittings and loose infills; bevels, "
        "for card is cut square, to the smaller face."
    )
    thickest = max((panel.thickness for panel in scene.panels), default=0.0)
    wider = (thickest - model.of.thickness) / 2
    if wider > 0.0:
        yield (
            f"A card stands in the middle of its board: of the thickest, {length_with_unit(thickest, scene.units)}, each face is "
            f"{length_with_unit(wider, scene.units)} further out in the boat, {model.of.paper(wider):.1f} mm here. What ends on "
            "a board goes on to its card."
        )
    if scene.hull.transom_curve:
        yield "The transom is left out too: it is curved across, and cards stand flat."
    if scene.hull.twin_spacing is not None:
        yield "One hull of the two: the starboard one."
    if model.miss is None and scene.hull.apart:
        yield "Her sides differ, so frames stand outside her skin and hold it open; the dotted line is the skin."
    elif model.miss is None:
        yield "Her skin is no strip that lies flat, so frames stand outside it and hold it open; the dotted line is the skin."
    else:
        yield (
            "Her skin is card between knuckle lines, its inner face hers; no line of a plate is more than "
            f"{model.miss:.2f} mm longer or shorter flat."
        )


def judged_whole(model: CardModel) -> str:
    """What was found when every part was put back into the boat."""
    overlap = max((fit.measured for fit in model.overlaps), default=0.0)
    gap = max((fit.measured for fit in model.gaps), default=0.0)
    way = "each reaches its place" if not model.blocked else f"{len(model.blocked)} do not reach their place straight"
    return f"Put together by figures: parts overlap by {overlap:.2f} mm at most, joints gape by {gap:.2f} mm at most, {way}."


def faults(model: CardModel) -> Iterator[str]:
    """What does not go together, each in a sentence."""
    for fit in model.overlaps:
        if fit.measured > OVERLAP:
            yield f"{fit.part} and {fit.against} overlap by {fit.measured:.2f} mm of paper: trim one"
    for fit in model.gaps:
        if fit.measured > GAP:
            yield f"{fit.part} stands off {fit.against} by {fit.measured:.2f} mm of paper: fill it"
    for part, against in model.blocked:
        yield f"{part} meets {against} on its way in: bend it past, or glue it first"


def steps(model: CardModel) -> list[tuple[int, str, str]]:
    """The parts in the order of gluing: number, name and what is done with each."""
    return [(number, part.name, capitalized(_step(model, part))) for number, part in enumerate(model.parts, 1)]


def _step(model: CardModel, part: CardPart) -> str:
    """What is done with one part."""
    numbers = {each.name: number for number, each in enumerate(model.parts, 1)}
    if part.kind == "strap":
        return f"behind the joint of {part.piece_of}"
    if part.curved is not None:
        return _plate_step(model, part, numbers)
    pieces = [each for each in model.parts if each.uncut == part.uncut and each.kind != "strap"]
    whole = [] if len(pieces) == 1 else [f"joined with {_list([str(numbers[each.name]) for each in pieces[1:]])}"]
    if part is not pieces[0] and part.ring:
        return f"with {numbers[pieces[0].name]}"
    said = whole if part is pieces[0] else [f"with {numbers[pieces[0].name]}"]
    said = [*said, *_joints_of(model, part, numbers)]
    return "; ".join(dict.fromkeys(said)) or ("first of all" if part.kind == "spine" else "edges to what it lies on")


def _joints_of(model: CardModel, part: CardPart, numbers: dict[str, int]) -> Iterator[str]:
    """What a flat part goes down into, and what its tabs and flaps go to."""
    for seam in model.seams:
        if seam.kind == "halved" and part.uncut == seam.part:
            yield f"down into {_named(seam.against, numbers, model)}"
    says = {"tabs": "tabs through", "flap": "flaps to", "edge": "edge to"}
    for seam in model.seams:
        mine = part.name == seam.part or (part.uncut == seam.part and _reaches(part, seam))
        if mine and seam.kind in says:
            yield f"{says[seam.kind]} {_named(seam.against, numbers, model)}"
    if any(flap.onto == "hull" for flap in part.flaps):
        yield "flaps to the skin"


def _plate_step(model: CardModel, part: CardPart, numbers: dict[str, int]) -> str:
    """Which flaps a plate of the skin comes inside of, and outside of which plates its own go."""
    seams = [seam for seam in model.seams if seam.kind == "strakes"]
    inside = sorted({numbers[seam.part] for seam in seams if seam.against == part.name})
    outside = sorted({numbers[seam.against] for seam in seams if seam.part == part.name})
    said = [f"inside the flaps of {_list([str(each) for each in inside])}"] if inside else []
    said += [f"its flaps outside {_list([str(each) for each in outside])}"] if outside else []
    return "; ".join(said)


def _reaches(part: CardPart, seam: CardSeam) -> bool:
    """Whether a piece of a part has some of its joint."""
    ends = shapely.LineString(part.frame.flat(seam.line[[0, -1]]))
    return bool(shapely.intersection(ends, part.outline.buffer(_NEAR)).length > _NEAR)


def _named(name: str, numbers: dict[str, int], model: CardModel) -> str:
    found = [numbers[each.name] for each in model.parts if name in (each.name, each.uncut) and each.kind != "strap"]
    return f"the {name}" if name == "spine" else f"{name} ({'+'.join(str(number) for number in found)})"


def _list(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
