"""The booklet's pages of timber: supports under lids, cleats, and bearers with their bevels and patterns."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.cut.berth_boards import LEDGE
from sketcher.analysis.cut.boards.saw_settings import SQUARE
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import BackBevel, StringerPattern, Support
from sketcher.analysis.cut.timber.supports import APART
from sketcher.model.scene import Scene
from sketcher.outputs.paper.booklet_boards import board_pages
from sketcher.outputs.paper.booklet_marking import marked
from sketcher.outputs.paper.page_flow import BODY, LARGE, Pages
from sketcher.outputs.paper.timber.support_wraps import SUPPORT_ENDS
from sketcher.outputs.tables.build_lists import FREE_END
from sketcher.outputs.wording.quantities import length, length_with_unit, plain, unit_called
from sketcher.outputs.wording.say import listed

BENT = "A batten bends cold to a radius of a hundred of its thicknesses (common practice): what bends more is of glued strips."

_SAID_HOLLOW = 0.001
"""[m] What is left behind a back is told from here on: putty fills less without a word."""


def stringer_pages(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """Supports under lids and cleats in tables, all bearers in two, then each bearer with its bevels and its pattern."""
    if plan_.supports:
        _supports(pages, plan_.supports, units)
    if plan_.cleats:
        _cleats(pages, plan_.cleats, units)
    if not plan_.stringers:
        return
    pages.heading("Stringers and bearers", keep=60.0)
    _lengths(pages, plan_.stringers, units)
    _ends(pages, plan_.stringers)
    scene = plan_.evaluation.scene
    for each in plan_.stringers:
        bearer_pages(pages, each, scene, units)


def _supports(pages: Pages, supports: Sequence[Support], units: str) -> None:
    pages.heading("Supports under wide lids", keep=60.0)
    apart, thin, thick = (length_with_unit(each, units) for each in (APART, 0.009, 0.012))
    pages.text(
        f"A lid of {thin} to {thick} is usually borne every {apart} (common practice; no strength is claimed). "
        "These leave no more clear and run the short way. They lie under the outlines drawn on the lid's boards, straight and "
        "square-edged; the first edge, and the first end, is the one that comes first in their row.",
        BODY,
    )
    head = ["support", "width × depth", "first edge", "second edge", "ends at", "upper °", "side °", "to cut °", "straps let in"]
    rows = [
        [
            each.name,
            f"{length(each.width, units)} × {length(each.depth, units)}",
            *(marked(edge, units) for edge in each.edges),
            listed([end.place or FREE_END for end in each.ends]),
            *(" / ".join(plain(angle, 0) for angle in angles) for angles in _both_ends(each)),
            "; ".join(f"{marked(a, units)} to {marked(b, units)}" for a, b in each.notches) or "none",
        ]
        for each in supports
    ]
    pages.table(head, rows, "<>>><<<<<")
    pages.text(
        "Edges: lengths of the upper face along both. Angles in the wood at both ends, 90 being square: on the upper face from "
        "the first edge, on that edge's side from the upper face, and between upper face and cut. Paper to fold round the ends "
        f"is in {SUPPORT_ENDS}.",
        BODY,
    )
    if any(each.notches for each in supports):
        deep = length_with_unit(max(each.notched for each in supports), units)
        pages.text(
            f"Straps let in: notches in the upper face, from the first end along the first edge, as deep as a strap: {deep}."
        )


def _both_ends(support: Support) -> list[tuple[float, ...]]:
    """The angles of both ends: on the upper face, on the first edge's side, and from the upper face to the cut."""
    ends = support.ends
    return [tuple(end.side for end in ends), tuple(end.face for end in ends), tuple(end.tilt for end in ends)]


def _cleats(pages: Pages, cleats: Sequence[Cleat], units: str) -> None:
    pages.heading("Cleats", keep=60.0)
    side = length_with_unit(LEDGE, units)
    pages.text(
        f"Of {side} square timber, under edges that nobody reaches later. Back: degrees off square at so far along each run, in "
        f"{unit_called(units)}; +: the face that bears the board is the wider. {BENT}",
        BODY,
    )
    rows = [
        [
            f"{each.panel}, {each.face} face",
            each.to,
            length(each.length, units),
            "straight" if each.radius is None else length(each.radius, units),
            "sawn to it" if each.strips is None else str(each.strips),
            " / ".join(_back(run, units) for run in each.settings),
        ]
        for each in cleats
    ]
    pages.table(["under", "along", "length", "least radius", "strips", "back"], rows, "<<>>><")


def _back(run: Sequence[BackBevel], units: str) -> str:
    """How a cleat's back is planed along one run."""
    angles = [each.angle for each in run]
    if max(angles) - min(angles) < SQUARE:
        return f"{angles[0]:+.0f}° all along" if abs(angles[0]) >= SQUARE else "square"
    return ", ".join(f"{marked(each.along, units)}: {each.angle:+.0f}°" for each in run)


def _lengths(pages: Pages, stringers: Sequence[StringerPattern], units: str) -> None:
    head = [
        "bearer",
        "width × depth",
        "planed from",
        "along hull",
        "chord",
        "curve's depth",
        "least radius",
        "twist °",
        "strips",
    ]
    rows = []
    for s in stringers:
        size, stock = (f"{length(width, units)} × {length(s.depth, units)}" for width in (s.width, s.stock))
        radius = "straight" if s.least_radius is None else length(s.least_radius, units)
        lengths = [length(value, units) for value in (s.length, s.chord, s.curve_depth)]
        rows.append([s.name, size, stock, *lengths, radius, f"{s.twist:+.0f}", _strips(s, units)])
    pages.table(head, rows, "<>>>>>>>>")
    pages.text(BENT, BODY)


def _strips(s: StringerPattern, units: str) -> str:
    if s.strips is None:
        return "sawn"
    return "1, cold" if s.strips == 1 else f"{s.strips} of {length(s.strip, units)}"


def _ends(pages: Pages, stringers: Sequence[StringerPattern]) -> None:
    rows = [
        [s.name, end.place or FREE_END, *(plain(angle, 0) for angle in (end.side, end.face, end.tilt))]
        for s in stringers
        for end in s.ends
    ]
    pages.table(["bearer", "end at", "on its upper face °", "on the hull's face °", "upper face to cut °"], rows, "<<>>>")
    pages.text(
        "Angles in the wood by a bevel gauge, 90 being square: the first from the outer edge, the second on the bevelled back "
        "from the upper edge.",
        BODY,
    )


def bearer_pages(pages: Pages, bearer: StringerPattern, scene: Scene, units: str) -> None:
    """One bearer: how it is bent, the bevel of its back from place to place, then its pattern as a board has it."""
    board_pages(pages, bearer.board, f"Bearer: {bearer.name}", scene, units)
    pages.heading(f"To plane its back: {bearer.name}", 4.5, 25.0)
    pages.text(how_bent(bearer, units), LARGE)
    pages.text(
        f"So far along the upper outer edge from the forward end, in {unit_called(units)}: degrees off square (+: the upper face "
        "is the wider), and how wide the under face is left. Draw that width on the under face and plane to both lines."
    )
    rows = [[marked(each.along, units), f"{each.angle:+.1f}", marked(each.under, units)] for each in bearer.settings]
    pages.columns(["along", "back °", "under face"], rows, ">>>")
    pages.space(3.0)


def how_bent(bearer: StringerPattern, units: str) -> str:
    """How a bearer takes its curve, and what its back leaves to be filled."""
    radius = "" if bearer.least_radius is None else f" to a radius of {length_with_unit(bearer.least_radius, units)}"
    if bearer.strips == 1:
        said = f"It bends cold in one piece{radius}." if radius else "It is straight."
    elif bearer.strips is None:
        said = f"It is too sharp{radius} for strips: saw it to the curve from a board, in lengths with scarfs between."
    else:
        strip = length_with_unit(bearer.strip, units)
        said = f"It does not bend cold{radius}: glue it up from {bearer.strips} strips of {strip} on the pattern, then plane it."
    if bearer.hollow >= _SAID_HOLLOW:
        said += f" Between back and hull up to {length_with_unit(bearer.hollow, units)} are left hollow: fill them with putty."
    return said
