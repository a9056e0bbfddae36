"""A boat begun from nothing: her hull's file from principal dimensions, and a scene in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from sketcher.analysis.ready.typical_forms import GUESSED, first_guess
from sketcher.model.edits.typed_input import typed_length
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import write_hull
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.scene_file import new_scene_text
from sketcher.model.units import format_length

BOAT_FIELDS = ("name", "form", "units", "length", "beam", "depth", "bow_freeboard", "stern_freeboard", "spacing")
"""What is asked of a boat that is begun, in order."""


def begin_boat(typed: Sequence[str], new_file: Callable[[str], Path]) -> Path:
    """Write a hull and a scene in it, and give the scene's path. typed: a text for each of BOAT_FIELDS, lengths in the unit.

    new_file: the path for a file's name. Raises SketchError where a dimension is missing or cannot be, or a file is there.
    """
    said = dict(zip(BOAT_FIELDS, (text.strip() for text in typed), strict=True))
    name, units = said["name"] or "My boat", said["units"]

    def length(key: str) -> float:
        if not said[key]:
            raise SketchError(f"her {key.replace('_', ' ')} is missing", f"Write it in {units}, or with its unit.", key=key)
        return typed_length(said[key], units)

    freeboards = None
    if said["bow_freeboard"] or said["stern_freeboard"]:
        freeboards = (length("bow_freeboard"), length("stern_freeboard"))
    spacing = length("spacing") if said["spacing"] else None
    dimensions = (length("length"), length("beam"), length("depth"))
    hull = first_guess(name, said["form"], units, dimensions, freeboards, spacing)
    stem = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "my-boat"
    hull_path, scene_path = new_file(f"{stem}-hull.yaml"), new_file(f"{stem}.yaml")
    for path in (hull_path, scene_path):
        if path.exists():
            raise SketchError(f"there is a file {path.name} already", "Give her another name.", key="name")
    write_hull(hull, hull_path, GUESSED)
    text = new_scene_text(f"{name}, first layout", hull_path.name, units)
    if freeboards is not None:
        bow, stern = (format_length(freeboard, units) for freeboard in freeboards)
        text += f"waterline: {{bow_freeboard: {bow}, stern_freeboard: {stern}}}\n"
    replace_file(scene_path, text.encode())
    return scene_path
