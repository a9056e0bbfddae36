"""Which readings would make the figures surest if they were taken again."""

from __future__ import annotations

from sketcher.outputs.bands.measured_again import ToldAgain
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, join, tag


def again_section(state: PageState) -> Markup | None:
    """For each figure that is asked about the readings that would narrow its band; None until that is known."""
    if state.sure is None or not state.sure.again:
        return None
    held = "± holds the true figure in 95 of 100 boats measured as well as this one."
    note = f"{held} How her skin runs between the points is not in it."
    return tag(
        "section",
        tag("h2", "Measure again"),
        *(_figure(told) for told in state.sure.again),
        tag("p", note, class_="small"),
        aria_label="Measure again",
    )


def _figure(told: ToldAgain) -> Markup:
    rows = (
        tag("tr", tag("td", reading, tag("small", how)), tag("td", then, class_="number")) for reading, how, then in told.rows
    )
    head = tag("tr", tag("th", told.name, scope="col"), tag("th", told.now, scope="col", class_="number"))
    foot = tag("tr", tag("td", "all of these"), tag("td", told.together, class_="number")) if len(told.rows) > 1 else None
    return tag("table", tag("thead", head), tag("tbody", join(*rows, foot)))
