"""The build booklet: what a layout takes from the first cut to the last test, for hands with glue on them and for a surveyor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.evaluate import with_flooding
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.cases import first_cases
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.sources import SOURCES
from sketcher.model.cutting import NO_PRICES
from sketcher.model.document import fingerprint
from sketcher.model.files.hull_file import hull_text
from sketcher.model.files.scene_file import scene_text
from sketcher.model.scene import Scene
from sketcher.outputs.drawing.views import BOAT_LENGTH, plan_drawing, profile_drawing, scale_for
from sketcher.outputs.palette import PENCIL, RELATION_WORDS
from sketcher.outputs.paper.booklet_boards import board_pages, cutting_pages
from sketcher.outputs.paper.booklet_bonding import bonding_pages, leak_test_pages, shopping_pages
from sketcher.outputs.paper.booklet_loads import load_sheet_page
from sketcher.outputs.paper.booklet_marking import plain_boards_table, told_in_a_line
from sketcher.outputs.paper.fitting_paper import as_built_pages, gap_sheet, gaps_to_read
from sketcher.outputs.paper.page_flow import BODY, LARGE, TABLE, TICK, Pages
from sketcher.outputs.paper.tile_grid import PaperName
from sketcher.outputs.paper.tiles import check_sizes
from sketcher.outputs.paper.timber.timber_pages import bearer_pages, stringer_pages
from sketcher.outputs.tables.build_lists import to_mind
from sketcher.outputs.tables.first import LEVELS, MAIN_SPACE, NOTHING_GRAVE, if_holed, tally, verdict
from sketcher.outputs.tables.report import fit_in_words, waterline_words
from sketcher.outputs.wording.kinds import about, in_brief, kinds
from sketcher.outputs.wording.known_spaces import known_spaces, relation
from sketcher.outputs.wording.quantities import by_severity, counted, length_with_unit, litres, mass_unit, unit_called
from sketcher.outputs.wording.sentences import capitalized, words

PROMISE = (
    "Outlines, volumes and still-water figures follow from the measurements in the hull file and are as good as these. Nothing "
    "here says that a panel is strong enough, that the boat meets any rule, or that she cannot sink. A panel that carries mast, "
    "chainplates, windlass or keel is a designer's business."
)


def scene_fingerprint(scene: Scene) -> str:
    """Sixteen characters in groups of four that change with any number of the scene or its hull but prices, and nothing else."""
    digest = fingerprint((scene_text(replace(scene, prices=NO_PRICES)) + hull_text(scene.hull)).encode())[:16]
    return " ".join(digest[k : k + 4] for k in range(0, 16, 4))


def stamp(scene: Scene, on: date) -> str:
    """The line on every page that says which scene it comes from."""
    return f"made {on.isoformat()}; layout code {scene_fingerprint(scene)}"


def booklet(plan_: BuildPlan, paper: PaperName, units: str, on: date, picture: bytes | None = None) -> bytes:
    """The booklet as a PDF. units: of lengths in the text; on: its date; picture: a PNG for the cover, if there is one."""
    scene, dry = plan_.evaluation.scene, plan_.evaluation
    cases = first_cases(dry.layout, dry.water, dry.floating)
    plan_ = replace(plan_, evaluation=with_flooding(dry, cases))
    pages = Pages(paper, f"{scene.name}, {scene.hull.name}", stamp(scene, on))
    _cover(pages, plan_, cases, units, on, picture)
    _drawings(pages, plan_, units)
    _spaces(pages, plan_, units)
    _order(pages, plan_, units)
    cutting_pages(pages, plan_, units)
    _boards(pages, plan_, plan_.patterns, units)
    stringer_pages(pages, plan_, units)
    bonding_pages(pages, plan_, units)
    shopping_pages(pages, plan_, units)
    leak_test_pages(pages, plan_, units)
    load_sheet_page(pages, plan_, units)
    _noticed(pages, plan_, units)
    _record(pages, plan_, units)
    _sources(pages, plan_)
    return pages.pdf(scene.name)


def boards_alone(plan_: BuildPlan, chosen: Sequence[Pattern], paper: PaperName, units: str, on: date) -> bytes:
    """The booklet's pages of some boards, numbered as in the whole, as a PDF."""
    scene = plan_.evaluation.scene
    pages = Pages(paper, f"{scene.name}, {scene.hull.name}", stamp(scene, on))
    pages.heading(scene.name, 7.0)
    pages.text(f"{counted_of(plan_, chosen)}; the rest is in the whole booklet.", LARGE)
    _boards(pages, plan_, chosen, units, plain_last=True)
    for stringer in plan_.stringers:
        if stringer.board in chosen:
            bearer_pages(pages, stringer, scene, units)
    return pages.pdf(scene.name)


def counted_of(plan_: BuildPlan, chosen: Sequence[Pattern]) -> str:
    """How many of the boards, and of the bearers, some are."""
    kinds = (("board", plan_.patterns), ("bearer", tuple(each.board for each in plan_.stringers)))
    own = [(sum(each in chosen for each in all_), counted(len(all_), kind)) for kind, all_ in kinds]
    return ", ".join(f"{number} of {of}" for number, of in own if number)


def _boards(pages: Pages, plan_: BuildPlan, chosen: Sequence[Pattern], units: str, *, plain_last: bool = False) -> None:
    """What some boards are marked out and sawn by: a line or a page each; plain_last: what takes a line comes after the pages."""
    numbered = [(number, pattern) for number, pattern in enumerate(plan_.patterns, 1) if pattern in chosen]
    plain = [(number, each) for number, each in numbered if told_in_a_line(each)]
    if not plain_last:
        plain_boards_table(pages, plain, units)
    scene, unread = plan_.evaluation.scene, []
    for number, pattern in numbered:
        title = f"Board {number} of {len(plan_.patterns)}: {pattern.name}"
        readings = partial(gaps_to_read, pages, pattern, plan_.read_places.get(pattern.name, ()), scene.cutting.gap, units)
        if told_in_a_line(pattern) or not board_pages(pages, pattern, title, scene, units, readings):
            unread.append((number, pattern))
    if plain_last:
        plain_boards_table(pages, plain, units)
    gap_sheet(pages, unread, plan_.read_places, scene.cutting.gap, units)


def _cover(pages: Pages, plan_: BuildPlan, cases: Sequence[FloodingCase], units: str, on: date, picture: bytes | None) -> None:
    evaluation = plan_.evaluation
    scene = evaluation.scene
    pages.heading(scene.name, 7.0)
    pages.text(f"Build booklet for {scene.hull.name}", LARGE, PENCIL)
    pages.text(waterline_words(evaluation.water, units, evaluation.scene.guessed), BODY, PENCIL)
    _first(pages, plan_, cases, units)
    if picture is not None:
        pages.image(picture, 80.0)
    sheets = sum(len(layout.nesting.sheets) for layout in plan_.sheets)
    pages.text(
        f"{counted(len(plan_.patterns), 'board')} from {counted(sheets, 'sheet')}, {counted(len(plan_.stringers), 'stringer')}, "
        f"{counted(len(plan_.supports), 'support')} under lids. Lengths in {unit_called(units)} unless said otherwise.",
        LARGE,
    )
    if units in ("in", "ft"):
        pages.text("Masses are in pounds, volumes in litres; what a source says stays in the units it is printed in.", LARGE)
    pages.text(f"Made on {on.isoformat()}. Layout code: {scene_fingerprint(scene)}.", LARGE)
    pages.text("A pattern, list or drawing with another code belongs to another layout: do not mix them.", LARGE)
    pages.space(3.0)
    pages.heading("What this does not promise", 4.5, 20.0)
    pages.text(PROMISE)
    pages.heading("Before the first cut", 4.5, 20.0)
    (side, diagonal), near = check_sizes(units), length_with_unit(0.002, units)
    for text in (
        "Insurer, and a designer where one is needed, have answered in writing.",
        "One card section, cut from the smallest pattern, drops into its place in the boat.",
        f"The printer's check square measures {side} both ways, and its diagonals {diagonal}.",
        f"Every board's diagonals, measured on the marked-out sheet, agree with its page within {near}.",
    ):
        pages.ticked(text)
    pages.space(4.0)


def _first(pages: Pages, plan_: BuildPlan, cases: Sequence[FloodingCase], units: str) -> None:
    """What the owner must know first: the verdict, the worst that one hole does, who fits."""
    evaluation = plan_.evaluation
    found = [*plan_.findings, *evaluation.findings]
    said, grave = verdict(found, units), [finding for finding in found if finding.severity != "note"]
    pages.text(f"First: {tally(grave) if grave else NOTHING_GRAVE}", LARGE, bold=True)
    for line in said.lines:
        pages.text(f"{LEVELS[line.level]}: {line.text}", bold=line.level == "stop", indent=4.0)
    if said.left:
        pages.text(f"{len(said.left)} more under What was noticed.", indent=4.0)
    holed = if_holed(evaluation, cases, units)
    if holed:
        pages.text("If one space is holed, at rest in calm water", LARGE, bold=True)
        for text in holed:
            pages.text(text, indent=4.0)
    for berth in evaluation.berths:
        clear = length_with_unit(berth.length, units)
        pages.text(f"{capitalized(berth.name)}: clear length {clear}; {fit_in_words(berth, units)}.", indent=4.0)
    pages.space(2.0)


def _drawings(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """Profile and plan, each at the largest usual scale that fits the page's width."""
    pages.heading("The layout", 6.0)
    for draw in (profile_drawing, plan_drawing):
        scale = scale_for(plan_.evaluation, min(pages.across - 30.0, BOAT_LENGTH))
        pages.shrunk(draw(plan_.evaluation, scale=scale, units=units), 115.0)
        pages.space(4.0)


def _spaces(pages: Pages, plan_: BuildPlan, units: str) -> None:
    pages.heading("Compartments")
    rows = []
    spaces = plan_.evaluation.layout.compartments
    for space, known in zip(spaces, known_spaces(plan_.evaluation), strict=True):
        amount = litres(known.volume) if known.volume is not None else f"over {litres(known.at_least)}"
        below = litres(known.below) if known.below is not None else "not known"
        rows.append([known.name, space.use, amount, below, RELATION_WORDS[relation(known)]])
    pages.table(["compartment", "use", "litres", "below water", "stands"], rows, "<<>><")
    berths = plan_.evaluation.berths
    if berths:
        pages.table(
            ["berth", "clear length", "shoulder", "foot"],
            [[b.name, *(length_with_unit(value, units) for value in (b.length, b.shoulder_width, b.foot_width))] for b in berths],
            "<>>>",
        )


def _noticed(pages: Pages, plan_: BuildPlan, unit: str) -> None:
    """Findings that stop or warn in full; notes after them, in brief."""
    findings: list[Finding] = by_severity([*plan_.findings, *plan_.evaluation.findings])
    if not findings:
        return
    pages.heading("What was noticed")
    for finding in findings:
        if finding.severity == "note":
            continue
        pages.need(12.0)
        pages.text(f"{LEVELS[finding.severity]}: {about(finding, unit)}", bold=finding.severity == "stop")
        source = SOURCES.get(finding.source) if finding.source else None
        if source is not None:
            pages.text(f"{source.title} ({source.standing}; {finding.binding or source.binding})", 2.6, PENCIL, indent=6.0)
    for kind in kinds([finding for finding in findings if finding.severity == "note" and finding.code != MAIN_SPACE]):
        pages.text(f"Note: {in_brief(kind, unit)}")


def _order(pages: Pages, plan_: BuildPlan, units: str) -> None:
    if not plan_.steps:
        return
    pages.heading("Order of work", keep=60.0)
    for step in plan_.steps:
        pages.need(30.0)
        # Cautions stand before the act, not after it.
        for caution in to_mind(step, units):
            pages.caution(caution)
        pages.ticked(f"{step.number}  {words(step.title, units)}", LARGE + 0.6, bold=True)
        pages.text(words(step.what, units), LARGE, indent=TICK)
        if step.after:
            pages.text(
                f"after {'step' if len(step.after) == 1 else 'steps'} {', '.join(map(str, step.after))}", 2.8, PENCIL, indent=TICK
            )
        pages.space(2.0)


def _record(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """The record for a surveyor, to be filled in while the work is done."""
    pages.new_page()
    pages.heading("As built")
    pages.text("Fill in while you work; photograph each seam, both faces, before it is closed. Keep this with the boat's papers.")
    pages.blanks(("Worked by", "Boat's name and number", "Begun", "Closed"))
    fitted = [board for _, board in plan_.wholes]
    as_built_pages(pages, (*fitted, *plan_.patterns), replace(plan_.evaluation.scene, as_built=plan_.readings), units)
    pages.text("Bonding batches", bold=True)
    columns = ["panel, face", "date", "°C", "resin, batch", "hardener, batch", "cloth", "photographs"]
    pages.table(columns, [[name, *[""] * 6] for name in dict.fromkeys(p.panel for p in plan_.patterns)], wide=True)
    pages.text("Weights put aboard and taken off", bold=True)
    head = ["what, on or off", mass_unit(units), "aft", "off centre", "up"]
    pages.table(head, [[""] * len(head)] * 6, size=LARGE, wide=True)
    pages.text("Afloat again", bold=True)
    pages.blanks(("Date", "Fresh or salt water", "Freeboard at the bow", "Freeboard at the stern", "Read by", "Weather"))
    pages.text("What is changed against these pages", bold=True)
    pages.blanks(("", "", ""), columns=1)


def _sources(pages: Pages, plan_: BuildPlan) -> None:
    ids = _source_ids(plan_)
    if not ids:
        return
    pages.heading("Where the figures come from", keep=60.0)
    pages.text(
        "published: printed, and seen. common practice: what the trade does. derived: worked out. from memory: not looked up."
    )
    for name in ids:
        if name in SOURCES:
            pages.text(f"{SOURCES[name].title}: {SOURCES[name].standing}; {SOURCES[name].binding}.", TABLE)


def _source_ids(plan_: BuildPlan) -> list[str]:
    named: Sequence[str | None] = [
        *(finding.source for finding in (*plan_.findings, *plan_.evaluation.findings)),
        *(joint.source for joint in plan_.joints),
        *("okoume-ply" for pattern in plan_.patterns if pattern.mass_assumed),
        *("face-grain" for layout in plan_.sheets if layout.grained),
        *(stringer.source for stringer in plan_.stringers),
        *(support.source for support in plan_.supports),
        *(plan_.bonding.sources if plan_.bonding is not None else ()),
        *(purchase.source for purchase in plan_.purchases),
        *(test.source for test in plan_.leak_tests),
        *("closed-for-test" for test in plan_.leak_tests if not test.closed),
    ]
    return [name for name in dict.fromkeys(named) if name]
