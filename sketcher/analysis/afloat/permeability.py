"""What a space is used for, and how much of it water can take: the default permeability of each use."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.results import Layout
from sketcher.geometry.solid.rays import holds


@dataclass(frozen=True, slots=True)
class Use:
    """permeability [1]: the share of the space that water can fill; source: an id in `analysis.sources`."""

    permeability: float
    source: str


USES: dict[str, Use] = {
    "void": Use(0.95, "permeability"),
    "accommodation": Use(0.95, "permeability"),
    "machinery": Use(0.85, "permeability"),
    "stowage": Use(0.60, "permeability"),
    "chain": Use(0.60, "permeability"),
    "tank": Use(0.95, "permeability-tank"),
    "foam": Use(0.14, "permeability-foam"),
    "bottles": Use(0.55, "permeability-bottles"),
    "gas": Use(0.95, "permeability"),
    "battery": Use(0.95, "permeability"),
}
"""Uses by name. A space without a name or a use counts as void, and so does what gas bottles and batteries leave."""

STEEL = 7850.0
"""[kg/m3] chain"""


def emptiest(stated: float, blocked: float) -> float:
    """The permeability of a space in the emptiest state that she sails in: as a void, less what is really placed in it.

    stated: by the file or the use, that is by a name, or for stores that may be out; blocked: the share that bottles, foam and
    chain keep from the water. Never less than stated.

    >>> emptiest(0.60, 0.0), emptiest(0.60, 0.4), emptiest(1.0, 0.0)
    (0.95, 0.6, 1.0)
    """
    return max(stated, USES["void"].permeability - blocked)


def emptiest_shares(layout: Layout) -> dict[str, float]:
    """The permeability of each space with as little in it as she may sail with.

    In a chain locker without a placed chain the weights that always count and lie in it are taken for the chain.
    """
    shares = {}
    for space in layout.compartments:
        blocked = space.blocked
        if space.use == "chain" and not blocked:
            always = [weight for weight in layout.scene.weights if weight.kg > 0 and weight.condition is None]
            blocked = sum(each.kg for each in always if holds(space.mesh, np.array(each.at))) / STEEL / space.volume
        shares[space.name] = emptiest(space.permeability, blocked)
    return shares
