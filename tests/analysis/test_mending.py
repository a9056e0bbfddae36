"""The remedies that were worked out, each made and looked at: what it was to mend is mended."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from specimens import PANELS, box_form, filled, layout_scene

from sketcher.analysis.evaluate import evaluate, with_flooding
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.cases import single_cases
from sketcher.analysis.mending import edits_for
from sketcher.model.contents import Chain, Foam, Person
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Berth, Bulkhead, Lid, Opening, Partition, Scene, Stringer
from sketcher.outputs.wording.sentences import message

Evaluate = Callable[[Scene], Evaluation]


def mended(finding: Finding, scene: Scene) -> Scene:
    for edit in edits_for(finding, scene):
        scene = edit.apply(scene)
    return scene


def still_said(finding: Finding, after: Evaluation) -> list[str]:
    """What is said of the same thing after its remedy; of a rule's window only that the panel stands outside it."""
    again = (found for found in after.findings if (found.code, found.object) == (finding.code, finding.object))
    return [message(found) for found in again if "inside-that-window" not in str(found.values.get("verdict"))]


def check(scene: Scene, evaluated: Evaluate) -> set[str]:
    """Every remedy of a scene made by itself; gives the codes of what was mended. Nothing may come that stops the work."""
    before = evaluated(scene)
    stops = {found.code for found in before.findings if found.severity == "stop"}
    tried = [found for found in before.findings if edits_for(found, scene)]
    for finding in tried:
        after = evaluated(mended(finding, scene))
        assert still_said(finding, after) == []
        assert {found.code for found in after.findings if found.severity == "stop"} <= stops, finding.code
    return {finding.code for finding in tried}


def judged_with_holes(scene: Scene) -> Evaluation:
    evaluation = evaluate(scene)
    return with_flooding(evaluation, single_cases(evaluation.layout, evaluation.water, evaluation.floating))


@cache
def demo(name: str) -> Scene:
    return read_scene(demo_folder() / "scenes" / f"{name}.yaml")


@pytest.mark.property
@pytest.mark.parametrize(
    ("name", "evaluated", "codes"),
    [
        ("marram-forepeak", evaluate, {"spaces-joined", "collision-bulkhead-passenger", "panels-not-weighed"}),
        ("marram-two-tanks", judged_with_holes, {"lid-under-flooded-water", "panels-not-weighed"}),
        ("pellwick-bows", evaluate, {"collision-bulkhead-passenger", "panels-not-weighed"}),
        ("quillet-forepeak", evaluate, {"collision-bulkhead-passenger", "panels-not-weighed"}),
        ("quillet-forepeak-bottles", evaluate, {"berth-short", "panels-not-weighed"}),
        ("ternholm-forepeak", evaluate, {"gap", "collision-bulkhead-passenger", "panels-not-weighed"}),
    ],
)
def test_what_is_offered_for_a_demo_mends_it(name: str, evaluated: Evaluate, codes: set[str]) -> None:
    """Each finding with a remedy is gone once its edits are made."""
    assert check(demo(name), evaluated) == codes


def box_boat(**blocks: object) -> Scene:
    """The box boat; her panels weigh nothing, and nothing but a lid is planned unless a block says so."""
    scene = layout_scene(box_form(), **(PANELS | {"bulkheads": (FORE, AFT)} | blocks))
    bulkheads, lids, partitions = (
        tuple(replace(each, kg=0.0) for each in kind) for kind in (scene.bulkheads, scene.lids, scene.partitions)
    )
    return replace(scene, bulkheads=bulkheads, lids=lids, partitions=partitions)


def in_the_box(scene: Scene) -> Evaluation:
    blocks = ("bulkheads", "partitions", "lids", "stringers", "berths", "openings", "compartments", "people", "chains", "foams")
    return filled(**{block: getattr(scene, block) for block in blocks})


BARE: dict[str, object] = {"lids": (), "openings": (), "compartments": ()}
BUNK = Berth(name="bunk", height=0.3, start="collision", end="main", cushion=0.1, span=(-0.4, 0.2))
RODE = Chain(name="rode", space="locker", length=60.0, size=0.008, pipe=(0.5, 0.0, 0.7), bore=0.05, pipe_cover="tight")
TOP, AFT = PANELS["lids"][0], PANELS["bulkheads"][1]  # type: ignore[index]
FORE = replace(PANELS["bulkheads"][0], built="already")  # type: ignore[index]
WINDOW = {"collision-bulkhead-racing", "collision-bulkhead-passenger"}
WEB = Partition(name="web", off_centre=(0.5, 0.5), start="collision", end="main", thickness=0.01)
MADE: dict[str, tuple[dict[str, object], set[str]]] = {
    "a seat too low": (
        BARE | {"berths": (BUNK,), "people": (Person(name="Ada", berth="bunk", stature=1.8),)},
        {"berth-low-over-seat"},
    ),
    "a person too long": (
        BARE
        | {"berths": (replace(BUNK, height=0.0),), "people": (Person(name="Ada", berth="bunk", stature=1.95),)}
        | {"bulkheads": (FORE, replace(AFT, built="planned"))},
        {"person-does-not-fit"},
    ),
    "a chain under a low and narrow pipe": ({"chains": (RODE,)}, {"chain-needs-a-hand", "chain-pipe-narrow"}),
    "more chain than goes under a shelf": (
        {
            "chains": (replace(RODE, pipe=(0.5, 0.0, 0.6)),),
            "lids": (Lid(name="shelf", height=0.68, start="stem", end="collision", thickness=0.01),),
            "openings": (),
        },
        {"chain-needs-a-hand", "chain-pipe-narrow"},
    ),
    "a permeability beside foam": (
        {
            "foams": (Foam(name="blocks", space="void", share=0.2),),
            "compartments": tuple(replace(each, permeability=0.38) for each in PANELS["compartments"]),  # type: ignore[attr-defined]
        },
        {"permeability-against-contents"},
    ),
    "a lid short of a bulkhead": ({"lids": (replace(TOP, end=2.99),)}, {"gap"}),
    "a lid short of the side": ({"lids": (replace(TOP, span=(-0.99, None)),)}, {"gap"}),
    "a lid short of a partition": (
        {"partitions": (WEB,), "lids": (replace(TOP, span=(None, 0.48)),), "openings": ()},
        {"gap"},
    ),
    "a bulkhead short of the deck": ({"bulkheads": (replace(FORE, top=0.99, built="planned"), AFT)}, {"gap"}),
    "a hole and a seacock under water": (
        {
            "openings": (
                Opening(name="limber", through="collision", at=(0.0, 0.2), diameter=0.03, cover="none"),
                Opening(name="seacock", through="hull", at=(0.5, 0.2, 0.0), diameter=0.03, cover="none"),
            )
        },
        {"spaces-joined", "opening-under-water"},
    ),
    "a hollow stringer": (
        {
            "stringers": (
                Stringer(name="bearer", under="top", side="port", start=0.5, end="main", width=0.03, depth=0.045, hollow="open"),
            )
        },
        {"spaces-joined"},
    ),
}


@pytest.mark.property
@pytest.mark.parametrize("what", MADE)
def test_what_is_offered_for_a_box_mends_it(what: str) -> None:
    """The box boat with one thing amiss: the remedy is found, made, and the finding is gone, nothing else stopping the work."""
    blocks, codes = MADE[what]
    assert check(box_boat(**blocks), in_the_box) == codes


@pytest.mark.example
def test_what_is_built_or_carries_is_not_moved() -> None:
    """The collision bulkhead a quarter of the length aft is offered forward while it is planned, not once it stands."""
    for changes, codes in (({}, WINDOW), ({"built": "already"}, set()), ({"carries": ("mast",)}, set())):
        bulkhead = Bulkhead(name="collision", at=1.0, thickness=0.02, **changes)  # type: ignore[arg-type]
        scene = box_boat(bulkheads=(bulkhead, AFT))
        found = [finding for finding in in_the_box(scene).findings if finding.code in WINDOW]
        assert {finding.code for finding in found if edits_for(finding, scene)} == codes
