"""The blocks for what goes into the spaces, as they are read, refused, saved and edited."""

import re
from pathlib import Path

import pytest
from scene_specimens import HULL

from sketcher.model.contents import BoatPart, Bottles, Chain, Foam, Person, Stowage, Tank
from sketcher.model.edits.actions import Rename, SetValue
from sketcher.model.errors import SketchError
from sketcher.model.fields.contents_fields import CONTENTS
from sketcher.model.fields.records import Block
from sketcher.model.files.saving import open_scene, save_scene
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Scene

HEAD = """\
scene: Full
hull: hull.yaml
units: mm
bulkheads:
  main: {at: 2000, thickness: 12}
berths:
  bunk: {height: 400, from: stem, to: main}
compartments:
  forepeak: {at: [500, 0, 500]}
"""
BLOCKS = """\
people:
  Ada: {berth: bunk, stature: "5 ft 11 in", shoulders: 480}   # sleeps on her side
stowage:
  crate: {in: forepeak, size: [600, 400, 300]}
bottles:
  big: {in: forepeak, diameter: 108, length: 310, litres: 2.06, kg: 0.05, direction: upright, at_most: 40}
chains:
  rode: {in: forepeak, length: 60 m, size: 8, pipe: [500, 0, 900], deck: [500, 20 port, 1000], bore: 70, rule: stud link}
foams:
  foam: {in: forepeak, form: blocks, share: 0.8, kit: 80}
tanks:
  water: {in: forepeak, holds: diesel, aboard: 0.5}
parts:
  keel: {kg: 900, made_of: lead}
  cork: {kg: 20, made_of: other, density: 240}
"""


def written(folder: Path, text: str) -> str:
    (folder / "hull.yaml").write_text(HULL, "utf-8")
    (folder / "scene.yaml").write_text(text, "utf-8")
    return str(folder / "scene.yaml")


def scene_in(folder: Path, text: str = HEAD + BLOCKS) -> Scene:
    return read_scene(written(folder, text))


@pytest.mark.closed_form
def test_every_block_is_read(tmp_path: Path) -> None:
    """Each block becomes its value in metres, cubic metres and kilograms."""
    scene = scene_in(tmp_path)
    assert scene.people == (Person(name="Ada", berth="bunk", stature=pytest.approx(1.8034), shoulders=0.48),)  # type: ignore[arg-type]
    assert scene.stowage == (Stowage(name="crate", space="forepeak", size=(0.6, 0.4, 0.3)),)
    assert scene.bottles == (
        Bottles(
            name="big", space="forepeak", diameter=0.108, length=0.31, litres=0.00206, kg=0.05, direction="upright", at_most=40
        ),
    )
    assert scene.chains == (
        Chain(
            name="rode",
            space="forepeak",
            length=60.0,
            size=0.008,
            pipe=(0.5, 0.0, 0.9),
            deck=(0.5, -0.02, 1.0),
            bore=0.07,
            rule="stud link",
        ),
    )
    assert scene.foams == (Foam(name="foam", space="forepeak", form="blocks", share=0.8, kit=0.08),)
    assert scene.tanks == (Tank(name="water", space="forepeak", holds="diesel", aboard=0.5),)
    assert scene.parts[1] == BoatPart(name="cork", kg=20.0, made_of="other", density=240.0)
    assert scene.has_contents


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("diameter: 108", "diameter: 0", "a length above 0"),
        ("length: 310", "length: -310", "a length above 0"),
        ("litres: 2.06", "litres: 0", "displaces 0 litres"),
        ("at_most: 40", "at_most: 1000000", "1 to 100000"),
        ("direction: upright", "direction: sideways", "one of any, upright"),
        ('stature: "5 ft 11 in"', "stature: 0", "a length above 0"),
        ("berth: bunk", "berth: bnuk", "there is no berth called `bnuk`"),
        ("size: [600, 400, 300]", "size: [600, 400, 300], proportions: [3, 2, 1]", "not both"),
        ("length: 60 m", "length: 60 km", "a length"),
        ("length: 60 m", "length: 60", '`60` is 60 mm of chain\nA bare number is in mm. Write "60 m" for metres.'),
        ("length: 60 m", "length: 60 cm", "is 600 mm of chain"),
        ("bore: 70", "pipe_cover: shut", "one of none, loose, tight"),
        ("size: 8,", "size: .nan,", "a length"),
        ("made_of: other, density: 240", "made_of: other", "needs its `density`"),
        ("made_of: lead", "made_of: gold", "one of lead"),
        ("share: 0.8", "share: 1.2", "at most 1"),
        ("holds: diesel", "holds: beer", "one of water"),
        ("form: blocks", "form: sprayed", "Did you mean `poured`?"),
        ("bore: 70", "boer: 70", "bore"),
    ],
)
def test_what_cannot_be_is_refused_where_it_stands(tmp_path: Path, old: str, new: str, message: str) -> None:
    """Zero and negative sizes, no litres, misspelt words: each an error at its line that says what is right."""
    text = HEAD + BLOCKS
    assert old in text
    with pytest.raises(SketchError, match=r".") as refusal:
        scene_in(tmp_path, text.replace(old, new, 1))
    assert message in str(refusal.value)
    assert refusal.value.line is not None


@pytest.mark.example
def test_a_changed_number_changes_one_line(tmp_path: Path) -> None:
    """Saving after one edit touches that line alone; comments stay."""
    path = written(tmp_path, HEAD + BLOCKS)
    opened = open_scene(path)
    edited = SetValue("bottles", "big", "at_most", 30).apply(opened.scene)
    save_scene(opened, edited)
    before, after = (HEAD + BLOCKS).splitlines(), Path(path).read_text("utf-8").splitlines()
    assert [k for k, (a, b) in enumerate(zip(before, after, strict=True)) if a != b] == [before.index("bottles:") + 1]
    assert "# sleeps on her side" in "\n".join(after)
    assert read_scene(path).bottles[0].at_most == 30


@pytest.mark.example
def test_renaming_a_space_or_a_berth_takes_what_is_in_it_along(tmp_path: Path) -> None:
    """Bottles stay in a space that gets another name, people in their berth."""
    scene = Rename("compartments", "forepeak", "bow").apply(scene_in(tmp_path))
    assert {item.space for item in (*scene.stowage, *scene.bottles, *scene.chains, *scene.foams, *scene.tanks)} == {"bow"}
    assert Rename("berths", "bunk", "cot").apply(scene).people[0].berth == "cot"


@pytest.mark.property
@pytest.mark.parametrize("block", CONTENTS, ids=lambda block: block.key)
def test_whoever_does_not_know_the_keys_gets_the_whole_form_at_once(tmp_path: Path, block: Block) -> None:
    """A key that is missing or unknown brings one entry as it may be written, and that entry reads."""
    for entry in ("{}", "{wrong: 3}", "5"):
        with pytest.raises(SketchError, match=r"Write \{") as refusal:
            scene_in(tmp_path, f"{HEAD}{block.key}:\n  one: {entry}\n")
        assert block.form in refusal.value.remedy
    places = {"SPACE": "forepeak", "BERTH": "bunk", "[aft, off centre, height]": "[500, 0, 900]"}
    form = block.form
    for words, meant in places.items():
        form = form.replace(words, meant)
    scene = scene_in(tmp_path, f"{HEAD}{block.key}:\n  one: {form}\n")
    assert [item.name for item in getattr(scene, block.key)] == ["one"]
    required = {field.key for field in block.fields if field.required}
    assert required <= {part.split(":")[0].strip() for part in form.strip("{}").split(",")}


@pytest.mark.example
@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("size: 8", "Is that 8 mm? A bare number is in inches: write `8 mm`"),
        ("size: 2 in", "Write `8 mm`"),
        ("size: 8 mm, kg_per_m: 1.4 lb/ft", "Write 2.08: it is the same"),
        ("size: 8 mm, lb: 150", "unknown key"),
    ],
)
def test_a_chain_in_a_file_of_inches_is_not_taken_for_another(tmp_path: Path, written: str, said: str) -> None:
    """Wire of 8 inches is a slip, and 1.4 lb/ft is 1.4 x 0.45359 / 0.3048 = 2.08 kg/m."""
    head = HEAD.replace("units: mm", "units: in")
    with pytest.raises(SketchError, match=re.escape(said)):
        scene_in(tmp_path, f"{head}chains:\n  one: {{in: forepeak, length: 100 ft, pipe: [20, 0, 40], {written}}}\n")


@pytest.mark.example
def test_pounds_as_a_key_are_told_where_to_stand(tmp_path: Path) -> None:
    """`lb: 150` is no key, but `kg: 150 lb` is understood, and that is said."""
    with pytest.raises(SketchError, match=re.escape("`kg: 150 lb`")):
        scene_in(tmp_path, f"{HEAD}weights:\n  anchor: {{lb: 150, at: [500, 0, 900]}}\n")
