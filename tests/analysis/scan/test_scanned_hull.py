"""A hull made of a scan: the demo hulls are what it must give back, scanned with noise, strays, furniture and unseen patches."""

from dataclasses import replace

import numpy as np
import pytest
from scans.scanned_boats import Scan, compared, scan_of, sheer_off

from sketcher.analysis.scan.attitude import stated_attitude
from sketcher.analysis.scan.scan_findings import scan_findings
from sketcher.analysis.scan.scanned_hull import ScannedHull, hull_of_scan, reach
from sketcher.analysis.survey.findings import check_hull
from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from, hull_text
from sketcher.outputs.wording.sentences import message

UNSEEN_KEEL = ((0.55, 0.0, 0.0, 0.35),)
Scanned = tuple[Scan, ScannedHull]


@pytest.fixture(scope="module")
def quillet() -> Scanned:
    """Her inside, turned any way, with furniture and frames in her; her keel unseen amidships."""
    scan = scan_of("quillet-21", 40_000, seed=3, unseen=UNSEEN_KEEL)
    return scan, hull_of_scan(scan.points, "Quillet", "mm", every=0.4)


@pytest.mark.closed_form
def test_sections_volume_and_knuckle_are_those_of_the_hull_that_was_scanned(quillet: Scanned) -> None:
    """Places of stations within 4 mm, 19 of 20; her volume within 1 %; her chine within 8 mm in the median, wherever it is."""
    scan, scanned = quillet
    found = compared(scanned, scan)
    assert found.sections.median < 1.0
    assert found.sections.most_of < 4.0
    assert abs(found.volume) < 0.01
    assert found.share_of_knuckles == 1.0
    assert found.knuckles.median < 8.0


@pytest.mark.closed_form
def test_the_sheer_is_that_of_the_hull_where_her_bow_narrows(quillet: Scanned) -> None:
    """Forward, where neighbouring points reach up to other girths: 4 mm at each station, 1 in the mean (measured: 0.3)."""
    off = 1000.0 * sheer_off(quillet[1], quillet[0])[:6]
    assert np.abs(off).max() < 4.0
    assert abs(off.mean()) < 1.0


@pytest.mark.example
def test_what_a_station_says_it_is_measured_to_is_about_what_it_is_off(quillet: Scanned) -> None:
    """A millimetre or a few: the scan's noise of 5 mm is evened out by the many points about each."""
    errors = [station.measured_to for station in quillet[1].hull.stations]
    assert all(error is not None and 0.001 <= error <= 0.004 for error in errors)
    assert quillet[1].noise == pytest.approx(0.005, abs=0.0015)


@pytest.mark.example
def test_a_place_where_nothing_was_seen_is_named(quillet: Scanned) -> None:
    """A patch of the keel 700 mm across, unseen: its place aft, and how high it reaches."""
    (hole,) = quillet[1].holes
    assert (hole.start, hole.end) == pytest.approx((3.22, 3.92), abs=0.15)
    assert hole.bottom is None
    assert hole.top == pytest.approx(0.1, abs=0.06)
    said = [message(finding) for finding in scan_findings(quillet[1]) if finding.code == "scan-hole"]
    assert said[0].startswith("Nothing was seen between 3")
    assert ", below " in said[0]


@pytest.mark.example
def test_a_hull_from_a_scan_is_a_hull_file_that_check_has_nothing_against(quillet: Scanned) -> None:
    """Written and read back she is the same, and no number of hers is called mistyped."""
    hull = quillet[1].hull
    assert replace(hull_from(compose(hull_text(hull), "x.yaml")), file=None) == hull
    assert [finding.code for finding in check_hull(hull) if finding.severity != "note"] == []


@pytest.mark.example
def test_her_own_length_taken_as_level_is_said(quillet: Scanned) -> None:
    """A scan turned any way has no upright axis: that is a warning, with its remedy."""
    level = next(finding for finding in scan_findings(quillet[1]) if finding.code == "scan-level")
    assert level.severity == "warn"
    assert "--points" in message(level)


@pytest.mark.closed_form
def test_three_points_turn_her_as_they_say() -> None:
    """Bow and stern at one height and the keel, each off by a centimetre: level to 0.2 degrees, the middle to 2 mm."""
    scan = scan_of("quillet-21", 20_000, seed=6)
    places = np.array([[0.0, 0.01, 1.0], [6.0, -0.01, 1.0], [3.0, 0.01, 0.0]])
    bow, stern, keel = places @ scan.turn.T + scan.shift
    found = stated_attitude(scan.points, reach(scan.points), bow, stern, keel)
    assert np.degrees(np.arccos(np.clip(np.diag(found.axes @ scan.turn), -1.0, 1.0))).max() < 0.2
    assert abs(found.aboard(np.array([[3.0, 0.0, 0.5]]) @ scan.turn.T + scan.shift)[0, 1]) < 0.002


@pytest.mark.example
def test_few_points_and_no_boat_are_refused_with_a_remedy() -> None:
    """A hundred points; and a sensible number that lie on nothing."""
    with pytest.raises(SketchError, match=r"(?s)100 points.*5000 or more"):
        hull_of_scan(np.zeros((100, 3)), "x", "mm")
    rng = np.random.default_rng(1)
    with pytest.raises(SketchError, match="no surface shows"):
        hull_of_scan(rng.normal(size=(6000, 3)) * [0.1, 0.05, 0.05], "x", "mm")


@pytest.mark.closed_form
@pytest.mark.slow
def test_the_outside_of_a_round_hull_is_found_too() -> None:
    """Sections, volume, transom and stem of a hull scanned from outside, saved plumb as telephones do."""
    scan = scan_of("pellwick-30", 40_000, seed=5, inside=False, turned="plumb")
    scanned = hull_of_scan(scan.points, "Pellwick", "mm", "outside", every=0.4)
    found = compared(scanned, scan)
    assert scanned.attitude.level == "upright axis"
    assert found.sections.most_of < 4.0
    assert abs(found.volume) < 0.01
    assert scanned.hull.transom_rake == pytest.approx(8.0, abs=0.5)
    assert scanned.hull.stem[-1][0] == 0.0
    assert [station.knuckles for station in scanned.hull.stations] == [()] * len(scanned.hull.stations)
