"""Rows of places as the page would then show them: names stay with their spaces, also where the part passes their points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sketcher.analysis.evaluate import hull_form
from sketcher.analysis.places.place_rows import row_at, started
from sketcher.analysis.places.rows import PlaceRow, Question
from sketcher.analysis.spaces.drag.name_tracking import names_following
from sketcher.analysis.spaces.layout import spaces_alone
from sketcher.model.edits.number_range import at_places
from sketcher.model.lookup import with_item


def followed_rows(question: Question, places: Sequence[tuple[float, ...]]) -> list[PlaceRow]:
    """The rows of a few places: what a process is handed."""
    return [_followed(question, row_at(question, place)) for place in places]


def _followed(question: Question, row: PlaceRow) -> PlaceRow:
    """The row again with the points of names moved to their spaces, where it lost any."""
    names = [space.name for space in question.scene.compartments]
    if row.error is not None or all(row.figures.get(f"compartments.{name}.volume_m3") is not None for name in names):
        return row
    scene = at_places(question.scene, question.ranges, row.values)
    moved = names_following(started(question.scene), spaces_alone(scene, hull_form(scene.hull)))
    if not moved:
        return row
    for space in moved:
        scene = with_item(scene, "compartments", space.name, space)
    return row_at(replace(question, scene=scene), row.values)
