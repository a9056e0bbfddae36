"""What a board weighs: merchants' table, the scene's own sheets, and what nobody knows."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.mass import OKOUME, board_mass, has_grain, stock_for, surface_density
from sketcher.model.cutting import Sheet
from sketcher.model.scene import Bulkhead

FORM = box_form()
BARE = layout_scene(FORM)


@pytest.mark.published
@pytest.mark.parametrize(("thickness", "per_area"), OKOUME)
def test_usual_plywood_weighs_what_merchants_say(thickness: float, per_area: float) -> None:
    """At the thicknesses sold; a board with no material stated is taken for such plywood, and that is told."""
    assert surface_density(BARE, thickness, "okoume") == per_area
    assert board_mass(BARE, Bulkhead(name="b", at=1.0, thickness=thickness), 2.0) == (None, 2.0 * per_area, True)


@pytest.mark.property
@given(st.floats(0.006, 0.018), st.floats(0.006, 0.018))
def test_thicker_plywood_is_heavier(one: float, other: float) -> None:
    """Between the thicknesses of the table too."""
    light, heavy = (surface_density(BARE, each, "marine ply") for each in sorted((one, other)))
    assert light is not None
    assert heavy is not None
    assert light <= heavy


@pytest.mark.example
def test_the_scenes_own_sheet_wins_and_what_is_unknown_stays_so() -> None:
    """A sheet's stated mass goes before the tables; larch is in none, teak is 650 kg/m3; another thickness is not meant."""
    sheet = Sheet(name="larch", size=(2.5, 1.25), thickness=0.012, material="larch", kg_per_m2=7.0)
    scene = layout_scene(FORM, sheets=(sheet,))
    assert board_mass(scene, Bulkhead(name="b", at=1.0, thickness=0.0121), 1.5) == ("larch", 10.5, False)
    assert stock_for(scene, 0.018, "larch") is None
    assert surface_density(BARE, 0.012, "larch") is None
    assert surface_density(BARE, 0.012, "teak") == pytest.approx(7.8)
    assert surface_density(BARE, 0.012, "plywood") == pytest.approx(6.6)
    assert surface_density(BARE, 0.030, "okoume") is None


@pytest.mark.example
def test_boards_keep_to_a_grain_unless_every_sheet_at_hand_has_none() -> None:
    """A sheet that is used up says nothing."""
    along = Sheet(name="a", size=(2.5, 1.25), thickness=0.012, grain="along", have=0)
    free = Sheet(name="b", size=(2.5, 1.25), thickness=0.012, grain="any")
    assert has_grain(BARE, 0.012, None)
    assert not has_grain(layout_scene(FORM, sheets=(along, free)), 0.012, None)
