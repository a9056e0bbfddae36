"""What must hold of any flooding: random rooms in a round hull."""

import numpy as np
import pytest
from floats import form_of, hole, layout_of, scene_of, space
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, Mesh64
from shapes import box, ellipsoid

from sketcher.analysis.afloat.equilibrium import MOST_STEPS
from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.results import OUTSIDE
from sketcher.geometry.mesh import TriMesh

HULL = form_of(ellipsoid(4, 1.3, 0.9, 40, 40))
WATER, KG = -0.15, -0.25
SAME = 1e-6
"""[m] two ways to one equilibrium agree to a thousandth of a millimetre"""


def _solid(mesh):
    return Manifold(Mesh64(mesh.vertices, mesh.triangles.astype(np.uint64)))


def _room(name, low, high, permeability=0.95, **fields):
    """The part of the hull between two corners as a compartment."""
    mesh = (_solid(HULL.outside) ^ _solid(box(low, high))).to_mesh64()
    triangles = np.asarray(mesh.tri_verts).astype(np.int64)
    assume(len(triangles))
    part = TriMesh(np.asarray(mesh.vert_properties)[:, :3].copy(), triangles, np.zeros(len(triangles), dtype=np.int64))
    return space(name, part, permeability, **fields)


def _cases(spaces, holed, paths=(), **options):
    scene = scene_of(HULL, WATER, kg=KG)
    water = water_plane(scene, HULL)
    layout = layout_of(scene, HULL, tuple(spaces), tuple(paths))
    return flooding_cases(layout, water, floating(scene, HULL, water)[0], holed, **options)[0]


places = st.tuples(st.floats(-3.8, 2.0), st.floats(0.3, 1.6), st.floats(-1.2, 0.6), st.floats(-0.8, 0.2)).map(
    lambda p: ((p[0], p[2], p[3]), (p[0] + p[1], p[2] + 0.7, p[3] + 0.8))
)
few = settings(max_examples=25, deadline=None)


@pytest.mark.property
@few
@given(places)
def test_permeability_to_nothing_gives_the_intact_waterline(place):
    """A space that water cannot fill changes nothing; and little changes little."""
    case = _cases([_room("a", *place)], ["a"], permeability={"a": 0.0})
    assert (case.water.forward, case.water.after, case.water.heel) == pytest.approx((WATER, WATER, 0.0), abs=SAME)
    little = _cases([_room("a", *place)], ["a"], permeability={"a": 1e-6})
    assert little.water.forward == pytest.approx(WATER, abs=1e-4)


@pytest.mark.property
@few
@given(places, st.floats(0.05, 0.95), st.floats(0.0, 1.0))
def test_more_permeability_never_raises_the_boat(place, low, more):
    """The hull as a whole never lies higher in the water for taking in more of it."""
    room = _room("a", *place)
    shares = low, low + more * (1 - low)
    cases = [_cases([room], ["a"], permeability={"a": share}) for share in shares]
    assume(all(case.water is not None for case in cases))
    taken = [case.water_volume for case in cases]
    assert taken[1] >= taken[0] - SAME


@pytest.mark.property
@few
@given(places)
def test_mirrored_layouts_heel_the_other_way(place):
    """Port for starboard: the same drafts, the heel reversed."""
    (x0, y0, z0), (x1, y1, z1) = place
    cases = [_cases([_room("a", *corners)], ["a"]) for corners in (place, ((x0, -y1, z0), (x1, -y0, z1)))]
    assert cases[0].verdict == cases[1].verdict
    assume(cases[0].water is not None)
    assert cases[0].water.forward == pytest.approx(cases[1].water.forward, abs=SAME)
    assert cases[0].water.heel == pytest.approx(-cases[1].water.heel, abs=1e-4)


@pytest.mark.property
@few
@given(places, st.floats(0.2, 0.8), st.sampled_from([0, 1, 2]))
def test_halves_flooded_together_equal_the_whole(place, share, axis):
    """A space cut in two by any plane, both holed, ends where the whole one ends."""
    low, high = (np.array(corner) for corner in place)
    cut_low, cut_high = low.copy(), high.copy()
    cut_low[axis] = cut_high[axis] = low[axis] + share * (high[axis] - low[axis])
    halves = [_room("a", tuple(low), tuple(cut_high)), _room("b", tuple(cut_low), tuple(high))]
    assume(all(half.volume > 1e-4 for half in halves))
    both, whole = _cases(halves, ["a", "b"]), _cases([_room("a", *place)], ["a"])
    assert both.verdict == whole.verdict
    assume(whole.water is not None)
    assert both.water.forward == pytest.approx(whole.water.forward, abs=SAME)
    assert both.water_volume == pytest.approx(whole.water_volume, abs=SAME)


@pytest.mark.property
@few
@given(places, places, st.floats(-0.9, 0.3))
def test_water_ends_level_in_joined_spaces_and_never_crosses_a_dry_sill(first, second, sill):
    """A hole between two spaces floods the second exactly when the water finally stands over it, or stood on the way."""
    middle = ((first[1][0] + second[0][0]) / 2, 0.0, sill)
    rooms = [_room("a", *first), _room("b", *second)]
    assume(all(room.volume > 1e-4 for room in rooms))
    case = _cases(rooms, ["a"], [hole(("a", "b"), middle)])
    assume(case.water is not None)
    over = case.water.height(middle[0]) - sill
    assert ("b" in case.floods) == bool(case.crossed)
    if "b" not in case.floods:
        assert over < 1e-5


@pytest.mark.property
@few
@given(st.lists(places, min_size=1, max_size=4), st.lists(st.floats(-0.9, 0.6), min_size=3, max_size=3))
def test_every_case_ends_in_bounded_steps_with_an_answer_or_a_reason(corners, sills):
    """Whatever is holed and joined: a verdict, a reason in words, no more steps than rounds allow, weight conserved."""
    names = "abcd"
    rooms = [_room(names[k], *each) for k, each in enumerate(corners)]
    rooms = [room for room in rooms if room.volume > 1e-4]
    assume(rooms)
    paths = [hole((a.name, b.name), (0.0, 0.0, sill)) for a, b, sill in zip(rooms, rooms[1:], sills, strict=False)]
    paths.append(hole((rooms[-1].name, OUTSIDE), (0.0, 0.0, 0.5), through="deck"))
    case = _cases(rooms, [rooms[0].name], paths)
    assert case.verdict in ("floats", "downfloods", "capsizes", "founders")
    assert case.reason
    assert case.steps <= MOST_STEPS * (len(rooms) + 1)
    if case.residual is not None:
        assert abs(case.residual) < 1e-3
