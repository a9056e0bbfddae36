"""Scans made of the demo hulls: points on a face of the shell with noise, strays, patches that were not seen, and furniture."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
import trimesh
from places import HULLS

from sketcher.analysis.hull.form import SKIN, HullForm, form_hull
from sketcher.analysis.scan.scanned_hull import ScannedHull
from sketcher.geometry.mesh import Flags, Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip
from sketcher.model.files.hull_file import read_hull
from sketcher.model.hull import Deck, Hull

NOISE, STRAYS = 0.005, 0.10
"""[m] one standard deviation of a point's place, and the share of points that lie anywhere."""

Box = tuple[tuple[float, float], tuple[float, float], float]
BOXES: tuple[Box, ...] = (((0.30, 0.42), (0.0, 0.30), 0.25), ((0.55, 0.72), (0.45, 3.0), 0.45))
"""Furniture: from and to along her [share of her length], off centre to starboard [m], and its top over her lowest place [m]."""
Patch = tuple[float, float, float, float]
PATCHES: tuple[Patch, ...] = ((0.25, -0.6, 0.30, 0.20), (0.50, 0.3, 0.10, 0.15), (0.80, 0.7, 0.45, 0.20))
"""What was not seen: spheres about [share of length, off centre, height over the lowest place, radius]."""
FRAMES, FRAME_SIDE = 0.5, 0.035
"""[m] every so far a frame stands on the skin, so wide and deep."""


@dataclass(frozen=True)
class Scan:
    """points: (n, 3) [m] in the scanner's axes; places: the same in the boat's; turn, shift: points = places @ turn.T + shift."""

    points: Floats
    turn: Floats
    shift: Floats
    form: HullForm

    def home(self, points: Floats) -> Floats:
        """Points of the scanner's axes in the boat's."""
        return (points - self.shift) @ self.turn


@dataclass(frozen=True)
class Off:
    """How far places are off [mm]: the median, 95 of 100, the most."""

    median: float
    most_of: float
    most: float


@dataclass(frozen=True)
class Compared:
    """A scanned hull against the one that was scanned; volume: share by which it is off, knuckles: along her inner half.

    share_of_knuckles: of the stations at which the hull has a knuckle, how many have it marked.
    """

    sections: Off
    volume: float
    knuckles: Off
    knuckles_there: int
    share_of_knuckles: float


def compared(scanned: ScannedHull, scan: Scan) -> Compared:
    """How far a scanned hull's stations, volume and knuckles are off those of the hull that was scanned."""
    hull, form = scanned.hull, scan.form
    places, marked = _places_of(scanned, scan)
    mesh = trimesh.Trimesh(form.inside.vertices, form.inside.triangles, process=False)
    off = 1000.0 * trimesh.proximity.closest_point(mesh, np.concatenate(places))[1]
    lines = knuckle_lines(form)
    there, seen, apart = 0, 0, []
    for station, corners in zip(places, marked, strict=True):
        x = float(station[:, 0].mean())
        for line in lines:
            if line[0, 0] < x < line[-1, 0]:
                there += 1
                near = [1000.0 * _off_line(corner, line) for corner in corners]
                if near and min(near) < 60.0:
                    seen += 1
                    apart.append(min(near))
    last = hull.stations[-1].at - 1e-3
    made = form_hull(hull).inside
    end = scan.home((np.array([[last, 0.0, 0.3]])) @ scanned.attitude.axes + scanned.attitude.origin)[0, 0]
    true_volume = form.inside.volume if not hull.open_aft else clip(form.inside, Plane(np.array([1.0, 0.0, 0.0]), end)).volume
    volume = made.volume if not hull.open_aft else clip(made, Plane(np.array([1.0, 0.0, 0.0]), last)).volume
    return Compared(_off(off), volume / true_volume - 1.0, _off(np.array(apart or [0.0])), there, seen / max(there, 1))


def _off_line(corner: Floats, line: Floats) -> float:
    """How far a corner (3,) of either side is off a line (n, 3), in its own section."""
    true = [np.interp(corner[0], line[:, 0], line[:, k]) for k in (1, 2)]
    return float(np.hypot(abs(corner[1]) - true[0], corner[2] - true[1]))


def knuckle_lines(form: HullForm) -> list[Floats]:
    """Lines (n, 3) of the loft along the knuckles that most stations mark, from the first that has them all to the last."""
    most = max(len(station.knuckles) for station in form.hull.stations)
    having = [station for station in form.hull.stations if len(station.knuckles) == most]
    middle = having[len(having) // 2]
    column = int(np.argmin(np.abs(form.lines[:, 0, 0] - middle.at)))
    found = []
    for knuckle in middle.knuckles:
        row = int(np.argmin(np.linalg.norm(form.lines[column, :, 1:] - middle.points[knuckle - 1], axis=1)))
        line = form.lines[:, row]
        found.append(line[(line[:, 0] >= having[0].at) & (line[:, 0] <= having[-1].at)])
    return found


def sheer_off(scanned: ScannedHull, scan: Scan) -> Floats:
    """How far (n,) [m] each station's upper end lies above the sheer of the hull that was scanned."""
    tops = np.array([station[-1] for station in _places_of(scanned, scan)[0]])
    return np.asarray(tops[:, 2] - np.interp(tops[:, 0], scan.form.sheer[:, 0], scan.form.sheer[:, 2]))


def _places_of(scanned: ScannedHull, scan: Scan) -> tuple[list[Floats], list[Floats]]:
    """The points of each station, and its knuckles, in the axes of the hull that was scanned."""
    places, marked = [], []
    for number, station in enumerate(scanned.hull.stations, 1):
        rake = scanned.hull.transom_rake if number == len(scanned.hull.stations) else 0.0
        lean = np.tan(np.radians(rake))
        aboard = np.array([(station.at + lean * (z - station.points[0][1]), y, z) for y, z in station.points])
        home = scan.home(aboard @ scanned.attitude.axes + scanned.attitude.origin)
        places.append(home)
        marked.append(home[[knuckle - 1 for knuckle in station.knuckles]])
    return places, marked


def _off(values: Floats) -> Off:
    median, most_of = np.quantile(values, [0.5, 0.95])
    return Off(float(median), float(most_of), float(values.max()))


def bare(name: str) -> Hull:
    """A demo hull without deck, coachroof, cockpit or shell: the face that was measured and nothing else."""
    hull = read_hull(HULLS / f"{name}.yaml")
    return replace(hull, shell=0.0, deck=Deck(), coachroof=None, cockpit=None, appendages=(), twin_spacing=None)


def scan_of(
    name: str, count: int, seed: int = 1, inside: bool = True, turned: str = "any", unseen: tuple[Patch, ...] = PATCHES
) -> Scan:
    """A scan of a demo hull. inside: with frames and furniture on its skin, as seen from within; else the bare skin.

    turned: "any" way, "plumb" (turned about an upright axis, as telephones save it) or "not". unseen: patches.
    """
    rng = np.random.default_rng(seed)
    form = form_hull(bare(name), resolution=2.0)
    points, normals = _on_skin(form, count, rng)
    low, high = points.min(axis=0), points.max(axis=0)
    if inside:
        framed = np.abs((points[:, 0] + FRAMES / 2) % FRAMES - FRAMES / 2) < FRAME_SIDE / 2
        points[framed] -= FRAME_SIDE * normals[framed]
        for box in BOXES:
            points = _with_box(form, points, box, rng)
    for share, y, z, radius in unseen:
        middle = _nearest(points, (low[0] + share * (high[0] - low[0]), y, low[2] + z))
        points = points[np.linalg.norm(points - middle, axis=1) > radius]
    points = points + rng.normal(0.0, NOISE, points.shape)
    size = high - low
    wild = rng.uniform(low - 0.15 * size, high + 0.15 * size, (round(len(points) * STRAYS / (1.0 - STRAYS)), 3))
    points = rng.permutation(np.concatenate([points, wild]))
    turn, shift = {"any": _turn, "plumb": _about_plumb, "not": lambda _: np.eye(3)}[turned](rng), rng.uniform(-3.0, 3.0, 3)
    shift = shift if turned != "not" else np.zeros(3)
    return Scan(points @ turn.T + shift, turn, shift, form)


def _turn(rng: np.random.Generator) -> Floats:
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    return turn * np.sign(np.linalg.det(turn))


def _about_plumb(rng: np.random.Generator) -> Floats:
    cos, sin = np.cos(angle := rng.uniform(0.0, 2.0 * np.pi)), np.sin(angle)
    return np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])


def _on_skin(form: HullForm, count: int, rng: np.random.Generator) -> tuple[Floats, Floats]:
    mesh = form.inside
    a, b, c = mesh.vertices[mesh.triangles[mesh.labels == SKIN].T]
    cross = np.cross(b - a, c - a)
    area = np.linalg.norm(cross, axis=1)
    which = rng.choice(len(a), count, p=area / area.sum())
    u, v = rng.random((2, count, 1))
    u, v = np.where(u + v > 1.0, 1.0 - u, u), np.where(u + v > 1.0, 1.0 - v, v)
    return a[which] + u * (b - a)[which] + v * (c - a)[which], (cross / area[:, None])[which]


def _with_box(form: HullForm, points: Floats, box: Box, rng: np.random.Generator) -> Floats:
    """Points with a box standing on the skin: what it hides is gone, and its top, front and ends are there."""
    (start, end), (near, far), top = box
    low, high = points.min(axis=0), points.max(axis=0)
    x0, x1 = low[0] + np.array([start, end]) * (high[0] - low[0])
    z1 = low[2] + top
    area = _skin_area(form)
    density = len(points) / area
    kept = points[
        ~((points[:, 0] > x0) & (points[:, 0] < x1) & (points[:, 1] > near) & (points[:, 1] < far) & (points[:, 2] < z1))
    ]
    faces = [
        ((x0, x1), (near, min(far, 3.0)), (z1, z1)),
        ((x0, x1), (near, near), (low[2], z1)),
        ((x0, x0), (near, min(far, 3.0)), (low[2], z1)),
        ((x1, x1), (near, min(far, 3.0)), (low[2], z1)),
    ]
    made = []
    for sides in faces:
        spans = [b - a for a, b in sides]
        size = float(np.prod([span for span in spans if span > 0.0]))
        made.append(rng.uniform([a for a, _ in sides], [b for _, b in sides], (int(density * size), 3)))
    box_points = np.concatenate(made)
    return np.concatenate([kept, box_points[_within(form, box_points)]])


def _within(form: HullForm, points: Floats) -> Flags:
    """Whether points lie inside, by the sections of the loft's grid on both sides of each."""
    columns = form.lines[:, 0, 0]
    column = np.searchsorted(columns, points[:, 0])
    inside = np.zeros(len(points), dtype=bool)
    for k in np.unique(column[(column > 0) & (column < len(columns))]):
        line = form.lines[k, :, 1:]
        outline = shapely.Polygon(np.vstack([line, [[0.0, line[-1, 1]]]]))
        here = column == k
        inside[here] = shapely.contains_xy(outline.buffer(0), np.abs(points[here, 1]), points[here, 2])
    return inside


def _skin_area(form: HullForm) -> float:
    mesh = form.inside
    a, b, c = mesh.vertices[mesh.triangles[mesh.labels == SKIN].T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2.0


def _nearest(points: Floats, place: tuple[float, float, float]) -> Floats:
    return points[int(np.argmin(np.linalg.norm(points - np.array(place), axis=1)))]
