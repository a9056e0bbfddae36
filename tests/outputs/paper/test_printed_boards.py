"""The folder of a build put together again: each printed board, sawn as stated, stands in the boat with its gaps."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from unittest.mock import patch

import manifold3d
import numpy as np
import pytest
import shapely
from printed.board_files import Printed, as_solid, printed_boards
from printed.solids_read import check_solid, from_glb, from_stl
from scene_specimens import cut_out

from sketcher.analysis.hull.form import OPEN_END, HullForm
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.outputs.paper import build_files as folder
from sketcher.outputs.scene3d.solid_files import boards_as_cut

DEMOS = ("marram-two-tanks", "quillet-forepeak", "ternholm-forepeak", "pellwick-bows")
GAP, PANEL_GAP, WITHIN = 0.006, 0.001, 0.0005
FAR = 2 * GAP
"""[m] Nothing further than this from a board is looked at."""

pytestmark = [pytest.mark.property, pytest.mark.slow]


@dataclass(frozen=True)
class Fitted:
    """A scene's printed boards as solids in the boat. form: as they are cut by; panels: the one of each; files: of the folder."""

    files: dict[str, bytes]
    form: HullForm
    boards: list[Printed]
    solids: list[manifold3d.Manifold]
    panels: dict[str, str]


@lru_cache(maxsize=len(DEMOS))
def fitted(scene: str) -> Fitted:
    plan = cut_out(scene)
    # Paper is not read here, and takes most of the time.
    with patch.object(folder, "booklet", return_value=b""), patch.object(folder, "as_pdf", return_value=b""):
        files = dict(folder.build_files(plan, picture=False))
    boards = printed_boards(files)
    assert [board.name for board in boards] == [pattern.name for pattern in plan.patterns]
    panels = {pattern.name: pattern.panel for pattern in plan.patterns}
    return Fitted(files, plan.evaluation.layout.hull.fine, boards, [board.solid() for board in boards], panels)


def clear_of(points: Floats, form: HullForm) -> Floats:
    """Distance (n,) [m] from points to shell and deck, `FAR` where these are further."""
    if not len(points):
        return np.zeros(0)
    mine = form.inside.triangles[form.inside.labels != OPEN_END]
    corners = form.inside.vertices[mine]
    low, high = corners.min(axis=1) - FAR, corners.max(axis=1) + FAR
    about = ((low <= points.max(axis=0)) & (high >= points.min(axis=0))).all(axis=1)
    mine, low, high = mine[about], low[about], high[about]
    near = [mine[((low <= point) & (high >= point)).all(axis=1)] for point in points]
    return np.array([distances_to_mesh(p, form.inside.vertices, of).min(initial=FAR) for p, of in zip(points, near, strict=True)])


@pytest.mark.parametrize("scene", DEMOS)
def test_no_board_comes_nearer_to_shell_or_deck_than_its_gap(scene: str) -> None:
    """The whole solid of every board, straps too, lies inside the hull and 6 mm, to half a millimetre, clear of it."""
    of = fitted(scene)
    hull = as_solid(of.form.inside)
    first, last = of.form.inside.bounds
    aft = 0.2 if (of.form.inside.labels != OPEN_END).all() else -1e-9
    first, last = first - 0.2, last + np.array([aft, 0.2, 0.2])
    solid_round = manifold3d.Manifold.cube((last - first).tolist()).translate(first.tolist()) - hull
    for board, solid in zip(of.boards, of.solids, strict=True):
        assert (solid - hull).volume() < 1e-12, board.name
        west, south, low, east, north, high = solid.bounding_box()
        about = manifold3d.Manifold.cube((east - west + 2 * FAR, north - south + 2 * FAR, high - low + 2 * FAR))
        near = solid_round ^ about.translate((west - FAR, south - FAR, low - FAR))
        assert solid.min_gap(near, GAP) > GAP - WITHIN, board.name


@pytest.mark.parametrize("scene", DEMOS)
def test_edges_keep_the_gap_as_set_all_along(scene: str) -> None:
    """Where the list of bevels says hull or deck, both faces stand 6 mm from it, to half a millimetre, corners included."""
    of = fitted(scene)
    looked_at = 0
    for board in of.boards:
        for word in ("hull", "deck"):
            for depth in (0.0, 1.0):
                clear = clear_of(board.edge(word, depth), of.form)
                assert clear == pytest.approx(np.full(len(clear), GAP), abs=WITHIN), f"{board.name}, {word}"
                looked_at += len(clear)
    assert looked_at > 500


def turning(ring: shapely.LinearRing, at: float, reach: float = 0.02) -> float:
    """How far [deg] a ring turns within a reach of a place."""
    before, here, after = shapely.get_coordinates([ring.interpolate((at + by) % ring.length) for by in (-reach, 0.0, reach)])
    one, two = here - before, after - here
    return float(abs(np.degrees(np.arctan2(one[0] * two[1] - one[1] * two[0], one @ two))))


@pytest.mark.parametrize("scene", DEMOS)
def test_the_listed_bevels_lead_from_one_drawn_face_to_the_other(scene: str) -> None:
    """From each marked place the saw set to the listed degrees comes out on the other face's drawn line, to half a millimetre.

    Left out are corners of the outline, where two saw cuts meet in a mitre.
    """
    looked_at = 0
    for board in fitted(scene).boards:
        for (_, _, before), (along, angle, against), (_, _, after) in zip(
            board.bevels, board.bevels[1:], board.bevels[2:], strict=False
        ):
            if before == against == after and against in ("hull", "deck") and turning(board.ring, along) < 10.0:
                away = board.faces[1].exterior.distance(board.ring.interpolate(along))
                assert away == pytest.approx(abs(np.tan(np.radians(angle))) * board.thickness, abs=WITHIN), (board.name, along)
                looked_at += 1
    assert looked_at > 30


@pytest.mark.parametrize("scene", DEMOS)
def test_boards_of_different_panels_leave_room_between_them(scene: str) -> None:
    """No two solids of different panels share a cubic millimetre; those that meet are 1 mm apart to half a millimetre."""
    of = fitted(scene)
    for (one, first), (two, second) in combinations(zip(of.boards, of.solids, strict=True), 2):
        if of.panels[one.name] != of.panels[two.name]:
            assert (first ^ second).volume() < 1e-9, f"{one.name}, {two.name}"
            assert first.min_gap(second, PANEL_GAP) > PANEL_GAP - WITHIN, f"{one.name}, {two.name}"


@pytest.mark.parametrize("scene", DEMOS)
def test_solids_of_boards_stand_where_the_printed_ones_do(scene: str) -> None:
    """Each board's STL and its part of the glTF are closed, and but for a thousandth what drawing and lists make of it."""
    of = fitted(scene)
    together = from_glb(of.files["solids/boards as cut.glb"])
    assert len(together) == len(of.boards)
    for cut, printed in zip(boards_as_cut(cut_out(scene).patterns), of.solids, strict=True):
        for read in (together[f"board: {cut.name}"], from_stl(of.files[f"solids/board, {cut.name}.stl"])):
            check_solid(read, cut.mesh, cut.name)
        solid = to_manifold(cut.mesh, 1)
        assert (solid - printed).volume() + (printed - solid).volume() < 1e-3 * solid.volume(), cut.name
