"""Bands, doubts and what to measure again, as printed and for other programs."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from box_boat import box_boat, box_known

from sketcher.analysis.bands.readings import TapeReading
from sketcher.analysis.evaluate import evaluate
from sketcher.model.scene import Waterline, Weight
from sketcher.outputs.bands.band_figures import band_figures, certainty
from sketcher.outputs.bands.measured_again import for_figure, how_sure
from sketcher.outputs.bands.reading_words import reading_words
from sketcher.outputs.tables.json_figures import as_json
from sketcher.outputs.tables.report import report
from sketcher.outputs.tables.sure.certainty import Certainty
from sketcher.outputs.tables.sure.figure_paths import figure_values


@pytest.mark.closed_form
def test_a_report_tells_figures_with_their_bands() -> None:
    """The peak's 1800 litres to 29 either way, by hand; a limit 20 litres off is missed in 9 of 100, one 10 mm in 8."""
    text = report(evaluate(box_boat()), sure=certainty(box_known()), more=("HOW SURE",))
    lines = {line.split("  ")[0]: " ".join(line.split()) for line in text.splitlines()}
    assert lines["peak"].startswith("peak void 1800 ±29 ")
    assert "litres of peak at least 1780 litres 1800 ±29 L met by 20 L; in 9 of 100 it would not be" in lines["large"]
    assert "700 ±14 mm met by 10 mm; in 8 of 100 it would not be" in lines["high"]
    assert lines["freeboard at the bow"] == "freeboard at the bow 700 ±14 mm"
    assert "HOW SURE" in lines


@pytest.mark.closed_form
def test_what_to_measure_again_is_told_with_what_it_brings() -> None:
    """The freeboard at the bow, 14 mm either way, is 10 mm if sheer or water are read to 1 mm, and 3 mm if both are."""
    text = "\n".join(for_figure(box_known(), evaluate(box_boat()), "floating.forward_freeboard_m", "mm"))
    assert "MEASURE AGAIN for bow freeboard, 700 ±14 mm" in text
    assert "station 1 at 0 mm, point 3" in text
    assert "the waterline at the bow" in text
    assert "now ±13.9 mm; with all of these read again ±2.8 mm" in text


@pytest.mark.example
def test_the_report_s_end_says_what_a_band_is_and_what_it_leaves_out() -> None:
    """How well she was measured, what is taken as stated, and the two figures of which most hangs on the tape."""
    lines = how_sure(box_known(), evaluate(box_boat()), "mm")
    text = " ".join(" ".join(lines).split())
    assert "BOARDS over all, millimetres width height length collision 1800 ±" in text
    assert "HOW SURE, the hull measured to 5 mm, the waterline to 5 mm (one standard deviation)" in text
    assert "how the skin runs between the points" in text
    assert [line.split(",")[0] for line in lines if line.startswith("MEASURE")] == [
        "MEASURE AGAIN for litres of peak",
        "MEASURE AGAIN for bow freeboard",
    ]


@pytest.mark.example
def test_other_programs_get_bands_doubts_and_readings() -> None:
    """By the report's own paths, in SI, no number that is none."""
    boat = evaluate(box_boat())
    values = json.loads(as_json(boat, more=band_figures(box_known(), boat)))
    low, high = values["bands"]["compartments.peak.volume_m3"]
    assert low < 1.8 < high
    assert values["doubts"]["limits.large.met"] == pytest.approx(0.087, abs=0.01)
    first = values["measure_next"][0]
    assert first["reading"] == "station 1 at 0 mm, its distance aft"
    assert first["figure"] == "compartments.peak.volume_m3"
    assert first["band_then"] < first["band_now"]


@pytest.mark.example
def test_every_reading_has_its_name() -> None:
    """As the files name it; a waterline by freeboards is read as freeboards."""
    weights = (Weight(name="anchor", kg=12.0, at=(0.3, 0.0, 0.9)),)
    scene = replace(box_boat(), weights=weights, waterline=Waterline(bow_freeboard=0.7, stern_freeboard=0.68))
    words = {
        reading_words(TapeReading(what, 0, 0, 0, 0.005), scene)  # type: ignore[arg-type]
        for what in ("stem", "stern", "camber", "coachroof", "sole", "waterline", "gravity", "weight")
    }
    assert words == {
        "the stem, point 1",
        "the stern, point 1",
        "the deck's camber",
        "the coachroof's height",
        "the cockpit's sole",
        "the freeboard at the bow",
        "the centre of gravity's height",
        "the weight of anchor",
    }


@pytest.mark.example
def test_a_figure_without_a_band_is_told_as_it_is() -> None:
    """And a verdict that hardly any boat turns, without a word."""
    sure = Certainty({}, {"berths.bunk.fits": 0.004, "berths.other.fits": 0.08})
    assert sure.told("berths.bunk.length_m", "1970", 1.97, "mm") == "1970"
    assert sure.doubt("berths.bunk.fits", "it would not") == ""
    assert sure.doubt("berths.other.fits", "it would not") == "; in 8 of 100 it would not"


@pytest.mark.example
def test_paths_name_objects_and_leave_words_out() -> None:
    """Spaces and limits by name, places by axis."""
    values = figure_values(evaluate(box_boat()), ())
    assert values["compartments.peak.volume_m3"] == pytest.approx(1.8, rel=1e-9)
    assert values["limits.large.met"] is True
    assert (values["boards.collision.width_m"], values["boards.collision.height_m"]) == pytest.approx((1.8, 1.0), abs=1e-5)
    assert values["floating.centre_of_buoyancy_m.y"] == pytest.approx(0.0, abs=1e-9)
    assert not any("finding" in path or path.endswith(".name") for path in values)
