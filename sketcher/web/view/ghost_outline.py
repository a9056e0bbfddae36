"""What waits to be placed, as SVG over the picture and the drawings: it is seen through, so that the boat behind it is."""

from __future__ import annotations

from collections.abc import Callable

from sketcher.geometry.mesh import Floats
from sketcher.web.state import Ghost


def ghost_svg(ghost: Ghost, flat: Callable[[Floats], Floats]) -> str:
    """The outline by a function from points (k, 3) [m] to places (k, 2) in the SVG."""
    faces = [("ghost face", "".join(_path(flat(ring), "Z") for ring in rings)) for rings in ghost.faces]
    lines = [("ghost", "".join(_path(flat(line), "") for line in ghost.lines))] if ghost.lines else []
    return "".join(f'<path class="{kind}" d="{drawn}"/>' for kind, drawn in (*faces, *lines))


def _path(places: Floats, end: str) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in places.tolist()) + end
