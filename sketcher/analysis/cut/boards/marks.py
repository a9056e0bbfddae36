"""Lines to draw on a board: centreline, waterline, a level line, a station, and where other panels land on it."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.analysis.cut.outlines import clip_lines
from sketcher.analysis.cut.results import Mark, MarkKind
from sketcher.analysis.findings import Length, Phrase
from sketcher.analysis.results import PanelShape, WaterPlane
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import HOLE_AREA, INTO_NEIGHBOUR

_LEVELS, _LEVELS_IN_INCHES = 0.050, 0.0508
"""[m] Level lines and stations are drawn at whole steps of the owner's tape, as they are found again in the boat."""

_FAR = 1e3


def datum_marks(kind: str, frame: Frame, blank: shapely.Geometry, water: WaterPlane | None, units: str) -> tuple[Mark, ...]:
    """Centreline, waterline and one line that is level, or lies square across the boat, where they cross the board.

    units: that the boat is measured in.
    """
    marks = _plane_marks("centreline", Phrase("centreline-mark"), frame, blank, Plane.of((0.0, 1.0, 0.0), 0.0))
    if water is not None:
        marks += _plane_marks("waterline", Phrase("waterline-mark"), frame, blank, water.plane)
    step = _LEVELS_IN_INCHES if units in ("in", "ft") else _LEVELS
    middle = frame.space(np.array([[(blank.bounds[0] + blank.bounds[2]) / 2, (blank.bounds[1] + blank.bounds[3]) / 2]]))[0]
    if kind == "lid":
        at = round(float(middle[0]) / step) * step
        marks += _plane_marks("station line", _at("station-mark", at), frame, blank, Plane.of((1.0, 0.0, 0.0), at))
    else:
        at = round(float(middle[2]) / step) * step
        marks += _plane_marks("level line", _at("level-mark", at), frame, blank, Plane.level(at))
    return tuple(marks)


def _at(code: str, place: float) -> Phrase:
    return Phrase(code, {"at": Length(place)})


def _plane_marks(kind: MarkKind, says: Phrase, frame: Frame, blank: shapely.Geometry, plane: Plane) -> list[Mark]:
    """The line in which a plane crosses the board; none where the board lies along it."""
    across, beyond = frame.line(plane)
    size = float(np.hypot(*across))
    if size < 0.1:
        return []
    across /= size
    foot = across * beyond / size
    along = np.array([-across[1], across[0]]) * _FAR
    line = shapely.intersection(shapely.LineString([foot - along, foot + along]), blank)
    return [Mark(kind=kind, line=np.asarray(part.coords), says=says) for part in _lines(line)]


def _lines(found: shapely.Geometry) -> list[shapely.LineString]:
    return [part for part in shapely.get_parts(found).tolist() if part.geom_type == "LineString" and part.length > 0.01]


def landing_marks(
    shape: PanelShape,
    shapes: tuple[PanelShape, ...],
    frame: Frame,
    net: shapely.Geometry,
    other_frame: Frame,
    faces: tuple[str, str],
) -> tuple[Mark, ...]:
    """Where other panels end against this one: on the drawn face, and on the other, which the mark then says.

    frame, other_frame: of the two faces, both with the drawn face's axes; faces: their names.
    """
    marks: list[Mark] = []
    outward = frame.normal
    for face, name, inward in ((frame, faces[0], -1.0), (other_frame, faces[1], 1.0)):
        origin = np.array(face.origin) + outward * inward * INTO_NEIGHBOUR / 2
        just_inside = Frame((float(origin[0]), float(origin[1]), float(origin[2])), face.u, face.v)
        for other in shapes:
            if other.name == shape.name or not _near(shape, other):
                continue
            for run in other.convex:
                area = shapely.intersection(clip_lines(run, just_inside, thick=True), net)
                if area.is_empty or area.area < HOLE_AREA:
                    continue
                says = Phrase("landing-mark", {"panel": other.name, "face": None if name == faces[0] else name})
                for part in shapely.get_parts(area).tolist():
                    if part.geom_type == "Polygon":
                        ring = np.asarray(part.exterior.coords)
                        marks.append(Mark(kind="touches", line=ring, says=says, panel=other.name))
    return tuple(marks)


def _near(shape: PanelShape, other: PanelShape) -> bool:
    low, high = shape.mesh.bounds
    return bool((other.mesh.bounds[0] <= high).all() and (other.mesh.bounds[1] >= low).all())
