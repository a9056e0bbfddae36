"""For tests of the command line: a scene that several commands read is worked out once."""

from collections.abc import Callable
from functools import cache

import pytest

from sketcher.analysis import evaluate as module
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.scene import Scene

_afresh = module.evaluate


@cache
def _known(scene: Scene, file: str | None) -> Evaluation:
    return _afresh(scene)


def _once(scene: Scene, *watch: Callable[[int], bool], **how: bool) -> Evaluation:
    return _afresh(scene, *watch, **how) if watch or how else _known(scene, scene.file)


@pytest.fixture(autouse=True)
def worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Equal scenes are equal boats, whichever command asks; processes of their own work theirs out afresh."""
    monkeypatch.setattr(module, "evaluate", _once)
