"""What there is to say of flooding cases: lids under the flooded water, openings that dip, boats that find no rest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.lid_heights import over_and_under
from sketcher.analysis.flooding.panel_loads import panel_loads
from sketcher.analysis.flooding.results import LID_MARGIN, FloodingCase
from sketcher.analysis.phrases import listed, mm
from sketcher.analysis.results import Layout

if TYPE_CHECKING:
    from sketcher.analysis.fit.bottles import BottledSpace


def flooding_findings(
    layout: Layout, cases: Sequence[FloodingCase], margin: float = LID_MARGIN, bottled: Sequence[BottledSpace] = ()
) -> tuple[Finding, ...]:
    """Findings over all the cases given: one for each lid at its worst, one for each kind of verdict, and what is not known.

    bottled: bottles in her spaces, which push up on the lids over them.
    """
    if not cases:
        return ()
    lids = [found for shape in layout.panels if shape.kind == "lid" for found in _lid(layout, shape.name, cases, margin, bottled)]
    return (*lids, *_verdicts(layout, cases), _not_known(layout))


def _lid(
    layout: Layout, name: str, cases: Sequence[FloodingCase], margin: float, bottled: Sequence[BottledSpace]
) -> list[Finding]:
    """A lid over a flooded space, with a dry one on top of it, that stands less than the margin over the water."""
    over, under = ({space.name for space in spaces} for spaces in over_and_under(layout, name))
    tried = [
        (level.clear_of_water, level, case)
        for case in cases
        if len(case.holed) == 1 and under & set(case.floods) and not over & set(case.floods)
        for level in case.lids
        if level.name == name and level.clear_of_water < margin
    ]
    if not tried:
        return []
    _, level, case = min(tried, key=lambda each: each[0])
    return [_low_lid(layout, level, case, margin, bottled)]


def _low_lid(layout: Layout, level: LidLevel, case: FloodingCase, margin: float, bottled: Sequence[BottledSpace]) -> Finding:
    clear, holed = level.clear_of_water, listed(case.holed)
    where = f"{mm(-clear)} under the water" if clear < 0 else f"only {mm(clear)} over the water"
    uplift = next((load.load for load in panel_loads(layout, case) if load.panel == level.name and load.face == "under"), 0.0)
    lifts = [f"The water lifts it with {uplift:.0f} kg"] if uplift > 0 else []
    if bottled:
        from sketcher.analysis.flooding.bottle_loads import bottle_pushes

        pushes = [push for push in bottle_pushes(bottled, case, layout.scene.water_density) if level.name in push.lids]
        lifts += [f"the bottles in {push.space} with {push.load:.0f} kg" for push in pushes]
    push = f" {listed(lifts)[:1].upper()}{listed(lifts)[1:]}, which its fastenings must hold." if lifts else ""
    estimate = "By estimate, " if case.estimated else ""
    needed = level.lowest_safe_height
    remedy = "No height under the deck keeps it clear: make it tight"
    if any(shape.name == level.name and shape.panel.built == "already" for shape in layout.panels):
        remedy = "It is built: make it tight"
    elif needed is not None:
        remedy = f"Raise it to {mm(needed)} for {mm(margin)} to spare, or make it tight"
    return Finding(
        code="lid-under-flooded-water",
        severity="warn",
        object=level.name,
        message=f"{estimate}{level.name} stands {where} at its lowest place when {holed} is holed.{push} {remedy} and hold it "
        "down.",
        measured=clear,
        limit=margin,
        source="lid-margin",
    )


def _verdicts(layout: Layout, cases: Sequence[FloodingCase]) -> list[Finding]:
    """One finding for each way in which a single space holed ends badly, naming the spaces; its object is the first of them."""
    found = []
    for verdict, words in (
        ("founders", "she founders"),
        ("capsizes", "she capsizes"),
        ("downfloods", "the sea comes in"),
    ):
        bad = [case for case in cases if case.verdict == verdict and len(case.holed) == 1]
        if not bad:
            continue
        through = list(dict.fromkeys(name for case in bad for name in case.through))
        reasons = list(dict.fromkeys(case.reason for case in bad))
        if verdict == "downfloods":
            how = f" through {listed(through)}"
        else:
            how = f": {'; '.join(reasons)}" + (f"; on the way the sea comes in through {listed(through)}" if through else "")
        found.append(
            Finding(
                code=f"flooded-{verdict}",
                severity="warn",
                object=bad[0].holed[0],
                message=f"With {' or '.join(case.holed[0] for case in bad)} holed {words}{how}. Divide the space, fill it, or "
                "close what joins it to others.",
                source="lost-buoyancy",
            )
        )
    return found


def _not_known(layout: Layout) -> Finding:
    return Finding(
        code="flooding-in-calm-water",
        severity="note",
        object=layout.scene.name,
        message="Flooding is reckoned at rest in calm water, every holed space open and vented. Whether panels and lids are "
        "strong enough for the water on them, what waves do, and how flood water surging about in a seaway takes stability away, "
        "is not known here: ask a designer before you rely on it.",
    )
