"""What the things that go into the spaces come to."""

from __future__ import annotations

from dataclasses import field

from sketcher.analysis.bottles import BottledSpace
from sketcher.analysis.chain import ChainStow
from sketcher.analysis.foam import FoamFill
from sketcher.analysis.results import Compartment
from sketcher.analysis.sleeping import SleepingPlace
from sketcher.analysis.stowage import Room
from sketcher.analysis.swamped import Swamped
from sketcher.analysis.tanks import TankFill
from sketcher.geometry.frozen import dataclass
from sketcher.model.scene import Weight


@dataclass(frozen=True, eq=False, kw_only=True)
class Contents:
    """What the scene puts into the boat, block by block. weights: their effect on how she floats. spaces: as they were."""

    sleeping: tuple[SleepingPlace, ...]
    rooms: tuple[Room, ...]
    bottles: tuple[BottledSpace, ...]
    chains: tuple[ChainStow, ...]
    foams: tuple[FoamFill, ...]
    tanks: tuple[TankFill, ...]
    swamped: Swamped | None
    weights: tuple[Weight, ...]
    spaces: tuple[Compartment, ...] = field(default=(), repr=False)
