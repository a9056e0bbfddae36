"""Outlines dragged on a hull's drawings: what is held goes where the hand goes, and her numbers say so."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from places import HULLS

from sketcher.model.edits.history import History
from sketcher.model.edits.hull_outlines import DRAWINGS, DragOutline, Drawing, outline_grips
from sketcher.model.edits.hull_sides import SetSidesApart
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.hull_saving import open_hull
from sketcher.model.hull import Hull, with_heights_as_in

QUILLET = replace(read_hull(HULLS / "quillet-21.yaml"), transom_curve=0.06)
DOWN = with_heights_as_in(QUILLET, replace(QUILLET, heights_from=2.0, heights_down=True))
BY = {"across": (0.012, 0.0), "up": (0.0, 0.012), "both": (0.012, 0.012)}
"""[m] How far each is dragged: 12 mm, on a tape's marks."""


def held(hull: Hull, drawing: Drawing, key: str) -> tuple[float, float]:
    """Where a grip is."""
    (at,) = (grip.at for grip in outline_grips(hull, drawing) if grip.key == key)
    return at


@pytest.mark.property
@pytest.mark.parametrize("drawing", DRAWINGS)
@pytest.mark.parametrize("hull", [QUILLET, DOWN, SetSidesApart(True).apply(QUILLET)], ids=["up", "down", "apart"])
def test_what_is_held_goes_where_the_hand_goes(hull: Hull, drawing: Drawing) -> None:
    """Dragged by 12 mm each grip is there, to the millimetre of a tape or a tenth of a degree of rake, in one step."""
    hull = replace(hull, stations=(*hull.stations[:-1:4], hull.stations[-1]))
    grips = outline_grips(hull, drawing)
    assert len({grip.key for grip in grips}) == len(grips) > 8
    for grip in grips:
        # To the centreline nothing is dragged past it; so all go outward, and up.
        side = -1.0 if (grip.at[0] if drawing == "body plan" else grip.at[1]) < 0.0 and drawing != "profile" else 1.0
        across, up = BY[grip.free]
        to = (
            grip.at[0] + (side * across if drawing == "body plan" else across),
            grip.at[1] + (side * up if drawing == "plan" else up),
        )
        if grip.key == "transom.curve":
            to = (grip.at[0] - 0.012, grip.at[1])
        changed = DragOutline(drawing, grip.key, to).apply(hull)
        near = 0.002 if grip.key.startswith("transom") else 0.00051
        ways = {"across": [0], "up": [1], "both": [0, 1]}[grip.free]
        there = held(changed, drawing, grip.key)
        assert [there[way] for way in ways] == pytest.approx([to[way] for way in ways], abs=near), grip.key
        history: History[Hull] = History(hull)
        history.do(DragOutline(drawing, grip.key, to))
        assert (len(history.names), history.undo()) == (1, hull)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("drawing", "key", "to", "words"),
    [
        ("profile", "stem.2", (0.1, 0.9), "Stem, point 2: distance aft"),
        ("profile", "stations.3.points.1", (9.0, 0.05), "Station 3 at 1000 mm, point 1: height"),
        ("plan", "stations.3.points.7", (9.0, -0.7), "Station 3 at 1000 mm, point 7: half-breadth"),
        ("profile", "coachroof.height", (9.0, 1.6), "Set coachroof's height from"),
        ("plan", "cockpit.to", (5.9, -0.41), "Set cockpit's to from"),
        ("profile", "appendages.rudder.at", (6.4, -0.1), "Set rudder's at from"),
        ("body plan", "deck.camber", (0.0, 1.1), "Set deck's camber from"),
    ],
)
def test_a_drag_is_called_by_what_it_changes(drawing: Drawing, key: str, to: tuple[float, float], words: str) -> None:
    """One name for the step, with the numbers that were and are; what is free one way keeps its other number."""
    edit = DragOutline(drawing, key, to)
    assert edit.describe(QUILLET).startswith(words)
    assert edit.apply(QUILLET) != QUILLET


@pytest.mark.closed_form
def test_a_rake_and_a_curve_are_those_that_the_hand_shows() -> None:
    """802 mm high, 50 mm aft half-way up: 7.1 degrees. Plumb, 40 mm forward at o = 3/4 of 877 mm: R = (o^2 + 40^2) / 80."""
    raked = DragOutline("profile", "transom.rake", (6.35, 0.0)).apply(QUILLET)
    assert raked.transom_rake == 7.1
    flat = replace(QUILLET, transom_rake=0.0, transom_curve=0.0)
    middle, out = held(flat, "plan", "transom.curve")
    assert (middle, -out) == (6.3, 0.75 * 0.877)
    bent = DragOutline("plan", "transom.curve", (middle - 0.04, 0.0)).apply(flat)
    radius = (out**2 + 0.04**2) / 0.08
    assert bent.transom_curve == pytest.approx(radius - (radius**2 - 0.877**2) ** 0.5, abs=5e-4)
    assert DragOutline("plan", "transom.curve", (middle + 0.04, 0.0)).apply(bent).transom_curve == 0.0


@pytest.mark.closed_form
def test_the_last_station_s_rings_lie_on_the_transom() -> None:
    """Her sheer's end 802 mm over its foot, raked 11 degrees: 156 mm aft of it, less what the curve takes at her full breadth."""
    aft = 6.3 + 0.802 * np.tan(np.radians(11.0)) - 0.06 / np.cos(np.radians(11.0))
    assert held(QUILLET, "profile", "stations.13.points.5") == pytest.approx((aft, 0.965))
    assert held(QUILLET, "plan", "stations.13.points.5") == pytest.approx((aft, -0.877))


@pytest.mark.example
def test_one_drag_changes_one_line_of_the_file(tmp_path: Path) -> None:
    """The deck's edge dragged out at one station: its line has another number, and all comments stand."""
    file = tmp_path / "hull.yaml"
    file.write_bytes((HULLS / "marram-29.yaml").read_bytes())
    opened = open_hull(file)
    changed = DragOutline("plan", "stations.7.points.7", (2.4, -1.21)).apply(opened.stated)
    before, after = opened.document.text.splitlines(), opened.document_with(changed).text.splitlines()
    assert [(old, new) for old, new in zip(before, after, strict=True) if old != new] == [
        (
            "    points: [[0, 83], [224, 128], [443, 219], [648, 360], [837, 570], [1045, 979], [1199, 1551]]",
            "    points: [[0, 83], [224, 128], [443, 219], [648, 360], [837, 570], [1045, 979], [1210, 1551]]",
        )
    ]


@pytest.mark.example
def test_what_is_not_there_is_not_dragged() -> None:
    """A grip of another drawing is refused by name."""
    with pytest.raises(SketchError, match=r"no deck\.camber to be dragged on the plan"):
        DragOutline("plan", "deck.camber", (0.0, 0.0)).apply(QUILLET)
