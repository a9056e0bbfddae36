"""Files that are wrong, each with the message it must get: broken/messages.yaml says which."""

from pathlib import Path

import pytest
import yaml

from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.scene_file import read_scene
from sketcher.model.files.tables.tape_table import read_tape_table

BROKEN = Path(__file__).parent / "broken"
MESSAGES = yaml.safe_load((BROKEN / "messages.yaml").read_text("utf-8"))


def read(name: str) -> object:
    """Read a file by what its name says it is."""
    path = BROKEN / name
    if path.suffix == ".csv":
        return read_tape_table(path)
    return read_hull(path) if name.startswith("hull-") and not name.startswith("hull-is") else read_scene(path)


@pytest.mark.golden
@pytest.mark.parametrize("name", sorted(MESSAGES))
def test_a_broken_file_gets_its_message(name: str) -> None:
    """Each broken file is refused with file, line, key, what is wrong and what to write instead, in one to three lines."""
    with pytest.raises(SketchError, match=r".") as refusal:
        read(name)
    said = str(refusal.value).replace(f"{BROKEN}/", "")
    assert said == MESSAGES[name].strip()
    assert len(said.splitlines()) <= 3


@pytest.mark.example
def test_every_broken_file_has_a_message() -> None:
    """No file lies in the collection without a message that it must get."""
    files = {path.name for path in BROKEN.iterdir() if path.is_file()} - {"messages.yaml"}
    assert files == set(MESSAGES)
