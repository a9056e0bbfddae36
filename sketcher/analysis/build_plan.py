"""Everything that is carried to the boat for one layout, worked out once: boards, sheets, stringers, bonding, order, tests."""

from __future__ import annotations

from sketcher.analysis.berth_boards import berth_board_findings, berth_patterns, boards_of_berths
from sketcher.analysis.bonding import bonding_list
from sketcher.analysis.cutting_parts import in_parts
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.joints import joint_findings
from sketcher.analysis.leak_tests import leak_tests
from sketcher.analysis.order import work_steps
from sketcher.analysis.panel_patterns import panel_patterns
from sketcher.analysis.passing import passage, passing_findings
from sketcher.analysis.patterns import BondingList, Joint, LeakTest, Passage, Pattern, Purchase, StringerPattern, WorkStep
from sketcher.analysis.plating import plating_findings, plating_patterns, strakes
from sketcher.analysis.sheet_layouts import SheetLayout, Watch, sheet_layouts, sheets_to_buy
from sketcher.analysis.stringers import stringer_patterns
from sketcher.geometry.frozen import dataclass


@dataclass(frozen=True, eq=False, kw_only=True)
class BuildPlan:
    """patterns: every board to cut; panels too large for the way below or a sheet in parts. bonding: None where none is planned.

    findings: what was noticed of the boards, beside what the evaluation notices.
    """

    evaluation: Evaluation
    patterns: tuple[Pattern, ...]
    sheets: tuple[SheetLayout, ...]
    stringers: tuple[StringerPattern, ...] = ()
    joints: tuple[Joint, ...] = ()
    passages: tuple[Passage, ...] = ()
    bonding: BondingList | None = None
    steps: tuple[WorkStep, ...] = ()
    leak_tests: tuple[LeakTest, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def purchases(self) -> tuple[Purchase, ...]:
        """The one shopping list: sheets, then what bonds them."""
        return (*sheets_to_buy(self.sheets), *(self.bonding.purchases if self.bonding is not None else ()))


def build_plan(evaluation: Evaluation, watch: Watch | None = None) -> BuildPlan:
    """The plan of a layout. watch: told how many boards were laid on sheets so far; False keeps the best laying so far."""
    scene = evaluation.scene
    layout, water = evaluation.layout, evaluation.water
    lids = boards_of_berths(layout)
    wholes = (*panel_patterns(layout, water), *berth_patterns(layout, water, lids))
    plating = strakes(layout.hull) if scene.cutting.plating else ()
    outer = plating_patterns(scene, plating)
    stands = [(*layout.panels, *(lid for berth, lid in lids.items() if berth != whole.panel)) for whole in wholes]
    divided = [in_parts(scene, whole, shapes) for whole, shapes in zip(wholes, stands, strict=True)]
    divided += [in_parts(scene, strake) for strake in outer]
    patterns = tuple(part for parts, _ in divided for part in parts)
    joints = tuple(joint for _, cut in divided for joint in cut)
    outside = {strake.panel for strake in outer}
    passages = tuple(passage(scene, pattern) for pattern in patterns if pattern.panel not in outside)
    layouts, of_sheets = sheet_layouts(scene, patterns, watch)
    stringers = stringer_patterns(evaluation.layout)
    tests = leak_tests(evaluation.layout) if patterns else ()
    return BuildPlan(
        evaluation=evaluation,
        patterns=patterns,
        sheets=layouts,
        stringers=stringers,
        joints=joints,
        passages=passages,
        bonding=bonding_list(evaluation.layout, patterns, stringers),
        steps=work_steps(evaluation, patterns, passages, stringers, tests),
        leak_tests=tests,
        findings=(
            *of_sheets,
            *passing_findings(scene, passages, joints),
            *joint_findings(scene, wholes),
            *berth_board_findings(layout),
            *plating_findings(plating),
        ),
    )
