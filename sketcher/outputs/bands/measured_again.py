"""How sure the figures are and which readings are worth taking again, for a person to read."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from math import sqrt

from sketcher.analysis.bands.again import WorthMeasuring, worth_measuring
from sketcher.analysis.bands.known import HowKnown
from sketcher.analysis.bands.readings import TAKEN_AGAIN, readings_of
from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.bands.band_figures import asked_about
from sketcher.outputs.bands.reading_words import again_words, reading_words
from sketcher.outputs.places.figure_words import figure_name
from sketcher.outputs.tables.report import WIDTH
from sketcher.outputs.tables.sure.certainty import WORTH_SAYING, banded, half_told, unit_of
from sketcher.outputs.wording.quantities import UNIT_WORDS, length_with_unit, table, wrap

TAKEN_AS_STATED = (
    "What is planned is taken as stated, and so are shell and deck thickness, appendages, permeabilities, what stands already, "
    "how she stood when measured, and how the skin runs between the points."
)


def how_sure(known: HowKnown, evaluation: Evaluation, unit: str, executor: Executor | None = None) -> list[str]:
    """What ± means, the doubts of flooding, and what to measure again, under their heading."""
    there = sum(look is not None for look in known.random)
    said = (
        "± holds the true figure in 95 of 100 boats measured as well as this one. It comes of straight lines along "
        f"{len(known.along)} directions in which the readings move her, and of {there} boats remeasured at random. "
        f"{TAKEN_AS_STATED}"
    )
    lines = [f"HOW SURE, {_errors(evaluation, unit)}", *wrap(said, WIDTH, "  ", "  ")]
    for part in (_flooded(known, evaluation, unit), _boards(known, evaluation, unit)):
        lines += ["", *part] if part else []
    lines += _flooding_doubts(known, unit)
    for path in asked_about(known, evaluation):
        lines += ["", *for_figure(known, evaluation, path, unit, executor)]
    return lines


@dataclass(frozen=True, slots=True)
class ToldAgain:
    """The readings that would narrow a figure's band most. rows: each reading, how it is taken again, half the band then.

    figure: with its band and unit; now, together: half the band as it is, and with all of these read again.
    """

    name: str
    figure: str
    rows: tuple[tuple[str, str, str], ...]
    now: str
    together: str


NO_READING = (
    "no reading of the hull changes it, since panels as planned bound it: it is as sure as they are put there. Allow for "
    "fillets, bedding and lining besides"
)


def told_again(
    known: HowKnown, evaluation: Evaluation, path: str, unit: str, executor: Executor | None = None
) -> ToldAgain | None:
    """What to measure again for a figure; None where no reading changes it, or it is not known."""
    value, half = known.stated.values.get(path), known.half(path)
    if half is None or not isinstance(value, int | float):
        return None
    worth = worth_measuring(known, path, executor)
    left = sqrt(max(half**2 - sum(each.now**2 - each.then**2 for each in worth), 0.0))
    return ToldAgain(
        name=figure_name(path).words,
        figure=" ".join((*banded(path, value, half, unit), unit_of(path, unit))).rstrip(),
        rows=tuple(_row(each, evaluation, unit) for each in worth),
        now=half_told(path, half, unit),
        together=half_told(path, left, unit),
    )


def for_figure(known: HowKnown, evaluation: Evaluation, path: str, unit: str, executor: Executor | None = None) -> list[str]:
    """The readings that would narrow a figure's band most, and to what, under the figure as heading."""
    told = told_again(known, evaluation, path, unit, executor)
    if told is None:
        why = "it is not known" if known.stated.values.get(path) is None else NO_READING
        return wrap(f"MEASURE AGAIN for {figure_name(path).words}: {why}.", WIDTH, "  ", "")
    rows = [(f"  {reading}", how, then) for reading, how, then in told.rows]
    lines = table((f"MEASURE AGAIN for {told.name}, {told.figure}", "", "then"), rows, "<<>", name_width=60)
    if len(rows) > 1:
        lines.append(f"  now {told.now}; with all of these read again {told.together}")
    return lines


def _flooded(known: HowKnown, evaluation: Evaluation, unit: str) -> list[str]:
    """How she floats with each space holed, with bands."""
    rows = []
    for space in evaluation.layout.compartments:
        head = f"flooding.{space.name}"
        cells = [_banded(known, f"{head}.{key}", unit) for key in ("water_m3", "forward_freeboard_m", "least_freeboard_m")]
        lids = [_banded(known, f"{head}.lids.{lid.name}.clear_of_water_m", unit) for lid in evaluation.scene.lids]
        if any(cells):
            rows.append((space.name, *cells, *lids))
    names = [f"{lid.name} clear" for lid in evaluation.scene.lids]
    columns = ("takes in, L", "bow freeboard", "least freeboard", *names)
    return table((f"IF HOLED, as stated, {UNIT_WORDS[unit]}", *columns), rows, "<" + ">" * len(columns)) if rows else []


def _boards(known: HowKnown, evaluation: Evaluation, unit: str) -> list[str]:
    """What planned boards measure over all, with bands: how much a pattern may be out where it meets the hull."""
    rows = []
    for panel in evaluation.scene.panels:
        cells = [_banded(known, f"boards.{panel.name}.{key}_m", unit) for key in ("width", "height", "length")]
        if any(cells):
            rows.append((panel.name, *cells))
    return table((f"BOARDS over all, {UNIT_WORDS[unit]}", "width", "height", "length"), rows, "<>>>") if rows else []


def _banded(known: HowKnown, path: str, unit: str) -> str:
    """A figure with its band; nothing where it has none."""
    value, half = known.stated.values.get(path), known.half(path)
    return "" if half is None or not isinstance(value, int | float) else " ".join(banded(path, value, half, unit))


def _row(worth: WorthMeasuring, evaluation: Evaluation, unit: str) -> tuple[str, str, str]:
    to = length_with_unit(min(TAKEN_AGAIN, worth.reading.error), unit)
    return (
        reading_words(worth.reading, evaluation.scene),
        again_words(worth.reading, to),
        half_told(worth.path, worth.then, unit),
    )


def _errors(evaluation: Evaluation, unit: str) -> str:
    """How well she was measured, as one standard deviation: of the hull, and of the waterline."""
    readings = readings_of(evaluation.scene)
    hull = [reading.error for reading in readings if reading.what in ("half-breadth", "height")]
    water = [reading.error for reading in readings if reading.what == "waterline"]

    def span(errors: Sequence[float]) -> str:
        low, high = (length_with_unit(each, unit) for each in (min(errors), max(errors)))
        return low if low == high else f"{low} to {high}"

    told = f"the hull measured to {span(hull)}" if hull else "nothing of the hull measured"
    return f"{told}, the waterline to {span(water)} (one standard deviation)" if water else f"{told} (one standard deviation)"


def _flooding_doubts(known: HowKnown, unit: str) -> list[str]:
    """Flooded, what turns out otherwise in some of 100 boats: of spaces holed by themselves and together."""
    lines: list[str] = []
    for path, share in known.doubts.items():
        if not path.startswith("flooding.") or share < WORTH_SAYING:
            continue
        stated = path.removeprefix("flooding.")
        holed, _, rest = stated.partition(".lids.") if ".lids." in stated else stated.rpartition(".")
        emptied = holed.endswith(".emptiest")
        case = f"with {holed.removesuffix('.emptiest')} holed{' and empty' if emptied else ''}"
        if ".lids." in stated:
            lid = rest.removesuffix(".dry")
            clear = known.stated.values.get(path.removesuffix("dry") + "clear_of_water_m")
            dry = isinstance(clear, int | float) and clear > 0.0
            said = f"{lid} {'stays dry' if dry else 'goes under'} {case}; in {max(round(100 * share), 1)} of 100 boats it "
            lines += wrap(said + ("would not" if dry else "would stay dry"), WIDTH, "    ", "  ")
        else:
            verdict = known.stated.values.get(path)
            lines += wrap(f"{case} she {verdict}; in {_counted(known, path, share)} she would not", WIDTH, "    ", "  ")
    return lines


def _counted(known: HowKnown, path: str, share: float) -> str:
    """A share drawn from margins in 100, one that was counted in the boats that were looked at."""
    there = len(known.remeasured(path))
    return f"{max(round(100 * share), 1)} of 100" if path in known.critical else f"{round(share * there)} of {there} boats"
