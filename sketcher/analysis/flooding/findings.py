"""What there is to say of flooding cases: lids under the flooded water, openings that dip, boats that find no rest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from sketcher.analysis.findings import Finding, Length, Mass, Phrase, Value
from sketcher.analysis.flooding.clear_spans import wide_lid_findings
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.lid_heights import cut_when_raised, over_and_under, reached
from sketcher.analysis.flooding.panel_loads import panel_loads
from sketcher.analysis.flooding.results import LID_MARGIN, WORST_FIRST, FloodingCase
from sketcher.analysis.flooding.worst import main_space_lost
from sketcher.analysis.results import Layout

if TYPE_CHECKING:
    from sketcher.analysis.fit.bottles import BottledSpace
    from sketcher.analysis.fit.contents_results import Contents


def flooding_findings(
    layout: Layout, cases: Sequence[FloodingCase], margin: float = LID_MARGIN, contents: Contents | None = None
) -> tuple[Finding, ...]:
    """Findings over all the cases given: one for each lid at its worst, one for each kind of verdict, and what is not known.

    Each case counts as stated and at its emptiest; the worse of both is told.

    contents: bottles in her spaces push up on the lids over them, and what lifts her swamped is set beside her foundering.
    """
    if not cases:
        return ()
    bottled = () if contents is None else contents.bottles
    lift = None if contents is None or contents.swamped is None or contents.swamped.net <= 0 else Mass(contents.swamped.net)
    lids = [found for shape in layout.panels if shape.kind == "lid" for found in _lid(layout, shape.name, cases, margin, bottled)]
    main = main_space_lost(layout, cases)
    others = [case for case in cases if main is None or case.holed != main.holed]
    said = (*_verdicts(others, lift), *_main_space(main, lift), *_no_answer(layout, cases))
    return (*lids, *said, *wide_lid_findings(layout, cases), _not_known(layout))


def _lid(
    layout: Layout, name: str, cases: Sequence[FloodingCase], margin: float, bottled: Sequence[BottledSpace]
) -> list[Finding]:
    """A lid over a flooded space, with a dry one on top of it, that stands less than the margin over the water."""
    over, under = ({space.name for space in spaces} for spaces in over_and_under(layout, name))
    tried = [
        (level.clear_of_water, level, state, case)
        for case in cases
        for state in case.states
        if len(case.holed) == 1 and under & set(state.floods) and not over & set(state.floods)
        for level in state.lids
        if level.name == name and level.clear_of_water < margin
    ]
    if not tried:
        return []
    _, level, state, case = min(tried, key=lambda each: each[0])
    return [_low_lid(layout, level, state, case, margin, bottled)]


def _low_lid(
    layout: Layout, level: LidLevel, case: FloodingCase, stated: FloodingCase, margin: float, bottled: Sequence[BottledSpace]
) -> Finding:
    """The lid in its worst case. stated: that case with the permeabilities that are stated, which may be the worst itself."""
    as_stated = next((other.clear_of_water for other in stated.lids if other.name == level.name), None)
    uplift = next((load.load for load in panel_loads(layout, case) if load.panel == level.name and load.face == "under"), 0.0)
    pushes: list[Phrase] = []
    if bottled:
        from sketcher.analysis.flooding.bottle_loads import bottle_pushes

        pushes = [
            Phrase("bottles-push", {"space": push.space, "load": Mass(push.load)})
            for push in bottle_pushes(bottled, case, layout.scene.water_density)
            if level.name in push.lids
        ]
    built = any(shape.name == level.name and shape.panel.built == "already" for shape in layout.panels)
    needed = level.lowest_safe_height
    cut = () if needed is None else cut_when_raised(layout, level.name, needed)
    return Finding(
        code="lid-under-flooded-water",
        severity="warn",
        object=level.name,
        values={
            "lid": level.name,
            "clear": Length(level.clear_of_water),
            "holed": case.holed,
            "emptied": case is not stated,
            "as_stated": None if case is stated or as_stated is None else Length(as_stated),
            "uplift": Mass(uplift),
            "pushes": tuple(pushes),
            "built": built,
            "tight": all(space.watertight for space in over_and_under(layout, level.name)[1]),
            "safe_height": None if needed is None or cut else Length(needed),
            "cut": cut,
            "berths": tuple(berth.name for berth in layout.scene.berths if berth.lies_on == level.name),
            "margin": Length(margin),
            "estimated": case.estimated,
        },
        measured=level.clear_of_water,
        limit=margin,
        source="lid-margin",
    )


def _verdicts(cases: Sequence[FloodingCase], lift: Mass | None) -> list[Finding]:
    """One finding for each way in which a single space holed ends badly, naming the spaces; its object is the first of them.

    Of both states of a case the worse counts; `emptied`: spaces of which only the emptiest state ends so. lift: what the listed
    parts lift her with, swamped.
    """
    findings = []
    single = [case for case in cases if len(case.holed) == 1]
    worst = {case.holed[0]: min(case.states, key=lambda state: WORST_FIRST.index(state.verdict)) for case in single}
    emptied = tuple(case.holed[0] for case in single if case.verdict != worst[case.holed[0]].verdict)
    for verdict in WORST_FIRST[:3]:
        bad = [state for state in worst.values() if state.verdict == verdict]
        if not bad:
            continue
        values: dict[str, Value] = {
            "holed": tuple(case.holed[0] for case in bad),
            "emptied": tuple(name for name in emptied if worst[name] in bad),
            "through": tuple(dict.fromkeys(name for case in bad for name in case.through)),
            "reasons": tuple(case.reason for case in bad),
        }
        if verdict == "founders":
            values["swamped"] = lift
        findings.append(
            Finding(code=f"flooded-{verdict}", severity="warn", object=bad[0].holed[0], values=values, source="lost-buoyancy")
        )
    return findings


def _main_space(lost: FloodingCase | None, lift: Mass | None) -> list[Finding]:
    """That she founders with her main space flooded, which is said as what it is: true of nearly every small boat."""
    if lost is None:
        return []
    (space,) = lost.holed
    return [
        Finding(
            code="founders-by-main-space",
            severity="note",
            object=space,
            values={"space": space, "through": lost.through, "reason": lost.reason, "swamped": lift},
            source="lost-buoyancy",
        )
    ]


def _no_answer(layout: Layout, cases: Sequence[FloodingCase]) -> list[Finding]:
    """Spaces of which nobody can say what happens when they are holed, with the lids that their water comes to."""
    unknown = [
        case
        for case in cases
        if len(case.holed) == 1 and case.verdict == "unknown" and not case.estimated and case.reason.code not in SAID_OF_HER
    ]
    if not unknown:
        return []
    lids = tuple(shape.name for shape in layout.panels if shape.kind == "lid" and reached(layout, shape.name, unknown))
    return [
        Finding(
            code="flooding-no-answer",
            severity="warn" if lids else "note",
            object=unknown[0].holed[0],
            values={
                "holed": tuple(case.holed[0] for case in unknown),
                "lids": lids,
                "reasons": tuple(case.reason for case in unknown),
            },
        )
    ]


SAID_OF_HER = ("no-waterline-stated", "gravity-height-not-stated", "measured-forward-only")
"""Reasons that hold for every case and that findings about the boat give already."""


def _not_known(layout: Layout) -> Finding:
    return Finding(code="flooding-in-calm-water", severity="note", object=layout.scene.name)
