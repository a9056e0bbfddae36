"""The hull's place as it stands: her numbers, what is doubtful about them, and her lines."""

from __future__ import annotations

from cmath import phase
from collections.abc import Iterator
from math import degrees

from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.model.edits.hull_outlines import section_side
from sketcher.model.hull import Hull, with_heights_up
from sketcher.model.units import format_length
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.outputs.wording.sentences import message, words
from sketcher.web.logic.hull.hull_fields import part_rows, whole_rows
from sketcher.web.logic.hull.tracing import Tracing
from sketcher.web.logic.workspace import Workspace
from sketcher.web.typed_state import Doubt, HullState, TracedPicture
from sketcher.web.view.hull.hull_lines import hull_lines, lines_over_picture, section_curve

AXES = {"half-breadth": 1, "height": 2}
NO_PICTURE = "Choose a picture of her body plan: drawn, or photographed square on. It stays in this page, and is not saved."
MARKS = (
    "Click a point that you know, such as the foot of the centreline on the base line.",
    "Click another that you know, far from the first, such as a corner of the grid.",
)
FOOT = 0.3048
ALWAYS = ("deck", "transom", "measured")
"""Parts that every hull has."""


def hull_state(workspace: Workspace) -> HullState:
    """Everything that the hull's place shows."""
    work, judged = workspace.session.hull, workspace.judged_hull.last
    hull = work.hull
    current = judged if judged is not None and judged.hull == hull else None
    doubts = {} if judged is None else dict(doubts_of(judged.hull, hull, judged.findings))
    parts = (*ALWAYS, "coachroof", "cockpit", *(f"appendages.{item.name}" for item in hull.appendages))
    chosen = min(max(workspace.station, 1), max(len(hull.stations), 1))
    return HullState(
        hull=hull,
        file=work.file,
        refused=dict(work.refused),
        doubts=doubts,
        judged=current,
        whole=whole_rows(hull),
        parts={part: rows for part in parts if (rows := part_rows(hull, part))},
        chosen=chosen,
        lines=hull_lines(hull, None if current is None else current.form, chosen, frozenset(doubts)),
        traced=_traced(workspace, chosen),
    )


def _traced(workspace: Workspace, chosen: int) -> TracedPicture:
    """Her sections over the picture they are traced on, as it lies."""
    tracing, hull = workspace.tracing, with_heights_up(workspace.session.hull.hull)
    if tracing.size is None:
        return TracedPicture(NO_PICTURE, tuple(tracing.known), "")
    sections, points = [], []
    for number, station in enumerate(hull.stations, 1):
        side = section_side(hull, number)
        if not station.wholly_guessed or number == chosen:
            curve = section_curve(station, hull.between_points == "smooth") * (side, 1.0)
            sections.append((tracing.seen(hull, curve.tolist()), number == chosen))
        if number == chosen and not station.wholly_guessed:
            points = tracing.seen(hull, [(y * side, z) for y, z in station.points])
    shown = [(spots, worked_on) for spots, worked_on in sections if len(spots) > 1]
    return TracedPicture(
        _next(tracing, hull, chosen), tuple(tracing.known), lines_over_picture(tracing.size, shown, tracing.marks, points)
    )


def _next(tracing: Tracing, hull: Hull, chosen: int) -> str:
    """What is to be done next on the picture."""
    if len(tracing.marks) < 2:
        return MARKS[len(tracing.marks)]
    lies = tracing.lies(hull)
    if lies is None:
        return "Type how far to the right of the centreline, and how high, the two marked points are."
    word, length = ("foot", FOOT) if hull.units in ("in", "ft") else ("metre", 1.0)
    pixels, turned = length / abs(lies[0]), abs(degrees(phase(lies[0])))
    station = hull.stations[chosen - 1]
    begin = "" if not station.wholly_guessed else ", the first guess of it goes"
    where = f"station {chosen}, {length_with_unit(station.at, hull.units)} aft: click along it from the centreline up{begin}"
    return f"Tracing {where}. A {word} is {pixels:.0f} pixels; the picture is turned by {turned:.1f}°."


def doubts_of(judged: Hull, hull: Hull, findings: tuple[Finding, ...]) -> Iterator[tuple[str, Doubt]]:
    """What is probably wrong of the numbers that still stand as they were judged, each by the key of its field."""
    for finding in findings:
        at = finding.values.get("at")
        numbers = [k for k, station in enumerate(hull.stations, 1) if isinstance(at, Length) and station.at == at.metres]
        if not numbers:
            continue
        if finding.code == "station-distance":
            yield f"stations.{numbers[0]}.at", _doubt(finding, finding.values, hull.units)
        elif finding.code == "mistyped-number" and _stands(judged, hull, numbers[0], finding):
            for offer in finding.values["offers"]:  # type: ignore[union-attr]
                assert isinstance(offer, Phrase)
                axis = AXES[str(offer.values["coordinate"])]
                side = "port" if finding.values["to_port"] else "points"
                yield f"stations.{numbers[0]}.{side}.{finding.values['point']}.{axis}", _doubt(finding, offer.values, hull.units)


def _stands(judged: Hull, hull: Hull, number: int, finding: Finding) -> bool:
    """Whether the point that a finding is about is as it was."""
    at = hull.stations[number - 1].at
    was = next((station for station in judged.stations if station.at == at), None)
    now = hull.stations[number - 1]
    return was is not None and (was.points, was.to_port) == (now.points, now.to_port)


def _doubt(finding: Finding, values: object, units: str) -> Doubt:
    meant, misread = values["meant"], values["misread"]  # type: ignore[index]
    short = f"{words(misread, units)}?" if isinstance(misread, Phrase) else "likely"
    return Doubt(format_length(meant.metres, units), short, message(finding, units))
