"""How she floats at a stated waterline, against closed forms."""

from dataclasses import replace

import numpy as np
import pytest
from floats import box_boat, form_of, hole, room, scene_of, space
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from places import HULLS
from shapes import cylinder, ellipsoid, wedge, wigley

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.hydrostatics import hydrostatic_table
from sketcher.analysis.afloat.immersion import immersion
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.results import OUTSIDE
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.hull import Appendage, Deck, WholeBoat
from sketcher.model.scene import Waterline

FACETS = 5e-4
"""Relative error of the curved meshes here against the curves they stand for."""


def _afloat(form, *args, paths=(), **kwargs):
    scene = scene_of(form, *args, **kwargs)
    return floating(scene, form, water_plane(scene, form), paths)


def _codes(findings):
    return {finding.code for finding in findings}


@pytest.mark.closed_form
def test_a_box_floats_as_its_row_of_closed_forms_says():
    """Box 8 x 2.4 x 0.5, KG 0.6: displacement, KM = T/2 + B^2/12T, GM 0.61, kg per cm, moment per cm, freeboards."""
    afloat, findings = _afloat(box_boat(8, 2.4, 1.2), 0.5, kg=0.6)
    assert afloat.displacement == pytest.approx(1025 * 9.6, rel=1e-12)
    assert afloat.centre_of_buoyancy == pytest.approx((4, 0, 0.25), abs=1e-12)
    assert afloat.gm == pytest.approx(0.61, rel=1e-12)
    assert afloat.km_transverse == pytest.approx(0.25 + 2.4**2 / 6, rel=1e-12)
    assert afloat.km_longitudinal == pytest.approx(0.25 + 8**2 / 6, rel=1e-12)
    assert afloat.kg_per_cm == pytest.approx(19.2 * 10.25, rel=1e-12)
    assert afloat.moment_per_cm == pytest.approx(1025 * 9.6 * (0.25 + 64 / 6 - 0.6) / 800, rel=1e-12)
    assert (afloat.waterplane_area, afloat.centre_of_flotation) == pytest.approx((19.2, 4.0), rel=1e-12)
    assert (afloat.draft, afloat.canoe_body_draft) == pytest.approx((0.5, 0.5), abs=1e-12)
    assert (afloat.forward_freeboard, afloat.after_freeboard, afloat.least_freeboard) == pytest.approx((0.7,) * 3, abs=1e-12)
    assert afloat.wetted_surface == pytest.approx(19.2 + 2 * 0.5 * 10.4, rel=1e-12)
    assert findings == ()


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("form", "level", "volume", "height", "across", "along"),
    [
        (form_of(wedge(8, 4.8, 1.0)), 0.5, 8 * 2.4 * 0.5 / 2, 1 / 3, 2.4**2 / 3, 64 / 3),
        (form_of(wigley(8, 2.4, 0.5)), 0.5 - 1e-7, 4.266667, 0.3125, 0.987429, 9.6),
        (form_of(ellipsoid(4, 1.2, 0.5)), 0.0, 5.026548, -0.1875, 1.08, 12.0),
        (
            form_of(cylinder(6, 0.8)),
            0.0,
            np.pi * 0.8**2 * 3,
            -4 * 0.8 / (3 * np.pi),
            4 * 0.8 / (3 * np.pi),
            36 / (3 * np.pi * 0.8),
        ),
    ],
    ids=["wedge", "wigley", "half ellipsoid", "half cylinder"],
)
def test_known_bodies_float_as_their_closed_forms_say(form, level, volume, height, across, along):
    """Volume, centre of buoyancy and both metacentric radii of the table of forms."""
    afloat, _ = _afloat(form, level)
    assert afloat.volume == pytest.approx(volume, rel=FACETS)
    assert afloat.centre_of_buoyancy[2] == pytest.approx(height, rel=FACETS)
    assert afloat.km_transverse - afloat.centre_of_buoyancy[2] == pytest.approx(across, rel=3 * FACETS)
    assert afloat.km_longitudinal - afloat.centre_of_buoyancy[2] == pytest.approx(along, rel=3 * FACETS)


@pytest.mark.closed_form
def test_a_heeled_box_has_the_wall_sided_righting_arm():
    """Box 2.4 wide, draft 0.5, KG 0.6: B's shift gives GZ 0.108517 at 10 and 0.166799 at 15 degrees."""
    for heel, arm in ((10, 0.108517), (15, 0.166799)):
        afloat, _ = _afloat(box_boat(8, 2.4, 1.6), 0.5, heel=heel)
        _, y, z = afloat.centre_of_buoyancy
        lean = np.radians(heel)
        assert y * np.cos(lean) + (z - 0.6) * np.sin(lean) == pytest.approx(arm, abs=5e-7)


@pytest.mark.closed_form
def test_appendages_displace_and_deepen_but_add_no_waterplane():
    """280 litres at 0.4 m below the base line: 287 kg more in sea water, a deeper draft, the same canoe body."""
    keel = Appendage(name="fin keel", volume=0.280, at=(4.4, 0.0, -0.42), lowest=-0.95)
    plain, _ = _afloat(box_boat(8, 2.4, 1.2), 0.5)
    afloat, _ = _afloat(box_boat(8, 2.4, 1.2, appendages=(keel,)), 0.5)
    assert afloat.displacement - plain.displacement == pytest.approx(287.0, abs=1e-9)
    assert (afloat.draft, afloat.canoe_body_draft) == pytest.approx((1.45, 0.5), abs=1e-12)
    assert afloat.waterplane_area == pytest.approx(plain.waterplane_area, rel=1e-12)
    assert afloat.centre_of_buoyancy[2] == pytest.approx((9.6 * 0.25 - 0.28 * 0.42) / 9.88, rel=1e-12)


@pytest.mark.closed_form
def test_an_appendage_of_unknown_depth_leaves_the_draft_unknown():
    """No `lowest`: the draft is None and a finding asks for it; the canoe body's draft stays."""
    rudder = Appendage(name="rudder", volume=0.01, at=(7.8, 0.0, -0.1))
    afloat, findings = _afloat(box_boat(8, 2.4, 1.2, appendages=(rudder,)), 0.5)
    assert (afloat.draft, afloat.canoe_body_draft) == (None, pytest.approx(0.5))
    assert "appendage-depth-unknown" in _codes(findings)


@pytest.mark.closed_form
def test_an_appendage_out_of_the_water_is_said():
    """Its middle 0.3 m above the water: counted all the same, and told."""
    davit = Appendage(name="davit", volume=0.01, at=(7.8, 0.0, 0.8), lowest=0.7)
    _, findings = _afloat(box_boat(8, 2.4, 1.2, appendages=(davit,)), 0.5)
    (found,) = [each for each in findings if each.code == "appendage-above-water"]
    assert found.measured == pytest.approx(0.3)


@pytest.mark.closed_form
def test_a_catamaran_has_twice_the_displacement_and_the_stiffness_of_its_spacing():
    """Two boxes 8 x 1 at 4 m: V doubles; BM = (2 L b^3/12 + 2 L b (s/2)^2) / V."""
    single, _ = _afloat(box_boat(8, 1, 1.2), 0.5, kg=0.9)
    twin, _ = _afloat(box_boat(8, 1, 1.2, twin_spacing=4.0), 0.5, kg=0.9)
    second = 2 * 8 / 12 + 2 * 8 * 2.0**2
    assert twin.displacement == pytest.approx(2 * single.displacement, rel=1e-12)
    assert twin.centre_of_buoyancy == pytest.approx((4, -2, 0.25), abs=1e-12)
    assert twin.gm == pytest.approx(second / 8 + 0.25 - 0.9, rel=1e-12)
    assert twin.wetted_surface == pytest.approx(2 * single.wetted_surface, rel=1e-12)


@pytest.mark.closed_form
def test_trim_and_heel_move_the_freeboards_to_the_worse_corner():
    """Plumb freeboards of a box trimmed 0.2 m by the bow and heeled: the least one is at the starboard bow corner."""
    form = box_boat(8, 2.4, 1.2)
    scene = scene_of(form, 0.6, 0.4, heel=5)
    water = water_plane(scene, form)
    afloat, _ = floating(scene, form, water)
    upright = water.plane.normal[2]
    lean = 1.2 * np.tan(np.radians(5))
    assert afloat.forward_freeboard == pytest.approx((1.2 - 0.6 - lean) * upright, abs=1e-12)
    assert afloat.after_freeboard == pytest.approx((1.2 - 0.4 - lean) * upright, abs=1e-12)
    assert afloat.least_freeboard_at == pytest.approx((0, 1.2, 1.2), abs=1e-12)


@pytest.mark.closed_form
def test_two_freeboards_measured_afloat_state_the_waterline():
    """The water found from freeboards gives those freeboards back, heel included."""
    form = box_boat(8, 2.4, 1.2)
    stated = Waterline(bow_freeboard=0.62, stern_freeboard=0.71, heel=3.0)
    scene = scene_of(form, 0.5, waterline=stated)
    afloat, _ = floating(scene, form, water_plane(scene, form))
    assert (afloat.forward_freeboard, afloat.after_freeboard) == pytest.approx((0.62, 0.71), abs=1e-12)


@pytest.mark.property
@pytest.mark.parametrize(("shell", "within"), [(0.0, 1e-9), (0.012, 0.002)])
def test_camber_does_not_move_the_water_found_from_freeboards(shell, within):
    """Freeboards are to the deck's edge: 80 mm of camber more leave the water at both ends where it was.

    With a shell outside the measured face the edge itself lies lower on a cambered deck by 2 x camber x shell / half-breadth.
    """
    stated = Waterline(bow_freeboard=1.095, stern_freeboard=0.94)
    hull = replace(read_hull(HULLS / "marram-29.yaml"), shell=shell, coachroof=None, cockpit=None)
    ends = []
    for camber in (0.0, 0.08):
        form = form_hull(replace(hull, deck=Deck(camber=camber, thickness=shell)))
        water = water_plane(scene_of(form, 0.5, waterline=stated), form)
        ends.append((water.height(0.0), water.height(8.9)))
    assert ends[1] == pytest.approx(ends[0], abs=within)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("stated", "message"),
    [
        (Waterline(forward=0.5, after=0.5, bow_freeboard=0.6, stern_freeboard=0.6), "stated twice"),
        (Waterline(forward=0.5), "needs a mark at both ends"),
        (Waterline(stern_freeboard=0.5), "needs a mark at both ends"),
        (Waterline(forward=5.0, after=5.0), "lies above the whole hull"),
        (Waterline(forward=-0.5, after=-0.5), "lies below the whole hull"),
        (Waterline(forward=0.5, after=0.5, heel=75), "no boat floats at rest"),
    ],
)
def test_marks_that_cannot_be_are_refused_in_words(stated, message):
    """Contradicting, missing or absurd marks raise an error that says which and what to write."""
    form = box_boat(8, 2.4, 1.2)
    with pytest.raises(SketchError, match=message):
        water_plane(scene_of(form, 0.5, waterline=stated), form)


@pytest.mark.closed_form
def test_without_a_waterline_every_figure_is_unknown_and_said():
    """No waterline: an empty result, one finding, no immersion for any space."""
    form = box_boat(8, 2.4, 1.2)
    scene = scene_of(form, 0.5, waterline=None)
    assert water_plane(scene, form) is None
    afloat, findings = floating(scene, form, None)
    assert (afloat.displacement, afloat.gm, _codes(findings)) == (None, None, {"waterline-not-stated"})
    assert immersion([room("a", (0, 0, 0), (1, 1, 1))], None) == (None,)


@pytest.mark.closed_form
def test_without_the_height_of_gravity_what_needs_it_is_unknown():
    """GM and moment per cm are None, kg per cm is not, and a finding asks for the height."""
    afloat, findings = _afloat(box_boat(8, 2.4, 1.2), 0.5)
    assert (afloat.gm, afloat.moment_per_cm) == (None, None)
    assert afloat.kg_per_cm is not None
    assert _codes(findings) == {"centre-of-gravity-unknown"}


@pytest.mark.closed_form
def test_a_centre_of_gravity_that_capsizes_her_is_said():
    """KG 2 m in a box of KM 1.21: a stop, GM -0.79."""
    afloat, findings = _afloat(box_boat(8, 2.4, 1.2), 0.5, kg=2.0)
    (found,) = findings
    assert (found.code, found.severity, found.measured) == ("unstable", "stop", pytest.approx(-0.79, abs=1e-12))
    assert afloat.gm == pytest.approx(-0.79)


@pytest.mark.closed_form
def test_a_partly_measured_boat_gives_estimates_marked_so_and_nothing_else():
    """Open aft: what the boat block tells is estimated, the forward freeboard is measured, the rest is None."""
    boat = WholeBoat(length=10.2, displacement=8600, kg_per_cm=205, moment_per_cm=108, centre_of_flotation=5.35)
    afloat, findings = _afloat(box_boat(4, 2.4, 1.2, open_aft=True, boat=boat), 0.5, kg=0.6)
    assert (afloat.displacement, afloat.kg_per_cm, afloat.moment_per_cm, afloat.centre_of_flotation) == (8600, 205, 108, 5.35)
    assert set(afloat.estimated) == {
        "displacement", "volume", "kg_per_cm", "waterplane_area", "moment_per_cm", "centre_of_flotation",
    }  # fmt: skip
    unknown = (afloat.draft, afloat.canoe_body_draft, afloat.gm, afloat.centre_of_buoyancy, afloat.least_freeboard)
    assert unknown == (None,) * 5
    assert afloat.forward_freeboard == pytest.approx(0.7)
    assert "hull-open-aft" in _codes(findings)


@pytest.mark.closed_form
def test_an_open_way_outside_under_the_water_is_told_with_its_depth():
    """An untight hole 0.2 m under the water is a stop; the least opening clear is negative."""
    path = hole(("void", OUTSIDE), (2.0, 0.5, 0.3), through="hull")
    afloat, findings = _afloat(box_boat(8, 2.4, 1.2), 0.5, paths=(path,), kg=0.6)
    assert afloat.least_opening_clear == pytest.approx(-0.2)
    assert _codes(findings) == {"opening-under-water"}


@pytest.mark.closed_form
def test_a_deck_edge_under_water_is_a_stop():
    """Heeled until the edge is 0.1 m under: negative least freeboard and a finding."""
    afloat, findings = _afloat(box_boat(8, 2.4, 0.6), 0.5, heel=10, kg=0.4)
    assert afloat.least_freeboard < 0
    assert "deck-edge-under-water" in _codes(findings)


@pytest.mark.closed_form
def test_a_table_over_drafts_follows_the_box():
    """Each row: displacement L B T, KM T/2 + B^2/12T; a draft out of the water gives no row."""
    form = box_boat(8, 2.4, 1.2)
    scene = scene_of(form, 0.5, kg=0.6)
    rows = hydrostatic_table(scene, form, water_plane(scene, form), [0.0, 0.3, 0.5, 0.8])
    assert [row.draft for row in rows] == [0.3, 0.5, 0.8]
    for row in rows:
        assert row.displacement == pytest.approx(1025 * 19.2 * row.draft, rel=1e-12)
        assert row.km_transverse == pytest.approx(row.draft / 2 + 2.4**2 / (12 * row.draft), rel=1e-12)
        assert row.level == pytest.approx(row.draft, abs=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("low", "high", "position", "below"), [(0.0, 0.5, "below", 0.5), (0.5, 0.9, "above", 0.0), (0.2, 0.7, "crosses", 0.3)]
)
def test_a_space_lies_below_above_or_across_the_water(low, high, position, below):
    """A face in the water's plane counts as just above: a lid at the water leaves its space below, a floor there above."""
    form = box_boat(8, 2.4, 1.2)
    scene = scene_of(form, 0.5)
    (found,) = immersion([room("a", (1, -0.5, low), (2, 0.5, high))], water_plane(scene, form))
    assert (found.position, found.below) == (position, pytest.approx(below, abs=1e-12))


@pytest.mark.closed_form
def test_position_is_judged_with_trim_and_heel():
    """A locker well above the water amidships is reached by it when she heels to its side."""
    form = box_boat(8, 2.4, 1.2)
    locker = room("locker", (1, 0.8, 0.55), (2, 1.2, 0.9))
    positions = []
    for heel in (0.0, 8.0):
        scene = scene_of(form, 0.5, heel=heel)
        positions.append(immersion([locker], water_plane(scene, form))[0].position)
    assert positions == ["above", "crosses"]


@pytest.mark.closed_form
def test_fresh_water_carries_less():
    """Density enters displacement and kg per cm alike: 1000 against 1025."""
    form = box_boat(8, 2.4, 1.2)
    salt = scene_of(form, 0.5)
    fresh = replace(salt, water_density=1000.0)
    a, b = (floating(scene, form, water_plane(scene, form))[0] for scene in (salt, fresh))
    assert (a.displacement / b.displacement, a.kg_per_cm / b.kg_per_cm) == pytest.approx((1.025, 1.025), rel=1e-12)


@pytest.mark.published
def test_the_canoe_of_1889_floats_at_her_third_waterline_as_her_offsets_say():
    """W. P. Stephens, Canoe and Boat Building, Plate XI: 204.9 kg by Simpson, 204.5 by trapezoids, in fresh water to the 6 inch
    line; centre of flotation 85.308 in aft of station 0 (figures derived from the printed offsets; 0.1 % for the rabbet)."""
    hull = read_hull(HULLS / "canoe-1889.yaml")
    form, inch = form_hull(hull), 0.0254
    scene = scene_of(form, 6 * inch, water_density=1000.0)
    afloat, _ = floating(scene, form, water_plane(scene, form))
    assert afloat.displacement == pytest.approx(204.477, rel=1e-3)
    assert afloat.centre_of_buoyancy[0] == pytest.approx(85.427 * inch, rel=1e-3)
    assert afloat.centre_of_flotation == pytest.approx(85.308 * inch, rel=1e-3)
    assert afloat.kg_per_cm == pytest.approx(19.5677, rel=1e-3)
    assert (afloat.km_transverse - afloat.centre_of_buoyancy[2]) * afloat.volume == pytest.approx(0.0614835, rel=1e-3)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.floats(-0.4, 0.3), st.floats(0.0, 0.2), st.floats(-4, 4), st.floats(-20, 20))
def test_raising_the_waterline_never_lowers_a_volume_below_it(level, rise, trim, heel):
    """At any trim and heel, of a round space and of the boat; and a space is never more than full."""
    form = form_of(ellipsoid(4, 1.2, 0.5, 32, 32))
    tank = space("tank", ellipsoid(1.5, 0.8, 0.4, 24, 24))
    slope = 4 * np.tan(np.radians(trim))
    seen = []
    for z in (level, level + rise):
        scene = scene_of(form, z + slope, z - slope, heel)
        try:
            water = water_plane(scene, form)
        except SketchError:
            assume(False)
        (found,) = immersion([tank], water)
        seen.append((found.below, floating(scene, form, water)[0].volume or 0.0))
    assert seen[1][0] >= seen[0][0] - 1e-12
    assert seen[1][1] >= seen[0][1] - 1e-12
    assert seen[1][0] <= tank.volume + 1e-12
