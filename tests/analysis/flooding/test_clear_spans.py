"""How far lids span between what bears them, and what the water presses on them with, each worked out by hand."""

from __future__ import annotations

import pytest
from specimens import PANELS, box_form, layout_scene

from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import flooding_cases, single_cases
from sketcher.analysis.flooding.clear_spans import clear_span, loads_by_panel, wide_lid_findings
from sketcher.analysis.flooding.findings import flooding_findings
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.scene import Partition
from sketcher.outputs.tables.flooding import flooding_report
from sketcher.outputs.wording.sentences import message as in_words


def boat(*webs: float) -> Evaluation:
    """The box boat with partitions 10 mm thick under her lid, at these distances off the centreline."""
    under = tuple(
        Partition(name=f"web {k}", off_centre=(at, at), start="collision", end="main", thickness=0.01, top="top")
        for k, at in enumerate(webs)
    )
    form = box_form()
    return judged(lay_out(layout_scene(form, **(PANELS | {"partitions": under})), form))


def number_of(evaluation: Evaluation, name: str) -> int:
    return [shape.name for shape in evaluation.layout.panels].index(name)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("webs", "span"),
    [((), 1.98), ((0.0,), 0.995), ((-0.5, 0.0, 0.5), 0.495), ((-0.6, -0.2, 0.2, 0.6), 0.395)],
)
def test_the_clear_span_is_the_way_between_what_stands_under_a_lid(webs: tuple[float, ...], span: float) -> None:
    """A lid of 1.98 x 2 m: its shorter side, or what webs of 10 mm leave between each other and the hull."""
    evaluation = boat(*webs)
    top = number_of(evaluation, "top")
    assert clear_span(evaluation.layout, top, "under") == pytest.approx(span, abs=2e-3)
    assert clear_span(evaluation.layout, top, "top") == pytest.approx(1.98, abs=2e-3)


@pytest.mark.closed_form
def test_a_wide_lid_is_told_with_the_pressure_and_load_of_the_water_under_it() -> None:
    """The void of 1.98 x 2 m holed; its lid's load is head times density times area, its pressure g times that."""
    evaluation = boat()
    layout = evaluation.layout
    (case,) = flooding_cases(layout, evaluation.water, evaluation.floating, ["void"])
    (told,) = wide_lid_findings(layout, [case])
    under = next(lid for lid in case.lids if lid.name == "top")
    head = -under.clear_of_water + 0.01
    assert told.measured == pytest.approx(1.98, abs=2e-3)
    (load,) = [each.load for each in loads_by_panel(layout, [case])["top"]]
    assert load.head == pytest.approx(head, abs=2e-3)
    assert load.load == pytest.approx(1025 * 1.98 * 2 * load.head, rel=0.1)
    said = in_words(told)
    assert f"and {load.load:.0f} kgf, {1025 * 9.81 * load.head / 1000:.1f} kPa at its lowest place, with void holed" in said
    assert "How far it bends, what waves add and whether board, bearers and fastenings are strong enough is not judged" in said
    assert told.code in {found.code for found in flooding_findings(layout, [case])}
    assert "strong enough is not judged" in " ".join(flooding_report(evaluation, [case], detail=True).split())


@pytest.mark.closed_form
def test_a_lid_on_bearers_is_not_warned_of() -> None:
    """Webs 395 mm apart, less than the usual 400: whatever is holed, nothing is said of the lid's span."""
    evaluation = boat(-0.6, -0.2, 0.2, 0.6)
    cases = single_cases(evaluation.layout, evaluation.water, evaluation.floating)
    assert loads_by_panel(evaluation.layout, cases)["top"]
    assert wide_lid_findings(evaluation.layout, cases) == []


@pytest.mark.example
def test_like_loads_are_told_once_with_every_space_that_makes_them() -> None:
    """Two voids that mirror each other load the lid alike: one figure, both names."""
    evaluation = boat(0.0)
    cases = single_cases(evaluation.layout, evaluation.water, evaluation.floating)
    (both,) = [each for each in loads_by_panel(evaluation.layout, cases)["top"] if each.load.face == "under"]
    assert len(both.holed) == 2
