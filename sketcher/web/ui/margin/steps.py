"""The first steps in a new scene, over the margin's tabs."""

from __future__ import annotations

from sketcher.web.state import FirstStep, PageState
from sketcher.web.ui.html import Markup, button, tag


def steps_section(state: PageState) -> Markup | None:
    """What to do first, in this order, as buttons that begin it; what is done has a tick. None once all is."""
    if not state.steps:
        return None
    done = sum(step.done for step in state.steps)
    head = tag(
        "h2",
        f"First steps: {done} of {len(state.steps)} done",
        button("Put away", "put_steps_away", title="Put this list away"),
    )
    return tag("section", head, tag("ol", *(_step(step) for step in state.steps)), class_="steps", aria_label="First steps")


def _step(step: FirstStep) -> Markup:
    if step.done:
        return tag("li", tag("span", step.words), tag("span", " (done)", class_="unseen"), class_="done")
    begins = {"data_part": step.part.key if step.part else None, "data_value": step.value or None}
    return tag("li", button(step.words, step.do, **begins))
