"""What a hull is built of decides how her skin is made ready, how panels are held, and what is bought."""

from __future__ import annotations

from dataclasses import replace

import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bonding.fixings import bolted_seams, fixing_purchases, taped_seams
from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import BondingList, WorkStep
from sketcher.analysis.cut.work_order import work_steps
from sketcher.analysis.evaluate import judged
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.hull import HullMaterial
from sketcher.model.scene import Bulkhead, Lid
from sketcher.outputs.tables.build_lists import to_mind
from sketcher.outputs.tables.costs import sold
from sketcher.outputs.wording.sentences import words

FORM = box_form()
MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)
TOP = Lid(name="bunk", height=0.5, start="stem", end="main", thickness=0.012)
RESIN_HOLDS: tuple[HullMaterial | None, ...] = (None, "grp", "plywood", "wood")
BOLTED: tuple[HullMaterial, ...] = ("steel", "aluminium", "ferro")


def layout_of(material: HullMaterial | None) -> Layout:
    """A box 2 m wide and 1 m high with a bulkhead at 2 m and a bunk before it."""
    scene = layout_scene(FORM, bulkheads=(MAIN,), lids=(TOP,))
    return lay_out(replace(scene, hull=replace(scene.hull, material=material)), FORM)


def bonding(material: HullMaterial | None) -> BondingList:
    layout = layout_of(material)
    found = bonding_list(layout, panel_patterns(layout, None), ())
    assert found is not None
    return found


def steps(material: HullMaterial | None) -> tuple[WorkStep, ...]:
    layout = layout_of(material)
    return work_steps(judged(layout), (), (), (), (), seams(layout))


def said(material: HullMaterial | None) -> str:
    return " ".join([*(words(s.what) for s in steps(material)), *(c for s in steps(material) for c in to_mind(s, "mm"))])


@pytest.mark.closed_form
@pytest.mark.parametrize("material", BOLTED)
def test_edges_at_hull_and_deck_are_bolted_where_resin_does_not_hold(material: HullMaterial) -> None:
    """Bulkhead 2 + 2 + 2 x 1 m, bunk 2 + 2 x 2 m: 12 m of flats, 80 bolts; the bunk's two seams to the bulkhead are taped."""
    found = bonding(material)
    assert found.bolted == pytest.approx(12.0, abs=1e-3)
    assert found.seam_length == pytest.approx(4.0, abs=1e-3)
    amounts = {words(each.item): sold(each.amount, "mm")[0] for each in found.purchases}
    flat = "galvanised" if material == "ferro" else material
    assert amounts[f"{flat} flat bar 50 mm × 5 mm"] == pytest.approx(1.05 * 12.0, abs=1e-3)
    assert amounts["bolts with nuts and large washers"] == 80
    assert amounts["sealant that stays soft"] == pytest.approx(12.0 * 0.050 * 0.003 * 1.15 * 1000, rel=1e-3)


@pytest.mark.example
@pytest.mark.parametrize("material", RESIN_HOLDS)
def test_edges_are_taped_where_resin_holds(material: HullMaterial | None) -> None:
    """The same boat of GRP or wood: every seam is taped on both faces, and no flat is bought."""
    found = bonding(material)
    assert (found.bolted, found.seam_length) == (0.0, pytest.approx(28.0, abs=1e-3))
    layout = layout_of(material)
    assert bolted_seams(layout.scene, found.seams) == []
    assert taped_seams(layout.scene, found.seams) == list(found.seams)
    assert list(fixing_purchases(layout.scene, found.seams)) == []


@pytest.mark.example
def test_a_steel_hull_is_welded_first_and_never_ground_and_taped() -> None:
    """Flats before foam and resin, hot work minded before that, bolts in sealant; none of GRP's words."""
    steel = said("steel")
    assert "Weld flats" in words(steps("steel")[0].what)
    assert any("weld nothing once foam or resin is in" in each for each in to_mind(steps("steel")[0], "mm"))
    whats = {words(step.title): words(step.what) for step in steps("steel")}
    assert "bolt it to its flats every 150 mm in sealant that stays soft." in whats["Bulkhead: main"]
    assert "every 150 mm in sealant that stays soft, then fillet and tape" in whats["Lid: bunk"]
    for word in ("laminate", "Dust of glass", "taken to be of GRP"):
        assert word not in steel


@pytest.mark.example
def test_grp_is_said_to_be_assumed_only_where_nothing_is_stated() -> None:
    """The same steps either way, with one sentence more."""
    assert said(None).count("taken to be of GRP") == 1
    assert "taken to be of GRP" not in said("grp")
    assert said(None).replace(" (She is taken to be of GRP: her hull file states no `material`.)", "") == said("grp")


@pytest.mark.example
@pytest.mark.parametrize(
    ("material", "word"),
    [
        ("plywood", "under 12 % moisture"),
        ("wood", "on planks that move it cracks"),
        ("aluminium", "sleeves"),
        ("ferro", "mortar"),
    ],
)
def test_each_skin_is_made_ready_in_its_own_way(material: HullMaterial, word: str) -> None:
    """A word that no other material's first step has."""
    first = {each: words(steps(each)[0].what) for each in (*RESIN_HOLDS[1:], *BOLTED)}
    assert word in first[material]
    if word != "under 12 % moisture":
        assert [each for each, what in first.items() if word in what] == [material]
