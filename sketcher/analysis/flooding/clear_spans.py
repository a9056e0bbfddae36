"""How far panels span without support, beside what the water presses on them with when a space is holed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.findings import Finding, Length, Mass, Phrase
from sketcher.analysis.flooding.panel_loads import PanelLoad, face_parts, panel_loads
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.leaks.orifice_flow import GRAVITY
from sketcher.analysis.spaces.leaks.shut_in_air import shut_in_loads
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.flat.regions import flat_regions
from sketcher.geometry.solid.section import frame_on

BEARERS = 0.4
"""[m] How far apart bearers under a lid stand at most; source `lid-bearers`."""

_WELDED, _CLOSE = 1e-6, 1e-3
"""[m] Corners of triangles closer than this are one; the span is found to a millimetre."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanLoad:
    """What one panel bears with spaces holed. holed: those by which the load is the same; emptied: in their emptiest state."""

    load: PanelLoad
    holed: tuple[str, ...]
    emptied: bool


@kept_with_owner(256)
def clear_span(layout: Layout, number: int, face: str) -> float:
    """The clear span [m] of the panel of that number: the diameter of the largest circle on that face that meets no support.

    Supports are the panel's own edges on that face and every panel that stands against it; between bearers that is the distance
    from one to the next. 0 where no space sees the face.
    """
    shape = layout.panels[number]
    frame = frame_on(shape.named(face)[0])
    spans = []
    for surface in face_parts(layout, number, face).values():
        flat = frame.flat(surface.vertices)
        one = np.zeros(len(surface.triangles), dtype=np.int64)
        for region in flat_regions(flat, surface.triangles, one).values():
            for part in shapely.get_parts(shapely.set_precision(region, _WELDED)):
                spans.append(2.0 * float(shapely.maximum_inscribed_circle(part, tolerance=_CLOSE).length))
    return max(spans, default=0.0)


def loads_by_panel(layout: Layout, cases: Sequence[FloodingCase]) -> dict[str, list[SpanLoad]]:
    """For each panel with water against it what every space holed by itself presses on it, the greatest load first.

    Of both states of a case the one that loads the panel more counts.
    """
    found: dict[str, dict[tuple[str, int], SpanLoad]] = {}
    for case in cases:
        if len(case.holed) != 1:
            continue
        heaviest: dict[str, tuple[PanelLoad, bool]] = {}
        for state in case.states:
            for load in panel_loads(layout, state):
                if load.panel not in heaviest or load.load > heaviest[load.panel][0].load:
                    heaviest[load.panel] = load, state is not case
        for panel, (load, emptied) in heaviest.items():
            same = found.setdefault(panel, {})
            key = load.face, round(10.0 * load.load)
            holed = (*(same[key].holed if key in same else ()), *case.holed)
            same[key] = SpanLoad(load=load, holed=holed, emptied=emptied)
    return {panel: sorted(loads.values(), key=lambda each: -each.load.load) for panel, loads in found.items()}


def wide_lid_findings(layout: Layout, cases: Sequence[FloodingCase]) -> list[Finding]:
    """A warning for each lid that must hold the water of a space holed and spans more than `BEARERS` without support."""
    loads = loads_by_panel(layout, cases)
    shut_in = shut_in_loads(layout)
    found = []
    for number, shape in enumerate(layout.panels):
        if shape.kind != "lid" or shape.name not in loads:
            continue
        span = clear_span(layout, number, "under")
        if span <= BEARERS:
            continue
        found.append(
            Finding(
                code="lid-span-wide",
                severity="warn",
                object=shape.name,
                values={
                    "lid": shape.name,
                    "span": Length(span),
                    "usual": Length(BEARERS),
                    "loads": tuple(_said(each) for each in loads[shape.name]),
                    "sealed": Mass(shut_in[shape.name]) if shape.name in shut_in else None,
                },
                measured=span,
                limit=BEARERS,
                source="lid-bearers",
            )
        )
    return found


def _said(each: SpanLoad) -> Phrase:
    pressure = each.load.pressure * GRAVITY / 1000.0
    return Phrase("lid-span-load", {"holed": each.holed, "kilopascals": pressure, "load": Mass(each.load.load)})
