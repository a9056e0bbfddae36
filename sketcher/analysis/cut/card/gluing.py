"""In which order the parts are glued: what others stand on first, from forward aft and from the keel up."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.cut.card.parts import CardPart, CardSeam

_STAGES = {"spine": 0, "strake": 0, "frame": 1, "transom": 1, "bulkhead": 1}


_FAR = 1e3
"""[m] Strakes come after each other, however long they are."""


def in_order(parts: Sequence[CardPart], seams: Sequence[CardSeam]) -> tuple[CardPart, ...]:
    """The parts as they are glued, each followed by its straps.

    Strakes above the lowest come after the bulkheads, which give them their shape.
    """
    straps = [part for part in parts if part.kind == "strap"]
    waiting = sorted((part for part in parts if part.kind != "strap"), key=_first)
    after: dict[str, set[str]] = {}
    for seam in seams:
        if seam.kind in ("tabs", "halved"):
            after.setdefault(seam.part, set()).add(seam.against)
    order: list[CardPart] = []
    while waiting:
        left = {part.uncut for part in waiting}
        ready = next((part for part in waiting if not left & after.get(part.uncut, set()) - {part.uncut}), waiting[0])
        waiting.remove(ready)
        order.append(ready)
        if not any(each.uncut == ready.uncut for each in waiting):
            order += [strap for strap in straps if strap.piece_of == ready.uncut]
    return tuple(order)


def _first(part: CardPart) -> tuple[int, float, str]:
    stage = _STAGES.get(part.kind, 3)
    if part.curved is not None:
        x = float(part.curved.middle[..., 0].min())
        number = int(part.of.split()[-1])
        return (0 if number == 1 else 2), number * _FAR + x, part.name
    if stage < 3:
        return stage, part.frame.origin[0] if part.kind != "spine" else -1.0, part.name
    return stage, part.lowest, part.name
