"""What there is to say of how she floats: findings about waterline, drafts, edges and openings."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.afloat.buoyancy import appendage_points
from sketcher.analysis.findings import Finding, Length, Volume
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import OUTSIDE, Floating, FlowPath
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Scene


def unstated_waterline(scene: Scene) -> Finding:
    """The scene states no waterline."""
    return Finding(code="waterline-not-stated", severity="note", object=scene.name)


def not_measured_yet(scene: Scene) -> list[Finding]:
    """What was guessed from her shape when the layout was begun, and is not measured yet: all that floats rests on it."""
    if not scene.guessed:
        return []
    values = {"waterline": "waterline" in scene.guessed, "gravity": "centre_of_gravity" in scene.guessed}
    return [Finding(code="guessed-values", severity="warn", object=scene.name, values=values)]


def gravity_not_stated(scene: Scene) -> Finding:
    """The centre of gravity's height is missing, and which figures are therefore unknown."""
    return Finding(code="centre-of-gravity-unknown", severity="note", object=scene.name)


def would_not_stay_upright(scene: Scene, gm: float, height: float) -> Finding:
    """The stated centre of gravity lies above the metacentre."""
    return Finding(
        code="unstable",
        severity="stop",
        object=scene.name,
        values={"height": Length(height), "gm": Length(gm)},
        measured=gm,
        limit=0.0,
    )


def open_aft_end(form: HullForm, *, estimated: bool) -> Finding:
    """Why the whole boat's figures are missing, or estimates."""
    return Finding(
        code="hull-open-aft",
        severity="note",
        object=form.hull.name,
        values={"measured_to": Length(form.x_after), "estimated": estimated},
        measured=form.x_after,
    )


def unknown_drafts(form: HullForm) -> list[Finding]:
    """Appendages whose depth is not given."""
    return [
        Finding(code="appendage-depth-unknown", severity="note", object=each.name, values={"appendage": each.name})
        for each in form.hull.appendages
        if each.lowest is None
    ]


def dry_appendages(form: HullForm, plane: Plane) -> list[Finding]:
    """Appendages that are counted as displacing water although they stand out of it."""
    heights = [float(plane.over(at)) for _, at in appendage_points(form.own)]
    return [
        Finding(
            code="appendage-above-water",
            severity="warn",
            object=each.name,
            values={"appendage": each.name, "height": Length(height), "volume": Volume(each.volume)},
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
            values={"depth": Length(-least), "aft": Length(at[0])},
            measured=least,
            limit=0.0,
            at=at,
        )
    ]


def paths_under_water(paths: Sequence[FlowPath], plane: Plane) -> list[Finding]:
    """Flow paths to the outside that are not tight and reach under the floating waterline."""
    findings = []
    for path in paths:
        depth = -float(plane.over(path.outline).min()) if OUTSIDE in path.between and len(path.outline) else 0.0
        if depth > 0:
            inner = next((name for name in path.between if name != OUTSIDE), OUTSIDE)
            findings.append(
                Finding(
                    code="opening-under-water",
                    severity="stop",
                    object=path.name,
                    values={"path": path.name, "depth": Length(depth), "space": inner, "is_opening": path.kind == "opening"},
                    measured=-depth,
                    limit=0.0,
                    at=path.lowest_at,
                )
            )
    return findings
