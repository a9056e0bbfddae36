"""Whole card models of two demo boats: put back into the boat part by part, they go together."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from places import ROOT

from sketcher.analysis.cut.card.card_model import card_model
from sketcher.analysis.cut.card.card_panels import card_panels
from sketcher.analysis.cut.card.fit_check import GAP, OVERLAP, gaps, overlaps
from sketcher.analysis.cut.card.gluing import in_order
from sketcher.analysis.cut.card.into_place import blocked
from sketcher.analysis.cut.card.parts import CardModel, ModelScale
from sketcher.analysis.cut.card.shell_strakes import SPRUNG
from sketcher.analysis.cut.card.solids import part_solid
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import spaces_alone
from sketcher.geometry.vectors import triple
from sketcher.model.files.scene_file import read_scene

OF = ModelScale(scale=20.0, card=0.4)
ROOM = (190.0, 260.0)
BOATS = ("quillet-forepeak", "marram-two-tanks")
"""One with knuckles, whose skin lies flat, and a round one on a spine; small and in coarse facets, for time's sake."""

Modelled = dict[str, tuple[Layout, CardModel]]


@pytest.fixture(scope="module")
def modelled() -> Modelled:
    layouts = {boat: read_scene(ROOT / "scenes" / f"{boat}.yaml") for boat in BOATS}
    laid = {boat: spaces_alone(scene, form_hull(scene.hull)) for boat, scene in layouts.items()}
    return {boat: (layout, card_model(layout, OF, ROOM, layout.hull)) for boat, layout in laid.items()}


@pytest.mark.property
@pytest.mark.parametrize("boat", BOATS)
def test_all_parts_go_together(boat: str, modelled: Modelled) -> None:
    """No two parts overlap by more than half a card, no joint gapes by a millimetre of paper, and each reaches its place."""
    _, model = modelled[boat]
    assert [fit for fit in model.overlaps if fit.measured > OVERLAP] == []
    assert [fit for fit in model.gaps if fit.measured > GAP] == []
    assert model.blocked == ()


@pytest.mark.property
@pytest.mark.parametrize("boat", BOATS)
def test_every_panel_is_there_and_on_its_place(boat: str, modelled: Modelled) -> None:
    """Each panel has a part in the middle of its board, none larger than the board but where it goes on to a neighbour's card."""
    layout, model = modelled[boat]
    assert {shape.name for shape in layout.panels} <= {part.of for part in model.parts}
    for panel in card_panels(layout, layout.hull, OF):
        shape = next(shape for shape in layout.panels if shape.name == panel.part.of)
        heights = shape.front.over(panel.part.frame.space(np.asarray(panel.part.outline.exterior.coords)))
        assert heights == pytest.approx(-shape.panel.thickness / 2, abs=1e-9)
        assert shapely.Polygon(panel.part.outline.exterior).area == pytest.approx(shape.area, rel=0.04)


@pytest.mark.property
@pytest.mark.parametrize("boat", BOATS)
def test_what_others_stand_on_is_glued_first(boat: str, modelled: Modelled) -> None:
    """A part comes after those that its tabs and slots go into; the order does not hang on how the parts are given."""
    _, model = modelled[boat]
    place = {part.uncut: k for k, part in enumerate(model.parts)}
    joints = [seam for seam in model.seams if seam.kind in ("tabs", "halved")]
    assert joints
    assert [seam for seam in joints if place[seam.part] < place[seam.against]] == []
    assert [part.name for part in in_order(model.parts[::-1], model.seams)] == [part.name for part in model.parts]


@pytest.mark.example
def test_a_skin_of_plates_is_developable_and_a_round_one_stands_on_frames(modelled: Modelled) -> None:
    """The chined boat's plates lie flat as card does; the round one has a spine that every frame goes down into."""
    _, chined = modelled["quillet-forepeak"]
    assert chined.miss is not None
    assert chined.miss <= SPRUNG
    _, rounded = modelled["marram-two-tanks"]
    assert rounded.miss is None
    rings = {part.uncut for part in rounded.parts if part.ring and part.kind != "spine"}
    assert {seam.part for seam in rounded.seams if seam.kind == "halved" and seam.against == "spine"} == rings


@pytest.mark.example
def test_a_part_out_of_its_place_is_noticed(modelled: Modelled) -> None:
    """A lid moved 3 mm of paper aft goes into the bulkhead behind it and stands off the frame before it."""
    layout, model = modelled["marram-two-tanks"]
    aft = np.array([OF.full(3.0), 0.0, 0.0])
    moved = [
        replace(part, frame=replace(part.frame, origin=triple(part.frame.space(np.zeros((1, 2)))[0] + aft)))
        if part.of == "chain floor"
        else part
        for part in model.parts
    ]
    solids = {part.name: part_solid(part, OF.thickness) for part in moved}
    worst = overlaps(moved, solids, OF)[0]
    assert "chain floor" in (worst.part, worst.against)
    assert worst.measured > OVERLAP
    off = gaps(moved, [seam for seam in model.seams if seam.part == "chain floor"], solids, layout.hull, OF)
    assert off[0].measured > GAP


@pytest.mark.example
def test_a_part_under_another_does_not_come_down_past_it(modelled: Modelled) -> None:
    """A web glued after the lid above it is told to be in its way."""
    _, model = modelled["marram-two-tanks"]
    solids = {part.name: part_solid(part, OF.thickness) for part in model.parts}
    late = [part for name in ("tank top", "centre web") for part in model.parts if part.of == name]
    assert blocked(late, solids, {}, OF) == (("centre web", "tank top"),)


@pytest.mark.property
@pytest.mark.parametrize("boat", BOATS)
def test_parts_are_sound_outlines_that_fit_a_page(boat: str, modelled: Modelled) -> None:
    """Every outline is one sound area with its flaps, and none is longer than a page."""
    _, model = modelled[boat]
    for part in model.parts:
        assert part.outline.is_valid
        assert part.whole.is_valid
        assert part.whole.area >= part.outline.area * (1 - 1e-9)
        assert OF.paper(float(shapely.minimum_bounding_radius(part.whole))) * 2 <= np.hypot(*ROOM)
