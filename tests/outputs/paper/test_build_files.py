"""A demo built: its files read back by other libraries, and the booklet as whoever holds it reads it."""

import csv
import io
import json
import re
import struct
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdfium2 as pdfium
import pytest
import trimesh
from evaluation_specimen import box
from pattern_specimens import overlap
from places import SCENES
from printed.board_pages import page_texts
from scene_specimens import at_once, demo, planned

from sketcher.analysis.cut.plan import BuildPlan, build_plan
from sketcher.analysis.evaluate import evaluate, with_flooding
from sketcher.analysis.flooding.cases import first_cases
from sketcher.analysis.flooding.clear_spans import clear_span
from sketcher.analysis.sources import SOURCES
from sketcher.cli import main
from sketcher.model.cutting import Cutting, Sheet
from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.paper.booklet import booklet, scene_fingerprint
from sketcher.outputs.paper.booklet_boards import left_out_of_weights
from sketcher.outputs.paper.build_files import build_files, distinct_names
from sketcher.outputs.paper.pattern_paper import true_size
from sketcher.outputs.paper.tiles import tiled
from sketcher.outputs.scene3d.solid_files import as_stl
from sketcher.outputs.tables.build_lists import as_table
from sketcher.outputs.tables.first import if_holed, verdict
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words

SCENE = str(SCENES / "marram-two-tanks.yaml")
DAY = date(2026, 5, 4)
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def plan() -> BuildPlan:
    return planned("marram-two-tanks")


@pytest.fixture(scope="module")
def files(plan: BuildPlan) -> dict[str, bytes]:
    return dict(build_files(plan, on=DAY, picture=False))


def table(files: dict[str, bytes], name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(files[f"lists/{name}.csv"].decode())))


@pytest.mark.example
def test_every_board_has_its_files_and_a_row_in_each_list(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """Each board is there as SVG and DXF, as PDF but for straps, and in the lists with its own area and diagonals."""
    for pattern in plan.drawn:
        assert f"patterns/{pattern.name}.dxf" in files
        assert f"patterns/{pattern.name}.svg" in files
        assert (f"patterns/{pattern.name}, true size on A4.pdf" in files) == (pattern.kind != "butt strap")
    areas = {row["board"]: float(row["area_m2"]) for row in table(files, "cutting list")}
    assert areas == pytest.approx({pattern.name: pattern.area for pattern in plan.patterns}, abs=1e-4)
    lengths = [float(row["length_mm"]) for row in table(files, "diagonals")]
    assert lengths == pytest.approx([1000 * d.length for p in plan.drawn for d in p.diagonals], abs=0.05)


@pytest.mark.example
def test_only_the_boards_chosen_are_printed(plan: BuildPlan) -> None:
    """A strap by its own name and a bulkhead's boards by its panel's: their files and pages alone; a misspelt name is told."""
    only = dict(build_files(plan, on=DAY, boards=("tank top, strap 1", "Collision")))
    chosen = [each for each in plan.patterns if each.panel == "collision" or each.name == "tank top, strap 1"]
    assert {name.removesuffix(".dxf") for name in only if name.endswith(".dxf")} == {f"patterns/{each.name}" for each in chosen}
    assert not any(name.startswith(("lists", "sheets", "solids")) for name in only)
    text = " ".join(page_texts(only["booklet.pdf"]))
    assert f"{len(chosen)} of {len(plan.patterns)} boards" in text
    assert text.index("collision, part 1 of") < text.index("Straps and other plain boards")
    titles = re.findall(rf"Board \d+ of {len(plan.patterns)}: (.+)", text)
    assert titles == [each.name for each in chosen if each.kind != "butt strap"]
    with pytest.raises(SketchError, match="no board called `colision`") as told:
        next(iter(build_files(plan, boards=("colision",))))
    assert "Did you mean `collision`?" in str(told.value)


@pytest.mark.example
def test_boards_on_sheets_keep_apart(plan: BuildPlan) -> None:
    """On no sheet do two boards come nearer than the kerf, or to an edge than the margin."""
    cutting = plan.evaluation.scene.cutting
    assert plan.sheets
    assert all(overlap(layout.nesting, cutting.kerf, cutting.margin) == 0.0 for layout in plan.sheets)


@pytest.mark.golden
def test_boards_take_no_more_sheets_than_they_did(plan: BuildPlan) -> None:
    """Nine boards of 12 mm came out of three sheets, three of 18 mm out of one."""
    assert [(layout.thickness, len(layout.sheets)) for layout in plan.sheets] == [(0.012, 3), (0.018, 1)]


@pytest.mark.example
def test_the_one_shopping_list_holds_the_sheets_too(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """As many sheets are bought as boards are laid on, beside what the bonding takes."""
    rows = table(files, "shopping list")
    bought = sum(float(row["amount"]) for row in rows if row["unit"] in ("sheet", "sheets"))
    assert bought == sum(stock.count is None for layout in plan.sheets for stock in layout.nesting.sheets)
    assert any("epoxy" in row["item"] for row in rows)


@pytest.mark.example
def test_every_page_of_the_booklet_bears_the_fingerprint_and_date(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """A page torn out tells which layout it belongs to and when it was made; each board has its page, a strap its line."""
    pages = page_texts(files["booklet.pdf"])
    mark = scene_fingerprint(plan.evaluation.scene)
    assert all(mark in text and "2026-05-04" in text for text in pages)
    for pattern in plan.patterns:
        assert any(pattern.name in text and "heck by tape" in text for text in pages)


@pytest.mark.example
def test_booklet_and_lists_speak_plainly(files: dict[str, bytes]) -> None:
    """No word that readers asked about, and one word a level: Note, Warning, Stop."""
    pages = page_texts(files["booklet.pdf"])
    lists = [data.decode() for name, data in files.items() if name.startswith("lists/")]
    text = " ".join(" ".join([*pages, *lists]).split())
    for unwanted in (
        "best turn",
        "in all ",
        "reckon",
        "ingerprint",
        "lets go",
        "go below",
        "oing below",
        "CAUTION",
        "STOP",
        "prove ",
    ):
        assert unwanted not in text
    assert "Warning Epoxy on the skin" in text
    assert "total" in text


@pytest.mark.example
def test_the_booklet_opens_with_the_verdict_and_the_worst_hole(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """Its first page says what the report's first lines say, and who fits."""
    first = " ".join(page_texts(files["booklet.pdf"])[0].split())
    boat, unit = plan.evaluation, plan.evaluation.scene.units
    cases = first_cases(boat.layout, boat.water, boat.floating)
    judged = with_flooding(boat, cases)
    said = [line.text for line in verdict([*plan.findings, *judged.findings], unit).lines] + if_holed(judged, cases, unit)
    assert len(said) > 1
    for text in said:
        assert text in first
    assert f"{boat.berths[0].name.capitalize()}: clear length" in first


@pytest.mark.example
def test_a_leak_tests_page_has_its_loads_how_to_close_it_and_a_log(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """The chain locker is open by its hatch: its page says how that is closed, what is pushed with how much, and has a log."""
    pages = [" ".join(text.split()) for text in page_texts(files["booklet.pdf"])]
    test = next(test for test in plan.leak_tests if test.space == "chain locker")
    page = next(page for page in pages if "chain locker, 664 litres" in page)
    assert not test.closed
    assert all(words(closing) in page for closing in test.closings)
    assert all(f"{force / 9.80665:.0f}" in page for _, force, _ in test.uplift)
    assert "reading clock column air °C" in page


@pytest.mark.example
def test_each_board_has_all_its_figures_together(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """Drawing, diagonals and saw settings on one page, what it is marked out by with them or on the next: two go to the bench."""
    pages = page_texts(files["booklet.pdf"])
    for number in (number for number, pattern in enumerate(plan.patterns, 1) if pattern.kind != "butt strap"):
        (first,) = [k for k, text in enumerate(pages) if f"Board {number} of {len(plan.patterns)}" in text]
        own = re.split(r"Board \d+ of", "".join(pages[first : first + 2]).split(f"Board {number} of")[1])[0]
        here = re.split(r"Board \d+ of", pages[first].split(f"Board {number} of")[1])[0]
        assert "Check by tape" in here
        assert "Saw settings" in here
        assert "To mark out by hand" in own


@pytest.mark.example
def test_booklet_and_patterns_speak_inches_where_inches_are_asked_for(plan: BuildPlan) -> None:
    """No word of millimetres, metres, kilograms or kilopascals on any page, but where a source is quoted as it is printed."""
    alone = replace(plan, evaluation=replace(plan.evaluation, findings=()))
    pages = booklet(alone, "a4", "in", DAY)
    tiles = as_pdf(tiled(true_size(plan.patterns[0], "in"), "a4", "", "in"), "pattern")
    for data in (pages, tiles):
        text = " ".join(" ".join(page_texts(data)).split())
        for source in SOURCES.values():
            text = text.replace(source.title, "")
        assert re.findall(r".{30}\b(?:mm|m|m²|millimetres?|metres?|kg|kgf|kPa)\b.{10}", text.replace("g/m²", "")) == []
        assert "3 15/16 in" in text


@pytest.mark.example
def test_no_page_of_the_booklet_is_empty(files: dict[str, bytes]) -> None:
    """Head, foot and number are not all that stands on any page."""
    for text in page_texts(files["booklet.pdf"]):
        assert len(text.splitlines()) > 6


@pytest.mark.example
def test_the_list_of_points_holds_every_corner_and_each_opening(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """The same corners as on the drawing, and each round or square opening by its centre, size and radius."""
    rows = table(files, "offsets")
    for pattern in plan.patterns:
        mine = [row for row in rows if row["board"] == pattern.name and row["face"] in (pattern.drawn_face, "both")]
        read = {row["corner"]: (float(row["right_mm"]), float(row["up_mm"])) for row in mine if not row["edge_of"]}
        for letter, at in pattern.corners:
            assert read[letter] == pytest.approx((1000 * at[0], 1000 * at[1]), abs=0.051)
        holes = [row for row in mine if row["corner"] == "centre"]
        assert len(holes) == len(pattern.outline.interiors)
        sizes = {cutout.name: cutout.outline.bounds for cutout in pattern.cutouts}
        for row in holes:
            west, south, east, north = sizes[row["edge_of"]]
            assert (float(row["wide_mm"]), float(row["high_mm"])) == pytest.approx(
                (1000 * (east - west), 1000 * (north - south)), abs=0.1
            )


@pytest.mark.example
def test_nothing_in_the_booklet_runs_off_its_page(files: dict[str, bytes]) -> None:
    """Every word and line lies on the paper, 8 mm or more from its edge."""
    document = pdfium.PdfDocument(files["booklet.pdf"])
    edge = 8.0 * 72.0 / 25.4
    for number, page in enumerate(document, 1):
        width, height = page.get_size()
        for item in page.get_objects():
            left, bottom, right, top = item.get_bounds()
            assert min(left, bottom, width - right, height - top) > edge, f"page {number}"
    document.close()


@pytest.mark.closed_form
def test_one_page_tells_a_designer_what_presses_on_each_panel_and_how_it_is_held(
    plan: BuildPlan, files: dict[str, bytes]
) -> None:
    """One load sheet: the lid's water and its sealed air, 11.7 kPa by the gas law on its area, its span, what bears it, and that
    neither bending nor waves nor strength is judged; kPa are head times 1025 x 9.81."""
    pages = page_texts(files["booklet.pdf"])
    (sheet,) = [" ".join(page.split()) for page in pages if "Load sheet" in page]
    layout = plan.evaluation.layout
    number = next(k for k, shape in enumerate(layout.panels) if shape.name == "tank top")
    assert f"{1000 * clear_span(layout, number, 'under'):.0f} mm hull, collision, main, centre web, bearer" in sheet
    assert "air sealed in port void, 12 to 45 °C all of it 11.7 1920" in sheet
    # Five inches of water on the same area, and on each support that and a strip of 400 mm beside it.
    test = re.search(r"tank top leak test of port void pushed up 127 1\.2 (\d+)", sheet)
    assert test is not None
    assert int(test[1]) / 1920 == pytest.approx(1.2454 / 11.7, rel=0.01)
    support = next(each for each in plan.supports if each.name == "tank top, support 1")
    told = re.search(r"tank top: 1\b[^×]*× \S+ (\d+) air sealed in port void (\d+)", sheet)
    assert told is not None
    assert int(told[1]) == round(1000 * support.length)
    assert int(told[2]) == pytest.approx(11.7e3 * (0.4 + support.width) * support.length / 9.81, rel=0.01)
    found = re.search(r"collision (?:\S+ ){1,9}holed(?:, empty)? after (\d+) ([\d.]+) \d+", sheet)
    assert found is not None
    assert float(found[2]) == pytest.approx(1.025 * 9.81 * float(found[1]) / 1000, abs=0.06)
    assert "How far a panel bends, waves and slamming" in sheet
    assert "not judged" in sheet


@pytest.mark.closed_form
def test_the_cutting_list_says_which_boards_the_weights_leave_out(plan: BuildPlan) -> None:
    """Of a plywood that is named, what the weights count and the straps make up all boards, but for their gaps."""
    assert left_out_of_weights(plan, "mm") == ""
    layout = plan.evaluation.layout
    scene = layout.scene
    for key in ("bulkheads", "partitions", "lids"):
        scene = replace(scene, **{key: tuple(replace(each, material="okoume") for each in getattr(scene, key))})
    panels = {panel.name: panel for panel in scene.panels}
    shapes = tuple(replace(shape, panel=panels[shape.name]) for shape in layout.panels)
    named = replace(plan, evaluation=replace(plan.evaluation, layout=replace(layout, scene=scene, panels=shapes)))
    said = left_out_of_weights(named, "mm")
    told = re.search(r"count ([\d.]+) kg of boards, without gaps; not in them: straps, ([\d.]+) kg and supports", said)
    assert told is not None
    every = sum(pattern.mass or 0.0 for pattern in plan.patterns)
    assert float(told[1]) + float(told[2]) == pytest.approx(every, rel=0.05)
    assert float(told[2]) > 0.05 * every


@pytest.mark.example
def test_the_fingerprint_changes_with_any_number_and_with_no_file_name() -> None:
    """Half a millimetre more at a bulkhead or a hull's point gives another fingerprint; another place on the disk does not."""
    scene = read_scene(SCENE)
    first = scene_fingerprint(scene)
    bulkhead = scene.bulkheads[0]
    moved = replace(scene, bulkheads=(replace(bulkhead, thickness=bulkhead.thickness + 0.0005), *scene.bulkheads[1:]))
    station = scene.hull.stations[1]
    other = replace(
        scene.hull, stations=(scene.hull.stations[0], replace(station, at=station.at + 0.0005), *scene.hull.stations[2:])
    )
    assert len({first, scene_fingerprint(moved), scene_fingerprint(replace(scene, hull=other))}) == 3
    assert scene_fingerprint(replace(scene, file="elsewhere/copy.yaml")) == first


@pytest.mark.example
def test_solids_come_back_closed_and_as_large(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """Another library finds every solid of the glTF closed, compartments of their volumes, the boat standing upright."""
    content = json.loads(files["solids/boat.glb"][20 : 20 + struct.unpack("<I", files["solids/boat.glb"][12:16])[0]])
    assert content["asset"]["version"] == "2.0"
    loaded = trimesh.load(io.BytesIO(files["solids/boat.glb"]), file_type="glb")
    layout = plan.evaluation.layout
    for space in layout.compartments:
        mesh = loaded.geometry[f"compartment: {space.name}"]
        assert mesh.is_watertight
        # Single precision, as the format has it, keeps a boat's coordinates to a micrometre.
        assert mesh.volume == pytest.approx(space.volume, rel=1e-5)
    low, high = layout.hull.outside.bounds
    assert loaded.extents == pytest.approx([high[0] - low[0], high[2] - low[2], high[1] - low[1]], abs=1e-4)


@pytest.mark.closed_form
def test_stl_is_in_millimetres() -> None:
    """A box of 1 x 2 x 3 m comes back as 1000 x 2000 x 3000, closed, with 6e9 cubic millimetres."""
    mesh = trimesh.load(io.BytesIO(as_stl(box((0, 0, 0), (1, 2, 3)), "solid box")), file_type="stl")
    assert mesh.extents.tolist() == [1000.0, 2000.0, 3000.0]
    assert mesh.volume == pytest.approx(6e9)
    assert mesh.is_watertight


@pytest.mark.example
def test_the_same_plan_gives_the_same_booklet(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """Made twice on one day; of the other files the page's folder is compared with that of another process."""
    assert booklet(plan, "a4", "mm", DAY) == files["booklet.pdf"]


@pytest.mark.example
def test_a_sheet_smaller_than_every_board_is_a_finding() -> None:
    """Sheets of 200 mm square hold no board: the findings name the boards and say what to do, and the paper is still made."""
    scene = demo("quillet-forepeak").scene
    there = tuple(replace(lid, built="already") for lid in scene.lids)
    off = Sheet(name="off", thickness=0.012, size=(0.2, 0.2))
    small = build_plan(evaluate(replace(scene, lids=there, sheets=(off,))), at_once)
    said = [finding for finding in small.findings if finding.code == "no-sheet"]
    assert said
    assert all("sheet" in in_words(finding) and "200 mm × 200 mm" in in_words(finding) for finding in said)
    assert next(iter(build_files(small, on=DAY, picture=False)))[1].startswith(b"%PDF")


@pytest.mark.example
def test_a_gap_wider_than_a_panel_is_said(plan: BuildPlan) -> None:
    """With a gap of 400 mm nothing is left of the chain floor, and a finding says so; with one of 2 m of no panel, an error."""
    whole = plan.evaluation.scene
    lids = tuple(each if each.name == "chain floor" else replace(each, built="already") for each in whole.lids)
    webs = tuple(replace(each, built="already") for each in whole.partitions)
    boat = evaluate(replace(whole, partitions=webs, lids=lids, stringers=()))

    def with_gap(gap: float) -> BuildPlan:
        scene = replace(boat.scene, cutting=Cutting(gap=gap))
        return build_plan(replace(boat, scene=scene, layout=replace(boat.layout, scene=scene)), at_once)

    said = {finding.object: in_words(finding) for finding in with_gap(0.4).findings if finding.code == "nothing-to-cut"}
    assert "a gap of 400 mm" in said["chain floor"]
    with pytest.raises(SketchError, match="the gaps leave nothing of any panel"):
        next(iter(build_files(with_gap(2.0), on=DAY, picture=False)))


@pytest.mark.example
def test_nothing_planned_is_said(plan: BuildPlan) -> None:
    """A layout whose panels are all there already has nothing to build, in words."""
    scene = plan.evaluation.scene
    there = {key: tuple(replace(p, built="already") for p in getattr(scene, key)) for key in ("bulkheads", "partitions", "lids")}
    with pytest.raises(SketchError, match="no panel is planned"):
        next(iter(build_files(build_plan(evaluate(replace(scene, stringers=(), **there))))))


@pytest.mark.example
def test_the_command_writes_a_whole_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`build` ends with 0 and names where to begin; a file in the folder's place is an error and stays as it was."""
    there = tmp_path / "file"
    there.write_text("mine", encoding="utf-8")
    assert main(["build", SCENE, "-o", str(there)]) == 2
    assert "there is a file of this name" in capsys.readouterr().err
    assert there.read_text(encoding="utf-8") == "mine"


@pytest.mark.example
def test_spreadsheets_run_no_name_as_a_formula() -> None:
    """A board called =1+1 is quoted as text; numbers stay numbers, what is not known stays empty."""
    assert as_table(["a", "b", "c"], [["=1+1", -2.5, None]]).splitlines()[1] == "'=1+1,-2.5,"


@pytest.mark.example
def test_file_names_differ_and_hold_nothing_that_systems_refuse() -> None:
    """Names alike but for case or forbidden characters get numbers; dots and slashes at the ends are gone."""
    assert distinct_names(["a/b", "A b", "..", "tank: top?"]) == ["a b", "A b (2)", "board", "tank top"]


@pytest.mark.example
def test_a_lid_whose_seams_nobody_reaches_is_built_all_the_same() -> None:
    """Both bulkheads stand and there is no opening: booklet and lists are written, and the bonding is bedding on cleats."""
    scene = demo("quillet-forepeak").scene
    standing = tuple(replace(bulkhead, built="already") for bulkhead in scene.bulkheads)
    shut = build_plan(evaluate(replace(scene, bulkheads=standing, openings=(), compartments=())), at_once)
    assert shut.bonding is not None
    assert (shut.bonding.seam_length, shut.bonding.tapes, shut.bonding.bedded > 0.0) == (0.0, (), True)
    assert all(getattr(bought.amount, "metres", 1.0) > 0.0 for bought in shut.purchases)
    assert "booklet.pdf" in dict(build_files(shut, on=DAY, picture=False))


@pytest.mark.example
def test_the_booklet_says_what_each_lids_joint_lies_over(plan: BuildPlan, files: dict[str, bytes]) -> None:
    """Two-tanks' lid has no support along its joints, and says where one could lie and what is against it; its lists too."""
    text = " ".join(page_texts(files["booklet.pdf"])).replace("\n", " ")
    joints = [joint for joint in plan.joints if joint.panel == "tank top"]
    assert joints
    rows = {(row["part_1"], row["part_2"]): row for row in table(files, "joints")}
    for joint in joints:
        assert joint.unborne is not None
        parts = " and ".join(part.removeprefix("tank top, ") for part in joint.parts)
        assert f"No support lies along the joint of tank top, {parts}: {words(joint.unborne)}." in text
        assert rows[joint.parts]["why_over_no_support"] == words(joint.unborne)
    assert "at 2551 mm one could, but there its strap would come too near" in text
