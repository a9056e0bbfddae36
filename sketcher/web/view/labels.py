"""Names and litres beside the compartments in the picture: each near its own, none over another or over what is worked on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Flags, Floats
from sketcher.outputs.palette import FLOODED
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.lettering.captions import amount
from sketcher.outputs.scene3d.lettering.visible_spaces import VisibleSpaces
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef
from sketcher.outputs.tinting import tints
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.outputs.wording.quantities import flooded_words
from sketcher.web.state import Handle, Label, Look
from sketcher.web.view.clearance import overlapping, overlaps_any, span_of, spans_of_boxes, spans_of_lines

CHARACTER, LINE = 7.2, 13.0
"""Pixels: width of a character, a name's being bold, and distance of lines of the lettering over the picture."""
CLEAR = 4.0
"""Pixels kept free round a label."""
HANDLE_REACH = 24.0
"""Pixels from the middle of a handle to the tips of its arrows and a little beyond."""
TOP = 40.0
"""Pixels of the picture's top that the controls lie on."""
DIRECTIONS, STEP, STEPS = 12, 14.0, 10
"""Directions from what a label names, and how far out along each it is tried [pixels, steps]: no leader is longer."""
COVERING, CROSSING = 40.0, 60.0
"""As good as pixels of a longer leader: lying over the middle of another space; a line that meets another's name or line."""
WORTH_MOVING = 30.0
"""At rest a label leaves its place where another is nearer by this much [pixels]; while anything moves only where it must."""
BETTER_CLEAR = 6.0
"""Pixels more than needed that such a nearer place has free round it."""


NOWHERE_TOLD: Mapping[ObjectRef, Floats | None] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class _Named:
    """What a label says of a compartment: name and figures, and the tint of the dot on it."""

    part: ObjectRef
    lines: tuple[str, str]
    tint: str


@dataclass
class _Taken:
    """What labels keep clear of, each a span: what is worked on, other labels and their lines; the middles of what is named."""

    worked_on: list[Floats]
    anchors: list[tuple[Floats, Floats]]
    visible: VisibleSpaces | None
    boxes: list[Floats] = field(default_factory=list)
    leaders: list[Floats] = field(default_factory=list)


def boat_labels(
    evaluation: Evaluation,
    look: Look,
    camera: Camera,
    size: tuple[int, int],
    water_in: Mapping[str, float | None],
    selected: ObjectRef | None = None,
    worked_on: Sequence[Floats] = (),
    last: Sequence[Label] = (),
    moving: bool = False,
    seen: Mapping[ObjectRef, Floats | None] = NOWHERE_TOLD,
    visible: VisibleSpaces | None = None,
) -> tuple[Label, ...]:
    """Labels for the compartments that are shown: the selected first in its choice of place, then the largest.

    worked_on: what to keep clear of, of `worked_on_spans`; last: the labels of a moment ago, which stay where they can;
    moving: also where there is a better place, and no other comes to them. One for which there is no place near its space is
    left out: the list beside the picture has it. seen: where each is seen (3,) [m], None: nowhere, and it is not named; of
    one that is not told, its middle. visible: what is seen where, if that is known: no name stands on another's space.
    """
    parts = {known.name: ObjectRef("compartment", known.name) for known in known_spaces(evaluation)}
    spaces = sorted(known_spaces(evaluation), key=lambda known: (parts[known.name] != selected, -known.space.volume))
    spaces = [known for known in spaces if parts[known.name] not in look.hidden and seen.get(parts[known.name], 0) is not None]
    stood = {label.part: label.place for label in last}
    if moving and stood:
        spaces = [known for known in spaces if parts[known.name] in stood]
    middles = np.array([seen.get(parts[known.name], known.space.centroid) for known in spaces]).reshape(-1, 3)
    anchors = list(camera.project(middles, size)[:, :2])
    taken = _Taken(list(worked_on), [(anchor, span_of(anchor[None], CLEAR)) for anchor in anchors], visible)
    found = tints(evaluation, look.tinted_by)
    named = [_Named(parts[known.name], *_words(known, water_in, found[known.name])) for known in spaces]
    if moving and stood:
        places = [stood[each.part] for each in named]
        if _all_can_stay([each.lines for each in named], places, anchors, size, taken.worked_on):
            return tuple(_label(*each) for each in zip(named, places, anchors, strict=True))
    labels = []
    for each, anchor in zip(named, anchors, strict=True):
        label = _placed(each, anchor, size, taken, stood.get(each.part), moving)
        if label is not None:
            labels.append(label)
    return tuple(labels)


def _all_can_stay(
    lines: list[tuple[str, str]], places: list[int], anchors: list[Floats], size: tuple[int, int], worked_on: list[Floats]
) -> bool:
    """Whether all labels at once are in the picture where they stood, clear of what is worked on and of each other."""
    if not lines:
        return True
    boxes = np.array([_box(each) for each in lines])
    out = [_places(*box)[0][place] for box, place in zip(boxes.tolist(), places, strict=True)]
    middles, roomy = np.array(anchors) + out, boxes + 2 * CLEAR
    if not _inside(middles, roomy, size).all():
        return False
    spans = spans_of_boxes(middles, roomy)
    among_themselves = overlapping(spans, spans)
    np.fill_diagonal(among_themselves, False)
    return not (among_themselves.any() or overlaps_any(spans, worked_on).any())


def box_of(known: KnownSpace, water_in: Mapping[str, float | None]) -> Floats:
    """Width and height (2,) of a space's label [pixels]."""
    return _box(_words(known, water_in, "")[0])


def _box(lines: tuple[str, str]) -> Floats:
    """Width and height (2,) of a label [pixels]."""
    return np.array([max(len(line) for line in lines) * CHARACTER, len(lines) * LINE])


def _inside(middles: Floats, boxes: Floats, size: tuple[int, int]) -> Flags:
    """Whether boxes (n, 2), or all of one size (2,), about middles (n, 2) lie in the picture, clear of its controls."""
    low, high = middles - boxes / 2, middles + boxes / 2
    return np.asarray((low >= (0.0, TOP)).all(axis=1) & (high <= np.array(size)).all(axis=1))


def _label(named: _Named, place: int, anchor: Floats) -> Label:
    """A label at one of its places."""
    box = _box(named.lines)
    out = _places(*box.tolist())[0][place]
    middle = anchor + out
    (left, top), (x, y) = (middle - box / 2).tolist(), anchor.tolist()
    from_x, from_y = (middle + np.clip(-out, -box / 2, box / 2)).tolist()
    return Label(
        part=named.part,
        lines=named.lines,
        tint=named.tint,
        at=(left, top + LINE * 0.8),
        anchor=(x, y),
        leader=(from_x, from_y) if place else None,
        place=place,
    )


def worked_on_spans(
    boat: BoatShapes, selected: ObjectRef | None, handles: Sequence[Handle], camera: Camera, size: tuple[int, int]
) -> list[Floats]:
    """What is worked on, as it is seen: the selected panel and the handles to move it by."""
    spans = [span_of(np.array([handle.beside or handle.at]), HANDLE_REACH) for handle in handles]
    if selected is not None and selected.kind in PANEL_KINDS and selected in boat.parts:
        owner = boat.parts.index(selected)
        shown = [surface for surface in boat.shapes.surfaces.values() if owner in surface.owner_of]
        triangles = [surface.points[surface.triangles[surface.owned_by(owner)]] for surface in shown]
        corners = np.concatenate([np.zeros((0, 3)), *(part.reshape(-1, 3) for part in triangles)])
        if len(corners):
            spans.append(span_of(camera.project(corners, size)[:, :2], CLEAR))
    return spans


def _words(known: KnownSpace, water_in: Mapping[str, float | None], tint: str) -> tuple[tuple[str, str], str]:
    """Its name with its litres, or what water is in it, and its tint; the list beside the picture tells the rest."""
    if known.name in water_in:
        return (known.name, flooded_words(water_in[known.name])), FLOODED
    return (known.name, amount(known)), tint


def _placed(
    named: _Named,
    anchor: Floats,
    size: tuple[int, int],
    taken: _Taken,
    stood: int | None,
    moving: bool,
) -> Label | None:
    """At the best free place near what is named, or where the label stood; None where there is none in the picture."""
    box = _box(named.lines)
    out, away = _places(*box.tolist())
    middles = anchor + out
    starts = middles + np.clip(-out, -box / 2, box / 2)

    def costs(at: slice, clear: float) -> Floats:
        costs = _costs(middles[at], starts[at], anchor, box + 2 * clear, size, taken) + away[at]
        if taken.visible is not None:
            costs = np.where(taken.visible.covers(named.part.name, middles[at], box)[1] > 0.0, np.inf, costs)
        return costs

    staying = np.inf if stood is None else float(costs(slice(stood, stood + 1), CLEAR)[0])
    place = stood or 0
    if staying == np.inf:
        free = costs(slice(None), CLEAR)
        place = int(np.argmin(free))
        if free[place] == np.inf:
            return None
    elif staying > WORTH_MOVING and not moving:
        roomy = costs(slice(None), CLEAR + BETTER_CLEAR)
        if roomy.min() + WORTH_MOVING < staying:
            place = int(np.argmin(roomy))
    taken.boxes.append(spans_of_boxes(middles[[place]], box + 2 * CLEAR)[:, 0])
    if place:
        taken.leaders.append(spans_of_lines(starts[[place]], anchor)[:, 0])
    return _label(named, place, anchor)


@remembered(256)
def _places(wide: float, high: float) -> tuple[Floats, Floats]:
    """Where the middle of a label is tried, from what it names, and the length of the leader there: (n, 2) and (n,)."""
    turns = np.arange(DIRECTIONS) * 2 * np.pi / DIRECTIONS - np.pi / 2
    directions = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    # So far out in each direction that the label just leaves what it names.
    just = np.minimum(
        wide / 2 / np.maximum(np.abs(directions[:, 0]), 1e-9), high / 2 / np.maximum(np.abs(directions[:, 1]), 1e-9)
    )
    steps = STEP * np.arange(1, STEPS + 1)
    out = (directions * just[:, None])[None] + directions[None] * steps[:, None, None]
    return np.concatenate([[[0.0, 0.0]], out.reshape(-1, 2)]), np.concatenate([[0.0], np.repeat(steps, DIRECTIONS)])


def _costs(middles: Floats, starts: Floats, anchor: Floats, box: Floats, size: tuple[int, int], taken: _Taken) -> Floats:
    """What speaks against each place, in pixels of a longer leader; infinite where the label cannot be."""
    inside = _inside(middles, box, size)
    boxes, lines = spans_of_boxes(middles, box), spans_of_lines(starts, anchor)
    costs = np.where(inside & ~overlaps_any(boxes, [*taken.worked_on, *taken.boxes]), 0.0, np.inf)
    others = [span for at, span in taken.anchors if at is not anchor]
    costs += COVERING * overlaps_any(boxes, others) + CROSSING * (
        overlaps_any(boxes, taken.leaders) | overlaps_any(lines, taken.boxes + taken.leaders)
    )
    return costs
