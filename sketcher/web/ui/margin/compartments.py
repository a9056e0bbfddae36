"""The list of compartments, each with a gauge of the water in it, its litres, and whether it is closed and tight."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from urllib.parse import quote

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Compartment
from sketcher.geometry.caching import remembered
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.outputs.wording.quantities import flooded_words, litres, share
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

GAUGE_HEIGHT, GAUGE_WIDTH = 30, 9
"""Pixels."""
LEAST_LEVEL = 0.04
"""Share of a gauge that stays visible on either side where a space crosses the waterline by ever so little."""

_HEAD = tag(
    "thead",
    tag(
        "tr",
        tag("th", tag("span", "water in it", class_="unseen"), scope="col", class_="gauge"),
        tag("th", "Compartment", scope="col"),
        tag("th", "litres", scope="col", class_="number"),
        tag("th", "below", scope="col", class_="number", title="litres below the waterline"),
    ),
)


def compartments_section(state: PageState) -> Markup:
    """The list of compartments, without what stands in its rows: see `space_rows`."""
    rows = []
    for known in known_spaces(state.afloat):
        ref = ObjectRef("compartment", known.name)
        chosen = "chosen" if state.selected == ref else None
        rows.append(tag("tr", class_=chosen, id=_row_of(known), data_key=ref.key, data_own="true"))
    foot = tag("tfoot", tag("tr", id="spaces-together", data_own="true"))
    return tag(
        "section",
        tag("h2", "Compartments"),
        tag("table", _HEAD, tag("tbody", *rows), foot, class_="spaces"),
        aria_label="Compartments",
    )


def _row_of(known: KnownSpace) -> str:
    return f"space-{quote(known.name, safe='')}"


def space_rows(state: PageState) -> dict[str, Markup]:
    """Of each compartment gauge, name with its signs, litres and litres below the waterline, by its row; and their totals."""
    spaces = known_spaces(state.afloat)
    rows = {_row_of(known): _space_row(state, known) for known in spaces}
    together = join(
        tag("td"),
        tag("td", "Total"),
        tag("td", litres(_total(space.volume for space in spaces)), class_="number"),
        tag("td", litres(_total(space.below for space in spaces)), class_="number"),
    )
    return {**rows, "spaces-together": together}


def _total(parts: Iterable[float | None]) -> float | None:
    """The sum [m3]; None where a part is not known."""
    known = list(parts)
    return None if any(part is None for part in known) else sum(part for part in known if part is not None)


def _space_row(state: PageState, known: KnownSpace) -> Markup:
    ref = ObjectRef("compartment", known.name)
    water_in = {} if state.damage is None else state.damage.water_in
    words = join(known.name, tag("small", _position_words(known, water_in)), *_signs(state.evaluation, known.space))
    return join(
        tag("td", gauge(state.afloat, known), class_="gauge"),
        tag("td", button(words, "select", class_="name", data_part=ref.key)),
        tag("td", _volume(known), _band(state, known, "volume_m3"), class_="number", data_figure=f"litres/{known.name}"),
        tag("td", litres(known.below), _band(state, known, BELOW), class_="number", data_figure=f"below/{known.name}"),
    )


BELOW = "below_waterline_m3"


def _band(state: PageState, known: KnownSpace, key: str) -> Markup | None:
    """Half a figure's band, beneath it; nothing where none is known, and none at a flooded waterline."""
    value, sure = known.below if key == BELOW else known.volume, state.certainty
    if sure is None or (key == BELOW and state.damage is not None):
        return None
    said = sure.either_way(f"compartments.{known.name}.{key}", value, state.evaluation.scene.units)
    return tag("small", said) if said else None


def _volume(known: KnownSpace) -> Markup:
    """Litres; of a space that runs out of the measured part only the least is known."""
    if known.at_least is not None:
        return join(tag("small", "at least"), litres(known.at_least))
    return join(litres(known.volume))


def _position_words(known: KnownSpace, water_in: Mapping[str, float | None]) -> str:
    """Use and relation to the water in a few words; of a flooded space the water in it."""
    if known.name in water_in:
        return f"{known.space.use} · {flooded_words(water_in[known.name])}"
    if known.position is None:
        return known.space.use
    crossing = f"{share(known.below, known.volume)} below water" if known.below is not None else "crosses the water"
    where = {"below": "below water", "above": "above water", "crosses": crossing}
    return f"{known.space.use} · {where[known.position]}"


def _signs(evaluation: Evaluation, space: Compartment) -> list[Markup]:
    """A plain sign where a space is not closed or not tight, each with its reason."""
    signs = []
    if not space.bounded:
        signs.append(tag("small", tag("span", "not closed", class_="sign"), ": runs out of the measured part"))
    if not space.watertight:
        paths = [path for path in evaluation.layout.flow_paths if space.name in path.between]
        reasons = [f"{path.name} to {_other(path.between, space.name)}" for path in paths[:2]]
        more = f" and {len(paths) - 2} more" if len(paths) > 2 else ""
        reason = ", ".join(reasons) or ", ".join(space.open_to)
        if reason or space.bounded:
            signs.append(tag("small", tag("span", "not tight", class_="sign"), f": {reason or 'see Findings'}{more}"))
    return signs


def _other(between: tuple[str, str], name: str) -> str:
    return between[1] if between[0] == name else between[0]


def gauge(evaluation: Evaluation, known: KnownSpace) -> Markup:
    """An upright gauge as high as the space, filled to where the waterline stands in it; `?` where that is not known."""
    space, level = known.space, 0.0
    if evaluation.water is not None:
        x, y, _ = space.centroid
        level = (evaluation.water.height(x, y) - space.lowest) / max(space.highest - space.lowest, 1e-9)
        level = {"below": 1.0, "above": 0.0}.get(known.position or "", min(max(level, LEAST_LEVEL), 1.0 - LEAST_LEVEL))
    return _gauge(level)


@remembered(256)
def _gauge(level: float) -> Markup:
    filled = level * GAUGE_HEIGHT
    box = tag("rect", x=0.5, y=0.5, width=GAUGE_WIDTH, height=GAUGE_HEIGHT, class_="gauge-box")
    water = tag(
        "rect", x=1, y=round(GAUGE_HEIGHT - filled + 0.5, 2), width=GAUGE_WIDTH - 1, height=round(filled, 2), class_="gauge-water"
    )
    size = {"width": GAUGE_WIDTH + 1, "height": GAUGE_HEIGHT + 1}
    return tag("svg", box, water, **size, role="img", aria_label=f"water up to {100 * level:.0f} % of its height")
