"""What goes into the spaces, printed, for other programs, and drawn."""

import csv
import io
import json
import re
from functools import cache

import numpy as np
import pytest
import shapely
from specimens import filled

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.contents import BoatPart, Bottles, Chain, Foam, Person, Stowage, Tank
from sketcher.model.scene import Berth, Fitting
from sketcher.outputs.contents_shapes import cut_outlines, cylinders, kinds_of, shapes_of
from sketcher.outputs.drawing.contents_marks import strokes_used
from sketcher.outputs.drawing.lettering import ground
from sketcher.outputs.drawing.recording import Line, Words
from sketcher.outputs.drawing.tint_key import tint_key
from sketcher.outputs.drawing.views import plan_drawing, profile_drawing, section_drawing
from sketcher.outputs.tables.comparison import comparison
from sketcher.outputs.tables.json_figures import as_csv, as_json
from sketcher.outputs.tables.report import report
from sketcher.outputs.wording import contents_words, fit_words
from sketcher.outputs.wording.sentences import message, words

BUNK = Berth(name="bunk", height=0.55, start="collision", end="main", cushion=0.05)


@cache
def boat() -> Evaluation:
    """The box boat with one of everything in her."""
    return filled(
        berths=(BUNK,),
        people=(Person(name="Ada", berth="bunk", stature=1.7), Person(name="Ben", berth="bunk", stature=1.8)),
        stowage=(Stowage(name="crate", space="saloon", size=(0.6, 0.4, 0.3)),),
        bottles=(Bottles(name="large", space="void", diameter=0.1, length=0.4, litres=0.003, kg=0.05, direction="fore and aft"),),
        chains=(Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.95), deck=(0.5, 0.0, 1.0)),),
        parts=(BoatPart(name="keel", kg=1000.0, made_of="lead"),),
    )


@pytest.mark.property
@pytest.mark.parametrize("scale", [20.0, 40.0])
def test_names_of_sleepers_and_the_berths_length_stand_on_clear_ground(scale: float) -> None:
    """In a plan two people in one berth and its length are written apart, and no name stands on the length's line."""
    drawing = plan_drawing(boat(), scale=scale)
    words = [item for item in drawing.items if isinstance(item, Words) and item.part.startswith(("person/", "berth/"))]
    grounds = [ground(item) for item in words]
    assert {"Ada", "Ben"} < {item.text for item in words}
    assert not any(a.intersects(b) for k, a in enumerate(grounds) for b in grounds[:k])
    run = next(item for item in drawing.items if isinstance(item, Line) and item.part == "berth/bunk" and not item.closed)
    names = [ground(item) for item in words if item.part.startswith("person/")]
    assert not any(name.intersects(shapely.LineString(run.points)) for name in names)


@pytest.mark.example
def test_report_has_a_section_for_each_thing_with_its_figures() -> None:
    """Who lies where, stowage, bottles, chain and the swamped balance each stand in the report with their own figures."""
    text = report(boat())
    contents = boat().contents
    assert contents is not None
    for heading in ("WHO LIES WHERE", "HEIGHT OVER", "STOWAGE", "BOTTLES", "CHAIN", "IF SHE WERE SWAMPED"):
        assert heading in text
    rows = [line.split() for line in text.splitlines() if line.startswith(("Ada ", "Ben ")) and "bunk" in line]
    assert [(row[0], row[3], row[4]) for row in rows] == [("Ada", "1800", "fits"), ("Ben", "1900", "fits")]
    assert "bunk: boards 3.96 m², cushion 3.96 m²" in text
    assert f"{contents.bottles[0].stows[0].count}" in text
    assert "84 kg, a heap of 79 litres by the clear volume rule" in " ".join(text.split())
    assert contents.swamped is not None
    assert words(contents.swamped.answer).split(":")[0] in " ".join(text.split())


@pytest.mark.property
@pytest.mark.parametrize("unit", ["in", "ft"])
@pytest.mark.slow
def test_a_reader_with_a_tape_of_inches_meets_no_millimetres(unit: str) -> None:
    """Whatever goes in, its section of the report and all that is noticed of it are told in inches, and chain in feet."""
    low = Chain(name="rode", space="locker", length=900.0, size=0.012, pipe=(0.5, 0.0, 0.6), bore=0.05, deck=(0.7, 0.0, 1.0))
    put_in = filled(
        berths=(BUNK,),
        people=(Person(name="Ada", berth="bunk", stature=2.1), Person(name="Ben", berth="bunk", stature=1.8)),
        stowage=(Stowage(name="crate", space="saloon", size=(3.0, 0.4, 0.3)), Stowage(name="bag", space="void", size=(0.3,) * 3)),
        bottles=(Bottles(name="kegs", space="void", diameter=0.7, length=0.8, litres=0.4),),
        foams=(Foam(name="foam", space="void"),),
        tanks=(Tank(name="water", space="saloon"),),
        chains=(low,),
        parts=(BoatPart(name="keel", kg=1000.0, made_of="lead"),),
    )
    own = {name.replace("_", "-") for room in (contents_words, fit_words) for name in vars(room)}
    said = {finding.code: message(finding, unit) for finding in put_in.findings if finding.code in own}
    text = "\n".join([*said.values(), report(put_in, unit).split("WHO LIES WHERE")[1].split("WITH THE CHANGES")[0]])
    assert len(said) >= 15, sorted(said)
    assert re.findall(r".{20}\b[mc]?m²?\b", text) == []
    assert "2953 ft of rode" in said["chain-reaches-pipe"]


@pytest.mark.example
def test_foam_and_tanks_in_the_report() -> None:
    """Pours are listed from the bottom up; tanks full and half."""
    text = report(filled(foams=(Foam(name="foam", space="void"),), tanks=(Tank(name="water", space="locker"),)))
    assert "pours from the bottom up: 0 mm to 150 mm up 594.0 litres" in " ".join(text.split())
    assert "TANKS" in text


@pytest.mark.example
def test_foam_says_why_it_counts_for_less_than_it_lifts() -> None:
    """A cubic metre of light foam lifts 993 kg in the sea and counts for 881: the line names that limit."""
    light = filled(foams=(Foam(name="foam", space="void"),))
    assert light.contents is not None
    litres = light.contents.foams[0].volume * 1000
    words = f"lifts {litres * 0.993:.0f} kg, counts for {litres * 0.881:.0f}: the rule's limit of 881 kg per m³"
    assert words in " ".join(report(light).split())
    assert "rule's limit" not in report(filled(foams=(Foam(name="foam", space="void", density=200.0),)))


@pytest.mark.example
def test_very_many_lifts_and_bottles_that_sink_are_told_in_words() -> None:
    """A hundred lifts of foam are not listed one by one nor all drawn; bottles heavier than what they displace lift nothing."""
    thin = filled(foams=(Foam(name="foam", space="void", lift=0.005),))
    assert "and so on, 98 pours; 485 mm to 490 mm" in " ".join(report(thin).split())
    assert thin.contents is not None
    assert len(list(shapes_of(thin.contents))) == 25
    heavy = Bottles(name="full", space="void", diameter=0.1, length=0.4, litres=0.003, kg=3.5)
    assert "kg more than they lift" in report(filled(bottles=(heavy,)))


@pytest.mark.example
def test_a_scene_without_contents_prints_and_answers_as_before() -> None:
    """Nothing put in: no section, and no key beyond those that every scene has."""
    from evaluation_specimen import box_boat

    assert "WHO LIES WHERE" not in report(box_boat())
    assert "bottles" not in json.loads(as_json(box_boat()))


@pytest.mark.example
def test_figures_for_other_programs() -> None:
    """Every block has its key; positions, lift, permeability and verdicts are plain SI numbers."""
    values = json.loads(as_json(boat()))
    assert values["people"][0]["fits"] is True
    assert len(values["people"][0]["sleepers"]) == 2
    kind = values["bottles"][0]["kinds"][0]
    assert len(kind["lower_ends_m"]) == kind["count"]
    assert kind["lift_kg"] == pytest.approx(kind["count"] * 0.003 * 1025)
    assert values["chains"][0]["mass_kg"] == pytest.approx(84.0)
    assert values["stowage"][0]["fits"] is True
    assert values["swamped"]["answer"].startswith("Swamped")
    assert values["foams"] == values["tanks"] == []
    named = next(space for space in values["compartments"] if space["name"] == "void")
    assert named["permeability"] == values["bottles"][0]["permeability"]


@pytest.mark.closed_form
def test_bottles_as_meshes_hold_their_prisms() -> None:
    """All bottles of a kind are one closed mesh: as many twenty-sided prisms, each n/2 r2 sin(2 pi/n) l."""
    contents = boat().contents
    assert contents is not None
    (stow,) = contents.bottles[0].stows
    prism = 10 * 0.05**2 * np.sin(2 * np.pi / 20) * 0.4
    assert cylinders(stow).volume == pytest.approx(stow.count * prism, rel=1e-9)
    assert {shape.kind for shape in shapes_of(contents)} == {"bottles", "sleeper", "chain", "stowage"}
    assert all(shape.mesh.volume > 0 for shape in shapes_of(contents))


@pytest.mark.closed_form
def test_a_stowed_box_stands_on_the_floor_in_its_own_size() -> None:
    """The crate of 600 x 400 x 300 mm is drawn in its own size, at the foot of the largest box of its shape."""
    (crate,) = (shape.mesh for shape in shapes_of(boat().contents) if shape.kind == "stowage")  # type: ignore[arg-type]
    assert crate.volume == pytest.approx(0.6 * 0.4 * 0.3)
    contents = boat().contents
    assert contents is not None
    room = contents.rooms[0]
    assert room.proportioned is not None
    assert room.shown is not None
    foot = [box.middle[2] - box.size[2] / 2 for box in (room.shown, room.proportioned)]
    assert foot[0] == pytest.approx(foot[1], abs=1e-6)
    assert sorted(room.shown.size) == pytest.approx([0.3, 0.4, 0.6])


@pytest.mark.closed_form
def test_foam_and_tanks_are_drawn_by_their_levels() -> None:
    """The tops of four lifts 150 mm deep in a void of 490 mm, and a box tank's surface half full: flat, over the whole floor."""
    inside = filled(foams=(Foam(name="foam", space="void"),), tanks=(Tank(name="water", space="locker", share=0.8),)).contents
    assert inside is not None
    sheets = [(shape.kind, shape.mesh) for shape in shapes_of(inside)]
    assert [(kind, round(mesh.bounds[1][2], 4)) for kind, mesh in sheets] == [
        ("foam", 0.15),
        ("foam", 0.3),
        ("foam", 0.45),
        ("foam", 0.49),
        ("tank", 0.4),
    ]
    assert sheets[0][1].volume == pytest.approx(1.98 * 2.0 * 0.006, rel=1e-6)
    blocks = filled(foams=(Foam(name="foam", space="void", form="blocks", share=0.5),)).contents
    assert blocks is not None
    assert [round(shape.mesh.bounds[1][2], 4) for shape in shapes_of(blocks)] == [0.245]


@pytest.mark.example
def test_foam_tanks_and_boxes_are_in_the_drawings() -> None:
    """A section through each shows it: the box cut, lifts and surface as lines at their levels."""
    put_in = filled(
        foams=(Foam(name="foam", space="void"),),
        tanks=(Tank(name="water", space="locker"),),
        stowage=(Stowage(name="crate", space="saloon", size=(0.6, 0.4, 0.3)),),
    )
    parts = [item.part for item in profile_drawing(put_in, 0.0).items if isinstance(item, Line)]
    assert parts.count("foam/foam") == 4
    assert {"tank/water", "stowage/crate"} <= set(parts)


@pytest.mark.example
def test_the_key_has_a_word_for_every_kind_that_is_drawn() -> None:
    """The kinds said to be there are those of the shapes made; each has its stroke in the drawings' key."""
    contents = boat().contents
    assert contents is not None
    assert kinds_of(contents) == {shape.kind for shape in shapes_of(contents)}
    assert list(strokes_used(boat())) == ["bottles", "who sleeps there", "chain", "a box stowed"]
    key = tint_key([], strokes_used(boat()), (0.0, 100.0), 2.0, 0.0)
    assert [item.text for item in key if isinstance(item, Words)] == list(strokes_used(boat()))


@pytest.mark.closed_form
def test_bottles_cut_along_and_across() -> None:
    """Cut across, a lying bottle is a circle of its diameter; cut along its axis, a rectangle of its length and diameter."""
    contents = boat().contents
    assert contents is not None
    (stow,) = contents.bottles[0].stows
    x, y, _ = stow.base[0]
    circle = cut_outlines(stow, 0, float(x) + 0.2)[0]
    assert np.ptp(circle[:, 1]) == pytest.approx(0.1, abs=1e-9)
    box = min(cut_outlines(stow, 1, float(y)), key=lambda ring: abs(np.ptp(ring[:, 2]) - 0.1))
    assert (np.ptp(box[:, 0]), np.ptp(box[:, 2])) == pytest.approx((0.4, 0.1), abs=1e-6)


@pytest.mark.example
def test_drawings_show_them_where_they_are() -> None:
    """The plan at the cushion names who lies there; a section through the void shows as many circles as bottles stand in it."""
    flat = plan_drawing(boat())
    assert {item.text for item in flat.items if isinstance(item, Words)} >= {"Ada", "Ben"}
    contents = boat().contents
    assert contents is not None
    (stow,) = contents.bottles[0].stows
    at = float(stow.base[0, 0]) + 0.2
    cut = [item for item in section_drawing(boat(), at).items if isinstance(item, Line) and item.part == "bottles/large"]
    assert len(cut) == int(((stow.base[:, 0] <= at) & (at <= stow.base[:, 0] + 0.4)).sum())
    assert any(isinstance(item, Line) and item.part == "chain/rode" for item in profile_drawing(boat(), 0.0).items)


@pytest.mark.example
def test_the_table_has_a_row_for_each_thing_put_into_the_boat() -> None:
    """Who lies where, stowage, bottles, chain and swamped parts are rows of the one table, their figures the JSON's."""
    rows = list(csv.reader(io.StringIO(as_csv(boat()))))
    assert {len(row) for row in rows} == {len(rows[0])}
    table = [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]
    values = json.loads(as_json(boat()))
    of_kind = {row["kind"]: row for row in table}
    assert {row["name"] for row in table if row["kind"] == "person"} == {"Ada", "Ben"}
    assert float(of_kind["sleeping place"]["length_m"]) == values["people"][0]["length_m"]
    assert of_kind["sleeping place"]["people"] == "Ada; Ben"
    assert float(of_kind["bottles"]["lift_kg"]) == values["bottles"][0]["kinds"][0]["lift_kg"]
    assert of_kind["bottles"]["of"] == "void"
    assert float(of_kind["chain"]["fall_m"]) == values["chains"][0]["fall_m"]
    assert of_kind["stowage"]["fits"] == "true"
    assert float(of_kind["part under water"]["kg"]) == values["swamped"]["items"][-1]["kg"]
    assert float(of_kind["swamped"]["net_kg"]) == values["swamped"]["net_kg"]


@pytest.mark.example
def test_layouts_are_compared_by_what_goes_into_them() -> None:
    """Who fits, bottles with their lift, chain, foam, tanks and the swamped balance differ in figures, not only in findings."""
    contents = boat().contents
    assert contents is not None
    assert contents.swamped is not None
    other = filled(
        berths=(BUNK,),
        people=(Person(name="Ada", berth="bunk", stature=2.2),),
        bottles=(
            Bottles(name="large", space="void", diameter=0.1, length=0.4, litres=0.003, at_most=20, direction="fore and aft"),
        ),
        foams=(Foam(name="foam", space="locker"),),
        tanks=(Tank(name="water", space="saloon"),),
    )
    text = comparison([boat(), other]).split("WHAT DIFFERS")[1].split("Lengths in")[0]
    lines = [" ".join(line.split()) for line in text.splitlines()]
    count = contents.bottles[0].stows[0].count
    assert f"large, bottles placed {count} 20 {20 - count}" in lines
    assert f"large, gross lift, kg {count * 3.075:.0f} 62 {62 - round(count * 3.075)}" in lines
    assert "bunk, Ben fits yes - gone" in lines
    assert "rode, stows itself yes - gone" in lines
    assert "foam, litres of foam - 2000 new" in lines
    assert any(line.startswith("water, full, kg -") for line in lines)
    assert f"the boat, lift left when swamped, kg {contents.swamped.net:.0f} - gone" in lines


@pytest.mark.closed_form
def test_bottles_share_framing_and_water_make_up_the_whole_space() -> None:
    """What bottles displace, the 5 in 100 reckoned for framing in a void, and what is left for water are told and sum up."""
    words = " ".join(report(boat()).split())
    found = re.search(r"of the space (\d+) % is bottles, 5 % is taken for framing .* and (\d+) % is left for water", words)
    assert found is not None
    assert sum(map(int, found.groups())) == pytest.approx(95, abs=1)


@pytest.mark.closed_form
def test_a_thing_in_the_way_is_drawn_where_it_is_cut() -> None:
    """A box 80 mm long and 120 mm high stands in the profile through it, with its name, and not in one that misses it."""
    thing = Fitting(name="log", at=(2.0, 0.2, 0.2), size=(0.08, 0.08, 0.12))
    with_it = filled(fittings=(thing,))
    cut, beside = (profile_drawing(with_it, at) for at in (0.2, 0.5))
    (ring,) = [item for item in cut.items if isinstance(item, Line) and item.part == "fitting/log"]
    wide, high = np.ptp(np.array(ring.points), axis=0)
    assert high / wide == pytest.approx(1.5)
    assert [item.text for item in cut.items if isinstance(item, Words) and item.part == "fitting/log"] == ["log"]
    assert not [item for item in beside.items if item.part == "fitting/log"]
