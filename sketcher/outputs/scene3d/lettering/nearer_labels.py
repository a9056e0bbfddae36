"""Labels in rows above and below the boat brought nearer to what they name, as far as her outline and the others let them."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from sketcher.outputs.drawing.label_spreading import LabelBox, SpreadLabel


def nearer(labels: Sequence[SpreadLabel], boat: shapely.Geometry, gap: float) -> list[SpreadLabel]:
    """The labels moved up or down towards their ends until they are `gap` [pixels] from the boat, or from another label.

    boat: her outline in the same pixels. One that would then lie on another's leader stays where it is.
    """
    found = list(labels)
    for number in sorted(range(len(labels)), key=lambda k: abs(labels[k].start[1] - labels[k].end[1])):
        others = [label for k, label in enumerate(found) if k != number]
        moved = _brought_to(found[number], boat, others, gap)
        if _clear(moved, others, gap):
            found[number] = moved
    return found


def _brought_to(label: SpreadLabel, boat: shapely.Geometry, others: Sequence[SpreadLabel], gap: float) -> SpreadLabel:
    """A label as near as boat and other labels let it come straight up or down."""
    box, down = label.box, label.end[1] > label.box.bottom
    edge = box.bottom if down else box.top
    column = shapely.box(box.left - gap, min(edge, label.end[1]), box.right + gap, max(edge, label.end[1]))
    taken = [boat, *(_rectangle(other.box) for other in others)]
    met = [part.bounds for part in (shapely.intersection(column, each) for each in taken) if not part.is_empty]
    if not met:
        return label
    by = min(top for _, top, _, _ in met) - gap - edge if down else max(bottom for _, _, _, bottom in met) + gap - edge
    by = max(by, 0.0) if down else min(by, 0.0)
    return SpreadLabel(
        LabelBox(box.left, box.top + by, box.right, box.bottom + by), (label.start[0], label.start[1] + by), label.end
    )


def _clear(moved: SpreadLabel, others: Sequence[SpreadLabel], gap: float) -> bool:
    """Whether a label lies on no other and on no leader, and its leader on no label."""
    room, leader = _rectangle(moved.box).buffer(gap / 2), shapely.LineString([moved.start, moved.end])
    return not any(
        shapely.intersects(room, _rectangle(other.box))
        or shapely.intersects(room, shapely.LineString([other.start, other.end]))
        or shapely.intersects(leader, _rectangle(other.box))
        or shapely.crosses(leader, shapely.LineString([other.start, other.end]))
        for other in others
    )


def _rectangle(box: LabelBox) -> shapely.Polygon:
    return shapely.box(box.left, box.top, box.right, box.bottom)
