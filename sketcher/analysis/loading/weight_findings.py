"""What there is to say of a boat with her changes in weight: that she finds no rest, lolls, or floats awash."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.analysis.afloat.buoyancy import buoyancy_of
from sketcher.analysis.afloat.equilibrium import Unsettled, settle
from sketcher.analysis.afloat.waterplane import deck_edge, water_at
from sketcher.analysis.findings import Angle, Finding, Length, Mass, Phrase
from sketcher.analysis.loading.panel_masses import boards_by_usual_plywood, unweighed_panels
from sketcher.analysis.loading.weights import as_floating, changes, conditions
from sketcher.analysis.results import Layout, WaterPlane


def weights_findings(layout: Layout, water: WaterPlane | None) -> tuple[Finding, ...]:
    """One finding at most for each condition; none where the boat is not known; and what of the plan is not weighed."""
    boat = as_floating(layout, water)
    not_weighed = tuple(_not_weighed(layout))
    if water is None or boat is None:
        return not_weighed
    names: tuple[str | None, ...] = (None, *conditions(layout.scene))
    found = [_of_condition(layout, water, name) for name in names if changes(layout, name)]
    return (*(finding for finding in found if finding is not None), *not_weighed)


def _not_weighed(layout: Layout) -> Iterator[Finding]:
    """One note on the planned panels that count for nothing, since neither mass nor material is stated."""
    names = unweighed_panels(layout.scene)
    if names:
        boards = boards_by_usual_plywood(layout, names)
        values = {"panels": names, "boards": None if boards is None else Mass(boards)}
        source = None if boards is None else "okoume-ply"
        yield Finding(code="panels-not-weighed", severity="note", object=names[0], values=values, measured=boards, source=source)


def _of_condition(layout: Layout, water: WaterPlane, condition: str | None) -> Finding | None:
    boat, density = as_floating(layout, water), layout.scene.water_density
    assert boat is not None
    after = boat.with_all(changes(layout, condition))
    carrier = buoyancy_of(layout.hull)
    settled = settle(carrier, after.mass / density, after.centre, water.plane, (), density)
    if isinstance(settled, Unsettled):
        return _finding(condition, Phrase("finds-no-rest", {"reason": settled.why}))
    if settled.lolled:
        heel = abs(water_at(layout.hull, settled.plane).heel)
        return _finding(condition, Phrase("lies-at-loll", {"heel": Angle(heel)}))
    edge = float(settled.plane.over(deck_edge(layout.hull)).min())
    if edge < 0:
        return _finding(condition, Phrase("deck-edge-awash", {"depth": Length(-edge)}), edge)
    return None


def _finding(condition: str | None, how: Phrase, measured: float | None = None) -> Finding:
    return Finding(
        code="weights-too-much",
        severity="stop",
        object=condition or "weights",
        values={"condition": condition, "how": how},
        measured=measured,
        limit=0.0,
    )
