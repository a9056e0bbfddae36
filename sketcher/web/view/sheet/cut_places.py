"""Where the drawings cut the boat: as chosen, else through what is selected, else where most is to be seen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from xml.sax.saxutils import quoteattr

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Compartment
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.ordinates import SIZE
from sketcher.outputs.drawing.views import plan_height, profile_place
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.web.state import CUT_AXES, CUT_KEYS, CUT_NAMES, CutName, Look
from sketcher.web.view.sheet.panes import Pane

Point = tuple[float, float, float]
ASIDE = 0.01
"""[m]: a compartment that reaches this far over the centreline is seen in the profile on it."""
PLAN_FOLLOWS = ("compartment", "lid", "berth", "fitting", "weight")
PAST, ASIDE_WATER, KNOB, HOLD = 2.2, 8.4, 1.3, 2.6
"""[mm]: how far beside its drawing a cut's knob stands, and where the water's height is written, half a knob, and how far from
its middle a hand takes hold of it."""
MARKED: dict[Kind, tuple[CutName, ...]] = {
    "profile": ("section", "plan"),
    "plan": ("section", "profile"),
    "section": ("plan", "profile"),
}
"""Which other cuts are marked in each drawing."""
PROFILE_FOLLOWS = ("compartment", "partition", "fitting", "weight")


def cut_places(evaluation: Evaluation, look: Look, selected: ObjectRef | None) -> dict[Kind, float]:
    """Profile: distance off the centreline; plan: height; section: distance aft [m]."""
    places: dict[Kind, float] = {
        "profile": profile_place(evaluation),
        "plan": plan_height(evaluation),
        "section": _between_bulkheads(evaluation),
    }
    middle = middle_of(evaluation, selected)
    if selected is not None and middle is not None:
        places["section"] = middle[0]
        if selected.kind in PLAN_FOLLOWS:
            places["plan"] = middle[2]
        if selected.kind in PROFILE_FOLLOWS and not _on_centreline(_space(evaluation, selected)):
            places["profile"] = middle[1]
    for name in CUT_NAMES:
        chosen = getattr(look, CUT_KEYS[name])
        places[name] = places[name] if chosen is None else chosen
    return places


def cut_marks(panes: tuple[Pane, ...], places: Mapping[Kind, float], height: float, units: str) -> str:
    """Where each drawing is cut by the others, as SVG on a sheet of a height [mm]: a line, and a knob to drag it by.

    The first knob of each cut can be reached by Tab and moved by arrow keys. Views in line have one knob between them.
    """
    made = []
    first = panes[0]
    for pane in panes:
        for name in MARKED[pane.kind]:
            upright = pane.placing.axes[0] == CUT_AXES[name]
            place = pane.placing.spot(places[name], places[name])[0 if upright else 1]
            low, high = (pane.left, pane.right) if upright else (pane.bottom, pane.top)
            if not low <= place <= high:
                continue
            ends = ((place, pane.bottom), (place, pane.top)) if upright else ((pane.left, place), (pane.right, place))
            path = "M" + "L".join(f"{x:.2f} {height - y:.2f}" for x, y in ends)
            made.append(f'<path class="cut-line" d="{path}"/>')
            in_line = pane is not first and name in MARKED[first.kind] and (upright or pane.bottom == first.bottom)
            if not in_line:
                limits = sorted(pane.placing.boat(end, end)[0 if upright else 1] for end in (low, high))
                made.append(_knob(pane, name, place, height, (*limits, places[name]), units))
    return "".join(made)


def _knob(pane: Pane, name: CutName, place: float, height: float, figures: tuple[float, ...], units: str) -> str:
    """What a cut is dragged by, its name at it. place: along the paper [mm]; figures: its least, greatest and present [m]."""
    upright = pane.placing.axes[0] == CUT_AXES[name]
    if upright:
        x, y = place, pane.top + PAST if pane.kind == "plan" else pane.bottom - PAST
    else:
        x, y = {"profile": pane.right + ASIDE_WATER, "plan": pane.right + PAST, "section": pane.left - PAST}[pane.kind], place
    says = {
        "class": "cut-mark",
        "data-cut": f"{pane.kind}/{name}",
        "data-way": "x" if upright else "y",
        "data-key": f"cut/{pane.kind}/{name}",
        "tabindex": "0",
        "role": "slider",
        "aria-label": f"Place of the {name}",
        "aria-orientation": "horizontal" if upright else "vertical",
        **{f"aria-value{word}": f"{value * 1000:.0f}" for word, value in zip(("min", "max", "now"), figures, strict=True)},
        "aria-valuetext": _place_words(name, figures[2], units),
    }
    marks = " ".join(f"{word}={quoteattr(value)}" for word, value in says.items())
    y = height - y
    diamond = f"M{x - KNOB:.2f} {y:.2f}L{x:.2f} {y - KNOB:.2f}L{x + KNOB:.2f} {y:.2f}L{x:.2f} {y + KNOB:.2f}Z"
    title = f"<title>The {name} is cut here; drag it to cut elsewhere</title>"
    at = f'x="{x + 2.0:.2f}" y="{y + 0.8:.2f}"' if upright else f'x="{x:.2f}" y="{y - 1.9:.2f}" text-anchor="middle"'
    # Beside plan and section the paper ends soon: the profile's knob says what it is when it is pointed at.
    words = "" if name == "profile" else f'<text {at} font-size="{SIZE}">{name}</text>'
    hold = f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{HOLD:g}"/>'
    return f'<g {marks}>{title}{hold}<path d="{diamond}"/>{words}</g>'


def _place_words(name: CutName, at: float, units: str) -> str:
    """Where a drawing is cut, in words."""
    if name == "profile":
        return f"{length_with_unit(abs(at), units)} to {'starboard' if at > 0 else 'port'}" if at else "on the centreline"
    return f"{length_with_unit(at, units)} {'aft' if name == 'section' else 'up'}"


def middle_of(evaluation: Evaluation, selected: ObjectRef | None) -> Point | None:
    """The middle of a selected thing [m]; None for what has no place of its own."""
    if selected is None:
        return None
    space = _space(evaluation, selected)
    if space is not None:
        return space.centroid
    for shape in evaluation.layout.panels:
        if selected == ObjectRef(shape.kind, shape.name):
            return _box_middle(shape.mesh.bounds)
    for room in evaluation.berths:
        if selected == ObjectRef("berth", room.name) and len(room.outline):
            return float(room.outline[:, 0].mean()), 0.0, room.surface
    return _placed(evaluation, selected)


def _placed(evaluation: Evaluation, selected: ObjectRef) -> Point | None:
    scene = evaluation.scene
    if selected.kind == "weight":
        return next((weight.at for weight in scene.weights if weight.name == selected.name), None)
    if selected.kind == "fitting":
        return next((fitting.at for fitting in scene.fittings if fitting.name == selected.name), None)
    return None


def _space(evaluation: Evaluation, selected: ObjectRef) -> Compartment | None:
    spaces = evaluation.layout.compartments
    return next((space for space in spaces if selected == ObjectRef("compartment", space.name)), None)


def _on_centreline(space: Compartment | None) -> bool:
    if space is None:
        return False
    low, high = space.mesh.bounds
    return bool(low[1] < -ASIDE and high[1] > ASIDE)


def _between_bulkheads(evaluation: Evaluation) -> float:
    """Halfway between the two foremost bulkheads, else a third of the boat aft."""
    form = evaluation.layout.hull
    at = sorted(_box_middle(shape.mesh.bounds)[0] for shape in evaluation.layout.panels if shape.kind == "bulkhead")
    return (at[0] + at[1]) / 2 if len(at) > 1 else form.x_forward + (form.x_after - form.x_forward) / 3


def _box_middle(bounds: tuple[Any, Any]) -> Point:
    x, y, z = ((bounds[0] + bounds[1]) / 2).tolist()
    return x, y, z
