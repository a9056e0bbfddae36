"""How well card models of all demo boats go together, by scale: overlaps, gaps, what lies flat, what is in the way; and the time.

    python tests/benchmarks/card/card_models.py [SCALE...]

In millimetres of paper. Wanted: no overlap over half the card's thickness (0.2), no gap over 1, no plate further off than 0.5,
nothing in the way of anything that is glued later. edge: how far edges of flat parts that go to the skin are from the hull's
fine inside, at whichever face is nearer, of a dozen corners of each outline those that are within 3 mm.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import perf_counter

import numpy as np

from sketcher.analysis.cut.card.card_model import card_model
from sketcher.analysis.cut.card.fit_check import distances_to
from sketcher.analysis.cut.card.parts import CardModel, ModelScale
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.analysis.spaces.layout import spaces_alone
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.card_sheets.card_sheet import laid_out, room_on

SCENES = sorted((Path(__file__).parents[3] / "scenes").glob("*.yaml"))


SAMPLED = 12
"""Corners of an outline that are looked at, about."""


def edge_error(model: CardModel, form: HullForm) -> float:
    """How far edges that go to the skin are from it [mm of paper]."""
    of, worst = model.of, 0.0
    skin = [to_manifold(form.inside, reserve_ids(1))]
    for part in model.parts:
        if part.curved is None and part.kind != "strap":
            corners = np.asarray(part.outline.exterior.coords)
            middle = part.frame.space(corners[:: max(1, len(corners) // SAMPLED)])
            half = part.frame.normal * of.thickness / 2
            off = np.min([distances_to(middle + side * half, skin) for side in (-1.0, 0.0, 1.0)], axis=0)
            worst = max(worst, float(off[off < of.full(3.0)].max(initial=0.0)))
    return of.paper(worst)


def line_of(name: str, model: CardModel, sheets: int, edge: float, seconds: float) -> str:
    """One boat's figures."""
    overlap, gap = (max((fit.measured for fit in fits), default=0.0) for fits in (model.overlaps, model.gaps))
    tabs, flaps = sum(seam.tabs for seam in model.seams), sum(len(part.flaps) for part in model.parts)
    halved = sum(seam.kind == "halved" for seam in model.seams)
    miss = "spine" if model.miss is None else f"{model.miss:.2f}"
    return (
        f"{name:26}{model.of.scale:5.0f}{len(model.parts):7}{sheets:8}{tabs:6}{halved:8}{flaps:7}"
        f"{overlap:9.3f}{gap:7.3f}{edge:7.3f}{miss:>8}{len(model.blocked):9}{seconds:8.1f} s"
    )


def main(scales: list[float]) -> None:
    """Print a line for each boat and scale."""
    print(f"{'scene':26}scale  parts  sheets  tabs  halved  flaps  overlap    gap   edge    flat  blocked    time")
    for scene_file in SCENES:
        for scale in scales:
            begun = perf_counter()
            scene = read_scene(scene_file)
            layout = spaces_alone(scene, form_hull(scene.hull))
            model = card_model(layout, ModelScale(scale=scale, card=0.4), room_on("a4"))
            sheets, seconds = len(laid_out(model, "a4").nesting.sheets), perf_counter() - begun
            print(line_of(scene_file.stem, model, sheets, edge_error(model, layout.hull.fine), seconds), flush=True)


if __name__ == "__main__":
    main([float(each) for each in sys.argv[1:]] or [10.0])
