import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold, Mesh64
from shapes import box, wedge, wigley

from sketcher.geometry.mesh import GeometryError, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import surface_of
from sketcher.geometry.solid.section import _sound, convex_section, frame_on, frame_x, frame_y, frame_z, section


def _mesh(solid: Manifold) -> TriMesh:
    surface = surface_of(solid)
    return TriMesh(surface.vertices, surface.triangles, np.zeros(len(surface.triangles), dtype=np.int64))


@pytest.mark.closed_form
def test_sections_of_a_box_are_its_rectangles() -> None:
    """A 4 x 2 x 1 box cut square to each axis gives the rectangle of the other two."""
    mesh = box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0))
    assert [section(mesh, frame).area for frame in (frame_x(1.0), frame_y(0.3), frame_z(0.5))] == pytest.approx([2.0, 4.0, 8.0])


@pytest.mark.closed_form
def test_sloping_section_of_a_wedge() -> None:
    """A V prism cut by a plane rising 45 degrees along it gives a triangle stretched by the root of two."""
    mesh = wedge(4.0, 2.0, 1.0)
    cut = section(mesh, frame_on(Plane.of((-np.sqrt(0.5), 0.0, np.sqrt(0.5)), -np.sqrt(0.5))))
    assert cut.area == pytest.approx(np.sqrt(2.0))


@pytest.mark.closed_form
def test_hollow_is_a_hole_and_its_kernel_an_island() -> None:
    """A cube with a hollow and a smaller cube afloat in the hollow is cut to a ring and a square."""
    solid = Manifold.cube((2, 2, 2), True) - Manifold.cube((1, 1, 1), True) + Manifold.cube((0.2, 0.2, 0.2), True)
    for frame in (frame_x(0.05), frame_y(-0.03), frame_z(0.0), frame_on(Plane.of((0.0, 0.6, 0.8), 0.0))):
        cut = section(_mesh(solid), frame)
        assert cut.is_valid
        assert len(cut.geoms) == 2
        assert sum(len(part.interiors) for part in cut.geoms) == 1
    assert section(_mesh(solid), frame_z(0.0)).area == pytest.approx(4.0 - 1.0 + 0.04)


@pytest.mark.example
def test_face_in_the_plane_counts_where_the_solid_stands_below_it() -> None:
    """The top of a box is met, its bottom is not, and beyond either there is nothing."""
    mesh = box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0))
    assert section(mesh, frame_z(1.0)).area == pytest.approx(8.0)
    assert section(mesh, frame_z(0.0)).is_empty
    assert section(mesh, frame_z(2.0)).is_empty


COORDINATE = st.floats(-1.0, 1.0).map(lambda x: round(x, 3))


@pytest.mark.property
@given(
    st.lists(st.tuples(COORDINATE, COORDINATE, COORDINATE), min_size=4, max_size=12, unique=True),
    st.tuples(COORDINATE, COORDINATE, COORDINATE).filter(lambda n: max(map(abs, n)) > 0.1),
    COORDINATE,
)
def test_a_convex_body_is_cut_as_any_is(corners: list[tuple[float, float, float]], normal: tuple[float, ...], at: float) -> None:
    """The quick way gives the same area as the general one, whatever the body and the plane."""
    solid = Manifold.hull_points(np.array(corners))
    frame = frame_on(Plane.through((at, 0.0, 0.0), normal))
    general = section(_mesh(solid), frame) if solid.volume() > 1e-6 else section(box((0, 0, 0), (1, 1, 1)), frame)
    quick = convex_section(_mesh(solid) if solid.volume() > 1e-6 else box((0, 0, 0), (1, 1, 1)), frame)
    assert quick.symmetric_difference(general).area < 1e-12


@pytest.mark.example
def test_open_mesh_is_refused() -> None:
    """A mesh with a hole gives no section but an error that says so."""
    mesh = box((0.0, -1.0, 0.0), (4.0, 1.0, 1.0))
    with pytest.raises(GeometryError, match="not closed"):
        section(TriMesh(mesh.vertices, mesh.triangles[1:], mesh.labels[1:]), frame_y(0.1))


@pytest.mark.property
@given(st.integers(0, 10_000))
def test_sections_agree_with_a_solid_kernel(seed: int) -> None:
    """On any plane the section's area is that of the solid kernel's own cut."""
    rng = np.random.default_rng(seed)
    mesh = wigley(8.0, 2.4, 0.5, 24, 12)
    normal = rng.normal(size=3)
    normal /= np.linalg.norm(normal)
    distance = float(normal @ np.array([rng.uniform(-3.0, 3.0), 0.0, rng.uniform(0.1, 0.4)]))
    frame = frame_on(Plane(normal, distance))
    turned = TriMesh(np.column_stack([frame.flat(mesh.vertices), mesh.vertices @ normal - distance]), mesh.triangles, mesh.labels)
    surface = np.ascontiguousarray(turned.vertices)
    solid = Manifold(Mesh64(surface, np.ascontiguousarray(turned.triangles, dtype=np.uint64)))
    assert section(mesh, frame).area == pytest.approx(solid.slice(0.0).area(), rel=1e-6, abs=1e-9)


@pytest.mark.example
def test_plane_coordinates_go_there_and_back() -> None:
    """Points drawn on a plane stand where they were drawn, on the plane."""
    frame = frame_on(Plane.of((0.48, 0.6, 0.64), 1.25))
    flat = np.array([[0.0, 0.0], [1.0, -2.0], [0.3, 0.7]])
    space = frame.space(flat)
    assert frame.flat(space) == pytest.approx(flat)
    assert space @ frame.normal == pytest.approx(1.25)
    assert shapely.Polygon(flat).area > 0.0


@pytest.mark.closed_form
def test_a_plane_along_a_face_gives_an_outline_that_can_be_worked_with() -> None:
    """Two blocks that touch along an edge in the plane: their areas, and no ring that crosses itself."""
    one, other = box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), box((1.0, 1.0, 0.0), (2.0, 3.0, 1.0))
    both = TriMesh(
        np.concatenate([one.vertices, other.vertices]),
        np.concatenate([one.triangles, other.triangles + len(one.vertices)]),
        np.concatenate([one.labels, other.labels]),
    )
    ring = np.array([[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]])
    bow_tie = _sound(shapely.MultiPolygon([shapely.Polygon(ring)]))
    assert bow_tie.is_valid
    assert bow_tie.area == pytest.approx(2.0, abs=1e-12)
    cut = section(both, frame_z(0.5))
    assert cut.is_valid
    assert cut.area == pytest.approx(3.0, abs=1e-12)
