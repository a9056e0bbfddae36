"""What is selected, and what the pointer rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.scene_objects import exists
from sketcher.web.state import MarginTab

Spot = tuple[str, tuple[float, float]]
"""What was clicked on, `picture` or `paper`, and where: in shares of the picture or [mm] of the paper."""
SAME_SPOT = {"picture": 0.01, "paper": 1.5}
"""Clicks this near to each other are at the same spot."""


def _near(one: Spot, other: Spot) -> bool:
    return one[0] == other[0] and max(abs(a - b) for a, b in zip(one[1], other[1], strict=True)) <= SAME_SPOT[one[0]]


@dataclass(eq=False, repr=False)
class Selection:
    """selected: one for all browsers; under_pointer: what the pointer rests on; tab: of the margin, that is in front.

    renamed: what has another name now, by the old one, which a page may still say that has not shown the new one yet.
    """

    selected: ObjectRef | None = None
    under_pointer: ObjectRef | None = None
    tab: MarginTab = "findings"
    renamed: dict[ObjectRef, ObjectRef] = field(default_factory=dict)
    _clicked_at: Spot = ("", (0.0, 0.0))
    _passed: tuple[ObjectRef, ...] = ()

    def select(self, ref: ObjectRef | None) -> None:
        """Select this and show its card, None: nothing."""
        self.selected = ref
        if ref is not None:
            self.tab = "part"

    def clicked(self, ref: ObjectRef, at: Spot, beneath: Sequence[ObjectRef]) -> ObjectRef:
        """What a click means: what lies there, at the same spot again what is under that, and after the last the first again.

        beneath: all that lies there, the uppermost first.
        """
        again = self._passed and self.selected == self._passed[-1] and _near(at, self._clicked_at)
        deeper = [each for each in beneath if each not in self._passed] if again else []
        chosen = deeper[0] if deeper else ref
        self._passed = (*self._passed, chosen) if deeper else (chosen,)
        self._clicked_at = at
        return chosen

    def select_renamed(self, old: ObjectRef, new: ObjectRef) -> None:
        """Select what was given another name, and know it by the old one until something else is called that."""
        self.renamed = {each: new if to == old else to for each, to in self.renamed.items() if each != new} | {old: new}
        self.select(new)

    def meant(self, ref: ObjectRef, evaluation: Evaluation) -> ObjectRef:
        """What a page means by a reference: what now has another name, where nothing has the one it says."""
        return ref if exists(evaluation, ref) else self.renamed.get(ref, ref)

    def drop_missing(self, evaluation: Evaluation) -> None:
        """Let go of what is no longer in the layout."""
        if self.selected is not None and not exists(evaluation, self.selected):
            self.selected = None

    def likely_to_move(self, evaluation: Evaluation) -> ObjectRef | None:
        """What may be dragged next: what the pointer rests on, else what is selected; None where neither is there."""
        ref = self.under_pointer or self.selected
        return ref if ref is not None and exists(evaluation, ref) else None

    @property
    def pointer_over(self) -> str:
        """What the pointer's shape tells: "part" over a compartment, "grip" over what may be dragged, else nothing."""
        if self.under_pointer is None:
            return ""
        return "part" if self.under_pointer.kind == "compartment" else "grip"
