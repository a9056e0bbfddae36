"""The figures that limits are about, read off an evaluation by the owner's words for them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Phrase
from sketcher.analysis.fit.berths import STATURE_MARGIN
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.limits.results import FigureReading
from sketcher.analysis.loading.bonding_mass import BONDING
from sketcher.analysis.loading.panel_masses import boards_by_usual_plywood, panel_weights, unweighed_panels
from sketcher.analysis.loading.weights import with_changes
from sketcher.analysis.results import Floating, WaterPlane
from sketcher.analysis.spaces.standing_findings import share_from_bow
from sketcher.model.errors import nearest
from sketcher.model.stated_limits import FIGURES, Side, StatedLimit

LOST = ("founders", "capsizes")
"""Verdicts after which no figure of her is left to be asked for."""


def reading(evaluation: Evaluation, limit: StatedLimit, cases: Sequence[FloodingCase] = ()) -> FigureReading:
    """The figure that a limit is about. cases: of flooding that are known already; others are worked out."""
    absent = _absent(evaluation, limit)
    if limit.when_holed:
        return FigureReading(_path(limit), None, absent) if absent else _holed(evaluation, limit, cases)
    figure = limit.about
    if absent is None and figure.whole.startswith(("floating.", "waterline.")):
        return _afloat(evaluation, limit)
    value = None if absent else WHOLE[limit.figure](evaluation, limit.of or "")
    return FigureReading(_path(limit), value, absent or (Phrase("figure-not-known") if value is None else None))


def case_of(evaluation: Evaluation, holed: Sequence[str], cases: Sequence[FloodingCase] = ()) -> FloodingCase:
    """The flooding of spaces that are there, holed together."""
    wanted = tuple(dict.fromkeys(holed))
    known = next((case for case in cases if case.holed == wanted), None)
    return known or flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, wanted)[0]


def tallest_who_fits(evaluation: Evaluation, berth: str) -> float | None:
    """The stature [m] up to which whoever lacks most on a berth would have room; None where nobody is to lie there."""
    named = evaluation.contents.lying if evaluation.contents is not None else ()
    place = next((place for place in (*named, *evaluation.lying_as_stated) if place.berth == berth), None)
    return None if place is None or place.length is None else place.length - STATURE_MARGIN


def place_along(evaluation: Evaluation, bulkhead: str) -> float | None:
    """How far aft a bulkhead's forward face meets the water, as a share of her length from the bow; None where not known."""
    shape = next((shape for shape in evaluation.layout.panels if shape.name == bulkhead), None)
    return None if shape is None or evaluation.water is None else share_from_bow(evaluation.layout.hull, shape, evaluation.water)


def _absent(evaluation: Evaluation, limit: StatedLimit) -> Phrase | None:
    """That a space which a limit names is not there, with the nearest that is."""
    spaces = [space.name for space in evaluation.layout.compartments]
    asked = [*limit.when_holed, *([limit.of or ""] if "compartments" in limit.about.of else [])]
    missing = next((name for name in asked if name not in spaces), None)
    return None if missing is None else Phrase("no-such-space", {"space": missing, "meant": nearest(missing, spaces)})


def _path(limit: StatedLimit, prefix: str = "") -> str:
    figure = limit.about
    text = figure.holed if limit.when_holed else figure.whole
    return prefix + text.format(of=limit.of or "all", holed=" and ".join(limit.when_holed))


def _litres(evaluation: Evaluation, name: str) -> float | None:
    space = next(space for space in evaluation.layout.compartments if space.name == name)
    return space.volume if space.bounded else None


def _litres_below(evaluation: Evaluation, name: str) -> float | None:
    spaces = zip(evaluation.layout.compartments, evaluation.immersion, strict=True)
    space, wet = next(pair for pair in spaces if pair[0].name == name)
    return wet.below if wet is not None and space.bounded else None


def _berth_length(evaluation: Evaluation, name: str) -> float | None:
    return next((berth.length for berth in evaluation.berths if berth.name == name), None)


def _headroom(evaluation: Evaluation, name: str) -> float | None:
    return next((berth.headroom for berth in evaluation.berths if berth.name == name), None)


def _chain(evaluation: Evaluation, name: str) -> float | None:
    stows = () if evaluation.contents is None else evaluation.contents.chains
    return next((stow.goes_in for stow in stows if stow.name == name), None)


def _bottles(evaluation: Evaluation, name: str) -> float | None:
    spaces = () if evaluation.contents is None else evaluation.contents.bottles
    return next((space.uplift for space in spaces if space.space == name), None)


def _boards(evaluation: Evaluation, name: str) -> float | None:
    """What planned boards weigh, without what bonds them, as plywood where nothing is said; None where one is in no table."""
    layout = evaluation.layout
    weights = {each.name: each.kg for each in panel_weights(layout) if each.kg > 0.0 and each.name != BONDING}
    weighed = sum(kg for board, kg in weights.items() if name in ("", board))
    others = [board for board in unweighed_panels(layout.scene) if name in ("", board)]
    if not others:
        return weighed
    assumed = boards_by_usual_plywood(layout, others)
    return None if assumed is None else weighed + assumed


def _sheets(evaluation: Evaluation, _: str) -> float | None:
    from sketcher.analysis.cut.plan import build_plan

    return float(sum(len(laid.nesting.sheets) for laid in build_plan(evaluation).sheets))


WHOLE: Mapping[str, Callable[[Evaluation, str], float | None]] = {
    "litres": _litres,
    "litres below": _litres_below,
    "berth length": _berth_length,
    "stature": tallest_who_fits,
    "headroom": _headroom,
    "chain kg": _chain,
    "bottles kg": _bottles,
    "place": place_along,
    "boards kg": _boards,
    "sheets": _sheets,
}
"""How each figure is read that is no figure of her afloat."""


def _afloat(evaluation: Evaluation, limit: StatedLimit) -> FigureReading:
    """A figure of the boat afloat, with the changes in her weight where she has any."""
    then = with_changes(evaluation)
    if then is None:
        value = _of_her(limit.figure, evaluation.water, evaluation.floating)
        return FigureReading(_path(limit), value, Phrase("figure-not-known") if value is None else None)
    value = _of_her(limit.figure, then.water, then.floating or Floating())
    why = (then.reason or Phrase("figure-not-known")) if value is None else None
    return FigureReading(_path(limit, "with_changes."), value, why)


def _of_her(figure: str, water: WaterPlane | None, afloat: Floating) -> float | None:
    match figure:
        case "bow freeboard":
            return afloat.forward_freeboard
        case "stern freeboard":
            return afloat.after_freeboard
        case "least freeboard":
            return afloat.least_freeboard
        case "GM":
            return afloat.gm
        case "trim":
            return None if water is None else water.trim_deg
        case _:
            return None if water is None else abs(water.heel)


def _holed(evaluation: Evaluation, limit: StatedLimit, cases: Sequence[FloodingCase]) -> FigureReading:
    """A figure of the boat with spaces holed: the worse of both states."""
    case = case_of(evaluation, limit.when_holed, cases)
    head = f"flooding.{' and '.join(limit.when_holed)}."
    read: list[FigureReading] = []
    for state, more in zip(case.states, ("", "emptiest."), strict=False):
        path = head + more + _path(limit).removeprefix(head)
        value = None if state.verdict in LOST else _flooded(limit, state)
        why = None if value is not None else state.reason if state.water is None else Phrase("figure-not-known")
        read.append(FigureReading(path, value, why, state.verdict in LOST))
    return _worst(read, limit.side)


def _flooded(limit: StatedLimit, case: FloodingCase) -> float | None:
    """A figure of one state of a case."""
    if limit.figure == "lid over water":
        return next((lid.clear_of_water for lid in case.lids if lid.name == limit.of), None)
    if limit.figure == "heel" and case.estimated:
        return None
    afloat = Floating(
        forward_freeboard=case.forward_freeboard,
        after_freeboard=case.after_freeboard,
        least_freeboard=case.least_freeboard,
        gm=case.gm,
    )
    return _of_her(limit.figure, case.water, afloat)


def _worst(read: Sequence[FigureReading], side: Side) -> FigureReading:
    """The state that decides: one that is lost, then one that is not known, then the one nearest to the limit or past it."""
    lost = next((each for each in read if each.lost), None) or next((each for each in read if each.value is None), None)
    if lost is not None:
        return lost
    return (min if side == "at_least" else max)(read, key=lambda each: each.value or 0.0)


assert set(WHOLE) == {word for word, figure in FIGURES.items() if figure.whole.split(".")[0] not in ("floating", "waterline", "")}
