"""What is offered against a berth too short and a chain that heaps too high: each offer tried."""

from dataclasses import replace

import pytest
from specimens import contents_of, filled

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.lying_findings import lying_places
from sketcher.analysis.fit.remedies import laid_higher, length_laid, mends, planned_ends
from sketcher.model.contents import Person
from sketcher.model.errors import SketchError
from sketcher.model.scene import Berth, Bulkhead

BERTH = Berth(name="bunk", height=0.5, start="collision", end="main", cushion=0.08, span=(-0.28, 0.28))
PLANNED = (Bulkhead(name="collision", at=1.0, thickness=0.02), Bulkhead(name="main", at=3.0, thickness=0.02))


def slept_in(*people: Person, **blocks: object) -> Evaluation:
    return filled(berths=(BERTH,), lids=(), openings=(), compartments=(), people=people, **{"bulkheads": PLANNED} | blocks)


@pytest.mark.closed_form
def test_what_is_missing_is_offered_from_either_bulkhead_in_whole_steps() -> None:
    """Too long for the 1.98 m between the bulkheads: either is offered, moved away by what is missing, and that mends it."""
    boat = slept_in(Person(name="Ann", berth="bunk", stature=1.98))
    (place,), (short, *_) = lying_places(boat.layout, berth_figures(boat.layout)[0])
    assert place.short_by is not None
    offers = mends(boat.layout, place, boat.scene.people)
    assert {(offer.values["panel"], offer.values["direction"]) for offer in offers} == {("collision", "forward"), ("main", "aft")}
    for offer in offers:
        by = offer.values["distance"].metres  # type: ignore[union-attr]
        assert place.short_by <= by + 1e-6 < place.short_by + 0.005 + 2e-6
        moved = tuple(
            replace(each, at=float(each.at) + (by if offer.values["direction"] == "aft" else -by))  # type: ignore[arg-type]
            if each.name == offer.values["panel"]
            else each
            for each in PLANNED
        )
        mended = contents_of(berths=(BERTH,), lids=(), openings=(), compartments=(), people=boat.scene.people, bulkheads=moved)
        assert isinstance(mended, Contents)
        assert mended.lying[0].fits
    assert short.code == "person-does-not-fit"


@pytest.mark.example
def test_in_a_box_no_berth_is_longer_for_lying_higher() -> None:
    """Its walls stand plumb: laid 100 mm higher it is as long as before, so no height is offered."""
    boat = slept_in(Person(name="Ann", berth="bunk", stature=1.98))
    (place,), _ = lying_places(boat.layout, berth_figures(boat.layout)[0])
    assert length_laid(boat.layout, place, boat.scene.people, 0.1) == pytest.approx(place.length, abs=1e-6)
    assert laid_higher(boat.layout, place, boat.scene.people) is None


@pytest.mark.example
def test_of_three_in_one_berth_two_are_judged_and_a_berth_that_is_not_there_is_told() -> None:
    """Both in words of the file."""
    people = tuple(Person(name=name, berth="bunk", stature=1.6) for name in ("Ann", "Bob", "Cid"))
    boat = slept_in(*people)
    _, findings = lying_places(boat.layout, berth_figures(boat.layout)[0])
    assert "berth-more-than-two" in {finding.code for finding in findings}
    with pytest.raises(SketchError, match="no berth `cot`"):
        slept_in(Person(name="Ann", berth="cot", stature=1.6))


@pytest.mark.example
def test_a_locker_is_lengthened_only_by_planned_bulkheads_that_end_it() -> None:
    """The locker by its bulkhead aft, the void by its planned one forward; the one built already is not offered."""
    layout = filled().layout
    spaces = {space.name: space for space in layout.compartments}
    assert planned_ends(layout, spaces["locker"]) == {"collision": "aft"}
    assert planned_ends(layout, spaces["void"]) == {"collision": "forward"}
