"""The skin of a hull with knuckles in plates of card: each strake between its knuckle lines, in lengths that lie flat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from sketcher.analysis.cut.card.parts import CardMark, CardPart, CurvedSheet, ModelScale
from sketcher.analysis.cut.plating import at_rows, knuckle_rows
from sketcher.analysis.hull.form import SKIN, HullForm
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.cut_edges import cut_edges
from sketcher.geometry.solid.near_plane import around_plane
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.surface.unroll import Unrolled, surface_normals, unrolled

SPRUNG = 0.5
"""[mm of paper] Card gives by so much: a plate whose lines miss by no more lies on the hull."""

THIN_SHELL = 0.3
"""[mm of paper] Where the outer face was measured the shell must be no thicker, for strakes of card follow the measured face."""

_COLUMNS, _ROWS = 48, 7
"""Lines across a plate and along it."""

_LEAST_LINES = 97
"""Lines across a strake, among which it is cut in lengths."""

_NO_WIDTH = 0.5
"""[mm of paper] A strake begins where it is wider than this."""

_NEAR = 1.5
"""[card's thicknesses] An edge so near to the skin is on it: cut square, it stands off by what its bevel would have been."""

_ASKEW = 0.5
"""[1] Sine of the angle to the skin above which an edge does not run along it."""

_MOST_PLATES = 12
"""A strake in more plates than this is no strake of card."""

_NOWHERE = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def shell_plates(
    form: HullForm, of: ModelScale, room: tuple[float, float]
) -> tuple[tuple[tuple[CardPart, ...], ...], float] | None:
    """The plates of the starboard side, strake by strake from the keel and each from forward, and the most that one misses by.

    room [mm of paper]: what a plate must lie in. None where the hull has no knuckles, or is not developable to `SPRUNG`.
    """
    knuckles = knuckle_rows(form)
    if len(knuckles) < 3 or (form.hull.offsets_to == "outside" and of.paper(form.hull.shell) > THIN_SHELL):
        return None
    found, worst = [], 0.0
    for number, (low, high) in enumerate(pairwise(knuckles), 1):
        plates = _strake(form, of, room, number, low, high)
        if plates is None:
            return None
        found.append(plates)
        worst = max(worst, *(plate.curved.miss for plate in plates if plate.curved is not None))
    return tuple(found), worst


def _strake(
    form: HullForm, of: ModelScale, room: tuple[float, float], number: int, low: int, high: int
) -> tuple[CardPart, ...] | None:
    """One strake in as few plates as lie flat in the room; None where too many would be needed."""
    patch = form.lines[:, low : high + 1]
    wide = np.flatnonzero(np.linalg.norm(patch[:, -1] - patch[:, 0], axis=1) > of.full(_NO_WIDTH))
    patch = _closer(patch[wide[0] :], (high - low) // 2)
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(patch[:, (high - low) // 2], axis=0), axis=1))])
    first = max(1, int(np.ceil(of.paper(run[-1]) / max(room))))
    for count in range(first, _MOST_PLATES + 1):
        ends = np.searchsorted(run, np.linspace(0.0, run[-1], count + 1)[1:-1])
        cuts = [0, *ends.tolist(), len(patch) - 1]
        if min(np.diff(cuts)) < 2:
            return None
        plates = [_plate(patch[a : b + 1], of) for a, b in pairwise(cuts)]
        if all(of.paper(laid.miss) <= SPRUNG and _within(laid.flat, of, room) for laid, _ in plates):
            return tuple(_part(number, k, count, *plate) for k, plate in enumerate(plates, 1))
    return None


def _closer(patch: Floats, row: int) -> Floats:
    """The same facets with so many more lines across that a strake can be cut anywhere: straight hulls have few."""
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(patch[:, row], axis=0), axis=1))])
    at = np.union1d(run, np.linspace(0.0, run[-1], _LEAST_LINES))
    flat = patch.reshape(len(patch), -1)
    return np.stack([np.interp(at, run, column) for column in flat.T], axis=1).reshape(len(at), *patch.shape[1:])


def _plate(patch: Floats, of: ModelScale) -> tuple[Unrolled, Floats]:
    """A stretch of a strake laid flat on the middle of its card, whose inner face is on the skin's inside; and its grid."""
    columns = np.unique(np.linspace(0, len(patch) - 1, _COLUMNS).round().astype(int))
    grid = at_rows(patch[columns], np.linspace(0, patch.shape[1] - 1, _ROWS))
    # Aft across up looks inboard.
    grid = grid - surface_normals(grid) * (of.thickness / 2)
    return unrolled(grid), grid


def _within(flat: Floats, of: ModelScale, room: tuple[float, float]) -> bool:
    size = sorted(of.paper(float(side)) for side in np.ptp(flat.reshape(-1, 2), axis=0))
    return all(side <= most for side, most in zip(size, sorted(room), strict=True))


def _part(number: int, k: int, count: int, laid: Unrolled, grid: Floats) -> CardPart:
    name = f"strake {number}, starboard" if count == 1 else f"strake {number}.{k}, starboard"
    sheet = CurvedSheet(flat=laid.flat, middle=grid, normals=-surface_normals(grid), miss=laid.miss)
    return CardPart(name=name, kind="strake", frame=_NOWHERE, outline=_outline(laid.flat), of=f"strake {number}", curved=sheet)


def _outline(flat: Floats) -> shapely.Polygon:
    edge = np.concatenate([flat[:-1, 0], flat[-1, :-1], flat[:0:-1, -1], flat[0, :0:-1]])
    whole: shapely.Polygon = shapely.Polygon(edge).buffer(0)
    return whole


def mirrored_plate(part: CardPart) -> CardPart:
    """The same plate on the port side; its inner face is drawn, so that it is turned over."""
    assert part.curved is not None
    sheet, over = part.curved, np.array([1.0, -1.0, 1.0])
    # Aft stays its first way, so that up and aft look inboard the other way: forward is right on paper.
    flat = sheet.flat * [-1.0, 1.0] + [float(sheet.flat[..., 0].max()), 0.0]
    own = CurvedSheet(flat=flat, middle=sheet.middle * over, normals=sheet.normals * over, miss=sheet.miss)
    return CardPart(
        name=part.name.replace("starboard", "port"),
        kind="strake",
        frame=part.frame,
        outline=_outline(flat),
        of=part.of,
        curved=own,
    )


def on_skin(part: CardPart, line: Floats, form: HullForm, of: ModelScale) -> tuple[NDArray[np.bool_], Floats]:
    """Which points (n, 2) along a flat part's edge lie on the skin, and its normals (n, 3) there, out of the boat.

    Where another edge comes to the skin its own points are near, but it does not run along it.
    """
    cut = cut_edges(around_plane(form.inside, part.frame, 0.0), part.frame)
    if not len(cut.labels):
        return np.zeros(len(line), dtype=bool), np.zeros((len(line), 3))
    tree = shapely.STRtree(shapely.linestrings(np.stack([cut.starts, cut.ends], axis=1)))
    found, off = tree.query_nearest(shapely.points(line), all_matches=False, return_distance=True)
    facing = cut.start_normals + cut.end_normals
    facing /= np.linalg.norm(facing, axis=1, keepdims=True)
    facing = facing[found[1]]
    way, square = np.gradient(line, axis=0), facing @ np.array([part.frame.u, part.frame.v]).T
    sizes = np.linalg.norm(way, axis=1) * np.linalg.norm(square, axis=1)
    along = np.abs(np.einsum("ij,ij->i", way, square)) <= _ASKEW * sizes
    return (off < _NEAR * of.thickness) & (cut.labels[found[1]] == SKIN) & along, facing


def with_landings(plate: CardPart, panels: Sequence[CardPart]) -> Iterator[CardMark]:
    """Lines on a plate where flat parts meet it."""
    assert plate.curved is not None
    sheet = plate.curved
    for panel in panels:
        height = (sheet.middle - np.array(panel.frame.origin)) @ panel.frame.normal
        line = _crossed(sheet, height, panel)
        if len(line) > 1:
            yield CardMark(line=line, name=panel.name)


def _crossed(sheet: CurvedSheet, height: Floats, panel: CardPart) -> Floats:
    """Where the grid's lines cross a panel's plane within its outline, flat, in the order of the lines that are crossed most."""
    reach = panel.outline.buffer(3.0 * abs(float(np.ptp(panel.outline.bounds))) * 1e-3)
    best: Floats = np.zeros((0, 2))
    for axis in (0, 1):
        h, flat, middle = (np.moveaxis(each, axis, 0) for each in (height, sheet.flat, sheet.middle))
        low, line = np.nonzero((h[:-1] > 0.0) != (h[1:] > 0.0))
        share = (h[low, line] / (h[low, line] - h[low + 1, line]))[:, None]
        at = middle[low, line] * (1 - share) + middle[low + 1, line] * share
        inside = shapely.contains_xy(reach, panel.frame.flat(at)) if len(at) else np.zeros(0, dtype=bool)
        points = (flat[low, line] * (1 - share) + flat[low + 1, line] * share)[inside]
        points = points[np.argsort(line[inside], kind="stable")]
        if len(points) > len(best):
            best = points
    return best
