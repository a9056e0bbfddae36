"""Every single and adjoining-pair case of a twelve-compartment layout, against scipy's root finder driving capped cuts.

Run with `pytest tests/benchmarks/bench_flooding.py -s`: prints the two times, their ratio and the largest difference.
"""

from dataclasses import replace
from time import perf_counter

import numpy as np
import pytest
from rivals import by_scipy, solid, twelve_compartments

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.loading.weights import loading
from sketcher.model.scene import Waterline

LEAST_RATIO = 10.0
SAME = 1e-4
"""[m] answers at both ends agree to a tenth of a millimetre"""


@pytest.mark.property
@pytest.mark.slow
def test_flooding_is_ten_times_as_fast_as_a_root_finder_on_cuts():
    """Same cases, same answers to 0.1 mm, at least ten times faster."""
    scene = replace(twelve_compartments(), waterline=Waterline(forward=0.53, after=0.505), centre_of_gravity_height=0.61)
    done = evaluate(scene)
    ours_time = np.inf
    for _ in range(3):
        start = perf_counter()
        cases = flooding_cases(done.layout, done.water, done.floating)
        ours_time = min(ours_time, perf_counter() - start)
    resting = [case for case in cases if case.water is not None]
    boat = loading(done.layout, done.water)
    hull, spaces = solid(done.layout.hull.outside), {space.name: solid(space.mesh) for space in done.layout.compartments}
    start = perf_counter()
    theirs = [by_scipy(done.layout, boat, done.water, hull, spaces, case.floods) for case in cases]
    theirs_time = perf_counter() - start
    apart = []
    for case, (level, along, _) in zip(cases, theirs, strict=True):
        if case.water is not None and np.isfinite(level):
            half = 0.5 * (case.water.x_after - case.water.x_forward)
            apart += [case.water.forward - (level - along * half), case.water.after - (level + along * half)]
    print(
        f"\n{len(cases)} cases, {len(resting)} at rest: {1000 * ours_time:.0f} ms against {1000 * theirs_time:.0f} ms, "
        f"{theirs_time / ours_time:.0f} times; largest difference {1000 * np.abs(apart).max():.4f} mm in {len(apart) // 2} cases"
    )
    assert len(apart) >= len(resting)
    assert np.abs(apart).max() < SAME
    assert theirs_time / ours_time >= LEAST_RATIO
