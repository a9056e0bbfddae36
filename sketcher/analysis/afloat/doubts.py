"""How far the figures of the boat afloat may be out, since each reading of a tape may be."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.results import Floating, WaterPlane

READING = 0.005
"""[m] by which a reading off a tape and a plumb line errs either way (common practice; source id: tape-error)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AfloatDoubts:
    """By how much figures of `Floating` may be out either way, in their units; None where the figure is not known."""

    displacement: float | None
    volume: float | None
    waterplane_area: float | None
    wetted_surface: float | None
    kg_per_cm: float | None
    moment_per_cm: float | None
    gm: float | None


def afloat_doubts(afloat: Floating, water: WaterPlane | None) -> AfloatDoubts:
    """The doubts with every reading out by `READING` the same way, which is the worst.

    Displacement and volume: the waterline that much too high: the kilograms of so deep a slice. Areas: both sides of the hull, or
    of its skin, that much too wide over her length. Moments go with the waterplane; GM: the height of the metacentre over the
    centre of buoyancy, which goes with the cube of the breadth. Derived; closed form for a box.
    """
    area, length = afloat.waterplane_area, None if water is None else water.x_after - water.x_forward
    strip = None if length is None else 2 * READING * length
    share = strip / area if strip is not None and area else None
    slice_of = afloat.kg_per_cm
    volume = afloat.volume
    density = afloat.displacement / volume if afloat.displacement is not None and volume else None
    metacentre = None
    if afloat.km_transverse is not None and afloat.centre_of_buoyancy is not None:
        metacentre = afloat.km_transverse - afloat.centre_of_buoyancy[2]
    return AfloatDoubts(
        displacement=None if slice_of is None else 100 * READING * slice_of,
        volume=None if slice_of is None or density is None else 100 * READING * slice_of / density,
        waterplane_area=strip,
        wetted_surface=strip,
        kg_per_cm=None if share is None or slice_of is None else share * slice_of,
        moment_per_cm=None if share is None or afloat.moment_per_cm is None else share * afloat.moment_per_cm,
        gm=None if share is None or metacentre is None else 3 * share * metacentre,
    )
