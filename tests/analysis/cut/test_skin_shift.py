"""Where the skin most likely stands along an edge, by gaps read with errors at a few places."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sketcher.analysis.cut import skin_shift as kriging
from sketcher.analysis.cut.skin_shift import EdgePlaces, Seen, doubts, edge_places, most_telling, skin_shift
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.solid.section import Frame

ATHWART = Frame((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
FORE_AND_AFT = Frame((1.0, 0.3, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def _edge(length: float = 2.4, step: float = 0.02) -> EdgePlaces:
    """One straight edge along the skin, below the board."""
    x = np.arange(0.0, length + step / 2, step)
    points = np.column_stack([x, np.zeros(len(x))])
    return edge_places(FORE_AND_AFT, points, np.tile([0.0, -1.0], (len(x), 1)), np.zeros(len(x), dtype=np.int64))


def _half_ring(frame: Frame) -> EdgePlaces:
    """A round bilge of 1 m, its places from the starboard sheer down to the keel and up to port."""
    angle = np.linspace(0.0, np.pi, 81)
    out = np.column_stack([np.cos(angle), -np.sin(angle)])
    kind = np.zeros(len(out), dtype=np.int64)
    kind[[0, -1]] = -1
    return edge_places(frame, out, out, kind)


def _seen(places: EdgePlaces, at: Ints) -> Seen:
    return Seen(at, places.out[at])


BENDS = [lambda s: 0.015 * np.cos(2.0 * s), lambda s: 0.012 - 0.008 * s, lambda s: 0.010 * np.sin(3.0 * s) + 0.004]


@pytest.mark.property
@pytest.mark.parametrize("bend", BENDS)
def test_twelve_readings_follow_a_bend_of_15_mm(bend: Callable[[Floats], Floats]) -> None:
    """Each read to within 2 mm, at the places that tell most: within 3 mm all along in 39 of 40 drawn sets (measured: 40)."""
    places = _edge()
    true = bend(places.along - places.along[0])
    at = np.array(most_telling(places, _seen(places, np.arange(len(true))), 0.0, 12))
    within = 0
    for seed in range(40):
        noise = np.random.default_rng(seed).uniform(-0.002, 0.002, len(at))
        within += np.abs(skin_shift(places, _seen(places, at), true[at] + noise) - true).max() < 0.003
    assert within >= 39


@pytest.mark.closed_form
def test_one_reading_spreads_as_its_covariance_says(monkeypatch: pytest.MonkeyPatch) -> None:
    """With one length and size: Matern's 5/2 and a constant (Rasmussen and Williams 2006, 4.17, from memory)."""
    for name, only in (("LENGTHS", (0.5,)), ("SIZES", (0.01,)), ("ALIKE", (0.0,))):
        monkeypatch.setattr(kriging, name, only)
    places = _edge()
    apart = np.abs(places.along - places.along[30]) * np.sqrt(5.0) / 0.5
    matern = (1.0 + apart + apart**2 / 3.0) * np.exp(-apart)
    want = 0.008 * 1e-4 * (1.0 + matern) / (2e-4 + kriging.READING_ERROR**2)
    assert skin_shift(places, _seen(places, np.array([30])), np.array([0.008])) == pytest.approx(want, abs=1e-9)


@pytest.mark.closed_form
def test_what_is_left_in_doubt_is_what_the_errors_come_to() -> None:
    """One reading at a place: its prior's variance against the reading's; and drawn skins are off by that, all along.

    400 skins drawn of the same covariance, read at eight places: the mean square off at each place, to a fifth.
    """
    places = _edge(step=0.1)
    prior = 2.0 * kriging.LIKELY_SIZE**2
    error = kriging.READING_ERROR**2
    assert doubts(places, _seen(places, np.array([12])))[12] == pytest.approx((prior * error / (prior + error)) ** 0.5)
    on, at = np.arange(len(places.along)), np.arange(1, 24, 3)
    spread = kriging.LIKELY_SIZE**2 * kriging._covariance(places, _seen(places, on), _seen(places, on), 0.7, kriging.ALIKE[1])
    rng = np.random.default_rng(3)
    true = rng.multivariate_normal(np.zeros(len(on)), spread, 400)
    read = true[:, at] + rng.normal(0.0, kriging.READING_ERROR, (400, len(at)))
    weights = np.linalg.solve(spread[np.ix_(at, at)] + error * np.eye(len(at)), spread[at])
    off = ((read @ weights - true) ** 2).mean(axis=0) ** 0.5
    assert doubts(places, _seen(places, at)) == pytest.approx(off, rel=0.2)


@pytest.mark.example
def test_the_other_side_follows_as_far_as_readings_there_do_not_say_else() -> None:
    """Read to starboard alone the port side follows most of the way; read on both sides each goes its own."""
    places = _half_ring(ATHWART)
    starboard = np.arange(4, 40, 8)
    port = len(places.along) - 1 - starboard
    one = skin_shift(places, _seen(places, starboard), np.full(len(starboard), 0.008))
    assert one[starboard] == pytest.approx(0.008, abs=1e-3)
    assert (one[port] > 0.002).all()
    both = np.concatenate([starboard, port])
    two = skin_shift(places, _seen(places, both), np.repeat([0.008, -0.004], len(starboard)))
    assert two[starboard[:-1]] == pytest.approx(0.008, abs=2e-3)
    assert two[port[:-1]] == pytest.approx(-0.004, abs=2e-3)


@pytest.mark.example
def test_nothing_read_moves_nothing() -> None:
    """And a place that runs along nothing never moves."""
    places = _half_ring(ATHWART)
    assert not skin_shift(places, _seen(places, np.zeros(0, dtype=np.int64)), np.zeros(0)).any()
    assert skin_shift(places, _seen(places, np.array([20])), np.array([0.01]))[[0, -1]].tolist() == [0.0, 0.0]


@pytest.mark.example
def test_places_that_tell_most_lie_near_the_ends_and_spread_between() -> None:
    """One of the first four lies within 400 mm of either end, no gap is wider than twice the mean, and enough is enough."""
    places = _edge()
    every = _seen(places, np.arange(len(places.along)))
    picked = most_telling(places, every, 0.0, 12)
    along = np.sort(places.along[np.array(picked)])
    assert min(picked[:4]) <= 20
    assert max(picked[:4]) >= len(places.along) - 21
    assert np.diff(along).max() < 2 * np.diff(along).mean()
    assert 0 < len(most_telling(places, every, 0.002, 99)) < len(most_telling(places, every, 0.0012, 99)) < 60
