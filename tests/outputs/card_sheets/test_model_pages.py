"""The pages of a card model: every part once, numbered and named, with a line to check the print by."""

from dataclasses import replace

import pytest
import shapely
from places import ROOT

from sketcher.analysis.cut.card.card_model import card_model
from sketcher.analysis.cut.card.parts import CardFit, CardModel, ModelScale
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.spaces.layout import spaces_alone
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Scene
from sketcher.outputs.card_sheets.card_sheet import BAR, laid_out, room_on
from sketcher.outputs.card_sheets.model_pages import model_pages, wrapped
from sketcher.outputs.card_sheets.model_words import faults, left_out, steps
from sketcher.outputs.drawing.pdf import measured
from sketcher.outputs.drawing.recording import Drawing, Line, Words


@pytest.fixture(scope="module")
def printed() -> tuple[Scene, CardModel, tuple[Drawing, ...]]:
    """The smallest demo boat at 1 : 30, in coarse facets for time's sake."""
    scene = read_scene(ROOT / "scenes" / "pellwick-bows.yaml")
    layout = spaces_alone(scene, form_hull(scene.hull))
    model = card_model(layout, ModelScale(scale=30.0, card=0.4), room_on("a4"), layout.hull)
    return scene, model, model_pages(scene, model, "a4")[0]


@pytest.mark.example
def test_every_part_is_on_one_sheet_at_its_size(printed: tuple[Scene, CardModel, tuple[Drawing, ...]]) -> None:
    """Each part's outline is drawn once, as large as the boat's over the scale, and its number stands on it."""
    _, model, pages = printed
    drawn = {item.part: item for page in pages for item in page.items if isinstance(item, Line) and item.layer == "outline"}
    for number, part in enumerate(model.parts, 1):
        rings = [
            item
            for page in pages
            for item in page.items
            if isinstance(item, Line) and item.layer == "outline" and item.part == f"card/{part.name}"
        ]
        assert len(rings) == 1 + len(part.whole.interiors)
        outline = shapely.Polygon(rings[0].points)
        assert outline.area == pytest.approx(shapely.Polygon(part.whole.exterior).area * (1000.0 / 30.0) ** 2, rel=1e-6)
        labels = [item for page in pages for item in page.items if isinstance(item, Words) and item.part == f"card/{part.name}"]
        assert labels[0].text.split()[0] == str(number)
    assert len(drawn) == len(model.parts)


@pytest.mark.example
def test_every_page_has_a_line_of_100_mm(printed: tuple[Scene, CardModel, tuple[Drawing, ...]]) -> None:
    """The line by which a print is checked is 100 mm on each page."""
    for page in printed[2]:
        lines = [item.points for item in page.items if isinstance(item, Line) and item.layer == "tiles"]
        assert any(abs(b[0] - a[0]) == pytest.approx(BAR) for a, b in lines)


@pytest.mark.example
def test_what_is_left_out_is_said(printed: tuple[Scene, CardModel, tuple[Drawing, ...]]) -> None:
    """Deck, bevels, the boards' own thickness and the second hull are named, each step of gluing has its sheet."""
    scene, model, pages = printed
    said = " ".join(left_out(scene, model))
    assert all(word in said for word in ("deck", "bevels", "middle of its board", "One hull of the two"))
    text = " ".join(item.text for item in pages[0].items if isinstance(item, Words))
    assert all(name in text for _, name, _ in steps(model)[:5])


@pytest.mark.example
def test_what_does_not_go_together_is_said(printed: tuple[Scene, CardModel, tuple[Drawing, ...]]) -> None:
    """An overlap, a gap and a part that is in the way become a sentence each; a sound model has none."""
    _, model, _ = printed
    assert list(faults(model)) == []
    off = CardFit(part="a", against="b", measured=1.5)
    assert len(list(faults(replace(model, overlaps=(off,), gaps=(off,), blocked=(("a", "b"),))))) == 3


@pytest.mark.example
def test_lines_of_text_keep_to_their_room() -> None:
    """Words are broken into lines no wider than asked, and none is lost."""
    text = "Left out: deck, coachroof and cockpit, so that you look in."
    lines = wrapped(text, 40.0, 3.2)
    assert " ".join(lines) == text
    assert all(measured(each, 3.2) <= 40.0 for each in lines)


@pytest.mark.example
def test_parts_lie_apart_on_their_sheets(printed: tuple[Scene, CardModel, tuple[Drawing, ...]]) -> None:
    """No two parts on a sheet overlap, and none is left out."""
    _, model, _ = printed
    laid = laid_out(model, "a4")
    assert set(laid.sheets) == {part.name for part in model.parts}
    for number in range(len(laid.nesting.sheets)):
        there = [placed.outline for placed in laid.nesting.placed if placed.sheet == number]
        assert all(there[i].intersection(there[k]).area < 1e-9 for i in range(len(there)) for k in range(i))


def paged(name: str, scale: float) -> tuple[Drawing, ...]:
    """The pages of a demo's model."""
    scene = read_scene(ROOT / "scenes" / f"{name}.yaml")
    layout = spaces_alone(scene, form_hull(scene.hull))
    model = card_model(layout, ModelScale(scale=scale, card=0.4), room_on("a4"), layout.hull)
    return model_pages(scene, model, "a4")[0]


@pytest.mark.example
def test_no_number_beside_a_line_lies_over_a_cut() -> None:
    """Whatever says which part stands at a line lies clear of all outlines, or the scissors would take it off."""
    said = 0
    for page in paged("quillet-forepeak", 20.0):
        cuts = shapely.MultiLineString(
            [(*item.points, item.points[0]) for item in page.items if isinstance(item, Line) and item.layer == "outline"]
        )
        for item in page.items:
            if isinstance(item, Words) and item.layer == "marks":
                half, (x, y) = measured(item.text, item.size) / 2, item.at
                assert not cuts.intersects(shapely.box(x - half, y, x + half, y + 0.72 * item.size)), item.text
                said += 1
    assert said >= 14


@pytest.mark.example
def test_a_part_whose_tip_is_thin_is_laid_out() -> None:
    """At 1 : 30 the tips of one of quillet's parts are thinner than a notch is filled by: she is printed all the same."""
    assert paged("quillet-forepeak", 30.0)
