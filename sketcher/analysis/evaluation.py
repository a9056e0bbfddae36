"""The evaluation: everything known of a scene."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sketcher.analysis.findings import Finding
from sketcher.analysis.results import BerthFigures, Floating, Immersion, Layout, WaterPlane
from sketcher.model.scene import Scene

if TYPE_CHECKING:
    from sketcher.analysis.fit.contents_results import Contents
    from sketcher.analysis.fit.lying import LyingPlace
    from sketcher.analysis.limits.results import JudgedLimit


@dataclass(frozen=True, eq=False, kw_only=True)
class Evaluation:
    """Everything known of a scene. immersion: one for each of layout.compartments, in order, or None without a waterline.

    lying_as_stated: who lies on berths that nobody is named for.
    """

    scene: Scene
    layout: Layout
    water: WaterPlane | None
    floating: Floating
    immersion: Sequence[Immersion | None]
    berths: tuple[BerthFigures, ...]
    findings: tuple[Finding, ...]
    contents: Contents | None = None
    lying_as_stated: tuple[LyingPlace, ...] = ()
    limits: tuple[JudgedLimit, ...] = ()
