"""Layouts side by side."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.errors import SketchError
from sketcher.outputs.comparison import comparison


def other_boat() -> Evaluation:
    """The box boat with a larger, tight forepeak, a berth 50 mm shorter and without the first finding."""
    boat = box_boat()
    after, fore, low = boat.layout.compartments
    fore = replace(fore, volume=2.2, watertight=True, open_to=())
    return replace(
        boat,
        layout=replace(boat.layout, compartments=(after, fore, low)),
        berths=(replace(boat.berths[0], length=2.93),),
        findings=boat.findings[1:],
    )


@pytest.mark.closed_form
def test_what_differs_comes_first_with_its_change() -> None:
    """200 litres more in the forepeak, 50 mm less on the berth, and the forepeak tight: those three and nothing else."""
    text = comparison([box_boat(), other_boat()])
    differing = text.split("WHAT DIFFERS")[1].split("Lengths in")[0].splitlines()[1:]
    assert [" ".join(line.split()) for line in differing if line] == [
        "forepeak, litres 2000 2200 +200",
        "forepeak, tight no yes",
        "long berth, clear length 2980 2930 -50",
    ]


@pytest.mark.property
def test_what_only_one_layout_raises_is_told_apart() -> None:
    """A finding in A alone is under A; those in both are only counted."""
    text = comparison([box_boat(), other_boat()])
    only = text.split("NOTICED IN A ONLY")[1].split("NOTICED IN ALL")[0]
    assert "Only still water" in only
    assert "limber hole" not in only
    assert "NOTICED IN ALL: 2" in text


@pytest.mark.property
def test_a_space_that_only_one_layout_has_is_new_or_gone() -> None:
    """A compartment missing from the second layout takes one row with a dash there, and is called gone; or it is new."""
    boat = box_boat()
    fewer = replace(boat, layout=replace(boat.layout, compartments=boat.layout.compartments[:2]), wet=boat.wet[:2])
    gone = [line for line in comparison([boat, fewer]).splitlines() if line.startswith("low void")]
    come = [line for line in comparison([fewer, boat]).splitlines() if line.startswith("low void")]
    assert [line.split()[2:] for line in gone] == [["2324,", "below", "-", "gone"]]
    assert [line.split()[2:] for line in come] == [["-", "2324,", "below", "new"]]


@pytest.mark.property
def test_a_layout_does_not_differ_from_itself() -> None:
    """The same layout twice: no figure differs, all are listed as the same."""
    text = comparison([box_boat(), box_boat()])
    assert "None of the figures below." in text
    assert "forepeak: litres 2000" in text


@pytest.mark.property
def test_three_layouts_have_three_columns_and_no_change() -> None:
    """From the third layout on there is no single change to print."""
    text = comparison([box_boat(), other_boat(), box_boat()])
    line = next(line for line in text.splitlines() if line.startswith("forepeak, litres "))
    assert line.split()[-3:] == ["2000", "2200", "2000"]


@pytest.mark.property
def test_one_layout_cannot_be_compared() -> None:
    """A single file is refused with what to give instead."""
    with pytest.raises(SketchError, match="only one layout"):
        comparison([box_boat()])


@pytest.mark.property
def test_more_layouts_than_fit_are_refused() -> None:
    """Nine layouts do not fit side by side."""
    with pytest.raises(SketchError, match="do not fit side by side"):
        comparison([box_boat()] * 9)
