"""The one sentence at the foot of the page: what was done, or what was refused and why."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.model.errors import SketchError
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.wording.sentences import capitalized
from sketcher.web.state import Notice

_FAILED = Notice(
    text="The sketcher failed at this; nothing was changed.", remedy="Where it was started it says more.", refused=True
)


@dataclass(eq=False, repr=False)
class Notices:
    """shown: the newest notice, until it is dismissed or something else is done."""

    shown: Notice | None = None

    def tell(self, text: str) -> None:
        """Say what was done."""
        self.shown = Notice(text=text)

    def warn(self, text: str, remedy: str = "") -> None:
        """Say what could not be done."""
        self.shown = Notice(text=text, remedy=remedy, refused=True)

    def refuse(self, problem: SketchError) -> None:
        """Say why something could not be done, in the error's words."""
        self.warn(capitalized(problem.message), problem.remedy)

    def beside(self, ref: ObjectRef, key: str) -> None:
        """What was refused stands beside the field of an object that it was typed in."""
        if self.shown is not None and self.shown.refused:
            self.shown = replace(self.shown, field=(ref, key))

    def fail(self) -> None:
        """Say that the program itself failed; the log says more."""
        self.shown = _FAILED

    def dismiss(self) -> None:
        """Take the notice away."""
        self.shown = None
