"""What is wrong with panels as placed: outside the hull, nothing left, two in one place, tied to what was taken out, carrying."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.phrases import listed, litres, mm
from sketcher.analysis.spaces.boolean_cuts import HullSolid, PanelSolids
from sketcher.analysis.spaces.panel_limits import tied_panels
from sketcher.analysis.spaces.panel_planes import place_of
from sketcher.analysis.spaces.panel_solids import kind_of
from sketcher.geometry.tolerances import NOTHING_LEFT
from sketcher.model.scene import Bulkhead, Panel, Partition, Scene

_SAME_PLACE = 0.5
"""[1] two boards that share more than this share of the smaller one are two in one place, not a crossing or a lap."""
_NEARLY_PARALLEL = 0.985
"""[1] cosine of 10 degrees: boards at a greater angle cross and cannot lie in one place."""


def panel_misfits(scene: Scene, form: HullForm, astray: Sequence[str], empty: Sequence[str]) -> list[Finding]:
    """Findings about the panels of a scene. astray: those placed outside the hull; empty: those of which nothing is left."""
    return [
        *(_nothing_left(_panel(scene, name)) for name in empty),
        *(_outside(scene, _panel(scene, name), form) for name in astray),
        *_tied_to_removed(scene),
        *_carrying(scene),
    ]


def _panel(scene: Scene, name: str) -> Panel:
    return next(panel for panel in scene.panels if panel.name == name)


def _nothing_left(panel: Panel) -> Finding:
    limits = {
        "from and to": (getattr(panel, "start", None), getattr(panel, "end", None)),
        "bottom and top": (getattr(panel, "bottom", None), getattr(panel, "top", None)),
        "the two sides of its span": getattr(panel, "span", (None, None)),
    }
    said = [
        f"{key} ({' and '.join(mm(v) if isinstance(v, float | int) else str(v) for v in pair)})"
        for key, pair in limits.items()
        if pair != (None, None)
    ]
    return Finding(
        code="panel-nothing-left",
        severity="stop",
        object=panel.name,
        message=f"Nothing is left of {panel.name}: its limits meet or cross before it begins. Look at {', at '.join(said)}.",
    )


def _outside(scene: Scene, panel: Panel, form: HullForm) -> Finding:
    low, high = form.inside.bounds
    axis = {"bulkhead": 0, "partition": 1, "lid": 2}[kind_of(panel)]
    if isinstance(panel, Bulkhead):
        at = place_of(scene, panel.name)
        said, lower, upper = f"its forward face is at {mm(at)}", "aft", "forward"
    elif isinstance(panel, Partition):
        at = sum(panel.off_centre) / 2
        said, lower, upper = f"it stands {mm(at)} off the centreline, starboard positive", "to starboard", "to port"
    else:
        at = panel.height
        said, lower, upper = f"its top is at {mm(at)}", "up", "down"
    how = "Move it, or its limits, to where the hull is."
    if at <= low[axis]:
        how = f"Move it {lower} by more than {mm(float(low[axis]) - at)}."
    elif at >= high[axis]:
        how = f"Move it {upper} by more than {mm(at - float(high[axis]))}."
    return Finding(
        code="panel-outside-hull",
        severity="stop",
        object=panel.name,
        message=f"{panel.name} lies wholly outside the hull: {said}, and the inside runs from {mm(float(low[axis]))} to "
        f"{mm(float(high[axis]))}. {how}",
        measured=at,
    )


def two_in_one_place(hull: HullSolid, solids: PanelSolids) -> list[Finding]:
    """A finding for every two panels that share most of the smaller one."""
    shapes = solids.shapes
    if len(shapes) < 2:
        return []
    front = np.array([shape.faces[0][1].normal for shape in shapes])
    low, high = (np.array([shape.mesh.bounds[k] for shape in shapes]) for k in (0, 1))
    parallel = np.abs(front @ front.T) > _NEARLY_PARALLEL
    meet = (low[:, None] < high[None]).all(axis=2)
    found: list[Finding] = []
    for a, b in np.argwhere(np.triu(parallel & meet & meet.T, 1)).tolist():
        shared = solids.solids[a] ^ solids.solids[b]
        if shared.volume() <= NOTHING_LEFT:
            continue
        inside = float((shared ^ hull.solid).volume())
        least = min(float((solids.solids[k] ^ hull.solid).volume()) for k in (a, b))
        if inside > _SAME_PLACE * least:
            names = shapes[a].name, shapes[b].name
            found.append(
                Finding(
                    code="panels-in-one-place",
                    severity="stop",
                    object=names[0],
                    message=f"{names[0]} and {names[1]} are in one place: they share {litres(inside)} of board, and together "
                    "count once. Move one of them, or take it out.",
                    measured=inside,
                )
            )
    return found


def _tied_to_removed(scene: Scene) -> list[Finding]:
    removed = {panel.name for panel in scene.panels if panel.built == "removed"}
    return [
        Finding(
            code="tied-to-removed",
            severity="warn",
            object=panel.name,
            message=f"{panel.name} is tied to {neighbour}, which is taken out: it now ends in the open where {neighbour} stood. "
            "Tie it to another panel, or give it a distance.",
        )
        for panel in scene.panels
        if panel.built != "removed"
        for neighbour in sorted(tied_panels(panel) & removed)
    ]


def _carrying(scene: Scene) -> list[Finding]:
    found: list[Finding] = []
    for panel in scene.panels:
        if not panel.carries:
            continue
        holes = [opening.name for opening in scene.openings if opening.through == panel.name and opening.built == "planned"]
        done = []
        if panel.built == "planned":
            done.append("is newly placed or moved")
        if panel.built == "removed":
            done.append("is taken out")
        if holes:
            done.append(f"is cut by {listed(holes)}")
        if done:
            found.append(
                Finding(
                    code="panel-carries-load",
                    severity="stop",
                    object=panel.name,
                    message=f"{panel.name} carries the {listed(list(panel.carries))} and {' and '.join(done)}. What it takes to "
                    "hold that load cannot be judged here: stop, and ask a designer.",
                    source="load-bearing-panel",
                )
            )
    return found
