"""Limits judged: by the report's own figures, met, missed or not known."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from scene_specimens import demo, forepeak_to_build

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.limits.figures import reading
from sketcher.analysis.limits.judging import against, judged_limit, with_limits
from sketcher.analysis.limits.results import FigureReading
from sketcher.model.stated_limits import StatedLimit
from sketcher.outputs.tables.flooding import case_figures
from sketcher.outputs.tables.json_figures import figures
from sketcher.outputs.tables.report import limits_table
from sketcher.outputs.wording.sentences import message

FOREPEAK = "marram-forepeak"
VOID = ("forward void",)


@cache
def printed() -> dict[str, Any]:
    """The figures that `report --json` prints, with one space holed."""
    boat = demo(FOREPEAK)
    return figures(boat, [case_figures(case) for case in flooding_cases(boat.layout, boat.water, boat.floating, VOID)])


def at(path: str) -> float:
    """The figure that stands at a path, objects of a row by name."""
    found: Any = printed()
    for word in path.split("."):
        if isinstance(found, list):
            found = next(each for each in found if word in (each.get("name"), " and ".join(each.get("holed", ()))))
        else:
            found = found[word]
    return float(found)


def limit(figure: str, of: str | None = None, holed: tuple[str, ...] = (), **bound: str) -> StatedLimit:
    return StatedLimit(name="mine", figure=figure, of=of, when_holed=holed, **(bound or {"at_least": "0"}))


ASKED = [
    limit("litres", "forward void"),
    limit("litres below", "forward void"),
    limit("berth length", "vee berth"),
    limit("stature", "vee berth"),
    limit("headroom", "vee berth"),
    limit("bow freeboard"),
    limit("stern freeboard"),
    limit("least freeboard"),
    limit("trim"),
    limit("GM"),
    limit("place", "collision"),
    limit("lid over water", "tank top", VOID),
    limit("bow freeboard", None, VOID),
    limit("stern freeboard", None, VOID),
    limit("least freeboard", None, VOID),
    limit("trim", None, VOID),
    limit("GM", None, VOID),
]


@pytest.mark.property
@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: f"{asked.figure}{' holed' if asked.when_holed else ''}")
def test_a_figure_is_the_one_that_the_report_prints(asked: StatedLimit) -> None:
    """The very number that stands in the JSON figures at the reading's path."""
    read = reading(demo(FOREPEAK), asked)
    assert read.value == at(read.path)


@pytest.mark.property
@pytest.mark.parametrize("name", ["chain kg", "bottles kg"])
def test_what_goes_in_is_the_reports_too(name: str) -> None:
    """Chain up to its locker's brim, and the lift of the bottles in a space."""
    boat = evaluate(forepeak_to_build())
    assert boat.contents is not None
    chain, bottles = boat.contents.chains[0], boat.contents.bottles[0]
    asked, value = {"chain kg": (chain.name, chain.goes_in), "bottles kg": (bottles.space, bottles.uplift)}[name]
    assert reading(boat, limit(name, asked)).value == value


@pytest.mark.example
def test_boards_and_sheets_are_counted_as_plywood_where_nothing_is_said() -> None:
    """Three boards to saw: they weigh what the note on unweighed boards says, and need some sheets."""
    boat = demo(FOREPEAK)
    said = next(found for found in boat.findings if found.code == "panels-not-weighed")
    assert reading(boat, limit("boards kg")).value == pytest.approx(said.values["boards"].kilograms)  # type: ignore[union-attr]
    assert (reading(boat, limit("sheets")).value or 0.0) >= 1.0


@pytest.mark.property
@pytest.mark.parametrize(
    ("bound", "met", "margin"), [({"at_least": "1000"}, True, 205.4), ({"at_most": "1000"}, False, -205.4)], ids=["met", "missed"]
)
def test_a_limit_says_by_how_much(bound: dict[str, str], met: bool, margin: float) -> None:
    """The void of 1205.4 litres against 1000, from either side."""
    judged = judged_limit(demo(FOREPEAK), limit("litres", "forward void", **bound))
    assert judged.met is met
    assert 1000 * (judged.margin or 0.0) == pytest.approx(margin, abs=0.05)


def judged_with(*limits: StatedLimit) -> Evaluation:
    boat = demo(FOREPEAK)
    return with_limits(replace(boat, scene=replace(boat.scene, limits=limits), findings=()))


@pytest.mark.example
def test_what_is_not_known_is_neither_met_nor_missed() -> None:
    """A space that is not there: no figure, and the nearest name that is."""
    judged = judged_with(limit("litres", "forward viod", at_least="600"))
    assert [(each.met, each.margin) for each in judged.limits] == [(None, None)]
    assert "did you mean `forward void`?" in message(judged.findings[0])


@pytest.mark.example
def test_where_she_is_lost_no_limit_is_met() -> None:
    """The saloon holed she founders: even a freeboard that may be anything is missed."""
    judged = judged_with(limit("bow freeboard", None, ("saloon",), at_least="-99 m"))
    assert [(each.met, each.reading.value) for each in judged.limits] == [(False, None)]
    assert "nothing is left of it" in message(judged.findings[0])


@pytest.mark.example
def test_the_worse_of_both_states_of_a_holed_space_counts() -> None:
    """Emptied she takes in more, so the bow lies lower than as stated: that is the figure, under the path of that state."""
    boat = demo(FOREPEAK)
    (case,) = flooding_cases(boat.layout, boat.water, boat.floating, VOID)
    read = reading(boat, limit("bow freeboard", None, VOID))
    assert case.emptiest is not None
    assert read == FigureReading("flooding.forward void.emptiest.forward_freeboard_m", case.emptiest.forward_freeboard)
    assert case.emptiest.forward_freeboard < case.forward_freeboard


@pytest.mark.example
def test_the_report_tells_each_limit_and_warns_of_the_missed() -> None:
    """A table of both; a finding for the one that is missed alone."""
    judged = judged_with(limit("litres", "forward void", at_least="600"), limit("GM", at_least="5 m"))
    lines = limits_table(judged, "mm")
    assert [line.rsplit("  ", 1)[-1] for line in lines[1:]] == ["met by 605 litres", "MISSED by 4302 mm"]
    assert [found.code for found in judged.findings] == ["limit-missed"]


@pytest.mark.example
def test_while_something_moves_what_takes_long_stays_as_it_was() -> None:
    """Sheets are not laid anew, litres are judged anew."""
    sheets, litres = limit("sheets", at_most="9"), limit("litres", "forward void", at_least="600")
    old = tuple(against(each, FigureReading("old", 7.0), 9.0) for each in (sheets, litres))
    boat = demo(FOREPEAK)
    judged = with_limits(replace(boat, scene=replace(boat.scene, limits=(sheets, litres))), old)
    assert [each.reading.path for each in judged.limits] == ["old", "compartments.forward void.volume_m3"]
