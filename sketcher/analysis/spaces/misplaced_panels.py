"""What is wrong with panels as placed: outside the hull, nothing left, two in one place, tied to what was taken out, carrying."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from sketcher.analysis.findings import Finding, Length, Phrase, Volume
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import HullSolid, PanelSolids
from sketcher.analysis.spaces.panel_limits import tied_panels
from sketcher.analysis.spaces.panel_planes import place_of
from sketcher.analysis.spaces.panel_solids import kind_of
from sketcher.geometry.tolerances import NOTHING_LEFT, RESIDUAL, RESIDUAL_VOLUME
from sketcher.model.scene import Bulkhead, Limit, Panel, Partition, Scene

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
    pairs = tuple(
        Phrase("pair-of-limits", {"which": which, "first": _limit(pair[0]), "second": _limit(pair[1])})
        for which, pair in limits.items()
        if pair != (None, None)
    )
    return Finding(
        code="panel-nothing-left",
        severity="stop",
        object=panel.name,
        values={"panel": panel.name, "limits": pairs},
    )


def _limit(limit: Limit | None) -> Length | str | None:
    return limit if limit is None or isinstance(limit, str) else Length(limit)


def _outside(scene: Scene, panel: Panel, form: HullForm) -> Finding:
    low, high = form.inside.bounds
    kind = kind_of(panel)
    axis = {"bulkhead": 0, "partition": 1, "lid": 2}[kind]
    after_low, before_high = (("aft", "forward"), ("to starboard", "to port"), ("up", "down"))[axis]
    if isinstance(panel, Bulkhead):
        at = place_of(scene, panel.name)
    elif isinstance(panel, Partition):
        at = sum(panel.off_centre) / 2
    else:
        at = panel.height
    least, most = float(low[axis]), float(high[axis])
    remedy = Phrase("move-to-the-hull")
    if at <= least:
        remedy = Phrase("move-by-more", {"towards": after_low, "by": Length(least - at)})
    elif at >= most:
        remedy = Phrase("move-by-more", {"towards": before_high, "by": Length(at - most)})
    return Finding(
        code="panel-outside-hull",
        severity="stop",
        object=panel.name,
        values={
            "panel": panel.name,
            "kind": kind,
            "at": Length(at),
            "low": Length(least),
            "high": Length(most),
            "remedy": remedy,
        },
        measured=at,
    )


def two_in_one_place(hull: HullSolid, solids: PanelSolids) -> list[Finding]:
    """A finding for every two panels that share most of the smaller one."""
    shapes = solids.shapes
    if len(shapes) < 2:
        return []
    front = np.array([shape.front.normal for shape in shapes])
    low, high = (np.array([shape.mesh.bounds[k] for shape in shapes]) for k in (0, 1))
    parallel = np.abs(front @ front.T) > _NEARLY_PARALLEL
    meet = (low[:, None] < high[None]).all(axis=2)
    findings: list[Finding] = []
    for a, b in np.argwhere(np.triu(parallel & meet & meet.T, 1)).tolist():
        shared = solids.solids[a] ^ solids.solids[b]
        if shared.volume() <= NOTHING_LEFT:
            continue
        inside = float((shared ^ hull.solid).volume())
        least = min(float((solids.solids[k] ^ hull.solid).volume()) for k in (a, b))
        if inside > _SAME_PLACE * least:
            names = shapes[a].name, shapes[b].name
            findings.append(
                Finding(
                    code="panels-in-one-place",
                    severity="stop",
                    object=names[0],
                    values={"one": names[0], "other": names[1], "shared": Volume(inside)},
                    measured=inside,
                )
            )
    return findings


def volumes_missing(shapes: Sequence[PanelShape], residual: float, inside: float) -> list[Finding]:
    """A finding where spaces, panels and gaps miss the inside of the hull by more than rounding and a millilitre.

    residual, inside [m3]. It names the two panels that lie nearest to one plane, where cuts are most likely to fail.
    """
    limit = max(RESIDUAL_VOLUME, RESIDUAL * inside)
    if abs(residual) <= limit:
        return []
    pair = _nearest_to_one_plane(shapes)
    return [
        Finding(
            code="volumes-do-not-add-up",
            severity="stop",
            object=pair[0] if pair else "layout",
            values={"missing": Volume(abs(residual)), "panels": pair},
            measured=residual,
            limit=limit,
        )
    ]


def _nearest_to_one_plane(shapes: Sequence[PanelShape]) -> tuple[str, ...]:
    """The two panels with faces nearest to one plane, of those not more than a few degrees apart; none of fewer than two."""
    apart: list[tuple[float, str, str]] = []
    for one, other in combinations(shapes, 2):
        for face in (one.front, one.back):
            for beside in (other.front, other.back):
                cosine = float(face.normal @ beside.normal)
                if abs(cosine) > _NEARLY_PARALLEL:
                    apart.append((abs(face.distance - np.sign(cosine) * beside.distance), one.name, other.name))
    if not apart:
        return tuple(shape.name for shape in shapes[:2])
    _, first, second = min(apart)
    return first, second


def _tied_to_removed(scene: Scene) -> list[Finding]:
    removed = {panel.name for panel in scene.panels if panel.built == "removed"}
    return [
        Finding(
            code="tied-to-removed",
            severity="warn",
            object=panel.name,
            values={"panel": panel.name, "neighbour": neighbour},
        )
        for panel in scene.panels
        if panel.built != "removed"
        for neighbour in sorted(tied_panels(panel) & removed)
    ]


def _carrying(scene: Scene) -> list[Finding]:
    findings: list[Finding] = []
    for panel in scene.panels:
        if not panel.carries:
            continue
        holes = tuple(o.name for o in scene.openings if o.through == panel.name and o.built != "already")
        if panel.built != "already" or holes:
            findings.append(
                Finding(
                    code="panel-carries-load",
                    severity="stop",
                    object=panel.name,
                    values={"panel": panel.name, "carries": panel.carries, "built": panel.built, "holes": holes},
                    source="load-bearing-panel",
                )
            )
    return findings
