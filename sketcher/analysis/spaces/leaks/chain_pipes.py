"""Chain pipes as flow paths: open holes from the deck into the locker, unless they are stopped."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.findings import Finding
from sketcher.analysis.results import OUTSIDE, Compartment, FlowPath
from sketcher.analysis.spaces.leaks.flow_paths import flow_path
from sketcher.analysis.spaces.leaks.opening_paths import in_deck
from sketcher.geometry.solid.rays import home_of
from sketcher.model.contents import Chain
from sketcher.model.scene import Opening, Scene

BORE_SIZES = 8.0
"""Least bore of a pipe in sizes of its chain, taken where no bore is stated; source `chain-pipe`."""


def chain_pipes(scene: Scene, spaces: Sequence[Compartment]) -> tuple[list[FlowPath], list[FlowPath], list[Finding]]:
    """Flow paths through chain pipes that are not tight, those that are stopped tight, and pipes that begin beside the deck."""
    paths: list[FlowPath] = []
    closed: list[FlowPath] = []
    findings: list[Finding] = []
    for chain in scene.chains:
        more, wrong = _pipe(chain, spaces)
        (closed if chain.pipe_cover == "tight" else paths).extend(more)
        findings += wrong
    return paths, closed, findings


def _pipe(chain: Chain, spaces: Sequence[Compartment]) -> tuple[list[FlowPath], list[Finding]]:
    """A pipe joins the space that it ends in to the outside at the deck; spaces that it passes through stay shut to it."""
    x, y, _ = chain.pipe if chain.deck is None else chain.deck
    width = BORE_SIZES * chain.size if chain.bore is None else chain.bore
    begins, wrong = in_deck(spaces, Opening(name=f"{chain.name}'s pipe", through="deck", at=(x, y), diameter=width))
    home = home_of(np.array(chain.pipe), [space.mesh for space in spaces])
    if not begins or home < 0:
        return [], wrong
    rim = np.concatenate([each.outline for each in begins])
    area = float(sum(each.area for each in begins))
    return [flow_path(begins[0].name, "conduit", (spaces[home].name, OUTSIDE), "deck", area, rim)], []
