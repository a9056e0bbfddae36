from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
from specimens import PANELS, codes, contents_of, filled

from sketcher.analysis.cut.leak_tests import leak_tests
from sketcher.analysis.fit.chain import heap_volumes, kilograms_per_metre
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.loading.weights import loaded
from sketcher.model.contents import Chain
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Waterline, Weight
from sketcher.outputs.wording.sentences import message as in_words

RODE = Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.95))


@pytest.mark.published
@pytest.mark.parametrize(("size", "kg"), [(0.006, 0.80), (0.008, 1.40), (0.010, 2.20), (0.012, 3.10)])
def test_weight_by_the_table(size: float, kg: float) -> None:
    """Chain to DIN 766 weighs what a maker's table says, to its two decimals; 13 mm goes by its size squared."""
    assert kilograms_per_metre(size) == kg
    assert kilograms_per_metre(size + 1e-4) == pytest.approx(22_000 * (size + 1e-4) ** 2)


@pytest.mark.published
def test_published_volumes_differ_by_nearly_two() -> None:
    """60 m of 8 mm: 78.99 litres by Gerr's l d2 / 48 612, 78.37 by l d2 / 49 000, 42.24 by GL's 1.1 l d2 / 1e5."""
    volumes = heap_volumes(60.0, 0.008)
    assert {rule: round(volume * 1000, 2) for rule, volume in volumes.items()} == {
        "clear volume": 78.99,
        "class rule": 78.37,
        "stud link": 42.24,
    }


@pytest.mark.closed_form
def test_heap_of_chain_on_a_flat_floor() -> None:
    """78.99 litres at 35 degrees are a cone 0.333 m high on a floor a metre by two: r3 = 3 V / (pi tan 35)."""
    (stow,) = contents_of(chains=(RODE,)).chains
    slope = np.tan(np.radians(35.0))
    height = float((3 * stow.volume / (np.pi * slope)) ** (1 / 3) * slope)
    assert height / slope < 0.5
    assert stow.full.peak == pytest.approx(height, abs=2e-4)
    assert stow.fall == pytest.approx(0.95 - height, abs=2e-4)
    assert stow.full.centroid == pytest.approx((0.5, 0.0, height / 4), abs=2e-4)
    assert stow.half.centroid[2] == pytest.approx(height / 4 / 2 ** (1 / 3), abs=2e-4)
    assert stow.mass == pytest.approx(84.0)
    assert stow.stows_itself is True


@pytest.mark.closed_form
def test_room_counts_from_460_mm_below_the_pipe() -> None:
    """Under a pipe at 950 mm the clear volume of the locker is 1 x 2 x 0.49 m."""
    assert contents_of(chains=(RODE,)).chains[0].room == pytest.approx(0.98, abs=1e-9)


@pytest.mark.closed_form
def test_too_little_fall_needs_a_hand() -> None:
    """With the pipe at 700 mm the heap peaks less than 460 mm below it: it does not stow itself, and is told by how much."""
    low = filled(chains=(Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.7)),))
    assert low.contents is not None
    (stow,) = low.contents.chains
    assert stow.stows_itself is False
    finding = next(f for f in low.findings if f.code == "chain-needs-a-hand")
    assert f"Raise the pipe by {(0.46 - stow.fall) * 1000:.0f} mm" in in_words(finding)


@pytest.mark.closed_form
def test_what_the_deck_leaves_no_room_for_is_not_advised() -> None:
    """Under a lower deck 70 mm above the pipe nothing tells to raise it; 140 mm of cone hold what the formula says, in metres."""
    shelf = (Lid(name="top", height=0.68, start="stem", end="collision", thickness=0.01),)
    chain = Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.60))
    boat = filled(chains=(chain,), lids=shelf, openings=())
    message = next(in_words(f) for f in boat.findings if f.code == "chain-needs-a-hand")
    cone = np.pi * 0.14**3 / (3 * np.tan(np.radians(35.0)) ** 2)
    metres = int(cone / (0.008**2 * 1e6 / 48_612))
    assert "Raising the pipe is not enough: 70 mm are clear above its end." in message
    assert f"Carry {metres} m at most" in message
    assert "ower" not in message


@pytest.mark.example
def test_only_a_floor_that_is_planned_is_to_be_lowered() -> None:
    """The bottom of the boat cannot go lower; a planned lid with room beneath can, one that is built cannot."""
    chain = Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.95))

    def advice(built: Literal["planned", "already"]) -> str:
        floor = Lid(name="chain floor", height=0.3, start="stem", end="collision", thickness=0.01, built=built)
        spaces = (NamedSpace(name="locker", at=(0.5, 0.0, 0.6), use="chain"),)
        boat = filled(chains=(chain,), lids=(floor,), openings=(), compartments=spaces)
        return next(in_words(f) for f in boat.findings if f.code == "chain-needs-a-hand")

    assert "ower chain floor by" in advice("planned")
    assert "ower chain floor" not in advice("already")


@pytest.mark.closed_form
def test_chain_longer_than_any_locker() -> None:
    """A kilometre of 12 mm reaches the pipe; the finding says how many metres there is room for."""
    boat = filled(chains=(Chain(name="rode", space="locker", length=1000.0, size=0.012, pipe=(0.5, 0.0, 0.95)),))
    assert boat.contents is not None
    (stow,) = boat.contents.chains
    assert stow.full.reaches
    assert stow.full.volume + stow.full.spilled == pytest.approx(stow.volume)
    metres = 1000.0 * stow.full.volume / stow.volume
    finding = next(f for f in boat.findings if f.code == "chain-reaches-pipe")
    assert f"room for {metres:.0f} m" in in_words(finding)
    assert "3281 ft of rode do not go into locker" in in_words(finding, "ft")
    assert f"room for {metres / 0.3048:.0f} ft" in in_words(finding, "in")
    assert "Move collision aft to make the locker longer" in in_words(finding)


@pytest.mark.closed_form
def test_pipe_that_ends_elsewhere() -> None:
    """A pipe whose lower end is not in the locker has no heap: a finding, no figures."""
    boat = filled(chains=(Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(2.0, 0.0, 0.9)),))
    assert boat.contents is not None
    assert boat.contents.chains == ()
    assert "chain-pipe-outside" in codes(boat)


@pytest.mark.published
def test_pipe_by_the_published_limits() -> None:
    """Bore 8 times the size and 10 degrees off plumb (published): 63 mm and 15 degrees are both noted, 64 mm and 9 are not."""
    pipe = (0.5, 0.0, 0.7)

    def pipes(bore: float, degrees: float) -> list[str]:
        deck = (0.5 + 0.3 * float(np.tan(np.radians(degrees))), 0.0, 1.0)
        chain = Chain(name="rode", space="locker", length=20.0, size=0.008, pipe=pipe, bore=bore, deck=deck)
        boat = filled(chains=(replace(chain, pipe_cover="tight"),))
        return [code for code in codes(boat) if code.startswith("chain-pipe")]

    assert pipes(0.064, 9.0) == []
    assert pipes(0.063, 15.0) == ["chain-pipe-narrow", "chain-pipe-slopes"]


@pytest.mark.closed_form
def test_weight_is_fed_to_how_she_floats() -> None:
    """The chain is one of the weights; with half of it out she carries half, from where half of it lies."""
    boat = filled(chains=(RODE,))
    full = loaded(boat.layout, boat.water, boat.floating)
    half = loaded(boat.layout, boat.water, boat.floating, "half of rode out")
    assert full.change == pytest.approx(84.0)
    assert half.change == pytest.approx(42.0)
    assert full.mass == pytest.approx((boat.floating.displacement or 0.0) + 84.0)


@pytest.mark.closed_form
@pytest.mark.parametrize(("kg", "at", "said"), [(80.0, 0.5, True), (80.0, 3.5, False), (30.0, 0.5, False)])
def test_a_weight_that_seems_to_be_the_same_chain_is_questioned(kg: float, at: float, said: bool) -> None:
    """84 kg of chain beside a weight of 80 kg in the same locker look like one chain counted twice; elsewhere or lighter, not."""
    boat = filled(chains=(RODE,), weights=(Weight(name="anchor chain", kg=kg, at=(at, 0.0, 0.2)),))
    assert ("chain-counted-twice" in codes(boat)) is said


@pytest.mark.closed_form
def test_chain_aboard_already_changes_nothing_until_it_runs_out() -> None:
    """A chain that was aboard when the waterline was read adds nothing; half of it out takes half away."""
    aboard = Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.95), aboard=True)
    boat = filled(chains=(aboard,))
    assert loaded(boat.layout, boat.water, boat.floating).change == pytest.approx(0.0)
    assert loaded(boat.layout, boat.water, boat.floating, "half of rode out").change == pytest.approx(-42.0)


@pytest.mark.closed_form
def test_a_pipe_through_the_deck_is_a_way_for_water() -> None:
    """Open or loosely covered it joins the locker to the outside, 64 mm wide for chain of 8 mm; stopped it does not."""
    for cover, joined in (("none", True), ("loose", True), ("tight", False)):
        boat = filled(openings=(), chains=(replace(RODE, pipe_cover=cover),))
        locker = next(space for space in boat.layout.compartments if space.name == "locker")
        assert locker.watertight is not joined
        assert locker.open_to == (("outside",) if joined else ())
        (path,) = [path for path in (*boat.layout.flow_paths, *boat.layout.closed) if path.name == "rode's pipe"]
        assert path.area == pytest.approx(np.pi / 4 * 0.064**2, rel=1e-3)
        assert path.lowest == pytest.approx(1.0, abs=1e-9)
        assert ("chain-pipe-open" in codes(boat)) is joined


@pytest.mark.closed_form
def test_a_pipe_leads_where_it_ends_and_lets_the_sea_in_there() -> None:
    """Led from the deck through the cabin, a pipe opens the void under it alone; where the deck goes under, it fills."""
    chain = Chain(name="rode", space="void", length=20.0, size=0.008, pipe=(2.0, 0.0, 0.45), bore=0.1)
    boat = filled(openings=(), chains=(chain,))
    assert {space.name: space.open_to for space in boat.layout.compartments if space.open_to} == {"void": ("outside",)}
    (test,) = [test for test in leak_tests(boat.layout) if test.space == "void"]
    assert not test.closed
    assert test.open_paths == ("rode's pipe",)
    for cover, floods in (("none", ("locker", "void")), ("tight", ("locker",))):
        low = filled(openings=(), chains=(replace(chain, pipe_cover=cover),), waterline=Waterline(forward=0.7, after=0.7))
        assert low.water is not None
        (case,) = flooding_cases(low.layout, low.water, low.floating, ["locker"])
        assert case.floods == floods
        assert case.through == (("rode's pipe",) if cover == "none" else ())


@pytest.mark.example
def test_a_pipe_under_the_waterline_is_to_be_stopped_up() -> None:
    """Where the deck lies under the stated water the sea stands open to the locker; no `cover` is asked of a pipe."""
    boat = filled(openings=(), chains=(RODE,), waterline=Waterline(forward=1.05, after=0.9))
    (finding,) = [found for found in boat.findings if found.code == "opening-under-water"]
    assert "rode's pipe reaches" in in_words(finding)
    assert "the sea stands open to locker. Stop it up, or raise it." in in_words(finding)


@pytest.mark.example
def test_a_pipe_that_begins_beside_the_deck_is_said() -> None:
    """Its upper end must stand on the deck."""
    boat = filled(chains=(replace(RODE, deck=(0.5, 1.5, 1.0)),))
    assert any(f.code == "opening-misses" and f.object == "rode's pipe" for f in boat.findings)


@pytest.mark.example
def test_only_a_bulkhead_that_is_planned_is_to_shorten_the_locker() -> None:
    """In a locker 1 by 2 m chain heaps up under one pipe: a planned bulkhead may be moved, one that is built may not."""

    def advice(built: Literal["planned", "already"]) -> str:
        panels = (Bulkhead(name="collision", at=1.0, thickness=0.02, built=built),)
        boat = filled(chains=(RODE,), bulkheads=panels, lids=(), openings=(), compartments=PANELS["compartments"][:1])  # type: ignore[index]
        return next(in_words(f) for f in boat.findings if f.code == "chain-locker-long")

    assert "Shorten it by moving collision, or lead the pipe over its middle." in advice("planned")
    assert advice("already").endswith("jams. Lead the pipe over its middle.")
