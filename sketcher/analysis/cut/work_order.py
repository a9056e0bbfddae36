"""The order of work, from the geometry: what must be in before what closes, and an objection where something is sealed in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from sketcher.analysis.cut.results import Joint, LeakTest, Passage, Pattern, Seam, StringerPattern, WorkStep
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Phrase
from sketcher.analysis.phrases import listed, mm
from sketcher.analysis.results import Layout, PanelShape

_SHORT = 0.050
"""[m] A seam out of reach that is no longer than this is closed with a wet brush all the same."""

_KIND = {"bulkhead": 0, "partition": 1, "lid": 2}

DUST = "Dust of glass and of uncured resin: respirator, gloves, goggles, and somebody within call while your head is in a locker."
RESIN = "Epoxy on the skin sensitises for life: nitrile gloves, no solvent on hands. A pot left full smokes: spread it out."
CLOSED_SPACE = "Rust or curing resin uses up air in a shut space: blow fresh air through it, and have somebody outside."
FOAM = "Foam's isocyanate harms the lungs for good: outside air to the mask. Pour no deeper than the maker says, or it scorches."
AIR = "A few inches of water push hundreds of kilograms on a lid: never without the open water tube, never with a compressor."
DESIGNER = "This panel carries the rig, the windlass or the keel. Nothing is cut before a designer has said so in writing."


class _Steps:
    """Steps as they are added, each known by a key for those that come after it."""

    def __init__(self) -> None:
        self.made: list[WorkStep] = []
        self.numbers: dict[str, int] = {}

    def add(
        self,
        key: str,
        title: str,
        what: str,
        after: Iterable[str] = (),
        objects: Sequence[str] = (),
        cautions: Sequence[str | Phrase] = (),
    ) -> None:
        """A step after those of the keys given; keys that stand for no step are passed over. A caution is said once."""
        said = {caution for step in self.made for caution in step.cautions}
        number = len(self.made) + 1
        before = sorted({self.numbers[name] for name in after if name in self.numbers})
        warned = tuple(caution for caution in dict.fromkeys(cautions) if caution not in said)
        self.made.append(
            WorkStep(number=number, title=title, what=what, objects=tuple(objects), after=tuple(before), cautions=warned)
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
) -> tuple[WorkStep, ...]:
    """The steps from the bare boat to the tested one; none where nothing is planned. seams: with what of them can be reached."""
    layout = evaluation.layout
    planned = panels_in_order(layout)
    if not planned:
        return ()
    steps = _Steps()
    _prepare(steps, evaluation, planned)
    _below(steps, patterns, passages)
    for stringer in dict.fromkeys(each.stringer for each in stringers):
        mine = [each for each in stringers if each.stringer == stringer]
        laminated = " Laminate them: they do not bend cold." if not all(each.bends for each in mine) else ""
        what = f"Fit and bond {listed([each.name for each in mine])} to the hull, their ends to their bevels.{laminated}"
        steps.add(f"stringer {stringer}", f"Stringers: {stringer}", what, ("prepare",), (stringer,), (RESIN,))
    for shape in planned:
        _join(steps, shape.name, patterns, joints, bool(passages))
        _panel(steps, evaluation, shape, planned, [seam for seam in seams if seam.panel.split(", ")[0] == shape.name])
    _berths(steps, patterns, planned)
    _finish(steps, layout, planned, tests)
    return tuple(steps.made)


def panels_in_order(layout: Layout) -> list[PanelShape]:
    """The planned panels in the order in which they go in: what others are tied to first, lids after what stands under them.

    Those of which nothing is inside the hull do not go in.
    """
    left = [shape for shape in layout.panels if shape.panel.built == "planned" and shape.reaches_in]
    left.sort(key=lambda shape: (_KIND[shape.kind], float(shape.mesh.vertices[:, 0].mean()), shape.name))
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
        what = f"{listed(carrying)} carries loads. Get the designer's and the insurer's answer in writing."
        steps.add("ask", "Ask first", what, (), carrying, (DESIGNER,))
    what = "Mark centreline, waterline and where each panel stands. Strip, dry and grind the hull bare along every seam."
    steps.add("prepare", "Mark, strip and grind", what, ("ask",), (), (DUST, CLOSED_SPACE))
    if scene.fittings:
        names = [fitting.name for fitting in scene.fittings]
        what = f"Move, renew or seal what will be hard to get at: {listed(names)}; then bolts, hoses and cables in the spaces."
        steps.add("fittings", "What is hard to reach later", what, ("prepare",), names)


def _below(steps: _Steps, patterns: Sequence[Pattern], passages: Sequence[Passage]) -> None:
    """Large boards go below before what is built narrows the way."""
    known = [each for each in passages if each.room is not None]
    if not known:
        return
    width = {pattern.name: pattern for pattern in patterns}
    largest = sorted((each for each in known if each.pattern in width), key=lambda each: -each.least_width)
    stuck = [each.pattern for each in largest if not each.passes]
    ways = listed(list(dict.fromkeys(name for each in known for name in each.through)))
    said = "; ".join(f"{each.pattern} {mm(each.least_width)}" for each in largest[:4])
    what = f"Pass every board through {ways} before the panels stand, widest first: {said}. Check each turn with card."
    if stuck:
        what += f" {listed(stuck)} will not pass: cut a joint first."
    steps.add("below", "Boards below", what, ("fittings", "prepare"), [each.pattern for each in largest])


def _join(steps: _Steps, panel: str, patterns: Sequence[Pattern], joints: Sequence[Joint], below: bool) -> None:
    """Parts are glued together once they are past the openings they were cut for, before the panel goes to its place."""
    mine = [joint for joint in joints if joint.panel == panel]
    if not mine:
        return
    parts = [each for each in patterns if each.panel == panel and each.kind != "butt strap"]
    names = [each.name for each in parts]
    where = "Once all parts are below, try them dry in place, taped together, and see that the whole panel gets there. Then lay"
    where = where if below else "Lay"
    how = (
        f"glue its straps over the joints on the {parts[0].other_face} face, screwed or weighted down"
        if mine[0].kind == "butt strap"
        else "glue the scarfs, one over the other by their length, weighted down"
    )
    what = (
        f"{where} them flat, the {parts[0].drawn_face} face down, on a straight floor or battens with film under the joints; "
        f"{how}; check the diagonals across the parts before it sets. Where the whole cannot be turned into its place, leave one "
        "joint and glue it there, strap and all."
    )
    steps.add(f"join {panel}", f"Join the parts: {panel}", what, ("below", "prepare"), names, (RESIN,))


def _panel(
    steps: _Steps, evaluation: Evaluation, shape: PanelShape, planned: Sequence[PanelShape], seams: Sequence[Seam]
) -> None:
    layout, scene = evaluation.layout, evaluation.scene
    after = ["prepare", "fittings", "below", f"join {shape.name}", *sorted(_before(layout, shape))]
    under = [stringer.name for stringer in scene.stringers if stringer.under == shape.name]
    after += [f"stringer {name}" for name in under]
    closes = closed_by(layout, shape, planned)
    cautions: list[str | Phrase] = [RESIN]
    what = f"Dry-fit, check both diagonals and the marks, coat faces and edges, {_bonded(seams, under)}"
    if scene.cutting.gap > 0:
        what += f" Strip or bedding of {mm(scene.cutting.gap)} at hull and deck."
    if closes:
        drains = [way.name for way in layout.ways if way.kind in ("opening", "conduit") and set(closes) & set(way.between)]
        proved = f"prove {listed(list(dict.fromkeys(drains)))}, " if drains else ""
        what = f"This closes {listed(closes)}: photograph the inside, {proved}coat every face. {what}"
        what += _filled(evaluation, closes, cautions)
        cautions += _objections(evaluation, closes)
    steps.add(shape.name, f"{shape.kind.capitalize()}: {shape.name}", what, after, (shape.name, *closes), cautions)


def _berths(steps: _Steps, patterns: Sequence[Pattern], planned: Sequence[PanelShape]) -> None:
    """Boards of berths lie on ledges along panels that stand by then; an infill lies loose."""
    for berth in dict.fromkeys(each.panel for each in patterns if each.kind == "berth board"):
        loose = [each.name for each in patterns if each.kind == "infill" and each.panel == berth]
        what = "Fit ledges along hull and panels, level with each other; lay the boards, screwed, so that they lift out again."
        what += f" {listed(loose)} lies loose on its own ledges." if loose else ""
        steps.add(f"berth {berth}", f"Berth: {berth}", what, [shape.name for shape in planned], (berth,))


def _bonded(seams: Sequence[Seam], bearers: Sequence[str]) -> str:
    """How a panel's edges are bonded: taped on both faces, or bedded on what was put there before where nobody reaches."""
    lost = sum(seam.length - seam.reached for seam in seams)
    if lost < _SHORT:
        return "then fillet and tape one side, and the other."
    shut = [seam for seam in seams if seam.reached < seam.length]
    inside = sum(seam.closed_in for seam in seams)
    through = list(dict.fromkeys(name for seam in seams for name in seam.through))
    reach = f"{inside - lost:.1f} m through {listed(through)}" if through else "nothing"
    faces = listed(list(dict.fromkeys(seam.face for seam in shut)))
    by_bearers = [seam for seam in shut if seam.to == "hull" and bearers]
    along = listed(list(dict.fromkeys(seam.to for seam in shut if seam not in by_bearers)) or ["the rest"])
    first = f"first bond cleats along {along}, where its {faces} face will lie, and let them cure"
    if by_bearers:
        borne = listed(list(bearers))
        first = f"{first}; along the hull {borne} will do" if len(by_bearers) < len(shut) else f"let it lie on {borne}"
    return (
        f"and mind that of the {inside:.1f} m of seams on its {faces} face, inside, {reach} can be worked on once it is in. So "
        f"{first}; then bed the board on them in putty and screw it down from outside. Fillet and tape the open face, and inside "
        "what you reach."
    )


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


def _filled(evaluation: Evaluation, closes: Sequence[str], cautions: list[str | Phrase]) -> str:
    """What goes into spaces before they close."""
    scene, contents = evaluation.scene, evaluation.contents
    stows = [stow for each in (contents.bottles if contents else ()) for stow in each.stows if stow.space in closes]
    passes = {stow.name: list(stow.passes) for stow in stows}
    inside = [each.name for each in scene.bottles if each.space in closes and not passes.get(each.name)]
    inside += [foam.name for foam in scene.foams if foam.space in closes]
    if any(foam.space in closes for foam in scene.foams):
        cautions.append(FOAM)
    said = f" Before that goes in, held down: {listed(inside)}." if inside else ""
    later = [f" {name} may wait until after the test, for it passes {listed(ways)}." for name, ways in passes.items() if ways]
    return said + "".join(later)


def _objections(evaluation: Evaluation, closes: Sequence[str]) -> list[str | Phrase]:
    """Objections: spaces without a way in, and fittings in those spaces that can no longer be reached."""
    fittings = {fitting.name: np.array(fitting.at) for fitting in evaluation.scene.fittings}
    found: list[str | Phrase] = []
    for finding in evaluation.findings:
        if finding.code == "no-access" and finding.object in closes:
            found.append(_said(finding))
        if finding.code in ("fitting-sealed-in", "fitting-out-of-reach") and finding.object in fittings:
            boxes = [space.mesh.bounds for space in evaluation.layout.compartments if space.name in closes]
            at = fittings[finding.object]
            if any((at >= low).all() and (at <= high).all() for low, high in boxes):
                found.append(_said(finding))
    return found


def _said(finding: Finding) -> str | Phrase:
    return finding.message or Phrase(finding.code, finding.values)


def _finish(steps: _Steps, layout: Layout, planned: Sequence[PanelShape], tests: Sequence[LeakTest]) -> None:
    panels = [shape.name for shape in planned]
    what = (
        "Seal notches, stringers' open ends and every cable and hose that passes a panel. Coat what is still bare; let it cure."
    )
    steps.add("seal", "Seal what passes through", what, panels, (), (RESIN, CLOSED_SPACE))
    for test in tests:
        bounding = {panel for space in layout.compartments if space.name == test.space for panel, _ in space.bounds}
        column, left = mm(test.water_column), mm(test.pass_column)
        what = f"Blow {test.space} to {column} of water; {left} or more are left after {test.hold:.0f} s."
        if not test.closed:
            what = f"{test.space} is open by {listed(test.open_ways)}: stop that up first, or it cannot be tested. {what}"
        steps.add(f"test {test.space}", f"Test: {test.space}", what, ("seal", *sorted(bounding)), (test.space,), (AIR,))
    what = "Weigh what went in, write down batches and cure, read the freeboards afloat, and set them beside the figures here."
    steps.add("read", "Weigh and read", what, ("seal", *(f"test {test.space}" for test in tests)))
