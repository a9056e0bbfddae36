"""The order of work, from the geometry: what goes in before a space is closed, and an objection where something is sealed in."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

import numpy as np

from sketcher.analysis.cut.berth_boards import widest_between_ledges
from sketcher.analysis.cut.boards.hatch_fit import ShutOut, boards_shut_out
from sketcher.analysis.cut.bonding.cleats import cleats_for
from sketcher.analysis.cut.bonding.fixings import BOLTS, bolted_seams, taped_seams
from sketcher.analysis.cut.bonding.purchases import spaces_to_breathe
from sketcher.analysis.cut.bonding.rules import full_cure
from sketcher.analysis.cut.cautions import AIR, CLOSED_SPACE, DESIGNER, RESIN, cautions_before, cautions_of, out_of_reach
from sketcher.analysis.cut.cutouts import left_unsawn
from sketcher.analysis.cut.leak_tests import pushes
from sketcher.analysis.cut.results import Joint, LeakTest, Passage, Pattern, Seam, StringerPattern, Support, WorkStep
from sketcher.analysis.cut.timber.supports import APART
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Length, Phrase, Value
from sketcher.analysis.results import Layout, PanelShape
from sketcher.model.hull import Hull
from sketcher.model.scene import Scene


class _Steps:
    """Steps as they are added, each known by a key for those that come after it."""

    def __init__(self) -> None:
        self.made: list[WorkStep] = []
        self.numbers: dict[str, int] = {}

    def add(
        self,
        key: str,
        title: Phrase,
        what: Phrase,
        after: Iterable[str] = (),
        objects: Sequence[str] = (),
        cautions: Sequence[Phrase] = (),
        objections: Sequence[Finding] = (),
    ) -> None:
        """A step after those of the keys given; keys that stand for no step are passed over.

        A caution, or an objection, is said once.
        """
        cautioned = {caution for step in self.made for caution in step.cautions}
        objected = {objection for step in self.made for objection in step.objections}
        number = len(self.made) + 1
        self.made.append(
            WorkStep(
                number=number,
                title=title,
                what=what,
                objects=tuple(objects),
                after=tuple(sorted({self.numbers[name] for name in after if name in self.numbers})),
                cautions=tuple(caution for caution in dict.fromkeys(cautions) if caution not in cautioned),
                objections=tuple(objection for objection in dict.fromkeys(objections) if objection not in objected),
            )
        )
        self.numbers[key] = number


def work_steps(
    evaluation: Evaluation,
    patterns: Sequence[Pattern],
    passages: Sequence[Passage],
    stringers: Sequence[StringerPattern],
    tests: Sequence[LeakTest],
    seams: Sequence[Seam] = (),
    joints: Sequence[Joint] = (),
    supports: Sequence[Support] = (),
    wholes: Sequence[Pattern] = (),
) -> tuple[WorkStep, ...]:
    """The steps from the bare boat to the tested one; none where nothing is planned.

    seams: with what of them can be reached. wholes: the panels' boards before they are cut in parts.
    """
    layout = evaluation.layout
    planned, late = order_of_panels(layout, patterns, wholes)
    if not planned:
        return ()
    steps = _Steps()
    _prepare(steps, evaluation, planned)
    _below(steps, patterns, passages)
    for stringer in dict.fromkeys(each.stringer for each in stringers):
        mine = [each for each in stringers if each.stringer == stringer]
        bend = all(each.bends for each in mine)
        bolted = layout.scene.hull.bolted
        what = Phrase("fit-stringers", {"stringers": tuple(each.name for each in mine), "bend": bend, "bolted": bolted})
        title = Phrase("stringers-step", {"stringer": stringer})
        steps.add(f"stringer {stringer}", title, what, ("prepare",), (stringer,), RESIN)
    for shape in planned:
        _join(steps, shape.name, patterns, joints, bool(passages))
        _supports(steps, layout, shape, [each for each in supports if each.lid == shape.name])
        own = [seam for seam in seams if seam.panel.split(", ")[0] == shape.name]
        _panel(steps, evaluation, shape, planned, own, late)
    _berths(steps, patterns, planned)
    _finish(steps, layout, planned, tests, spaces_to_breathe(evaluation))
    return tuple(steps.made)


def order_of_panels(
    layout: Layout, parts: Sequence[Pattern], wholes: Sequence[Pattern]
) -> tuple[list[PanelShape], dict[str, ShutOut]]:
    """The order in which planned panels go in, and those that go in before one that would shut their boards out, with why."""
    order = panels_in_order(layout)
    late = boards_shut_out(layout, [shape.name for shape in order], parts, wholes)
    for name, why in late.items():
        names = [shape.name for shape in order]
        at, panel = names.index(why.before), names.index(name)
        waits = _before(layout, order[panel])
        along = [shape for shape in order[at + 1 : panel] if shape.name in waits]
        moved = [*along, order[panel]]
        rest = [shape for shape in order if not any(shape is each for each in moved)]
        order = [*rest[:at], *moved, *rest[at:]]
    return order, late


def panels_in_order(layout: Layout) -> list[PanelShape]:
    """The planned panels in the order in which they go in: what others are tied to first, lids after what stands under them.

    Those of which nothing is inside the hull do not go in.
    """
    left = [shape for shape in layout.panels if shape.panel.built == "planned" and shape.reaches_in]
    left.sort(key=lambda shape: (shape.rank[0], float(shape.mesh.vertices[:, 0].mean()), shape.name))
    order: list[PanelShape] = []
    while left:
        waiting = {shape.name for shape in left}
        ready = [shape for shape in left if not waiting & (_before(layout, shape) - {shape.name})]
        # Two panels that wait for each other go in as they stand in the list.
        order.append((ready or left)[0])
        left.remove(order[-1])
    return order


def _before(layout: Layout, shape: PanelShape) -> set[str]:
    """Panels that must stand before one goes in: those it is tied to; for a lid also those below it in the spaces it closes.

    A panel that stands on a lid waits for the lid, not the lid for it.
    """
    before = set(shape.depends_on)
    standing = [other for other in layout.panels if other.reaches_in]
    if shape.kind == "lid":
        on_it = {other.name for other in standing if shape.name in other.depends_on and _stands_above(other, shape)}
        for space in layout.compartments:
            if (shape.name, "under") in space.bounds:
                before |= {panel for panel, _ in space.bounds} - on_it
    else:
        # A panel that ends under a lid goes in before it.
        before -= {other.name for other in standing if other.kind == "lid" and not _stands_above(shape, other)}
    return before


def _stands_above(shape: PanelShape, lid: PanelShape) -> bool:
    return float(np.mean(shape.trimmed.bounds, axis=0)[2]) > float(np.mean(lid.trimmed.bounds, axis=0)[2])


def _prepare(steps: _Steps, evaluation: Evaluation, planned: Sequence[PanelShape]) -> None:
    scene = evaluation.scene
    carrying = [shape.name for shape in planned if shape.panel.carries]
    if carrying:
        what = Phrase("ask-designer", {"panels": tuple(carrying)})
        steps.add("ask", Phrase("ask-first-step"), what, (), carrying, (DESIGNER,))
    steps.add("prepare", Phrase("prepare-step"), _preparing(scene.hull), ("ask",), (), cautions_before(evaluation.layout))
    if scene.fittings:
        names = tuple(fitting.name for fitting in scene.fittings)
        what = Phrase("renew-fittings", {"fittings": names})
        steps.add("fittings", Phrase("hard-to-reach-step"), what, ("prepare",), names)


def _preparing(hull: Hull) -> Phrase:
    """How her skin is made ready, by what she is built of."""
    return Phrase("mark-and-strip", {"material": hull.made_of, "assumed": hull.material is None, "spacing": Length(BOLTS)})


def _below(steps: _Steps, patterns: Sequence[Pattern], passages: Sequence[Passage]) -> None:
    """The step that takes large boards below, before what is built narrows the way."""
    known = [each for each in passages if each.room is not None]
    if not known:
        return
    width = {pattern.name: pattern for pattern in patterns}
    largest = sorted((each for each in known if each.pattern in width), key=lambda each: -each.least_width)
    ways = tuple(dict.fromkeys(name for each in known for name in each.through))
    widest = tuple(Phrase("board-width", {"board": each.pattern, "width": Length(each.least_width)}) for each in largest[:4])
    stuck = tuple(each.pattern for each in largest if not each.passes)
    what = Phrase("pass-boards", {"ways": ways, "widest": widest, "stuck": stuck})
    steps.add("below", Phrase("boards-below-step"), what, ("fittings", "prepare"), [each.pattern for each in largest])


def _join(steps: _Steps, panel: str, patterns: Sequence[Pattern], joints: Sequence[Joint], below: bool) -> None:
    """The step that glues a panel's parts together, once they are below and before the panel goes to its place."""
    mine = [joint for joint in joints if joint.panel == panel]
    if not mine:
        return
    parts = [each for each in patterns if each.panel == panel and each.kind != "butt strap"]
    names = [each.name for each in parts]
    strapped = {face for joint in mine for face in joint.faces}
    drawn, other = parts[0].drawn_face, parts[0].other_face
    down, up = (other, drawn) if strapped == {drawn} else (drawn, other)
    values: dict[str, Value] = {
        "below": below,
        "scarfed": any(joint.kind == "scarf" for joint in mine),
        "both_ways": len({abs(x2 - x) > abs(y2 - y) for joint in mine for (x, y), (x2, y2) in (joint.line,)}) > 1,
        "face_down": down,
        "face_up": up,
        "strapped": tuple(face for face in (up, down) if face in strapped),
    }
    title = Phrase("join-parts-step", {"panel": panel})
    steps.add(f"join {panel}", title, Phrase("join-parts", values), ("below", "prepare"), names, RESIN)


def _supports(steps: _Steps, layout: Layout, shape: PanelShape, supports: Sequence[Support]) -> None:
    """The step that fits the supports of a lid between what stands under it, before the lid lies on them."""
    if not supports:
        return
    after = ["prepare", *_before(layout, shape)]
    after += [f"stringer {stringer.name}" for stringer in layout.scene.stringers if stringer.under == shape.name]
    values: dict[str, Value] = {"lid": shape.name, "count": len(supports), "notched": any(each.notches for each in supports)}
    steps.add(
        f"supports {shape.name}", Phrase("supports-step", {"lid": shape.name}), Phrase("fit-supports", values), after, (), RESIN
    )


def _panel(
    steps: _Steps,
    evaluation: Evaluation,
    shape: PanelShape,
    planned: Sequence[PanelShape],
    seams: Sequence[Seam],
    late: Mapping[str, ShutOut],
) -> None:
    layout, scene = evaluation.layout, evaluation.scene
    after = ["prepare", "fittings", "below", f"join {shape.name}", *sorted(_before(layout, shape))]
    under = [stringer.name for stringer in scene.stringers if stringer.under == shape.name]
    after += [*(f"stringer {name}" for name in under), f"supports {shape.name}"]
    closes = tuple(closed_by(layout, shape, planned))
    unsawn = {opening.name for panel in scene.panels for opening in left_unsawn(scene, panel.name)}
    covered = {opening.name for opening in scene.openings if opening.cover != "none"}
    drains = dict.fromkeys(
        path.name
        for path in layout.flow_paths
        if path.kind in ("opening", "conduit") and set(closes) & set(path.between) and path.name not in unsawn | covered
    )
    before, later = _filled(evaluation, closes)
    if shape.name in late:
        seams = [seam for seam in seams if seam.to != late[shape.name].before]
    what = Phrase(
        "fit-panel",
        {
            "first": _goes_first(late[shape.name]) if shape.name in late else None,
            "edges": tuple(name for name, why in late.items() if why.before == shape.name),
            "closes": closes,
            "drains": tuple(drains),
            "bonded": _fixed(scene, seams, under),
            "bedding": Length(scene.cutting.gap) if scene.cutting.gap > 0 else None,
            "before": before,
            "later": later,
        },
    )
    title = Phrase("panel-step", {"kind": shape.kind, "panel": shape.name})
    cautions = cautions_of(layout, shape, closes, seams)
    steps.add(shape.name, title, what, after, (shape.name, *closes), cautions, _objections(evaluation, closes, unsawn))


def _goes_first(why: ShutOut) -> Phrase:
    """Why a panel goes in before one that it meets."""
    room = None if why.room is None else Length(why.room)
    return Phrase("goes-in-first", {"panel": why.before, "width": Length(why.width), "opening": why.opening, "room": room})


def _berths(steps: _Steps, patterns: Sequence[Pattern], planned: Sequence[PanelShape]) -> None:
    """The steps for boards of berths: they lie on ledges along panels that stand by then; an infill lies loose."""
    for berth in dict.fromkeys(each.panel for each in patterns if each.kind == "berth board"):
        loose = tuple(each.name for each in patterns if each.kind == "infill" and each.panel == berth)
        span = widest_between_ledges(patterns, berth)
        wide: dict[str, Value] = {"span": Length(span) if span > APART else None, "apart": Length(APART)}
        title, what = Phrase("berth-step", {"berth": berth}), Phrase("lay-berth-boards", {"loose": loose, **wide})
        steps.add(f"berth {berth}", title, what, [shape.name for shape in planned], (berth,))


def _fixed(scene: Scene, seams: Sequence[Seam], bearers: Sequence[str]) -> Phrase:
    """How a panel is held: bolted where her skin takes no resin, and bonded along all that is left."""
    taped = taped_seams(scene, seams)
    bonded = _bonded(scene, taped, bearers)
    if not bolted_seams(scene, seams):
        return bonded
    return Phrase("bolt-to-flats", {"spacing": Length(BOLTS), "rest": bonded if taped else None})


def _bonded(scene: Scene, seams: Sequence[Seam], bearers: Sequence[str]) -> Phrase:
    """How a panel's edges are bonded: taped on both faces, or bedded on what was put there before where nobody reaches."""
    lost = out_of_reach(seams)
    if not lost:
        return Phrase("tape-both-sides")
    shut = [seam for seam in seams if seam.reached < seam.length]
    inside = sum(seam.closed_in for seam in seams)
    by_bearers = [seam for seam in shut if seam.to == "hull" and bearers]
    cleats = cleats_for(scene, shut)
    strip = min((cleat.strip for cleat in cleats if (cleat.strips or 1) > 1), default=None)
    values: dict[str, Value] = {
        "faces": tuple(dict.fromkeys(seam.face for seam in shut)),
        "inside": Length(inside),
        "reached": Length(inside - lost),
        "through": tuple(dict.fromkeys(name for seam in seams for name in seam.through)),
        "cleats_along": tuple(dict.fromkeys(seam.to for seam in shut if seam not in by_bearers)),
        "bearers": tuple(bearers) if by_bearers else (),
        "strip": None if strip is None else Length(strip),
        "sawn": any(cleat.strips is None for cleat in cleats),
    }
    return Phrase("bed-what-closes", values)


def closed_by(layout: Layout, shape: PanelShape, planned: Sequence[PanelShape]) -> list[str]:
    """The spaces, those that people live in left out, that this panel is the last to bound."""
    names = [other.name for other in planned]
    at = names.index(shape.name)
    closed = []
    for space in layout.compartments:
        bounding = {panel for panel, _ in space.bounds}
        if space.bounded and space.use != "accommodation" and shape.name in bounding and not bounding & set(names[at + 1 :]):
            closed.append(space.name)
    return closed


def _filled(evaluation: Evaluation, closes: Sequence[str]) -> tuple[tuple[str, ...], tuple[Phrase, ...]]:
    """What goes into spaces before they close, and what may wait."""
    scene, contents = evaluation.scene, evaluation.contents
    stows = [stow for each in (contents.bottles if contents else ()) for stow in each.stows if stow.space in closes]
    passes = {stow.name: list(stow.passes) for stow in stows}
    inside = [each.name for each in scene.bottles if each.space in closes and not passes.get(each.name)]
    inside += [foam.name for foam in scene.foams if foam.space in closes]
    later = (Phrase("may-wait", {"what": name, "ways": tuple(ways)}) for name, ways in passes.items() if ways)
    return tuple(inside), tuple(later)


def _objections(evaluation: Evaluation, closes: Sequence[str], unsawn: Collection[str]) -> list[Finding]:
    """What was noticed of spaces without a way in, of fittings in them out of reach, and of drains that are not sawn."""
    fittings = {fitting.name: np.array(fitting.at) for fitting in evaluation.scene.fittings}
    fittings |= {opening.name: np.array(opening.at) for opening in evaluation.scene.openings if opening.through == "hull"}
    objections = []
    for finding in evaluation.findings:
        if finding.code == "no-access" and finding.object in closes:
            objections.append(finding)
        if finding.code == "spaces-joined" and finding.object in unsawn:
            objections.append(finding)
        if finding.code in ("fitting-sealed-in", "fitting-out-of-reach") and finding.object in fittings:
            boxes = [space.mesh.bounds for space in evaluation.layout.compartments if space.name in closes]
            at = fittings[finding.object]
            if any((at >= low).all() and (at <= high).all() for low, high in boxes):
                objections.append(finding)
    return objections


def _finish(
    steps: _Steps, layout: Layout, planned: Sequence[PanelShape], tests: Sequence[LeakTest], breathers: tuple[str, ...]
) -> None:
    panels = [shape.name for shape in planned]
    warmth = layout.scene.bonding.temperature
    sealing = Phrase("seal-passages", {"days": full_cure(warmth) / 86400.0, "temperature": warmth, "breathers": breathers})
    steps.add("seal", Phrase("seal-step"), sealing, panels, (), (*RESIN, CLOSED_SPACE))
    for test in tests:
        bounding = {panel for space in layout.compartments if space.name == test.space for panel, _ in space.bounds}
        what = Phrase(
            "blow-to-test",
            {
                "space": test.space,
                "column": Length(test.water_column),
                "left": Length(test.pass_column),
                "seconds": test.hold,
                "passed": Length(test.passed_hole),
                "sought": Length(test.sought),
                "sought_seconds": test.sought_hold,
                "closings": () if test.closed else test.closings,
                "pushed": pushes(test),
            },
        )
        title = Phrase("leak-test-step", {"space": test.space})
        steps.add(f"test {test.space}", title, what, ("seal", *sorted(bounding)), (test.space,), (AIR,))
    after = ("seal", *(f"test {test.space}" for test in tests))
    steps.add("read", Phrase("weigh-and-read-step"), Phrase("weigh-and-read"), after)
