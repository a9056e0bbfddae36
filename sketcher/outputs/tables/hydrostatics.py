"""How the boat floats over a range of drafts: a table."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.afloat.hydrostatics import HydrostaticRow, hydrostatic_table
from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.plane import Plane
from sketcher.model.errors import SketchError
from sketcher.outputs.tables.report import WIDTH
from sketcher.outputs.wording.quantities import UNIT_WORDS, length, litres, plain, table, wrap

STEPS = 12
LEAST_SHARE, MOST_SHARE = 0.15, 0.95
"""Between which shares of the depth to the lowest of the deck's edge drafts are taken: dry and awash tell nothing."""


def hydrostatic_rows(evaluation: Evaluation, steps: int = STEPS) -> tuple[HydrostaticRow, ...]:
    """Figures at evenly spaced drafts, at the scene's trim and heel.

    Raises SketchError where only a part of the hull was measured.
    """
    form, water = evaluation.layout.hull, evaluation.water
    if form.hull.open_aft:
        raise SketchError(
            "how she floats at other drafts is not known: only the forward part of the boat was measured",
            "Measure the hull to her stern, and write `aft_end: closed`.",
            file=form.hull.file,
        )
    surface = Plane.level(0.0) if water is None else water.plane
    lowest = float(surface.over(form.outside.vertices).min())
    edge = surface.over(np.concatenate([form.sheer, form.port_sheer]) if len(form.sheer) else form.outside.vertices)
    depth = float(edge.min()) - lowest
    drafts = np.linspace(LEAST_SHARE * depth, MOST_SHARE * depth, steps)
    return hydrostatic_table(evaluation.scene, form, water, drafts.tolist())


def hydrostatics_report(evaluation: Evaluation, units: str | None = None) -> str:
    """The table as text; units for lengths, else those of the scene's file."""
    unit = units or evaluation.scene.units
    head = (
        "draft",
        "water at",
        "kg",
        "litres",
        "kg per cm",
        "m² of water",
        "m² wet",
        "buoyancy aft",
        "up",
        "flotation aft",
        "KM",
        "kg m per cm",
    )
    rows = [
        (
            length(row.draft, unit),
            length(row.level, unit),
            plain(row.displacement, 0),
            litres(row.volume),
            plain(row.kg_per_cm, 1),
            plain(row.waterplane_area, 2),
            plain(row.wetted_surface, 2),
            length(row.centre_of_buoyancy[0], unit),
            length(row.centre_of_buoyancy[2], unit),
            length(row.centre_of_flotation, unit),
            length(row.km_transverse, unit),
            plain(row.moment_per_cm, 1) if row.moment_per_cm is not None else "-",
        )
        for row in hydrostatic_rows(evaluation)
    ]
    note = (
        "Draft and wet area: of the hull without appendages. Water at: its height above the base line amidships. "
        f"Trim and heel as in the scene; lengths in {UNIT_WORDS[unit]}."
    )
    if evaluation.scene.hull.cockpit is not None:
        note += " The cockpit is open to the water: from its sole upwards it carries nothing."
    return "\n".join([evaluation.scene.name, "", *table(head, rows, ">" * len(head)), *wrap(note, WIDTH)]) + "\n"
