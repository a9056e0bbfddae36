"""What joins spaces, carried along with the panels that moved."""

from dataclasses import replace

import numpy as np
import pytest
from specimens import layout_scene, wigley_form

from sketcher.analysis.results import FlowPath, Layout
from sketcher.analysis.spaces.drag.carried_layout import carried, with_opening
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, Lid, Opening, Scene

FORM = wigley_form(columns=20, rows=12)


def scene(at: float = 2.0, height: float = 0.2, angle: float = 0.0) -> Scene:
    """A raked bulkhead with a door, and abaft it a lid with a hatch."""
    return layout_scene(
        FORM,
        bulkheads=(
            Bulkhead(name="main", at=at, thickness=0.012, rake=5.0, angle=angle),
            Bulkhead(name="after", at=5.0, thickness=0.012),
        ),
        lids=(Lid(name="sole", height=height, start="main", end="after", thickness=0.012),),
        openings=(
            Opening(name="door", through="main", at=(0.0, 0.3), size=(0.2, 0.2)),
            Opening(name="hatch", through="sole", at=(3.5, 0.0), size=(0.2, 0.2)),
        ),
    )


def paths(layout: Layout) -> dict[str, FlowPath]:
    return {path.name: path for path in layout.flow_paths if path.kind == "opening"}


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("there", "by", "moved"),
    [(scene(at=2.3), (0.3, 0.0, 0.0), "door"), (scene(height=0.24), (0.0, 0.0, 0.04), "hatch"), (scene(), (0.0, 0.0, 0.0), "")],
)
def test_an_opening_goes_where_its_panel_goes(there: Scene, by: tuple[float, float, float], moved: str) -> None:
    """By as much as the panel along the axis it is placed on, rake or not; the other stays."""
    start, end = lay_out(scene(), FORM), lay_out(there, FORM)
    seen = paths(carried(start, there, end.panels, end.compartments, {"main", "sole"}))
    assert set(paths(start)) == {"door", "hatch"}
    for name, path in paths(start).items():
        off = np.array(by) if name == moved else np.zeros(3)
        np.testing.assert_allclose(seen[name].outline, path.outline + off, rtol=0, atol=1e-12)
        assert seen[name].lowest == pytest.approx(path.lowest + off[2])


@pytest.mark.example
def test_an_opening_of_a_panel_that_turned_is_left_out_until_it_is_worked_out() -> None:
    """Where it is then is not told by how far the panel went."""
    there = scene(angle=4.0)
    start, end = lay_out(scene(), FORM), lay_out(there, FORM)
    assert set(paths(carried(start, there, end.panels, end.compartments, {"main"}))) == {"hatch"}
    space = replace(end.compartments[0], name="new")
    assert carried(start, there, end.panels, (space,), {"main"}).compartments[0] is space


@pytest.mark.property
@pytest.mark.parametrize(
    ("name", "at", "size"),
    [("door", (0.02, 0.32), (0.2, 0.18)), ("door", (0.0, 0.3), (0.26, 0.1)), ("hatch", (3.8, -0.1), (0.25, 0.15))],
)
def test_an_opening_that_is_dragged_is_where_a_fresh_layout_has_it(
    name: str, at: tuple[float, float], size: tuple[float, float]
) -> None:
    """Moved or made larger, in a raked bulkhead or in a lid: its rim is the same box, its lowest point too; the other stays."""
    start, before = lay_out(scene(), FORM), scene()
    changed = tuple(replace(o, at=at, size=size) if o.name == name else o for o in before.openings)
    there = replace(before, openings=changed)
    seen, fresh = paths(with_opening(start, there, name)), paths(lay_out(there, FORM))
    for each, path in fresh.items():
        ends = [(found.outline.min(axis=0), found.outline.max(axis=0)) for found in (seen[each], path)]
        np.testing.assert_allclose(ends[0], ends[1], rtol=0, atol=1e-9)
        assert seen[each].lowest == pytest.approx(path.lowest, abs=1e-9)
        assert seen[each].between == path.between
