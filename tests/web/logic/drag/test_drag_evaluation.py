"""What follows a chain or an opening that is dragged: only what moved is worked out, and it is what a fresh evaluation finds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from specimens import PANELS, filled

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.contents import Chain
from sketcher.model.scene import Opening, Scene
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag import drag_evaluation as drags
from sketcher.web.logic.drag.drag_evaluation import drag_evaluation

RODE = Chain(name="rode", space="locker", length=20.0, size=0.008, pipe=(0.5, 0.0, 0.95), deck=(0.5, 0.0, 1.0))
OPENINGS: tuple[Opening, ...] = PANELS["openings"]  # type: ignore[assignment]


def afresh(_: Scene) -> Evaluation:
    raise AssertionError("everything is worked out")


def joined(boat: Evaluation) -> list[tuple[object, ...]]:
    """What joins what, and where."""
    paths = boat.layout.flow_paths
    return [(path.name, path.kind, path.between, *np.round((*path.lowest_at, path.area), 9).tolist()) for path in paths]


@pytest.mark.example
def test_a_chain_that_is_dragged_is_heaped_anew_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """At once the heap stays where it lay; what follows has it under its pipe, weighs it there, and cuts no space again."""
    started = filled(chains=(RODE,))
    drag = drag_evaluation(started, ObjectRef("chain", "rode"), afresh)
    first = drag.whole(replace(started.scene, chains=(replace(RODE, pipe=(0.55, 0.0, 0.95)),)), started)
    monkeypatch.setattr(drags.Mover, "__init__", lambda *_: pytest.fail("spaces are cut again"))
    moved = replace(RODE, pipe=(0.6, 0.1, 0.95), deck=(0.6, 0.1, 1.0))
    scene = replace(started.scene, chains=(moved,))
    assert drag.at_once is not None
    seen, followed, fresh = drag.at_once(scene, first), drag.whole(scene, first), filled(chains=(moved,))
    assert seen.contents is not None
    assert first.contents is not None
    assert followed.contents is not None
    assert fresh.contents is not None
    assert seen.contents.chains == first.contents.chains
    (heaped,), (expected,) = followed.contents.chains, fresh.contents.chains
    np.testing.assert_allclose(heaped.full.centroid, expected.full.centroid, atol=1e-9)
    assert (heaped.fall, heaped.mass) == (pytest.approx(expected.fall, abs=1e-9), expected.mass)
    assert joined(followed) == joined(fresh)
    weights = [
        [(weight.name, weight.kg, *np.round(weight.at, 9)) for weight in boat.layout.scene.weights] for boat in (followed, fresh)
    ]
    assert weights[0] == weights[1]


@pytest.mark.example
@pytest.mark.parametrize("moved", OPENINGS, ids=lambda opening: opening.name)
def test_an_opening_that_is_dragged_joins_what_it_does_afresh(moved: Opening) -> None:
    """Whatever it goes through; nothing else is worked out but what joins what."""
    started = filled()
    drag = drag_evaluation(started, ObjectRef("opening", moved.name), afresh)
    for by in (0.005, 0.05):
        at = (moved.at[0] + by, *moved.at[1:])
        now = tuple(replace(opening, at=at) if opening is moved else opening for opening in OPENINGS)
        followed = drag.whole(replace(started.scene, openings=now), started)
        assert joined(followed) == joined(filled(openings=now))
