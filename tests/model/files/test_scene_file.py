"""Scene files, read with their hulls, and new ones."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scene_specimens import HULL, SCENE, scene_folder

from sketcher.model.demos import demo_folder, demo_scenes
from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import new_scene_text, read_scene, scene_from, scene_text, settled
from sketcher.model.scene import Berth, Bulkhead, KnownTo, Lid, Opening, Partition, Stringer, Waterline

BOX = hull_from(compose(HULL, "box.yaml"))


def lines_said(text: str) -> int:
    """How many lines the error has that a text gets; none for one that is read."""
    try:
        scene_from(compose(text, "x"), hull=BOX)
    except SketchError as problem:
        return len(str(problem).splitlines())
    return 0


HEAD = "scene: x\nhull: box.yaml\nunits: mm\n"


@pytest.mark.example
def test_every_block_is_read(tmp_path: Path) -> None:
    """Objects of each kind come in the file's order with what the file says, lengths in metres."""
    scene = read_scene(scene_folder(tmp_path / "boat"))
    assert scene.hull.name == "Plain box"
    assert scene.waterline == Waterline(forward=0.655, after=0.61)
    assert scene.centre_of_gravity_height == 0.7
    assert scene.bulkheads[0] == Bulkhead(name="collision", at=1.15, thickness=0.018, kg=9.5)
    assert scene.partitions[1] == Partition(name="skew", off_centre=(0.3, 0.35), start=2.0, end=3.0, thickness=0.009, lean=2.5)
    assert scene.lids[1] == Lid(name="chain floor", height=0.5, start="stem", end="collision", slope=4.0, thickness=0.009525)
    assert scene.stringers[0] == Stringer(
        name="bearer", under="tank top", side="both", start="collision", end="main", width=0.03, depth=0.045, hollow="sealed"
    )
    assert scene.berths[0] == Berth(
        name="vee berth", height=0.98, start="collision", end="main", cushion=0.1, people=2, stature=1.8796
    )
    assert scene.openings[2] == Opening(name="seacock", through="hull", at=(2.0, -0.3, 0.1), diameter=0.04)
    assert scene.openings[3].joins == ("chain locker", "forward void")
    assert [weight.kg for weight in scene.weights] == [84.0, -120.0]
    assert scene.fittings[0].reach
    assert [panel.name for panel in scene.panels] == [
        "collision",
        "main",
        "step",
        "locker side",
        "skew",
        "tank top",
        "chain floor",
    ]


@pytest.mark.example
@pytest.mark.parametrize(("written", "ends"), [("5", (0.005, 0.005)), ("[2, 5]", (0.002, 0.005))])
def test_what_is_known_of_her_is_read_and_written(written: str, ends: tuple[float, float]) -> None:
    """As one length for both ends of the waterline or two, a length, and a share; each weight may have its own."""
    weights = "weights: {anchor: {kg: 12, at: [1, 0, 1], known_to: 0.2}}\n"
    text = f"{HEAD}known_to: {{waterline: {written}, centre_of_gravity: 50, weights: 0.05}}\n{weights}"
    scene = scene_from(compose(text, "x"), hull=BOX)
    assert scene.known_to == KnownTo(waterline=ends, centre_of_gravity=0.05, weights=0.05)
    assert scene.weights[0].known_to == 0.2
    assert scene_from(compose(scene_text(scene), "x"), hull=BOX).known_to == scene.known_to


@pytest.mark.property
@pytest.mark.parametrize(
    ("written", "waterline"),
    [
        ("655", Waterline(forward=0.655, after=0.655)),
        ("{forward: 655, after: 610, heel: 2}", Waterline(forward=0.655, after=0.61, heel=2.0)),
        ("{bow_freeboard: 1095, stern_freeboard: 940}", Waterline(bow_freeboard=1.095, stern_freeboard=0.94)),
    ],
)
def test_a_waterline_has_three_forms(written: str, waterline: Waterline) -> None:
    """One height, two heights with a heel, or two freeboards."""
    assert scene_from(compose(f"{HEAD}waterline: {written}\n", "x"), hull=BOX).waterline == waterline


@pytest.mark.property
@pytest.mark.parametrize(("written", "density"), [("sea", 1025.0), ("fresh", 1000.0), ("1012.5", 1012.5)])
def test_water_is_a_word_or_a_density(written: str, density: float) -> None:
    """Sea, fresh, or kilograms per cubic metre."""
    assert scene_from(compose(f"{HEAD}water: {written}\n", "x"), hull=BOX).water_density == density


@pytest.mark.example
def test_blocks_may_be_empty() -> None:
    """A block's heading with nothing below it is a block without objects."""
    scene = scene_from(compose(f"{HEAD}bulkheads:\nlids: {{}}\nopenings: ~\n", "x"), hull=BOX)
    assert (scene.bulkheads, scene.lids, scene.openings) == ((), (), ())


@pytest.mark.example
def test_work_grows_with_the_panels_and_no_faster(calls_made: Callable[[Callable[[], Any]], int]) -> None:
    """A scene with far more panels than any boat has, each tied to the last, takes twice the work of half as many."""

    def read(count: int) -> None:
        chain = "".join(f"  b{i}: {{at: {{from: b{i - 1}, distance: 5}}, thickness: 3}}\n" for i in range(1, count))
        scene = scene_from(compose(f"{HEAD}bulkheads:\n  b0: {{at: 100, thickness: 3}}\n{chain}", "x"), hull=BOX)
        assert len(scene.bulkheads) == count

    assert calls_made(lambda: read(500)) < 2.1 * calls_made(lambda: read(250))


@pytest.mark.property
@pytest.mark.parametrize("path", demo_scenes(), ids=lambda path: path.stem)
def test_demo_scenes_are_written_at_the_files_step(path: Path) -> None:
    """Nothing in a demo scene is finer than its file can hold: settling it changes nothing."""
    scene = read_scene(path)
    assert settled(scene) == scene
    assert scene_from(compose(scene_text(scene), str(path)), hull=scene.hull) == scene


@pytest.mark.example
def test_a_new_scene_can_be_read_at_once(tmp_path: Path) -> None:
    """The text of a new scene reads as a scene without panels, whatever it is called."""
    path = scene_folder(tmp_path / "boat", new_scene_text("Bug: erster # Entwurf", "../hulls/plain box.yaml", "cm"))
    scene = read_scene(path)
    assert (scene.name, scene.units, scene.panels) == ("Bug: erster # Entwurf", "cm", ())


@pytest.mark.property
@pytest.mark.parametrize("units", ["mm", "cm", "m", "in", "ft"])
def test_a_new_scene_s_examples_are_in_its_own_unit(tmp_path: Path, units: str) -> None:
    """With the marks of its examples taken off, a new scene says the same layout whatever the unit: a bulkhead 1.15 m aft."""
    text = new_scene_text("Fresh", "../hulls/plain box.yaml", units)
    lines = text.replace("#   ", "").splitlines()
    scene = read_scene(scene_folder(tmp_path / "boat", "\n".join(lines) + "\n"))
    assert scene.bulkheads[0].at == pytest.approx(1.15, abs=2e-3)
    assert scene.lids[0].height == pytest.approx(0.78, abs=2e-3)
    assert scene.waterline is not None
    assert scene.waterline.bow_freeboard == pytest.approx(1.095, abs=2e-3)


@pytest.mark.property
@given(st.binary(max_size=200) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace")))
def test_no_bytes_end_in_a_traceback(data: bytes) -> None:
    """Whatever a file holds, reading it gives a scene or an error in words."""
    assert 0 <= lines_said(data.decode("utf-8", "replace")) <= 3


@pytest.mark.property
@given(st.data())
def test_no_damage_to_a_scene_ends_in_a_traceback(data: st.DataObject) -> None:
    """A scene with a piece cut out, doubled or replaced by odd characters is read or refused in words."""
    start = data.draw(st.integers(0, len(SCENE)))
    end = data.draw(st.integers(start, min(len(SCENE), start + 60)))
    put = data.draw(
        st.sampled_from(
            ["", SCENE[start:end] * 2, ":", "{", "[", "- ", "'", '"', "\t", "\x00", "nan", "-", "?", "&a ", "!!x ", "\n"]
        )
    )
    assert 0 <= lines_said(SCENE[:start] + put + SCENE[end:]) <= 3


@pytest.mark.example
def test_the_demos_are_found() -> None:
    """Hulls and scenes lie together."""
    assert len(list((demo_folder() / "hulls").glob("*.yaml"))) >= 3
    assert all(path.is_file() for path in demo_scenes())
