"""The figures of everything that goes into the spaces."""

from __future__ import annotations

from dataclasses import dataclass, field

from sketcher.analysis.fit.bottles import BottledSpace
from sketcher.analysis.fit.chain import ChainStow
from sketcher.analysis.fit.foam import FoamFill
from sketcher.analysis.fit.lying import LyingPlace
from sketcher.analysis.fit.stowage import Room
from sketcher.analysis.fit.swamped import Swamped
from sketcher.analysis.fit.tanks import TankFill
from sketcher.analysis.results import Compartment
from sketcher.model.scene import Weight


@dataclass(frozen=True, eq=False, kw_only=True)
class Contents:
    """What the scene puts into the boat, block by block. weights: their effect on how she floats. spaces: as they were."""

    lying: tuple[LyingPlace, ...]
    rooms: tuple[Room, ...]
    bottles: tuple[BottledSpace, ...]
    chains: tuple[ChainStow, ...]
    foams: tuple[FoamFill, ...]
    tanks: tuple[TankFill, ...]
    swamped: Swamped | None
    weights: tuple[Weight, ...]
    spaces: tuple[Compartment, ...] = field(default=(), repr=False)
