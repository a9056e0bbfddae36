"""Room to stow in the box boat: volume, floor, openings and reach by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold
from places import SCENES
from shapes import box, wedge
from specimens import contents_of, filled

from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.fit.access import Entrance, entrances_to, free_space, space_named
from sketcher.analysis.fit.stowage import floor_area, rooms
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.model.contents import Stowage
from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Fitting


def entrance(sides: tuple[float, float], *, round: bool = False) -> Entrance:
    area = np.pi / 4 * sides[0] ** 2 if round else sides[0] * sides[1]
    return Entrance(
        name="port",
        through="top",
        beyond="cabin",
        cover="none",
        sides=sides,
        round=round,
        area=area,
        centre=(0.0, 0.0, 0.0),
        inwards=np.array([0.0, 0.0, -1.0]),
    )


@pytest.mark.closed_form
def test_the_room_of_a_box_is_the_box() -> None:
    """The void under the lid: all its volume, its bottom as floor, itself as its largest box; its port lets 300 by 200 mm in."""
    layout = filled().layout
    (room,) = contents_of(stowage=(Stowage(name="gear", space="void"),)).rooms
    assert room.volume == pytest.approx(1.98 * 2.0 * 0.49, rel=1e-4)
    assert room.floor_area == pytest.approx(1.98 * 2.0, rel=1e-4)
    assert room.largest is not None
    assert np.prod(room.largest.size) == pytest.approx(room.volume, rel=0.02)
    (entrance,) = entrances_to(layout, space_named(layout, "void", "x"))
    assert sorted(entrance.sides) == pytest.approx([0.2, 0.3])
    assert entrance.limb == "arm"
    assert entrance.centre == pytest.approx((1.5, 0.0, 0.49), abs=1e-5)
    assert entrance.inwards == pytest.approx([0.0, 0.0, -1.0])


@pytest.mark.closed_form
def test_a_fitting_takes_its_own_room() -> None:
    """A box of 200 mm within the void leaves its volume out, one outside leaves all of it."""
    inner = Fitting(name="pump", at=(2.0, 0.0, 0.25), size=(0.2, 0.2, 0.2))
    outer = Fitting(name="lamp", at=(2.0, 0.0, 0.8), size=(0.2, 0.2, 0.2))
    layout = filled(fittings=(inner, outer)).layout
    void = space_named(layout, "void", "x")
    assert free_space(layout, void).volume == pytest.approx(void.volume - 0.2**3)


@pytest.mark.closed_form
def test_a_floor_is_what_is_nearly_level() -> None:
    """The bottom of a box counts whole, the sides of a V of 45 degrees not at all."""
    assert floor_area(box((0.0, 0.0, 0.0), (2.0, 1.0, 0.5))) == pytest.approx(2.0)
    assert floor_area(wedge(2.0, 2.0, 1.0)) == pytest.approx(0.0)


@pytest.mark.published
@pytest.mark.parametrize(
    ("sides", "limb", "round"),
    [
        ((0.45, 0.45), "person", True),
        ((0.44, 0.44), "arm", True),
        ((0.38, 0.48), "person", False),
        ((0.38, 0.40), "arm", False),
        ((0.15, 0.30), "arm", False),
        ((0.10, 0.30), "hand", False),
        ((0.09, 0.30), "nothing", False),
    ],
)
def test_who_gets_through_an_opening(sides: tuple[float, float], limb: str, round: bool) -> None:
    """A person through 450 mm round, or 380 mm and 0.18 m2; an arm through 150 mm, a hand through 100 mm."""
    assert entrance(sides, round=round).limb == limb


@pytest.mark.property
@given(st.tuples(*[st.floats(0.05, 1.0)] * 3), st.tuples(*[st.floats(0.1, 0.8)] * 2))
def test_a_box_scaled_by_its_share_just_goes_through(size: tuple[float, float, float], sides: tuple[float, float]) -> None:
    """Whatever the opening; one part in a thousand larger does not."""
    opening = entrance(sides)
    share = opening.box_share(size)
    assert opening.passes_box(tuple(each * share for each in size))  # type: ignore[arg-type]
    assert not opening.passes_box(tuple(each * share * 1.001 for each in size))  # type: ignore[arg-type]


@pytest.mark.example
def test_a_space_that_is_not_there_is_told_with_the_nearest_name() -> None:
    """Under the key that names it."""
    layout = filled(stowage=()).layout
    with pytest.raises(SketchError, match="no compartment `viod`"):
        space_named(layout, "viod", "stowage.gear.in")
    assert rooms(layout) == ((), ())


@pytest.mark.example
def test_a_box_known_to_go_under_a_berth_is_found_or_a_larger_one() -> None:
    """The largest box that passes a port of 300 by 220 mm in a demo boat: searches that began touching all round fell short."""
    layout = lay_out((scene := read_scene(SCENES / "quillet-filled.yaml")), hull_form(scene.hull))
    solid = to_manifold(space_named(layout, "berth space", "").mesh, 1)
    axes = np.array([[0.32187, 0.946784, 0.0], [-0.946784, 0.32187, 0.0], [0.0, 0.0, 1.0]])
    sides, middle = (0.2999, 1.8415, 0.2199), (1.77975, -0.27357, 0.351)
    known = Manifold.cube(sides, True).transform(np.column_stack([axes.T, middle]))
    assert (known - solid).volume() < 1e-5
    (room,), _ = rooms(layout)
    assert room.passing is not None
    assert room.passing.volume > np.prod(sides) - 1e-5
