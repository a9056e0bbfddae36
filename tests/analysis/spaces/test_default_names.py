"""Names of compartments: the owner's own, and those that bounds give, stable and told apart."""

import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from places import ROOT
from specimens import box_form, layout_scene

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.default_names import told_apart
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Partition
from sketcher.outputs.wording.sentences import message as in_words

BOX = box_form()
"""4 m long, 2 m wide, 1 m deep, keel at height 0."""
PANELS: dict[str, object] = {
    "bulkheads": (Bulkhead(name="collision", at=1.0, thickness=0.012), Bulkhead(name="main", at=3.0, thickness=0.012)),
    "lids": (Lid(name="tank top", height=0.4, start="collision", end="main", thickness=0.010),),
    "partitions": (
        Partition(name="side", off_centre=(-0.5, -0.5), start="collision", end="main", bottom="tank top", thickness=0.010),
    ),
}


def laid_out(**blocks: object) -> Layout:
    return lay_out(layout_scene(BOX, **blocks), BOX)


def names(layout: Layout) -> list[str]:
    return [space.name for space in layout.compartments]


@pytest.mark.example
def test_spaces_are_called_by_what_bounds_them() -> None:
    """From forward to aft, each by its bulkheads, partitions and lids."""
    assert names(laid_out(**PANELS)) == [
        "ahead of collision",
        "collision to main, to port of side, over tank top",
        "collision to main, under tank top",
        "collision to main, to starboard of side, over tank top",
        "aft of main",
    ]


@pytest.mark.example
def test_the_owners_name_and_use_go_to_the_space_that_holds_his_point() -> None:
    """With the table's permeability for the use, or his own."""
    seeds = (
        NamedSpace(name="void", at=(2, 0, 0.2), use="bottles"),
        NamedSpace(name="chain locker", at=(0.5, 0, 0.5), use="chain", permeability=0.7),
    )
    layout = laid_out(compartments=seeds, **PANELS)
    found = {space.name: (space.use, space.permeability, space.named) for space in layout.compartments}
    assert found["void"] == ("bottles", USES["bottles"].permeability, True)
    assert found["chain locker"] == ("chain", 0.7, True)
    assert found["aft of main"] == ("void", 0.95, False)


@pytest.mark.published
@pytest.mark.parametrize(
    ("use", "permeability"), [("void", 0.95), ("accommodation", 0.95), ("machinery", 0.85), ("stowage", 0.60), ("chain", 0.60)]
)
def test_the_table_of_permeabilities(use: str, permeability: float) -> None:
    """46 CFR 171.066 and IMO's guidelines for offshore supply vessels 3.4.2: 0.95, 0.95, 0.85, 0.60; chain lockers 0.60."""
    assert USES[use].permeability == permeability


@pytest.mark.example
def test_a_seed_may_lie_anywhere_in_its_space() -> None:
    """Right under a lid, beside the centreline, or level with a corner of the hull's triangles: the same space."""
    for point in ((2.0, 0.0, 0.389), (1.013, 0.999, 0.001), (2.0, 0.5, 0.2), (2.5, 0.0, 0.0001)):
        layout = laid_out(compartments=(NamedSpace(name="void", at=point),), **PANELS)
        assert layout.compartments[2].name == "void"
        assert layout.findings == ()


@pytest.mark.property
@pytest.mark.parametrize(
    ("point", "code", "words"),
    [
        ((1.005, 0, 0.5), "seed-in-panel", "lies inside collision"),
        ((2.0, 0, 0.395), "seed-in-panel", "lies inside tank top"),
        ((2.0, 0, 1.2), "seed-outside", "lies outside the hull"),
        ((-1.0, 0, 0.5), "seed-outside", "1000 mm.*lies outside the hull"),
    ],
)
def test_a_seed_in_no_space_is_reported(point: tuple[float, float, float], code: str, words: str) -> None:
    """With where it lies instead; its name and use are given to nothing."""
    layout = laid_out(compartments=(NamedSpace(name="void", at=point),), **PANELS)
    (finding,) = layout.findings
    assert (finding.code, finding.severity, finding.object) == (code, "stop", "void")
    assert re.search(words, in_words(finding))
    assert "void" not in names(layout)


@pytest.mark.property
@pytest.mark.parametrize(
    ("middles", "marks"),
    [
        ([(1, -0.5, 0), (1, 0.5, 0)], ["port", "starboard"]),
        ([(1, 0.5, 0), (1, -0.5, 0)], ["starboard", "port"]),
        ([(2, 0, 0), (1, 0, 0)], ["aft", "fore"]),
        ([(1, 0, 0.2), (1, 0, 0.7)], ["lower", "upper"]),
        ([(3, 0, 0), (1, 0, 0), (2, 0, 0)], ["no. 3", "no. 1", "no. 2"]),
    ],
)
def test_spaces_of_one_name_are_told_apart(middles: list[tuple[float, float, float]], marks: list[str]) -> None:
    """By side, then lengthwise, then by height; more than two are numbered from forward."""
    given = told_apart(["under lid"] * len(middles), np.array(middles, dtype=float))
    assert given == tuple(f"under lid, {mark}" for mark in marks)


@pytest.mark.example
def test_a_name_that_the_owner_took_is_not_given_again() -> None:
    """His "aft of main" may be any space; the one that would be called so says that it is unnamed."""
    layout = laid_out(compartments=(NamedSpace(name="aft of main", at=(0.5, 0, 0.5)),), **PANELS)
    assert names(layout)[0] == "aft of main"
    assert names(layout)[-1] == "aft of main (unnamed)"


@pytest.mark.example
def test_names_are_stable_while_a_panel_moves() -> None:
    """As long as the same faces bound the spaces, a move changes no name."""
    before = set(names(laid_out(**PANELS)))
    for at in (0.2, 0.7, 1.9, 2.8):
        moved = PANELS | {
            "bulkheads": (Bulkhead(name="collision", at=at, thickness=0.012), Bulkhead(name="main", at=3.0, thickness=0.012))
        }
        assert set(names(laid_out(**moved))) == before


@pytest.mark.example
@pytest.mark.slow
def test_a_fresh_process_gives_the_same_names_and_figures() -> None:
    """To the last bit."""
    program = (
        "from test_default_names import PANELS, laid_out\n"
        "print([(s.name, s.volume.hex(), [c.hex() for c in s.centroid]) for s in laid_out(**PANELS).compartments])"
    )
    here = Path(__file__).parent
    runs = [
        subprocess.run(
            [sys.executable, "-c", program],
            capture_output=True,
            text=True,
            check=True,
            cwd=here,
            env={"PYTHONPATH": os.pathsep.join(map(str, (ROOT, ROOT / "tests" / "support")))},
        )
        for _ in range(2)
    ]
    own = [(s.name, s.volume.hex(), [c.hex() for c in s.centroid]) for s in laid_out(**PANELS).compartments]
    assert [run.stdout.strip() for run in runs] == [str(own)] * 2
