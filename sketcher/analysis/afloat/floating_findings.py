"""What there is to say of how she floats: each finding tells what, where, by how much and what to do."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.afloat.buoyancy import appendage_points
from sketcher.analysis.afloat.waterplane import over_water
from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import OUTSIDE, Floating, Plane, Way
from sketcher.model.scene import Scene


def waterline_not_stated(scene: Scene) -> Finding:
    """There is no waterline to go by."""
    return Finding(
        code="waterline-not-stated",
        severity="note",
        object=scene.name,
        message="No waterline is stated, so nothing is said of how she floats or of what lies below the water. Give the "
        "water's heights forward and after, or two freeboards measured afloat, under `waterline`.",
    )


def gravity_not_stated(scene: Scene) -> Finding:
    """The centre of gravity's height is missing, and what with it."""
    return Finding(
        code="centre-of-gravity-unknown",
        severity="note",
        object=scene.name,
        message="The height of the centre of gravity is not stated, so the metacentric height, the moment to trim, and how she "
        "floats with other weights or with a space flooded are not known. Give `centre_of_gravity: {height: ...}`, the best "
        "estimate there is.",
    )


def would_not_stay_upright(scene: Scene, gm: float, height: float) -> Finding:
    """The stated centre of gravity lies above the metacentre."""
    return Finding(
        code="unstable",
        severity="stop",
        object=scene.name,
        message=f"With her centre of gravity {1000 * height:.0f} mm above the base line her metacentric height is "
        f"{1000 * gm:.0f} mm: she would not stay upright at this waterline. Check the centre of gravity's height and the "
        "waterline.",
        measured=gm,
        limit=0.0,
    )


def hull_open_aft(form: HullForm, *, estimated: bool) -> Finding:
    """Why the whole boat's figures are missing, or estimates."""
    said = (
        "What is printed of it is an estimate from the hull file's `boat` block, not from the measured shape"
        if estimated
        else "Give what is known of the whole boat in the hull file's `boat` block (displacement, kg_per_cm, moment_per_cm, "
        "centre_of_flotation) for estimates"
    )
    return Finding(
        code="hull-open-aft",
        severity="note",
        object=form.hull.name,
        message=f"The hull was measured only to {1000 * form.x_after:.0f} mm, so how the whole boat floats is not known "
        f"(draft, centre of buoyancy, metacentric height, freeboard aft). {said}.",
        measured=form.x_after,
    )


def unknown_drafts(form: HullForm) -> list[Finding]:
    """Appendages whose depth is not given."""
    return [
        Finding(
            code="appendage-depth-unknown",
            severity="note",
            object=each.name,
            message=f"How deep {each.name} reaches is not stated, so the draft is not known. Give its `lowest` in the hull file.",
        )
        for each in form.hull.appendages
        if each.lowest is None
    ]


def dry_appendages(form: HullForm, plane: Plane) -> list[Finding]:
    """Appendages that are counted as displacing water although they stand out of it."""
    heights = [float(over_water(at, plane)) for _, at in appendage_points(form.hull)]
    return [
        Finding(
            code="appendage-above-water",
            severity="warn",
            object=each.name,
            message=f"The middle of {each.name} lies {1000 * height:.0f} mm above the water, yet its "
            f"{1000 * each.volume:.0f} litres are counted as under water. Leave out of its litres what does not float her.",
            measured=height,
            limit=0.0,
        )
        for each, height in zip(form.hull.appendages, heights, strict=False)
        if height > 0
    ]


def edges_under(afloat: Floating) -> list[Finding]:
    """The deck's edge under water where she is said to float."""
    least, at = afloat.least_freeboard, afloat.least_freeboard_at
    if least is None or at is None or least >= 0:
        return []
    return [
        Finding(
            code="deck-edge-under-water",
            severity="stop",
            object="deck",
            message=f"The deck's edge lies {-1000 * least:.0f} mm under water at {1000 * at[0]:.0f} mm aft. Check the waterline.",
            measured=least,
            limit=0.0,
            at=at,
        )
    ]


def ways_under(ways: Sequence[Way], plane: Plane) -> list[Finding]:
    """Ways to the outside that are not tight and reach under the floating waterline."""
    found = []
    for way in ways:
        depth = -float(over_water(way.outline, plane).min()) if OUTSIDE in way.between and len(way.outline) else 0.0
        if depth > 0:
            inner = next((name for name in way.between if name != OUTSIDE), OUTSIDE)
            found.append(
                Finding(
                    code="opening-under-water",
                    severity="stop",
                    object=way.name,
                    message=f"{way.name} reaches {1000 * depth:.0f} mm under the waterline and is not tight: the sea stands "
                    f"open to {inner}. {'Close it (`cover: tight`)' if way.kind == 'opening' else 'Stop it up'}, or raise it.",
                    measured=-depth,
                    limit=0.0,
                    at=way.lowest_at,
                )
            )
    return found
