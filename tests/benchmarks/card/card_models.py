"""How well card models of all demo boats go together, by scale: overlaps, gaps, what lies flat, what is in the way; and the time.

    python tests/benchmarks/card/card_models.py [SCALE...]

In millimetres of paper. Wanted: no overlap over half the card's thickness (0.2), no gap over 1, no plate further off than 0.5,
nothing in the way of anything that is glued later.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import perf_counter

from sketcher.analysis.cut.card.card_model import card_model
from sketcher.analysis.cut.card.parts import CardModel, ModelScale
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.spaces.layout import spaces_alone
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.card_sheets.card_sheet import laid_out, room_on

SCENES = sorted((Path(__file__).parents[3] / "scenes").glob("*.yaml"))


def line_of(name: str, model: CardModel, sheets: int, seconds: float) -> str:
    """One boat's figures."""
    overlap, gap = (max((fit.measured for fit in fits), default=0.0) for fits in (model.overlaps, model.gaps))
    tabs, flaps = sum(seam.tabs for seam in model.seams), sum(len(part.flaps) for part in model.parts)
    halved = sum(seam.kind == "halved" for seam in model.seams)
    miss = "spine" if model.miss is None else f"{model.miss:.2f}"
    return (
        f"{name:26}{model.of.scale:5.0f}{len(model.parts):7}{sheets:8}{tabs:6}{halved:8}{flaps:7}"
        f"{overlap:9.3f}{gap:7.3f}{miss:>8}{len(model.blocked):9}{seconds:8.1f} s"
    )


def main(scales: list[float]) -> None:
    """Print a line for each boat and scale."""
    print(f"{'scene':26}scale  parts  sheets  tabs  halved  flaps  overlap    gap    flat  blocked    time")
    for scene_file in SCENES:
        for scale in scales:
            begun = perf_counter()
            scene = read_scene(scene_file)
            model = card_model(spaces_alone(scene, form_hull(scene.hull)), ModelScale(scale=scale, card=0.4), room_on("a4"))
            laid = laid_out(model, "a4")
            print(line_of(scene_file.stem, model, len(laid.nesting.sheets), perf_counter() - begun), flush=True)


if __name__ == "__main__":
    main([float(each) for each in sys.argv[1:]] or [10.0])
