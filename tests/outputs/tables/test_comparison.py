"""Layouts side by side."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat
from specimens import filled

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.model.contents import Chain
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, Waterline
from sketcher.outputs.tables.comparison import change_told, comparison
from sketcher.outputs.tables.facts import length_fact


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


@pytest.mark.example
def test_what_only_one_layout_raises_is_told_apart() -> None:
    """A finding in A alone is under A; those in both are only counted."""
    text = comparison([box_boat(), other_boat()])
    only = text.split("NOTICED IN A ONLY")[1].split("NOTICED IN ALL")[0]
    assert "Flooding is worked out at rest" in only
    assert "limber hole" not in only
    assert "NOTICED IN ALL: 2" in text


@pytest.mark.example
def test_a_space_that_only_one_layout_has_is_new_or_gone() -> None:
    """A compartment missing from the second layout takes one row with a dash there, and is called gone; or it is new."""
    boat = box_boat()
    fewer = replace(boat, layout=replace(boat.layout, compartments=boat.layout.compartments[:2]), immersion=boat.immersion[:2])
    gone = [line for line in comparison([boat, fewer]).splitlines() if line.startswith("low void")]
    come = [line for line in comparison([fewer, boat]).splitlines() if line.startswith("low void")]
    assert [line.split()[2:] for line in gone] == [["2324,", "below", "-", "gone"]]
    assert [line.split()[2:] for line in come] == [["-", "2324,", "below", "new"]]


@pytest.mark.example
def test_a_layout_does_not_differ_from_itself() -> None:
    """The same layout twice: no figure differs, all are listed as the same."""
    text = comparison([box_boat(), box_boat()])
    assert "None of the figures below." in text
    assert "forepeak: litres 2000" in text


@pytest.mark.example
def test_three_layouts_have_three_columns_and_no_change() -> None:
    """From the third layout on there is no single change to print."""
    text = comparison([box_boat(), other_boat(), box_boat()])
    line = next(line for line in text.splitlines() if line.startswith("forepeak, litres "))
    assert line.split()[-3:] == ["2000", "2200", "2000"]


@pytest.mark.example
def test_one_layout_cannot_be_compared() -> None:
    """A single file is refused with what to give instead."""
    with pytest.raises(SketchError, match="only one layout"):
        comparison([box_boat()])


@pytest.mark.example
def test_more_layouts_than_fit_are_refused() -> None:
    """Nine layouts do not fit side by side."""
    with pytest.raises(SketchError, match="do not fit side by side"):
        comparison([box_boat()] * 9)


@pytest.mark.example
def test_what_is_said_of_the_boat_as_a_whole_is_said_of_both() -> None:
    """Under another title it is the same finding: it belongs to neither alone."""
    boat = filled()
    named = [replace(boat, scene=replace(boat.scene, name=name)) for name in ("one", "other")]
    caution = boat.findings[0]
    pair = [replace(each, findings=(replace(caution, object=each.scene.name),)) for each in named]
    assert "NOTICED IN ALL: 1" in comparison(pair)


CHAIN = Chain(name="rode", space="locker", length=60.0, size=0.010, pipe=(0.5, 0.0, 0.95))


def row(text: str, begins: str) -> list[str]:
    """The cells of a row of the differences, its name left out."""
    line = next(line for line in text.splitlines() if line.startswith(begins))
    return line.removeprefix(begins).split()


@pytest.mark.closed_form
def test_changes_in_weight_are_compared_beside_the_boat_as_stated() -> None:
    """60 m of 10 mm chain are 132 kg by the table of weights: they differ in what she weighs changed, not as stated."""
    text = comparison([filled(), filled(chains=(CHAIN,))])
    # 4 x 2 x 0.5 m of sea water carry her as stated: 4100 kg.
    assert row(text, "with the changes in weight, displacement, kg") == ["4100", "4100", "+132", "+132"]
    assert int(row(text, "with the changes in weight, water at the bow")[2]) > 0
    assert "the boat: " in text
    assert "displacement, kg 4100" in " ".join(text.split())


@pytest.mark.closed_form
def test_kilograms_afloat_are_told_to_what_a_tape_can_bear() -> None:
    """5 mm on 4 m x 2 m of sea water are 41 kg either way, so tens are told: 13 mm deeper, 4206.6 kg, are 4210."""
    deeper = filled(waterline=Waterline(forward=0.513, after=0.513))
    assert row(comparison([filled(), deeper]), "the boat, displacement, kg") == ["4100", "4210", "+110"]


@pytest.mark.closed_form
def test_other_water_is_a_difference() -> None:
    """Fresh water for sea: 25 kg/m3 less, and 100 kg less on 4 m3, with the water named as their cause."""
    text = comparison([filled(), filled(water_density=1000.0)])
    assert row(text, "the boat, water, kg/m³") == ["1025", "1000", "-25"]
    assert row(text, "the boat, displacement, kg") == ["4100", "4000", "-100"]
    assert "sea water, 1025 kg/m³" in text
    assert "fresh water, 1000 kg/m³" in text


@pytest.mark.example
def test_panels_that_differ_are_told_key_by_key() -> None:
    """A bulkhead moved by 50 mm and a lid left out are rows; what is built alike is not listed at all."""
    moved = (Bulkhead(name="collision", at=1.05, thickness=0.02), Bulkhead(name="main", at=3.0, thickness=0.02, built="already"))
    text = comparison([filled(), filled(bulkheads=moved, lids=(), openings=(), compartments=())])
    assert row(text, "bulkhead collision, at") == ["1000", "1050", "+50"]
    assert row(text, "lid top") == ["there", "-", "gone"]
    assert "bulkhead main" not in text


@pytest.mark.example
def test_holed_spaces_are_compared_and_the_worst_is_named() -> None:
    """Each space says whether she floats with it holed; of cases that all float, the one that leaves least freeboard is worst."""
    boat = filled(centre_of_gravity_height=0.2)
    cases = flooding_cases(boat.layout, boat.water, boat.floating)
    text = " ".join(comparison([boat, boat], flooding=[cases, cases]).split())
    single = [case for case in cases if len(case.holed) == 1]
    worst = min(single, key=lambda case: (case.verdict == "floats", case.least_freeboard or 0.0))
    assert f"worst if one space is holed {worst.holed[0]}: {worst.verdict}" in text
    for case in single:
        assert f"if holed {case.verdict}" in text.split(f" {case.holed[0]}: ")[1].split(": litres")[0]


@pytest.mark.example
def test_a_space_of_one_layout_only_tells_how_she_floats_with_it_holed() -> None:
    """A void that the second layout does not have stands in one row with its litres and place, and in one if it is holed."""
    boats = [filled(centre_of_gravity_height=0.2), filled(centre_of_gravity_height=0.2, lids=(), openings=(), compartments=())]
    cases = [flooding_cases(boat.layout, boat.water, boat.floating) for boat in boats]
    (verdict,) = [case.verdict for case in cases[0] if case.holed == ("void",)]
    assert row(comparison(boats, flooding=cases), "void, if holed") == [verdict, "-", "gone"]


@pytest.mark.example
def test_a_comparison_keeps_to_a_terminals_width_whatever_spaces_are_called() -> None:
    """A space called by all that bounds it is told in several lines: of two layouts and of three."""
    boat = filled()
    long = " and ".join(f"ahead of bulkhead number {k}" for k in range(6))
    first, *others = boat.layout.compartments
    named = replace(boat, layout=replace(boat.layout, compartments=(replace(first, name=long), *others)))
    cases = flooding_cases(boat.layout, boat.water, boat.floating)
    renamed = [replace(case, holed=tuple(long if name == first.name else name for name in case.holed)) for case in cases]
    for boats, flooding in (([boat, named], [cases, renamed]), ([boat, named, boat], [cases, renamed, cases])):
        text = comparison(boats, flooding=flooding)
        assert max(map(len, text.splitlines())) <= 100
        assert "bulkhead number 5" in " ".join(text.split())


@pytest.mark.closed_form
def test_a_change_in_inches_is_that_of_the_fractions_shown() -> None:
    """32 11/16 less 29 5/8 is 3 1/16: what is 0.03 of an inch off in decimals."""
    first, second = (length_fact(inches * 0.0254, "in") for inches in (32.70, 29.60))
    assert (first.text, second.text) == ("32 11/16", "29 5/8")
    label = ("bunk", "foot width")
    assert change_told(label, [{label: first}, {label: second}]) == "-3 1/16"
    assert change_told(label, [{label: second}, {label: first}]) == "+3 1/16"
