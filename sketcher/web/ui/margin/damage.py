"""What happens if she is holed: the answer in a sentence, then the figures."""

from __future__ import annotations

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.lying import LEAST_OVER_BODY
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.lid_heights import cut_when_raised
from sketcher.analysis.flooding.results import LID_MARGIN, FloodingCase
from sketcher.analysis.flooding.worst import lids_under_water
from sketcher.model.scene import Lid
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.tables.first import lid_under, only_while
from sketcher.outputs.tables.flooding import case_words
from sketcher.outputs.wording.quantities import UNKNOWN, length, length_with_unit, litres, metacentric, plain
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import capitalized
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

STILL_WATER = "Balance in still water only: it says nothing of waves or strength."


def damage_section(state: PageState) -> Markup | None:
    """The section of a boat that is holed; nothing for a whole one."""
    if state.damage is None:
        return None
    case = state.damage.case
    evaluation, units = state.evaluation, state.evaluation.scene.units
    words = case_words(case, units, evaluation.layout)
    lifted = " ".join(lid_under(lid, units) for lid in lids_under_water(evaluation.layout, case) if lid.lift >= 0.5)
    more = (only_while(evaluation.layout, case, state.damage.given_way, units), lifted)
    head = tag("h2", f"Holed: {' and '.join(case.holed)}", button("Close all holes", "close_holes"))
    verdict = tag("p", capitalized(words), class_="verdict", data_figure="verdict")
    return tag(
        "section",
        head,
        verdict,
        *(tag("p", text) for text in more if text),
        tag("table", tag("tbody", *_figures(case, units))),
        _lids(case, evaluation),
        tag("p", STILL_WATER, class_="small"),
        class_="flood",
        aria_label="Holed",
    )


def _figures(case: FloodingCase, units: str) -> list[Markup]:
    """Water taken in, the waterline at both ends, heel, trim, freeboard and stability left."""
    water, before = case.water, case.intact
    rows = (
        ("Water taken in", "water", litres(case.water_volume), "L"),
        (
            "Water at the bow",
            "forward",
            _from_to(before.forward if before else None, water.forward if water else None, units),
            units,
        ),
        ("Water at the stern", "after", _from_to(before.after if before else None, water.after if water else None, units), units),
        ("Heel", "heel", plain(water.heel if water else None, 1), "°"),
        ("Trim by the bow, change", "trim", plain(case.trim_change, 2), "°"),
        ("Least freeboard", "freeboard", length(case.least_freeboard, units), units),
        ("Metacentric height left", "gm", *metacentric(case.gm, units)),
    )
    made = []
    for word, key, value, unit in rows:
        shown = value if value == UNKNOWN else join(value, " ", tag("span", unit, class_="unit"))
        cells = (tag("td", word, class_="word"), tag("td", shown, class_="number", data_figure=f"flood/{key}"))
        made.append(tag("tr", *cells, data_key=key))
    return made


def _from_to(before: float | None, after: float | None, units: str) -> str:
    if after is None:
        return UNKNOWN
    return length(after, units) if before is None else f"{length(before, units)} → {length(after, units)}"


def safe_words(evaluation: Evaluation, lid: LidLevel) -> str:
    """From which height on a lid stays clear of the water, and what speaks against raising it; empty where there is none."""
    height, units = lid.lowest_safe_height, evaluation.scene.units
    panels = (shape.panel for shape in evaluation.layout.panels)
    now = next(panel.height for panel in panels if isinstance(panel, Lid) and panel.name == lid.name)
    if height is None:
        return ""
    on_it = {berth.name for berth in evaluation.scene.berths if berth.lies_on == lid.name}
    left = {each.name: each.headroom - (height - now) for each in evaluation.berths if each.name in on_it and each.headroom}
    if height > now and any(over < LEAST_OVER_BODY for over in left.values()):
        return f"no height that leaves {listed(list(left))} keeps it clear"
    cut = cut_when_raised(evaluation.layout, lid.name, height) if height > now else ()
    but = [f"cut across {listed(cut)}"] if cut else []
    but += [f"leave {length_with_unit(over, units)} over {name}'s pillow" for name, over in left.items() if height > now]
    up = f"from {length_with_unit(height, units)} up"
    return f"clear of the water only {up}, where it would {listed(but)}" if but else f"safe {up}"


def _lids(case: FloodingCase, evaluation: Evaluation) -> Markup | None:
    """Each lid's height over the water in the worse of the case's states, and how high it would have to be."""
    units, lids = evaluation.scene.units, dict[str, LidLevel]()
    for lid in sorted((lid for state in case.states for lid in state.lids), key=lambda lid: lid.clear_of_water):
        lids.setdefault(lid.name, lid)
    if not lids:
        return None
    rows = []
    for lid in lids.values():
        low = lid.clear_of_water < LID_MARGIN
        safe = tag("small", safe_words(evaluation, lid))
        name = button(join(lid.name, safe), "select", class_="name", data_part=ObjectRef("lid", lid.name).key)
        value = f"{length(lid.clear_of_water, units)}"
        rows.append(
            tag(
                "tr",
                tag("td", name),
                tag("td", tag("span", value, class_="sign" if low else None), class_="number", data_figure=f"lid/{lid.name}"),
                data_key=lid.name,
            )
        )
    head = tag("tr", tag("th", "Lid", scope="col"), tag("th", f"over the water, {units}", scope="col", class_="number"))
    return tag("table", tag("thead", head), tag("tbody", *rows))
