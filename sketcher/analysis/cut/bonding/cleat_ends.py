"""How the ends of cleats are sawn: where one cleat meets the next, a panel or the skin, on the face that bears the board."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.cut.results import EndCut, Seam
from sketcher.geometry.mesh import Floats
from sketcher.geometry.vectors import cross

_MEETS = 0.003
"""[m] Ends of two runs nearer than this are at one corner of the board."""

_IN_LINE = 0.02
"""[1] Sine of the angle between two backs below which they are one surface: the cleats are butted square."""


@dataclass(frozen=True, slots=True)
class CleatEnd:
    """One end of a cleat's run. mitred: against a cleat that meets it there, and both are cut along one plane.

    Of the cut, side is measured on the face that bears the board, from the edge at the corner; face on the planed back.
    """

    cut: EndCut
    mitred: bool = False


@dataclass(frozen=True, slots=True)
class _Run:
    """A run as seen from one of its ends: along into it, inward into the board, out of the board's face, down its back."""

    to: str
    at: Floats
    along: Floats
    inward: Floats
    out: Floats
    back: Floats


def run_ends(seam: Seam, beside: Sequence[Seam], borne: Callable[[Seam], bool]) -> Iterator[tuple[CleatEnd, CleatEnd]]:
    """Both ends of each run of a seam. beside: all seams that it may meet; borne: whether a cleat lies along one of them."""
    if seam.outward is None:
        return
    near = [other for other in beside if (other.panel, other.face) == (seam.panel, seam.face) and other.outward is not None]
    others = [(end, borne(other)) for other in near for line in range(len(other.lines)) for end in _both(other, line)]
    for line in range(len(seam.lines)):
        first, last = _both(seam, line)
        yield _end(first, others), _end(last, others)


def _both(seam: Seam, line: int) -> tuple[_Run, _Run]:
    """A run from its first end and from its last."""
    points, corners = seam.lines[line], np.radians(seam.angles[line])
    return _run(seam, points, float(corners[0]), 1.0), _run(seam, points[::-1], float(corners[-1]), -1.0)


def _run(seam: Seam, points: Floats, corner: float, way: float) -> _Run:
    assert seam.outward is not None
    along = points[1] - points[0]
    along = along / np.linalg.norm(along)
    inward = way * cross(seam.outward, along)
    back = np.cos(corner) * inward + np.sin(corner) * seam.outward
    return _Run(seam.to, points[0], along, inward, seam.outward, back)


def _end(run: _Run, others: Sequence[tuple[_Run, bool]]) -> CleatEnd:
    """How a run is cut at the corner where it meets another; square where it meets none or goes on in line."""
    met = [
        (other, borne)
        for other, borne in others
        if np.linalg.norm(other.at - run.at) < _MEETS and not np.allclose(other.along, run.along, atol=1e-6)
    ]
    if not met:
        return CleatEnd(EndCut(place=None, side=90.0, face=90.0, tilt=90.0))
    other, borne = min(met, key=lambda each: float(np.linalg.norm(each[0].at - run.at)))
    arris = cross(cross(run.along, run.back), cross(other.along, other.back))
    if np.linalg.norm(arris) < _IN_LINE:
        return CleatEnd(EndCut(place=other.to, side=90.0, face=90.0, tilt=90.0), mitred=borne)
    across = run.along + other.along if borne else other.along
    return CleatEnd(_cut(run, other.to, across, arris), mitred=borne)


def _cut(run: _Run, place: str, across: Floats, arris: Floats) -> EndCut:
    """The angles of a cut through a line on the board's face and the line in which two backs meet."""
    across = across / np.linalg.norm(across) * (np.sign(across @ run.inward) or 1.0)
    arris = arris / np.linalg.norm(arris) * (np.sign(arris @ run.out) or 1.0)
    into, up = (way - (way @ across) * across for way in (run.along, arris))
    return EndCut(place=place, side=_between(run.along, across), face=_between(run.along, arris), tilt=_between(into, up))


def _between(one: Floats, two: Floats) -> float:
    """The angle [deg] between two ways."""
    return float(np.degrees(np.arccos(np.clip(one @ two / (np.linalg.norm(one) * np.linalg.norm(two)), -1.0, 1.0))))
