"""What is said of a card model: what it leaves out, how its parts are glued, and what was measured of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from sketcher.analysis.cut.card.fit_check import GAP, OVERLAP
from sketcher.analysis.cut.card.parts import CardModel, CardPart, CardSeam
from sketcher.model.scene import Scene
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
            f"A card stands in the middle of its board: of the thickest, {thickest * 1000:.0f} mm, each face is "
            f"{wider * 1000:.1f} mm further out in the boat, {model.of.paper(wider):.1f} mm here. What ends on a board goes on "
            "to its card."
        )
    if scene.hull.twin_spacing is not None:
        yield "One hull of the two: the starboard one."
    if model.miss is None:
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
    if part.kind == "strap":
        return f"behind the joint of {part.piece_of}"
    numbers = {each.name: number for number, each in enumerate(model.parts, 1)}
    seams = [seam for seam in model.seams if part.name == seam.part or (part.uncut == seam.part and _reaches(part, seam))]
    said = [f"tabs through {_named(seam.against, numbers, model)}" for seam in seams if seam.kind == "tabs"]
    said += [f"flaps to {_named(seam.against, numbers, model)}" for seam in seams if seam.kind == "flap"]
    said += [f"edge to {_named(seam.against, numbers, model)}" for seam in seams if seam.kind == "edge"]
    if part.curved is not None:
        beside = [numbers[seam.against] for seam in seams if seam.kind == "strakes"]
        said = [f"its flaps go outside {_list([str(each) for each in sorted(set(beside))])}"] if beside else []
    crossed = [seam for seam in model.seams if seam.kind == "halved" and part.uncut in (seam.part, seam.against)]
    if part.kind == "spine":
        return "join its pieces"
    for seam in crossed:
        other = seam.against if seam.part == part.uncut else seam.part
        said.insert(0, f"down into {_named(other, numbers, model)}")
    if any(flap.onto == "hull" for flap in part.flaps):
        said.append("flaps to the skin")
    return "; ".join(dict.fromkeys(said)) or "glue it to what it lies on"


def _reaches(part: CardPart, seam: CardSeam) -> bool:
    """Whether a piece of a part has some of its joint."""
    ends = shapely.LineString(part.frame.flat(seam.line[[0, -1]]))
    return bool(shapely.intersection(ends, part.outline.buffer(_NEAR)).length > _NEAR)


def _named(name: str, numbers: dict[str, int], model: CardModel) -> str:
    found = [numbers[each.name] for each in model.parts if name in (each.name, each.uncut) and each.kind != "strap"]
    return f"the {name}" if name == "spine" else f"{name} ({'+'.join(str(number) for number in found)})"


def _list(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
