"""What is used up beside glass and resin: gloves, pots, brushes, rollers, abrasive, solvent. All of it by common practice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Literal

from sketcher.analysis.cut.results import Batch, Purchase
from sketcher.analysis.findings import Phrase, Volume

_COARSE, _FINE = 0.25, 1.0
"""[m2] that a disc grinds to bare laminate or wood, and that one sands between coats."""

_WIPED, _TOOLS = 0.0001, 0.00002
"""[m3] of solvent for a square metre that is wiped before it is bonded, and for the tools of one mix."""


def consumables(batches: Sequence[Batch], ground: float, coated: float) -> Iterator[Purchase]:
    """ground [m2]: under tape, stripped and wiped; coated [m2]: sanded between coats. Source `consumables`."""
    mixes = {batch.purpose: batch.count for batch in batches}
    total = sum(mixes.values())
    if total == 0:
        return
    putty = mixes.get("fillets", 0) + mixes.get("glue", 0)
    counts: dict[str, int] = {
        "gloves": total,
        "pots": total,
        "bags": putty,
        "brushes": mixes.get("cloth", 0),
        "rollers": mixes.get("coats", 0),
        "coarse discs": ceil(ground / _COARSE - 1e-9),
        "fine discs": ceil(coated / _FINE - 1e-9),
    }
    for what, count in counts.items():
        if count:
            yield _bought(what, count, "pairs" if what == "gloves" else "pieces")
    yield _bought("solvent", Volume(ground * _WIPED + total * _TOOLS), "")


def _bought(what: str, amount: int | Volume, things: Literal["pairs", "pieces", ""]) -> Purchase:
    of = {"what": what}
    return Purchase(item=Phrase("consumable", of), amount=amount, things=things, note=Phrase("used-up", of), source="consumables")
