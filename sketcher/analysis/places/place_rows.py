"""The figures of a scene at one place, with no more worked out than they need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.afloat.floating import floating
from sketcher.analysis.afloat.immersion import immersion
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.evaluate import evaluate, hull_form
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.fit.lying_findings import with_stated_people
from sketcher.analysis.flooding.cases import check_holed_names
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.limits.figures import case_of, place_along
from sketcher.analysis.limits.judging import judged_limit
from sketcher.analysis.loading.weights import with_changes
from sketcher.analysis.places.rows import FigureValue, LimitRow, PlaceRow, Question
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag.name_tracking import spaces_left
from sketcher.analysis.spaces.layout import lay_out, spaces_alone
from sketcher.analysis.spaces.standing_findings import collision_findings
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import GeometryError
from sketcher.model.edits.number_range import STATED_WATER, at_places
from sketcher.model.errors import SketchError, nearest
from sketcher.model.scene import Scene
from sketcher.model.stated_limits import StatedLimit

Figures = Iterator[tuple[str, FigureValue]]

WITH_CONTENTS = ("chain kg", "bottles kg", "stature", "sheets")
"""Figures that need to know what is in the spaces or who lies where."""
WITH_PATHS = ("openings", "stringers", STATED_WATER)
"""What of a scene moves over the water, or is moved by it, that water goes through."""
NO_BOAT = ("panel-outside-hull", "panel-nothing-left")
"""Codes of findings that nothing is left of a panel, so that this is another boat."""


def check_question(question: Question) -> None:
    """Raises SketchError, with the nearest right name, where what is holed or read is not in the scene as it is."""
    layout = started(question.scene)
    for names in (*question.holed, *(limit.when_holed for limit in question.more if limit.when_holed)):
        check_holed_names(layout, names)
    for limit in question.more:
        known = [item.name for block in limit.about.of for item in getattr(question.scene, block)]
        known += [space.name for space in layout.compartments] if "compartments" in limit.about.of else []
        if limit.of is not None and limit.of not in known:
            near = nearest(limit.of, known)
            remedy = f"Did you mean {near!r}?" if near else f"There are: {', '.join(dict.fromkeys(known))}."
            raise SketchError(f"{limit.figure}: nothing of that kind is called {limit.of!r}", remedy, question.scene.file)


def row_at(question: Question, values: tuple[float, ...]) -> PlaceRow:
    """One place of a question; an impossible one says why."""
    try:
        scene = at_places(question.scene, question.ranges, values)
        boat = enough_of(scene, question)
        lost = next((found for found in boat.layout.findings if found.code in NO_BOAT), None)
        return PlaceRow(values, error=lost) if lost is not None else _row(boat, question, values)
    except SketchError as problem:
        return PlaceRow(values, error=problem.message)
    except GeometryError as problem:
        return PlaceRow(values, error=f"no closed boat can be made of this: {problem}")


def enough_of(scene: Scene, question: Question) -> Evaluation:
    """The evaluation of a scene, as whole as the figures of a question need it; its limits are not judged yet."""
    asked = {limit.figure for limit in question.limits}
    if scene.has_contents or asked & {"sheets"}:
        return evaluate(scene, figures_only=True)
    form = hull_form(scene.hull)
    joined = question.all_holed or any(wanted.block in WITH_PATHS for wanted in question.ranges)
    layout = lay_out(scene, form) if joined else spaces_alone(scene, form)
    water = water_plane(scene, form)
    boat = Evaluation(
        scene=scene,
        layout=layout,
        water=water,
        floating=floating(scene, form, water, layout.flow_paths)[0],
        immersion=immersion(layout.compartments, water),
        berths=berth_figures(layout)[0],
        findings=(),
    )
    return with_stated_people(boat) if "stature" in asked else boat


def _row(boat: Evaluation, question: Question, values: tuple[float, ...]) -> PlaceRow:
    strays = _strays(started(question.scene), boat.layout)
    spaces = {space.name for space in boat.layout.compartments if space.name not in strays}
    cases = [case_of(boat, names) for names in question.all_holed if spaces.issuperset(names)]

    def read(limits: Sequence[StatedLimit]) -> tuple[LimitRow, ...]:
        return tuple(_limit_row(boat, limit, cases, known=not strays & {limit.of, *limit.when_holed}) for limit in limits)

    limits, more = read(question.scene.limits), read(question.more)
    shown = [case for case in cases if case.holed in question.holed]
    figures = {limit.path: limit.value for limit in (*limits, *more)} | dict(_figures(boat))
    if any(wanted.block in WITH_PATHS for wanted in question.ranges):
        figures["floating.least_opening_clear_m"] = boat.floating.least_opening_clear
    figures |= {path: value for case in shown for path, value in _flooded(case)}
    figures |= {f"compartments.{name}.{key}": None for name in strays for key in ("volume_m3", "below_waterline_m3")}
    return PlaceRow(values, figures, limits, more, _rules(boat))


def _strays(before: Layout, after: Layout) -> set[str]:
    """The names that are another space's here: a panel has passed the point that gives them."""
    then = {space.name: set(space.bounds) for space in before.compartments if space.named}
    strays = set(spaces_left(before, after))
    for space in after.compartments:
        was, now = then.get(space.name, set()), set(space.bounds)
        if {panel for panel, _ in was - now} & {panel for panel, _ in now - was}:
            strays.add(space.name)
    return strays


@remembered(1)
def started(scene: Scene) -> Layout:
    """The spaces as they are before anything moves: a name belongs to the space that it then named."""
    return spaces_alone(scene, hull_form(scene.hull))


def _limit_row(boat: Evaluation, limit: StatedLimit, cases: Sequence[FloodingCase], *, known: bool) -> LimitRow:
    """A limit at this place; not known where a space that it names has lost its name to another."""
    judged = judged_limit(boat, limit, cases)
    read = judged.reading
    if not known:
        return LimitRow(limit.name, limit.figure, read.path, None, judged.bound, None, None)
    return LimitRow(limit.name, limit.figure, read.path, read.value, judged.bound, judged.met, judged.margin)


def _figures(boat: Evaluation) -> Figures:
    """Litres, berths, the places of bulkheads, and how she floats with her changes of weight where she has any."""
    for space, wet in zip(boat.layout.compartments, boat.immersion, strict=True):
        yield f"compartments.{space.name}.volume_m3", space.volume if space.bounded else None
        yield f"compartments.{space.name}.below_waterline_m3", wet.below if wet is not None and space.bounded else None
    for berth in boat.berths:
        yield f"berths.{berth.name}.length_m", berth.length
        yield f"berths.{berth.name}.headroom_m", berth.headroom
    for shape in boat.layout.panels:
        if shape.kind == "bulkhead":
            yield f"bulkheads.{shape.name}.place", place_along(boat, shape.name)
    yield from _afloat(boat)


def _afloat(boat: Evaluation) -> Figures:
    then = with_changes(boat)
    head, water, afloat = ("", boat.water, boat.floating) if then is None else ("with_changes.", then.water, then.floating)
    yield f"{head}floating.forward_freeboard_m", afloat.forward_freeboard if afloat else None
    yield f"{head}floating.after_freeboard_m", afloat.after_freeboard if afloat else None
    yield f"{head}floating.least_freeboard_m", afloat.least_freeboard if afloat else None
    yield f"{head}waterline.trim_deg", water.trim_deg if water else None


def _flooded(case: FloodingCase) -> Figures:
    """One case, in both its states."""
    for state, more in zip(case.states, ("", "emptiest."), strict=False):
        head = f"flooding.{' and '.join(case.holed)}.{more}"
        yield f"{head}verdict", state.verdict
        yield f"{head}forward_freeboard_m", state.forward_freeboard
        yield f"{head}after_freeboard_m", state.after_freeboard
        yield f"{head}least_freeboard_m", state.least_freeboard
        yield f"{head}trim_deg", state.water.trim_deg if state.water else None
        yield f"{head}gm_m", state.gm
        yield from ((f"{head}lids.{lid.name}.clear_of_water_m", lid.clear_of_water) for lid in state.lids)


def _rules(boat: Evaluation) -> dict[str, bool]:
    """Whether the collision bulkhead stands in each rule's window, by the rule's source."""
    if boat.water is None:
        return {}
    notes = collision_findings(boat.layout, boat.water)
    return {note.source or "": getattr(note.values["verdict"], "code", "") == "inside-that-window" for note in notes}
