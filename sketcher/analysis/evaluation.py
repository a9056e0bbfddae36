"""Everything known of a scene."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sketcher.analysis.findings import Finding
from sketcher.analysis.results import BerthRoom, Floating, Layout, WaterPlane, Wet
from sketcher.model.scene import Scene

if TYPE_CHECKING:
    from sketcher.analysis.fit.contents_results import Contents


@dataclass(frozen=True, eq=False, kw_only=True)
class Evaluation:
    """Everything known of a scene. wet: one for each of layout.compartments, in order, or None where no waterline is stated."""

    scene: Scene
    layout: Layout
    water: WaterPlane | None
    floating: Floating
    wet: tuple[Wet | None, ...]
    berths: tuple[BerthRoom, ...]
    findings: tuple[Finding, ...]
    contents: Contents | None = None
