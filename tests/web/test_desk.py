"""What a page can do, without a browser: every message a page sends, and what the scene, the file and the page make of it."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.model.demos import demo_folder
from sketcher.model.edits.typed_input import read_typed
from sketcher.model.fields.scene_fields import SCENE_FIELD_BY_KEY
from sketcher.model.files.recovery import find_recovery
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import FromPanel, Scene
from sketcher.outputs.wording.quantities import flooded_words
from sketcher.web.app import desk_for
from sketcher.web.controller import Controller
from sketcher.web.handlers import ASKS
from sketcher.web.state import ObjectRef
from sketcher.web.ui.figures import noticed, space_rows
from sketcher.web.ui.inspector import parts_list, selected

pytestmark = pytest.mark.property

COLLISION = "bulkhead/collision"


@pytest.fixture
def boats(tmp_path: Path) -> Path:
    """A copy of the demo scenes and hulls."""
    for folder in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / folder, tmp_path / folder)
    return tmp_path


@pytest.fixture
def desk(boats: Path) -> Controller:
    """A desk with the smallest demo on it, drawing nothing."""
    made = desk_for(boats / "scenes" / "quillet-forepeak.yaml", None)
    made.take({"do": "size", "size": [900, 500], "sheet": [900, 400]})
    made.parts()
    return made


def at_of(desk: Controller) -> float:
    return float(desk.session.scene.bulkheads[0].at)  # type: ignore[arg-type]


def ask(desk: Controller, do: str, **values: Any) -> None:
    desk.take({"do": do, **values})


def drag(
    desk: Controller, start: tuple[float, float], end: tuple[float, float], *, fine: bool = False, drop: bool = True
) -> None:
    """A hand on the picture (shares of it)."""
    ask(desk, "press", where="picture", at=list(start), button="main")
    ask(desk, "move", where="picture", at=list(end), fine=fine)
    desk.before_picture()
    if drop:
        ask(desk, "release")


def handle(desk: Controller) -> tuple[float, float]:
    found = desk.state().handle
    assert found is not None
    return found.at[0] / 900, found.at[1] / 500


def test_a_drag_in_the_picture_is_one_named_step(desk: Controller) -> None:
    """The bulkhead moves in whole 5 mm; the history names the move; undo puts it back to the bit."""
    before = desk.session.scene
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)
    drag(desk, (x, y), (x + 0.05, y - 0.03))
    moved = at_of(desk)
    assert moved > 0.7
    assert round(moved * 1000) % 5 == 0
    assert desk.session.history.names == (f"Move collision bulkhead 700 to {moved * 1000:.0f} mm",)
    ask(desk, "undo")
    assert desk.session.scene == before
    ask(desk, "redo")
    assert at_of(desk) == moved


@pytest.mark.parametrize(
    ("selected", "moved"),
    [
        (COLLISION, "collision"),
        ("compartment/forepeak", "collision"),
        ("opening/forward port", "forward port"),
        ("", "forward port"),
    ],
)
def test_a_port_is_dragged_only_when_it_is_meant(desk: Controller, selected: str, moved: str) -> None:
    """Pressed on its line it moves when it is selected or nothing is, else its panel moves; a click selects it all the same."""
    ask(desk, "select", part="opening/forward port")
    at = handle(desk)
    ask(desk, "select", part=selected)
    drag(desk, at, (at[0] + 0.03, at[1] - 0.03))
    assert moved in desk.session.history.names[-1]
    ask(desk, "undo")
    ask(desk, "select", part=selected)
    drag(desk, at, at)
    assert desk.selected == ObjectRef("opening", "forward port")


def test_figures_after_a_drag_are_those_of_a_fresh_look(desk: Controller) -> None:
    """What the page shows at the end of a drag is what a fresh evaluation gives, to the last bit."""
    ask(desk, "select", part="lid/berth top")
    x, y = handle(desk)
    drag(desk, (x, y), (x, y - 0.04))
    fresh = evaluate(desk.session.scene)
    shown = desk.session.evaluation
    assert [(s.name, s.volume) for s in shown.layout.compartments] == [(s.name, s.volume) for s in fresh.layout.compartments]
    assert shown.findings == fresh.findings
    assert shown.floating == fresh.floating


def test_figures_under_the_hand_are_close_to_fresh_ones(desk: Controller) -> None:
    """During the drag the quick figures agree with fresh ones to a millilitre."""
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)
    drag(desk, (x, y), (x + 0.04, y - 0.02), drop=False)
    quick = {s.name: s.volume for s in desk.session.evaluation.layout.compartments}
    fresh = {s.name: s.volume for s in evaluate(desk.session.scene).layout.compartments}
    assert quick == pytest.approx(fresh, abs=1e-6)
    words = {line.label: line for line in desk.dragging.hand()}
    assert words["vee berth"].change.startswith("−")
    assert words["forepeak"].change.startswith("+")


def test_all_drawings_follow_when_the_hand_rests(desk: Controller) -> None:
    """While she moves the drawings' lines wait, their figures do not; in a pause the lines show where the bulkhead stands."""

    def lines() -> list[str]:
        parts = desk.parts()
        return [re.sub(r"<text.*?</text>", "", parts[f"sheet-{view}"]) for view in ("profile", "plan", "section")]

    ask(desk, "select", part=COLLISION)
    before = lines()
    x, y = handle(desk)
    drag(desk, (x, y), (x + 0.04, y - 0.02), drop=False)
    desk.picture(False)
    assert lines() == before
    desk.picture(True)
    assert lines() != before


def test_what_is_read_follows_a_moving_hand_at_leisure(desk: Controller, monkeypatch: pytest.MonkeyPatch) -> None:
    """While she moves litres follow at every step, sentences and lists a few times a second, and at the latest in a pause."""
    clock = [time.monotonic() + 100.0]
    monkeypatch.setattr("sketcher.web.controller.time.monotonic", lambda: clock[0])
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)

    def moved(to: float) -> dict[str, str]:
        ask(desk, "move", where="picture", at=[x + to, y - to / 2])
        desk.before_picture()
        desk.picture(False)
        return desk.parts()

    drag(desk, (x, y), (x + 0.01, y - 0.005), drop=False)
    desk.picture(False)
    first = desk.parts()
    soon = moved(0.03)
    assert soon["spaces-together"] != first["spaces-together"]
    assert soon["noticed"] == first["noticed"]
    clock[0] += 1.0
    later = moved(0.06)
    assert later["noticed"] != soon["noticed"]
    last = moved(0.09)
    assert last["parts"] == later["parts"]
    desk.picture(True)
    assert desk.parts()["parts"] != later["parts"]


def test_what_is_dragged_is_what_the_margin_tells_of(desk: Controller) -> None:
    """Taken hold of while something else is selected, it is selected as soon as it moves, and stays so when it is put back."""
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)
    ask(desk, "select", part=None)
    ask(desk, "press", where="picture", at=[x, y], button="main")
    assert desk.selected is None
    ask(desk, "move", where="picture", at=[x + 0.03, y - 0.015], fine=False)
    desk.before_picture()
    assert desk.selected == ObjectRef("bulkhead", "collision")
    assert 'value="collision"' in desk.parts()["selected"]
    ask(desk, "escape")
    assert desk.selected == ObjectRef("bulkhead", "collision")


def test_escape_puts_back_what_is_dragged(desk: Controller) -> None:
    """Nothing is left of a drag given up, not even in the history."""
    before, figures = desk.session.scene, desk.session.evaluation
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)
    drag(desk, (x, y), (x + 0.1, y - 0.05), drop=False)
    assert desk.session.scene != before
    ask(desk, "escape")
    assert desk.session.scene == before
    assert desk.session.evaluation is figures
    assert desk.session.history.undo_name is None
    assert not desk.session.unsaved


def test_a_click_selects_and_moves_nothing(desk: Controller) -> None:
    """Pressing and letting go on the spot selects what is there."""
    before = desk.session.scene
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)
    ask(desk, "select", part="")
    drag(desk, (x, y), (x, y))
    assert desk.selected == ObjectRef("bulkhead", "collision")
    assert desk.session.scene is before


@pytest.mark.parametrize(
    ("part", "keys", "read", "by"),
    [
        (COLLISION, ["right", "right"], lambda s: s.bulkheads[0].at, 0.010),
        (COLLISION, ["left"], lambda s: s.bulkheads[0].at, -0.005),
        ("lid/berth top", ["up"], lambda s: s.lids[0].height, 0.005),
        ("waterline/waterline", ["down"], lambda s: s.waterline.forward, -0.003),
        ("opening/forward port", ["up"], lambda s: s.openings[0].at[1], 0.005),
    ],
)
def test_arrow_keys_move_what_is_selected(
    desk: Controller, part: str, keys: list[str], read: Callable[..., float], by: float
) -> None:
    """Right is aft, up is up; each press goes to the next whole step."""
    before = read(desk.session.scene)
    ask(desk, "select", part=part)
    for key in keys:
        ask(desk, "nudge", towards=key)
    assert read(desk.session.scene) - before == pytest.approx(by, abs=1e-9)


def test_a_fine_step_is_a_millimetre(desk: Controller) -> None:
    """With the key held a press moves 1 mm."""
    ask(desk, "select", part=COLLISION)
    ask(desk, "nudge", towards="right", fine=True)
    assert at_of(desk) == pytest.approx(0.701)


def test_what_does_not_move_that_way_stays(desk: Controller) -> None:
    """A bulkhead is not nudged upwards."""
    ask(desk, "select", part=COLLISION)
    ask(desk, "nudge", towards="up")
    assert at_of(desk) == 0.7
    assert desk.session.history.undo_name is None


@pytest.mark.parametrize(
    ("text", "metres"), [("820", 0.82), ("2 ft 6 in", 0.762), ("30 1/4 in", 0.76835), ("0.81 m", 0.81), ("81.5cm", 0.815)]
)
def test_a_number_is_typed_in_any_unit(desk: Controller, text: str, metres: float) -> None:
    """An owner types as the tape says."""
    ask(desk, "set", part=COLLISION, field="at", value=text)
    assert at_of(desk) == pytest.approx(metres, abs=1e-9)
    assert desk.session.notice is None


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("at", "soon", "soon"),
        ("thickness", "-3", "-3"),
        ("top", "no such lid", "no such lid"),
        ("rake", "91", "91"),
        ("at", "", "not a length"),
        ("at", "-4265", "collision lies wholly outside the hull"),
        ("at", "9 m", "collision lies wholly outside the hull"),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_changes_nothing(desk: Controller, field: str, text: str, words: str) -> None:
    """The last good figures stay, and the page says what was wrong with the value as typed."""
    before, figures = desk.session.scene, desk.session.evaluation
    ask(desk, "set", part=COLLISION, field=field, value=text)
    assert desk.session.notice is not None
    assert desk.session.notice.refused
    assert words.casefold() in (desk.session.notice.text + desk.session.notice.remedy).casefold()
    assert desk.session.scene is before
    assert desk.session.evaluation is figures


@pytest.mark.parametrize("text", ["-500", "0", "5000"])
def test_a_lid_under_the_keel_or_over_the_deck_is_refused(desk: Controller, text: str) -> None:
    """The page names the lid and the last good figures stay, also where an opening is left beside it."""
    figures = desk.session.evaluation
    ask(desk, "set", part="lid/berth top", field="height", value=text)
    assert desk.session.notice is not None
    assert desk.session.notice.text.startswith("Berth top lies wholly outside the hull")
    assert desk.session.evaluation is figures


def test_a_waterline_that_is_none_is_answered_with_its_forms(desk: Controller) -> None:
    """In figures, each of which can be typed as it stands."""
    ask(desk, "set", part="waterline/waterline", field="waterline", value="bow 1095, stern 940")
    notice = desk.session.notice
    assert notice is not None
    said = f"{notice.text} {notice.remedy}"
    for form in ("650", "{forward: 650, after: 600}", "{bow_freeboard: 1100, stern_freeboard: 950}"):
        assert form in said
        assert read_typed(SCENE_FIELD_BY_KEY["waterline"], form, "mm") is not None


@pytest.mark.parametrize("text", ["main - 2000", "from: main, distance: -2000", "main -2 m", "{from: main, distance: -2000}"])
def test_a_bulkhead_is_tied_as_an_owner_would_write_it(desk: Controller, text: str) -> None:
    """So far from another, with or without the file's braces."""
    ask(desk, "set", part=COLLISION, field="at", value=text)
    assert desk.session.scene.bulkheads[0].at == FromPanel("main", -2.0)


def shown(desk: Controller, part: str) -> dict[str, str]:
    """The fields of a part as the page shows them."""
    ask(desk, "select", part=part)
    return {row.key: row.text for row in desk.state().fields}


@pytest.mark.parametrize(("part", "text"), [(COLLISION, "main - 2000"), ("bulkhead/main", "collision + 1987.5")])
def test_a_tied_bulkhead_is_shown_as_it_is_typed(desk: Controller, part: str, text: str) -> None:
    """Not in the file's braces; typed again as it is shown, it changes nothing."""
    ask(desk, "set", part=part, field="at", value=text)
    scene = desk.session.scene
    assert any(isinstance(bulkhead.at, FromPanel) for bulkhead in scene.bulkheads)
    assert shown(desk, part)["at"] == text
    ask(desk, "set", part=part, field="at", value=shown(desk, part)["at"])
    assert desk.session.scene == scene


def test_the_list_of_parts_says_where_a_tied_bulkhead_stands(desk: Controller) -> None:
    """Aft of the hull's zero like any other: 700 mm, typed or as 2000 mm forward of main at 2700."""
    before = str(parts_list(desk.state()))
    ask(desk, "set", part=COLLISION, field="at", value="main - 2000")
    assert desk.session.scene.bulkheads[0].at == FromPanel("main", -2.0)
    assert str(parts_list(desk.state())) == before
    assert ">700<" in before


@pytest.mark.parametrize(("part", "lead"), [("berth/vee berth", "lies_on"), ("lid/berth top", "height"), (COLLISION, "at")])
def test_a_card_is_led_by_a_value_that_is_given(desk: Controller, part: str, lead: str) -> None:
    """A berth on a lid by that lid, not by the empty field of its own height."""
    ask(desk, "select", part=part)
    assert re.findall(r'class="first[^>]*>[^<]*<input[^>]*data-field="(\w+)"', str(selected(desk.state()))) == [lead]


@pytest.mark.parametrize("text", ["bow freeboard: 890, stern freeboard: 680", "forward: 270, after: 290", "265"])
def test_the_water_is_shown_as_it_is_typed(desk: Controller, text: str) -> None:
    """Freeboards in words, the centre of gravity as a height alone; typed again as shown, they change nothing."""
    water = "waterline/waterline"
    ask(desk, "set", part=water, field="waterline", value=text)
    ask(desk, "set", part=water, field="centre_of_gravity", value="425")
    scene = desk.session.scene
    assert (shown(desk, water)["waterline"], shown(desk, water)["centre_of_gravity"]) == (text, "425")
    for key, kept in shown(desk, water).items():
        ask(desk, "set", part=water, field=key, value=kept)
    assert desk.session.scene == scene
    assert scene.centre_of_gravity_height == 0.425


def test_a_drag_past_the_stem_stops_at_the_last_good_place(desk: Controller) -> None:
    """The hand is told in words, the figures of the last place in the boat stay, and there the bulkhead is left."""
    ask(desk, "select", part=COLLISION)
    x, y = handle(desk)
    drag(desk, (x, y), (x, y), drop=False)
    for share in (0.03, 0.06, 0.3, 0.6):
        ask(desk, "move", where="picture", at=[x - share, y + share / 2], fine=False)
        desk.before_picture()
    assert "outside the hull" in desk.dragging.hand()[0].label
    last = desk.session.evaluation
    assert not [finding for finding in last.findings if finding.code == "panel-outside-hull"]
    ask(desk, "release")
    assert 0.0 <= at_of(desk) < 0.5
    assert desk.session.notice is not None
    assert desk.session.notice.refused


def test_a_drag_that_was_never_in_the_boat_is_refused_when_it_ends(desk: Controller) -> None:
    """Thrown past the stem in one move, the bulkhead stays, the page says why, and there is no step to undo."""
    ask(desk, "select", part=COLLISION)
    (x, y), before, figures = handle(desk), desk.session.scene, desk.session.evaluation
    drag(desk, (x, y), (x - 0.6, y + 0.3))
    assert desk.session.scene is before
    assert desk.session.evaluation is figures
    assert desk.session.notice is not None
    assert "outside the hull" in desk.session.notice.text
    assert desk.session.history.undo_name is None


@pytest.mark.parametrize("kind", ["bulkhead", "partition", "lid", "berth", "stringer", "opening", "weight", "fitting"])
def test_every_kind_of_thing_is_added_selected_and_undone(desk: Controller, kind: str) -> None:
    """Something new has sensible figures at once: it can be evaluated, saved and read again."""
    before = desk.session.scene
    ask(desk, "add", value=kind)
    ask(desk, "place")
    assert desk.session.notice is None
    assert desk.selected is not None
    assert desk.selected.kind == kind
    ask(desk, "save")
    assert read_scene(desk.session.opened.path).name == before.name
    assert evaluate(read_scene(desk.session.opened.path)).layout.compartments
    ask(desk, "undo")
    assert desk.session.scene == before


def test_a_thing_is_added_where_the_owner_points_in_a_drawing(desk: Controller) -> None:
    """A bulkhead goes to the distance aft that was pointed to in the profile, in whole steps."""
    pane = desk.sheet.panes[0]
    x, up = pane.placing.spot(1.503, 0.4)
    ask(desk, "add", value="bulkhead")
    ask(desk, "press", where="drawing", at=[x, desk.sheet.size[1] - up])
    added = desk.session.scene.bulkheads[-1]
    assert added.at == pytest.approx(1.505)
    assert desk.selected == ObjectRef("bulkhead", added.name)


@pytest.mark.parametrize(
    ("pane", "part", "by", "read", "moved"),
    [
        (0, COLLISION, (0.1, 0.02), lambda s: s.bulkheads[0].at, 0.1),
        (1, COLLISION, (-0.05, 0.3), lambda s: s.bulkheads[0].at, -0.05),
        (0, "lid/berth top", (0.5, 0.03), lambda s: s.lids[0].height, 0.03),
        (2, "lid/berth top", (0.5, -0.02), lambda s: s.lids[0].height, -0.02),
        (0, "waterline/waterline", (0.0, 0.06), lambda s: s.waterline.after, 0.062),
    ],
)
def test_drawings_are_dragged_in_as_the_picture_is(
    desk: Controller, pane: int, part: str, by: tuple[float, float], read: Callable[..., float], moved: float
) -> None:
    """In profile, plan and section a part moves along its own way with the pointer."""
    before = read(desk.session.scene)
    place = desk.sheet.panes[pane].placing
    start = {"bulkhead": (0.7, 0.3), "lid": (1.5, 0.47), "waterline": (3.0, 0.265)}[part.split("/")[0]]
    if pane == 2:
        start = (0.2, start[1])
    (x0, y0), (x1, y1) = place.spot(*start), place.spot(start[0] + by[0], start[1] + by[1])
    high = desk.sheet.size[1]
    ask(desk, "press", where="drawing", at=[x0, high - y0], part=part)
    ask(desk, "move", where="drawing", at=[x1, high - y1])
    desk.before_picture()
    ask(desk, "release")
    assert read(desk.session.scene) - before == pytest.approx(moved, abs=1e-9)


def test_the_waterline_tips_when_taken_near_an_end(desk: Controller) -> None:
    """Taken near the bow its fore end moves and the after end stays."""
    place, high = desk.sheet.panes[0].placing, desk.sheet.size[1]
    (x0, y0), (x1, y1) = place.spot(0.6, 0.267), place.spot(0.6, 0.327)
    ask(desk, "press", where="drawing", at=[x0, high - y0], part="waterline/waterline")
    ask(desk, "move", where="drawing", at=[x1, high - y1])
    desk.before_picture()
    ask(desk, "release")
    water = desk.session.scene.waterline
    assert water is not None
    assert (water.forward, water.after) == (pytest.approx(0.33), 0.262)


def test_renaming_takes_ties_along(desk: Controller) -> None:
    """What is tied to a bulkhead follows its new name."""
    ask(desk, "rename", part=COLLISION, value="crash")
    assert desk.session.scene.lids[0].start == "crash"
    assert desk.selected == ObjectRef("bulkhead", "crash")
    assert desk.session.history.undo_name == "Rename collision bulkhead to crash"


def test_deleting_asks_where_others_are_tied(desk: Controller) -> None:
    """A bulkhead that carries a lid's edge is not deleted without asking; freed, the lid keeps its place."""
    ask(desk, "delete", part=COLLISION)
    assert desk.dialog is not None
    assert "tied to" in desk.dialog.problem
    ask(desk, "delete", part=COLLISION, free="yes")
    assert desk.dialog is None
    assert [bulkhead.name for bulkhead in desk.session.scene.bulkheads] == ["main"]
    assert desk.session.scene.lids[0].start == pytest.approx(0.712)


def test_a_space_is_named_by_clicking_it(desk: Controller) -> None:
    """A space without a name gets one with a use; the point it is known by lies inside it."""
    ask(desk, "add", value="bulkhead")
    ask(desk, "place")
    unnamed = next(space for space in desk.session.evaluation.layout.compartments if not space.named)
    ask(desk, "select", part=f"compartment/{unnamed.name}")
    ask(desk, "dialog", name="name space")
    ask(desk, "name_space", name="sail bin", use="stowage")
    named = next(space for space in desk.session.evaluation.layout.compartments if space.name == "sail bin")
    assert named.volume == pytest.approx(unnamed.volume)
    assert named.use == "stowage"
    assert desk.dialog is None


def test_saving_and_undoing_past_it_is_unsaved_again(desk: Controller) -> None:
    """The mark tells whether the file says what the page shows."""
    ask(desk, "nudge")
    ask(desk, "select", part=COLLISION)
    ask(desk, "nudge", towards="right")
    assert desk.state().unsaved
    ask(desk, "save")
    assert not desk.state().unsaved
    ask(desk, "undo")
    assert desk.state().unsaved
    ask(desk, "redo")
    assert not desk.state().unsaved


def test_work_is_kept_beside_the_file_and_offered_again(desk: Controller, boats: Path) -> None:
    """What was not saved is there for the next run; taken up, it can be undone; saved, it is forgotten."""
    ask(desk, "set", part=COLLISION, field="at", value="815")
    desk.session.keep()
    again = desk_for(boats / "scenes" / "quillet-forepeak.yaml", None)
    assert again.dialog is not None
    assert again.dialog.name == "recover"
    again.keep_work()
    ask(again, "recover", take="yes")
    assert at_of(again) == pytest.approx(0.815)
    ask(again, "undo")
    assert at_of(again) == pytest.approx(0.7)
    ask(again, "redo")
    ask(again, "save")
    assert desk_for(boats / "scenes" / "quillet-forepeak.yaml", None).dialog is None


def test_work_kept_beside_another_scene_is_named_at_the_start(desk: Controller, boats: Path) -> None:
    """Whoever starts with one scene hears by name that another, opened from there, was left unsaved."""
    assert desk.session.notice is None
    ask(desk, "open", name="scenes/marram-forepeak.yaml")
    ask(desk, "set", part=COLLISION, field="at", value="1185")
    again = desk_for(boats / "scenes" / "quillet-forepeak.yaml", None)
    assert again.dialog is None
    assert again.session.notice is not None
    assert "scenes/marram-forepeak.yaml" in again.session.notice.text
    ask(again, "open", name="scenes/marram-forepeak.yaml")
    assert again.dialog is not None
    assert again.dialog.name == "recover"


def test_a_typed_number_is_kept_before_its_figures_are_worked_out(desk: Controller) -> None:
    """A crash while the figures of an edit are worked out does not lose it; an edit that is refused is not kept."""
    reckon, kept = desk.session.evaluate, []

    def reckoned(scene: Scene) -> Evaluation:
        kept.append(find_recovery(desk.session.opened))
        return reckon(scene)

    desk.session.evaluate = reckoned
    ask(desk, "set", part=COLLISION, field="at", value="815")
    assert kept[0] is not None
    assert kept[0].scene.bulkheads[0].at == pytest.approx(0.815)
    ask(desk, "set", part=COLLISION, field="at", value="-5000")
    assert desk.session.notice is not None
    assert desk.session.notice.refused
    found = find_recovery(desk.session.opened)
    assert found is not None
    assert found.scene.bulkheads[0].at == pytest.approx(0.815)
    ask(desk, "undo")
    assert kept[-1] is None


def test_a_new_scene_is_begun_in_a_hull_and_in_a_table(desk: Controller, boats: Path) -> None:
    """The owner goes on in the new file; a table of measurements becomes a hull first."""
    ask(desk, "new", hull="hulls/marram-29.yaml", name="Empty", file="empty.yaml")
    assert desk.dialog is None
    assert desk.session.scene.name == "Empty"
    assert (boats / "scenes" / "empty.yaml").exists()
    table = next(iter(sorted((boats / "hulls").glob("*.csv"))))
    copied = table.with_name("fresh.csv")
    shutil.copy(table, copied)
    ask(desk, "new", hull="hulls/fresh.csv", name="From tape", file="tape.yaml")
    assert desk.dialog is None, desk.dialog
    assert desk.session.scene.hull_path == "../hulls/fresh.yaml"


@pytest.mark.parametrize("scene", ["marram-forepeak", "quillet-forepeak"])
def test_a_new_scene_is_offered_the_open_hull_first(boats: Path, scene: str) -> None:
    """All others follow."""
    opened = desk_for(boats / "scenes" / f"{scene}.yaml", None)
    ask(opened, "dialog", name="new")
    assert opened.dialog is not None
    assert opened.dialog.options[0] == f"hulls/{Path(opened.session.scene.hull_path).name}"
    assert set(opened.dialog.options) == set(opened.files.folders.hulls())


def test_a_new_scene_takes_the_hull_beside_its_folder(desk: Controller, boats: Path) -> None:
    """Not one of the same name elsewhere, even where the scene that is open lies in that one."""
    away = boats / "away"
    shutil.copytree(boats / "hulls", away / "hulls")
    first = boats / "scenes" / "quillet-forepeak.yaml"
    first.write_text(first.read_text().replace("../hulls/", "../away/hulls/"))
    again = desk_for(first, None)
    ask(again, "new", hull="hulls/quillet-21.yaml", name="Third", file="third")
    assert again.dialog is None
    assert again.session.scene.hull_path == "../hulls/quillet-21.yaml"


def test_a_scene_of_the_same_name_is_replaced_only_when_that_is_said(desk: Controller, boats: Path) -> None:
    """Saved over another scene, the page offers to replace that one; a file that is no scene is never replaced."""
    other, notes = boats / "scenes" / "marram-forepeak.yaml", boats / "scenes" / "notes.yaml"
    before = other.read_text()
    notes.write_text("notes: keep\n")
    ask(desk, "save_as", file="marram-forepeak")
    assert 'data-file="marram-forepeak.yaml" data-replace="yes"' in desk.parts()["dialog"]
    assert other.read_text() == before
    ask(desk, "save_as", file="notes.yaml", replace="yes")
    assert "Choose another name" in desk.parts()["dialog"]
    assert notes.read_text() == "notes: keep\n"
    ask(desk, "save_as", file="marram-forepeak.yaml", replace="yes")
    assert desk.dialog is None
    assert read_scene(other).name == desk.session.scene.name
    assert desk.session.opened.path == str(other)


def test_leaving_unsaved_work_is_asked_about(desk: Controller) -> None:
    """Another scene is opened only when it is sure."""
    ask(desk, "set", part=COLLISION, field="at", value="815")
    ask(desk, "open", name="scenes/marram-forepeak.yaml")
    assert desk.dialog is not None
    assert desk.dialog.name == "leave"
    assert desk.session.file == "quillet-forepeak.yaml"
    ask(desk, "open", name="scenes/marram-forepeak.yaml", sure="yes")
    assert desk.session.file == "marram-forepeak.yaml"
    assert not desk.session.unsaved


@pytest.mark.parametrize("name", ["../../etc/passwd", "/etc/passwd", "scenes/../scenes/x.yaml", "hulls/marram-29.yaml"])
def test_nothing_outside_the_list_is_opened(desk: Controller, name: str) -> None:
    """A page names a scene of the list or nothing."""
    ask(desk, "open", name=name)
    assert desk.session.notice is not None
    assert desk.session.notice.refused
    assert desk.session.file == "quillet-forepeak.yaml"


def test_every_finding_leads_to_what_it_is_about(boats: Path) -> None:
    """Pressing a finding selects its panel, opening, berth or compartment."""
    desk = desk_for(boats / "scenes" / "ternholm-forepeak.yaml", None)
    about = [finding.object for finding in desk.session.evaluation.findings if finding.severity != "note"]
    assert about
    for name in about:
        ask(desk, "select", part="")
        ask(desk, "find", object=name)
        assert desk.selected is not None, name
        assert desk.selected.name == name


def test_a_failure_of_our_own_is_said_and_leaves_the_scene(desk: Controller, monkeypatch: pytest.MonkeyPatch) -> None:
    """No traceback reaches the page; the scene stays as it was."""

    def fail(_: object) -> None:
        raise ZeroDivisionError

    before = desk.session.scene
    monkeypatch.setattr(desk.session, "evaluate", fail)
    ask(desk, "set", part=COLLISION, field="at", value="815")
    assert desk.session.notice is not None
    assert "failed" in desk.session.notice.text
    assert desk.session.scene is before


def test_a_holed_space_gives_the_answer_of_the_flood_command(desk: Controller) -> None:
    """The page's case is the very case that the command line prints; closing the hole takes all of it away."""
    ask(desk, "hole", part="compartment/berth space")
    shown = desk.state().flood
    evaluation = desk.session.evaluation
    (case,) = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, ["berth space"])
    assert shown is not None
    for word in ("holed", "floods", "verdict", "water", "water_volume", "least_freeboard", "gm", "lids"):
        assert getattr(shown, word) == getattr(case, word), word
    assert "she floats" in desk.parts()["flood"].casefold()
    ask(desk, "hole", part="compartment/berth space")
    assert desk.state().flood is None


def test_the_water_follows_a_lid_dragged_while_holed(desk: Controller) -> None:
    """A higher lid leaves more room for water; the case shown at each place is the case of the scene as it stands there."""
    ask(desk, "hole", part="compartment/berth space")
    first = desk.state().flood
    ask(desk, "select", part="lid/berth top")
    ask(desk, "set", part="lid/berth top", field="height", value="560")
    second = desk.state().flood
    assert first is not None
    assert second is not None
    assert second.water_volume is not None
    assert first.water_volume is not None
    assert second.water_volume > first.water_volume
    assert second.lids[0].clear_of_water > first.lids[0].clear_of_water


words = st.one_of(st.none(), st.booleans(), st.floats(), st.text(max_size=12), st.lists(st.floats(), max_size=3))
names = st.sampled_from(["at", "part", "where", "field", "value", "name", "factor", "size", "sheet", "view", "towards", "kind"])


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(sorted(set(ASKS) - {"save", "save_as", "new", "open"})), st.dictionaries(names, words, max_size=4))
def test_no_message_breaks_the_desk(desk: Controller, do: str, values: dict[str, Any]) -> None:
    """Whatever a page sends, the desk answers with a page."""
    desk.take({**values, "do": do})
    desk.before_picture()
    assert desk.parts()["bar"]
    assert desk.session.notice is None or "failed" not in desk.session.notice.text


def test_a_holed_space_is_called_flooded_wherever_it_is_named(desk: Controller) -> None:
    """List, drawings and picture say flooded and how many litres, and all waters make up what she took in."""
    ask(desk, "hole", part="compartment/berth space")
    state = desk.state()
    assert state.flood is not None
    waters = [water for water in state.water_in.values() if water is not None]
    assert sum(waters) == pytest.approx(state.flood.water_volume, rel=1e-6)
    words = flooded_words(state.water_in["berth space"])
    assert any(words in row for row in space_rows(state).values())
    assert any(words in label.lines for label in state.labels)
    assert words in "".join(desk.sheet.parts(desk.flooded().lying, state.look, None).values())  # type: ignore[union-attr]


def test_rows_and_truths_are_shown_in_words_and_typed_as_shown(desk: Controller) -> None:
    """No bracket, `true` or `[]` stands in a field, and what is shown can be typed back, changed or not."""
    part = next(ObjectRef("bulkhead", bulkhead.name) for bulkhead in desk.session.scene.bulkheads)
    desk.select(part)
    shown = {row.key: row.text for row in desk.editing.rows(part)}
    assert shown["span"] == "hull, hull"
    assert shown["carries"] == ""
    side = "".join(desk.parts().values())
    assert ">yes</option>" in side
    assert "[" not in "".join(shown.values())
    before = desk.session.scene
    desk.editing.set(part, "span", shown["span"])
    assert desk.session.scene == before
    desk.editing.set(part, "carries", "mast")
    assert {row.key: row.text for row in desk.editing.rows(part)}["carries"] == "mast"


def test_a_note_is_folded_to_a_line_and_what_must_be_minded_is_not(desk: Controller) -> None:
    """A note opens at a click; a stop or a warning stands in full."""
    list_of = noticed(desk.state())
    notes = [finding for finding in desk.session.evaluation.findings if finding.severity == "note"]
    assert list_of.count("<details") == len(notes) > 0
    graver = Finding(code="no-way-outside", severity="warn", object="b")
    evaluation = replace(desk.session.evaluation, findings=(graver,))
    assert "<details" not in noticed(replace(desk.state(), evaluation=evaluation))
