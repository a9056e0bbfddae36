from dataclasses import replace

import numpy as np
import pytest
from specimens import PANELS, box_form, codes, contents_of, filled, layout_scene

from sketcher.analysis.fit import bottles as placing
from sketcher.analysis.fit.bottles import bottled_spaces, check_packing
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import GeometryError
from sketcher.geometry.packing.cylinders import Packing
from sketcher.model.contents import Bottles
from sketcher.model.errors import SketchError
from sketcher.model.scene import Fitting, NamedSpace, Opening
from sketcher.outputs.wording.sentences import message as in_words

LARGE = Bottles(name="large", space="void", diameter=0.1, length=0.49, litres=0.003, kg=0.05, direction="upright")


@pytest.mark.closed_form
def test_bottles_stand_in_the_void_under_the_lid() -> None:
    """In 1.98 x 2 x 0.49 m bottles 100 mm across and 490 mm long stand in one layer, at least as many as square rows: 19 x 20."""
    (space,) = contents_of(bottles=(LARGE,)).bottles
    (stow,) = space.stows
    assert stow.layers == 1
    assert stow.count >= 19 * 20
    assert stow.count * np.pi * 0.05**2 < 0.9069 * 1.98 * 2.0
    assert stow.base[:, 2] == pytest.approx(np.zeros(stow.count), abs=1e-9)


@pytest.mark.closed_form
def test_lift_is_what_they_displace_and_never_the_cylinders() -> None:
    """Each displaces 3 litres: lift 3.075 kg in sea water, though its cylinder holds 3.85; 0.95 less their share is left."""
    (space,) = contents_of(bottles=(LARGE,)).bottles
    (stow,) = space.stows
    assert stow.displaced == pytest.approx(0.003 * stow.count)
    assert stow.lift == pytest.approx(3.075 * stow.count)
    assert stow.weight == pytest.approx(0.05 * stow.count)
    assert space.permeability == pytest.approx(0.95 - 0.003 * stow.count / (1.98 * 2 * 0.49))
    assert space.uplift == pytest.approx(3.025 * stow.count)
    assert space.lids == ("top",)


@pytest.mark.closed_form
def test_without_their_litres_the_lift_is_unknown() -> None:
    """Without litres there is no lift, no permeability and no uplift, and a finding says how to measure them."""
    unknown = filled(bottles=(Bottles(name="large", space="void", diameter=0.1, length=0.49),))
    assert unknown.contents is not None
    (space,) = unknown.contents.bottles
    assert (space.stows[0].lift, space.permeability, space.uplift) == (None, None, None)
    assert "bottle-litres-unknown" in codes(unknown)
    assert "bottles-push-up" not in codes(unknown)


@pytest.mark.closed_form
def test_permeability_that_remains_is_the_spaces() -> None:
    """What bottles leave of a space is its permeability from then on, unless the file states another."""
    by_bottles = filled(bottles=(LARGE,))
    left = next(space for space in by_bottles.layout.compartments if space.name == "void").permeability
    assert by_bottles.contents is not None
    assert left == by_bottles.contents.bottles[0].permeability
    named = tuple(
        NamedSpace(name="void", at=(2.0, 0.0, 0.2), permeability=0.5) if space.name == "void" else space
        for space in PANELS["compartments"]  # type: ignore[attr-defined]
    )
    stated = filled(bottles=(LARGE,), compartments=named)
    assert next(space for space in stated.layout.compartments if space.name == "void").permeability == 0.5


@pytest.mark.closed_form
def test_passing_the_opening_or_going_in_before_it_is_closed() -> None:
    """Bottles 190 mm across go through a port of 300 x 200 mm; of 210 mm they go in before the lid is closed."""
    thin, thick = (Bottles(name="can", space="void", diameter=d, length=0.3, litres=0.001) for d in (0.19, 0.21))
    assert contents_of(bottles=(thin,)).bottles[0].stows[0].passes == ("port",)
    boat = filled(bottles=(thick,))
    assert "bottles-before-closing" in codes(boat)


@pytest.mark.closed_form
def test_bottle_bigger_than_the_space() -> None:
    """A drum of 1.2 m does not go into the void: none is placed, and it is said."""
    boat = filled(bottles=(Bottles(name="drum", space="void", diameter=0.6, length=1.2, litres=0.3, direction="upright"),))
    assert boat.contents is not None
    assert boat.contents.bottles[0].stows[0].count == 0
    assert "bottle-too-big" in codes(boat)


@pytest.mark.closed_form
def test_no_more_than_there_are() -> None:
    """Of 30 bottles 30 are placed; of 100 000 as many as fit, and the rest is told."""
    few = contents_of(bottles=(Bottles(name="few", space="void", diameter=0.1, length=0.49, at_most=30),)).bottles[0].stows[0]
    assert few.count == 30
    many = filled(bottles=(Bottles(name="many", space="void", diameter=0.1, length=0.49, at_most=100_000),))
    assert "bottles-left-over" in codes(many)


@pytest.mark.closed_form
def test_bottles_stand_round_a_fitting() -> None:
    """A fitting that fills a quarter of the void takes about a quarter of the bottles, and none stands in it."""
    block = Fitting(name="tank", at=(1.515, -0.5, 0.25), size=(0.99, 1.0, 0.6))
    (stow,) = contents_of(bottles=(LARGE,), fittings=(block,)).bottles[0].stows
    inside = (stow.base[:, 0] < 2.01 + 0.05) & (stow.base[:, 1] < 0.05)
    assert not inside[(stow.base[:, 0] < 2.01 - 0.05) & (stow.base[:, 1] < -0.05)].any()
    whole = contents_of(bottles=(LARGE,)).bottles[0].stows[0].count
    assert 0.68 * whole < stow.count < 0.76 * whole


@pytest.mark.closed_form
def test_kinds_in_one_space_lie_alike() -> None:
    """Two kinds that are to lie in different directions in one space are refused, naming the key."""
    flat = Bottles(name="flat", space="void", diameter=0.05, length=0.2, direction="athwartships")
    with pytest.raises(SketchError, match="upright and athwartships") as problem:
        filled(bottles=(LARGE, flat))
    assert problem.value.key == "bottles.flat.direction"


@pytest.mark.closed_form
def test_space_that_is_not_there() -> None:
    """Bottles in a space that the layout does not have are not placed; the nearest name is said, and the rest goes on."""
    boat = filled(bottles=(Bottles(name="some", space="viod", diameter=0.1, length=0.3), LARGE))
    finding = next(f for f in boat.findings if f.code == "contents-nowhere")
    assert "Did you mean void?" in in_words(finding)
    assert boat.contents is not None
    assert [space.space for space in boat.contents.bottles] == ["void"]


@pytest.mark.example
def test_stopping_tells_that_it_was_stopped() -> None:
    """Who waits for many bottles can stop: the result is marked, and a finding says so."""
    form = box_form()
    scene = layout_scene(form, **(PANELS | {"bottles": (replace(LARGE, diameter=0.0901),)}))
    spaces, findings = bottled_spaces(lay_out(scene, form), watch=lambda placed: False)
    assert spaces[0].complete is False
    assert "bottles-stopped" in [finding.code for finding in findings]


@pytest.mark.example
def test_a_packing_that_overlaps_is_never_shown() -> None:
    """The check that every packing passes refuses one with a bottle shifted into its neighbour."""
    form = box_form()
    space = next(s for s in lay_out(layout_scene(form, **PANELS), form).compartments if s.name == "void")
    (stow,) = contents_of(bottles=(LARGE,)).bottles[0].stows
    from sketcher.geometry.packing.cylinders import Size

    base = stow.base.copy()
    base[0, :2] = base[1, :2] + [0.05, 0.0]
    none = np.zeros(len(base), dtype=np.int64)
    with pytest.raises(GeometryError, match="bottles placed in void overlap"):
        check_packing(space.mesh, Packing((Size(0.05, 0.49),), stow.direction, base, none, none), "void")


@pytest.mark.closed_form
def test_round_opening_passes_a_bottle_of_its_own_diameter() -> None:
    """A round port of 100 mm passes a bottle of 100 mm, not one of 101."""
    round_port = (Opening(name="port", through="top", at=(1.5, 0.0), diameter=0.1, cover="tight"),)
    for diameter, passes in ((0.0995, ("port",)), (0.101, ())):
        kind = Bottles(name="b", space="void", diameter=diameter, length=0.4, at_most=4)
        assert contents_of(bottles=(kind,), openings=round_port).bottles[0].stows[0].passes == passes


@pytest.mark.example
def test_where_placing_ends_for_their_number_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of bottles whose number is not stated only so many are looked for; that there may be room for more is no secret."""
    monkeypatch.setattr(placing, "AS_MANY_AS_FIT", 25)
    assert "bottles-most-placed" in codes(filled(bottles=(LARGE,)))
    assert "bottles-most-placed" not in codes(filled(bottles=(replace(LARGE, at_most=25),)))


@pytest.mark.closed_form
def test_more_litres_than_the_cylinder_holds_is_said_and_lifts_nothing() -> None:
    """2.06 litres are more than a cylinder 90 by 310 mm holds, 1.97: the bottles stand, their lift is not known."""
    boat = filled(bottles=(Bottles(name="slim", space="void", diameter=0.09, length=0.31, litres=0.00206),))
    assert boat.contents is not None
    (space,) = boat.contents.bottles
    assert space.stows[0].count > 0
    assert (space.stows[0].lift, space.uplift, space.permeability) == (None, None, None)
    (finding,) = [found for found in boat.findings if found.code == "bottle-litres-too-many"]
    assert "cannot displace 2.06 litres: a cylinder 90 mm across and 310 mm long holds 1.97" in in_words(finding)
    assert "bottle-litres-unknown" not in codes(boat)
