"""What a space is used for, and how much of it water can take: the default permeability of each use."""

from __future__ import annotations

from dataclasses import dataclass


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
}
"""Uses by name. A space without a name or a use counts as void."""
