"""Lines for errors noticed after reading."""

from pathlib import Path

import pytest
from scene_specimens import SCENE, scene_folder

from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.files.line_lookup import line_of, located

LIST = "a: 1\nstations:\n  - at: 0\n  - at: 1\n    points: [[0, 0],\n      [1, 1]]\nno.dots.here:\n  b: 2\n"


@pytest.mark.property
@pytest.mark.parametrize(
    ("key", "line"),
    [("a", 1), ("stations.2", 4), ("stations.2.points.2", 6), ("no.dots.here.b", 8), ("stations.9", 2), ("zz", None)],
)
def test_a_key_is_found_by_its_path(key: str, line: int | None) -> None:
    """Lists count from 1, names may hold dots, and of a path that ends nowhere as much as is there is found."""
    assert line_of(compose(LIST, "x"), key) == line


@pytest.mark.example
def test_an_error_gets_the_line_of_its_key(tmp_path: Path) -> None:
    """An error that names a file and a key says the line when it is shown; one whose file is gone stays as it is."""
    path = scene_folder(tmp_path / "boat")
    found = located(SketchError("too steep", file=str(path), key="bulkheads.main.rake"))
    assert found.line == 1 + SCENE.splitlines().index("    rake: 3")
    assert located(SketchError("gone", file="/no/such/file", key="a")).line is None
