"""Solids for other programs: each closed, oriented and as large as it is, as another library reads it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from places import SCENES
from printed.solids_read import check_solid, from_glb, from_stl
from scene_specimens import demo

from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.outputs.scene3d.solid_files import apart_in_single, as_glb, as_stl, boards_as_cut, solids

NEAR = (0.0, -0.0, 1e-12, 8.1797669, 8.1797669 + 1e-9, -3.0)
DEMOS = sorted(path.stem for path in SCENES.glob("*.yaml"))


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("scene", DEMOS)
def test_every_solid_is_closed_as_stl_and_as_gltf(scene: str) -> None:
    """Hull, panels, spaces and whole boards as cut, of every demo."""
    evaluation = demo(scene)
    parts = [*solids(evaluation), *boards_as_cut(panel_patterns(evaluation.layout, evaluation.water))]
    together = from_glb(as_glb(parts))
    assert any(part.kind == "board" for part in parts)
    for part in parts:
        for read in (from_stl(as_stl(part.mesh, part.name)), together[f"{part.kind}: {part.name}"]):
            check_solid(read, part.mesh, part.name)


@pytest.mark.property
@given(
    st.lists(st.tuples(*[st.sampled_from([0.0, -0.0, 1e-12, 8.1797669, 8.1797669 + 1e-9, -3.0])] * 3), min_size=1, max_size=40)
)
def test_no_two_corners_are_alike_in_single_precision(points: list[tuple[float, float, float]]) -> None:
    """However near corners lie, rounding leaves them apart, none moved by more than so many last places as there are corners."""
    rounded = apart_in_single(np.array(points))
    assert len(np.unique(rounded, axis=0)) == len(points)
    assert np.abs(rounded - np.array(points)).max() <= (len(points) + 1) * np.spacing(np.float32(8.18))
