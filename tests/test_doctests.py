"""Every example in a docstring gives what it says."""

import doctest
import importlib

import pytest
from places import CODE, ROOT

TELLING = [path for path in sorted(CODE.rglob("*.py")) if ">>> " in path.read_text(encoding="utf-8")]


@pytest.mark.example
@pytest.mark.parametrize("path", TELLING, ids=lambda path: path.relative_to(CODE).as_posix())
def test_the_examples_of_a_module_come_out_as_told(path) -> None:
    """Each is run as typed, and prints what stands below it."""
    module = importlib.import_module(".".join(path.relative_to(ROOT).with_suffix("").parts))
    done = doctest.testmod(module)
    assert done.attempted > 0
    assert done.failed == 0
