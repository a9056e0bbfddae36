import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.curve import curve_through
from sketcher.geometry.surface.loft import BackwardLineError, LoftedGrid, loft
from sketcher.geometry.surface.row_matching import CrossCurve, Rows, match_corners


def _cross_curve(x: float, points: list[tuple[float, float]], corners: tuple[int, ...] = (), profile: bool = False) -> CrossCurve:
    flat = np.array(points, dtype=float)
    return CrossCurve(curve_through(np.column_stack([np.full(len(flat), x), flat]), corners), profile)


def _circle(x: float, radius: float, count: int) -> CrossCurve:
    angle = np.linspace(0.0, np.pi / 2, count)
    return _cross_curve(x, list(zip(radius * np.sin(angle), -radius * np.cos(angle), strict=True)))


def _nearest(sheet: LoftedGrid, points: Floats) -> float:
    return max(float(np.linalg.norm(sheet.points.reshape(-1, 3) - point, axis=1).min()) for point in points)


CHINE = [(0.0, 0.0), (0.5, 0.2), (0.6, 0.7)]


@pytest.mark.closed_form
def test_corners_pair_in_order_at_least_cost() -> None:
    """Worked by hand: 0.60 and 0.95 lie 0.35 apart and stay single, since leaving both costs 0.30; nearer ones pair."""
    assert match_corners([0.3, 0.6], [0.33, 0.95]) == [(0, 0)]
    assert match_corners([0.3, 0.6], [0.35, 0.55]) == [(0, 0), (1, 1)]
    assert match_corners([0.5], []) == []


@pytest.mark.closed_form
def test_ruled_sheet_between_two_ribs_is_straight() -> None:
    """Half way between two cross curves with equally many points each point's line stands at the middle of its ends."""
    a, b = _cross_curve(0.0, CHINE, (1,)), _cross_curve(2.0, [(0.0, 0.2), (0.3, 0.6), (0.5, 1.1)], (1,))
    sheet = loft([a, b], smooth=False, cells=4000, by_index=True)
    middle = sheet.points[len(sheet.points) // 2]
    assert middle[:, 0] == pytest.approx(1.0)
    expected = (a.curve.points + b.curve.points) / 2
    assert max(float(np.linalg.norm(middle - point, axis=1).min()) for point in expected) < 1e-12


@pytest.mark.closed_form
def test_fair_lines_through_circles_make_a_sphere() -> None:
    """Half circles on the sections of a sphere give its surface within 0.2 mm on a metre, ends of one point included."""
    angle = np.linspace(0.0, np.pi, 15)
    cross_curves = [_circle(float(-np.cos(t)), float(np.sin(t)), 9) for t in angle[1:-1]]
    ends = [_cross_curve(x, [(0.0, 0.0)], profile=True) for x in (-1.0, 1.0)]
    sheet = loft([ends[0], *cross_curves, ends[1]], smooth=True, cells=3000)
    assert np.abs(np.linalg.norm(sheet.points, axis=2) - 1.0).max() < 2e-4


@pytest.mark.example
def test_columns_between_plane_ribs_are_plane() -> None:
    """Every section between plumb cross curves is plumb, so that none can fold."""
    sheet = loft([_circle(x, 1.0 - 0.1 * x * x, 7) for x in (0.0, 0.6, 1.5, 2.5)], smooth=True, cells=2000)
    assert np.ptp(sheet.points[..., 0], axis=1).max() < 1e-12
    assert (np.diff(sheet.points[:, 0, 0]) > 0.0).all()


@pytest.mark.example
def test_corner_line_stays_sharp_between_ribs() -> None:
    """A corner marked on every cross curve is one line of the grid, straight where the cross curves' corners are in line."""
    cross_curves = [
        _cross_curve(x, [(0.0, 0.0), (0.2, 0.08), (0.5, 0.2), (0.55, 0.5), (0.6, 0.7)], (2,)) for x in (0.0, 1.0, 2.0, 3.0)
    ]
    sheet = loft(cross_curves, smooth=True, cells=2000)
    off = np.hypot(sheet.points[..., 1] - 0.5, sheet.points[..., 2] - 0.2).min(axis=1)
    assert off.max() < 1e-12


@pytest.mark.example
def test_corner_that_ends_fades_out() -> None:
    """A corner of the first two cross curves only is on the grid there; further aft its line runs on without a corner."""
    round_points = [(0.0, 0.0), (0.35, 0.06), (0.55, 0.25), (0.6, 0.7)]
    cross_curves = [
        _cross_curve(0.0, CHINE, (1,)),
        _cross_curve(1.0, CHINE, (1,)),
        _cross_curve(2.0, round_points),
        _cross_curve(3.0, round_points),
    ]
    sheet = loft(cross_curves, smooth=True, cells=2000)
    assert _nearest(sheet, np.array([[0.0, 0.5, 0.2], [1.0, 0.5, 0.2]])) < 1e-12
    turns = [_sharpest_turn(sheet.points[column]) for column in sheet.curve_columns]
    assert turns[0] == pytest.approx(turns[1])
    assert turns[2] < 0.4 * turns[1]


def _sharpest_turn(column: Floats) -> float:
    step = np.diff(column, axis=0)
    step = step[np.linalg.norm(step, axis=1) > 1e-9]
    unit = step / np.linalg.norm(step, axis=1, keepdims=True)
    return float(np.arccos(np.clip((unit[1:] * unit[:-1]).sum(axis=1), -1.0, 1.0)).max())


@pytest.mark.example
def test_corner_line_goes_straight_on_to_the_profile() -> None:
    """A corner line rising 0.1 in 1 towards an end keeps rising to the profile there, with no knee at the first cross curve."""
    cross_curves = [_cross_curve(x, [(0.0, 0.0), (0.4 * x, 0.5 - 0.1 * x), (0.5 * x, 1.0)], (1,)) for x in (1.0, 2.0, 3.0)]
    profile = CrossCurve(curve_through(np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 1.0]])), profile=True)
    sheet = loft([profile, *cross_curves], smooth=True, cells=2000)
    before = sheet.curve_columns[1]
    corner = int(np.argmin(np.hypot(sheet.points[before, :, 1] - 0.4, sheet.points[before, :, 2] - 0.4)))
    line = sheet.points[: before + 1, corner]
    assert line[:, 2] == pytest.approx(0.5 - 0.1 * line[:, 0], abs=2e-3)


@pytest.mark.example
def test_line_that_runs_back_is_refused() -> None:
    """A cross curve that reaches behind the one before is named by its number."""
    first = _cross_curve(1.0, CHINE, (1,))
    leaning = np.array([[1.5, 0.0, 0.0], [1.2, 0.5, 0.2], [0.7, 0.6, 0.7]])
    with pytest.raises(BackwardLineError, match="between cross curves 0 and 1") as caught:
        loft([first, CrossCurve(curve_through(leaning, (1,)))], smooth=True, cells=500)
    assert caught.value.cross_curve == 0


@pytest.mark.property
@given(st.integers(0, 100_000))
def test_every_given_point_is_on_the_grid(seed: int) -> None:
    """Cross curves with different numbers of points at irregular places: the sheet passes through all of them."""
    rng = np.random.default_rng(seed)
    cross_curves = []
    for x in (0.0, 0.7, 1.9, 2.6):
        angle = np.sort(np.concatenate([[0.0, np.pi / 2], rng.uniform(0.05, 1.5, int(rng.integers(2, 9)))]))
        angle = angle[np.append(True, np.diff(angle) > 0.01)]
        cross_curves.append(_cross_curve(x, list(zip(np.sin(angle) * (1.0 + 0.1 * x), 1.0 - np.cos(angle), strict=True))))
    sheet = loft(cross_curves, smooth=True, cells=600)
    assert _nearest(sheet, np.concatenate([cross_curve.curve.points for cross_curve in cross_curves])) < 1e-12


@pytest.mark.property
@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=6))
def test_rows_are_found_again_by_their_shares(shares: list[float]) -> None:
    """The row through a place on the last cross curve passes that place, whatever corners lie between."""
    cross_curves = [
        _cross_curve(0.0, CHINE, (1,)),
        _cross_curve(1.0, [(0.0, 0.0), (0.2, 0.3), (0.7, 0.8)], (1,)),
        _circle(2.0, 1.0, 5),
        _cross_curve(3.0, CHINE, (1,)),
    ]
    rows = Rows(cross_curves, by_index=False)
    wanted = np.sort(np.array(shares))
    assert rows.shares(rows.positions(3, wanted))[3] == pytest.approx(wanted, abs=1e-12)
