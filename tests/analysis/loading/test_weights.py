"""What weights do to the waterline, against closed forms."""

from dataclasses import replace

import numpy as np
import pytest
from floats import box_boat, layout_of, room, scene_of
from specimens import box_form, layout_scene

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.loading.panel_masses import panel_weights
from sketcher.analysis.loading.weight_findings import weights_findings
from sketcher.analysis.loading.weights import as_floating, conditions, loaded, loading
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import TriMesh
from sketcher.model.cutting import Cutting, PartReadings, Sheet
from sketcher.model.hull import WholeBoat
from sketcher.model.scene import Berth, Bulkhead, Opening, Weight
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words

BOX = box_boat(8, 2.4, 1.2)


def _boat(weights=(), form=BOX, kg=0.6, forward=0.5, after=0.5, heel=0.0, **fields):
    scene = scene_of(form, forward, after, heel, kg=kg, weights=tuple(weights), **fields)
    water = water_plane(scene, form)
    return layout_of(scene, form, ()), water, floating(scene, form, water)[0]


@pytest.mark.closed_form
def test_the_boat_as_she_floats_fixes_her_mass_and_where_it_acts():
    """Level: LBT by 1025 kg, centre of gravity plumb over the middle at its stated height."""
    layout, water, _ = _boat()
    boat = as_floating(layout, water)
    assert boat.mass == pytest.approx(9840.0, rel=1e-12)
    assert boat.centre == pytest.approx([4, 0, 0.6], abs=1e-12)


@pytest.mark.closed_form
def test_a_trimmed_and_heeled_boat_has_her_gravity_plumb_over_her_buoyancy():
    """The line from B to G stands square to the water."""
    layout, water, afloat = _boat(forward=0.6, after=0.45, heel=2.0)
    arm = as_floating(layout, water).centre - np.array(afloat.centre_of_buoyancy)
    assert np.cross(arm, water.plane.normal) == pytest.approx(np.zeros(3), abs=1e-12)


@pytest.mark.closed_form
def test_a_weight_at_the_middle_sinks_a_box_by_its_share():
    """kg / (1025 L B) deeper at both ends; by hand the same."""
    layout, water, afloat = _boat([Weight(name="ballast", kg=300.0, at=(4.0, 0.0, 0.2))])
    result = loaded(layout, water, afloat)
    deeper = 300.0 / (1025 * 19.2)
    assert (result.water.forward - 0.5, result.water.after - 0.5) == pytest.approx((deeper, deeper), abs=1e-8)
    (item,) = result.items
    assert (item.forward, item.hand_forward, item.hand_after) == pytest.approx((deeper,) * 3, abs=1e-8)
    assert result.mass == pytest.approx(10140.0)


@pytest.mark.closed_form
def test_a_weight_forward_trims_her_and_the_hand_reckoning_comes_close():
    """100 kg near the bow: exact equilibrium and kg per cm with moment per cm agree within 3 %, forward rising more."""
    layout, water, afloat = _boat([Weight(name="chain", kg=100.0, at=(0.8, 0.0, 0.5))])
    (item,) = loaded(layout, water, afloat).items
    by_hand = 100 / afloat.kg_per_cm / 100 + 100 * 3.2 / afloat.moment_per_cm / 100 * 4 / 8
    assert item.hand_forward == pytest.approx(by_hand, rel=1e-12)
    assert item.forward == pytest.approx(by_hand, rel=0.03)
    assert item.forward > item.after


@pytest.mark.closed_form
def test_taking_off_what_was_put_on_brings_her_back():
    """A weight and the same taken off leave the waterline where it was."""
    both = [Weight(name="on", kg=120.0, at=(2.0, 0.3, 0.3)), Weight(name="off", kg=-120.0, at=(2.0, 0.3, 0.3))]
    layout, water, afloat = _boat(both)
    result = loaded(layout, water, afloat)
    assert (result.water.forward, result.water.after, result.water.heel) == pytest.approx((0.5, 0.5, 0.0), abs=1e-8)


@pytest.mark.closed_form
def test_a_side_weight_heels_her_to_its_side_by_the_wall_sided_angle():
    """tan h (GM + BM tan^2 h / 2) = shift of the loaded centre of gravity."""
    layout, water, afloat = _boat([Weight(name="batteries", kg=200.0, at=(4.0, 0.9, 0.6))])
    result = loaded(layout, water, afloat)
    draft = 10040 / (1025 * 19.2)
    lean = np.tan(np.radians(result.water.heel))
    bm, gm = 2.4**2 / (12 * draft), draft / 2 + 2.4**2 / (12 * draft) - 0.6
    assert lean * (gm + bm * lean**2 / 2) == pytest.approx(200 * 0.9 / 10040, abs=1e-8)
    assert result.water.heel > 0


@pytest.mark.closed_form
def test_conditions_are_had_one_by_one():
    """Weights without a condition always count; those of a condition only in it."""
    weights = [
        Weight(name="windlass", kg=40.0, at=(4.0, 0.0, 1.0)),
        Weight(name="stores", kg=300.0, at=(4.0, 0.0, 0.4), condition="loaded"),
        Weight(name="water", kg=-60.0, at=(4.0, 0.0, 0.2), condition="light"),
    ]
    layout, water, afloat = _boat(weights)
    assert conditions(layout.scene) == ("loaded", "light")
    change = {name: loaded(layout, water, afloat, name).change for name in (None, "loaded", "light")}
    assert change == {None: 40.0, "loaded": 340.0, "light": -20.0}


@pytest.mark.closed_form
def test_more_taken_off_than_she_weighs_is_said():
    """No weight left: no waterline, and the reason in words."""
    layout, water, afloat = _boat([Weight(name="slip", kg=-12000.0, at=(4.0, 0.0, 0.4))])
    result = loaded(layout, water, afloat)
    assert (result.water, result.floating) == (None, None)
    assert "no weight" in words(result.reason)


@pytest.mark.closed_form
def test_without_the_height_of_gravity_the_new_waterline_is_unknown():
    """Nothing guessed: None and the reason."""
    layout, water, afloat = _boat([Weight(name="chain", kg=84.0, at=(1.0, 0.0, 0.5))], kg=None)
    assert loading(layout, water) is None
    result = loaded(layout, water, afloat)
    assert (result.water, result.mass, words(result.reason)) == (None, None, "the height of the centre of gravity is not stated")


@pytest.mark.closed_form
def test_a_partly_measured_boat_gives_estimates_from_its_block():
    """Sinkage by kg per cm, trim by moment per cm over her whole length; marked as estimated."""
    block = WholeBoat(length=10.0, displacement=8000, kg_per_cm=200, moment_per_cm=100, centre_of_flotation=5.0)
    form = box_boat(4, 2.4, 1.2, open_aft=True, boat=block)
    layout, water, afloat = _boat([Weight(name="chain", kg=100.0, at=(1.0, 0.0, 0.5))], form=form)
    result = loaded(layout, water, afloat)
    assert result.estimated
    slope = 100 * 4.0 / 100 / 100 / 10.0
    assert result.water.forward - 0.5 == pytest.approx(0.005 + slope * 5.0, rel=1e-12)
    assert result.water.after - 0.5 == pytest.approx(0.005 + slope * 1.0, rel=1e-12)
    assert result.mass == 8100
    lost = afloat.forward_freeboard - result.floating.forward_freeboard
    assert lost == pytest.approx(0.005 + slope * 5.0, rel=1e-9)


@pytest.mark.closed_form
def test_a_planned_panel_of_known_mass_counts_and_an_old_one_does_not():
    """A planned bulkhead of 22 kg acts at the middle of its face; built already, it is in the boat as she floats."""
    hold = room("hold", (0, -1.2, 0), (3, 1.2, 1.2))
    ahead = (hold.mesh.vertices[hold.mesh.triangles][:, :, 0] == 3).all(axis=1)
    hold = replace(hold, mesh=TriMesh(hold.mesh.vertices, hold.mesh.triangles, np.where(ahead, 10, 0).astype(np.int64)))
    for built, expected in (("planned", [(22.0, (3.0, 0.0, 0.6))]), ("already", [])):
        panel = Bulkhead(name="main", at=3.0, thickness=0.018, built=built, kg=22.0)
        shape = PanelShape(panel=panel, kind="bulkhead", mesh=hold.mesh, faces=(), depends_on=())
        scene = scene_of(BOX, 0.5, bulkheads=(panel,))
        layout = layout_of(scene, BOX, (hold,), panels=(shape,))
        assert [(each.kg, pytest.approx(each.at)) for each in panel_weights(layout)] == expected


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("weight", "said"),
    [
        (Weight(name="flying bridge", kg=1500.0, at=(4.0, 0.0, 6.0)), "she does not come to rest: she heels beyond 60 degrees"),
        (Weight(name="tall gear", kg=900.0, at=(4.0, 0.0, 8.2)), "an angle of loll of"),
        (
            Weight(name="cargo", kg=15000.0, at=(4.0, 0.0, 0.5)),
            "not come to rest: all that still displaces water cannot carry",
        ),
        (Weight(name="anchor chain", kg=9000.0, at=(2.6, 0.0, 0.3)), "deck's edge lies"),
        (Weight(name="slip", kg=-12000.0, at=(4.0, 0.0, 0.4)), "there is no weight to carry"),
        (Weight(name="stores", kg=84.0, at=(1.0, 0.0, 0.5)), None),
    ],
    ids=["capsizes", "lolls", "founders", "awash", "wrong sign", "nothing to say"],
)
def test_weights_that_she_cannot_bear_are_said(weight, said):
    """Too high, too much, too far forward, more off than she weighs: one finding that stops, in words; else none."""
    layout, water, _ = _boat([weight], form=box_boat(8, 2.4, 1.6 if said and "loll" in said else 1.2))
    found = weights_findings(layout, water)
    if said is None:
        assert found == ()
    else:
        (finding,) = found
        assert finding.severity == "stop"
        assert said in in_words(finding)


@pytest.mark.closed_form
def test_a_planned_panel_of_known_material_weighs_by_its_faces() -> None:
    """Okoume of 12 mm at 5.4 kg/m2 (merchants' data) over 2 x 1 m less a port of 0.3 x 0.2 m: 10.476 kg, midway in the board."""
    form = box_form()
    main = Bulkhead(name="main", at=2.0, thickness=0.012)
    port = Opening(name="port", through="main", at=(0.0, 0.5), size=(0.3, 0.2), cover="tight")
    sheet = Sheet(name="okoume", thickness=0.012, size=(2.44, 1.22), material="okoume")
    weight, bonding = panel_weights(lay_out(layout_scene(form, bulkheads=(main,), openings=(port,), sheets=(sheet,)), form))
    assert (weight.planned, bonding.planned, bonding.name) == (True, True, "resin, glass and putty")
    assert weight.kg == pytest.approx(5.4 * (2.0 - 0.06), rel=1e-6)
    assert weight.at == pytest.approx((2.006, 0.0, 0.5), abs=1e-6)
    assert panel_weights(lay_out(layout_scene(form, bulkheads=(main,)), form)) == ()


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("readings", "more"),
    [
        (PartReadings(name="main", kg=12.0), 12.0 - 10.476),
        (PartReadings(name="main, part 1 of 2", kg=6.1, planned_kg=5.4), 0.7),
        (PartReadings(name="main, part 1 of 2", kg=6.1), None),
        (PartReadings(name="mainly", kg=6.1), None),
    ],
)
def test_a_weighed_board_counts_by_its_difference(readings: PartReadings, more: float | None) -> None:
    """The panel against its 10.476 kg, a part against what was planned of it; where that is not known, nothing is added."""
    form = box_form()
    main = Bulkhead(name="main", at=2.0, thickness=0.012)
    port = Opening(name="port", through="main", at=(0.0, 0.5), size=(0.3, 0.2), cover="tight")
    sheet = Sheet(name="okoume", thickness=0.012, size=(2.44, 1.22), material="okoume")
    fields = {"bulkheads": (main,), "openings": (port,), "sheets": (sheet,), "as_built": (readings,)}
    found = {each.name: each for each in panel_weights(lay_out(layout_scene(form, **fields), form))}
    weighed = found.pop(f"{readings.name}, as weighed", None)
    assert set(found) == {"main", "resin, glass and putty"}
    assert (None if weighed is None else weighed.kg) == (more if more is None else pytest.approx(more, abs=1e-6))
    assert weighed is None or weighed.at == found["main"].at


@pytest.mark.closed_form
def test_a_berths_boards_of_known_material_weigh_too() -> None:
    """Boards of 12 mm okoume at 5.4 kg/m2 over 2 x 2 m, without gaps: 21.6 kg, half their thickness below their top."""
    form = box_form()
    main = Bulkhead(name="main", at=2.0, thickness=0.012, built="already")
    berth = Berth(name="berth", height=0.5, start="stem", end="main", thickness=0.012)
    sheet = Sheet(name="okoume", thickness=0.012, size=(2.44, 1.22), material="okoume")
    cutting = Cutting(gap=0.0, panel_gap=0.0)
    (weight,) = panel_weights(
        lay_out(layout_scene(form, bulkheads=(main,), berths=(berth,), sheets=(sheet,), cutting=cutting), form)
    )
    assert weight.kg == pytest.approx(5.4 * 4.0, rel=1e-4)
    assert weight.at == pytest.approx((1.0, 0.0, 0.494), abs=1e-4)
