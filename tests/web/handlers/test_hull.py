"""The hull's place without a browser: what is typed there is kept, judged, and taken up by the layout."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from driven_sketch import DrivenSketch, driven

from sketcher.analysis.hull.standing import standing_of
from sketcher.analysis.hull.transom import radius_of
from sketcher.model.files.hull_saving import open_hull
from sketcher.web.page.hull_state import hull_state
from sketcher.web.typed_state import HullState

pytestmark = pytest.mark.example


@pytest.fixture
def at_hull(sketch: DrivenSketch) -> DrivenSketch:
    """The smallest demo, her hull's place shown."""
    sketch.ask("arrange", arrangement="hull")
    return sketch


def judged(sketch: DrivenSketch) -> HullState:
    """The place once all that was asked has been worked out and shown."""
    sketch.workspace.judged_hull.wait()
    sketch.controller.before_picture()
    sketch.workspace.judged_hull.wait()
    return hull_state(sketch.workspace)


def typed(sketch: DrivenSketch, key: str, text: str) -> None:
    sketch.ask("hull_set", field=key, value=text)


def test_a_misread_number_is_doubted_and_one_key_takes_the_likely(at_hull: DrivenSketch) -> None:
    """A 3 typed as an 8 at station 1350: the number's own field says so with the likely value; taken, no doubt is left."""
    number = 1 + [station.at for station in at_hull.session.hull.hull.stations].index(1.35)
    assert at_hull.session.hull.hull.stations[number - 1].points[4][0] == 0.639
    key = f"stations.{number}.points.5.1"
    typed(at_hull, key, "689")
    doubts = judged(at_hull).doubts
    assert (doubts[key].likely, doubts[key].short) == ("639", "a 3 read as an 8?")
    assert f'data-field="{key}"' in at_hull.parts()["hull"]
    typed(at_hull, key, doubts[key].likely)
    assert judged(at_hull).doubts == {}


def test_the_layout_follows_the_hull_in_all_its_steps(at_hull: DrivenSketch) -> None:
    """More camber: the layout stands in that hull, says what it does, and its own undo still works in it."""
    at_hull.ask("arrange", arrangement="both")
    at_hull.ask("select", part="bulkhead/collision")
    at_hull.ask("nudge", towards="right")
    at_hull.ask("arrange", arrangement="hull")
    before = at_hull.evaluation.layout.compartments[0].volume
    typed(at_hull, "deck.camber", "90")
    now = judged(at_hull)
    assert at_hull.scene.hull.deck.camber == 0.09
    assert now.judged is not None
    assert now.judged.effects is not None
    assert now.judged.effects.differences
    assert at_hull.evaluation.layout.compartments[0].volume != before
    at_hull.ask("arrange", arrangement="both")
    at_hull.ask("undo")
    assert at_hull.scene.hull.deck.camber == 0.09
    assert at_hull.scene.bulkheads == at_hull.session.opened.scene.bulkheads


def test_undo_in_her_place_takes_back_a_measurement(at_hull: DrivenSketch) -> None:
    """It is named; the layout goes back with it, and nothing is unsaved then."""
    typed(at_hull, "deck.camber", "90")
    assert at_hull.state().undo is not None
    assert "camber" in str(at_hull.state().undo)
    assert at_hull.session.unsaved
    at_hull.ask("undo")
    judged(at_hull)
    assert not at_hull.session.unsaved
    assert at_hull.scene == at_hull.session.opened.scene


def test_what_cannot_be_taken_stands_in_its_field(at_hull: DrivenSketch) -> None:
    """Text that is no length stays where it was typed, the reason beside it, and nothing else is changed."""
    typed(at_hull, "stations.1.points.2.1", "4l2")
    refused = hull_state(at_hull.workspace).refused["stations.1.points.2.1"]
    assert (refused.text, refused.why.split(".")[0]) == ("4l2", "`4l2` is no length")
    assert not at_hull.session.unsaved
    typed(at_hull, "coachroof.height", "-3")
    assert set(hull_state(at_hull.workspace).refused) == {"stations.1.points.2.1", "coachroof.height"}
    typed(at_hull, "stations.1.points.2.1", "119")
    assert "stations.1.points.2.1" not in hull_state(at_hull.workspace).refused


def test_a_half_entered_hull_is_saved_and_the_boat_stays_as_she_was(at_hull: DrivenSketch) -> None:
    """Numbers that make no hull: said at the station, saved all the same, the layout in the last good hull."""
    good = at_hull.scene.hull
    typed(at_hull, "stations.2.points.3.2", "10")
    typed(at_hull, "stations.2.points.3.1", "20")
    now = judged(at_hull)
    assert now.judged is not None
    assert now.judged.problem is not None
    assert "goes back down and inwards" in at_hull.parts()["hull"]
    assert at_hull.scene.hull == good
    at_hull.ask("save")
    assert open_hull(good.file or "").stated.stations[1].points[2] == (0.02, 0.01)
    assert not at_hull.session.unsaved


def test_saving_saves_both_files(at_hull: DrivenSketch) -> None:
    """One Save: the hull's file says the new camber in its line, and what was noticed counts from there."""
    typed(at_hull, "deck.camber", "41")
    judged(at_hull)
    at_hull.ask("save")
    assert open_hull(at_hull.scene.hull.file or "").stated.deck.camber == 0.041
    assert at_hull.notice is not None
    assert "quillet-21.yaml" in at_hull.notice.text
    effects = judged(at_hull).judged
    assert effects is not None
    assert effects.effects is not None
    assert effects.effects.differences == ()


def test_what_was_typed_survives_the_end_of_the_program(at_hull: DrivenSketch, boats: Path) -> None:
    """Unsaved measurements are offered when the scene is opened again, and taken up as one step of the hull."""
    typed(at_hull, "deck.camber", "77")
    at_hull.session.hull.unsaved_work.let_go()
    again = driven(boats / "scenes" / "quillet-forepeak.yaml")
    assert again.dialog is not None
    assert (again.dialog.name, again.dialog.about) == ("recover", "quillet-21.yaml")
    again.ask("recover", work=again.dialog.options[0], take="yes")
    assert again.session.hull.hull.deck.camber == 0.077
    assert again.session.hull.history.undo_name == "Take up unsaved measurements again"


@pytest.mark.parametrize(
    ("message", "said"),
    [
        ({"do": "hull_station", "at": "2650"}, "Station 8"),
        ({"do": "hull_station", "number": 3, "out": "yes"}, "Station 2"),
        ({"do": "hull_point", "place": 1, "number": 2}, "stations.1.points.6.2"),
        ({"do": "hull_point", "place": "stem", "number": 1}, "stem"),
        ({"do": "hull_knuckle", "station": 1, "point": 2, "value": True}, "corner"),
        ({"do": "hull_part", "name": "rudder"}, "appendages.rudder.litres"),
        ({"do": "hull_part", "name": "deck"}, "cannot be a name"),
        ({"do": "hull_point", "place": 99, "number": 1}, "no station 99"),
        ({"do": "hull_set", "field": "units", "value": "m"}, "no `units`"),
        ({"do": "hull_set", "field": "stations.99.at", "value": "1"}, "no station 99"),
        ({"do": "hull_set", "field": "..", "value": "1"}, ""),
    ],
)
def test_every_message_is_done_or_refused_in_a_sentence(
    message: dict[str, Any], said: str, at_hull: DrivenSketch, caplog: pytest.LogCaptureFixture
) -> None:
    """Nothing fails, and the page shows what came of it."""
    at_hull.controller.take(message)
    shown = "".join(at_hull.parts().values()) + str(at_hull.session.hull.refused)
    assert said in shown
    assert [record.getMessage() for record in caplog.records if record.exc_info] == []


def test_a_half_entered_hull_is_opened_again_as_far_as_she_is_entered(at_hull: DrivenSketch, boats: Path) -> None:
    """Saved with a station that cannot be, she comes up without it, says so over every figure, and goes on from there."""
    typed(at_hull, "stations.2.points.3.2", "10")
    typed(at_hull, "stations.2.points.3.1", "20")
    judged(at_hull)
    at_hull.ask("save")
    again = driven(boats / "scenes" / "quillet-forepeak.yaml")
    judged(again)
    assert len(again.scene.hull.stations) == len(again.session.hull.hull.stations) - 1
    assert "hull half-entered" in again.parts()["bar"]
    typed(again, "stations.2.points.3.2", "500")
    typed(again, "stations.2.points.3.1", "332")
    judged(again)
    assert again.scene.hull == again.session.hull.hull
    assert "hull half-entered" not in again.parts()["bar"]


def test_marks_of_a_level_are_typed_as_a_list_and_tell_how_she_stood(at_hull: DrivenSketch) -> None:
    """Two marks 3 m apart, the after one 30 mm higher: 0.6 degrees by the bow; shown again as they were typed."""
    typed(at_hull, "measured.level", "[500, 0, 800], [3500, 0, 830]")
    hull = at_hull.session.hull.hull
    assert hull.level == ((0.5, 0.0, 0.8), (3.5, 0.0, 0.83))
    assert standing_of(hull).trim == pytest.approx(0.573, abs=1e-3)
    assert 'value="[500, 0, 800], [3500, 0, 830]"' in at_hull.parts()["hull"]


def test_sections_are_traced_by_two_known_points_and_clicks(at_hull: DrivenSketch) -> None:
    """A picture turned by 90 degrees, 2 mm to a pixel: a click is where it must be; the guess goes, undo brings it back."""
    at_hull.ask("hull_look", station=3)
    before = at_hull.session.hull.hull.stations[2]
    at_hull.ask("hull_picture", size=[800, 600])
    assert "Click a point that you know" in at_hull.parts()["hull"]
    # Right of the centreline is up in the picture, up is to the left.
    at_hull.ask("hull_trace", at=[500, 500])
    at_hull.ask("hull_trace", at=[400, 300])
    for field, text in (("2.1", "400"), ("2.2", "200")):
        at_hull.ask("hull_known", field=field, value=text)
    assert "A metre is 500 pixels; the picture is turned by 90.0°" in at_hull.parts()["hull"]
    at_hull.ask("hull_trace", at=[451, 360])
    (added,) = set(at_hull.session.hull.hull.stations[2].points) - set(before.points)
    assert added == pytest.approx((0.280, 0.098))
    assert "<polyline" in at_hull.parts()["hull"].partition("trace-paper")[2]
    at_hull.ask("undo")
    assert at_hull.session.hull.hull.stations[2] == before


def test_what_is_not_to_scale_is_not_traced(at_hull: DrivenSketch) -> None:
    """Without the second point's place a third click is refused in words; a text that is no length too."""
    at_hull.ask("hull_picture", size=[800, 600])
    for at in ([10, 10], [200, 10], [50, 50]):
        at_hull.ask("hull_trace", at=at)
    assert "not to scale yet" in at_hull.parts()["notice"]
    at_hull.ask("hull_known", field="2.1", value="4l2")
    assert "no length" in at_hull.parts()["notice"]
    at_hull.ask("hull_picture")
    assert "Click a point that you know" in at_hull.parts()["hull"]


def test_a_transom_curved_across_is_one_typed_figure(at_hull: DrivenSketch) -> None:
    """60 typed beside the rake: 877 mm of half-breadth make it 6.44 m of radius; the drawings gain an arc, the file a key."""
    before = at_hull.parts()["hull"].count("<polyline")
    typed(at_hull, "transom.curve", "60")
    assert radius_of(at_hull.session.hull.hull) == pytest.approx((0.877**2 + 0.06**2) / 0.12)
    assert judged(at_hull).judged.refused == ""  # type: ignore[union-attr]
    assert at_hull.parts()["hull"].count("<polyline") > before
    assert "curve: 60" in at_hull.session.hull.opened.document_with(at_hull.session.hull.hull).text
    typed(at_hull, "transom.curve", "900")
    assert "more than its half-breadth of 877 mm" in judged(at_hull).judged.problem.message  # type: ignore[union-attr]


def test_an_outline_is_dragged_as_one_step_and_the_layout_follows(at_hull: DrivenSketch) -> None:
    """The deck's edge at station 3 lower: one step, what it does to the layout is told; undone, it is back."""
    assert 'data-pull="stations.3.points.7"' in at_hull.parts()["hull"]
    before = at_hull.session.hull.hull
    at_hull.ask("hull_drag", drawing="profile", pull="stations.3.points.7", to=[9.0, 1.0])
    now = judged(at_hull)
    assert now.hull.stations[2].points[6] == (before.stations[2].points[6][0], 1.0)
    assert at_hull.scene.hull == now.hull
    assert now.judged is not None
    assert now.judged.effects is not None
    assert now.judged.effects.differences
    at_hull.ask("undo")
    assert at_hull.session.hull.hull == before
    at_hull.ask("hull_drag", drawing="plan", pull="nothing", to=[0, 0])
    assert "no nothing to be dragged" in at_hull.parts()["notice"]


def test_sides_are_measured_apart_at_a_switch(at_hull: DrivenSketch) -> None:
    """Each station then has columns for port; a misread number there is doubted there; back, starboard's are for both."""
    before = at_hull.session.hull.hull
    assert "stations.5.port.5.1" not in at_hull.parts()["hull"]
    at_hull.ask("hull_sides", value="apart")
    typed(at_hull, "stations.5.port.5.1", "689")
    now = judged(at_hull)
    assert now.hull.stations[4].port[4][0] == 0.689
    assert at_hull.scene.hull == now.hull
    assert 'data-field="stations.5.port.5.1"' in at_hull.parts()["hull"]
    assert all(key.startswith("stations.5.port.5.") for key in now.doubts)
    at_hull.ask("hull_sides", value="alike")
    assert at_hull.session.hull.hull == before


def test_a_keel_is_outlined_dragged_and_told_by_its_litres_again(at_hull: DrivenSketch) -> None:
    """A button gives it four corners on the profile; typed as a list they are taken; what follows stands beside its name."""
    name = at_hull.session.hull.hull.appendages[0].name
    at_hull.ask("hull_outline", name=name)
    assert f'data-pull="appendages.{name}.outline.2"' in at_hull.parts()["hull"]
    typed(at_hull, f"appendages.{name}.outline", "[2800, -50], [3400, -50], [3300, -550]")
    typed(at_hull, f"appendages.{name}.thickness", "80")
    assert at_hull.session.hull.hull.appendages[0].volume == pytest.approx(0.6 * 0.5 / 2 * 0.08)
    assert ">12 litres<" in at_hull.parts()["hull"]
    assert 'value="[2800, -50], [3400, -50], [3300, -550]"' in at_hull.parts()["hull"]
    assert judged(at_hull).judged.refused == ""  # type: ignore[union-attr]
    at_hull.ask("hull_outline", name=name, out="yes")
    assert f'data-field="appendages.{name}.litres"' in at_hull.parts()["hull"]
