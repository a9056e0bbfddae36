"""Handles as they are seen in the picture and in the drawings, clear of each other, and their markup in either."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import hypot
from xml.sax.saxutils import quoteattr

import numpy as np

from sketcher.outputs.scene3d.camera import LEAST_FORESHORTENING, Camera
from sketcher.web.state import WHOLE, Handle, HandlePlace
from sketcher.web.view.sheet.panes import Pane

HOLD = 13.0
"""Pixels from the middle of a handle within which it is taken hold of: as WCAG 2.5.8 asks, more than 24 across."""
APART = 2 * HOLD
"""Pixels between the middles of two handles: nearer ones could not be told apart."""
ARROW = 0.25
"""Length of the arrow along which one moves [m]."""
RING, SQUARE, TIP, HEAD = 6.0, 4.5, 20.0, 8.0
"""Pixels: the ring of the whole, half the square of an end or a side, from the middle to an arrow's tip, and its head."""
STEP = 6.0
"""Pixels by which a handle is moved aside until it is clear."""

Pair = tuple[float, float]


def in_picture(places: Iterable[HandlePlace], camera: Camera, size: tuple[int, int]) -> tuple[Handle, ...]:
    """Handles in the picture [pixels], also of what something stands before; none out of it."""
    found = []
    for place in places:
        (x, y, _), (u, v, _) = camera.project(np.stack([place.at, place.at + ARROW * place.along]), size).tolist()
        seen = hypot(u - x, v - y) >= LEAST_FORESHORTENING * ARROW * size[1] / camera.height
        if HOLD < x < size[0] - HOLD and HOLD < y < size[1] - HOLD:
            found.append(_told(place, (x, y), (u - x, v - y) if seen else (0.0, 0.0)))
    return tuple(found)


def in_pane(places: Iterable[HandlePlace], pane: Pane, height: float) -> tuple[Handle, ...]:
    """Handles in a drawing [mm, y down] on a sheet of a height: those that it shows to move."""
    axes = ["xyz".index(axis) for axis in pane.placing.axes]
    found = []
    for place in places:
        if not set(place.within) <= set(pane.placing.axes):
            continue
        ends = (place.at[axes], (place.at + ARROW * place.along)[axes])
        (x, y), (u, v) = (pane.placing.spot(*end.tolist()) for end in ends)
        if pane.left <= x <= pane.right and pane.bottom <= y <= pane.top:
            found.append(_told(place, (x, height - y), (u - x, y - v)))
    return tuple(found)


def _told(place: HandlePlace, at: Pair, arrow: Pair) -> Handle:
    return Handle(at=at, arrow=arrow, key=place.key, word=place.word, value=place.value, figure=place.figure)


def apart(handles: Sequence[Handle], unit: float) -> tuple[Handle, ...]:
    """Handles each clear of those before it: one that is not is shown further along its arrow. unit: of a pixel."""
    clear: list[Handle] = []
    for handle in handles:
        (x, y), (dx, dy) = handle.at, _unit_arrow(handle, (0.0, -1.0))
        steps = ((x + k * STEP * unit * dx, y + k * STEP * unit * dy) for k in range(len(handles) * int(APART / STEP + 1) + 1))
        spot = next(at for at in steps if all(_far(at, other, unit) for other in clear))
        clear.append(handle if spot == handle.at else replace(handle, beside=spot))
    return tuple(clear)


def _far(at: Pair, other: Handle, unit: float) -> bool:
    x, y = other.beside or other.at
    return hypot(at[0] - x, at[1] - y) >= APART * unit


def _unit_arrow(handle: Handle, otherwise: Pair) -> Pair:
    dx, dy = handle.arrow
    length = hypot(dx, dy)
    return (dx / length, dy / length) if length > 1e-6 else otherwise


def handle_marks(handles: Iterable[Handle], unit: float = 1.0, pane: str = "") -> str:
    """Handles as SVG, each to be reached by Tab and moved by arrow keys. unit: of a pixel; pane: the drawing they are in."""
    return "".join(_mark(handle, unit, pane) for handle in handles)


def _mark(handle: Handle, unit: float, pane: str) -> str:
    x, y = handle.beside or handle.at
    says = {
        "class": "grip",
        "data-grip": handle.key,
        "data-pane": pane,
        "data-way": _way(handle),
        "data-key": f"grip/{pane}/{handle.key}",
        "tabindex": "0",
        "role": "spinbutton",
        "aria-label": handle.word,
        "aria-valuenow": f"{handle.figure:.1f}",
        "aria-valuetext": handle.value,
    }
    marks = " ".join(f"{word}={quoteattr(value)}" for word, value in says.items())
    title = f"<title>{_text(handle.word)}, {_text(handle.value)}</title>"
    hold = f'<circle class="hold" cx="{x:.2f}" cy="{y:.2f}" r="{HOLD * unit:.2f}"/>'
    return f"<g {marks}>{title}{hold}{_leader(handle)}{_arrows(handle, x, y, unit)}{_shape(handle.key, x, y, unit)}</g>"


def _text(words: str) -> str:
    return words.replace("&", "&amp;").replace("<", "&lt;")


def _leader(handle: Handle) -> str:
    """From where a handle belongs to where it is shown."""
    if handle.beside is None:
        return ""
    (x, y), (u, v) = handle.at, handle.beside
    return f'<path class="from" d="M{x:.2f} {y:.2f}L{u:.2f} {v:.2f}"/>'


def _arrows(handle: Handle, x: float, y: float, unit: float) -> str:
    """An arrow's head each way it moves."""
    dx, dy = _unit_arrow(handle, (0.0, 0.0))
    if not (dx or dy):
        return ""
    made = []
    for sign in (unit, -unit):
        tip, base = ((x + sign * length * dx, y + sign * length * dy) for length in (TIP, TIP - HEAD))
        side = (-dy * HEAD * 0.55 * unit, dx * HEAD * 0.55 * unit)
        corners = (tip, (base[0] + side[0], base[1] + side[1]), (base[0] - side[0], base[1] - side[1]))
        made.append("M" + "L".join(f"{u:.2f} {v:.2f}" for u, v in corners) + "Z")
    return f'<path class="arrows" d="{"".join(made)}"/>'


def _shape(key: str, x: float, y: float, unit: float) -> str:
    """A ring for the whole, a square for an end or a side."""
    if key == WHOLE:
        return f'<circle class="spot" cx="{x:.2f}" cy="{y:.2f}" r="{RING * unit:.2f}"/>'
    half = SQUARE * unit
    return f'<rect class="spot" x="{x - half:.2f}" y="{y - half:.2f}" width="{2 * half:.2f}" height="{2 * half:.2f}"/>'


def _way(handle: Handle) -> str:
    """The pointer's shape over it: along x or y of the page, falling or rising between them, or any way."""
    dx, dy = _unit_arrow(handle, (0.0, 0.0))
    if not (dx or dy):
        return "any"
    if abs(dx) > 2.4 * abs(dy):
        return "x"
    if abs(dy) > 2.4 * abs(dx):
        return "y"
    return "falling" if dx * dy > 0 else "rising"
