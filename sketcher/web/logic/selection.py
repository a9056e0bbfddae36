"""What is selected, what waits to be placed, and what the pointer rests on."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.scene3d.objects import ObjectKind, ObjectRef
from sketcher.web.logic.scene_objects import exists


@dataclass(eq=False, repr=False)
class Selection:
    """selected: one for all tabs; kind_to_add: of an object whose place is still to be pointed to."""

    selected: ObjectRef | None = None
    kind_to_add: ObjectKind | None = None
    under_pointer: ObjectRef | None = None

    def select(self, ref: ObjectRef | None) -> None:
        """Select this, None: nothing; what waits to be placed is not added after all."""
        self.selected = ref
        self.kind_to_add = None

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
