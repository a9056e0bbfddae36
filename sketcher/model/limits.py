"""How much a scene may ask for: beyond this no small boat goes, and the work would take longer than anyone waits."""

from __future__ import annotations

from sketcher.model.errors import SketchError

MOST_OBJECTS = {
    "bulkheads": 500,
    "partitions": 500,
    "lids": 500,
    "stringers": 60,
    "berths": 40,
    "openings": 100,
    "compartments": 500,
    "weights": 500,
    "fittings": 200,
    "people": 40,
    "stowage": 40,
    "bottles": 20,
    "chains": 20,
    "foams": 100,
    "tanks": 100,
    "parts": 500,
    "sheets": 60,
    "limits": 60,
    "as_built": 500,
}
"""Objects of each block of a scene's file."""

MOST_BOTTLES = 100_000
"""Bottles in one space, by the room that each takes."""

LONGEST_BUILT = 60.0
"""[m] A hull that boards are worked out for: at true size a longer one fills thousands of pages."""


def refuse_too_many(block: str, count: int, file: str | None = None, line: int | None = None, key: str | None = None) -> None:
    """Raises SketchError where a block of a scene holds more objects than can be worked out while somebody waits."""
    most = MOST_OBJECTS[block]
    if count > most:
        remedy = "Leave out what does not bear on this layout, or part the work into two scenes."
        raise SketchError(f"{count} {block}: at most {most} can be worked out", remedy, file, line, key or block)
