"""Fittings that must be got at later: through which opening, how far, or that they are sealed in."""

from dataclasses import replace

import pytest
from specimens import PANELS, box_form, layout_scene

from sketcher.analysis.evaluate import judged
from sketcher.analysis.findings import Finding
from sketcher.analysis.fit.access import entrances_to
from sketcher.analysis.fit.fitting_reach import reach_findings
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Fitting, Opening
from sketcher.outputs.wording.sentences import message as in_words


def findings(fitting: Fitting, **blocks: object) -> list[Finding]:
    form = box_form()
    return list(reach_findings(lay_out(layout_scene(form, **(PANELS | {"fittings": (fitting,)} | blocks)), form)))


def seacock(x: float, y: float, *, reach: bool = True) -> Fitting:
    """A valve 100 mm high on the bottom of the void under the lid."""
    return Fitting(name="seacock", at=(x, y, 0.05), size=(0.1, 0.1, 0.1), reach=reach)


@pytest.mark.closed_form
def test_within_an_arms_length_there_is_nothing_to_say() -> None:
    """Right under the port, its top 390 mm down, an arm gets to it."""
    assert findings(seacock(1.6, 0.1)) == []


@pytest.mark.closed_form
def test_too_far_for_an_arm_by_how_much() -> None:
    """1 m aft of the port its nearest face is sqrt(0.949^2 + 0.438^2) = 1.045 m away: 445 mm beyond an arm's 600."""
    (finding,) = findings(seacock(2.5, 0.0))
    assert finding.code == "fitting-out-of-reach"
    assert finding.measured == pytest.approx((0.949**2 + 0.438**2) ** 0.5, abs=0.002)
    assert "nearer" in in_words(finding)
    assert "through port, which lets an arm in to 600 mm" in in_words(finding)


@pytest.mark.closed_form
def test_through_a_limber_hole_no_hand_goes_however_near() -> None:
    """A hole of 25 mm right over the valve: moving nearer helps nothing, so that is not advised."""
    hole = (Opening(name="limber hole", through="top", at=(1.6, 0.0), size=(0.025, 0.025), cover="open"),)
    (finding,) = findings(seacock(1.6, 0.0), openings=hole)
    assert finding.code == "fitting-out-of-reach"
    assert "through limber hole, which lets not even a hand in. Cut it for an arm" in in_words(finding)
    assert "nearer" not in in_words(finding)


@pytest.mark.closed_form
def test_sealed_in_without_an_opening() -> None:
    """Take the port away and the valve is sealed in: the objection names it and its place."""
    hatch = tuple(opening for opening in PANELS["openings"] if opening.name == "hatch")  # type: ignore[attr-defined]
    (finding,) = findings(seacock(1.6, 0.1), openings=hatch)
    assert finding.code == "fitting-sealed-in"
    assert "seacock, which must be got at later, is sealed in" in in_words(finding)


HOLE = Opening(name="seacock", through="hull", at=(1.6, 0.1, 0.0), diameter=0.5, cover="tight")


@pytest.mark.closed_form
@pytest.mark.parametrize(("at", "code"), [((1.6, 0.1, 0.0), []), ((2.5, 0.0, 0.0), ["fitting-out-of-reach"])])
def test_a_seacock_is_reached_through_an_opening_of_its_space(at: tuple[float, float, float], code: list[str]) -> None:
    """Under the port an arm gets to its handle, a metre aft of it none does; it need not be stated as a fitting."""
    openings = (*PANELS["openings"], replace(HOLE, at=at))  # type: ignore[misc]
    assert [one.code for one in findings(seacock(1.6, 0.1, reach=False), openings=openings)] == code


@pytest.mark.closed_form
def test_a_hole_through_the_hull_is_no_way_in() -> None:
    """However large: the space it is in has no access, and the seacock itself is sealed in with it."""
    form = box_form()
    hatch = tuple(opening for opening in PANELS["openings"] if opening.name == "hatch")  # type: ignore[attr-defined]
    layout = lay_out(layout_scene(form, **(PANELS | {"openings": (*hatch, HOLE)})), form)
    (void,) = [space for space in layout.compartments if space.name == "void"]
    assert entrances_to(layout, void) == ()
    assert ("no-access", "void") in {(one.code, one.object) for one in judged(layout).findings}
    (finding,) = reach_findings(layout)
    assert (finding.code, finding.object) == ("fitting-sealed-in", "seacock")


@pytest.mark.closed_form
def test_a_person_through_a_hatch_reaches_everything() -> None:
    """With a hatch of 500 x 500 mm in the lid the far end of the void is reached."""
    hatch = (Opening(name="hatch", through="top", at=(1.5, 0.0), size=(0.5, 0.5), cover="tight"),)
    assert findings(seacock(2.8, 0.8), openings=hatch) == []


@pytest.mark.closed_form
def test_what_need_not_be_reached_is_left_alone() -> None:
    """A fitting that is only in the way raises nothing."""
    assert findings(seacock(2.5, 0.0, reach=False)) == []
