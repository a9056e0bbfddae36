"""What the water weighs on panels and runs through holes, what a fill changes, and getting it out again."""

from dataclasses import replace

import numpy as np
import pytest
from floats import box_boat, hole, layout_of, room, scene_of

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.permeability import USES, emptiest_shares
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.flooding.at_rest import water_held
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.panel_loads import hole_flows, panel_loads
from sketcher.analysis.flooding.permeability_trials import compare_fills
from sketcher.analysis.flooding.pumping import emptying
from sketcher.analysis.results import PanelFace, PanelShape
from sketcher.analysis.spaces.leaks.orifice_flow import mean_head, orifice_flow
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, Lid, Weight

FORM = box_boat(8, 2.4, 1.6)
LEVEL = Plane.of((0.0, 0.0, 1.0), 0.5)


def _facing(space, number, axis, at):
    """The space with its face at `at` along an axis labelled as the panel of that number."""
    on_it = np.isclose(space.mesh.vertices[space.mesh.triangles][:, :, axis], at).all(axis=1)
    labels = np.where(on_it, 10 + number, space.mesh.labels).astype(np.int64)
    return replace(space, mesh=TriMesh(space.mesh.vertices, space.mesh.triangles, labels))


def _walled():
    """Two full-width rooms amidships with a bulkhead between them (panel 0), and a lid (panel 1) over the forward one."""
    fore = room("fore", (3.2, -1.2, 0), (3.99, 1.2, 0.6), 1.0, bounds=(("wall", "forward"), ("top", "under")))
    aft = room("aft", (4.01, -1.2, 0), (4.8, 1.2, 1.6), 1.0, bounds=(("wall", "after"),))
    over = room("over", (3.2, -1.2, 0.612), (3.99, 1.2, 1.6), 1.0, bounds=(("top", "top"),))
    fore = _facing(_facing(fore, 0, 0, 3.99), 1, 2, 0.6)
    aft, over = _facing(aft, 0, 0, 4.01), _facing(over, 1, 2, 0.612)
    wall = PanelShape(
        panel=Bulkhead(name="wall", at=3.99, thickness=0.02), kind="bulkhead", mesh=fore.mesh, depends_on=(),
        faces=(PanelFace("forward", Plane.of((-1.0, 0.0, 0.0), -3.99)), PanelFace("after", Plane.of((1.0, 0.0, 0.0), 4.01))),
    )  # fmt: skip
    top = PanelShape(
        panel=Lid(name="top", height=0.612, start=3.2, end=3.99, thickness=0.012), kind="lid", mesh=fore.mesh, depends_on=(),
        faces=(PanelFace("top", Plane.of((0.0, 0.0, 1.0), 0.612)), PanelFace("under", Plane.of((0.0, 0.0, -1.0), -0.6))),
    )  # fmt: skip
    return (fore, over, aft), (wall, top)


def _flood(spaces, holed, panels=(), paths=(), adjoining=(), weights=(), **options):
    scene = scene_of(FORM, 0.5, kg=0.6, weights=tuple(weights))
    water = water_plane(scene, FORM)
    layout = layout_of(scene, FORM, tuple(spaces), tuple(paths), tuple(adjoining), tuple(panels))
    afloat, _ = floating(scene, FORM, water)
    return layout, water, afloat, flooding_cases(layout, water, afloat, holed, **options)[0]


@pytest.mark.closed_form
def test_water_on_a_bulkhead_weighs_half_its_depth_by_the_width():
    """Flooded aft of it: load 1025 b h^2/2, pressure 1025 h at its foot, h the water's height (trim is small, and counted)."""
    spaces, panels = _walled()
    layout, _, _, case = _flood(spaces, ["aft"], panels)
    (wall,) = [load for load in panel_loads(layout, case) if load.panel == "wall"]
    plumb = case.water.plane.normal[2]
    deep = case.water.height(4.01)
    assert wall.face == "after"
    assert wall.head == pytest.approx(deep * plumb, rel=1e-9)
    assert wall.pressure == pytest.approx(1025 * deep * plumb, rel=1e-9)
    assert wall.load == pytest.approx(1025 * 2.4 * deep**2 / 2 * plumb, rel=1e-9)


@pytest.mark.closed_form
def test_a_lid_over_flooded_water_is_pushed_up():
    """Uplift is the water's height over the underside by its area, in sea water."""
    spaces, panels = _walled()
    layout, _, _, case = _flood(spaces, ["fore", "aft"], panels, adjoining=(("aft", "fore"),))
    loads = {load.panel: load for load in panel_loads(layout, case)}
    middle = case.water.height((3.2 + 3.99) / 2) - 0.6
    assert loads["top"].face == "under"
    assert loads["top"].load == pytest.approx(1025 * middle * 0.79 * 2.4 * case.water.plane.normal[2], rel=1e-6)


@pytest.mark.closed_form
def test_a_bulkhead_with_the_same_water_on_both_sides_carries_the_difference():
    """Both sides flooded: what stands against what is taken off, the taller side's rest remains."""
    spaces, panels = _walled()
    layout, _, _, case = _flood(spaces, ["fore", "aft"], panels, adjoining=(("aft", "fore"),))
    one_side = _flood(spaces, ["aft"], panels)
    both = {load.panel: load for load in panel_loads(layout, case)}["wall"]
    single = {load.panel: load for load in panel_loads(one_side[0], one_side[3])}["wall"]
    assert both.load < 0.2 * single.load


@pytest.mark.closed_form
def test_flow_through_a_hole_follows_the_orifice_formula():
    """0.6 A sqrt(2 g h): a 25 mm hole under 0.30 m passes 43 litres a minute, a 12 mm one 10; none without head."""
    assert orifice_flow(np.pi / 4 * 0.025**2, 0.30) == pytest.approx(43, abs=0.5)
    assert orifice_flow(np.pi / 4 * 0.012**2, 0.30) == pytest.approx(10, abs=0.5)
    assert orifice_flow(1.0, -0.1) == 0.0


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("tall", "depth", "wet", "head"), [(0.04, 0.3, 1.0, 0.28), (0.4, 0.1, 0.25, 0.05), (0.0, 0.2, 1.0, 0.2), (0.4, 0.0, 0.0, 0.0)]
)
def test_the_head_of_a_hole_is_over_the_middle_of_its_wet_part(tall, depth, wet, head):
    """A hole under water runs with all its area and the head at its middle; one partly wet, or lying flat, with what is wet."""
    assert mean_head(tall, depth) == pytest.approx((wet, head))


@pytest.mark.closed_form
def test_each_hole_crossed_tells_what_it_passes_at_first():
    """A drain low in a bulkhead: its head is the water over its middle when the first space has filled."""
    spaces, panels = _walled()
    path = hole(("aft", "fore"), (4.0, 0.0, 0.10), size=0.02)
    layout, _, _, case = _flood(spaces, ["aft"], panels, paths=(path,))
    alone = _flood(spaces, ["aft"], panels)[3]
    (flow,) = hole_flows(layout, case)
    head = (alone.water.height(4.0) - 0.10) * alone.water.plane.normal[2] - 0.01
    assert flow.head == pytest.approx(head, abs=1e-6)
    assert flow.litres_per_minute == pytest.approx(60000 * 0.6 * 0.0004 * np.sqrt(2 * 9.81 * head), rel=1e-4)


@pytest.mark.closed_form
@pytest.mark.parametrize("between", [("aft", "fore"), ("fore", "aft")])
@pytest.mark.parametrize("holed", ["aft", "fore"])
def test_a_flow_is_told_from_the_space_it_leaves_to_the_one_it_fills(between, holed):
    """Whichever of the two is holed, and in whatever order the path names them."""
    spaces, panels = _walled()
    path = hole(between, (4.0, 0.0, 0.10), size=0.02)
    layout, _, _, case = _flood(spaces, [holed], panels, paths=(path,))
    (flow,) = hole_flows(layout, case)
    assert flow.between == (holed, "fore" if holed == "aft" else "aft")


@pytest.mark.closed_form
def test_a_fill_leaves_less_room_for_water():
    """As the scene has it, empty, with bottles, with foam: less water each time from empty on, by the uses' permeabilities."""
    spaces, _ = _walled()
    layout, water, afloat, _ = _flood(spaces, ["aft"])
    fills = compare_fills(layout, water, afloat, ["aft"], "aft")
    assert list(fills) == ["as in the scene", "empty", "bottles, usual", "foam, usual"]
    stated, *usual = fills.values()
    volumes = [case.water_volume for case in usual]
    assert volumes == sorted(volumes, reverse=True)
    assert [case.shares["aft"] for case in usual] == [0.95, 0.55, 0.14]
    (own,) = [space.permeability for space in layout.compartments if space.name == "aft"]
    assert stated.shares["aft"] == own


@pytest.mark.closed_form
@pytest.mark.parametrize("use", ["stowage", "bottles", "foam", "machinery", "tank", "chain", "void"])
def test_a_use_by_its_name_alone_never_takes_a_case_away(use):
    """12 m of a box of 60 x 8 x 4 amidships, whatever its use: as stated m l T / (L - m l) more, and as empty as she sails with
    0.95, that is 4.93827 m; only what is placed in it is less."""
    form = box_boat(60, 8, 9)
    share = USES[use].permeability
    hold = room("hold", (24, -4, 0), (36, 4, 9), share, use=use)
    scene = scene_of(form, 4.0, kg=2.5)
    water = water_plane(scene, form)
    (case,) = flooding_cases(layout_of(scene, form, (hold,)), water, floating(scene, form, water)[0], ["hold"])
    assert case.water.forward == pytest.approx(4.0 * 60 / (60 - share * 12), abs=1e-6)
    assert case.states[-1].water.forward == pytest.approx(4.0 * 60 / (60 - 0.95 * 12), abs=1e-6)
    assert (case.emptiest is None) == (share == 0.95)
    given = flooding_cases(layout_of(scene, form, (hold,)), water, floating(scene, form, water)[0], ["hold"], permeability={})
    assert given[0].emptiest is None


@pytest.mark.closed_form
def test_a_chain_keeps_its_steel_from_the_water_and_no_more():
    """78.5 kg of chain are 10 litres of steel: of a locker of 1 m3 0.94 is left, where the table of uses says 0.60. What lies in
    it in one condition only, or is taken out, does not count; a chain that is placed stands for all of it."""
    locker = room("locker", (0, -0.5, 0), (1, 0.5, 1.0), 0.6, use="chain")
    chain = Weight(name="chain", kg=78.5, at=(0.5, 0.0, 0.3))
    others = (replace(chain, name="more", condition="loaded"), replace(chain, name="old", kg=-40.0))
    layout, _, _, case = _flood((locker,), ["locker"], weights=(chain, *others))
    assert emptiest_shares(layout) == {"locker": pytest.approx(0.94)}
    assert case.emptiest.shares == {"locker": pytest.approx(0.94)}
    assert case.shares == {"locker": 0.6}
    placed = replace(layout, compartments=(replace(locker, blocked=0.03),))
    assert emptiest_shares(placed) == {"locker": pytest.approx(0.92)}


@pytest.mark.closed_form
def test_a_pump_takes_the_water_above_its_intake_and_the_drains():
    """60 litres a minute: what stands over the intake in its own space and over the sill of the next, no more."""
    fore, aft = room("fore", (3, -1, 0), (4, 1, 1.6), 1.0), room("aft", (4, -1, 0), (5, 1, 1.6), 1.0)
    path = hole(("fore", "aft"), (4.0, 0.0, 0.10))
    layout, _, _, case = _flood((fore, aft), ["fore"], paths=(path,))
    out = emptying(layout, case, LEVEL, "fore", (3.5, 0.0, 0.03), 60.0)
    held = {each.space: each for each in out.spaces}
    assert held["fore"].left == pytest.approx(1 * 2 * 0.03, abs=1e-9)
    assert held["aft"].left == pytest.approx(1 * 2 * 0.10, abs=1e-9)
    assert held["aft"].drains_at == pytest.approx(0.10, abs=1e-9)
    assert out.minutes == pytest.approx(1000 * (case.water_volume - 0.26) / 60, rel=1e-9)


@pytest.mark.closed_form
def test_a_space_with_no_drain_to_the_pump_keeps_its_water():
    """Two spaces holed with nothing between them: the pump empties its own."""
    fore, aft = room("fore", (3, -1, 0), (4, 1, 1.6), 1.0), room("aft", (4, -1, 0), (5, 1, 1.6), 1.0)
    layout, _, _, case = _flood((fore, aft), ["fore", "aft"])
    held = {each.space: each for each in emptying(layout, case, LEVEL, "fore", (3.5, 0.0, 0.0), 60.0).spaces}
    assert held["aft"].drains_at is None
    assert held["aft"].left == held["aft"].held == pytest.approx(water_held(layout, case)["aft"])
    assert held["fore"].held + held["aft"].held == pytest.approx(case.water_volume, rel=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize(("pump_in", "rate", "message"), [("aft", 60.0, "not flooded"), ("fore", 0.0, "empties nothing")])
def test_a_pump_that_cannot_help_is_refused(pump_in, rate, message):
    """A pump in a dry space or without a rate: an error in words."""
    fore, aft = room("fore", (3, -1, 0), (4, 1, 1.6), 1.0), room("aft", (4, -1, 0), (5, 1, 1.6), 1.0)
    layout, _, _, case = _flood((fore, aft), ["fore"])
    with pytest.raises(SketchError, match=message):
        emptying(layout, case, LEVEL, pump_in, (3.5, 0.0, 0.0), rate)
