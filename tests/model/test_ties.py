"""Ties by name."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scene_specimens import HULL, scene_folder

from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, FromPanel, Scene
from sketcher.model.ties import called, check_ties, ties_to

BOX = hull_from(compose(HULL, "box.yaml"))


@pytest.mark.example
def test_everything_tied_to_a_panel_is_found(tmp_path: Path) -> None:
    """Panels, stringers, berths and openings that name a bulkhead are its ties, in the file's order."""
    scene = read_scene(scene_folder(tmp_path / "boat"))
    assert [tie.words for tie in ties_to(scene, "bulkheads", "main")] == [
        "step bulkhead (at)",
        "locker side partition (to)",
        "tank top lid (to)",
        "bearer stringer (to)",
        "vee berth (to)",
    ]


@pytest.mark.example
def test_a_name_that_says_its_kind_is_not_doubled() -> None:
    """One says `vee berth`, not `vee berth berth`."""
    assert (called("vee berth", "berth"), called("collision", "bulkhead")) == ("vee berth", "collision bulkhead")


@pytest.mark.property
@given(st.lists(st.integers(-1, 7), min_size=1, max_size=8))
def test_a_ring_is_found_exactly_where_there_is_one(follows: list[int]) -> None:
    """Bulkheads placed from each other at random: refused just when following the ties from one comes back to it."""
    count = len(follows)
    follows = [other if other < count else -1 for other in follows]
    bulkheads = tuple(
        Bulkhead(name=f"b{i}", at=1.0 if other < 0 else FromPanel(f"b{other}", 0.1), thickness=0.01)
        for i, other in enumerate(follows)
    )
    scene = Scene(name="x", units="mm", hull=BOX, hull_path="x", bulkheads=bulkheads)

    def ends(place: int) -> bool:
        for _ in range(count + 1):
            if place < 0:
                return True
            place = follows[place]
        return False

    if all(ends(i) for i in range(count)):
        check_ties(scene)
    else:
        with pytest.raises(SketchError, match="in a ring"):
            check_ties(scene)
