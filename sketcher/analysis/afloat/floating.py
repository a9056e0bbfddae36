"""How she floats at the stated waterline: displacement, centres, metacentres, freeboards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.afloat.buoyancy import Carried, carried_at
from sketcher.analysis.afloat.floating_findings import (
    dry_appendages,
    edges_under,
    gravity_not_stated,
    not_measured_yet,
    open_aft_end,
    paths_under_water,
    unknown_drafts,
    unstated_waterline,
    would_not_stay_upright,
)
from sketcher.analysis.afloat.waterplane import deck_edge
from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import OUTSIDE, Floating, FlowPath, WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import area_under
from sketcher.model.scene import Scene


def floating(
    scene: Scene, form: HullForm, water: WaterPlane | None, paths: Sequence[FlowPath] = ()
) -> tuple[Floating, tuple[Finding, ...]]:
    """The boat at her floating waterline, and what there is to say of it.

    Displacement is the outside of the hull and the appendages, in the scene's water (source `sea-water` unless it says else).
    Wetted surface is the hull's, without appendages. What needs the height of the centre of gravity is None until the scene
    gives it; what needs the part of a boat that was not measured is None, or an estimate from the hull's `boat` block named in
    `estimated`.
    """
    if water is None:
        return Floating(), (unstated_waterline(scene),)
    afloat = _freeboards(form, water, paths)
    if form.hull.open_aft:
        estimates, said = _estimates(scene, form, afloat)
        return estimates, (*not_measured_yet(scene), *said)
    carried = carried_at(form, water)
    body, draft = _drafts(form, water.plane)
    afloat = replace(with_hydrostatics(scene, form, carried, afloat), canoe_body_draft=body, draft=draft)
    findings = [
        *not_measured_yet(scene),
        *unknown_drafts(form),
        *dry_appendages(form, water.plane),
        *edges_under(afloat),
        *paths_under_water(paths, water.plane),
    ]
    if scene.centre_of_gravity_height is None:
        findings.append(gravity_not_stated(scene))
    elif afloat.gm is not None and afloat.gm <= 0:
        findings.append(would_not_stay_upright(scene, afloat.gm, scene.centre_of_gravity_height))
    return afloat, tuple(findings)


def centre_of_gravity(carried: Carried, height: float) -> Floats:
    """(3,) the centre of gravity [m]: plumb over the centre of buoyancy where she floats, at its stated height."""
    buoyancy, normal = carried.centre, carried.cut.plane.normal
    centre: Floats = buoyancy + normal * (height - buoyancy[2]) / normal[2]
    return centre


def with_hydrostatics(scene: Scene, form: HullForm, carried: Carried, afloat: Floating) -> Floating:
    """`afloat` with what follows from the water displaced and the waterplane; unchanged where there is none of either."""
    if carried.volume <= 0 or carried.cut.section_area <= 0:
        return afloat
    density, cut = scene.water_density, carried.cut
    buoyancy, flotation = carried.centre, cut.section_centroid
    assert flotation is not None
    across, along = carried.metacentric_radii
    afloat = replace(
        afloat,
        displacement=density * carried.volume,
        volume=carried.volume,
        centre_of_buoyancy=_point(buoyancy),
        waterplane_area=cut.section_area,
        centre_of_flotation=float(flotation[0]),
        kg_per_cm=density * cut.section_area / 100.0,
        wetted_surface=_wetted_surface(form, cut.plane),
        km_transverse=float(buoyancy[2] + across * cut.plane.normal[2]),
        km_longitudinal=float(buoyancy[2] + along * cut.plane.normal[2]),
    )
    if scene.centre_of_gravity_height is None:
        return afloat
    below = float((buoyancy - centre_of_gravity(carried, scene.centre_of_gravity_height)) @ cut.plane.normal)
    return replace(
        afloat,
        gm=across + below,
        gm_longitudinal=along + below,
        moment_per_cm=density * carried.volume * (along + below) / (100.0 * (form.x_after - form.x_forward)),
    )


@kept_with_owner(8)
def _wetted_surface(form: HullForm, plane: Plane) -> float:
    """Area of the hull's outside under the plane [m2], of both hulls where there are two."""
    hulls = 1 if form.hull.twin_spacing is None else 2
    return hulls * area_under(form.outside, plane)


def _point(values: Floats) -> tuple[float, float, float]:
    return float(values[0]), float(values[1]), float(values[2])


def _freeboards(form: HullForm, water: WaterPlane, paths: Sequence[FlowPath]) -> Floating:
    """Freeboards to the deck's edge on the worse side; where the hull is open aft only the forward one is known."""
    edge = deck_edge(form)
    heights = water.plane.over(edge)
    outer = [path for path in paths if OUTSIDE in path.between and len(path.outline)]
    clear = min((float(water.plane.over(path.outline).min()) for path in outer), default=None)
    afloat = Floating(forward_freeboard=float(heights[:, 0].min()), least_opening_clear=clear)
    if form.hull.open_aft:
        return afloat
    side, place = np.unravel_index(int(heights.argmin()), heights.shape)
    return replace(
        afloat,
        after_freeboard=float(heights[:, -1].min()),
        least_freeboard=float(heights.min()),
        least_freeboard_at=_point(edge[side, place]),
    )


@kept_with_owner(8)
def _drafts(form: HullForm, plane: Plane) -> tuple[float, float | None]:
    """Canoe body draft, and draft to the lowest of hull and appendages, None where an appendage's depth is not known [m]."""
    body = max(0.0, -float(plane.over(form.outside.vertices).min()))
    tips = [np.array([each.at[0], each.at[1], each.lowest]) for each in form.own.appendages if each.lowest is not None]
    draft = max([body, *(-float(plane.over(tip)) for tip in tips)])
    known = all(each.lowest is not None for each in form.hull.appendages)
    return body, draft if known else None


def _estimates(scene: Scene, form: HullForm, afloat: Floating) -> tuple[Floating, tuple[Finding, ...]]:
    """What the `boat` block says of a boat of which only the forward part was measured."""
    boat, density = form.hull.boat, scene.water_density
    known: dict[str, float] = {}
    if boat is not None and boat.displacement is not None:
        known |= {"displacement": boat.displacement, "volume": boat.displacement / density}
    if boat is not None and boat.kg_per_cm is not None:
        known |= {"kg_per_cm": boat.kg_per_cm, "waterplane_area": boat.kg_per_cm * 100.0 / density}
    if boat is not None and boat.moment_per_cm is not None:
        known["moment_per_cm"] = boat.moment_per_cm
    if boat is not None and boat.centre_of_flotation is not None:
        known["centre_of_flotation"] = boat.centre_of_flotation
    afloat = replace(
        afloat,
        displacement=known.get("displacement"),
        volume=known.get("volume"),
        waterplane_area=known.get("waterplane_area"),
        centre_of_flotation=known.get("centre_of_flotation"),
        kg_per_cm=known.get("kg_per_cm"),
        moment_per_cm=known.get("moment_per_cm"),
        estimated=tuple(known),
    )
    return afloat, (open_aft_end(form, estimated=bool(known)),)
