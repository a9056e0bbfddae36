"""What the owner says must hold, and whether it does."""

from __future__ import annotations

from sketcher.analysis.limits.results import JudgedLimit
from sketcher.outputs.tables.report import limit_cells
from sketcher.outputs.tables.sure.certainty import Certainty
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, tag


def limits_section(state: PageState) -> Markup | None:
    """A row for each limit of the scene; None where it states none."""
    limits = state.evaluation.limits
    if not limits:
        return None
    rows = [_row(limit, state.evaluation.scene.units, state.certainty) for limit in limits]
    return tag("section", tag("h2", "Limits"), tag("table", tag("tbody", *rows)), aria_label="Limits")


def _row(limit: JudgedLimit, units: str, sure: Certainty | None) -> Markup:
    figure, must, value, verdict = limit_cells(limit, units, sure)
    name = limit.stated.name
    return tag(
        "tr",
        tag("td", name, tag("small", f"{figure}, {must}")),
        tag(
            "td", value, tag("small", verdict, class_=None if limit.met else "sign"), class_="number", data_figure=f"limit/{name}"
        ),
        data_key=f"limit/{name}",
    )
