"""Fitting and packing, as ratios from one run.

Run with `pytest tests/benchmarks/bench_contents.py -s`; each test prints its two times and their ratio.
"""

from dataclasses import replace
from statistics import median
from time import perf_counter

import numpy as np
import pytest
from manifold3d import Manifold
from places import SCENES
from shapes import mesh_of

from sketcher.analysis.evaluate import evaluate, hull_form, judged
from sketcher.analysis.fit.lying import FEET, SHOULDERS, Arrangements, arrangements_on
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.flat.tapers import Taper
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.packing.cylinders import Size, pack
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Scene

pytestmark = [pytest.mark.property, pytest.mark.slow]
PERSON = Taper(SHOULDERS, FEET)
LIVE_SHARE = 0.25
UP = np.array([0.0, 0.0, 1.0])


def dragged(scene: Scene, by: float) -> Scene:
    bulkheads = tuple(replace(b, at=b.at + by) if b.name == "collision" else b for b in scene.bulkheads)  # type: ignore[operator]
    return replace(scene, bulkheads=bulkheads)


@pytest.mark.parametrize("needs", [(1.9,), (1.9, 1.9), (1.96, 1.74)], ids=["one", "two alike", "tall and short"])
def test_berth_is_fitted_live_in_a_quarter_of_a_drag_step(needs: tuple[float, ...]) -> None:
    """While the collision bulkhead is dragged in 5 mm steps, following who lies on the berth takes a quarter of the step."""
    scene = read_scene(SCENES / "marram-forepeak.yaml")
    mover = Mover(lay_out(scene, hull_form(scene.hull)), "collision")
    steps, fits = [], []
    arrangements: Arrangements = ()
    for k in range(40):
        start = perf_counter()
        evaluation = judged(mover.at(dragged(scene, 0.005 * k)))
        middle = perf_counter()
        arrangements = arrangements_on(evaluation.berths[0], PERSON, needs, arrangements)
        end = perf_counter()
        if k:
            steps.append(middle - start)
            fits.append(end - middle)
    share = median(fits) / median(steps)
    print(f"\n{needs} lying: {1000 * median(fits):.1f} ms of a drag step's {1000 * median(steps):.1f} ms, {share:.2f} of it")
    assert share <= LIVE_SHARE


def ten_times(form: HullForm) -> HullForm:
    """The hull with ten times the triangles on both its faces: every one cut into nine, one in eighteen of these into three."""

    def finer(mesh: TriMesh) -> TriMesh:
        a, b, c = mesh.vertices[mesh.triangles.T]

        def corner(u: int, v: int) -> np.ndarray:
            return a + u / 3 * (b - a) + v / 3 * (c - a)

        up = [(u, v) for u in range(3) for v in range(3 - u)]
        parts = [(corner(u, v), corner(u + 1, v), corner(u, v + 1)) for u, v in up]
        parts += [(corner(u + 1, v), corner(u + 1, v + 1), corner(u, v + 1)) for u, v in up if u + v < 2]
        corners = np.concatenate([np.stack(part, axis=1) for part in parts])
        p, q, r = corners[: len(a) // 2].transpose(1, 0, 2)
        middle = (p + q + r) / 3
        fans = [np.stack(fan, axis=1) for fan in ((p, q, middle), (q, r, middle), (r, p, middle))]
        corners = np.concatenate([*fans, corners[len(a) // 2 :]])
        labels = np.tile(mesh.labels, len(parts))
        labels = np.concatenate([*[labels[: len(a) // 2]] * 3, labels[len(a) // 2 :]])
        vertices, index = np.unique(np.round(corners.reshape(-1, 3), 9), axis=0, return_inverse=True)
        return TriMesh(vertices, index.reshape(-1, 3).astype(np.int64), labels)

    return replace(form, inside=finer(form.inside), outside=finer(form.outside))


def test_five_hundred_bottles_are_packed_sooner_than_a_fine_layout_is_evaluated() -> None:
    """500 half-litre bottles, upright under the berth, against one evaluation of the layout at ten times its triangles."""
    scene = read_scene(SCENES / "quillet-forepeak-bottles.yaml")
    bare = replace(scene, bottles=(), people=())
    form = hull_form(bare.hull)
    space = next(s for s in evaluate(bare).layout.compartments if s.name == "berth space")
    fine = ten_times(form)
    packing, evaluating = [], []
    for _ in range(7):
        start = perf_counter()
        packed = pack(space.mesh, [Size(0.0325, 0.21)], UP)
        middle = perf_counter()
        judged(lay_out(bare, fine))
        packing.append(middle - start)
        evaluating.append(perf_counter() - middle)
    assert packed.count >= 500
    print(
        f"\n{packed.count} bottles {1000 * min(packing):.0f} ms; layout with {len(fine.inside.triangles)} triangles, "
        f"{len(fine.inside.triangles) / len(form.inside.triangles):.2f} times the usual, {1000 * min(evaluating):.0f} ms; "
        f"ratio {min(packing) / min(evaluating):.2f}"
    )
    assert len(fine.inside.triangles) == pytest.approx(10 * len(form.inside.triangles), rel=1e-4)
    assert min(packing) < min(evaluating)


def test_cost_grows_linearly_with_bottles() -> None:
    """From some hundred bottles to some ten thousand, in one layer or in many, the time for each does not grow."""
    each = []
    for shape in ((1.0, 1.2, 0.22), (4.0, 1.2, 0.22), (16.0, 1.2, 0.22), (40.0, 1.2, 0.22), (2.0, 1.2, 3.52)):
        solid, times = mesh_of(Manifold.cube(shape)), []
        for _ in range(3):
            start = perf_counter()
            count = pack(solid, [Size(0.0325, 0.21, most=100_000)], UP).count
            times.append(perf_counter() - start)
        each.append(min(times) / count)
        print(f"\n{count} bottles: {1000 * min(times):.0f} ms, {1e6 * each[-1]:.0f} microseconds each")
    assert max(each[1:]) <= 1.2 * each[0]
