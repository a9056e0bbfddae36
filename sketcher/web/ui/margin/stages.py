"""After which stage of her refit the boat is shown, over the margin's tabs."""

from __future__ import annotations

from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, tag

WHAT = "What comes later is left out of picture, drawings and lists. Changes and the build are of the whole layout."
DRAGGED = "While something is dragged the whole layout is shown."


def stages_section(state: PageState) -> Markup | None:
    """A choice of stages and what is shown; None where there is but one."""
    stages = state.stages
    if not stages:
        return None
    choices = [
        button(
            f"{number}. {word}",
            "stage",
            data_value=number if number < len(stages) else 0,
            aria_pressed=str(number == (state.stage or len(stages))).lower(),
        )
        for number, word in enumerate(stages, 1)
    ]
    return tag(
        "section",
        tag("h2", "Shown after stage"),
        tag("div", *choices, class_="choice", role="group", aria_label="After which stage she is shown"),
        tag("p", _said(state), role="status") if state.stage else None,
        class_="stages",
        aria_label="Stages",
    )


def _said(state: PageState) -> str:
    name = state.stages[state.stage - 1]
    if state.stage_problem:
        return f"She cannot be shown after {name}: {state.stage_problem}. This is the whole layout."
    if state.stage_behind:
        return f"She is being worked out as after {name}…"
    later = f" {state.later} comes later." if state.later else ""
    return f"She is shown as after {name}.{later} {WHAT} {DRAGGED}"
