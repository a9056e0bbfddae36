"""A board worked out by hand, and what may be wrong with sheets that boards are laid on.

The board: 400 mm wide below, 600 above, 300 high, with a hole of 100 by 80 mm; its right edge is bevelled.

Area of the drawn face: (0.4 + 0.6) / 2 x 0.3 - 0.1 x 0.08 = 0.142 m2. Its diagonals from corner to corner are 583.1 mm.
"""

import shapely

from sketcher.analysis.cut.results import Bevel, Cutout, Diagonal, Mark, Pattern
from sketcher.analysis.findings import Phrase
from sketcher.geometry.packing.nesting import Nesting
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import NEST_SLACK

AREA = 0.142

OUTLINE = shapely.Polygon([(-0.2, 0.0), (0.2, 0.0), (0.3, 0.3), (-0.3, 0.3)])
HOLE = shapely.box(-0.05, 0.1, 0.05, 0.18)


def board(name: str = "collision", hand: str = "") -> Pattern:
    """The board as a bulkhead 12 mm thick, seen from ahead of her."""
    drawn = OUTLINE.difference(HOLE)
    other = shapely.Polygon([(-0.2, 0.0), (0.19, 0.0), (0.29, 0.3), (-0.3, 0.3)]).difference(HOLE)
    diagonal = (0.5**2 + 0.3**2) ** 0.5
    return Pattern(
        name=name,
        panel=name,
        kind="bulkhead",
        thickness=0.012,
        frame=Frame((1.0, 0.0, 0.2), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        drawn_face="after",
        other_face="forward",
        outline=drawn,
        other_outline=other,
        blank=drawn,
        up=Phrase("top-is-up"),
        forward=Phrase("drawn-face-looks", {"looks": "aft", "right": "starboard"}),
        area=drawn.area,
        mass=0.8,
        material="okoume",
        hand=hand,
        marks=(
            Mark(
                kind="centreline",
                line=shapely.get_coordinates(shapely.LineString([(0, 0), (0, 0.3)])),
                says=Phrase("centreline-mark"),
            ),
            Mark(
                kind="touches",
                line=shapely.get_coordinates(shapely.box(-0.2, 0.2, 0.2, 0.209)),
                says=Phrase("landing-mark", {"panel": "tank top", "face": None}),
                panel="tank top",
            ),
        ),
        bevels=tuple(Bevel(at=(0.2 + k / 30, k / 10), along=k / 10, angle=45.0, against="hull", edge="hull") for k in range(4)),
        cutouts=(Cutout(name="port", kind="opening", outline=HOLE, radius=0.0),),
        diagonals=(
            Diagonal(name="AC", start=(-0.2, 0.0), end=(0.3, 0.3), length=diagonal),
            Diagonal(name="BD", start=(0.2, 0.0), end=(-0.3, 0.3), length=diagonal),
        ),
        corners=(("A", (-0.2, 0.0)), ("B", (0.2, 0.0)), ("C", (0.3, 0.3)), ("D", (-0.3, 0.3))),
        grain=(1.0, 0.0),
        touches=("tank top",),
    )


def overlap(nesting: Nesting, kerf: float, margin: float) -> float:
    """By how much [m] shapes come nearer to each other than the kerf, or to a sheet's edge than the margin; 0 where none does."""
    worst = 0.0
    for number, stock in enumerate(nesting.sheets):
        there = [placed.outline for placed in nesting.placed if placed.sheet == number]
        for i, one in enumerate(there):
            west, south, east, north = one.bounds
            edge = min(west, south, stock.size[0] - east, stock.size[1] - north)
            worst = max(worst, margin - edge)
            for other in there[:i]:
                common = shapely.intersection(one, other)
                # An overlap is about as wide as its area over half its edge.
                width = 2 * common.area / common.length if common.area > 0 else 0.0
                worst = max(worst, width, kerf - one.distance(other))
    return float(worst) if worst > 3 * NEST_SLACK else 0.0
