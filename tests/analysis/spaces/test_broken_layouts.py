"""Every layout that ever broke, layouts drawn at random, and gaps of every width: each keeps what is promised of all layouts."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layouts.at_random import demo_hulls, random_hull, random_scene
from layouts.promises import Asked, loses_a_space, try_scene
from places import ROOT
from specimens import box_form, layout_scene

from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, Lid, Panel, Partition

BROKEN = sorted((ROOT / "tests" / "broken_layouts").glob("*.yaml"))
ASKED: dict[str, Asked] = {
    **dict.fromkeys(("lids-in-one-plane-12-mm-apart", "partitions-in-one-plane-8-mm-apart", "gap-never-told"), "limits"),
    "sloping-lids-end-to-end-across-a-partition": "limits",
    **dict.fromkeys(("partitions-in-one-plane-a-micrometre-askew", "spaces-lost-2500-mm-aft"), "elsewhere"),
    **dict.fromkeys(("lid-dragged-into-another", "partition-dragged-along-another"), "drag"),
    "short-edge-of-two-in-one-place-told-twice": "drag",
    "wall-that-hangs-together-by-nanometres": "at rest",
}
"""What broke beside sums and gaps; the random trials ask everything of the layouts near these."""
BROKEN_SEEDS: dict[int, Asked] = {
    **dict.fromkeys((31033, 7131, 400074, 810092), "drag"),
    **dict.fromkeys((300058, 600061, 830067), "no more"),
}
"""Of layouts that broke and were too large to be worth a file, with what is asked: no drag where a gap was told amiss."""
FORM = box_form()


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_a_layout_that_once_broke_keeps_its_promises(path: Path) -> None:
    """Sums and gaps, and what else broke: limits, another zero, or a drag."""
    try_scene(read_scene(path), 1, asked=ASKED.get(path.stem, "no more"))


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("seed", BROKEN_SEEDS)
def test_a_layout_drawn_at_random_keeps_its_promises(seed: int) -> None:
    """As `benchmarks/random_layouts.py` tries thousands of; none of these is refused."""
    rng = random.Random(seed)
    hull = rng.choice(demo_hulls()) if rng.random() < 0.6 else random_hull(rng)
    try_scene(random_scene(rng, hull), seed, asked=BROKEN_SEEDS[seed])


@pytest.mark.example
def test_two_spaces_made_one_are_noticed() -> None:
    """By what looks for it in all the layouts here; one parted further is no loss."""
    apart = lay_out(layout_scene(FORM, bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.012),)), FORM)
    whole = lay_out(layout_scene(FORM), FORM)
    assert loses_a_space(apart, whole)
    assert not loses_a_space(whole, apart)
    assert not loses_a_space(apart, apart)


def ends_at(kind: str, gap: float) -> dict[str, tuple[Panel, ...]]:
    """Two lids or partitions in one plane so far [m] apart, between two bulkheads of a box."""
    bulkheads = (Bulkhead(name="fore", at=0.5, thickness=0.012), Bulkhead(name="main", at=3.0, thickness=0.012))
    places = {"a": ("fore", 1.5), "b": (1.5 + gap, "main")}
    if kind == "lids":
        panels = tuple(Lid(name=n, height=0.5, start=s, end=e, thickness=0.01) for n, (s, e) in places.items())
        return {"bulkheads": bulkheads, "lids": panels}
    webs = tuple(Partition(name=n, off_centre=(0.0, 0.0), start=s, end=e, thickness=0.01) for n, (s, e) in places.items())
    return {"bulkheads": bulkheads, "partitions": webs}


@pytest.mark.closed_form
@pytest.mark.parametrize("kind", ["lids", "partitions"])
@settings(max_examples=25, deadline=None)
@given(gap=st.integers(0, 20_000).map(lambda micrometres: micrometres / 1e6))
def test_a_gap_between_panels_in_one_plane_keeps_both_spaces_and_is_told_by_its_width(kind: str, gap: float) -> None:
    """From none to the limit of 20 mm: four spaces; one gap, as wide as it is, from a hundredth of a millimetre on."""
    layout: Layout = lay_out(layout_scene(FORM, **ends_at(kind, gap)), FORM)
    assert len(layout.compartments) == 4
    gaps = [finding for finding in layout.findings if finding.code == "gap"]
    if gap <= 1e-5:
        assert (gaps, layout.gap_volume) == ([], pytest.approx(0.0, abs=1e-6))
        return
    (told,) = gaps
    assert [finding.code for finding in layout.findings] == ["gap"]
    assert told.measured == pytest.approx(gap, abs=2.1e-6)
    (path,) = [each for each in layout.flow_paths if each.kind == "gap"]
    across = 2.0 if kind == "lids" else 1.0
    assert path.area == pytest.approx(gap * across, abs=5e-6)
