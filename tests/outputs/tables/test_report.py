"""The report a person reads."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from evaluation_specimen import box_boat, compartment
from scene_specimens import demo

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Floating, WaterPlane
from sketcher.model.scene import Scene
from sketcher.outputs.tables.first import NOTHING_GRAVE
from sketcher.outputs.tables.report import NOT_PROMISED, WIDTH, report, waterline_words


def line_of(text: str, start: str) -> str:
    """The first line that begins so."""
    return next(line for line in text.splitlines() if line.startswith(start))


@pytest.mark.closed_form
def test_a_space_stands_in_one_line_with_litres_share_and_relation() -> None:
    """The fore space, 1 x 2 x 1 m, half full at 0.5 m: 2000 litres, 1000 below, 50 per cent, crosses, 0 to 1000 mm, not tight."""
    assert " ".join(line_of(report(box_boat()), "forepeak").split()) == "forepeak chain 2000 1000 50 % crosses 0 1000 no"


@pytest.mark.closed_form
def test_totals_are_the_sums() -> None:
    """3.576 + 2 + 2.3244 m3 are 7900 litres, of which 596 + 1000 + 2324 are below the water."""
    assert " ".join(line_of(report(box_boat()), "Total").split()) == "Total 7900 3920 50 %"


@pytest.mark.closed_form
def test_the_wetted_surface_stands_with_what_paint_it_takes() -> None:
    """14 m2 are wet; two coats at 10 m2 a litre take 2.8 litres, marked as from memory. Where it is not known, no paint is."""
    boat = box_boat()
    text = report(boat)
    assert " ".join(line_of(text, "wetted surface").split()) == "wetted surface 14.00 m² without keel and rudder"
    paint = "2 coats at 10 m² a litre take 2.8 litres, keel and rudder not counted (common practice, from memory: go by the tin)"
    assert paint in " ".join(text.split())
    assert "Bottom paint" not in report(replace(boat, floating=replace(boat.floating, wetted_surface=None)))


@pytest.mark.closed_form
def test_the_reader_may_choose_the_unit() -> None:
    """The berth of 2.98 m is 2980 mm, 9 ft 9 5/16 in and 117 5/16 in."""
    assert "2980" in line_of(report(box_boat()), "long berth")
    assert "9'9 5/16\"" in line_of(report(box_boat(), "ft"), "long berth")
    assert "117 5/16" in line_of(report(box_boat(), "in"), "long berth")


@pytest.mark.property
@pytest.mark.parametrize("units", ["mm", "cm", "m", "in", "ft"])
def test_every_line_fits_a_page(units: str) -> None:
    """In every unit no line is wider than a printed page takes."""
    assert max(map(len, report(box_boat(), units).splitlines())) <= WIDTH + 12


@pytest.mark.example
def test_what_is_not_known_says_so_and_why() -> None:
    """The metacentric height is not known because the height of the centre of gravity is not stated; the words say both."""
    line = line_of(report(box_boat()), "metacentric height GM")
    assert "not known" in line
    assert "height of the centre of gravity is not stated" in line


@pytest.mark.example
def test_without_a_waterline_there_is_no_position_and_no_zero() -> None:
    """No waterline: relation and litres below are not known, and the heading says that none is stated."""
    boat = box_boat()
    text = report(replace(boat, water=None, floating=Floating(), immersion=(None,) * 3))
    assert "no waterline stated" in text
    assert line_of(text, "forepeak").split()[2:4] == ["2000", "not"]
    assert "crosses" not in text


@pytest.mark.example
def test_an_open_space_gives_what_was_measured_and_leaves_the_total_open() -> None:
    """A space that runs on prints the litres up to the measured end as a least figure, and a total that nobody knows."""
    boat = box_boat()
    spaces = (compartment("after space", (1.02, -1, 0.4), (4, 1, 1), bounded=False), *boat.layout.compartments[1:])
    text = report(replace(boat, layout=replace(boat.layout, compartments=spaces)))
    assert "over 3576" in line_of(text, "after space")
    assert "runs on past the measured end" in text
    assert line_of(text, "Total").split()[1:3] == ["not", "known"]


@pytest.mark.example
def test_an_estimate_is_called_one_in_its_own_line() -> None:
    """A displacement stated of the whole boat is marked beside the figure."""
    boat = box_boat()
    text = report(replace(boat, floating=Floating(displacement=8600.0, estimated=("displacement",))))
    assert "ESTIMATE" in line_of(text, "displacement")


@pytest.mark.example
def test_what_stops_comes_before_warnings_and_notes() -> None:
    """Findings stand in order of severity, whatever the order they came in, and are counted: the grave ones before all else."""
    text = report(box_boat())
    assert text.index("  Stop ") < text.index("  Warning ") < text.index("COMPARTMENTS") < text.index("  Note ")
    assert "FIRST: 1 that stops, 1 warning" in text


@pytest.mark.example
def test_a_finding_names_its_source_and_whom_it_binds() -> None:
    """What a finding rests on stands beneath it, with its standing, where that is asked for."""
    assert "from: " not in report(box_boat())
    text = report(box_boat(), sources=True)
    assert "from: Sea water 1025" in text
    assert "common practice; binds nobody: advice" in " ".join(text.split())


@pytest.mark.example
def test_every_report_says_what_it_does_not_promise() -> None:
    """Still water, no strength, no rule: at the foot of each report, as findings or without."""
    for boat in (box_boat(), replace(box_boat(), findings=())):
        assert " ".join(NOT_PROMISED.split()) in " ".join(report(boat).split())


@pytest.mark.example
def test_a_space_that_is_not_tight_says_to_what_it_is_open() -> None:
    """The hole through the collision bulkhead shows at both spaces that it joins."""
    text = report(box_boat())
    assert "forepeak: not tight, open to low void" in text
    assert "low void: not tight, open to forepeak" in text


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("after", "heel", "words"),
    [
        (0.5, 0.0, "waterline 500 mm above the base line at the bow, 500 mm at the stern"),
        (0.430, 0.0, "waterline 500 mm above the base line at the bow, 430 mm at the stern, 1.0° down by the bow"),
        (
            0.570,
            -2.0,
            "waterline 500 mm above the base line at the bow, 570 mm at the stern, 1.0° down by the stern, heeled 2.0° to port",
        ),
    ],
)
def test_trim_and_heel_are_said_when_there_are_any(after: float, heel: float, words: str) -> None:
    """70 mm in 4 m are one degree; water higher at the bow is trim by the bow, higher at port is heel to port."""
    assert waterline_words(WaterPlane(forward=0.5, after=after, heel=heel, x_forward=0.0, x_after=4.0), "mm") == words


@pytest.mark.example
def test_an_empty_boat_still_has_a_report() -> None:
    """A hull without panels or berths: one space, no berths, nothing noticed."""
    boat = box_boat()
    whole = compartment("inside", (0, -1, 0), (4, 1, 1))
    scene = Scene(name="Bare", units="mm", hull=boat.scene.hull, hull_path="x")
    bare = Evaluation(
        scene=scene,
        layout=replace(boat.layout, scene=scene, panels=(), compartments=(whole,), flow_paths=()),
        water=boat.water,
        floating=boat.floating,
        immersion=boat.immersion[:1],
        berths=(),
        findings=(),
    )
    text = report(bare)
    assert "BERTHS" not in text
    assert f"FIRST: {NOTHING_GRAVE}" in text
    assert "NOTICED" not in text
    assert line_of(text, "inside").split()[2] == "8000"


@pytest.mark.closed_form
def test_a_report_in_inches_tells_every_mass_in_pounds() -> None:
    """No kilogram but of water's density; 1 cm and 1 kg m are 2.54, 2.2046 and 3.2808 in inches, pounds and feet."""
    boat = demo("quillet-filled")
    metric, told = report(boat, "mm"), report(boat, "in")
    assert re.findall(r"\d+ kg\b(?!/m³| per m³)", told) == []
    assert not re.search(r"\bkg,|, kg\b| kg  ", told)
    (per_cm,) = re.findall(r"sinks 1 cm for +(\d+) kg", metric)
    (per_inch,) = re.findall(r"sinks 1 in for +(\d+) lb", told)
    assert float(per_inch) == pytest.approx(float(per_cm) * 2.54 * 2.2046, rel=0.03)
    (moment,) = re.findall(r"trims 1 cm over her length for +([\d.]+) kg m", metric)
    (turning,) = re.findall(r"trims 1 in over her length for +([\d.]+) lb ft", told)
    assert float(turning) == pytest.approx(float(moment) * 2.54 * 2.2046 * 3.2808, rel=0.05)
