"""Every compartment against trimesh: the hull cut by its capped slice planes along the faces that bound the space."""

from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from places import SCENES
from scene_specimens import demo
from specimens import layout_scene, wigley_form

from sketcher.analysis.results import Compartment, Layout, PanelShape
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Bulkhead, Lid, Panel, Partition

pytestmark = pytest.mark.filterwarnings("ignore:divide by zero:RuntimeWarning", "ignore:invalid value:RuntimeWarning")
"""trimesh divides by the distance of vertices that lie in its plane, and then leaves them out."""

DEMOS = sorted(SCENES.glob("*.yaml"))
ROUNDING = 1e-12
"""Share of a volume: both are sums of some ten thousand products in double precision."""
PLUG = 1e-7
"""[m3] what closes a gap stands a micrometre proud of its board along some metres of 20 mm."""


def tape(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers as a person writes them: to four places."""
    return st.floats(low, high).map(lambda value: round(value, 4))


def layout_of(path: Path) -> Layout:
    return demo(path.stem).layout


def sliced(mesh: trimesh.Trimesh, planes: list[Plane], *, outside: bool) -> trimesh.Trimesh:
    """What lies outside (before) or inside (behind) all the planes, capped."""
    for plane in planes:
        normal = plane.normal
        if len(mesh.faces):
            mesh = trimesh.intersections.slice_mesh_plane(mesh, normal if outside else -normal, normal * plane.distance, cap=True)
    return mesh


def as_written(panel: Panel, face: str) -> Plane | None:
    """A face by the scene's own numbers; None where these say more than one thing at once, or tie it to another panel."""
    if isinstance(panel, Bulkhead) and isinstance(panel.at, float) and not (panel.rake and panel.angle):
        aft = np.array([1.0, -np.tan(np.radians(panel.angle)), -np.tan(np.radians(panel.rake))])
        aft /= np.linalg.norm(aft)
        along, near, far = tuple(aft), "forward", "after"
        first = float(aft @ (panel.at, 0.0, panel.at_height))
    elif isinstance(panel, Partition) and isinstance(panel.off_centre, float) and not panel.lean:
        along, near, far = (0.0, 1.0, 0.0), "port", "starboard"
        first = panel.off_centre - panel.thickness / 2
    elif isinstance(panel, Lid) and not panel.slope and not panel.slope_across:
        along, near, far = (0.0, 0.0, 1.0), "under", "top"
        first = panel.height - panel.thickness
    else:
        return None
    if face == far:
        return Plane.of(along, first + panel.thickness)
    return Plane.of((-along[0], -along[1], -along[2]), -first) if face == near else None


def volume_by_slices(layout: Layout, space: Compartment) -> float:
    """The hull cut along every face that bounds the space; of a panel that stands free within it, its board taken off."""
    hull = trimesh.Trimesh(layout.hull.inside.vertices, layout.hull.inside.triangles, process=False)
    shapes: dict[str, PanelShape] = {shape.name: shape for shape in layout.panels}
    faces: dict[str, set[str]] = {}
    for panel, face in space.bounds:
        faces.setdefault(panel, set()).add(face)
    bounding = [
        as_written(shapes[panel].panel, name) or plane
        for panel, sides in faces.items()
        if len(sides) == 1
        for name, plane in shapes[panel].faces
        if name in sides
    ]
    around = sliced(hull, bounding, outside=True)
    free = [
        sliced(around, [plane for _, plane in shapes[panel].faces], outside=False) for panel, s in faces.items() if len(s) == 2
    ]
    return float(around.volume - sum(board.volume for board in free if len(board.faces)))


@pytest.mark.property
@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_compartment_of_a_demo_has_the_volume_of_slices(path: Path) -> None:
    """Plain slices of the hull's own mesh along the boards that the layout says bound the space, where the scene puts them."""
    layout = layout_of(path)
    gaps = {name for each in layout.flow_paths if each.kind == "gap" for name in each.between}
    for space in layout.compartments:
        expected = volume_by_slices(layout, space)
        assert space.volume == pytest.approx(expected, rel=ROUNDING, abs=PLUG if space.name in gaps else 0.0), space.name


@pytest.mark.property
@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_compartment_of_a_demo_is_closed_to_another_library(path: Path) -> None:
    """trimesh finds each watertight, wound alike all round, of the same volume and with its middle at the same place."""
    for space in layout_of(path).compartments:
        mesh = trimesh.Trimesh(space.mesh.vertices, space.mesh.triangles, process=False)
        assert mesh.is_watertight, space.name
        assert mesh.is_winding_consistent, space.name
        assert mesh.volume == pytest.approx(space.volume, rel=ROUNDING), space.name
        assert mesh.center_mass == pytest.approx(space.centroid, abs=1e-9), space.name


@pytest.mark.property
@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(
    at=tape(1.0, 4.0),
    rake=tape(-15, 15),
    angle=tape(-10, 10),
    height=tape(0.15, 0.4),
    slope=tape(-3, 3),
    off=tape(-0.25, 0.25),
    lean=tape(-8, 8),
)
def test_random_panels_divide_as_slices_do(
    at: float, rake: float, angle: float, height: float, slope: float, off: float, lean: float
) -> None:
    """Raked, angled, sloped and leaning boards in the parabolic hull."""
    form = wigley_form(columns=50, rows=24)
    scene = layout_scene(
        form,
        bulkheads=(
            Bulkhead(name="a", at=at, thickness=0.012, rake=rake, angle=angle),
            Bulkhead(name="b", at=at + 2.0, thickness=0.012),
        ),
        lids=(Lid(name="lid", height=height, start="a", end="b", thickness=0.012, slope=slope),),
        partitions=(Partition(name="p", off_centre=(off, -off), start="a", end="b", top="lid", thickness=0.009, lean=lean),),
    )
    layout = lay_out(scene, form)
    for space in layout.compartments:
        assert space.volume == pytest.approx(volume_by_slices(layout, space), rel=1e-10, abs=1e-12), space.name
