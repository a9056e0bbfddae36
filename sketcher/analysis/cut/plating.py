"""The shell's strakes laid flat: which of them are developable, and their patterns where they are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.boards.mass import has_grain, stock_for, surface_density
from sketcher.analysis.cut.results import Mark, Pattern
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.hull.standing import levelled
from sketcher.analysis.hull.transom import curved_end, laid_flat
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.surface.unroll import Unrolled, surface_normals, unrolled
from sketcher.geometry.tolerances import DEVELOPABLE
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Scene

_COLUMNS, _ROWS = 60, 7
"""Lines across and along a strake that are laid flat: with more, no demo boat's strake comes out 0.2 mm otherwise."""

_NO_WIDTH = 0.005
"""[m] A strake begins where it is wider than a saw's kerf and the eased corners beside it."""

_INSIDE = 1e-4
"""[m] The transom is looked at so far inside its face, where the hull's end is sure to be cut."""

_NOWHERE = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
"""A strake laid flat lies in no plane of the boat."""


@dataclass(frozen=True, eq=False)
class Strake:
    """The skin between two knuckle lines, keel and sheer being the outermost, on the middle of the plating's thickness.

    number: from the keel, 1 the first; hands: the sides it is on; laid: flat, aft to the right and up at the top; stations: [m]
    aft with its place among the columns of `laid`; first: where it begins [m aft].
    """

    number: int
    laid: Unrolled
    stations: tuple[tuple[float, int], ...]
    first: float
    hands: tuple[str, ...] = ("port", "starboard")

    @property
    def name(self) -> str:
        """What it is called."""
        return f"strake {self.number}" if len(self.hands) > 1 else f"strake {self.number}, {self.hands[0]}"

    @property
    def developable(self) -> bool:
        """Whether it lies flat with all its lines right to `DEVELOPABLE`."""
        return self.laid.miss <= DEVELOPABLE


def strakes(form: HullForm) -> tuple[Strake, ...]:
    """The strakes from the keel up; where her sides were measured apart first starboard's, then port's."""
    if form.image is not None:
        one, image = (replace(side, image=None) for side in (form, form.image))
        return tuple(
            replace(strake, hands=(hand,)) for side, hand in ((one, "starboard"), (image, "port")) for strake in strakes(side)
        )
    knuckles = knuckle_rows(form)
    return tuple(_strake(form, number, a, b) for number, (a, b) in enumerate(pairwise(knuckles), 1))


def knuckle_rows(form: HullForm) -> list[int]:
    """The rows of the loft's grid along which a knuckle runs, and both its edges."""
    stations = form.own.stations
    columns = form.station_columns[len(form.station_columns) - len(stations) - bool(form.hull.stern) :]
    rows = {0, form.lines.shape[1] - 1}
    for station, column in zip(stations, columns, strict=False):
        for knuckle in station.knuckles:
            off = form.lines[column] - levelled(form.own, [(station.at, *station.points[knuckle - 1])])
            rows.add(int(np.argmin(np.linalg.norm(off[:, 1:], axis=1))))
    return sorted(rows)


def _strake(form: HullForm, number: int, low: int, high: int) -> Strake:
    patch = form.lines[:, low : high + 1]
    wide = np.flatnonzero(np.linalg.norm(patch[:, -1] - patch[:, 0], axis=1) > _NO_WIDTH)
    patch = patch[wide[0] :]
    at_stations = [column - int(wide[0]) for column in form.station_columns if column >= wide[0]]
    even = np.linspace(0, len(patch) - 1, _COLUMNS).round().astype(int).tolist()
    columns = sorted({*even, *at_stations})
    grid = at_rows(patch[columns], np.linspace(0, high - low, _ROWS))
    # Aft across up looks inboard; plating bends about the middle of its thickness.
    outward = 0.5 if form.hull.offsets_to == "inside" else -0.5
    grid = grid - surface_normals(grid) * (outward * form.hull.shell)
    places = tuple((float(patch[c, :, 0].mean()), columns.index(c)) for c in at_stations)
    return Strake(number, unrolled(grid), places, float(patch[0, :, 0].min()))


def at_rows(patch: Floats, rows: Floats) -> Floats:
    """A grid at places among its rows: on them where it has enough, else between them too, where it is straight."""
    if patch.shape[1] >= len(rows):
        return patch[:, rows.round().astype(int)]
    below = np.minimum(rows.astype(int), patch.shape[1] - 2)
    share = (rows - below)[:, None]
    between: Floats = patch[:, below] * (1.0 - share) + patch[:, below + 1] * share
    return between


def plating_patterns(scene: Scene, found: tuple[Strake, ...]) -> tuple[Pattern, ...]:
    """Each developable strake as two boards, port and starboard, its outer face drawn."""
    return tuple(_pattern(scene, strake, hand) for strake in found if strake.developable for hand in strake.hands)


def _pattern(scene: Scene, strake: Strake, hand: str) -> Pattern:
    """Seen from outside, aft is right on the port side and left to starboard."""
    width = float(strake.laid.flat[..., 0].max())

    def turn(flat: Floats) -> Floats:
        return flat if hand == "port" else flat * np.array([-1.0, 1.0]) + np.array([width, 0.0])

    lines = [(Phrase("station-mark", {"at": Length(at)}), turn(strake.laid.flat[column])) for at, column in strake.stations]
    return _plate(
        scene,
        f"strake {strake.number}, {hand}",
        shapely.Polygon(turn(strake.laid.outline)).buffer(0),
        Phrase("drawn-face-looks", {"looks": "outboard", "right": "aft" if hand == "port" else "forward"}),
        Phrase("strake-laid-flat", {"miss": Length(strake.laid.miss)}),
        hand=hand,
        marks=tuple(Mark(kind="station line", line=line, says=says) for says, line in lines),
    )


def transom_pattern(scene: Scene, form: HullForm) -> Pattern | None:
    """A hull's flat after end in its true shape, to the outside of shell and deck; None where it has none."""
    hull, last = form.hull, form.lines[-1]
    if hull.stern or hull.open_aft or float(np.ptp(last[:, 1])) < _NO_WIDTH:
        return None
    rake = np.radians(hull.transom_rake + form.own.measured_trim)
    up, low = np.array([np.sin(rake), 0.0, np.cos(rake)]), last[int(np.argmin(last[:, 2]))] * [1.0, 0.0, 1.0]
    aft = np.array([np.cos(rake), 0.0, -np.sin(rake)])
    frame = Frame(triple(low - aft * _INSIDE), (0.0, 1.0, 0.0), triple(up))
    bent = curved_end(form.own, last[0])
    if bent is None:
        area = largest(section(form.outside, frame))
    else:
        area = laid_flat(form.outside, bent.moved(hull.shell if hull.offsets_to == "inside" else 0.0), hull.shell)
    if area.is_empty:
        return None
    south = area.bounds[1]
    area = shapely.transform(area, lambda flat: flat - [0.0, south])
    middle = shapely.get_coordinates(shapely.intersection(area, shapely.LineString([[0.0, -1.0], [0.0, area.bounds[3] + 1.0]])))
    return _plate(
        scene,
        "transom",
        area,
        Phrase("drawn-face-looks", {"looks": "aft", "right": "starboard"}),
        Phrase("transom-true-shape", {"radius": None if bent is None else Length(bent.radius)}),
        marks=(Mark(kind="centreline", line=middle, says=Phrase("centreline-mark")),),
    )


def _plate(
    scene: Scene,
    name: str,
    area: shapely.Polygon,
    forward: Phrase,
    note: Phrase,
    *,
    hand: str = "",
    marks: tuple[Mark, ...] = (),
) -> Pattern:
    """A plate of the shell's thickness, its outer face drawn, both faces alike; its grain along it."""
    thickness = scene.hull.shell
    sheet = stock_for(scene, thickness, None)
    density = surface_density(scene, thickness, sheet.material if sheet else None)
    named, checks = corners_and_diagonals(area)
    return Pattern(
        name=name,
        panel=name,
        kind="plating",
        thickness=thickness,
        frame=_NOWHERE,
        drawn_face="outer",
        other_face="inner",
        outline=area,
        other_outline=area,
        blank=area,
        up=Phrase("top-is-up"),
        forward=forward,
        area=area.area,
        mass=None if density is None else density * area.area,
        material=sheet.material if sheet else None,
        hand=hand,
        marks=marks,
        corners=named,
        diagonals=checks,
        grain=(1.0, 0.0) if has_grain(scene, thickness, sheet.material if sheet else None) else None,
        notes=(note,),
    )


def plating_findings(found: tuple[Strake, ...]) -> Iterator[Finding]:
    """Strakes that do not lie flat, and by how much."""
    for strake in found:
        if not strake.developable:
            yield Finding(
                code="strake-not-developable",
                severity="note",
                object=strake.name,
                values={"strake": strake.number, "miss": Length(strake.laid.miss), "sprung": Length(DEVELOPABLE)},
                measured=strake.laid.miss,
                limit=DEVELOPABLE,
            )
