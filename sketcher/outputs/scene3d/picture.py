"""A picture of the boat for planning and for asking others: tinted compartments, each named with its litres beside her."""

from __future__ import annotations

import io
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
import shapely
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats
from sketcher.model.errors import SketchError
from sketcher.model.scene import Fitting
from sketcher.outputs.drawing.label_spreading import LabelBox, Spot, SpreadLabel, labels_beside
from sketcher.outputs.palette import INK, PAPER, WATER
from sketcher.outputs.scene3d.boat_shapes import BoatShapes, boat_shapes
from sketcher.outputs.scene3d.camera import VIEW_WORDS, Camera, ViewName, framed, named_view, seen_from
from sketcher.outputs.scene3d.lettering.captions import (
    FIGURE_SIZE,
    NAME_SIZE,
    Caption,
    caption,
    fitting_caption,
    flooded_caption,
    width,
)
from sketcher.outputs.scene3d.lettering.nearer_labels import nearer
from sketcher.outputs.scene3d.lettering.picture_key import picture_key, tint_keys
from sketcher.outputs.scene3d.lettering.picture_sheet import (
    STRIP,
    PictureSheet,
    Title,
    draw_label,
    draw_leader,
    draw_title,
    measure,
)
from sketcher.outputs.scene3d.lettering.visible_spaces import visible_spaces
from sketcher.outputs.scene3d.objects import NEAR_HALF, Appearance
from sketcher.outputs.scene3d.opengl import require_opengl
from sketcher.outputs.tables.report import waterline_words
from sketcher.outputs.tinting import TintBy, tints
from sketcher.outputs.wording.known_spaces import known_spaces
from sketcher.outputs.wording.quantities import counted, length_with_unit

if TYPE_CHECKING:
    from sketcher.analysis.flooding.results import FloodingCase
    from sketcher.outputs.scene3d.stage import Pixels

FINE = 2
"""The picture is drawn so many times larger and scaled down, which smooths lines better than multisampling."""
WIDTH, ON_PAPER = 1600, 800
"""Pixels across a picture; it is as high as the boat and her labels need."""
MARGIN, GAP = 28, 16
LABEL_GAP = 34
"""Pixels: paper at the edge, between labels, and between boat and labels."""
MOST_HIGH = 780
"""Pixels that the boat herself may be high."""
SLIM = 1.7
"""A boat seen narrower than so many times her height has her labels at the sides, else above and below."""
APART = 15.0
"""Pixels between the dots of two compartments that lie one behind the other."""
WATER_PAST = 17.0
"""Pixels that the water runs on past the boat: less than the paper between boat and labels."""
MOST_NAMED = 80
"""Compartments named in a picture: more than any boat has, and as many as a sheet can hold and be read."""
MOST_FITTINGS = 12
"""Things in the way named in a picture: of more, the first in the file."""
SOUGHT, SPOT = (960, 540), np.array([30.0, 30.0])
"""Pixels of the picture in which it is looked for where each space is seen, and of it that a leader ends well within."""
NOT_TOLD: Mapping[str, Floats] = MappingProxyType({})
BAR = 1.0
"""[m]: length of the scale bar."""
BAR_ROOM = 30.0
"""Pixels: room for a level scale bar beneath everything else."""


@dataclass(frozen=True, slots=True)
class PictureFormat:
    """width: pixels across, before it is made finer: the fewer, the larger its lettering; titled: with a title strip and key.

    labels: with the names of what is seen.
    """

    width: int = WIDTH
    titled: bool = True
    labels: bool = True


ALONE = PictureFormat()
"""A picture in a file of its own."""


@dataclass(frozen=True, eq=False)
class Arrangement:
    """Pixels of the finished picture. origin: where the picture's (0, 0) [m] lies; scale: pixels in a metre."""

    view: ViewName
    height: int
    scale: float
    origin: Spot
    boat: LabelBox
    labels: tuple[SpreadLabel, ...]
    width: int
    strip: int

    @property
    def size(self) -> tuple[int, int]:
        """Of what is drawn above the title strip."""
        return self.width, self.height - self.strip

    def spot(self, points: Floats) -> list[Spot]:
        """Pixels of points (n, 3) of the boat."""
        flat = points @ _flat_axes(self.view)
        return [(self.origin[0] + self.scale * float(u), self.origin[1] - self.scale * float(v)) for u, v in flat]

    def camera(self) -> Camera:
        """From where the boat is drawn into it."""
        right, up, _ = named_view(self.view).axes()
        (wide, high), (x, y) = self.size, self.origin
        centre = (wide / 2 - x) / self.scale * right + (y - high / 2) / self.scale * up
        return replace(named_view(self.view), centre=tuple(centre.tolist()), height=high / self.scale)


def check_picture_file(path: str) -> None:
    """Raises SketchError where a picture could not be put in a file of this name."""
    if os.path.splitext(path)[1].lower() != ".png":
        raise SketchError(
            "a picture is written as PNG, a drawing as SVG or PDF", "Give the file a name that ends in .png.", file=path
        )


def picture_png(
    evaluation: Evaluation,
    view_name: ViewName,
    units: str | None = None,
    on: date | None = None,
    case: FloodingCase | None = None,
    tinted_by: TintBy = "space",
    made_for: PictureFormat = ALONE,
) -> bytes:
    """The picture as PNG. units: for the waterline in the title, else the scene's; on: the date in the title, else today.

    case: she is shown as she lies when holed, the water standing in her. Raises SketchError where the machine has no
    OpenGL, naming what to install.
    """
    require_opengl()
    look = Appearance(cut=NEAR_HALF, tinted_by=tinted_by)
    found = tints(evaluation, tinted_by)
    captions = [caption(known, found[known.name]) for known in known_spaces(evaluation)]
    shown = evaluation
    if case is not None and case.water is not None:
        from sketcher.analysis.flooding.at_rest import at_rest

        shown = at_rest(evaluation, case)
        captions = _holed_captions(shown, case, found)
    look = seen_from(look, named_view(view_name))
    boat = boat_shapes(shown, look, None, case)
    seen = seen_places(boat, view_name, shown)
    # What is taken away with the near half has no place to point at.
    named = (
        []
        if not made_for.labels
        else _largest(
            evaluation, [k for k, space in enumerate(evaluation.layout.compartments) if not boat.planes or space.name in seen]
        )
    )
    unit = units or evaluation.scene.units
    things = _fittings_named(evaluation) if made_for.labels else ()
    captions = [captions[k] for k in named] + [fitting_caption(fitting, unit) for fitting in things]
    placed = arrange(evaluation, view_name, captions, named, seen, made_for)
    fine = FINE * round(WIDTH / made_for.width)
    whole = Image.new("RGB", (placed.width * fine, placed.height * fine), PAPER)
    whole.paste(Image.fromarray(_boat_pixels(boat, placed, fine)), (0, 0))
    sheet = PictureSheet(whole, fine)
    _draw_water(sheet, shown, placed)
    for label, text in zip(placed.labels, captions, strict=True):
        draw_leader(sheet, label, text)
    for label, text in zip(placed.labels, captions, strict=True):
        draw_label(sheet, label, text)
    _draw_bar(sheet, placed, placed.size[1])
    holed = case is not None and case.water is not None and evaluation.water is not None
    flooded = case.floods if case is not None and holed else ()
    # Where each space has its own tint it stands beside the name.
    keys = tint_keys(evaluation, look, flooded) if tinted_by != "space" else []
    keys += picture_key(shown, look, flooded, holed=holed)
    if made_for.titled:
        draw_title(sheet, _title(evaluation, view_name, units, on, case, len(named)), WIDTH, placed.height, keys)
    out = io.BytesIO()
    made_by = PngInfo()
    made_by.add_text("Software", "sketcher")
    small = (whole.width // FINE, whole.height // FINE)
    whole.resize(small, Image.Resampling.LANCZOS).save(out, "PNG", optimize=True, pnginfo=made_by)
    return out.getvalue()


def picture_if_drawn(evaluation: Evaluation, units: str, *, labels: bool = True) -> bytes | None:
    """The picture for a page, from off the bow, lettered to be read there; None where this machine cannot draw pictures."""
    try:
        return picture_png(evaluation, "quarter", units, made_for=PictureFormat(width=ON_PAPER, titled=False, labels=labels))
    except SketchError:
        return None


def seen_places(boat: BoatShapes, view: ViewName, evaluation: Evaluation) -> dict[str, Floats]:
    """A point (3,) [m] at which each space is seen, by name, well within what is seen of it; none of a space that is not seen."""
    camera = framed(view, evaluation.layout.hull.outside.vertices, SOUGHT)
    visible = visible_spaces(boat.shapes, camera, SOUGHT, boat.planes)
    spots = {name: visible.best_place(name, SPOT) for name in visible.names}
    return {name: visible.point(spot, camera, SOUGHT) for name, spot in spots.items() if spot is not None}


def _boat_pixels(boat: BoatShapes, placed: Arrangement, fine: int) -> Pixels:
    """The boat as the page draws her, (height, width, 3), so many times as large as the picture has her."""
    # Loaded where something is drawn: it brings the graphics library.
    from sketcher.outputs.scene3d.stage import Stage

    stage = Stage(placed.size)
    try:
        stage.show(boat.shapes)
        stage.cut(boat.planes)
        stage.look_from(placed.camera())
        return stage.pixels(fine)
    finally:
        stage.close()


def _largest(evaluation: Evaluation, among: Sequence[int]) -> list[int]:
    """Which of some spaces are named, in their order: all, or as many of the largest as a sheet takes."""
    by_size = sorted(among, key=lambda k: -evaluation.layout.compartments[k].volume)
    return sorted(by_size[:MOST_NAMED])


def _fittings_named(evaluation: Evaluation) -> Sequence[Fitting]:
    """Things in the way that are named, as many as a sheet takes."""
    return evaluation.scene.fittings[:MOST_FITTINGS]


def _holed_captions(evaluation: Evaluation, case: FloodingCase, found: Mapping[str, str]) -> list[Caption]:
    from sketcher.analysis.flooding.at_rest import water_held

    held = water_held(evaluation.layout, case)
    return [
        caption(known, found[known.name])
        if (water := held.get(known.name)) is None
        else flooded_caption(known, water, known.name in case.holed)
        for known in known_spaces(evaluation)
    ]


def arrange(
    evaluation: Evaluation,
    view: ViewName,
    captions: Sequence[Caption],
    named: Sequence[int] | None = None,
    seen: Mapping[str, Floats] = NOT_TOLD,
    made_for: PictureFormat = ALONE,
) -> Arrangement:
    """Where everything stands: the boat as large as fits, labels round her, the sheet as high as they need.

    named: which of the compartments the captions are for, where not for all; captions beyond theirs are for her fittings.
    seen: points (3,) at which spaces are seen, by name; of one that is not told, its middle.
    """
    axes = _flat_axes(view)
    sizes = _caption_sizes(captions)
    flat = evaluation.layout.hull.outside.vertices @ axes
    (u0, v0), (u1, v1) = flat.min(axis=0), flat.max(axis=0)
    wide, high = float(u1 - u0), float(v1 - v0)
    # A narrow picture has no room for labels beside the boat.
    upright = wide < SLIM * high and made_for.width == WIDTH
    aside = max((size[0] for size in sizes), default=0.0) + LABEL_GAP if upright else 50.0
    across, strip = made_for.width, STRIP if made_for.titled else 0
    scale = min((across - 2 * (MARGIN + aside)) / wide, MOST_HIGH / high)
    left = (across - wide * scale) / 2
    boat = LabelBox(left, 0.0, left + wide * scale, high * scale)
    seen_at = _named_places(evaluation, len(captions), named, seen) @ axes
    anchors = _apart([(boat.left + scale * float(u - u0), scale * float(v1 - v)) for u, v in seen_at])
    reach = _upright_reach(boat, sizes) if upright else (MARGIN, across - MARGIN)
    labels = labels_beside(anchors, sizes, _grown(boat, LABEL_GAP - GAP), GAP, reach, upright)
    if not upright:
        outline = shapely.MultiPoint((flat - (u0, v1)) * (scale, -scale) + (boat.left, 0.0)).convex_hull
        labels = nearer(labels, outline, GAP)
    top = min([boat.top, *(label.box.top for label in labels)]) - MARGIN
    rise = abs(float(_bar_axis(view) @ axes[:, 1])) * BAR * scale
    bottom = max([boat.bottom, *(label.box.bottom for label in labels)]) + MARGIN + BAR_ROOM + rise
    return Arrangement(
        view=view,
        height=round(bottom - top) + strip,
        width=across,
        strip=strip,
        scale=scale,
        origin=(boat.left - scale * float(u0), scale * float(v1) - top),
        boat=_lowered(boat, -top),
        labels=tuple(
            SpreadLabel(_lowered(label.box, -top), (label.start[0], label.start[1] - top), (label.end[0], label.end[1] - top))
            for label in labels
        ),
    )


def _caption_sizes(captions: Sequence[Caption]) -> list[tuple[float, float]]:
    """Width and height of each caption in pixels."""

    def measured(words: str, bold: bool) -> float:
        return measure(words, NAME_SIZE if bold else FIGURE_SIZE, bold)

    return [(width(text, measured), text.height) for text in captions]


def _named_places(evaluation: Evaluation, count: int, named: Sequence[int] | None, seen: Mapping[str, Floats]) -> Floats:
    """Where the compartments are that are named, then as many fittings as there are captions left, in rows of x, y, z."""
    everything = evaluation.layout.compartments
    spaces = everything if named is None else [everything[k] for k in named]
    things = [fitting.at for fitting in _fittings_named(evaluation)][: count - len(spaces)]
    return np.array([*(seen.get(space.name, np.array(space.centroid)) for space in spaces), *things]).reshape(-1, 3)


def _upright_reach(boat: LabelBox, sizes: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """How high and low labels may stand beside a boat taller than wide: what half of them take, at least her own height."""
    tallest = sum(size[1] + GAP for size in sizes) / 2 + GAP
    return min(0.0, (boat.bottom - tallest) / 2), max(boat.bottom, (boat.bottom + tallest) / 2)


def _grown(box: LabelBox, by: float) -> LabelBox:
    return LabelBox(box.left - by, box.top - by, box.right + by, box.bottom + by)


def _lowered(box: LabelBox, by: float) -> LabelBox:
    return LabelBox(box.left, box.top + by, box.right, box.bottom + by)


def _apart(anchors: list[Spot]) -> list[Spot]:
    """Anchors that would hide each other moved sideways, so that each leader has its own end."""
    moved: list[Spot] = []
    for x, y in anchors:
        while any(abs(x - a) < APART and abs(y - b) < APART for a, b in moved):
            x += APART
        moved.append((x, y))
    return moved


def _flat_axes(view: ViewName) -> Floats:
    """Unit vectors to the right of the picture and up it, as the columns of (3, 2)."""
    return np.stack(named_view(view).axes()[:2], axis=1)


def _draw_water(sheet: PictureSheet, evaluation: Evaluation, placed: Arrangement) -> None:
    """Seen from the side or ahead the water runs on a little past the boat, with the mark of a level."""
    water = evaluation.water
    if water is None or placed.view not in ("profile", "ahead"):
        return
    midships = (water.x_forward + water.x_after) / 2
    ends = []
    for x in (placed.boat.left - WATER_PAST, placed.boat.right + WATER_PAST):
        along = (x - placed.origin[0]) / placed.scale * _flat_axes(placed.view)[:, 0]
        aft = float(along[0]) if placed.view == "profile" else midships
        ends.append((x, placed.origin[1] - placed.scale * water.height(aft, float(along[1]))))
    sheet.line(ends, WATER, 1.2)
    x, y = ends[1][0] - 9, ends[1][1]
    sheet.area([(x - 8, y - 13), (x + 8, y - 13), (x, y - 1)], PAPER, WATER)


def _bar_axis(view: ViewName) -> Floats:
    """The way the scale bar runs: along the boat, or across her from ahead."""
    return np.array([0.0, -1.0, 0.0]) if view == "ahead" else np.array([1.0, 0.0, 0.0])


def _draw_bar(sheet: PictureSheet, placed: Arrangement, foot: float) -> None:
    """One metre as it is seen along the boat, or across her from ahead; foot: the lowest pixel it may reach."""
    (x0, y0), (x1, y1) = placed.spot(np.array([np.zeros(3), BAR * _bar_axis(placed.view)]))
    dx, dy = x1 - x0, y1 - y0
    start = (MARGIN + 6.0, foot - 20.0 - max(dy, 0.0))
    end = (start[0] + dx, start[1] + dy)
    sheet.line([start, end], INK, 6)
    sheet.line([(start[0] + dx / 2, start[1] + dy / 2), (end[0] - dx * 0.01, end[1] - dy * 0.01)], PAPER, 3)
    words = "1 m across" if placed.view == "ahead" else "1 m fore and aft"
    sheet.words((end[0] + 14, foot - 14), words, 16)


def _title(
    evaluation: Evaluation, view_name: ViewName, units: str | None, on: date | None, case: FloodingCase | None, named: int
) -> Title:
    scene = evaluation.scene
    unit = units or scene.units
    day = (on or date.today()).isoformat()
    hull = scene.hull.name if scene.hull.twin_spacing is None else f"{scene.hull.name}, her starboard hull"
    water = waterline_words(evaluation.water, unit, evaluation.scene.guessed)
    if case is not None:
        from sketcher.outputs.tables.flooding import VERDICTS

        water = f"{' and '.join(case.holed)} holed: {'ESTIMATE, ' if case.estimated else ''}{VERDICTS[case.verdict]}"
        if case.water is not None:
            forward, after = (length_with_unit(height, unit) for height in (case.water.forward, case.water.after))
            water += f"; water {forward} at the bow, {after} at the stern"
        if case.water is not None and abs(case.water.heel) >= 0.05:
            water += f", heel {abs(case.water.heel):.1f}° {'starboard' if case.water.heel > 0 else 'port'}"
    left_out = len(evaluation.layout.compartments) - named
    less = f"; {counted(left_out, 'space')} smaller or taken away, not named" if left_out else ""
    return Title(scene.name, (f"{hull}, seen {VIEW_WORDS[view_name]}; {day}{less}", water))
