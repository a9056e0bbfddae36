"""How high the deck's edge stands over the water all along: each height goes smoothly with the readings, the least does not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from sketcher.analysis.afloat.waterplane import deck_edge
from sketcher.analysis.bands.margins import flooded_states
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import WaterPlane
from sketcher.geometry.mesh import Floats

Edges = Mapping[str, Floats]
"""Heights [m] by the path of the least of them in the report's JSON."""
PLACES = 24
"""Along each side: a hand's breadth or two apart in a small boat."""
SHEER = "sheer"
"""In place of a path: how high the edge itself is over her base line, of whatever water it then stands over."""


def edges_of(evaluation: Evaluation, cases: Sequence[FloodingCase]) -> Edges:
    """The heights at the same places of every boat, afloat as stated and flooded; nothing where her after end is not known."""
    form = evaluation.layout.hull
    if form.hull.open_aft:
        return {}
    places = _places(form)
    found = {SHEER: places[:, 2]}
    if evaluation.water is not None:
        found["floating.least_freeboard_m"] = _over(evaluation.water, places)
    for head, state in flooded_states(cases):
        if state.water is not None and state.least_freeboard is not None:
            found[f"{head}least_freeboard_m"] = _over(state.water, places)
    return found


def _over(water: WaterPlane, places: Floats) -> Floats:
    over: Floats = water.plane.over(places)
    return over


def _places(form: HullForm) -> Floats:
    """Places (n, 3) of the deck's edge at equal shares of its length, side by side."""
    found = []
    for side in deck_edge(form):
        x = np.linspace(side[0, 0], side[-1, 0], PLACES)
        found.append(np.stack([x, *(np.interp(x, side[:, 0], side[:, axis]) for axis in (1, 2))], axis=1))
    return np.concatenate(found)
