"""Arrow keys move what is selected."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from driven_sketch import COLLISION, DrivenSketch


@pytest.mark.property
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
    sketch: DrivenSketch, part: str, keys: list[str], read: Callable[..., float], by: float
) -> None:
    """Right is aft, up is up; each press goes to the next whole step."""
    before = read(sketch.scene)
    sketch.ask("select", part=part)
    for key in keys:
        sketch.ask("nudge", towards=key)
    assert read(sketch.scene) - before == pytest.approx(by, abs=1e-9)


@pytest.mark.example
def test_a_fine_step_is_a_millimetre(sketch: DrivenSketch) -> None:
    """With the key held a press moves 1 mm."""
    sketch.ask("select", part=COLLISION)
    sketch.ask("nudge", towards="right", fine=True)
    assert sketch.collision_at == pytest.approx(0.701)


@pytest.mark.example
def test_a_nudge_is_read_out(sketch: DrivenSketch) -> None:
    """The new figure, then what follows from it; what is done next is told by itself, and a press that moves nothing is not."""
    sketch.ask("select", part=COLLISION)
    sketch.ask("nudge", towards="right")
    sketch.ask("echo", number=1)
    assert sketch.parts()["spoken"].startswith("collision 705 mm aft of the hull's zero, vee berth 1983 mm, ")
    sketch.ask("nudge", towards="up")
    assert sketch.parts()["spoken"] == ""
    sketch.ask("nudge", towards="left")
    assert sketch.parts()["spoken"].startswith("collision 700 mm")
    sketch.ask("undo")
    assert sketch.parts()["spoken"] == ""


@pytest.mark.example
def test_what_does_not_move_that_way_stays(sketch: DrivenSketch) -> None:
    """A bulkhead is not nudged upwards."""
    sketch.ask("select", part=COLLISION)
    sketch.ask("nudge", towards="up")
    assert sketch.collision_at == 0.7
    assert sketch.session.history.undo_name is None
