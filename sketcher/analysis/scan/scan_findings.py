"""What an owner must know of a hull made from a scan."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.analysis.findings import Finding, Length, Phrase, Share
from sketcher.analysis.scan.scanned_hull import ScannedHull


def scan_findings(scanned: ScannedHull) -> tuple[Finding, ...]:
    """How she was turned, what of that is doubtful, and where nothing was seen.

    `scan-lopsided` and `scan-ends-alike` [warn], `scan-hole` [warn], `scan-level` [warn where her length was taken as level,
    else note], `scan-points` [note].
    """
    return (*_doubts(scanned), *_holes(scanned), _level(scanned), _points(scanned))


def _doubts(scanned: ScannedHull) -> Iterator[Finding]:
    name, attitude = scanned.hull.name, scanned.attitude
    if scanned.doubtful:
        yield Finding(code="scan-lopsided", severity="warn", object=name, values={"share": Share(attitude.share)})
    if not attitude.sure_of_bow:
        yield Finding(code="scan-ends-alike", severity="warn", object=name, values={})


def _level(scanned: ScannedHull) -> Finding:
    guessed = scanned.attitude.level == "her length"
    return Finding(
        code="scan-level",
        severity="warn" if guessed else "note",
        object=scanned.hull.name,
        values={"level": Phrase(scanned.attitude.level.replace(" ", "-")), "guessed": guessed},
    )


def _points(scanned: ScannedHull) -> Finding:
    return Finding(
        code="scan-points",
        severity="note",
        object=scanned.hull.name,
        values={
            "of": scanned.of,
            "share": Share(scanned.used / scanned.of),
            "noise": Length(scanned.noise),
            "length": Length(scanned.length),
            "face": scanned.face,
            "transom": scanned.transom,
            "open_aft": scanned.hull.open_aft,
        },
    )


def _holes(scanned: ScannedHull) -> Iterator[Finding]:
    for hole in scanned.holes:
        yield Finding(
            code="scan-hole",
            severity="warn",
            object=scanned.hull.name,
            values={
                "start": Length(hole.start),
                "end": Length(hole.end),
                "bottom": None if hole.bottom is None else Length(hole.bottom),
                "top": None if hole.top is None else Length(hole.top),
            },
        )
