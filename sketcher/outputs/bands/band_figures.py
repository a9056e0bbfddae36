"""Bands, doubts and what to measure next as values for other programs, and which figures are asked about where none is named."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from typing import Any

from sketcher.analysis.bands.again import WorthMeasuring, worth_measuring
from sketcher.analysis.bands.known import HowKnown
from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.bands.reading_words import reading_words
from sketcher.outputs.tables.sure.certainty import Certainty

MOST_ASKED = 2
"""Figures of which it is told what to measure again, where none is named: each takes four looks at the boat."""


def certainty(known: HowKnown) -> Certainty:
    """What figures and verdicts are told with."""
    return Certainty(known.bands, known.doubts)


def band_figures(known: HowKnown, evaluation: Evaluation, executor: Executor | None = None) -> dict[str, Any]:
    """`bands`, `doubts` and `measure_next`, as `report --json --bands` adds them."""
    worth = [each for path in asked_about(known, evaluation) for each in worth_measuring(known, path, executor)]
    return {
        "bands": {path: [low, high] for path, (low, high) in known.bands.items()},
        "doubts": dict(known.doubts),
        "measure_next": [next_figures(each, evaluation) for each in worth],
    }


def next_figures(worth: WorthMeasuring, evaluation: Evaluation) -> dict[str, Any]:
    """One reading worth taking again; bands are half widths [SI]."""
    return {
        "reading": reading_words(worth.reading, evaluation.scene),
        "figure": worth.path,
        "band_now": worth.now,
        "band_then": worth.then,
    }


def asked_about(known: HowKnown, evaluation: Evaluation) -> Sequence[str]:
    """The figures of which most hangs on the tape: limits, those nearest to being met or missed first; else litres and berth."""
    bands = known.bands
    limits = [limit for limit in evaluation.limits if limit.margin is not None and limit.reading.path in bands]

    def nearness(path: str, margin: float) -> float:
        return abs(margin) / max(known.half(path) or 0.0, 1e-12)

    limits.sort(key=lambda limit: nearness(limit.reading.path, limit.margin or 0.0))
    named = [space.name for space in evaluation.scene.compartments]
    paths = [
        *(limit.reading.path for limit in limits),
        *(f"compartments.{name}.volume_m3" for name in named),
        *(f"berths.{berth.name}.tallest_m" for berth in evaluation.berths),
        *(f"compartments.{space.name}.volume_m3" for space in evaluation.layout.compartments),
    ]
    return [path for path in dict.fromkeys(paths) if path in bands][:MOST_ASKED]
