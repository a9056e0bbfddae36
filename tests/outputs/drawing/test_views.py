"""Profile, plan and section: true to scale, and every figure on them right."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from evaluation_specimen import box, box_boat

from sketcher.analysis.results import Floating, PanelShape, WaterPlane
from sketcher.model.scene import Partition
from sketcher.outputs.drawing.chains import _chain, chain_beneath, chain_beside, clear_runs
from sketcher.outputs.drawing.cut_outlines import plane_cut
from sketcher.outputs.drawing.lettering import lettered
from sketcher.outputs.drawing.ordinates import SIZE
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Line, Words, text_width
from sketcher.outputs.drawing.views import (
    RULING,
    placing_of,
    plan_drawing,
    plan_height,
    profile_drawing,
    profile_place,
    scale_for,
    section_drawing,
)


def areas(drawing: Drawing, layer: str) -> dict[str, float]:
    """Area on the boat [m2] of each part drawn in a layer."""
    assert drawing.placing is not None
    per = (drawing.placing.scale / 1000.0) ** 2
    return {
        item.part: shapely.Polygon(item.rings[0]).area * per
        for item in drawing.items
        if isinstance(item, FilledArea) and item.layer == layer
    }


def texts(drawing: Drawing, layer: str) -> list[str]:
    """What is written in a layer."""
    return [item.text for item in drawing.items if isinstance(item, Words) and item.layer == layer]


@pytest.mark.closed_form
def test_a_profile_shows_each_space_at_its_true_size() -> None:
    """On the centreline the forepeak is 1 x 1 m, the after space 2.98 x 0.6, the void 2.98 x 0.39; so are the panels."""
    drawing = profile_drawing(box_boat())
    found = areas(drawing, "compartments")
    assert found == pytest.approx(
        {"compartment/after space": 2.98 * 0.6, "compartment/forepeak": 1.0, "compartment/low void": 2.98 * 0.39}, abs=1e-9
    )
    assert areas(drawing, "panels") == pytest.approx({"bulkhead/collision": 0.02, "lid/tank top": 0.0298}, abs=1e-9)


@pytest.mark.closed_form
def test_chains_tell_the_clear_lengths_from_face_to_face() -> None:
    """Of the box of 4 x 2 x 1 m with a bulkhead of 20 mm at 1 m and a lid of 10 mm, its top 0.4 m up: plainly subtracted."""
    boat = box_boat()
    assert clear_runs(plane_cut(boat, "plan", 0.7), 0, 0.0) == [pytest.approx((0.0, 1.0)), pytest.approx((1.02, 4.0))]
    placing = placing_of("plan", 40.0)
    for kind, at, axis, expected in (("plan", 0.7, 0, ["1000", "2980"]), ("section", 2.0, 1, ["390", "600"])):
        make = chain_beneath if kind == "plan" else chain_beside
        words = [item for item in make(plane_cut(boat, kind, at), 0.0, 0.0, placing, "mm") if isinstance(item, Words)]  # type: ignore[arg-type]
        assert [item.text for item in sorted(words, key=lambda item: item.at[axis])] == expected
    heights = [item.text for item in profile_drawing(boat, scale=20.0).items if isinstance(item, Words) and item.angle == 90.0]
    assert "600" in heights


@pytest.mark.property
@pytest.mark.parametrize("gaps", [[0.3, 0.3, 0.3], [5.0, 0.2, 0.2, 0.2, 5.0]])
def test_figures_of_short_runs_are_pushed_along_and_not_lost(gaps: list[float]) -> None:
    """However short the runs, every figure is written and none lies on another."""
    runs, at = [], 0.0
    for gap in gaps:
        runs.append((at, at + gap))
        at += gap
    words = [item for item in _chain(runs, ["1234"] * len(runs), lambda x, y: (x, y), upright=False) if isinstance(item, Words)]
    places = sorted(item.at[0] for item in words)
    assert len(places) == len(gaps)
    assert min(np.diff(places)) >= text_width("1234", SIZE)


@pytest.mark.closed_form
def test_a_plan_and_a_section_cut_where_they_say() -> None:
    """At 0.2 m the void is 2.98 x 2 m; a section at 0.5 m meets only the forepeak, 2 x 1 m."""
    assert areas(plan_drawing(box_boat(), 0.2), "compartments")["compartment/low void"] == pytest.approx(2.98 * 2, abs=1e-9)
    assert areas(section_drawing(box_boat(), 0.5), "compartments") == pytest.approx({"compartment/forepeak": 2.0}, abs=1e-9)


@pytest.mark.closed_form
def test_what_is_below_the_water_is_ruled() -> None:
    """Half of the forepeak's profile is wet at 0.5 m, all of the void's, 0.1 of 0.6 of the after space's."""
    wet = {space.known.name: space.wet.area / space.outline.area for space in plane_cut(box_boat(), "profile", 0.0).spaces}
    assert wet == pytest.approx({"forepeak": 0.5, "low void": 1.0, "after space": 1 / 6}, abs=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("height", "heel", "share"), [(0.49, 0.0, 1.0), (0.51, 0.0, 0.0), (0.5, 1.0, 0.5)], ids=["just under", "just over", "heeled"]
)
def test_a_plan_knows_where_the_water_stands_over_it(height: float, heel: float, share: float) -> None:
    """A level cut just under the water is wet, just over it dry; heeled about the centreline half of it is."""
    boat = box_boat()
    water = WaterPlane(forward=0.5, after=0.5, heel=heel, x_forward=0.0, x_after=4.0)
    found = next(
        space for space in plane_cut(replace(boat, water=water), "plan", height).spaces if space.known.name == "forepeak"
    )
    assert found.wet.area / found.outline.area == pytest.approx(share, abs=1e-6)


@pytest.mark.property
@pytest.mark.parametrize(("trim", "wet"), [(0.01, False), (1.0, True)])
def test_a_plan_at_the_waterline_is_under_water_only_where_that_can_be_measured(trim: float, wet: bool) -> None:
    """Trimmed by a hundredth of a degree the water stands a third of a millimetre over half the plan: none of it is ruled."""
    rise = 2.0 * np.tan(np.radians(trim))
    water = WaterPlane(forward=0.5 + rise, after=0.5 - rise, heel=0.0, x_forward=0.0, x_after=4.0)
    spaces = plane_cut(replace(box_boat(), water=water), "plan", 0.5).spaces
    assert any(space.wet.area > 0.0 for space in spaces) == wet


@pytest.mark.closed_form
def test_distances_and_heights_stand_beside_the_drawing() -> None:
    """The bulkhead 1000 mm aft, the lid 400 mm up, the water at 500, the ends at 0 and 4000, the berth 2980 long."""
    found = texts(profile_drawing(box_boat()), "dimensions")
    for figure in (
        "collision 1000",
        "tank top 400",
        "water 500",
        "base line 0",
        "hull from 0",
        "hull to 4000",
        "long berth 2980",
    ):
        assert figure in found


@pytest.mark.closed_form
def test_a_drawing_speaks_the_units_asked_for() -> None:
    """1 m is 39 3/8 in, 0.4 m 15 3/4 in."""
    found = texts(profile_drawing(box_boat(), units="in"), "dimensions")
    assert "collision 39 3/8" in found
    assert "tank top 15 3/4" in found


@pytest.mark.closed_form
@pytest.mark.parametrize(("units", "foot"), [("mm", 1.0), ("in", 0.3048)])
def test_a_scale_bar_is_as_long_as_it_says(units: str, foot: float) -> None:
    """In metres, or in feet of 0.3048 m where inches are read: its frame, at the drawing's scale, has the length beside it."""
    drawing = profile_drawing(box_boat(), units=units)
    (bar,) = [item for item in drawing.items if isinstance(item, Line) and item.layer == "title"]
    across = max(x for x, _ in bar.points) - min(x for x, _ in bar.points)
    said = next(text for text in texts(drawing, "title") if text.endswith((" m", " ft")))
    assert said.endswith(" m") == (units == "mm")
    assert drawing.placing is not None
    assert across / 1000.0 * drawing.placing.scale == pytest.approx(float(said.split()[0]) * foot)


@pytest.mark.example
def test_each_space_is_named_with_its_litres_and_relation() -> None:
    """Name, litres and the words for where it lies are written for every compartment that is cut."""
    found = texts(profile_drawing(box_boat()), "names")
    for words in (
        "forepeak",
        "2000 L",
        "50 % below water",
        "low void",
        "2324 L",
        "below water",
        "after space",
        "17 % below water",
    ):
        assert words in found


@pytest.mark.example
def test_names_that_do_not_fit_are_numbered_and_explained() -> None:
    """At 1 : 200 a space 15 mm long takes only a number; the line beneath says what the number means."""
    found = texts(profile_drawing(box_boat(), scale=200.0), "names")
    assert any(text.isdigit() for text in found)
    assert any("forepeak, 2000 L, 50 % below water" in text for text in found)


@pytest.mark.example
def test_the_sheet_holds_everything_drawn() -> None:
    """Nothing lies outside the paper."""
    for drawing in (
        profile_drawing(box_boat()),
        plan_drawing(box_boat()),
        section_drawing(box_boat(), 0.5),
        profile_drawing(box_boat(), scale=200.0),
    ):
        for item in drawing.items:
            points = (
                [item.at]
                if isinstance(item, Words)
                else [p for r in item.rings for p in r]
                if isinstance(item, FilledArea)
                else item.points
            )
            assert all(-1e-6 <= x <= drawing.width + 1e-6 and -1e-6 <= y <= drawing.height + 1e-6 for x, y in points), item


@pytest.mark.example
def test_the_chosen_part_is_picked_out() -> None:
    """The edge of the chosen panel is drawn otherwise than the others'."""
    edges = {
        item.part: item.stroke
        for item in profile_drawing(box_boat(), chosen="lid/tank top").items
        if isinstance(item, FilledArea)
    }
    assert edges["lid/tank top"] != edges["bulkhead/collision"]


@pytest.mark.example
def test_a_boat_without_a_waterline_is_drawn_without_water() -> None:
    """No waterline stated: nothing is ruled, no water is marked, the relation is said to be unknown."""
    boat = replace(box_boat(), water=None, floating=Floating(), immersion=(None,) * 3)
    drawing = profile_drawing(boat)
    assert not [item for item in drawing.items if item.layer == "water"]
    assert "water not known" in texts(drawing, "names")


@pytest.mark.closed_form
def test_the_scale_is_the_largest_usual_one_that_fits() -> None:
    """4 m on 360 mm of paper: 1 : 12.5 takes 320 mm, 1 : 10 would take 400."""
    assert scale_for(box_boat(), 360.0) == 12.5
    assert scale_for(box_boat(), 400.0) == 10.0


@pytest.mark.closed_form
def test_a_plan_is_taken_at_the_berth_where_there_is_one() -> None:
    """The cushion's top of the berth, else the water."""
    assert plan_height(box_boat()) == 0.5
    assert (
        plan_height(replace(box_boat(), berths=(), water=WaterPlane(forward=0.3, after=0.5, heel=0, x_forward=0, x_after=4)))
        == 0.4
    )


@pytest.mark.closed_form
def test_a_profile_steps_aside_from_a_partition_on_the_centreline() -> None:
    """A web 12 mm thick on the centreline: the profile is taken 11 mm to port, in the port space, and says so."""
    boat = box_boat()
    web = PanelShape(
        panel=Partition(name="web", off_centre=(0.0, 0.0), start="collision", end="transom", thickness=0.012),
        kind="partition",
        mesh=box((1.02, -0.006, -0.2), (4.2, 0.006, 0.39)),
        faces=(),
        depends_on=(),
    )
    with_web = replace(boat, layout=replace(boat.layout, panels=(*boat.layout.panels, web)))
    assert profile_place(boat) == 0.0
    assert profile_place(with_web) == pytest.approx(-0.011)
    assert "11 mm to port" in profile_drawing(with_web).title


@pytest.mark.example
def test_only_openings_of_what_is_cut_are_drawn() -> None:
    """The hole through the collision bulkhead shows where a space that it joins is cut, and nowhere else."""
    boat = box_boat()
    assert "opening/limber hole" in {item.part for item in section_drawing(boat, 0.5).items}
    alone = replace(
        boat, layout=replace(boat.layout, flow_paths=(replace(boat.layout.flow_paths[0], between=("elsewhere", "nowhere")),))
    )
    assert "opening/limber hole" not in {item.part for item in section_drawing(alone, 0.5).items}


@pytest.mark.example
def test_no_water_line_strikes_through_a_name() -> None:
    """The ruling of what is under water stops short of the words in it."""
    drawing = profile_drawing(box_boat(), scale=10)
    names = lettered([item for item in drawing.items if isinstance(item, Words) and item.align == "middle" and item.halo])
    ruling = [item for item in drawing.items if isinstance(item, Line) and item.stroke == RULING]
    assert len(ruling) > 20
    assert max(shapely.LineString(item.points).intersection(names).length for item in ruling) < 0.01


@pytest.mark.example
def test_a_long_name_is_lettered_smaller_before_it_is_cut() -> None:
    """A layout's name too wide for the sheet at full size stands there whole, in smaller letters."""
    boat = box_boat()
    name = "A box with " + ", ".join(f"chain or bottles in place {number}" for number in range(5))
    named = replace(boat, scene=replace(boat.scene, name=name))
    (title,) = [item for item in plan_drawing(named).items if isinstance(item, Words) and item.text == name]
    assert title.size < 3.2
