"""A box boat with a collision bulkhead, a lid and openings, to put things into: every figure can be worked out by hand.

Inside 4 m long, 2 m wide, 1 m deep; a bulkhead 20 mm thick with its forward face at 1 m; abaft it a lid 10 mm thick, its top at
0.5 m, to a second bulkhead at 3 m. So the locker forward is 1 x 2 x 1 m, the void under the lid 1.98 x 2 x 0.49 m, the cabin
above it 1.98 x 2 x 0.5 m. She floats level at 0.5 m.
"""

from __future__ import annotations

from specimens import box_form, layout_scene

from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.contents import with_contents
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Opening, Waterline

PANELS: dict[str, object] = {
    "bulkheads": (
        Bulkhead(name="collision", at=1.0, thickness=0.02),
        Bulkhead(name="main", at=3.0, thickness=0.02, built="already"),
    ),
    "lids": (Lid(name="top", height=0.5, start="collision", end="main", thickness=0.01),),
    "openings": (
        Opening(name="port", through="top", at=(1.5, 0.0), size=(0.3, 0.2), cover="tight"),
        Opening(name="hatch", through="deck", at=(0.5, 0.0), size=(0.5, 0.5), cover="loose"),
    ),
    "compartments": (
        NamedSpace(name="locker", at=(0.5, 0.0, 0.5), use="chain"),
        NamedSpace(name="void", at=(2.0, 0.0, 0.2)),
        NamedSpace(name="cabin", at=(2.0, 0.0, 0.8), use="accommodation"),
        NamedSpace(name="saloon", at=(3.5, 0.0, 0.5), use="accommodation"),
    ),
    "waterline": Waterline(forward=0.5, after=0.5),
    "centre_of_gravity_height": 0.4,
}


def filled(**blocks: object) -> Evaluation:
    """The boat evaluated with these contents, or other blocks in place of her own."""
    form = box_form()
    scene = layout_scene(form, **(PANELS | blocks))
    return with_contents(judged(lay_out(scene, form)))


def contents_of(**blocks: object) -> Contents:
    found = filled(**blocks).contents
    assert found is not None
    return found


def codes(evaluation: Evaluation) -> list[str]:
    return [finding.code for finding in evaluation.findings]
