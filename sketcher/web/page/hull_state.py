"""The hull's place as it stands: her numbers, what is doubtful about them, and her lines."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.model.hull import Hull
from sketcher.model.units import format_length
from sketcher.outputs.wording.sentences import message, words
from sketcher.web.logic.hull.hull_fields import part_rows, whole_rows
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import Doubt, HullState
from sketcher.web.view.hull_lines import hull_lines

AXES = {"half-breadth": 1, "height": 2}
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
    )


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
                yield f"stations.{numbers[0]}.points.{finding.values['point']}.{axis}", _doubt(finding, offer.values, hull.units)


def _stands(judged: Hull, hull: Hull, number: int, finding: Finding) -> bool:
    """Whether the point that a finding is about is as it was."""
    at = hull.stations[number - 1].at
    was = next((station for station in judged.stations if station.at == at), None)
    return was is not None and was.points == hull.stations[number - 1].points


def _doubt(finding: Finding, values: object, units: str) -> Doubt:
    meant, misread = values["meant"], values["misread"]  # type: ignore[index]
    short = f"{words(misread, units)}?" if isinstance(misread, Phrase) else "likely"
    return Doubt(format_length(meant.metres, units), short, message(finding, units))
