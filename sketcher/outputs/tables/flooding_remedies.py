"""Remedies for a flooding case: other fills of a space, and a pump."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.permeability_trials import compare_fills
from sketcher.analysis.flooding.pumping import emptying
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Compartment
from sketcher.model.errors import SketchError, nearest
from sketcher.outputs.tables.report import WIDTH
from sketcher.outputs.wording.quantities import UNKNOWN, length, litres, plain, table, wrap


def fills_compared(evaluation: Evaluation, case: FloodingCase, space: str, condition: str | None, unit: str) -> list[str]:
    """The case with one space empty, with bottles and with foam, a row each. Raises SketchError on a name that is no space."""
    _space(evaluation, space)
    cases = compare_fills(evaluation.layout, evaluation.water, evaluation.floating, case.holed, space, condition)
    rows = [
        (
            fill,
            plain(each.shares[space], 2) if space in each.shares else UNKNOWN,
            litres(each.water_volume),
            length(each.water.forward if each.water else None, unit),
            length(each.water.after if each.water else None, unit),
            length(each.least_freeboard, unit),
            each.verdict,
        )
        for fill, each in cases.items()
    ]
    head = (f"{space} WITH", "water fills", "takes in, L", "bow", "stern", "least freeboard", "verdict")
    note = (
        f"As in the scene: the share that water fills by what the scene puts into {space}, or by its use. Usual: the shares of "
        "the table of permeabilities for bottles and foam, whatever the scene puts there; what really goes in may differ."
    )
    return [*table(head, rows, "<>>>>><"), *wrap(note, WIDTH)]


def pumped_out(
    evaluation: Evaluation, case: FloodingCase, pump_in: str, litres_per_minute: float, unit: str, width: int
) -> list[str]:
    """How long a pump at the lowest point of a space takes once the hole is stopped, and what each space keeps.

    Raises SketchError on a name that is no space, on a space that is not flooded and on a rate of nothing.
    """
    space = _space(evaluation, pump_in)
    assert evaluation.water is not None
    x, y, z = space.mesh.vertices[int(np.argmin(space.mesh.vertices[:, 2]))].tolist()
    done = emptying(evaluation.layout, case, evaluation.water.plane, pump_in, (x, y, z), litres_per_minute)
    rows = [
        (
            each.space,
            litres(each.held),
            litres(each.left),
            "nothing lets it run" if each.drains_at is None else length(each.drains_at, unit),
        )
        for each in done.spaces
    ]
    said = (
        f"A pump of {plain(litres_per_minute, 0)} litres a minute at the lowest point of {pump_in} takes "
        f"{plain(done.minutes, 0)} minutes once the hole is stopped. What lies under the last drain of a space stays in it."
    )
    return [*table(("PUMPED OUT", "holds, L", "keeps, L", "down to"), rows, "<>>>"), *wrap(said, width)]


def _space(evaluation: Evaluation, name: str) -> Compartment:
    spaces = {space.name: space for space in evaluation.layout.compartments}
    if name not in spaces:
        close = nearest(name, spaces)
        remedy = f"Did you mean {close!r}?" if close else f"The compartments are: {', '.join(spaces)}."
        raise SketchError(f"there is no compartment {name!r}", remedy, evaluation.scene.file)
    return spaces[name]
