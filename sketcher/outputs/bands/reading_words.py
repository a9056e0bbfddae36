"""What a reading is called by who takes it."""

from __future__ import annotations

from sketcher.analysis.bands.readings import TapeReading
from sketcher.model.measurement_checks import station_name
from sketcher.model.scene import Scene


def reading_words(reading: TapeReading, scene: Scene) -> str:
    """The place where it is read, as the files name it: `station 8 at 2900 mm, point 4`."""
    hull = scene.hull
    match reading.what:
        case "half-breadth" | "height":
            return f"{station_name(hull, reading.number + 1)}, point {reading.point + 1}"
        case "station":
            return f"{station_name(hull, reading.number + 1)}, its distance aft"
        case "stem" | "stern":
            return f"the {reading.what}, point {reading.number + 1}"
        case "camber":
            return "the deck's camber"
        case "coachroof":
            return "the coachroof's height"
        case "sole":
            return "the cockpit's sole"
        case "waterline":
            freeboard = scene.waterline is not None and scene.waterline.bow_freeboard is not None
            return f"the {'freeboard' if freeboard else 'waterline'} {'at the bow' if reading.number == 0 else 'at the stern'}"
        case "gravity":
            return "the centre of gravity's height"
        case "weight":
            return f"the weight of {scene.weights[reading.number].name}"


def again_words(reading: TapeReading, length: str) -> str:
    """How it is taken again; length: what a tape then errs by, in the reader's unit."""
    match reading.what:
        case "gravity":
            return "inclined"
        case "weight":
            return "weighed"
        case _:
            return f"to {length}"
