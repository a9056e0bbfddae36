"""The strip under the drawings: what becomes of figures along the range of the selected part's number."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.outputs.drawing.recording import LineStyle
from sketcher.web.curves_state import CurvesState, RangeFigure
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

HINT = (
    "Select a bulkhead, partition, lid, berth, opening, weight or the waterline: here stands what becomes of her figures "
    "wherever it goes."
)
PER_MM = 5.0
"""Pixels of a swatch to a millimetre of a curve's stroke."""


def curves_part(state: PageState) -> Markup | None:
    """The whole strip; None before anything was selected that has a range."""
    curves = state.curves
    if not curves.there:
        return None
    return join(_head(curves), _figures(curves) if curves.opened else None)


def _head(curves: CurvesState) -> Markup:
    """Which number of which part, where it stands, and how far the curves are."""
    word = "Fold the curves away" if curves.opened else "Show the curves"
    fold = button(
        join(tag("span", "▾" if curves.opened else "▸", aria_hidden="true"), " Along its range"),
        "fold_curves",
        aria_expanded=str(curves.opened).lower(),
        aria_controls="curves",
        title=word,
        class_="fold",
    )
    if not curves.opened or curves.part is None:
        return tag("div", fold, class_="head")
    what = tag("strong", curves.moved), _numbers(curves), _place(curves)
    return tag("div", fold, *what, _progress(curves), *_best(curves), class_="head")


def _numbers(curves: CurvesState) -> Markup:
    """Which of the part's numbers is moved; a word where it has but one."""
    if len(curves.numbers) == 1:
        return tag("span", curves.numbers[0])
    options = [tag("option", word, value=number, selected=number == curves.chosen) for number, word in enumerate(curves.numbers)]
    return tag("select", *options, data_do="along", aria_label="Which number is moved")


def _place(curves: CurvesState) -> Markup:
    """Where it stands: moved by the arrow keys from here."""
    return tag(
        "span",
        curves.place,
        role="slider",
        tabindex=0,
        data_key="along/place",
        aria_label=f"{curves.numbers[curves.chosen]} of {curves.moved}",
        aria_valuemin=0,
        aria_valuemax=100,
        aria_valuenow=round(100 * (curves.share or 0.0)),
        aria_valuetext=curves.place,
        title=f"From {curves.low} to {curves.high}: a click in the curves puts it there, arrow keys move it from here",
        class_="place",
    )


def _best(curves: CurvesState) -> list[Markup]:
    """What there is to be most or least of, and the button that looks for the place; while it looks, how far it is."""
    if curves.looking:
        said = f"{curves.looking}: {curves.tried} places tried"
        return [tag("span", said, class_="unit", role="status"), button("Leave it", "leave_best", class_="plain")]
    if not curves.goals:
        return []
    options = [tag("option", words, value=words, selected=words == curves.goals[0]) for words in sorted(curves.goals)]
    goal = tag("select", *options, data_do="goal", aria_label="What there is to be most or least of")
    title = "Look for the place that keeps to every limit and has this, and put it there: one step, that can be undone"
    return [goal, button("Put at the best place", "best_along", class_="plain", title=title)]


def _progress(curves: CurvesState) -> Markup | None:
    if curves.problem:
        return tag("span", curves.problem, class_="sign", role="status")
    if curves.done == curves.most or curves.looking:
        return None
    return tag("span", f"{curves.done} of {curves.most} places worked out", class_="unit")


def _figures(curves: CurvesState) -> Markup:
    if curves.part is None:
        return tag("p", HINT)
    fields = tag(
        "div",
        *(_figure(curves, figure, number) for number, figure in enumerate(curves.figures)),
        class_="fields",
        data_left=f"{curves.left:.4f}",
        data_right=f"{curves.right:.4f}",
    )
    answer, forbidden = _lines(curves.answer), _lines([*(words for _, _, words in curves.forbidden), *curves.windows])
    nothing = None
    if not curves.figures and curves.done == curves.most:
        nothing = tag("p", "No figure that is followed here depends on it.")
    return join(answer, fields, nothing, forbidden)


def _lines(lines: Sequence[str]) -> Markup | None:
    return tag("ul", *(tag("li", line) for line in lines)) if lines else None


def _figure(curves: CurvesState, figure: RangeFigure, number: int) -> Markup:
    """A field with its title and what each curve is of; over it the cursor, and what stands against places, where one points."""
    names = [tag("span", _stroke(stroke), name) for stroke, name in figure.curves]
    boxes = [
        tag("rect", tag("title", words), x=f"{100 * start:.2f}", width=f"{100 * (end - start):.2f}", height=100)
        for start, end, words in curves.forbidden
    ]
    against = tag("svg", *boxes, viewBox="0 0 100 100", preserveAspectRatio="none", class_="against", aria_hidden="true")
    return tag(
        "figure",
        tag("figcaption", tag("b", figure.title), *names),
        tag("div", Markup(figure.drawing), against, tag("i", class_="here"), class_="field"),
        data_key=f"field/{number}",
    )


def _stroke(stroke: LineStyle) -> Markup:
    dashes = " ".join(f"{dash * PER_MM:g}" for dash in stroke.dashes) or None
    line = tag(
        "path", d="M0 5H22", fill="none", stroke=stroke.colour, stroke_width=stroke.width * PER_MM, stroke_dasharray=dashes
    )
    return tag("svg", line, viewBox="0 0 22 10", aria_hidden="true")
