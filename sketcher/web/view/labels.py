"""Names and litres beside the compartments in the picture: each near its own, none over another."""

from __future__ import annotations

from collections.abc import Mapping

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.known import KnownSpace, known_spaces
from sketcher.outputs.words import flooded_words, litres
from sketcher.web.state import Label, Look, Part
from sketcher.web.view.camera import Camera

CHARACTER, LINE = 6.6, 13.0
"""Pixels: width of a character and distance of lines of the lettering over the picture."""
CLEAR = 4.0
"""Pixels kept free round a label."""
STEPS = tuple(
    (dx, dy)
    for ring in (0, 1, 2, 3, 4)
    for dx, dy in ((0, -1), (1, 0), (-1, 0), (0, 1), (1, -1), (-1, -1))
    for dx, dy in ((dx * ring, dy * ring),)
)
"""Places tried round what a label names, near ones first, in units of a label's own size."""


def boat_labels(
    evaluation: Evaluation, look: Look, camera: Camera, size: tuple[int, int], water_in: Mapping[str, float | None]
) -> tuple[Label, ...]:
    """Labels for the compartments that are shown, the largest first in its choice of place."""
    spaces = sorted(known_spaces(evaluation), key=lambda known: -known.space.volume)
    taken: list[tuple[float, float, float, float]] = []
    labels = []
    for known in spaces:
        part = Part("compartment", known.name)
        if part in look.hidden:
            continue
        label = _placed(part, _lines(known, water_in), camera, known.space.centroid, size, taken)
        if label is not None:
            labels.append(label)
    return tuple(labels)


def _lines(known: KnownSpace, water_in: Mapping[str, float | None]) -> tuple[str, str]:
    """Its name and its litres, or what water is in it; the tint and the list beside the picture tell the rest."""
    if known.name in water_in:
        return known.name, flooded_words(water_in[known.name])
    return known.name, f"{litres(known.volume)} L" if known.volume is not None else f"over {litres(known.at_least)} L"


def _placed(
    part: Part,
    lines: tuple[str, str],
    camera: Camera,
    centroid: tuple[float, float, float],
    size: tuple[int, int],
    taken: list[tuple[float, float, float, float]],
) -> Label | None:
    """The first free place near the compartment; None where there is none in the picture."""
    import numpy as np

    x, y, _ = camera.project(np.array([centroid]), size)[0]
    width, height = max(len(line) for line in lines) * CHARACTER, len(lines) * LINE
    for dx, dy in STEPS:
        left, top = x + dx * (width * 0.6 + CLEAR) - (width / 2), y + dy * (height + CLEAR) - height / 2
        box = (left - CLEAR, top - CLEAR, left + width + CLEAR, top + height + CLEAR)
        inside = box[0] >= 0 and box[1] >= 40 and box[2] <= size[0] and box[3] <= size[1]
        if inside and not any(_overlap(box, other) for other in taken):
            taken.append(box)
            return Label(part=part, lines=lines, at=(float(left), float(top + LINE * 0.8)), anchor=(float(x), float(y)))
    return None


def _overlap(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
