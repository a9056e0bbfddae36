"""What goes in, as a whole: what it changes, and what stays while something moves."""

from dataclasses import replace

import numpy as np
import pytest
from specimens import PANELS, box_form, codes, filled, layout_scene

from sketcher.analysis.afloat.permeability import emptiest_shares
from sketcher.analysis.evaluate import evaluate, hull_form, judged
from sketcher.analysis.fit.contents import followed
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.contents import Bottles, Chain, Foam, Person
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Berth, Bulkhead
from sketcher.outputs.tables.report import report

BUNK = Berth(name="bunk", height=0.55, start="collision", end="main", cushion=0.05)
FULL = {
    "berths": (BUNK,),
    "people": (Person(name="Ada", berth="bunk", stature=1.7),),
    "bottles": (Bottles(name="large", space="void", diameter=0.1, length=0.4, litres=0.003, kg=0.05),),
    "chains": (Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.95)),),
}


@pytest.mark.closed_form
def test_bottles_are_fed_to_flooding() -> None:
    """Holed, a void full of bottles takes in what its remaining permeability leaves of it, and she floats the higher for it."""
    empty, bottled = filled(foams=(Foam(name="none", space="locker", share=0.001),)), filled(bottles=FULL["bottles"])
    cases = [flooding_cases(boat.layout, boat.water, boat.floating, ["void"])[0] for boat in (empty, bottled)]
    assert bottled.contents is not None
    left = bottled.contents.bottles[0].permeability
    assert cases[1].water_volume == pytest.approx(left * 1.98 * 2 * 0.49, rel=1e-6)
    assert cases[0].water_volume == pytest.approx(0.95 * 1.98 * 2 * 0.49, rel=1e-6)


@pytest.mark.closed_form
def test_what_is_really_placed_is_what_the_emptiest_state_keeps() -> None:
    """Bottles by what they displace, foam by its share of 0.81, chain by its steel: 0.95 less these, whatever the file states."""
    stated = tuple(replace(space, permeability=0.2) for space in PANELS["compartments"])  # type: ignore[attr-defined]
    foam = (Foam(name="blocks", space="void", share=0.2),)
    boat = filled(compartments=stated, chains=FULL["chains"], foams=foam)
    shares = emptiest_shares(boat.layout)
    assert shares["void"] == pytest.approx(0.95 - 0.2 * 0.81)
    assert shares["locker"] == pytest.approx(0.95 - 60 * 1.4 / 7850 / 2.0)
    assert shares["saloon"] == 0.95
    bottled = filled(compartments=stated, bottles=FULL["bottles"])
    assert bottled.contents is not None
    displaced = bottled.contents.bottles[0].stows[0].displaced
    assert emptiest_shares(bottled.layout)["void"] == pytest.approx(0.95 - displaced / (1.98 * 2 * 0.49))


@pytest.mark.closed_form
@pytest.mark.parametrize("contents", ["bottles", "foams"])
def test_a_stated_permeability_is_the_one_figure_and_a_contradiction_is_said(contents: str) -> None:
    """A void stated to leave 38 in 100 floods by that and is told so, and a finding gives what its contents leave."""
    stated = tuple(replace(space, permeability=0.38) if space.name == "void" else space for space in PANELS["compartments"])  # type: ignore[attr-defined]
    fill = {"bottles": FULL["bottles"], "foams": (Foam(name="blocks", space="void", share=0.2),)}[contents]
    free, held = filled(**{contents: fill}), filled(**{contents: fill, "compartments": stated})
    assert free.contents is not None
    assert held.contents is not None
    (by_contents,), (told,) = getattr(free.contents, contents), getattr(held.contents, contents)
    assert told.permeability == 0.38
    case, *_ = flooding_cases(held.layout, held.water, held.floating, ["void"])
    assert case.water_volume == pytest.approx(0.38 * 1.98 * 2 * 0.49, rel=1e-6)
    (finding,) = [found for found in held.findings if found.code == "permeability-against-contents"]
    assert (finding.measured, finding.limit) == (by_contents.permeability, 0.38)
    assert "permeability-against-contents" not in codes(free)
    assert "95 % is left" not in report(held)
    if contents == "bottles":
        assert "of the space 38 % is left for water, as the file states" in " ".join(report(held).split())


@pytest.mark.example
def test_people_follow_a_bulkhead_and_what_is_untouched_stays() -> None:
    """While the collision bulkhead moves, who lies on the berth follows; its locker and void are left out until it stands."""
    boat = filled(**FULL)
    form = box_form()
    moved = (Bulkhead(name="collision", at=0.95, thickness=0.02), PANELS["bulkheads"][1])  # type: ignore[index]
    now = judged(lay_out(layout_scene(form, **(PANELS | FULL | {"bulkheads": moved})), form))
    found = followed(now, boat.contents).contents
    fresh = filled(**(FULL | {"bulkheads": moved})).contents
    assert found is not None
    assert fresh is not None
    assert found.lying[0].length == pytest.approx(fresh.lying[0].length, abs=1e-3)
    assert (found.bottles, found.chains) == ((), ())
    still = followed(judged(lay_out(layout_scene(form, **(PANELS | FULL)), form)), boat.contents).contents
    assert still is not None
    assert boat.contents is not None
    assert (still.bottles, still.chains) == (boat.contents.bottles, boat.contents.chains)


@pytest.mark.example
def test_where_nothing_goes_in_nothing_is_followed() -> None:
    """A scene without contents stays without."""
    form = box_form()
    now = judged(lay_out(layout_scene(form, **PANELS), form))
    assert followed(now, None) is now


@pytest.mark.example
def test_in_an_open_end_nothing_is_known() -> None:
    """Of a boat with only her forepart measured, foam in the space that runs out of it has no figures; a note says why."""
    scene = read_scene(demo_folder() / "scenes" / "ternholm-forepeak.yaml")
    open_ended = next(space.name for space in evaluate(scene).layout.compartments if not space.bounded)
    found = evaluate(replace(scene, foams=(Foam(name="foam", space=open_ended),)))
    assert found.contents is not None
    assert found.contents.foams == ()
    assert "contents-run-out" in codes(found)


@pytest.mark.example
@pytest.mark.slow
def test_the_same_answer_in_every_order_of_asking() -> None:
    """What is kept between questions does not change an answer: the demo evaluated twice gives equal figures to the bit."""
    scene = read_scene(demo_folder() / "scenes" / "quillet-filled.yaml")
    hull_form(scene.hull)
    first, second = evaluate(scene).contents, evaluate(scene).contents
    assert first is not None
    assert second is not None
    assert np.array_equal(first.bottles[0].stows[0].base, second.bottles[0].stows[0].base)
    assert first.lying[0].length == second.lying[0].length
    assert first.swamped is not None
    assert second.swamped is not None
    assert first.swamped.answer == second.swamped.answer
