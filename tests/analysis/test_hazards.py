"""Cautions that follow what a space is used for, on boxes divided by a bulkhead and a lid."""

from __future__ import annotations

from dataclasses import replace

import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.cautions import cautions_of
from sketcher.analysis.evaluate import judged
from sketcher.analysis.findings import Finding
from sketcher.analysis.hazards import hazard_findings
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.contents import Foam
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Opening, Scene
from sketcher.outputs.wording.sentences import message, words

FORM = box_form()
MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)
TOP = Lid(name="bunk", height=0.5, start="stem", end="main", thickness=0.012)
PORT = Opening(name="port", through="bunk", at=(1.0, 0.5), diameter=0.2, cover="tight")
CABIN = NamedSpace(name="cabin", at=(1.0, 0.5, 0.8), use="accommodation")


def boat(use: str, **blocks: object) -> Scene:
    """A box with a low space of a use under a bunk, from the stem to a bulkhead, and a cabin over it."""
    low = NamedSpace(name="low", at=(1.0, 0.5, 0.2), use=use)
    return layout_scene(FORM, bulkheads=(MAIN,), lids=(TOP,), compartments=(low, CABIN), openings=(PORT,), **blocks)


def found(scene: Scene) -> dict[str, Finding]:
    return {each.code: each for each in hazard_findings(lay_out(scene, FORM))}


@pytest.mark.example
def test_foam_is_cautioned_of_by_its_use_alone() -> None:
    """Fire, trunks and a drain where only the use says foam, and in the report itself; nothing of foam in a void."""
    of = found(boat("foam"))
    assert {code: each.severity for code, each in of.items()} == {"foam-burns": "warn", "foam-not-listed": "note"}
    assert "no welding" in message(of["foam-burns"], "mm")
    assert "trunks" in message(of["foam-burns"], "mm")
    assert "a drain at the lowest place" in message(of["foam-not-listed"], "mm")
    assert {"foam-burns", "foam-not-listed"} <= {each.code for each in judged(lay_out(boat("foam"), FORM)).findings}
    assert found(boat("void")) == {}


@pytest.mark.example
def test_listed_foam_burns_too_and_is_not_called_unlisted() -> None:
    """A filling listed for a void: fire, and no word of a missing list."""
    scene = boat("void", foams=(Foam(name="filling", space="low", form="blocks"),))
    assert list(found(scene)) == ["foam-burns"]


@pytest.mark.example
@pytest.mark.parametrize(("use", "form", "poured", "fire"), [("foam", "", 1, 1), ("void", "blocks", 0, 1), ("void", "", 0, 0)])
def test_the_lid_over_foam_is_cautioned_of_before_it_is_closed(use: str, form: str, poured: int, fire: int) -> None:
    """Isocyanate where foam is poured or may be, fire wherever there is foam."""
    foams = (Foam(name="filling", space="low", form=form),) if form else ()  # type: ignore[arg-type]
    layout = lay_out(replace(boat(use), foams=foams), FORM)
    said = " ".join(words(each) for each in cautions_of(layout, layout.panels[0], ("low",), ()))
    assert (said.count("isocyanate"), said.count("hot-air")) == (poured, fire)
