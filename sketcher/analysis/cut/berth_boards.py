"""The boards of berths that lie on no lid, and the loose infill between the two sides of a vee berth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.bevels import EVERY
from sketcher.analysis.cut.panel_patterns import Board, board_patterns, boards_of, cutouts_in
from sketcher.analysis.cut.results import Cutout, Pattern
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.findings import Finding, Length, Phrase, Value
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout, PanelShape, WaterPlane
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.flat.regions import polygons
from sketcher.model.scene import Berth, Infill, Lid

LEDGE = 0.025
"""[m] Width of the ledges that boards and infills lie on: the usual batten (common practice)."""

INFILL = "infill"

_JOINED = 0.005
"""[m] Boards nearer to each other than twice this lie side by side."""

_NEXT = EVERY + 0.01
"""[m] Bevels further apart have something else between them."""


def boards_of_berths(layout: Layout) -> dict[str, PanelShape]:
    """Each berth's boards in place, by the berth's name: they lie as a lid would, and every panel goes through them."""
    boards: dict[str, PanelShape] = {}
    known = {shape.name: shape for shape in layout.panels}
    for berth in layout.scene.berths:
        if berth.height is not None and berth.thickness is not None:
            # No panel is called so, for a name begins with a letter; and it sorts behind all, so that lids go through it too.
            name = f"\uffff boards of {berth.name}"
            lid = Lid(
                name=name, height=berth.height, start=berth.start, end=berth.end, thickness=berth.thickness, span=berth.span
            )
            placed = place_panels(replace(layout.scene, lids=(*layout.scene.lids, lid)), layout.hull, known).shapes
            mine = next((shape for shape in placed if shape.name == name), None)
            if mine is not None:
                boards[berth.name] = mine
    return boards


def berth_patterns(
    layout: Layout, water: WaterPlane | None, lids: Mapping[str, PanelShape] | None = None, form: HullForm | None = None
) -> tuple[Pattern, ...]:
    """The boards of every berth whose boards' thickness is stated, each followed by its infill.

    lids: by `boards_of_berths`, which is asked where they are not given. form: as in `panel_patterns`.
    """
    lids = boards_of_berths(layout) if lids is None else lids
    berths = [berth for berth in layout.scene.berths if berth.name in lids]
    if not berths:
        return ()
    hull = layout.hull.fine if form is None else form
    return tuple(pattern for berth in berths for pattern in _of(layout, hull, berth, lids[berth.name], water))


def _of(layout: Layout, hull: HullForm, berth: Berth, lid: PanelShape, water: WaterPlane | None) -> Iterator[Pattern]:
    scene, shapes = layout.scene, (*layout.panels, lid)
    runs = stringer_runs(scene, hull) if scene.stringers else ()
    for board in boards_of(scene, hull, shapes, len(shapes) - 1):
        cutouts = cutouts_in(scene, board, runs)
        vee = _vee(berth.infill, board) if berth.infill is not None else None
        if vee is not None:
            cutouts.append(Cutout(name=INFILL, kind="opening", outline=vee, radius=0.0))
        patterns = board_patterns(scene, shapes, board, water, cutouts)
        for k, pattern in enumerate(patterns, 1):
            own = berth.name if len(patterns) == 1 else f"{berth.name}, {pattern.hand or f'piece {k}'}"
            yield _as_board(pattern, berth.name, own)
        if vee is not None:
            less = vee.buffer(-scene.cutting.panel_gap, join_style="mitre")
            for pattern in board_patterns(scene, shapes, board, water, [], less):
                yield _as_infill(pattern, berth, scene.cutting.panel_gap)


def _vee(infill: Infill, board: Board) -> shapely.Polygon:
    """The area of the boards that becomes the infill, in their frame; carried on past the berth's after end."""
    frame = board.drawn.frame
    end = float(frame.space(shapely.get_coordinates(board.drawn.net))[:, 0].max())
    rise = (infill.width[1] - infill.width[0]) / max(end - infill.start, 1e-3)
    beyond = end + 0.05
    fore, aft = infill.width[0] / 2, (infill.width[0] + rise * (beyond - infill.start)) / 2
    height = frame.origin[2]
    corners = [[infill.start, -fore, height], [beyond, -aft, height], [beyond, aft, height], [infill.start, fore, height]]
    return shapely.Polygon(frame.flat(np.array(corners)))


def _as_board(pattern: Pattern, berth: str, name: str) -> Pattern:
    along: dict[str, float] = {}
    for a, b in pairwise(pattern.bevels):
        if a.against == b.against and a.edge != "free" and b.along - a.along < _NEXT:
            along[a.against] = along.get(a.against, 0.0) + b.along - a.along
    ledges = tuple(Phrase("ledge-along", {"length": Length(length), "panel": against}) for against, length in along.items())
    values: dict[str, Value] = {"berth": berth, "width": Length(LEDGE), "below": Length(pattern.thickness), "ledges": ledges}
    notes = (*pattern.notes, Phrase("boards-on-ledges", values)) if along else pattern.notes
    return replace(pattern, kind="berth board", panel=berth, name=name, notes=notes)


def _as_infill(pattern: Pattern, berth: Berth, panel_gap: float) -> Pattern:
    """The infill's pattern: it lies loose, its sides on ledges under the boards' edges."""
    _, south, _, north = pattern.outline.bounds
    assert berth.infill is not None
    side = float(np.hypot(north - south, abs(berth.infill.width[1] - berth.infill.width[0]) / 2))
    note = Phrase("infill-on-ledges", {"length": Length(side), "width": Length(2 * LEDGE)})
    gap = [Phrase("gap-taken-off", {"gap": Length(panel_gap)})] if panel_gap else []
    return replace(pattern, kind="infill", panel=berth.name, name=f"{berth.name}, {INFILL}", notes=(*gap, note))


def widest_between_ledges(patterns: Sequence[Pattern], berth: str) -> float:
    """The diameter [m] of the largest circle on a berth's boards, laid together: what they span between the ledges round them."""
    laid = [
        shapely.Polygon(each.frame.space(np.asarray(each.blank.exterior.coords))[:, :2])
        for each in patterns
        if _of_berth(each, berth)
    ]
    if not laid:
        return 0.0
    # Gaps to an infill, and between boards, bear nothing.
    whole = shapely.union_all([each.buffer(_JOINED, join_style="mitre") for each in laid]).buffer(-_JOINED, join_style="mitre")
    return max(2.0 * float(shapely.maximum_inscribed_circle(part, tolerance=_JOINED).length) for part in polygons(whole))


def _of_berth(pattern: Pattern, berth: str) -> bool:
    return pattern.panel == berth and pattern.kind in ("berth board", "infill")


def ledges_of(patterns: Sequence[Pattern]) -> Iterator[tuple[Pattern, float]]:
    """Each ledge that berths' boards are screwed to: a board on it, and its length [m]. Parts of a board share theirs."""
    wholes = {pattern.name.partition(", part ")[0]: pattern for pattern in patterns if pattern.kind == "berth board"}
    for pattern in wholes.values():
        for note in pattern.notes:
            ledges = note.values.get("ledges", ()) if note.code == "boards-on-ledges" else ()
            for ledge in ledges if isinstance(ledges, tuple) else ():
                if isinstance(ledge, Phrase) and isinstance(length := ledge.values["length"], Length):
                    yield pattern, length.metres


def infill_ledges(patterns: Sequence[Pattern]) -> Iterator[tuple[Pattern, float]]:
    """Each infill and how long the ledge is [m], twice `LEDGE` wide, that it lies on along each of its two sides."""
    for pattern in patterns:
        for note in pattern.notes if pattern.kind == "infill" else ():
            if note.code == "infill-on-ledges" and isinstance(length := note.values["length"], Length):
                yield from [(pattern, length.metres)] * 2


def berth_board_findings(layout: Layout) -> Iterator[Finding]:
    """Berths whose boards cannot be drawn, as their thickness is not stated."""
    for berth in layout.scene.berths:
        if berth.lies_on is None and berth.thickness is None:
            values = {"berth": berth.name}
            yield Finding(code="berth-boards-unknown", severity="note", object=berth.name, values=values)
