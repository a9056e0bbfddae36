"""Pictures: every compartment named beside the boat, tinted by its relation to the water, on any machine that can draw."""

from __future__ import annotations

import io
import subprocess
import sys
from dataclasses import replace
from datetime import date
from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from evaluation_specimen import box_boat, compartment

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Immersion, WaterPlane
from sketcher.model.errors import SketchError
from sketcher.model.scene import Fitting
from sketcher.outputs.contents_shapes import fitting_mesh
from sketcher.outputs.palette import FLOODED, TINTS, channels
from sketcher.outputs.scene3d import opengl
from sketcher.outputs.scene3d.camera import VIEW_ANGLES, ViewName
from sketcher.outputs.scene3d.lettering.captions import caption, fitting_caption, flooded_caption
from sketcher.outputs.scene3d.lettering.picture_key import picture_key, tint_keys
from sketcher.outputs.scene3d.objects import Appearance, CutAway
from sketcher.outputs.scene3d.picture import (
    WIDTH,
    Arrangement,
    PictureFormat,
    arrange,
    check_picture_file,
    picture_if_drawn,
    picture_png,
)
from sketcher.outputs.wording.known_spaces import known, known_spaces

VIEWS = list(VIEW_ANGLES)
DAY = date(2026, 5, 1)


def many_spaces(count: int) -> Evaluation:
    """The box boat cut into so many spaces, fore and aft and port and starboard, with long names."""
    boat = box_boat()
    edges = np.linspace(0, 4, count // 2 + 1)
    spaces = tuple(
        compartment(f"{side} space between frames number {k} and {k + 1}", (a, y, 0.0), (b, y + 1.0, 1.0))
        for k, (a, b) in enumerate(pairwise(edges))
        for side, y in (("port", -1.0), ("starboard", 0.0))
    )
    immersion = tuple(Immersion(below=space.volume / 2, position="crosses") for space in spaces)
    return replace(boat, layout=replace(boat.layout, compartments=spaces), immersion=immersion)


def arranged(boat: Evaluation, name: ViewName) -> Arrangement:
    return arrange(boat, name, [caption(space, TINTS["above"]) for space in known_spaces(boat)])


@pytest.mark.property
@pytest.mark.parametrize("name", VIEWS)
@pytest.mark.parametrize("count", [2, 12, 40])
def test_no_label_covers_another_or_leaves_the_sheet(name: ViewName, count: int) -> None:
    """With two spaces or forty, from every side: labels apart from each other, clear of the boat, inside the paper."""
    boat = many_spaces(count)
    placed = arranged(boat, name)
    boxes = [label.box for label in placed.labels]
    assert len(boxes) == count
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]
    outline = shapely.MultiPoint(placed.spot(boat.layout.hull.outside.vertices)).convex_hull
    assert not [box for box in boxes if shapely.box(box.left, box.top, box.right, box.bottom).intersects(outline)]
    assert all(box.left >= 0 and box.right <= WIDTH and box.top >= 0 and box.bottom <= placed.height for box in boxes)


@pytest.mark.property
@pytest.mark.parametrize("name", VIEWS)
def test_leaders_end_apart_from_each_other(name: ViewName) -> None:
    """Spaces that lie one behind the other still have an end of a leader each."""
    ends = [label.end for label in arranged(many_spaces(12), name).labels]
    assert all(np.hypot(a[0] - b[0], a[1] - b[1]) >= 10 for a, b in combinations(ends, 2))


@pytest.mark.property
@pytest.mark.parametrize("name", VIEWS)
def test_things_in_the_way_are_named_beside_the_boat(name: ViewName) -> None:
    """A fitting has a label with its size, its leader ends in the box it is drawn as, and the key says what such a box is."""
    boat = box_boat()
    thing = Fitting(name="log transducer", at=(2.6, 0.2, 0.2), size=(0.08, 0.08, 0.12))
    boat = replace(boat, scene=replace(boat.scene, fittings=(thing,)))
    captions = [*(caption(space, TINTS["above"]) for space in known_spaces(boat)), fitting_caption(thing, "mm")]
    assert (captions[-1].name, captions[-1].figures) == (("log transducer",), "80 x 80 x 120 mm")
    placed = arrange(boat, name, captions)
    boxes = [label.box for label in placed.labels]
    assert len(boxes) == len(captions)
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]
    seen = np.array(placed.spot(fitting_mesh(thing).vertices))
    assert (seen.min(axis=0) <= placed.labels[-1].end).all()
    assert (seen.max(axis=0) >= placed.labels[-1].end).all()
    assert "in the way" in [key.words for key in picture_key(boat, Appearance())]
    assert "in the way" not in [key.words for key in picture_key(box_boat(), Appearance())]


@pytest.mark.closed_form
def test_a_profile_has_one_scale_along_and_up() -> None:
    """4 m fore and aft take four times the pixels of 1 m of height; the bow is at the left."""
    placed = arranged(box_boat(), "profile")
    corners = placed.spot(np.array([[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 0.0, 1.0]]))
    assert corners[1][0] - corners[0][0] == pytest.approx(4 * (corners[0][1] - corners[2][1]))
    assert corners[1][0] > corners[0][0]


@pytest.mark.closed_form
def test_from_ahead_her_starboard_is_on_the_left() -> None:
    """Looking aft from ahead of the stem; in a plan starboard is up."""
    (port, _), (starboard, _) = arranged(box_boat(), "ahead").spot(np.array([[0.0, -1.0, 0.0], [0.0, 1.0, 0.0]]))
    assert starboard < port
    (_, port), (_, starboard) = arranged(box_boat(), "plan").spot(np.array([[0.0, -1.0, 0.0], [0.0, 1.0, 0.0]]))
    assert starboard < port


@pytest.mark.gl
@pytest.mark.slow
@pytest.mark.example
def test_two_hundred_spaces_still_make_a_picture_that_can_be_opened() -> None:
    """Of the hundred on the side that is seen eighty are named, those of the other side not."""
    from PIL import Image

    boat = many_spaces(200)
    image = Image.open(io.BytesIO(picture_png(boat, "profile", on=DAY)))
    starboard = range(1, 161, 2)
    captions = [caption(space, TINTS["above"]) for space in known_spaces(boat)]
    placed = arrange(boat, "profile", [captions[k] for k in starboard], starboard)
    assert image.size == (WIDTH, placed.height)


@pytest.mark.example
def test_the_relation_to_the_water_stands_in_words() -> None:
    """Not by tint alone: below, above, and for what crosses the share; what is open to what; a least figure where it runs on."""
    words = {space.name: caption(space, TINTS["above"]) for space in known_spaces(box_boat())}
    assert words["low void"].figures == "2324 L, below the water"
    assert words["forepeak"].figures == "2000 L, 50 % below water"
    assert words["forepeak"].remark == "open to low void"
    dry = known(compartment("high", (0, 0, 2), (1, 1, 3)), Immersion(below=0.0, position="above"))
    assert caption(dry, TINTS["above"]).figures == "1000 L, above the water"
    endless = known(compartment("saloon", (0, 0, 0), (1, 1, 1), bounded=False), Immersion(below=0.5, position="crosses"))
    assert caption(endless, TINTS["crosses"]).figures == "over 1000 L, crosses the waterline"
    assert caption(known(compartment("x", (0, 0, 0), (1, 1, 1)), None), TINTS["unknown"]).figures == "1000 L, water not known"


@pytest.mark.example
def test_a_flooded_space_says_how_much_water_stands_in_it() -> None:
    """Holed, or filled from a space beside; the litres of water stand beside the space's own."""
    fore = next(space for space in known_spaces(box_boat()) if space.name == "forepeak")
    assert flooded_caption(fore, 0.43, holed=True).figures == "2000 L, 430 L of water in it"
    assert flooded_caption(fore, 0.43, holed=True).remark == "holed"
    assert flooded_caption(fore, 0.43, holed=False).remark == "filled from beside"


@pytest.mark.example
def test_the_key_explains_what_the_picture_uses_and_no_more() -> None:
    """Tints that occur, cut edges only where she is cut, flooding and the waterline before only where there are such."""
    boat, cut = box_boat(), Appearance(cut=CutAway(kind="port"), tinted_by="water")
    assert [key.words for key in tint_keys(boat, cut)] == ["below the water", "crosses the waterline"]
    assert [key.words for key in tint_keys(boat, cut, flooded=["forepeak", "after space"])] == ["below the water"]
    assert [key.words for key in tint_keys(boat, Appearance())] == [space.name for space in boat.layout.compartments]
    assert [key.words for key in picture_key(boat, cut)] == [
        "below the waterline",
        "hull, cut",
        "panel, cut",
        "cushion",
        "waterline",
    ]
    wet = picture_key(boat, Appearance(), ["forepeak"], holed=True)
    assert [key.words for key in wet] == ["flooded", "cushion", "waterline when holed", "waterline before"]
    assert [key.words for key in picture_key(replace(boat, water=None), Appearance())] == ["cushion"]


@pytest.mark.property
@pytest.mark.parametrize("path", ["boat.jpg", "boat", "boat.png.txt"])
def test_only_png_is_written(path: str) -> None:
    """Another ending is refused before anything is drawn."""
    with pytest.raises(SketchError, match="PNG"):
        check_picture_file(path)


@pytest.mark.example
def test_without_opengl_the_words_say_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """The trial is run beside us: when it crashes there, here only an error is raised, with the packages to install."""
    crash = [sys.executable, "-c", "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)"]
    honest = subprocess.run
    monkeypatch.setattr(opengl.subprocess, "run", lambda _command, **options: honest(crash, **options))
    with pytest.raises(SketchError, match="OpenGL") as refused:
        opengl.require_opengl.__wrapped__()
    assert "libegl1" in refused.value.remedy


@pytest.mark.gl
@pytest.mark.slow
@pytest.mark.example
def test_what_lies_below_looks_below() -> None:
    """Tinted by the water, in a profile the void's part of the picture has the tint for below, the forepeak's for crossing."""
    from PIL import Image

    boat = box_boat()
    image = np.asarray(Image.open(io.BytesIO(picture_png(boat, "profile", on=DAY, tinted_by="water")))).astype(float) / 255
    placed = arranged(boat, "profile")
    assert image.shape == (placed.height, WIDTH, 3)
    # An area of each space, clear of leaders and panels; most of it lies between the water lines.
    for low, high, tint in (((2.6, 0.05), (3.9, 0.15), "below"), ((0.05, 0.6), (0.4, 0.9), "crosses")):
        (x0, y1), (x1, y0) = placed.spot(np.array([[low[0], 0, low[1]], [high[0], 0, high[1]]]))
        patch = image[round(y0) : round(y1), round(x0) : round(x1)].reshape(-1, 3)
        colour = np.median(patch, axis=0)
        nearest = min(("below", "crosses", "above"), key=lambda name: float(np.linalg.norm(colour - channels(TINTS[name]))))
        assert nearest == tint


@pytest.mark.gl
@pytest.mark.slow
@pytest.mark.example
def test_water_stands_in_a_holed_space_as_high_as_the_sea() -> None:
    """The forepeak holed, the water at 0.7 m: below that height its part of the picture has the colour of standing water."""
    from PIL import Image

    boat = box_boat()
    water = WaterPlane(forward=0.7, after=0.7, heel=0.0, x_forward=0.0, x_after=4.0)
    case = FloodingCase(
        holed=("forepeak",),
        floods=("forepeak",),
        verdict="floats",
        reason="",
        water=water,
        water_volume=1.4,
        shares={"forepeak": 0.6},
    )
    image = np.asarray(Image.open(io.BytesIO(picture_png(boat, "profile", on=DAY, case=case)))).astype(float) / 255
    placed = arranged(boat, "profile")
    blue = {}
    for name, low, high in (("wet", (0.1, 0.55), (0.4, 0.67)), ("dry", (0.1, 0.75), (0.4, 0.9))):
        (x0, y1), (x1, y0) = placed.spot(np.array([[low[0], 0, low[1]], [high[0], 0, high[1]]]))
        colour = np.median(image[round(y0) : round(y1), round(x0) : round(x1)].reshape(-1, 3), axis=0)
        blue[name] = float(np.linalg.norm(colour - channels(FLOODED)))
    assert blue["wet"] < 0.2 < 0.4 < blue["dry"]


@pytest.mark.gl
@pytest.mark.slow
@pytest.mark.example
def test_the_same_boat_gives_the_same_picture() -> None:
    """On one day, twice the same bytes."""
    assert picture_png(box_boat(), "quarter", on=DAY) == picture_png(box_boat(), "quarter", on=DAY)


@pytest.mark.gl
@pytest.mark.example
def test_a_picture_for_paper_is_lettered_twice_as_large_and_has_no_title() -> None:
    """As many pixels across for half the width that labels are laid out in, labels kept within it; without names no labels."""
    from PIL import Image

    boat = box_boat()
    picture = picture_if_drawn(boat, "mm")
    bare = picture_if_drawn(boat, "mm", labels=False)
    assert picture is not None
    assert bare is not None
    sizes = [Image.open(io.BytesIO(each)).size for each in (picture, bare)]
    assert [size[0] for size in sizes] == [WIDTH, WIDTH]
    captions = [caption(space, TINTS["above"]) for space in known_spaces(boat)]
    placed = arrange(boat, "quarter", captions, made_for=PictureFormat(width=800, titled=False))
    assert all(label.box.left >= 0 and label.box.right <= 800 for label in placed.labels)
    assert placed.size == (800, placed.height)
