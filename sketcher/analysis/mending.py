"""What would mend a finding, as edits of the scene: the remedy that was worked out with it, and none where none was."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import ceil, floor
from typing import Any

from sketcher.analysis.findings import Finding
from sketcher.model.edits.actions import Edit, MoveBulkhead, SetValue
from sketcher.model.lookup import block_of, bulkhead_at, field_of, find
from sketcher.model.scene import Bulkhead, Panel, Scene
from sketcher.model.units import tape_step

Values = Mapping[str, Any]
Edits = tuple[Edit, ...]


def edits_for(finding: Finding, scene: Scene) -> Edits:
    """The edits that a finding's remedy consists of, to be made together; of several remedies the first.

    Lengths are rounded up to what stands on a tape, so that the remedy is enough. What is built already is not moved.
    """
    mend = _MENDS.get(finding.code)
    return () if mend is None else tuple(edit for edit in mend(finding.values, scene) if edit.apply(scene) != scene)


def _enough(metres: float, scene: Scene) -> float:
    """A length rounded up to a whole step of the tape."""
    step = tape_step(scene.units)
    return ceil(metres / step - 1e-6) * step


def _panel(scene: Scene, name: str) -> Panel | None:
    return next((panel for panel in scene.panels if panel.name == name), None)


def _movable(panel: Panel | None) -> bool:
    return panel is not None and panel.built == "planned" and not panel.carries


def _bulkhead_moved(scene: Scene, name: str, by: float) -> Edits:
    """by [m]: aft, at the least."""
    panel = _panel(scene, name)
    if not isinstance(panel, Bulkhead) or not _movable(panel):
        return ()
    step = _enough(abs(by), scene)
    return (MoveBulkhead(name, bulkhead_at(scene, name) + (step if by > 0 else -step)),)


def _lid_moved(scene: Scene, name: str, by: float) -> Edits:
    """by [m]: up, at the least."""
    lid = _panel(scene, name)
    if lid is None or not _movable(lid):
        return ()
    step = _enough(abs(by), scene)
    return (SetValue("lids", name, "height", find(scene, "lids", name).height + (step if by > 0 else -step)),)


def _berth_laid(scene: Scene, name: str, by: float) -> Edits:
    """The berth laid higher by so much [m], with its lid if it lies on one."""
    berth = find(scene, "berths", name)
    if berth.lies_on is not None:
        return _lid_moved(scene, berth.lies_on, by)
    step = _enough(abs(by), scene)
    return (SetValue("berths", name, "height", berth.height + (step if by > 0 else -step)),)


def _longer_berth(values: Values, scene: Scene) -> Edits:
    if values["moves"]:
        move = values["moves"][0].values
        by = move["distance"].metres
        return _bulkhead_moved(scene, move["panel"], by if move["direction"] == "aft" else -by)
    return () if values["higher"] is None else _berth_laid(scene, values["berth"], values["higher"].metres)


def _lower_berth(values: Values, scene: Scene) -> Edits:
    remedy = values["remedy"]
    return _berth_laid(scene, values["berth"], -remedy.values["by"].metres) if remedy.code == "lay-lower" else ()


def _higher_lid(values: Values, scene: Scene) -> Edits:
    safe = values["safe_height"]
    return () if safe is None else _lid_moved(scene, values["lid"], safe.metres - find(scene, "lids", values["lid"]).height)


def _edge_tied(values: Values, scene: Scene) -> Edits:
    """The edge that stops short, tied to what it stops short of, where that is a panel of the kind that it may be tied to."""
    panel, remedy = _panel(scene, values["panel"]), values["remedy"]
    if panel is None or panel.built != "planned" or values.get("one_face") or remedy.code == "bring-together":
        return ()
    if remedy.code == "extend-or-write":
        key, limit = remedy.values["key"], remedy.values["limit"]
        value = limit
    else:
        key, limit = "span", remedy.values.get("beyond")
        port, starboard = getattr(panel, "span", (None, None))
        value = (limit, starboard) if values["edge"] == "port edge" else (port, limit)
    block, neighbour = block_of(panel).key, _panel(scene, limit)
    if neighbour is not None and block_of(neighbour).key not in field_of(block, key).ties:
        return ()
    return (SetValue(block, panel.name, key, value),)


def _path_closed(values: Values, scene: Scene) -> Edits:
    """What water passes through, closed: an opening or a hose by a tight cover, a hollow stringer by sealing it."""
    name = values["path"]
    if any(opening.name == name for opening in scene.openings):
        return (SetValue("openings", name, "cover", "tight"),)
    return (SetValue("stringers", name, "hollow", "sealed"),) if any(each.name == name for each in scene.stringers) else ()


def _panels_weighed(values: Values, scene: Scene) -> Edits:
    panels = [panel for panel in scene.panels if panel.name in values["panels"]]
    return tuple(SetValue(block_of(panel).key, panel.name, "material", "plywood") for panel in panels)


def _into_the_window(values: Values, scene: Scene) -> Edits:
    verdict = values["verdict"]
    aft = {"too-far-forward": 1.0, "too-far-aft": -1.0}.get(verdict.code)
    return () if aft is None else _bulkhead_moved(scene, values["panel"], aft * verdict.values["by"].metres)


def _chain_stowed(values: Values, scene: Scene) -> Edits:
    chain = find(scene, "chains", values["chain"])
    for offer in values["remedies"]:
        match offer.code:
            case "raise-pipe":
                x, y, z = chain.pipe
                return (SetValue("chains", chain.name, "pipe", (x, y, z + _enough(offer.values["by"].metres, scene))),)
            case "lid-moved":
                up = 1.0 if offer.values["direction"] == "up" else -1.0
                return _lid_moved(scene, offer.values["panel"], up * offer.values["distance"].metres)
            case "carry-less":
                unit = 0.3048 if scene.units in ("in", "ft") else 1.0
                return (SetValue("chains", chain.name, "length", floor(offer.values["length"].metres / unit) * unit),)
    return ()


def _wider_pipe(values: Values, scene: Scene) -> Edits:
    return (SetValue("chains", values["chain"], "bore", _enough(values["least"].metres, scene)),)


def _permeability_left_out(values: Values, scene: Scene) -> Edits:
    return (SetValue("compartments", values["space"], "permeability", None),)


_MENDS: dict[str, Callable[[Values, Scene], Edits]] = {
    "berth-short": _longer_berth,
    "person-does-not-fit": _longer_berth,
    "berth-low-over-body": _lower_berth,
    "berth-low-over-seat": _lower_berth,
    "lid-under-flooded-water": _higher_lid,
    "gap": _edge_tied,
    "short-edge": _edge_tied,
    "spaces-joined": _path_closed,
    "opening-under-water": _path_closed,
    "panels-not-weighed": _panels_weighed,
    "collision-bulkhead-racing": _into_the_window,
    "collision-bulkhead-passenger": _into_the_window,
    "chain-reaches-pipe": _chain_stowed,
    "chain-needs-a-hand": _chain_stowed,
    "chain-pipe-narrow": _wider_pipe,
    "permeability-against-contents": _permeability_left_out,
}
"""By a finding's code: its values and the scene to the edits."""
