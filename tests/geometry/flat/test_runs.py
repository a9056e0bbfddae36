import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from sketcher.geometry.flat.runs import clear_across, longest_run


@pytest.mark.closed_form
def test_rectangle_run_is_its_length_on_its_middle_line() -> None:
    """In a rectangle every run is equally long, and the one on the middle line is named."""
    run = longest_run(box(1.0, -0.4, 2.9, 0.6))
    assert run is not None
    assert (run.start, run.end, run.across) == pytest.approx((1.0, 2.9, 0.1), abs=1e-12)


@pytest.mark.closed_form
def test_vee_run_lies_on_the_centreline() -> None:
    """A vee cut by two bulkheads is longest between their faces wherever both faces reach."""
    run = longest_run(Polygon([(0, -0.2), (2, -0.9), (2, 0.9), (0, 0.2)]))
    assert run is not None
    assert run.length == pytest.approx(2.0, abs=1e-12)
    assert run.across == pytest.approx(0.0, abs=1e-12)


@pytest.mark.closed_form
def test_post_on_the_centreline_moves_the_run_aside() -> None:
    """A post in the middle of a vee leaves the runs beside it, as long as the taper allows at the post's side."""
    vee = Polygon([(0, -0.2), (2, -1.0), (2, 1.0), (0, 0.2)])
    run = longest_run(vee.difference(box(0.9, -0.3, 1.0, 0.3)))
    assert run is not None
    # beside the post, at 0.3 off the centreline: the side y = 0.2 + 0.4 x starts at x = 0.25
    assert run.length == pytest.approx(1.75, abs=1e-9)
    assert abs(run.across) == pytest.approx(0.3, abs=1e-9)


@pytest.mark.closed_form
def test_empty_outline_has_no_run() -> None:
    """Nothing to lie on: no length, rather than zero."""
    assert longest_run(Polygon()) is None


@pytest.mark.closed_form
def test_width_across_stops_at_a_hole() -> None:
    """The clear width is the stretch that holds the place asked for, not the sum of stretches."""
    outline = box(0, -1, 2, 1).difference(box(0.5, 0.2, 1.5, 0.4))
    assert clear_across(outline, 1.0, 0.0) == pytest.approx((-1.0, 0.2))
    assert clear_across(outline, 1.0, 0.3) is None


@pytest.mark.property
@given(st.lists(st.tuples(st.floats(0.2, 1.0), st.floats(-0.5, 0.5)), min_size=3, max_size=12))
def test_no_sampled_run_is_longer(spokes: list[tuple[float, float]]) -> None:
    """Whatever the outline's shape, no run at a sampled place beats the one named."""
    angles = np.linspace(0, 2 * np.pi, len(spokes), endpoint=False)
    outline = Polygon([(r * np.cos(a) + dx * 0.1, r * np.sin(a)) for a, (r, dx) in zip(angles, spokes, strict=True)])
    if not outline.is_valid or outline.area < 1e-3:
        return
    run = longest_run(outline)
    assert run is not None
    assert outline.buffer(1e-6).covers(Polygon([(run.start, run.across - 1e-9), (run.end, run.across), (run.start, run.across)]))
    turned = Polygon([(y, x) for x, y in outline.exterior.coords])
    for across in np.linspace(outline.bounds[1], outline.bounds[3], 40)[1:-1]:
        for along in np.linspace(outline.bounds[0], outline.bounds[2], 9):
            stretch = clear_across(turned, float(across), float(along))
            if stretch is not None:
                assert stretch[1] - stretch[0] <= run.length + 1e-9
